//! What is weighed and measured out, in the order of work.

use super::solution::Solution;
use crate::reagent::Preparation;
use crate::recipe::Vessel;

/// One thing to weigh or measure out.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step {
    /// Its number in the order of work, from 1.
    pub number: u32,
    pub vessel: Vessel,
    pub preparation: Preparation,
    /// In whole steps of the scale, g or mL, each time the vessel is filled.
    pub amount: f64,
    /// What the computation asked for.
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

/// The steps of a day: first what removes chlorine, then by vessel salts and bases before acids, since they dissolve while
/// there is time and the acid is trimmed last; then acid and zinc for the kettle.
pub(super) fn steps(solution: &Solution<'_>) -> Vec<Step> {
    let mut steps = Vec::new();
    let mut add = |vessel, preparation: &Preparation, amounts: [f64; 2], purpose| {
        let [amount, before_rounding] = amounts;
        steps.push(Step {
            number: 0,
            vessel,
            preparation: *preparation,
            amount,
            before_rounding,
            purpose,
        });
    };
    if let Some(removal) = &solution.removal {
        for dose in removal.doses(&solution.problem.waters, &solution.fitted.shares) {
            let amounts = [dose.amount, dose.before_rounding];
            let preparation = &removal.shelved.preparation;
            add(dose.vessel, preparation, amounts, Purpose::Dechlorination);
        }
    }
    for index in in_order_of_work(solution) {
        let Some(option) = solution.problem.doses.get(index) else {
            continue;
        };
        let amount = solution.dose(index);
        let before = solution.fitted.doses_before_rounding.get(index);
        let amounts = [amount, before.copied().unwrap_or(amount)];
        add(
            option.vessel,
            &option.preparation,
            amounts,
            Purpose::Fit(index),
        );
    }
    if let Some(acid) = &solution.kettle.acid {
        let amounts = [acid.amount, acid.before_rounding];
        let preparation = &acid.shelved.preparation;
        add(Vessel::Kettle, preparation, amounts, Purpose::KettleAcid);
    }
    if let Some(zinc) = solution.zinc.as_ref().filter(|zinc| zinc.amount > 0.0) {
        let amounts = [zinc.amount, zinc.before_rounding];
        let preparation = &zinc.shelved.preparation;
        add(Vessel::Kettle, preparation, amounts, Purpose::Zinc);
    }
    for (number, step) in (1..).zip(&mut steps) {
        step.number = number;
    }
    steps
}

/// Places of the doses that are given, by vessel, salts and bases before acids.
fn in_order_of_work(solution: &Solution<'_>) -> Vec<usize> {
    let mut order = Vec::new();
    for vessel in Vessel::ALL {
        for acids in [false, true] {
            let options = solution.problem.doses.iter().enumerate();
            let given = options.filter(|(index, option)| {
                option.vessel == vessel
                    && option.preparation.is_acid() == acids
                    && solution.dose(*index) > 0.0
            });
            order.extend(given.map(|(index, _)| index));
        }
    }
    order
}
