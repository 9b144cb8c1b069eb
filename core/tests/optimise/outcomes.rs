//! What the solver reports: its outcomes and their reasons, its steps to an observer, and what it
//! refuses.

use std::sync::{Arc, Mutex};

use argmin::core::observers::{Observe, ObserverMode};
use argmin::core::{Error, Executor, KV, State};
use underlet::optimise::{
    Certificate, DualActiveSet, DualState, Limit, Outcome, Part, Programme, ProgrammeError, Span,
    Start, TerminationReason, Trace, Workspace, solve,
};

use super::worked::{bound, nearest_to, optimum, row};

#[test]
fn the_iteration_limit_is_named() {
    let mut programme = nearest_to(&[2.0, -1.0, 3.0]);
    for j in 0..3 {
        bound(&mut programme, j, Span::between(0.0, 1.0));
    }
    let outcome = Workspace::new()
        .with_iteration_limit(2)
        .solve(&programme, Start::Cold);
    assert_eq!(outcome, Outcome::IterationLimit { iterations: 2 });
}

/// What an observer of one's own sees of a run.
#[derive(Clone, Default)]
struct Seen(Arc<Mutex<Vec<(u64, f64)>>>);

impl Observe<DualState> for Seen {
    fn observe_iter(&mut self, state: &DualState, _: &KV) -> Result<(), Error> {
        let seen = (state.get_iter(), state.get_cost());
        self.0.lock().expect("one thread").push(seen);
        Ok(())
    }
}

/// The programme of [`all_bounds_bind`], run by argmin's executor with an observer attached.
#[test]
fn an_observer_of_argmin_sees_every_iteration() {
    let mut programme = nearest_to(&[2.0, -1.0, 3.0]);
    for j in 0..3 {
        bound(&mut programme, j, Span::between(0.0, 1.0));
    }
    let seen = Seen::default();
    let mut workspace = Workspace::new();
    let run = Executor::new(&programme, DualActiveSet::new(&mut workspace, Start::Cold))
        .configure(|state: DualState| state.max_iters(50))
        .add_observer(seen.clone(), ObserverMode::Always)
        .run()
        .expect("argmin runs");
    let iterations = run.state.iter;
    let outcome = run.solver.outcome();
    assert_eq!(outcome, solve(&programme));
    // By hand: x₃ stops first, then x₁, then x₂; the value rises from −7 by ½·2², ½·1² and ½·1².
    // The fourth iteration finds nothing broken.
    let costs = [5.0, 4.5, 4.0, 4.0];
    let expected: Vec<(u64, f64)> = (0..).zip(costs).collect();
    assert_eq!(*seen.0.lock().expect("one thread"), expected);
    assert_eq!(iterations, 4);
}

/// Every way a solve can end, beside the reason that argmin's executor ended for.
#[test]
fn each_outcome_has_its_reason() {
    let exit = |reason: &str| TerminationReason::SolverExit(reason.to_owned());
    let mut within = nearest_to(&[2.0, -1.0, 3.0]);
    for j in 0..3 {
        bound(&mut within, j, Span::between(0.0, 1.0));
    }
    let mut impossible = nearest_to(&[0.0]);
    row(&mut impossible, &[1.0], Span::at_least(2.0));
    row(&mut impossible, &[1.0], Span::at_most(1.0));
    let mut overflowing = Programme::new(vec![1.0], vec![0.0]).expect("valid");
    row(&mut overflowing, &[1e-155], Span::at_least(0.1));

    let ended = |programme: &Programme, limit: u64| {
        let trace = Trace::new();
        let mut workspace = Workspace::new().with_iteration_limit(limit);
        let outcome = workspace.solve_traced(programme, Start::Cold, &trace);
        let [run] = trace.runs().try_into().expect("one run");
        (outcome, run.reason.expect("an end"), run.costs.len() as u64)
    };
    let (outcome, reason, costs) = ended(&within, 50);
    let Outcome::Optimal(solution) = outcome else {
        panic!("{outcome:?}");
    };
    assert_eq!(reason, TerminationReason::SolverConverged);
    assert_eq!(costs, 1 + solution.iterations);
    // As many iterations as it takes are enough; with one fewer there is no answer.
    let (outcome, reason, _) = ended(&within, solution.iterations);
    assert_eq!(reason, TerminationReason::SolverConverged);
    assert_eq!(outcome.solution(), Some(&solution));
    let iterations = solution.iterations - 1;
    let (outcome, reason, costs) = ended(&within, iterations);
    assert_eq!(reason, TerminationReason::MaxItersReached);
    assert_eq!(outcome, Outcome::IterationLimit { iterations });
    assert_eq!(costs, 1 + iterations);

    let (outcome, reason, _) = ended(&impossible, 50);
    assert!(matches!(outcome, Outcome::Infeasible(_)), "{outcome:?}");
    assert_eq!(reason, exit("no point keeps all limits"));
    let (outcome, reason, _) = ended(&overflowing, 50);
    let trouble = matches!(outcome, Outcome::NumericalTrouble { .. });
    assert!(trouble, "{outcome:?}");
    assert_eq!(reason, exit("the numbers are too ill-conditioned"));
}

