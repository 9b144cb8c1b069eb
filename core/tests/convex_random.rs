//! The solver on random programmes: every answer carries a proof, an interior-point method agrees, and neither
//! order nor history matters.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};
use proptest::prelude::*;
use underlet::convex::{
    Certificate, Conflict, Limit, Outcome, Programme, Side, Span, Start, Workspace, solve,
};

/// SplitMix64 (Steele, Lea & Flood 2014, OOPSLA, fig. 14): a few lines, and the same numbers everywhere.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From `low` up to `high`.
    fn real(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.next() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// 0, 1, …, `count` − 1.
    fn pick(&mut self, count: usize) -> usize {
        usize::try_from(self.next() % count as u64).expect("small")
    }

    fn chance(&mut self, probability: f64) -> bool {
        self.real(0.0, 1.0) < probability
    }

    fn reals(&mut self, count: usize) -> Vec<f64> {
        (0..count).map(|_| self.real(-1.0, 1.0)).collect()
    }
}

/// A programme as lists, so that it can be reordered and handed to another solver.
#[derive(Clone, Debug)]
struct Lists {
    hessian: Vec<f64>,
    gradient: Vec<f64>,
    rows: Vec<(Vec<f64>, Span)>,
    bounds: Vec<Span>,
    /// A point that keeps all limits, where one is known.
    inside: Option<Vec<f64>>,
}

impl Lists {
    fn programme(&self) -> Programme {
        let mut programme =
            Programme::new(self.hessian.clone(), self.gradient.clone()).expect("valid");
        for (coefficients, span) in &self.rows {
            programme.add_row(coefficients, *span).expect("valid");
        }
        for (j, span) in self.bounds.iter().enumerate() {
            programme.set_bound(j, *span).expect("valid");
        }
        programme
    }

    fn variables(&self) -> usize {
        self.gradient.len()
    }

    fn limits(&self) -> Vec<(Limit, Vec<f64>, Span)> {
        let unit = |j: usize| {
            (0..self.variables())
                .map(|k| f64::from(u8::from(j == k)))
                .collect()
        };
        let bounds = self
            .bounds
            .iter()
            .enumerate()
            .map(|(j, s)| (Limit::Bound(j), unit(j), *s));
        let rows = self.rows.iter().enumerate();
        bounds
            .chain(rows.map(|(i, (a, s))| (Limit::Row(i), a.clone(), *s)))
            .collect()
    }

    fn keeps(&self, x: &[f64]) -> bool {
        self.limits().iter().all(|(_, a, span)| {
            let activity = plain_dot(a, x);
            span.low <= activity && activity <= span.high
        })
    }
}

fn plain_dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// GᵀG + ridge·I, G having `rank` random rows.
fn gram(dice: &mut Dice, n: usize, rank: usize, ridge: f64) -> Vec<f64> {
    let mut h = vec![0.0; n * n];
    for _ in 0..rank {
        let g = dice.reals(n);
        for i in 0..n {
            for j in 0..n {
                h[i * n + j] += g[i] * g[j];
            }
        }
    }
    for i in 0..n {
        h[i * n + i] += ridge;
    }
    h
}

/// A span around a value: two-sided, one-sided or exact.
fn span_around(dice: &mut Dice, value: f64) -> Span {
    match dice.pick(5) {
        0 => Span::at_least(value - dice.real(0.0, 0.5)),
        1 => Span::at_most(value + dice.real(0.0, 0.5)),
        2 => Span::between(value - dice.real(0.0, 0.3), value + dice.real(0.0, 0.3)),
        3 => Span::exactly(value),
        _ => Span::at_least(value),
    }
}

/// Dense rows around a known point; curvature from round to nearly flat. Where the bounds are open as well, a flat
/// direction may lead 10⁸ units away.
fn around_a_point(dice: &mut Dice, open: bool) -> Lists {
    let n = 1 + dice.pick(20);
    let m = dice.pick(26);
    let ridge = [1.0, 1e-2, 1e-4, 1e-6, 1e-8][dice.pick(5)];
    let rank = dice.pick(n + 1);
    let hessian = gram(dice, n, rank, ridge);
    let inside: Vec<f64> = (0..n).map(|_| dice.real(0.0, 1.0)).collect();
    let gradient: Vec<f64> = dice.reals(n).iter().map(|g| 3.0 * g).collect();
    let rows = (0..m)
        .map(|_| {
            let a = dice.reals(n);
            let value = plain_dot(&a, &inside);
            let span = span_around(dice, value);
            (a, span)
        })
        .collect();
    let far = if open { f64::INFINITY } else { 10.0 };
    let bounds = inside
        .iter()
        .map(|&v| match dice.pick(4) {
            0 => Span::between(-far, far),
            1 => Span::between(v, v + 1.0),
            2 => Span::between(0.0, v),
            _ => Span::between(0.0, far),
        })
        .collect();
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        inside: Some(inside),
    }
}

