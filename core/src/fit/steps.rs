//! What is weighed and measured out, in the order of work.

use super::dechlorination::RemovalDose;
use super::kettle::KettleDose;
use super::problem::{DoseOption, Problem};
use super::result::FitResult;
use crate::error::codes;
use crate::math;
use crate::reagent::Preparation;
use crate::recipe::{ShelfReagent, Vessel};

/// One thing to weigh or measure out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Its number in the order of work, from 1.
    pub number: u32,
    pub vessel: Vessel,
    pub preparation: Preparation,
    /// Which part of its dose it is; `None` for all of it.
    pub part: Option<AcidPart>,
    /// In whole steps of the scale, g or mL, each time the vessel is filled.
    pub amount: f64,
    /// Before rounding to the scale.
    pub before_rounding: f64,
    pub purpose: Purpose,
}

impl Step {
    /// Whether it is an acid for the mash itself.
    pub fn is_acid_for_mash(&self) -> bool {
        self.vessel == Vessel::MashTun && self.preparation.is_acid()
    }
}

codes! {
    /// Parts of the acid for a mash.
    pub enum AcidPart {
        /// Given after mashing in, before the mash is read.
        First = "first",
        /// Given after the first reading, as far as that still asks for it.
        Rest = "rest",
    }
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
            part: None,
            amount,
            before_rounding,
            purpose,
        }
    }

    /// The same step in two parts, where the mash is read between them; all of it as the second
    /// where nothing is given before.
    fn in_parts(self, first_share: f64, option: &DoseOption) -> Vec<Step> {
        let Some(first) = first_part(first_share, option, self.amount) else {
            return vec![self];
        };
        let part = |part, amount| Step {
            part: Some(part),
            amount,
            before_rounding: self.before_rounding * amount / self.amount,
            ..self
        };
        let rest = ((self.amount - first) / option.step).round() * option.step;
        let parts = [part(AcidPart::First, first), part(AcidPart::Rest, rest)];
        parts.into_iter().filter(|step| step.amount > 0.0).collect()
    }
}

/// How much of a dose goes into the mash before its first reading, in whole steps of the scale and
/// possibly none; `None` where all of it is given at once: what is no acid for the mash, and what
/// leaves too little for a second dose.
pub(crate) fn first_part(first_share: f64, option: &DoseOption, amount: f64) -> Option<f64> {
    let is_acid = option.preparation.is_acid() && option.vessel == Vessel::MashTun;
    if !is_acid || first_share >= 1.0 {
        return None;
    }
    // What a difference has rounded is no step, and no missing one.
    let least = math::at_least(option.min_dose * (1.0 - 1e-9), 0.5 * option.step);
    let first = (first_share * amount / option.step + 1e-9).floor() * option.step;
    let first = if first >= least { first } else { 0.0 };
    (amount - first >= least).then_some(first)
}

/// The steps of a day: first what removes chlorine, then by vessel salts and bases before acids,
/// since they dissolve while there is time and the acid is trimmed last; then acid and zinc for the
/// kettle.
pub(super) fn steps(
    removal: &[(&ShelfReagent, RemovalDose)],
    (first_share, problem, fitted): (f64, &Problem<'_>, &FitResult),
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
        .chain(of_the_fit(first_share, problem, fitted))
        .chain(acid.map(|acid| in_kettle(acid, Purpose::KettleAcid)))
        .chain(zinc.map(|zinc| in_kettle(zinc, Purpose::Zinc)))
        .collect();
    for (number, step) in (1..).zip(&mut steps) {
        step.number = number;
    }
    steps
}

/// Doses of the fit, by vessel, salts and bases before acids, first parts before the rest.
fn of_the_fit(first_share: f64, problem: &Problem<'_>, fitted: &FitResult) -> Vec<Step> {
    let amounts = fitted.doses.iter().zip(&fitted.doses_before_rounding);
    let given = problem.doses.iter().zip(amounts).enumerate();
    let given = given.filter(|(_, (_, (amount, _)))| **amount > 0.0);
    let mut steps: Vec<Step> = given
        .flat_map(|(index, (option, (amount, before_rounding)))| {
            let step = Step {
                number: 0,
                vessel: option.vessel,
                preparation: option.preparation,
                part: None,
                amount: *amount,
                before_rounding: *before_rounding,
                purpose: Purpose::Fit(index),
            };
            step.in_parts(first_share, option)
        })
        .collect();
    steps.sort_by_key(|step| (step.vessel, step.preparation.is_acid(), step.part));
    steps
}
