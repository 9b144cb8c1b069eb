//! What a day leaves in the tank, as a document gives it out and takes it again.

use std::borrow::Cow;
use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::figures::{CALCITE_G_PER_MOL, CARBON_DIOXIDE_G_PER_MOL, chlorine_g_per_mol};
use super::liquor::liquor_of;
use crate::checker::Checker;
use crate::component::Component;
use crate::error::InputError;
use crate::liquor::Dose;
use crate::math;
use crate::recipe::Source;
use crate::recipe::reconciled::is_known;
use crate::tank::ledger::{Contents, Heel, Perturbed};
use crate::treatment::{Chlorine, Rates};
use crate::uncertainty::Cause;
use crate::water_report::{ReconciledLiquor, ReconciledRemark};

/// What a day leaves in the tank: hand it to the next day whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankHeel {
    /// Water in the tank, kg.
    pub water_kg: f64,
    /// Its temperature, °C.
    pub temperature_c: f64,
    /// What it is, as a source of a brew day takes it.
    pub liquor: ReconciledLiquor,
    /// Scale since the tank was first filled, g.
    pub scale_g: f64,
    /// Carbon dioxide that left since then, g.
    pub carbon_dioxide_g: f64,
    /// Steam that left since then, kg.
    pub steam_kg: f64,
    /// Free chlorine in the tank, g as Cl2.
    pub free_chlorine_g: f64,
    /// Combined chlorine in the tank, g as Cl2.
    pub combined_chlorine_g: f64,
    /// How the tank would differ, had one thing been off since it was first filled: what makes
    /// error bars add up over days.
    pub perturbations: Vec<TankPerturbation>,
}

/// How the tank would differ, had one thing been off by its standard deviation.
#[derive(Clone, Debug, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct TankPerturbation {
    /// The rate of the tank that was off, by its key.
    pub rate: Option<Cow<'static, str>>,
    /// The supply that was off, by its name; without rate or supply it is the heel itself,
    /// written by hand.
    pub supply: Option<String>,
    /// Which of the supply's causes, from 0.
    pub place: Option<u32>,
    /// Difference in the tank of each amount of `liquor`, by its key, mmol.
    pub amounts_mmol: BTreeMap<Cow<'static, str>, f64>,
    /// Difference in water, kg.
    pub water_kg: f64,
    /// Difference in temperature, K.
    pub temperature_c: f64,
    /// Difference in scale since the tank was first filled, g.
    pub scale_g: f64,
    /// Difference in carbon dioxide that left since then, g.
    pub carbon_dioxide_g: f64,
    /// Difference in steam that left since then, kg.
    pub steam_kg: f64,
    /// Difference in free chlorine, g as Cl2.
    pub free_chlorine_g: f64,
    /// Difference in combined chlorine, g as Cl2.
    pub combined_chlorine_g: f64,
}

impl TankHeel {
    /// The heel as it is given out.
    pub fn of(heel: &Heel, remarks: &[ReconciledRemark]) -> TankHeel {
        let state = heel.state();
        let liquor = liquor_of(&state.liquor(), &heel.moved(), remarks);
        let off = |one: &Perturbed| {
            let keys = liquor.amounts.iter().map(|amount| &amount.key);
            TankPerturbation::between(&one.cause, state, &one.state, keys)
        };
        let moved = |one: &&Perturbed| one.state != *state;
        TankHeel {
            water_kg: state.water_kg,
            temperature_c: state.temperature_c,
            scale_g: state.scale_g(),
            carbon_dioxide_g: CARBON_DIOXIDE_G_PER_MOL * state.carbon_dioxide_mol,
            steam_kg: state.steam_kg,
            free_chlorine_g: chlorine_g_per_mol() * state.chlorine.free_mol_per_kg,
            combined_chlorine_g: chlorine_g_per_mol() * state.chlorine.combined_mol_per_kg,
            perturbations: heel.perturbed().iter().filter(moved).map(off).collect(),
            liquor,
        }
    }

    /// The heel as the next day takes it. Where it came without perturbed copies, the covariance of
    /// its liquor makes them.
    ///
    /// # Errors
    /// What is wrong with the liquor, as [`Source::reconciled`] finds it, and differences of what
    /// no liquor holds.
    pub fn taken(&self) -> Result<Heel, InputError> {
        let source = Source::reconciled(String::new(), &self.liquor, None)
            .map_err(|error| error.within("liquor"))?;
        let mut checker = Checker::new();
        checker.list(
            "perturbations",
            &self.perturbations,
            [0, usize::MAX],
            |of, off| {
                for key in off.amounts_mmol.keys() {
                    of.at(&format!("amounts_mmol.{key}"), is_known(key));
                }
            },
        );
        checker.into_result()?;
        let state = Contents {
            water_kg: self.water_kg,
            dissolved: source.liquor.as_dose().times(self.water_kg),
            chlorine: Chlorine {
                free_mol_per_kg: math::at_least(self.free_chlorine_g, 0.0) / chlorine_g_per_mol(),
                combined_mol_per_kg: math::at_least(self.combined_chlorine_g, 0.0)
                    / chlorine_g_per_mol(),
            },
            temperature_c: self.temperature_c,
            calcite_mol: self.scale_g / CALCITE_G_PER_MOL,
            carbon_dioxide_mol: self.carbon_dioxide_g / CARBON_DIOXIDE_G_PER_MOL,
            steam_kg: self.steam_kg,
        };
        let perturbed: Vec<Perturbed> = if self.perturbations.is_empty() {
            let known = source.reconciled.iter();
            let components = known.flat_map(|known| known.covariance.independent_components());
            let perturbed = components.enumerate().map(|(place, moved)| Perturbed {
                cause: Cause::Heel(place),
                state: Contents {
                    dissolved: possible(&state.dissolved.plus(&moved.times(self.water_kg))),
                    ..state
                },
            });
            perturbed.collect()
        } else {
            let one = |perturbation: &TankPerturbation| Perturbed {
                cause: perturbation.cause(),
                state: perturbation.moved(&state),
            };
            self.perturbations.iter().map(one).collect()
        };
        Ok(Heel::left(state, perturbed))
    }
}

