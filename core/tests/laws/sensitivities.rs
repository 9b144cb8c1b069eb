//! That the exact derivatives of an equilibrium are those of the solver's own answers.

use proptest::prelude::*;
use proptest::test_runner::TestCaseError;
use underlet::aqueous::{Aqueous, Equilibrium, EquilibriumError, Gradient, Mineral, Sensitivities};
use underlet::component::{Component, Composition};
use underlet::liquor::{Dose, Liquor};

use super::strategies::{cases, liquor};

/// Ways to ask.
#[derive(Clone, Copy, Debug)]
enum Mode {
    Closed,
    WithPh,
    WithPhAndCarbon,
    Open,
    Dosed,
    DosedOpen,
    Precipitated,
    PrecipitatedOpen,
}

const MODES: [Mode; 8] = [
    Mode::Closed,
    Mode::WithPh,
    Mode::WithPhAndCarbon,
    Mode::Open,
    Mode::Dosed,
    Mode::DosedOpen,
    Mode::Precipitated,
    Mode::PrecipitatedOpen,
];

/// What may form; calcite and gypsum in many of these waters.
const MINERALS: [(Mineral, f64); 3] = [
    (Mineral::Calcite, 0.0),
    (Mineral::Gypsum, 0.1),
    (Mineral::Brucite, 0.3),
];

/// A question, each of whose values can be changed.
#[derive(Clone, Copy, Debug)]
struct Problem {
    mode: Mode,
    liquor: Liquor,
    ph: f64,
    log10_pco2: f64,
}

/// A value of a question.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Value {
    Of(Component),
    Alkalinity,
    Carbon,
    Kelvin,
    Ph,
    Pressure,
}

/// Half hydrochloric, half phosphoric acid: strong and weak at once.
fn acid() -> Dose {
    Dose {
        ions: Composition::ZERO
            .with(Component::Chloride, 0.5)
            .with(Component::Phosphate, 0.5),
        alkalinity_eq: -0.5,
        carbon_mol: 0.0,
    }
}

impl Problem {
    fn with(mut self, value: Value, more: f64) -> Problem {
        match value {
            Value::Of(ion) => self.liquor.ions.set(ion, self.liquor.ions.get(ion) + more),
            Value::Alkalinity => self.liquor.alkalinity_eq_per_kg += more,
            Value::Carbon => self.liquor.carbon_mol_per_kg += more,
            Value::Kelvin => self.liquor.temperature_c += more,
            Value::Ph => self.ph += more,
            Value::Pressure => self.log10_pco2 += more,
        }
        self
    }

    /// A change small enough for differences, and zero where the value is at its end: then only
    /// more of it can be tried.
    fn step(&self, value: Value) -> (f64, bool) {
        let amount = |amount: f64| (1e-3 * amount.max(1e-5), amount > 0.0);
        match value {
            Value::Of(ion) => amount(self.liquor.ions.get(ion)),
            Value::Alkalinity => (1e-7, true),
            Value::Carbon => amount(self.liquor.carbon_mol_per_kg),
            Value::Kelvin => (0.05, true),
            Value::Ph | Value::Pressure => (1e-3, true),
        }
    }

    fn ask(&self) -> Result<(Aqueous, Equilibrium, Vec<f64>), EquilibriumError> {
        let aqueous = Aqueous::at(self.liquor.temperature_c);
        let Problem {
            liquor,
            ph,
            log10_pco2,
            ..
        } = self;
        let alone = |state: Equilibrium| (state, Vec::new());
        let dosed = |(state, dose): (Equilibrium, f64)| (state, vec![dose]);
        let (state, moved) = match self.mode {
            Mode::Closed => alone(aqueous.closed(liquor)?),
            Mode::WithPh => alone(aqueous.with_ph(liquor, *ph)?),
            Mode::WithPhAndCarbon => alone(aqueous.with_ph_and_carbon(liquor, *ph)?),
            Mode::Open => alone(aqueous.open(liquor, *log10_pco2)?),
            Mode::Dosed => dosed(aqueous.dosed_to_ph(liquor, &acid(), *ph, None)?),
            Mode::DosedOpen => {
                dosed(aqueous.dosed_to_ph(liquor, &acid(), *ph, Some(*log10_pco2))?)
            }
            Mode::Precipitated => aqueous.precipitated(liquor, &MINERALS, None)?,
            Mode::PrecipitatedOpen => aqueous.precipitated(liquor, &MINERALS, Some(*log10_pco2))?,
        };
        Ok((aqueous, state, moved))
    }

