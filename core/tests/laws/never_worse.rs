//! Whole days as they are weighed: a wider range, one more reagent, a finer scale never make the
//! plan worse.
//!
//! Judged by what the search makes least: the plan's objective and the price of each thing to
//! weigh. Where it was cut short, by the bound that its gap leaves.

use proptest::prelude::*;
use underlet::BrewDay;
use underlet::fit::{FitResult, FrozenProblem, IonicStrengths, Problem, solve};
use underlet_tables::parameters;

use super::forward::Forward;
use super::optimum::widened;
use super::strategies::cases;
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Rounding of an objective.
const ROUNDING: f64 = 1e-9;

fn priced(objective: f64, doses: &[f64]) -> f64 {
    let things = doses.iter().filter(|dose| **dose > 0.0).count();
    objective + parameters::FIT_HANDLING.value * things as f64
}

/// The least that any plan of the day can have, in its own measure: its own value, but for a gap.
fn least(result: &FitResult) -> f64 {
    priced(result.objective, &result.doses) * (1.0 - result.gap)
}

/// What another plan would be worth to a problem at some ionic strengths.
fn worth(problem: &Problem<'_>, strengths: IonicStrengths, shares: &[f64], doses: &[f64]) -> f64 {
    let model = FrozenProblem::new(problem, strengths).expect("a programme");
    let x = Forward::new(problem).variables(shares, doses);
    priced(model.objective(&x), doses)
}

fn answered(day: &BrewDay) -> (Problem<'_>, FitResult) {
    let problem = day.problem();
    let result = solve(&problem).expect("an result");
    (problem, result)
}

proptest! {
    #![proptest_config(cases(trials(25, 80)))]

    #[test]
    fn a_wider_range_of_a_random_day_is_never_worse(seed in 0..u64::MAX / 3) {
        let narrow = Draft::random(seed);
        let mut wide = narrow.clone();
        let dice = &mut Dice::new(!seed);
        for range in &mut wide.targets {
            *range = widened(range, dice);
        }
        let (narrow, wide) = (narrow.read(), wide.read());
        let ((narrow, before), (wide, after)) = (answered(&narrow), answered(&wide));
        let [was, is] = [&narrow, &wide].map(|problem| {
            worth(problem, after.ionic_strengths, &before.shares, &before.doses)
        });
        prop_assert!(is <= was + ROUNDING * (1.0 + was), "the same plan: {is} {was}");
        prop_assert!(least(&after) <= is + ROUNDING * (1.0 + is), "{} {is}", least(&after));
    }

    #[test]
    fn one_more_reagent_on_a_random_day_is_never_worse(seed in 0..u64::MAX / 3) {
        let day = Draft::random(seed).read();
        let mut fewer = day.clone();
        prop_assume!(fewer.shelf.pop().is_some());
        let ((problem, after), (without, before)) = (answered(&day), answered(&fewer));
        let last = day.shelf.len() - 1;
        let mut given = without.doses.iter().zip(&before.doses);
        // The options stand in the same order, but for the new one's.
        let doses: Vec<f64> = problem
            .doses
            .iter()
            .map(|option| if option.stock == last { 0.0 } else { *given.next().expect("a dose").1 })
            .collect();
        let was = worth(&problem, after.ionic_strengths, &before.shares, &doses);
        prop_assert!(least(&after) <= was + ROUNDING * (1.0 + was), "{} {was}", least(&after));
    }

    #[test]
    fn a_finer_scale_on_a_random_day_is_never_worse(seed in 0..u64::MAX / 3, parts in 2..6_u32) {
        let coarse = Draft::random(seed).read();
        let mut fine = coarse.clone();
        for shelved in &mut fine.shelf {
            // The min_dose sensible dose stays: a step of the coarse scale where nothing else was
            // said.
            shelved.step /= f64::from(parts);
        }
        let ((_, before), (_, after)) = (answered(&coarse), answered(&fine));
        let was = priced(before.objective, &before.doses);
        prop_assert!(least(&after) <= was + ROUNDING * (1.0 + was), "{} {was}", least(&after));
        // Both have the same plan without a scale, and none is better than that.
        prop_assert_eq!(before.objective_before_rounding, after.objective_before_rounding);
        let floor = after.objective_before_rounding;
        prop_assert!(after.objective >= floor - ROUNDING * (1.0 + floor));
    }
}