/// Doses x ≥ 0 with a faint curvature; each target row may be missed at a price by its two slacks.
fn soft_targets(dice: &mut Dice) -> Lists {
    let (doses, targets) = (2 + dice.pick(10), 1 + dice.pick(8));
    let n = doses + 2 * targets;
    let faint = [1e-3, 1e-6, 1e-8][dice.pick(3)];
    let mut hessian = vec![0.0; n * n];
    for j in 0..n {
        hessian[j * n + j] = if j < doses {
            faint
        } else {
            dice.real(0.1, 100.0)
        };
    }
    let gradient = (0..n)
        .map(|j| if j < doses { faint } else { 0.0 })
        .collect();
    let rows = (0..targets)
        .map(|t| {
            let mut a = vec![0.0; n];
            for dose in &mut a[..doses] {
                if dice.chance(0.5) {
                    *dose = dice.real(0.0, 3.0);
                }
            }
            a[doses + 2 * t] = 1.0;
            a[doses + 2 * t + 1] = -1.0;
            let low = dice.real(0.0, 5.0);
            (a, Span::between(low, low + dice.real(0.0, 2.0)))
        })
        .collect();
    let mut bounds = vec![Span::at_least(0.0); n];
    for bound in &mut bounds[..doses] {
        if dice.chance(0.5) {
            *bound = Span::between(0.0, dice.real(0.0, 2.0));
        }
    }
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        inside: None,
    }
}

/// Small whole numbers: ties, duplicates, degenerate vertices and exact conflicts abound.
fn whole_numbers(dice: &mut Dice) -> Lists {
    let n = 1 + dice.pick(8);
    let m = dice.pick(16);
    let mut hessian = vec![0.0; n * n];
    for j in 0..n {
        hessian[j * n + j] = (1 + dice.pick(3)) as f64;
    }
    let whole = |dice: &mut Dice, reach: usize| dice.pick(2 * reach + 1) as f64 - reach as f64;
    let gradient = (0..n).map(|_| whole(dice, 4)).collect();
    let span = |dice: &mut Dice| {
        let low = whole(dice, 3);
        match dice.pick(4) {
            0 => Span::at_least(low),
            1 => Span::at_most(low),
            2 => Span::between(low, low + dice.pick(3) as f64),
            _ => Span::FREE,
        }
    };
    let rows = (0..m)
        .map(|_| ((0..n).map(|_| whole(dice, 1)).collect(), span(dice)))
        .collect();
    let bounds = (0..n).map(|_| span(dice)).collect();
    Lists {
        hessian,
        gradient,
        rows,
        bounds,
        inside: None,
    }
}

fn random_lists(seed: u64) -> Lists {
    let mut dice = Dice(seed);
    match seed % 4 {
        0 => around_a_point(&mut dice, false),
        1 => soft_targets(&mut dice),
        2 => whole_numbers(&mut dice),
        _ => around_a_point(&mut dice, true),
    }
}

/// Seeds of programmes whose optimum is fixed to the digits that two methods can share.
fn well_fixed(seeds: std::ops::Range<u64>) -> impl Iterator<Item = u64> {
    seeds.filter(|seed| seed % 4 != 3)
}

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

/// Giving way by half of what is told as the least never helps.
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

/// What the interior-point method says.
#[derive(Debug)]
enum Peer {
    Optimum(f64, Vec<f64>),
    Infeasible,
    /// It stopped short of its own tolerances.
    Undecided,
}

/// The programme as clarabel sees it.
fn by_interior_point(lists: &Lists) -> Peer {
    let n = lists.variables();
    let dense = |rows: &[Vec<f64>]| {
        let mut columns: Vec<(Vec<usize>, Vec<f64>)> = vec![(vec![], vec![]); n];
        for (i, row) in rows.iter().enumerate() {
            for (j, &v) in row.iter().enumerate().filter(|(_, v)| **v != 0.0) {
                columns[j].0.push(i);
                columns[j].1.push(v);
            }
        }
        let mut starts = vec![0];
        for (indices, _) in &columns {
            starts.push(starts[starts.len() - 1] + indices.len());
        }
        let indices = columns.iter().flat_map(|c| c.0.clone()).collect();
        let values = columns.iter().flat_map(|c| c.1.clone()).collect();
        CscMatrix::new(rows.len(), n, starts, indices, values)
    };
    let upper: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            (0..n)
                .map(|j| {
                    if j >= i {
                        lists.hessian[i * n + j]
                    } else {
                        0.0
                    }
                })
                .collect()
        })
        .collect();
    let (mut exact, mut inequalities) = (Vec::new(), Vec::new());
    for (_, a, span) in lists.limits() {
        let opposite: Vec<f64> = a.iter().map(|c| -c).collect();
        if span.is_exact() {
            exact.push((a, span.high));
        } else {
            if span.high.is_finite() {
                inequalities.push((a, span.high));
            }
            if span.low.is_finite() {
                inequalities.push((opposite, -span.low));
            }
        }
    }
    let cones = [ZeroConeT(exact.len()), NonnegativeConeT(inequalities.len())];
    let all: Vec<_> = exact.into_iter().chain(inequalities).collect();
    let (rows, ends): (Vec<_>, Vec<_>) = all.into_iter().unzip();
    let settings = DefaultSettings {
        verbose: false,
        tol_gap_abs: 1e-11,
        tol_gap_rel: 1e-11,
        tol_feas: 1e-11,
        ..DefaultSettings::default()
    };
    let (p, a) = (dense(&upper), dense(&rows));
    let mut solver =
        DefaultSolver::new(&p, &lists.gradient, &a, &ends, &cones, settings).expect("valid");
    solver.solve();
    match solver.solution.status {
        SolverStatus::PrimalInfeasible => Peer::Infeasible,
        SolverStatus::Solved => Peer::Optimum(solver.solution.obj_val, solver.solution.x.clone()),
        _ => Peer::Undecided,
    }
}