impl TankPerturbation {
    /// How one state differs from another, in the amounts of these keys and in all figures.
    fn between<'k>(
        cause: &Cause,
        from: &Contents,
        to: &Contents,
        keys: impl Iterator<Item = &'k Cow<'static, str>>,
    ) -> TankPerturbation {
        let (rate, supply, place) = match cause {
            Cause::TankRate(place) => (Rates::KEYS.get(*place).copied(), None, None),
            Cause::Heel(place) => (None, None, u32::try_from(*place).ok()),
            Cause::Supply(name, place) => (None, Some(name.clone()), u32::try_from(*place).ok()),
            // No other cause perturbs a tank.
            _ => (None, None, None),
        };
        let mmol = |state: &Contents, key: &str| {
            let dissolved = &state.dissolved;
            1e3 * Component::from_key(key)
                .map_or(dissolved.carbon_mol, |ion| dissolved.ions.get(ion))
        };
        let grams =
            |mol: fn(&Contents) -> f64, g_per_mol: f64| g_per_mol * mol(to) - g_per_mol * mol(from);
        TankPerturbation {
            rate: rate.map(Cow::Borrowed),
            supply,
            place,
            amounts_mmol: keys
                .map(|key| (key.clone(), mmol(to, key) - mmol(from, key)))
                .collect(),
            water_kg: to.water_kg - from.water_kg,
            temperature_c: to.temperature_c - from.temperature_c,
            scale_g: to.scale_g() - from.scale_g(),
            carbon_dioxide_g: grams(|state| state.carbon_dioxide_mol, CARBON_DIOXIDE_G_PER_MOL),
            steam_kg: to.steam_kg - from.steam_kg,
            free_chlorine_g: grams(|state| state.chlorine.free_mol_per_kg, chlorine_g_per_mol()),
            combined_chlorine_g: grams(
                |state| state.chlorine.combined_mol_per_kg,
                chlorine_g_per_mol(),
            ),
        }
    }

    fn cause(&self) -> Cause {
        let rate = self.rate.as_deref();
        let rate = Rates::KEYS.iter().position(|key| Some(*key) == rate);
        rate.map_or_else(
            || {
                let place = self.place.and_then(|place| usize::try_from(place).ok());
                let place = place.unwrap_or(0);
                let supply = self.supply.clone();
                supply.map_or(Cause::Heel(place), |name| Cause::Supply(name, place))
            },
            Cause::TankRate,
        )
    }

    /// A tank that differs by so much.
    fn moved(&self, state: &Contents) -> Contents {
        let mut dose = Dose::default();
        for (key, mmol) in &self.amounts_mmol {
            match Component::from_key(key) {
                Some(ion) => dose.ions.set(ion, mmol / 1e3),
                None => dose.carbon_mol = mmol / 1e3,
            }
        }
        dose.alkalinity_eq = dose.ions.strong_charge();
        let chlorine =
            |there: f64, grams: f64| math::at_least(there + grams / chlorine_g_per_mol(), 0.0);
        Contents {
            dissolved: possible(&state.dissolved.plus(&dose)),
            water_kg: math::at_least(state.water_kg + self.water_kg, 0.0),
            temperature_c: (state.temperature_c + self.temperature_c).clamp(0.0, 100.0),
            calcite_mol: state.calcite_mol + self.scale_g / CALCITE_G_PER_MOL,
            carbon_dioxide_mol: state.carbon_dioxide_mol
                + self.carbon_dioxide_g / CARBON_DIOXIDE_G_PER_MOL,
            steam_kg: state.steam_kg + self.steam_kg,
            chlorine: Chlorine {
                free_mol_per_kg: chlorine(state.chlorine.free_mol_per_kg, self.free_chlorine_g),
                combined_mol_per_kg: chlorine(
                    state.chlorine.combined_mol_per_kg,
                    self.combined_chlorine_g,
                ),
            },
        }
    }
}

/// What can be dissolved: no less than nothing of anything, and alkalinity is what the charges
/// leave.
fn possible(dissolved: &Dose) -> Dose {
    let mut held = *dissolved;
    for ion in Component::ALL {
        held.ions.set(ion, math::at_least(held.ions.get(ion), 0.0));
    }
    held.alkalinity_eq = held.ions.strong_charge();
    held.carbon_mol = math::at_least(held.carbon_mol, 0.0);
    held
}
