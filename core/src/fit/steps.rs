//! What is weighed and measured out, in the order of work.

use super::dechlorination::RemovalDose;
use super::kettle::KettleDose;
use super::problem::Problem;
use super::result::FitResult;
use crate::reagent::Preparation;
use crate::recipe::{ShelfReagent, Vessel};

/// One thing to weigh or measure out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Its number in the order of work, from 1.
    pub number: u32,
    pub vessel: Vessel,
    pub preparation: Preparation,
    /// In whole steps of the scale, g or mL, each time the vessel is filled.
    pub amount: f64,
    /// Before rounding to the scale.
    pub before_rounding: f64,
    pub purpose: Purpose,
}

/// What a step is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// It removes chlorine.
    Dechlorination,
    /// It serves the targets: a dose of the fit, by its place among the options of the problem.
    Fit(usize),
    /// It brings the full kettle to its pH.
    KettleAcid,
    /// It feeds the yeast.
    Zinc,
}

impl Step {
    fn new(
        vessel: Vessel,
        shelved: &ShelfReagent,
        [amount, before_rounding]: [f64; 2],
        purpose: Purpose,
    ) -> Step {
        Step {
            number: 0,
            vessel,
            preparation: shelved.preparation,
            amount,
            before_rounding,
            purpose,
        }
    }
}

/// The steps of a day: first what removes chlorine, then by vessel salts and bases before acids,
/// since they dissolve while there is time and the acid is trimmed last; then acid and zinc for the
/// kettle.
pub(super) fn steps(
    removal: &[(&ShelfReagent, RemovalDose)],
    (problem, fitted): (&Problem<'_>, &FitResult),
    acid: Option<&KettleDose<'_>>,
    zinc: Option<&KettleDose<'_>>,
) -> Vec<Step> {
    let removal = removal.iter().map(|(shelved, dose)| {
        let amounts = [dose.amount, dose.before_rounding];
        Step::new(dose.vessel, shelved, amounts, Purpose::Dechlorination)
    });
    let in_kettle = |dose: &KettleDose<'_>, purpose| {
        let amounts = [dose.amount, dose.before_rounding];
        Step::new(Vessel::Kettle, dose.shelved, amounts, purpose)
    };
    let zinc = zinc.filter(|zinc| zinc.amount > 0.0);
    let mut steps: Vec<Step> = removal
        .chain(of_the_fit(problem, fitted))
        .chain(acid.map(|acid| in_kettle(acid, Purpose::KettleAcid)))
        .chain(zinc.map(|zinc| in_kettle(zinc, Purpose::Zinc)))
        .collect();
    for (number, step) in (1..).zip(&mut steps) {
        step.number = number;
    }
    steps
}

/// Doses of the fit, by vessel, salts and bases before acids.
fn of_the_fit(problem: &Problem<'_>, fitted: &FitResult) -> Vec<Step> {
    let amounts = fitted.doses.iter().zip(&fitted.doses_before_rounding);
    let given = problem.doses.iter().zip(amounts).enumerate();
    let given = given.filter(|(_, (_, (amount, _)))| **amount > 0.0);
    let mut steps: Vec<Step> = given
        .map(|(index, (option, (amount, before_rounding)))| Step {
            number: 0,
            vessel: option.vessel,
            preparation: option.preparation,
            amount: *amount,
            before_rounding: *before_rounding,
            purpose: Purpose::Fit(index),
        })
        .collect();
    steps.sort_by_key(|step| (step.vessel, step.preparation.is_acid()));
    steps
}
