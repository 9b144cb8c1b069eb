//! What a day leaves in the tank, as a document gives it out and takes it again.

use schemars::JsonSchema;
use serde::Serialize;

use super::answer::liquor_of;
use super::figures::{CALCITE_G_PER_MOL, CARBON_DIOXIDE_G_PER_MOL, chlorine_g_per_mol};
use crate::component::Component;
use crate::liquor::Dose;
use crate::math;
use crate::recipe::Source;
use crate::tank::ledger::{Heel, Perturbed, State};
use crate::treatment::{Chlorine, Habits};
use crate::uncertainty::Cause;
use crate::water_report::{ReconciledLiquor, ReconciledRemark};

/// What a day leaves in the tank: hand it to the next day whole.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TankHeel {
    /// Water in the tank, kg.
    pub water_kg: f64,
    /// Its temperature, °C.
    pub temperature_c: f64,
    /// What it is, as a source of a brew day takes it.
    pub liquor: ReconciledLiquor,
    /// Scale since the tank was first filled, g.
    pub scale_g: f64,
    /// The part of it that came out of the water that is still in the tank, g.
    pub scale_of_this_water_g: f64,
    /// Carbon dioxide that left since then, g.
    pub carbon_dioxide_g: f64,
    /// Steam that left since then, kg.
    pub steam_kg: f64,
    /// Free chlorine in the tank, g as Cl2.
    pub free_chlorine_g: f64,
    /// Combined chlorine in the tank, g as Cl2.
    pub combined_chlorine_g: f64,
    /// How the tank would differ, had one thing been off since it was first filled: what makes error bars add up over days.
    pub off: Vec<TankOff>,
}

/// How the tank would differ, had one thing been off by its standard deviation.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TankOff {
    /// The habit of the tank that was off, by its key.
    pub habit: Option<&'static str>,
    /// The supply that was off, by its name; without habit or supply it is the heel itself, written by hand.
    pub supply: Option<String>,
    /// Which of the supply's causes, from 0.
    pub place: Option<u32>,
    /// Differences in the tank: the amounts of `liquor` in mmol, then water_kg, temperature_c, scale_g, scale_of_this_water_g,
    /// carbon_dioxide_g and steam_kg; and where there is chlorine free_chlorine_g and combined_chlorine_g.
    pub differences: Vec<f64>,
}

/// Figures of a tank beside the amounts of its liquor, without chlorine and with it.
pub(crate) const BESIDE: [usize; 2] = [6, 8];

impl TankHeel {
    /// The heel as it is given out.
    pub fn of(heel: &Heel, remarks: &[ReconciledRemark]) -> TankHeel {
        let state = heel.state();
        let liquor = liquor_of(&state.liquor(), &heel.moved(), remarks);
        let keys: Vec<&'static str> = liquor.amounts.iter().map(|amount| amount.key).collect();
        let chlorinated = |state: &State| state.chlorine != State::EMPTY.chlorine;
        let perturbed = heel.perturbed().iter();
        let is_chlorinated =
            chlorinated(state) || perturbed.clone().any(|one| chlorinated(&one.state));
        let beside = BESIDE[usize::from(is_chlorinated)];
        let figures = |state: &State| {
            let mut figures = figures(state, &keys);
            figures.truncate(keys.len() + beside);
            figures
        };
        let middle = figures(state);
        let off = |one: &Perturbed| {
            let (habit, supply, place) = match &one.cause {
                Cause::TankHabit(place) => (Habits::KEYS.get(*place).copied(), None, None),
                Cause::Heel(place) => (None, None, u32::try_from(*place).ok()),
                Cause::Supply(name, place) => {
                    (None, Some(name.clone()), u32::try_from(*place).ok())
                }
                // No other cause perturbs a tank.
                _ => (None, None, None),
            };
            let one = figures(&one.state);
            TankOff {
                habit,
                supply,
                place,
                differences: one
                    .iter()
                    .zip(&middle)
                    .map(|(one, middle)| one - middle)
                    .collect(),
            }
        };
        let moved = |one: &&Perturbed| one.state != *state;
        TankHeel {
            water_kg: state.water_kg,
            temperature_c: state.temperature_c,
            scale_g: state.scale_g(),
            scale_of_this_water_g: CALCITE_G_PER_MOL * state.precipitated_mol,
            carbon_dioxide_g: CARBON_DIOXIDE_G_PER_MOL * state.carbon_dioxide_mol,
            steam_kg: state.steam_kg,
            free_chlorine_g: chlorine_g_per_mol() * state.chlorine.free_mol_per_kg,
            combined_chlorine_g: chlorine_g_per_mol() * state.chlorine.combined_mol_per_kg,
            off: perturbed.filter(moved).map(off).collect(),
            liquor,
        }
    }

