//! The solver on random programmes: every answer carries a proof, an interior-point method agrees,
//! and neither order nor history matters.

use argmin::core::{Problem, Solver, State};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use underlet::optimise::{
    Certificate, Conflict, DualActiveSet, DualState, Limit, Outcome, Programme, Side, Solution,
    Span, Start, Trace, Workspace, solve,
};

use super::classes::{
    COUNT, Known, Lists, around_a_point, class_of, random_lists, turn_of, well_fixed,
};
use super::peer::{Peer, by_interior_point};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// Sums the proof up again, apart from the solver's own code.
fn assert_proven(lists: &Lists, conflict: &Conflict) {
    let limits = lists.limits();
    let mut left = vec![0.0; lists.variables()];
    let (mut right, mut size) = (0.0, 0.0);
    for part in &conflict.limits {
        let (_, a, span) = limits
            .iter()
            .find(|(l, _, _)| *l == part.limit)
            .expect("known");
        let (sign, end) = if part.side == Side::Low {
            (1.0, span.low)
        } else {
            (-1.0, span.high)
        };
        assert!(part.weight > 0.0 && end.is_finite());
        for (l, c) in left.iter_mut().zip(a) {
            *l += sign * part.weight * c;
        }
        right += sign * part.weight * end;
        size += part.weight * a.iter().map(|c| c.abs()).sum::<f64>();
    }
    assert!(right > 0.0, "a positive number is left on the right");
    assert!(
        left.iter().all(|l| l.abs() <= 1e-10 * size),
        "nothing on the left: {left:?}"
    );
}

/// Giving way by half of what is reported as the least never helps.
fn assert_relieved(lists: &Lists, conflict: &Conflict) {
    let (part, relief) = conflict.least_relief().expect("a limit");
    assert!(conflict.reliefs().all(|(_, other)| other >= relief));
    let mut programme = lists.programme();
    let mut span = programme.span(part.limit).expect("known");
    match part.side {
        Side::Low => span.low -= 0.5 * relief,
        Side::High => span.high += 0.5 * relief,
    }
    programme.set_span(part.limit, span).expect("wider");
    assert!(
        matches!(solve(&programme), Outcome::Infeasible(_)),
        "{part:?} by half of {relief}"
    );
}

/// What was known beforehand is what was found.
fn assert_expected(lists: &Lists, solution: &Solution, seed: u64) {
    match &lists.known {
        Known::Impossible => panic!("seed {seed}: no point keeps all limits"),
        // The gradient that makes it the best is right to a few 10⁻¹⁵, a curvature of 10⁻² at least
        // where it counts.
        Known::Best(best) => {
            for (found, best) in solution.x.iter().zip(best) {
                assert!((found - best).abs() <= 1e-11, "seed {seed}: {found} {best}");
            }
        }
        Known::Inside(_) | Known::Nothing => {}
    }
}

#[test]
fn no_programme_is_without_proof() {
    let mut workspace = Workspace::new();
    let (mut optima, mut conflicts) = ([0; COUNT], [0; COUNT]);
    let count = trials(5_000, 100_000);
    for seed in 0..count {
        let lists = random_lists(seed);
        let programme = lists.programme();
        let turn = turn_of(seed);
        match workspace.solve(&programme, Start::Cold) {
            Outcome::Optimal(solution) => {
                let anew = Certificate::of(&programme, &solution.x, &solution.multipliers);
                assert!(anew.holds(Certificate::TOLERANCE), "seed {seed}: {anew:?}");
                assert_expected(&lists, &solution, seed);
                optima[turn] += 1;
            }
            Outcome::Infeasible(conflict) => {
                assert!(
                    lists.inside().is_none(),
                    "seed {seed}: a point inside is known"
                );
                assert_proven(&lists, &conflict);
                assert_relieved(&lists, &conflict);
                conflicts[turn] += 1;
            }
            other => panic!("seed {seed}, {}: {other:?}", class_of(seed).name),
        }
    }
    // The classes take turns, so that these shares hold for few programmes as for many.
    let all = |of: [u64; COUNT]| of.iter().sum::<u64>();
    assert!(
        all(optima) * 100 > 80 * count && all(conflicts) * 100 > 14 * count,
        "{optima:?} optima, {conflicts:?} conflicts"
    );
}