    /// All results in a row; None where there is no answer.
    fn results(&self) -> Option<Vec<f64>> {
        let (_, state, moved) = self.ask().ok()?;
        let indices = Mineral::ALL.map(|mineral| state.saturation_index(mineral));
        let mut results = vec![
            state.ph,
            state.ionic_strength_mol_per_kg,
            state.log10_pco2,
            state.liquor.alkalinity_eq_per_kg,
            state.liquor.carbon_mol_per_kg,
            state.conductivity_us_per_cm(),
            state.conductivity_25c_us_per_cm(),
        ];
        results.extend(indices);
        results.extend(moved);
        Some(results)
    }
}

/// Places of pH, partial pressure and saturation indices.
const LOGARITHMS: [usize; 8] = [0, 2, 7, 8, 9, 10, 11, 12];

/// Their gradients in the same order.
fn gradients(slopes: &Sensitivities, question: &Problem) -> Vec<Option<Gradient>> {
    let mut gradients = vec![
        Some(slopes.ph()),
        Some(slopes.ionic_strength_mol_per_kg()),
        slopes.log10_pco2(),
        Some(slopes.alkalinity_eq_per_kg()),
        Some(slopes.carbon_mol_per_kg()),
        Some(slopes.conductivity_us_per_cm()),
        Some(slopes.conductivity_25c_us_per_cm()),
    ];
    gradients.extend(Mineral::ALL.map(|mineral| slopes.saturation_index(mineral)));
    match question.mode {
        Mode::Dosed | Mode::DosedOpen => gradients.push(slopes.dose()),
        Mode::Precipitated | Mode::PrecipitatedOpen => {
            gradients.extend(MINERALS.map(|(mineral, _)| slopes.precipitated(mineral)));
        }
        _ => {}
    }
    gradients
}

fn read(gradient: &Gradient, value: Value) -> f64 {
    match value {
        Value::Of(ion) => gradient.per_ion.get(ion),
        Value::Alkalinity => gradient.per_alkalinity,
        Value::Carbon => gradient.per_carbon,
        Value::Kelvin => gradient.per_kelvin,
        Value::Ph => gradient.per_ph,
        Value::Pressure => gradient.per_log10_pco2,
    }
}

/// Some of the ions of a liquor taken out, so that derivatives at nothing are met too; balanced
/// with sodium or chloride, since conductivity is_nonlinear without end where all that carries is
/// of one sign.
fn thinned() -> impl Strategy<Value = Liquor> {
    (liquor(), any::<u32>(), 0..4u32).prop_map(|(mut liquor, kept, all)| {
        for (place, ion) in Component::ALL.into_iter().enumerate() {
            if all > 0 && kept >> place & 1 == 0 {
                liquor.ions.set(ion, 0.0);
            }
        }
        let missing = liquor.alkalinity_eq_per_kg - liquor.ions.strong_charge();
        let ion = if missing > 0.0 {
            Component::Sodium
        } else {
            Component::Chloride
        };
        liquor.ions.set(ion, liquor.ions.get(ion) + missing.abs());
        liquor
    })
}

fn question() -> impl Strategy<Value = Problem> {
    (thinned(), 0..MODES.len(), 4.5..9.0f64, -4.0..-0.5f64).prop_map(
        |(mut liquor, mode, ph, log10_pco2)| {
            // Differences of temperature need a little room at either end of the scale.
            liquor.temperature_c = liquor.temperature_c.clamp(0.2, 99.8);
            Problem {
                mode: MODES[mode],
                liquor,
                ph,
                log10_pco2,
            }
        },
    )
}

/// Results at 1, 2, 3, 4 or -2, -1, 1, 2 steps.
type Around = [Vec<f64>; 4];

/// Differences of the fourth order: their error goes with the fourth power of the step, a millionth
/// of a millionth of the value.
fn difference(around: &Around, middle: f64, place: usize, step: f64, both_sides: bool) -> f64 {
    let [a, b, c, d] = [0, 1, 2, 3].map(|at| around[at][place]);
    if both_sides {
        (8.0 * (c - b) - (d - a)) / (12.0 * step)
    } else {
        (-25.0 * middle + 48.0 * a - 36.0 * b + 16.0 * c - 3.0 * d) / (12.0 * step)
    }
}