    /// The heel as the next day takes it. Where it came without perturbed copies, the covariance of
    /// its liquor makes them.
    pub fn taken(&self) -> Heel {
        let source = Source::reconciled(String::new(), &self.liquor, None);
        let state = State {
            water_kg: self.water_kg,
            dissolved: source.liquor.as_dose().times(self.water_kg),
            chlorine: Chlorine {
                free_mol_per_kg: math::at_least(self.free_chlorine_g, 0.0) / chlorine_g_per_mol(),
                combined_mol_per_kg: math::at_least(self.combined_chlorine_g, 0.0)
                    / chlorine_g_per_mol(),
            },
            temperature_c: self.temperature_c,
            calcite_mol: self.scale_g / CALCITE_G_PER_MOL,
            precipitated_mol: self.scale_of_this_water_g / CALCITE_G_PER_MOL,
            carbon_dioxide_mol: self.carbon_dioxide_g / CARBON_DIOXIDE_G_PER_MOL,
            steam_kg: self.steam_kg,
        };
        let perturbed: Vec<Perturbed> = if self.off.is_empty() {
            let known = source.reconciled.iter();
            let components = known.flat_map(|known| known.covariance.independent_components());
            let perturbed = components.enumerate().map(|(place, moved)| Perturbed {
                cause: Cause::Heel(place),
                state: State {
                    dissolved: possible(&state.dissolved.plus(&moved.times(self.water_kg))),
                    ..state
                },
            });
            perturbed.collect()
        } else {
            let keys: Vec<&'static str> = self.liquor.amounts.iter().map(|a| a.key).collect();
            let one = |off: &TankOff| Perturbed {
                cause: off.cause(),
                state: moved(&state, &keys, &off.differences),
            };
            self.off.iter().map(one).collect()
        };
        Heel::left(state, perturbed)
    }
}

impl TankOff {
    fn cause(&self) -> Cause {
        let habit = Habits::KEYS.iter().position(|key| Some(*key) == self.habit);
        habit.map_or_else(
            || {
                let place = self.place.and_then(|place| usize::try_from(place).ok());
                let place = place.unwrap_or(0);
                let supply = self.supply.clone();
                supply.map_or(Cause::Heel(place), |name| Cause::Supply(name, place))
            },
            Cause::TankHabit,
        )
    }
}

/// Amounts in the tank, mmol, and the figures beside them.
fn figures(state: &State, keys: &[&'static str]) -> Vec<f64> {
    let amount = |key: &&'static str| {
        1e3 * Component::from_key(key).map_or(state.dissolved.carbon_mol, |ion| {
            state.dissolved.ions.get(ion)
        })
    };
    let beside = [
        state.water_kg,
        state.temperature_c,
        state.scale_g(),
        CALCITE_G_PER_MOL * state.precipitated_mol,
        CARBON_DIOXIDE_G_PER_MOL * state.carbon_dioxide_mol,
        state.steam_kg,
        chlorine_g_per_mol() * state.chlorine.free_mol_per_kg,
        chlorine_g_per_mol() * state.chlorine.combined_mol_per_kg,
    ];
    keys.iter().map(amount).chain(beside).collect()
}

/// What can be dissolved: no less than nothing of anything, and alkalinity is what the charges leave.
fn possible(dissolved: &Dose) -> Dose {
    let mut held = *dissolved;
    for ion in Component::ALL {
        held.ions.set(ion, math::at_least(held.ions.get(ion), 0.0));
    }
    held.alkalinity_eq = held.ions.strong_charge();
    held.carbon_mol = math::at_least(held.carbon_mol, 0.0);
    held
}

/// A tank that differs by so much.
fn moved(state: &State, keys: &[&'static str], differences: &[f64]) -> State {
    let mut moved = *state;
    let mut dose = Dose::default();
    for (key, difference) in keys.iter().zip(differences) {
        match Component::from_key(key) {
            Some(ion) => dose.ions.set(ion, difference / 1e3),
            None => dose.carbon_mol = difference / 1e3,
        }
    }
    dose.alkalinity_eq = dose.ions.strong_charge();
    moved.dissolved = possible(&state.dissolved.plus(&dose));
    let mut beside = differences.iter().skip(keys.len()).copied();
    let mut next = || beside.next().unwrap_or(0.0);
    moved.water_kg = math::at_least(state.water_kg + next(), 0.0);
    moved.temperature_c = (state.temperature_c + next()).clamp(0.0, 100.0);
    moved.calcite_mol += next() / CALCITE_G_PER_MOL;
    moved.precipitated_mol += next() / CALCITE_G_PER_MOL;
    moved.carbon_dioxide_mol += next() / CARBON_DIOXIDE_G_PER_MOL;
    moved.steam_kg += next();
    let mut chlorine = |there: f64| math::at_least(there + next() / chlorine_g_per_mol(), 0.0);
    moved.chlorine = Chlorine {
        free_mol_per_kg: chlorine(state.chlorine.free_mol_per_kg),
        combined_mol_per_kg: chlorine(state.chlorine.combined_mol_per_kg),
    };
    moved
}
