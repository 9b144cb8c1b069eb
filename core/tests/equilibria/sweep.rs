//! Random questions over all that the reader lets in: each is answered, or refused with a reason.

use std::collections::BTreeMap;

use underlet::aqueous::{Aqueous, Equilibrium, EquilibriumError, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::{Dose, Liquor, alkalinity_eq_per_kg};

use super::balances;
use crate::common::dice::Dice;

/// The reader's largest concentration, mg/L, and alkalinity, mg/L as CaCO3.
const MOST_MG_PER_L: f64 = 20_000.0;
const MOST_ALKALINITY: f64 = 2000.0;
/// Smallest amount that is not nothing, mol/kg.
const LEAST: f64 = 1e-9;
/// Largest relative error of a balance that passes.
const CLOSED_TO: f64 = 1e-10;

#[derive(Clone, Debug)]
enum Mode {
    Closed,
    WithPh(f64),
    WithPhAndCarbon(f64),
    Open(f64),
    Precipitated(Vec<(Mineral, f64)>, Option<f64>),
    Dosed(Dose, f64, Option<f64>),
}

#[derive(Clone, Debug)]
struct Problem {
    temperature_c: f64,
    liquor: Liquor,
    mode: Mode,
}

fn amount(dice: &mut Dice, most: f64) -> f64 {
    if dice.chance(0.3) {
        0.0
    } else {
        dice.magnitude(LEAST, most)
    }
}

fn liquor(dice: &mut Dice) -> Liquor {
    let mut ions = Composition::ZERO;
    let weak = dice.chance(0.4);
    for ion in Component::ALL {
        if !ion.is_weak_acid() || (weak && dice.chance(0.5)) {
            ions.set(ion, amount(dice, ion.mol_per_kg(MOST_MG_PER_L)));
        }
    }
    let most = alkalinity_eq_per_kg(MOST_ALKALINITY);
    let alkalinity = amount(dice, most);
    // Acid dosed in excess leaves less than none.
    let sign = if dice.chance(0.15) { -1.0 } else { 1.0 };
    Liquor {
        ions,
        alkalinity_eq_per_kg: sign * alkalinity,
        carbon_mol_per_kg: amount(dice, most),
        temperature_c: 20.0,
    }
}

fn dose(dice: &mut Dice) -> Dose {
    let strong = |ion: Component| {
        let ions = Composition::ZERO.with(ion, 1.0);
        Dose {
            ions,
            alkalinity_eq: ions.strong_charge(),
            carbon_mol: 0.0,
        }
    };
    let weak = |ion: Component| Dose {
        ions: Composition::ZERO.with(ion, 1.0),
        ..Dose::default()
    };
    match dice.pick(8) {
        0 => strong(Component::Chloride),
        1 => strong(Component::Sulfate),
        2 => weak(Component::Lactate),
        3 => weak(Component::Phosphate),
        4 => weak(Component::Citrate),
        5 => strong(Component::Sodium),
        6 => strong(Component::Calcium),
        _ => Dose {
            carbon_mol: 1.0,
            ..strong(Component::Sodium)
        },
    }
}

fn question(dice: &mut Dice) -> Problem {
    let liquor = liquor(dice);
    let pressure = |dice: &mut Dice| dice.real(-5.0, 0.0);
    let perhaps = |dice: &mut Dice| dice.chance(0.5).then(|| dice.real(-5.0, 0.0));
    let mode = match dice.pick(6) {
        0 => Mode::Closed,
        1 => Mode::WithPh(dice.real(0.0, 14.0)),
        2 => Mode::WithPhAndCarbon(dice.real(0.0, 14.0)),
        3 => Mode::Open(pressure(dice)),
        4 => {
            let listed = [Mineral::Calcite, Mineral::Gypsum, Mineral::Brucite];
            let minerals = dice
                .some_of(&listed, 0.6)
                .into_iter()
                .copied()
                .collect::<Vec<_>>();
            let minerals = minerals.into_iter().map(|mineral| {
                (
                    mineral,
                    if dice.chance(0.7) {
                        0.0
                    } else {
                        dice.real(0.0, 1.5)
                    },
                )
            });
            Mode::Precipitated(minerals.collect(), perhaps(dice))
        }
        _ => Mode::Dosed(dose(dice), dice.real(2.0, 12.0), perhaps(dice)),
    };
    Problem {
        temperature_c: dice.real(0.0, 100.0),
        liquor,
        mode,
    }
}

impl Problem {
    /// The answer, and how much a dose moved.
    fn ask(&self) -> Result<(Equilibrium, f64), EquilibriumError> {
        let aqueous = Aqueous::at(self.temperature_c);
        let state = match &self.mode {
            Mode::Closed => aqueous.closed(&self.liquor),
            Mode::WithPh(ph) => aqueous.with_ph(&self.liquor, *ph),
            Mode::WithPhAndCarbon(ph) => aqueous.with_ph_and_carbon(&self.liquor, *ph),
            Mode::Open(pressure) => aqueous.open(&self.liquor, *pressure),
            Mode::Precipitated(minerals, pressure) => aqueous
                .precipitated(&self.liquor, minerals, *pressure)
                .map(|(state, _)| state),
            Mode::Dosed(dose, ph, pressure) => {
                return aqueous
                    .dosed_to_ph(&self.liquor, dose, *ph, *pressure)
                    .map(|(state, amount)| (state, amount.abs()));
            }
        };
        state.map(|state| (state, 0.0))
    }

    fn name(&self) -> &'static str {
        match self.mode {
            Mode::Closed => "closed",
            Mode::WithPh(_) => "with pH",
            Mode::WithPhAndCarbon(_) => "with pH and carbon",
            Mode::Open(_) => "open",
            Mode::Precipitated(_, None) => "precipitated, closed",
            Mode::Precipitated(_, Some(_)) => "precipitated, open",
            Mode::Dosed(_, _, None) => "dosed, closed",
            Mode::Dosed(_, _, Some(_)) => "dosed, open",
        }
    }

    /// Whether a strong acid or base, given without limit, must get there: from a pH on the right
    /// side of the one asked for.
    fn must_be_reached(&self) -> bool {
        let Mode::Dosed(dose, ph, pressure) = &self.mode else {
            return false;
        };
        let monovalent = dose.ions.get(Component::Chloride) > 0.0
            || (dose.ions.get(Component::Sodium) > 0.0 && dose.carbon_mol == 0.0);
        let aqueous = Aqueous::at(self.temperature_c);
        let start = match pressure {
            Some(pressure) => aqueous.open(&self.liquor, *pressure),
            None => aqueous.closed(&self.liquor),
        };
        // An open liquor takes up carbon without end as it turns alkaline: only acid is sure there.
        let acid = dose.alkalinity_eq < 0.0;
        monovalent
            && start.is_ok_and(|state| {
                if acid {
                    state.ph > *ph
                } else {
                    state.ph < *ph && pressure.is_none()
                }
            })
    }

    /// What is wrong with the answer, if anything.
    fn fault(&self) -> Option<String> {
        match self.ask() {
            Ok((state, moved)) => {
                let numbers = [
                    state.ph,
                    state.ionic_strength_mol_per_kg,
                    state.water_activity,
                    state.conductivity_us_per_cm(),
                ];
                let (error, name) = balances::worst(&state, moved);
                if numbers.iter().any(|number| !number.is_finite()) || state.log10_pco2.is_nan() {
                    Some(format!("{}: not a number", self.name()))
                } else if Mineral::ALL
                    .iter()
                    .any(|mineral| state.saturation_index(*mineral).is_nan())
                {
                    Some(format!(
                        "{}: a saturation index is not a number",
                        self.name()
                    ))
                } else if error.is_nan() || error > CLOSED_TO {
                    Some(format!("{}: balance of {name} is off", self.name()))
                } else {
                    None
                }
            }
            Err(EquilibriumError::NotConverged { .. }) => {
                Some(format!("{}: not converged", self.name()))
            }
            Err(EquilibriumError::OutOfReach { .. }) if self.must_be_reached() => {
                Some(format!("{}: a pH within reach is refused", self.name()))
            }
            Err(_) => None,
        }
    }

    /// The same fault with as few ions as it takes.
    fn shrunk(&self, fault: &str) -> Problem {
        let mut least = self.clone();
        let still = |question: &Problem| question.fault().as_deref() == Some(fault);
        for ion in Component::ALL {
            let mut without = least.clone();
            without.liquor.ions.set(ion, 0.0);
            if still(&without) {
                least = without;
            }
        }
        let mut at_25 = least.clone();
        at_25.temperature_c = 25.0;
        if still(&at_25) { at_25 } else { least }
    }

    fn describe(&self) -> String {
        let there = self.liquor.ions.iter().filter(|(_, amount)| *amount > 0.0);
        let ions: Vec<String> = there
            .map(|(ion, amount)| format!("{} {amount:e}", ion.symbol()))
            .collect();
        let mode = match &self.mode {
            Mode::Dosed(dose, ph, pressure) => {
                let what: Vec<&str> = dose
                    .ions
                    .iter()
                    .filter(|part| part.1 != 0.0)
                    .map(|(ion, _)| ion.symbol())
                    .collect();
                format!(
                    "dose {what:?} alkalinity {} carbon {} to pH {ph} under {pressure:?}",
                    dose.alkalinity_eq, dose.carbon_mol
                )
            }
            other => format!("{other:?}"),
        };
        format!(
            "{mode} at {} °C; alkalinity {:e}, carbon {:e}; {}",
            self.temperature_c,
            self.liquor.alkalinity_eq_per_kg,
            self.liquor.carbon_mol_per_kg,
            ions.join(", ")
        )
    }
}

/// Asks so many questions of a seed and tells every kind of fault: how often, and the plainest
/// question that shows it.
pub fn faults(questions: usize, seed: u64) -> Vec<String> {
    let mut dice = Dice::new(seed);
    let mut faults: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for _ in 0..questions {
        let question = question(&mut dice);
        if let Some(fault) = question.fault() {
            let entry = faults.entry(fault.clone()).or_default();
            entry.0 += 1;
            if entry.0 <= 5 {
                let least = question.shrunk(&fault).describe();
                if entry.1.is_empty() || least.len() < entry.1.len() {
                    entry.1 = least;
                }
            }
        }
    }
    let reported = |(fault, (count, least)): (String, (usize, String))| {
        format!("{count} of {questions}: {fault}; {least}")
    };
    faults.into_iter().map(reported).collect()
}