#[test]
fn what_is_wrong_with_a_programme_is_named() {
    let new = |h: &[f64], g: &[f64]| Programme::new(h.to_vec(), g.to_vec()).map(|_| ());
    let identity = [1.0, 0.0, 0.0, 1.0];
    assert_eq!(new(&[], &[]), Err(ProgrammeError::NoVariables));
    let short = ProgrammeError::Dimension {
        part: Part::Hessian,
        expected: 4,
        found: 3,
    };
    assert_eq!(new(&identity[..3], &[0.0; 2]), Err(short));
    let nan = ProgrammeError::NotFinite {
        part: Part::Gradient,
    };
    assert_eq!(new(&identity, &[0.0, f64::NAN]), Err(nan));
    let skew = ProgrammeError::NotSymmetric { row: 1, column: 0 };
    assert_eq!(new(&[1.0, 0.1, 0.2, 1.0], &[0.0; 2]), Err(skew));
    let flat = ProgrammeError::NotPositiveDefinite { column: 1 };
    assert_eq!(new(&[1.0, 1.0, 1.0, 1.0], &[0.0; 2]), Err(flat));
    assert_eq!(new(&[1.0, 0.0, 0.0, -1.0], &[0.0; 2]), Err(flat));

    let mut programme = nearest_to(&[0.0, 0.0]);
    let part = Part::Row(0);
    assert_eq!(
        programme.add_row(&[1.0], Span::FREE),
        Err(ProgrammeError::Dimension {
            part,
            expected: 2,
            found: 1
        })
    );
    assert_eq!(
        programme.add_row(&[1.0, f64::INFINITY], Span::FREE),
        Err(ProgrammeError::NotFinite { part })
    );
    assert_eq!(
        programme.add_row(&[1.0, 1.0], Span::between(2.0, 1.0)),
        Err(ProgrammeError::Reversed {
            part,
            low: 2.0,
            high: 1.0
        })
    );
    assert_eq!(
        programme.add_row(&[1e200, 1e200], Span::FREE),
        Err(ProgrammeError::OutOfScale { part })
    );
    let part = Part::Bound(1);
    for span in [Span::at_least(f64::NAN), Span::exactly(f64::INFINITY)] {
        assert_eq!(
            programme.set_bound(1, span),
            Err(ProgrammeError::NotFinite { part })
        );
    }
    assert_eq!(
        programme.set_bound(2, Span::FREE),
        Err(ProgrammeError::NoSuchLimit {
            limit: Limit::Bound(2)
        })
    );
    assert_eq!(
        programme,
        nearest_to(&[0.0, 0.0]),
        "a refused change leaves no trace"
    );
}

#[test]
fn a_false_certificate_does_not_hold() {
    let mut programme = nearest_to(&[1.0, 1.0]);
    row(&mut programme, &[1.0, 1.0], Span::at_most(1.0));
    let right = optimum(&programme);
    let judge = |x: &[f64], lambda: f64| {
        let mut multipliers = right.multipliers.clone();
        multipliers.rows[0] = lambda;
        Certificate::of(&programme, x, &multipliers)
    };
    assert!(judge(&[0.5, 0.5], -0.5).holds(1e-15));
    assert!(
        judge(&[1.0, 1.0], 0.0).primal_infeasibility > 0.1,
        "outside"
    );
    assert!(
        judge(&[0.5, 0.5], -0.4).stationarity > 0.01,
        "a wrong price"
    );
    assert!(
        judge(&[0.5, 0.5], 0.5).dual_infeasibility > 0.1,
        "pushes from an end it has not"
    );
    assert!(
        judge(&[0.4, 0.4], -0.6).complementarity > 0.01,
        "pushes from afar"
    );
    assert!(judge(&[0.4, 0.5], -0.5).gap > 0.001, "not the optimum");
    assert!(
        !judge(&[f64::NAN, 0.5], -0.5).holds(f64::INFINITY),
        "NaN never holds"
    );
}

/// The one answer is x = 10¹⁵⁴, and its multiplier overflows.
#[test]
fn a_multiplier_beyond_all_numbers_is_reported() {
    let mut programme = Programme::new(vec![1.0], vec![0.0]).expect("valid");
    programme
        .add_row(&[1e-155], Span::at_least(0.1))
        .expect("valid");
    let outcome = solve(&programme);
    assert!(
        matches!(outcome, Outcome::NumericalTrouble { .. }),
        "{outcome:?}"
    );
}
