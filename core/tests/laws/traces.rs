//! Watching a fit: every iteration is seen, nothing changes by it, and a fit that did not converge
//! says so.

use underlet::LimitedQuantity;
use underlet::component::Component;
use underlet::fit::{
    Distance, FitError, IonFitter, IonProblem, IonTarget, Salt, TargetQuantity, solve, solve_traced,
};
use underlet::liquor::Liquor;
use underlet::optimise::{Outcome, TerminationReason, Trace, TracedRun};
use underlet::reagent::Preparation;
use underlet::{BrewDay, EXAMPLES};

use crate::common::draft::Draft;

/// Costs fall from the first to the last, but for rounding.
fn assert_falls(run: &TracedRun) {
    for pair in run.costs.windows(2) {
        let rounding = 1e-9 * pair[0].abs().max(1.0);
        assert!(pair[1] <= pair[0] + rounding, "{:?}", run.costs);
    }
}

#[test]
fn a_plan_that_is_watched_is_the_same_plan() {
    let examples = EXAMPLES.map(|(_, text)| BrewDay::from_json(text).expect("valid"));
    let drafts = (0..40).map(|seed| Draft::random(seed).read());
    for day in examples.into_iter().chain(drafts) {
        let problem = day.problem();
        let trace = Trace::new();
        let watched = solve_traced(&problem, &trace).expect("an result");
        let plain = solve(&problem).expect("an result");
        // Written out, every bit counts.
        assert_eq!(format!("{watched:?}"), format!("{plain:?}"));
        let runs = trace.runs();
        assert!((1..=12).contains(&runs.len()), "a run for each round");
        let mut iterations = 0;
        for run in &runs {
            assert_eq!(run.solver, "dual active set");
            assert_eq!(run.reason, Some(TerminationReason::SolverConverged));
            assert_falls(run);
            iterations += run.costs.len() as u64 - 1;
        }
        // The rest are the relaxations of what can be weighed.
        assert!((1..=plain.iterations).contains(&iterations));
    }
}

#[test]
fn a_limit_that_no_plan_keeps_is_the_reason_of_the_run() {
    let day = BrewDay::from_json(EXAMPLES[0].1).expect("valid");
    let mut problem = day.problem();
    problem.targets.limits = vec![(LimitedQuantity::DissolvedSolids, 1.0)];
    let trace = Trace::new();
    let error = solve_traced(&problem, &trace).expect_err("no such liquor");
    assert!(matches!(error, FitError::Infeasible { .. }), "{error:?}");
    let [run] = trace.runs().try_into().expect("one run");
    let reason = "no point keeps all limits".to_owned();
    assert_eq!(run.reason, Some(TerminationReason::SolverExit(reason)));
}

/// Calcium from either of two salts: no one best choice of the two, so that the proximal point
/// method runs.
fn calcium(weight: f64) -> IonProblem {
    let salts = ["gypsum", "calcium chloride dihydrate"].map(|name| {
        let preparation = Preparation::usual(name).expect("a reagent");
        Salt::plenty(preparation.dose_per_unit())
    });
    IonProblem {
        source: Liquor::default(),
        dilution: None,
        salts: salts.to_vec(),
        targets: vec![IonTarget {
            of: TargetQuantity::Component(Component::Calcium),
            low: Some(0.002),
            high: Some(0.002),
            tolerance: 0.0002,
            weight,
        }],
        distance: Distance::Squared,
        max_salts: None,
        handling: 0.0,
        indifference: 0.0,
        node_limit: 1000,
    }
}

#[test]
fn a_fit_of_ions_that_is_watched_is_the_same_fit() {
    let problem = calcium(1.0);
    let trace = Trace::new();
    let watched = IonFitter::new().solve_traced(&problem, &trace);
    assert_eq!(watched, IonFitter::new().solve(&problem));
    // First the misses, then the material.
    let [misses, material] = trace.runs().try_into().expect("two runs");
    for run in [&misses, &material] {
        assert_eq!(run.solver, "proximal point");
        assert_falls(run);
    }
    let reason = Some(TerminationReason::TargetCostReached);
    assert_eq!(misses.reason, reason, "the target is met");
    let reason = Some(TerminationReason::SolverConverged);
    assert_eq!(material.reason, reason);

    // One salt alone has one best amount: no ridge, and no method around the solver's.
    let mut one = calcium(1.0);
    one.salts.truncate(1);
    let trace = Trace::new();
    let result = IonFitter::new()
        .solve_traced(&one, &trace)
        .expect("an result");
    let [run] = trace.runs().try_into().expect("one run");
    assert_eq!(run.solver, "dual active set");
    assert_eq!(run.costs.len() as u64, 1 + result.iterations);
}

/// Misses that weigh so much less than the ridge that an iteration goes a few hundredths of the
/// way, or less.
#[test]
fn a_fit_that_does_not_converge_is_no_answer() {
    let trace = Trace::new();
    let error = IonFitter::new()
        .solve_traced(&calcium(1e-10), &trace)
        .expect_err("no convergence");
    let FitError::NotSolved(end) = error else {
        panic!("{error:?}");
    };
    assert!(matches!(*end, Outcome::IterationLimit { .. }), "{end:?}");
    // With the smaller ridge, then with the larger one.
    let runs = trace.runs();
    assert_eq!(runs.len(), 2);
    for run in runs {
        assert_eq!(run.reason, Some(TerminationReason::MaxItersReached));
        assert_eq!(run.costs.len(), 61);
        assert_falls(&run);
    }
}