#[test]
fn a_hundred_thousand_programmes_and_none_without_proof() {
    let mut workspace = Workspace::new();
    let (mut optima, mut conflicts) = (0, 0);
    for seed in 0..100_000 {
        let lists = random_lists(seed);
        let programme = lists.programme();
        match workspace.solve(&programme, Start::Cold) {
            Outcome::Optimal(solution) => {
                let anew = Certificate::of(&programme, &solution.x, &solution.multipliers);
                assert!(anew.holds(Certificate::TOLERANCE), "seed {seed}: {anew:?}");
                optima += 1;
            }
            Outcome::Infeasible(conflict) => {
                assert!(
                    lists.inside.is_none(),
                    "seed {seed}: a point inside is known"
                );
                assert_proven(&lists, &conflict);
                assert_relieved(&lists, &conflict);
                conflicts += 1;
            }
            other => panic!("seed {seed}: {other:?}"),
        }
    }
    assert!(
        optima > 65_000 && conflicts > 10_000,
        "{optima} optima, {conflicts} conflicts"
    );
}

#[test]
fn an_interior_point_method_agrees() {
    // clarabel 0.11 (Goulart & Chen 2024, arXiv:2405.12762), tolerances 1e-11.
    let (mut optima, mut conflicts, mut undecided) = (0, 0, 0);
    for seed in well_fixed(0..2_000) {
        let lists = random_lists(seed);
        let programme = lists.programme();
        match (solve(&programme), by_interior_point(&lists)) {
            (Outcome::Optimal(ours), Peer::Optimum(value, x)) => {
                let size = value.abs().max(1.0);
                assert!(
                    (ours.value - value).abs() <= 1e-6 * size,
                    "seed {seed}: {} {value}",
                    ours.value
                );
                // Strict convexity: ½·|x − x*|²·(least curvature, here 1) is at most the difference in value, of which
                // that method leaves some 10⁻¹¹.
                if seed % 4 == 2 {
                    let apart: f64 = ours.x.iter().zip(&x).map(|(a, b)| (a - b) * (a - b)).sum();
                    assert!(
                        0.5 * apart <= 1e-10 * size,
                        "seed {seed}: {:?} {x:?}",
                        ours.x
                    );
                }
                optima += 1;
            }
            (Outcome::Infeasible(_), Peer::Infeasible) => conflicts += 1,
            (Outcome::Optimal(_) | Outcome::Infeasible(_), Peer::Undecided) => undecided += 1,
            (ours, theirs) => panic!("seed {seed}: {ours:?} against {theirs:?}"),
        }
    }
    assert!(
        optima > 1_000 && conflicts > 100 && undecided < 30,
        "{optima} optima, {conflicts} conflicts, {undecided} undecided"
    );
}

#[test]
fn a_warm_start_finds_what_a_cold_start_finds() {
    let mut workspace = Workspace::new();
    let (mut cold_steps, mut warm_steps) = (0, 0);
    for seed in well_fixed(0..800) {
        let lists = random_lists(seed);
        let mut programme = lists.programme();
        let mut dice = Dice(!seed);
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

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_point_inside_beats_the_optimum(seed in 0..u64::MAX / 3) {
        // Points inside: the known one, and any point on the way from it to the optimum.
        let lists = around_a_point(&mut Dice(seed), seed % 2 == 0);
        let programme = lists.programme();
        let outcome = solve(&programme);
        let solution = outcome.solution().expect("a point inside is known");
        let inside = lists.inside.clone().expect("known");
        let mut dice = Dice(seed ^ 1);
        let slack = 1e-9 * programme.value(&inside).abs().max(solution.value.abs()).max(1.0);
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
        // Any bit pattern: subnormal, huge, infinite. Small off-diagonals, so that many get past the checks.
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