/// Small whole numbers make programmes in which limits meet in a point and more columns than
/// directions; a ridge of 10⁻¹² leaves curvatures of up to 10¹³ beside each other. What the solver
/// takes in and lets go by turns must come to an end.
#[test]
fn flat_directions_do_not_keep_the_solver_going() {
    let mut dice = Dice::new(20_261_126);
    let mut workspace = Workspace::new();
    let mut unsettled = 0;
    let count = trials(5_000, 20_000);
    for round in 0..count {
        let programme = flat(&mut dice, [1e-10, 1e-12][round % 2]);
        match workspace.solve(&programme, Start::Cold) {
            Outcome::Optimal(solution) => assert!(solution.certificate.holds(1e-9)),
            Outcome::Infeasible(conflict) => assert!(conflict.excess > 0.0),
            Outcome::NumericalTrouble { .. } => unsettled += 1,
            Outcome::IterationLimit { iterations } => panic!("{iterations} steps: {programme:?}"),
        }
    }
    // Fewer than one in a thousand.
    assert!(unsettled * 1000 < count, "{unsettled}");
}

fn flat(dice: &mut Dice, ridge: f64) -> Programme {
    let n = 2 + dice.pick(11);
    let (lines, rows) = (1 + dice.pick(n), dice.pick(4));
    let mut whole = |least: f64, count: usize| least + dice.pick(count) as f64;
    let (mut hessian, mut gradient) = (vec![0.0; n * n], vec![0.0; n]);
    for _ in 0..lines {
        let line: Vec<f64> = (0..n)
            .map(|_| whole(-1.0, 5) * whole(0.0, 5).min(1.0))
            .collect();
        let point = whole(-3.0, 9);
        for (j, a) in line.iter().enumerate() {
            gradient[j] -= 2.0 * a * point;
            for (k, b) in line.iter().enumerate() {
                hessian[j * n + k] += 2.0 * a * b;
            }
        }
    }
    for j in 0..n {
        hessian[j * n + j] += ridge;
    }
    let mut programme = Programme::new(hessian, gradient).expect("valid");
    for j in 0..n {
        let span = Span::between(0.0, whole(0.0, 4));
        programme.set_bound(j, span).expect("valid");
    }
    for _ in 0..rows {
        let row: Vec<f64> = (0..n).map(|_| whole(0.0, 3) * whole(0.0, 2)).collect();
        programme
            .add_row(&row, Span::at_least(whole(0.0, 3)))
            .expect("valid");
    }
    programme
}

/// Every class against clarabel: the same least value, or no point on either side.
#[test]
fn an_interior_point_method_agrees() {
    let (mut optima, mut conflicts, mut undecided) = ([0; COUNT], [0; COUNT], [0; COUNT]);
    for seed in well_fixed(0..2_000) {
        let lists = random_lists(seed);
        let programme = lists.programme();
        let name = class_of(seed).name;
        match (solve(&programme), by_interior_point(&lists)) {
            (Outcome::Optimal(ours), Peer::Optimum(value, x)) => {
                let size = value.abs().max(1.0);
                assert!(
                    (ours.value - value).abs() <= 1e-6 * size,
                    "seed {seed}, {name}: {} {value}",
                    ours.value
                );
                // Strict convexity: ½·|x − x*|²·(least curvature, here 1) is at most the difference
                // in value, of which that method leaves some 10⁻¹¹.
                if name == "whole numbers" {
                    let apart: f64 = ours.x.iter().zip(&x).map(|(a, b)| (a - b) * (a - b)).sum();
                    assert!(
                        0.5 * apart <= 1e-10 * size,
                        "seed {seed}: {:?} {x:?}",
                        ours.x
                    );
                }
                optima[turn_of(seed)] += 1;
            }
            (Outcome::Infeasible(_), Peer::Infeasible) => conflicts[turn_of(seed)] += 1,
            (Outcome::Optimal(_) | Outcome::Infeasible(_), Peer::Undecided) => {
                undecided[turn_of(seed)] += 1;
            }
            (ours, theirs) => panic!("seed {seed}, {name}: {ours:?} against {theirs:?}"),
        }
    }
    let agreed: Vec<usize> = optima.iter().zip(conflicts).map(|(a, b)| a + b).collect();
    let mut fixed = (0..COUNT as u64).filter(|seed| class_of(*seed).is_well_fixed);
    assert!(
        fixed.all(|seed| agreed[turn_of(seed)] > 150)
            && conflicts.iter().sum::<usize>() > 250
            && undecided.iter().sum::<usize>() < 30,
        "{optima:?} optima, {conflicts:?} conflicts, {undecided:?} undecided"
    );
}