/// What a difference of the fourth order leaves out, as a share of the change: 1e-7 in most of
/// these waters, more where next to nothing buffers.
const LEFT_OUT: f64 = 1e-5;
/// What the solver leaves of a result, relative, at its tolerance of 2e-13 and with the weights of
/// one-sided differences.
const NOISE: f64 = 5e-12;

/// Which minerals form.
fn forming(question: &Problem) -> Option<Vec<bool>> {
    let (_, _, moved) = question.ask().ok()?;
    Some(moved.iter().map(|amount| *amount != 0.0).collect())
}

fn check(question: &Problem, value: Value) -> Result<(), TestCaseError> {
    let Ok((aqueous, state, _)) = question.ask() else {
        return Ok(());
    };
    let (step, both_sides) = question.step(value);
    let places = if both_sides {
        [-2.0, -1.0, 1.0, 2.0]
    } else {
        [1.0, 2.0, 3.0, 4.0]
    };
    let near = places.map(|times| question.with(value, times * step));
    let middle = question.results().expect("it was answered before");
    // Where a mineral begins or ceases to form there is a bend.
    let same = forming(question);
    let [Some(a), Some(b), Some(c), Some(d)] = near.map(|question| {
        let unbent = forming(&question) == same;
        question.results().filter(|_| unbent)
    }) else {
        return Ok(());
    };
    let around = [a, b, c, d];
    let slopes = aqueous.sensitivities(&state).expect("of this temperature");
    for (place, gradient) in gradients(&slopes, question).iter().enumerate() {
        let Some(gradient) = gradient else { continue };
        let exact = read(gradient, value) * step;
        let found = difference(&around, middle[place], place, step, both_sides) * step;
        let change = around
            .iter()
            .map(|results| (results[place] - middle[place]).abs())
            .fold(0.0, f64::max);
        let least = if LOGARITHMS.contains(&place) {
            1.0
        } else {
            1e-3
        };
        let noise = NOISE * middle[place].abs().max(least);
        prop_assert!(
            (exact - found).abs() <= LEFT_OUT * change + noise,
            "result {place} by {value:?}: {exact:e}, by differences {found:e}: {question:?}"
        );
    }
    Ok(())
}

/// A liquor with next to nothing of an ion or of carbon: a search that ends at a bound leaves such
/// traces.
fn with_trace(mut question: Problem, value: Value, trace: f64) -> Problem {
    match value {
        Value::Of(ion) => question.liquor.ions.set(ion, trace),
        _ => question.liquor.carbon_mol_per_kg = trace,
    }
    question
}

/// Derivatives that do not depend on how little there is of a trace.
fn of_the_rest(question: &Problem) -> Option<[Gradient; 3]> {
    let (aqueous, state, _) = question.ask().ok()?;
    let slopes = aqueous.sensitivities(&state).expect("of this temperature");
    Some([
        slopes.ph(),
        slopes.ionic_strength_mol_per_kg(),
        slopes.conductivity_25c_us_per_cm(),
    ])
}

proptest! {
    #![proptest_config(cases(120))]

    #[test]
    fn a_trace_has_the_derivatives_of_nothing(question in question(), exponent in 18.0..60.0f64) {
        let question = Problem { mode: Mode::Closed, ..question };
        let everything = Component::ALL.map(Value::Of).into_iter().chain([Value::Carbon]);
        for value in everything.clone() {
            let nothing = of_the_rest(&with_trace(question, value, 0.0));
            let trace = of_the_rest(&with_trace(question, value, 10f64.powf(-exponent)));
            let (Some(nothing), Some(trace)) = (nothing, trace) else { continue };
            for (a, b) in nothing.iter().zip(&trace) {
                for other in everything.clone() {
                    let (a, b) = (read(a, other), read(b, other));
                    // The trace itself is less than 1e-18 mol/kg beside the 1e-8 of ions that pure
                    // cold water has.
                    prop_assert!(
                        (a - b).abs() <= 1e-6 * a.abs().max(1e-3),
                        "{other:?} beside 1e-{exponent} of {value:?}: {b:e}, without it {a:e}: {question:?}"
                    );
                }
            }
        }
    }

    #[test]
    fn derivatives_are_those_of_the_answers(question in question()) {
        let ions = Component::ALL.map(Value::Of);
        let others = [Value::Alkalinity, Value::Carbon, Value::Kelvin, Value::Ph, Value::Pressure];
        for value in ions.into_iter().chain(others) {
            check(&question, value)?;
        }
    }
}