#[test]
fn a_warm_start_finds_what_a_cold_start_finds() {
    let mut workspace = Workspace::new();
    let (mut cold_steps, mut warm_steps) = (0, 0);
    for seed in well_fixed(0..trials(200, 800)) {
        let lists = random_lists(seed);
        let mut programme = lists.programme();
        let mut dice = Dice::new(!seed);
        workspace.solve(&programme, Start::Cold);
        for _ in 0..10 {
            let j = dice.pick(lists.variables());
            let at = f64::from(u8::from(dice.chance(0.5)));
            let span = [
                Span::exactly(at),
                Span::at_most(at),
                Span::at_least(at),
                lists.bounds[j],
            ];
            programme.set_bound(j, span[dice.pick(4)]).expect("valid");
            match (workspace.solve(&programme, Start::Warm), solve(&programme)) {
                (Outcome::Optimal(warm), Outcome::Optimal(cold)) => {
                    let size = cold.value.abs().max(1.0);
                    assert!(
                        (warm.value - cold.value).abs() <= 1e-9 * size,
                        "seed {seed}"
                    );
                    warm_steps += warm.iterations;
                    cold_steps += cold.iterations;
                }
                (Outcome::Infeasible(warm), Outcome::Infeasible(_)) => {
                    let now = Lists {
                        bounds: (0..lists.variables())
                            .map(|k| programme.span(Limit::Bound(k)).expect("known"))
                            .collect(),
                        ..lists.clone()
                    };
                    assert_proven(&now, &warm);
                }
                (warm, cold) => panic!("seed {seed}: warm {warm:?}, cold {cold:?}"),
            }
        }
    }
    assert!(
        2 * warm_steps < cold_steps,
        "{warm_steps} warm steps against {cold_steps} cold"
    );
}

/// The method as argmin's executor would run it, called by hand.
fn by_hand(programme: &Programme, limit: u64) -> Outcome {
    let mut workspace = Workspace::new();
    let mut solver = DualActiveSet::new(&mut workspace, Start::Cold);
    let mut problem = Problem::new(programme);
    let started = solver.init(&mut problem, DualState::new());
    let (mut state, _) = started.expect("a start");
    let mut iterations = 0;
    while iterations < limit && !solver.terminate(&state).terminated() {
        let moved = solver.next_iter(&mut problem, state);
        (state, _) = moved.expect("an iteration");
        iterations += 1;
    }
    solver.outcome()
}

#[test]
fn the_executor_and_plain_stepping_give_the_same_bits() {
    let mut cut_short = 0;
    let count = trials(500, 2_000);
    for seed in 0..count {
        let programme = random_lists(seed).programme();
        // A few iterations, or more than any of these takes.
        for limit in [seed % 9, 1_000] {
            let mut workspace = Workspace::new().with_iteration_limit(limit);
            let run = workspace.solve(&programme, Start::Cold);
            let stepped = by_hand(&programme, limit);
            // Written out, every bit counts: 0 and −0 compare as equal.
            assert_eq!(format!("{run:?}"), format!("{stepped:?}"), "seed {seed}");
            cut_short += u64::from(matches!(run, Outcome::IterationLimit { .. }));
        }
    }
    assert!((count / 4..count).contains(&cut_short), "{cut_short}");
}

/// On programmes of least curvature 1, where rounding is small: beside curvatures of 10⁻⁸ the value
/// itself has few digits.
#[test]
fn a_trace_sees_the_bound_rise_to_the_optimum() {
    let count = trials(3_000, 12_000);
    let firm = (0..count).filter(|seed| class_of(*seed).name == "whole numbers");
    for seed in firm {
        let programme = random_lists(seed).programme();
        let trace = Trace::new();
        let outcome = Workspace::new().solve_traced(&programme, Start::Cold, &trace);
        assert_eq!(outcome, solve(&programme), "seed {seed}");
        let [run] = trace.runs().try_into().expect("one run");
        let falls = |pair: &[f64]| pair[1] <= pair[0] + 1e-12 * pair[0].abs().max(1.0);
        let costs = &run.costs;
        assert!(costs.windows(2).all(falls), "seed {seed}: {costs:?}");
        if let Outcome::Optimal(solution) = outcome {
            assert_eq!(run.costs.len() as u64, 1 + solution.iterations);
            let last = costs.last().expect("a cost");
            let size = solution.value.abs().max(1.0);
            assert!((last + solution.value).abs() <= 1e-12 * size, "seed {seed}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: trials(64, 256),
        rng_seed: RngSeed::Fixed(1983),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn no_point_inside_beats_the_optimum(seed in 0..u64::MAX / 3) {
        // Points inside: the known one, and any point on the way from it to the optimum.
        let lists = around_a_point(&mut Dice::new(seed), seed % 2 == 0);
        let programme = lists.programme();
        let outcome = solve(&programme);
        let solution = outcome.solution().expect("a point inside is known");
        let inside = lists.inside().expect("known");
        let mut dice = Dice::new(seed ^ 1);
        let slack = 1e-9 * programme.value(inside).abs().max(solution.value.abs()).max(1.0);
        for _ in 0..50 {
            let share = dice.real(0.0, 1.0);
            let blend = |(a, b): (&f64, &f64)| a + share * (b - a);
            let on_the_way: Vec<f64> = inside.iter().zip(&solution.x).map(blend).collect();
            prop_assert!(programme.value(&on_the_way) >= solution.value - slack);
            let shaken: Vec<f64> =
                on_the_way.iter().map(|v| v + 0.05 * dice.real(-1.0, 1.0)).collect();
            if lists.keeps(&shaken) {
                prop_assert!(programme.value(&shaken) >= solution.value - slack);
            }
        }
    }

    #[test]
    fn the_order_of_the_rows_does_not_matter(seed in 0..u64::MAX / 3) {
        let lists = random_lists(seed);
        let mut turned = lists.clone();
        turned.rows.reverse();
        match (solve(&lists.programme()), solve(&turned.programme())) {
            (Outcome::Optimal(one), Outcome::Optimal(other)) => {
                let size = one.value.abs().max(1.0);
                prop_assert!((one.value - other.value).abs() <= 1e-9 * size);
                // What the same columns share is determined by the ridge alone: 10⁻⁸ of it leaves
                // eight digits.
                if class_of(seed).name == "duplicate columns" {
                    return Ok(());
                }
                for (a, b) in one.x.iter().zip(&other.x) {
                    prop_assert!((a - b).abs() <= 1e-9 * a.abs().max(1.0), "{:?} {:?}", one.x, other.x);
                }
            }
            (Outcome::Infeasible(_), Outcome::Infeasible(_)) => {}
            (one, other) => prop_assert!(false, "{one:?} against {other:?}"),
        }
    }

    #[test]
    fn the_same_question_has_the_same_bits(seed in 0..u64::MAX / 3) {
        let programme = random_lists(seed).programme();
        let mut used = Workspace::new();
        used.solve(&random_lists(seed ^ 7).programme(), Start::Cold);
        prop_assert_eq!(used.solve(&programme, Start::Cold), solve(&programme));
    }

    #[test]
    fn nothing_panics_and_nothing_is_nan(
        h in proptest::collection::vec(proptest::num::f64::ANY, 3),
        g in proptest::collection::vec(proptest::num::f64::ANY, 2),
        rows in proptest::collection::vec(
            (proptest::collection::vec(proptest::num::f64::ANY, 2), proptest::num::f64::ANY), 0..5),
    ) {
        // Any bit pattern: subnormal, huge, infinite. Small off-diagonals, so that many get past
        // the checks.
        let off = h[2] % 1.0;
        let hessian = vec![h[0].abs(), off, off, h[1].abs()];
        let Ok(mut programme) = Programme::new(hessian, g) else { return Ok(()) };
        for (a, low) in &rows {
            // A row that is refused is left out.
            let _refused = programme.add_row(a, Span::at_least(*low)).is_err();
        }
        match solve(&programme) {
            Outcome::Optimal(s) => {
                prop_assert!(s.x.iter().all(|v| v.is_finite()) && s.value.is_finite());
                prop_assert!(s.certificate.holds(Certificate::TOLERANCE));
            }
            Outcome::Infeasible(c) => {
                prop_assert!(c.excess.is_finite() && c.residual.is_finite());
                prop_assert!(c.limits.iter().all(|part| part.weight.is_finite()));
            }
            Outcome::IterationLimit { .. } => {}
            Outcome::NumericalTrouble { certificate, .. } => {
                prop_assert!(certificate.is_none_or(|c| c.worst().is_finite()));
            }
        }
    }
}
