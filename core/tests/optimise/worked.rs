//! The solver on problems worked by hand, one per class.

use underlet::optimise::{
    ActiveLimit, Certificate, Conflict, Limit, Outcome, Programme, Side, Solution, Span, solve,
};

/// Half the squared distance from a point: H is the identity and g = −point.
pub(super) fn nearest_to(point: &[f64]) -> Programme {
    let n = point.len();
    let mut hessian = vec![0.0; n * n];
    for i in 0..n {
        hessian[i * n + i] = 1.0;
    }
    Programme::new(hessian, point.iter().map(|v| -v).collect()).expect("a plain programme")
}

pub(super) fn row(programme: &mut Programme, coefficients: &[f64], span: Span) {
    programme.add_row(coefficients, span).expect("a plain row");
}

pub(super) fn bound(programme: &mut Programme, variable: usize, span: Span) {
    programme.set_bound(variable, span).expect("a plain bound");
}

pub(super) fn optimum(programme: &Programme) -> Solution {
    match solve(programme) {
        Outcome::Optimal(solution) => {
            let anew = Certificate::of(programme, &solution.x, &solution.multipliers);
            assert_eq!(
                anew, solution.certificate,
                "the certificate is reproducible"
            );
            assert!(
                anew.holds(1e-13),
                "far better than demanded on small problems: {anew:?}"
            );
            solution
        }
        other => panic!("an optimum was expected, not {other:?}"),
    }
}

pub(super) fn conflict(programme: &Programme) -> Conflict {
    match solve(programme) {
        Outcome::Infeasible(conflict) => conflict,
        other => panic!("a conflict was expected, not {other:?}"),
    }
}

pub(super) fn assert_close(found: &[f64], expected: &[f64]) {
    assert_eq!(found.len(), expected.len());
    for (f, e) in found.iter().zip(expected) {
        assert!(
            (f - e).abs() <= 1e-12 * e.abs().max(1.0),
            "{found:?} is not {expected:?}"
        );
    }
}

#[test]
fn without_limits_the_gradient_vanishes() {
    // H = [[2, 1], [1, 2]], g = (−3, −3): H·(1, 1) = (3, 3). Value ½·6 − 6 = −3.
    let programme = Programme::new(vec![2.0, 1.0, 1.0, 2.0], vec![-3.0, -3.0]).expect("valid");
    let found = optimum(&programme);
    assert_close(&found.x, &[1.0, 1.0]);
    assert_close(&[found.value], &[-3.0]);
    assert!(found.active.is_empty());
}

#[test]
fn one_variable_stops_at_its_bound() {
    // ½·4x² − 8x has its minimum at 2. x ≤ 1.5: slope 4·1.5 − 8 = −2, so λ = −2; value 4.5 − 12 =
    // −7.5.
    let mut programme = Programme::new(vec![4.0], vec![-8.0]).expect("valid");
    bound(&mut programme, 0, Span::at_most(1.5));
    let found = optimum(&programme);
    assert_close(&found.x, &[1.5]);
    assert_close(&[found.value], &[-7.5]);
    assert_close(&found.multipliers.bounds, &[-2.0]);
    let expected = ActiveLimit {
        limit: Limit::Bound(0),
        side: Side::High,
        weight: 2.0,
    };
    assert_eq!(found.active.len(), 1);
    assert_eq!(
        (found.active[0].limit, found.active[0].side),
        (expected.limit, expected.side)
    );
}

#[test]
fn one_bound_binds_and_the_other_variable_follows() {
    // H = [[2, 1], [1, 2]], g = (−3, −3), x₁ ≤ 0. Then 2x₂ = 3: x₂ = 1.5; λ₁ = 0 + 1.5 − 3 = −1.5.
    // Value ½·2·2.25 − 4.5 = −2.25.
    let mut programme = Programme::new(vec![2.0, 1.0, 1.0, 2.0], vec![-3.0, -3.0]).expect("valid");
    bound(&mut programme, 0, Span::at_most(0.0));
    let found = optimum(&programme);
    assert_close(&found.x, &[0.0, 1.5]);
    assert_eq!(found.x[0], 0.0, "a binding bound is met exactly");
    assert_close(&found.multipliers.bounds, &[-1.5, 0.0]);
    assert_close(&[found.value], &[-2.25]);
}

#[test]
fn all_bounds_bind() {
    // The point of the box [0, 1]³ nearest to (2, −1, 3) is (1, 0, 1); λ = x − point = (−1, 1, −2).
    let mut programme = nearest_to(&[2.0, -1.0, 3.0]);
    for j in 0..3 {
        bound(&mut programme, j, Span::between(0.0, 1.0));
    }
    let found = optimum(&programme);
    assert_eq!(found.x, [1.0, 0.0, 1.0]);
    assert_close(&found.multipliers.bounds, &[-1.0, 1.0, -2.0]);
    assert_close(&[found.value], &[1.0 - 5.0]);
}

#[test]
fn redundant_rows_carry_nothing() {
    // Nearest to (1, 1) with x₁ + x₂ ≤ 1: (½, ½), λ = −½. x₁ + x₂ ≤ 3 and x₁ ≤ 5 never matter.
    let mut programme = nearest_to(&[1.0, 1.0]);
    row(&mut programme, &[1.0, 1.0], Span::at_most(3.0));
    row(&mut programme, &[1.0, 1.0], Span::at_most(1.0));
    row(&mut programme, &[1.0, 0.0], Span::at_most(5.0));
    let found = optimum(&programme);
    assert_close(&found.x, &[0.5, 0.5]);
    assert_close(&found.multipliers.rows, &[0.0, -0.5, 0.0]);
}

#[test]
fn duplicate_rows_share_one_multiplier() {
    // The same row three times, once in other units: their multipliers, each times its scale, sum
    // to −½.
    let mut programme = nearest_to(&[1.0, 1.0]);
    row(&mut programme, &[1.0, 1.0], Span::at_most(1.0));
    row(&mut programme, &[1000.0, 1000.0], Span::at_most(1000.0));
    row(&mut programme, &[1.0, 1.0], Span::at_most(1.0));
    let found = optimum(&programme);
    assert_close(&found.x, &[0.5, 0.5]);
    let m = &found.multipliers.rows;
    assert_close(&[m[0] + 1000.0 * m[1] + m[2]], &[-0.5]);
}

#[test]
fn duplicate_columns_share_alike() {
    // ½ε(x₁² + x₂²) + ½m², x₁ + x₂ + m = 1: by symmetry x₁ = x₂ = x, εx = λ = m and 2x + m = 1: x =
    // 1/(2 + ε).
    let faint = 1e-3;
    let mut hessian = vec![0.0; 9];
    for (j, own) in [faint, faint, 1.0].into_iter().enumerate() {
        hessian[4 * j] = own;
    }
    let mut programme = Programme::new(hessian, vec![0.0; 3]).expect("valid");
    row(&mut programme, &[1.0, 1.0, 1.0], Span::exactly(1.0));
    let x = 1.0 / (2.0 + faint);
    assert_close(&optimum(&programme).x, &[x, x, faint * x]);
}

#[test]
fn a_column_of_zeros_stays_where_it_costs_least() {
    // x₂ is in no row: it goes to its own minimum, 4, or to the end of its span before it.
    let mut programme = nearest_to(&[0.0, 4.0]);
    row(&mut programme, &[1.0, 0.0], Span::at_least(2.0));
    assert_close(&optimum(&programme).x, &[2.0, 4.0]);
    bound(&mut programme, 1, Span::at_most(3.0));
    assert_close(&optimum(&programme).x, &[2.0, 3.0]);
}

#[test]
fn the_least_relief_of_a_conflict_is_reported() {
    // x₁ + 2x₂ = 10 with both in [0, 3] reaches 9. Alone, x₁ would have to give way by 1, x₂ by ½,
    // the row by 1.
    let mut programme = nearest_to(&[0.0, 0.0]);
    row(&mut programme, &[1.0, 2.0], Span::exactly(10.0));
    for j in 0..2 {
        bound(&mut programme, j, Span::between(0.0, 3.0));
    }
    let (part, relief) = conflict(&programme).least_relief().expect("a limit");
    assert_eq!((part.limit, part.side), (Limit::Bound(1), Side::High));
    assert_close(&[relief], &[0.5]);
    bound(&mut programme, 1, Span::between(0.0, 3.5));
    assert_close(&optimum(&programme).x, &[3.0, 3.5]);
}

#[test]
fn a_degenerate_vertex_is_left_at_once() {
    // Four rows meet in (0, 0) where two would do. Nearest to (1, −1) with x₂ ≥ 0, x₂ ≥ x₁, x₂ ≥
    // −x₁, x₂ ≥ 2x₁. The cone has the edges t·(1, 2) and t·(−1, 1), t ≥ 0. Nearest on the
    // first: t = (1 − 2)/5 < 0; on the second: t = (−1 − 1)/2 < 0. Both end at the vertex (0,
    // 0), value 0.
    let mut programme = nearest_to(&[1.0, -1.0]);
    row(&mut programme, &[0.0, 1.0], Span::at_least(0.0));
    row(&mut programme, &[-1.0, 1.0], Span::at_least(0.0));
    row(&mut programme, &[1.0, 1.0], Span::at_least(0.0));
    row(&mut programme, &[-2.0, 1.0], Span::at_least(0.0));
    let found = optimum(&programme);
    assert_close(&found.x, &[0.0, 0.0]);
    assert_close(&[found.value], &[0.0]);
}

#[test]
fn an_equality_with_bounds() {
    // Shares of three sources: nearest to (0.8, 0.6, −0.4) with sum 1 and each in [0, 1]. x₃ = 0,
    // then both others move by (1 − 1.4)/2 = −0.2: (0.6, 0.4, 0). Row: λ = −0.2. Bound of x₃: 0
    // + 0.4 = λ₃ − 0.2, λ₃ = 0.6.
    let mut programme = nearest_to(&[0.8, 0.6, -0.4]);
    row(&mut programme, &[1.0, 1.0, 1.0], Span::exactly(1.0));
    for j in 0..3 {
        bound(&mut programme, j, Span::between(0.0, 1.0));
    }
    let found = optimum(&programme);
    assert_close(&found.x, &[0.6, 0.4, 0.0]);
    assert_close(&found.multipliers.rows, &[-0.2]);
    assert_close(&found.multipliers.bounds, &[0.0, 0.0, 0.6]);
}

#[test]
fn an_equality_may_pull_either_way() {
    // Nearest to (0, 0) on x₁ + x₂ = 2 is (1, 1), λ = 1; nearest to (3, 3) is the same point with λ
    // = −2.
    for (point, lambda, side) in [(0.0, 1.0, Side::Low), (3.0, -2.0, Side::High)] {
        let mut programme = nearest_to(&[point, point]);
        row(&mut programme, &[1.0, 1.0], Span::exactly(2.0));
        let found = optimum(&programme);
        assert_close(&found.x, &[1.0, 1.0]);
        assert_close(&found.multipliers.rows, &[lambda]);
        assert_eq!(found.active[0].side, side);
    }
}

#[test]
fn redundant_equalities_agree() {
    // x₁ + x₂ = 1, twice that, and x₁ = 0.25: (0.25, 0.75) whatever the objective.
    let mut programme = nearest_to(&[7.0, -3.0]);
    row(&mut programme, &[1.0, 1.0], Span::exactly(1.0));
    row(&mut programme, &[2.0, 2.0], Span::exactly(2.0));
    bound(&mut programme, 0, Span::exactly(0.25));
    assert_close(&optimum(&programme).x, &[0.25, 0.75]);
}

#[test]
fn two_rows_in_conflict_are_named() {
    // x₁ + x₂ ≥ 3 against x₁ + x₂ ≤ 1: weights 1 and 1, excess 2. The row between them has no part
    // in it.
    let mut programme = nearest_to(&[0.0, 0.0]);
    row(&mut programme, &[1.0, 1.0], Span::at_least(3.0));
    row(&mut programme, &[1.0, -1.0], Span::between(-1.0, 1.0));
    row(&mut programme, &[1.0, 1.0], Span::at_most(1.0));
    let found = conflict(&programme);
    let named: Vec<_> = found
        .limits
        .iter()
        .map(|part| (part.limit, part.side))
        .collect();
    assert_eq!(
        named,
        [(Limit::Row(0), Side::Low), (Limit::Row(2), Side::High)]
    );
    assert_close(
        &[found.excess, found.limits[0].weight, found.limits[1].weight],
        &[2.0, 1.0, 1.0],
    );
}

#[test]
fn an_equality_out_of_reach_of_the_bounds() {
    // x₁ + 2x₂ = 10 with both in [0, 3] reaches 9 at most: 1 missing, weights 1 (row), 1 and 2
    // (upper bounds).
    let mut programme = nearest_to(&[0.0, 0.0]);
    row(&mut programme, &[1.0, 2.0], Span::exactly(10.0));
    for j in 0..2 {
        bound(&mut programme, j, Span::between(0.0, 3.0));
    }
    let found = conflict(&programme);
    let named: Vec<_> = found
        .limits
        .iter()
        .map(|part| (part.limit, part.side))
        .collect();
    let expected = [
        (Limit::Bound(0), Side::High),
        (Limit::Bound(1), Side::High),
        (Limit::Row(0), Side::Low),
    ];
    assert_eq!(named, expected);
    let weight = found.limits[2].weight;
    assert_close(
        &[found.excess / weight, found.limits[1].weight / weight],
        &[1.0, 2.0],
    );
}

#[test]
fn two_equalities_in_conflict() {
    // x₁ + x₂ = 1 and 3x₁ + 3x₂ = 6: twice the excess of 1 per first row.
    let mut programme = nearest_to(&[0.0, 0.0]);
    row(&mut programme, &[1.0, 1.0], Span::exactly(1.0));
    row(&mut programme, &[3.0, 3.0], Span::exactly(6.0));
    let found = conflict(&programme);
    assert_eq!(found.limits.len(), 2);
    assert_close(&[found.limits[0].weight / found.limits[1].weight], &[3.0]);
}

#[test]
fn a_row_of_zeros_is_a_truth_or_a_conflict() {
    let mut programme = nearest_to(&[1.0, 2.0]);
    row(&mut programme, &[0.0, 0.0], Span::between(-1.0, 1.0));
    assert_close(&optimum(&programme).x, &[1.0, 2.0]);
    programme
        .set_row_span(0, Span::at_least(0.5))
        .expect("valid");
    let found = conflict(&programme);
    assert_eq!(found.limits.len(), 1);
    assert_close(&[found.excess, found.residual], &[0.5, 0.0]);
}

#[test]
fn forty_variables_share_a_budget() {
    // Nearest to (1, 2, …, 40) with x ≥ 0 and sum 100: x = max(0, i − t). With the k largest left,
    // Σ = k(81 − k)/2 − k·t = 100. k = 14: 469 − 14t = 100, t = 26.357…; 26 < t < 27, so exactly
    // 27…40 are left.
    let point: Vec<f64> = (1..=40).map(f64::from).collect();
    let mut programme = nearest_to(&point);
    row(&mut programme, &[1.0; 40], Span::exactly(100.0));
    for j in 0..40 {
        bound(&mut programme, j, Span::at_least(0.0));
    }
    let t = 369.0 / 14.0;
    let expected: Vec<f64> = point.iter().map(|i| (i - t).max(0.0)).collect();
    let found = optimum(&programme);
    assert_close(&found.x, &expected);
    assert_close(&found.multipliers.rows, &[-t]);
    assert_eq!(found.active.len(), 27);
}

#[test]
fn published_three_variable_example() {
    // The worked example distributed with the Goldfarb & Idnani (1983) codes: minimise ½|x|² − 5x₂
    // with −4x₁ − 3x₂ ≥ −8, 2x₁ + x₂ ≥ 2, −2x₂ + x₃ ≥ 0. Solution to 7 digits (0.4761905,
    // 1.0476190, 2.0952381), value −2.380952. By hand: rows 2 and 3 bind, so x₁ = 2λ₂, x₂ − 5 =
    // λ₂ − 2λ₃, x₃ = λ₃: λ = (0, 5, 44)/21 and x = (10, 22, 44)/21.
    let mut programme = nearest_to(&[0.0, 5.0, 0.0]);
    row(&mut programme, &[-4.0, -3.0, 0.0], Span::at_least(-8.0));
    row(&mut programme, &[2.0, 1.0, 0.0], Span::at_least(2.0));
    row(&mut programme, &[0.0, -2.0, 1.0], Span::at_least(0.0));
    let found = optimum(&programme);
    assert_close(&found.x, &[10.0 / 21.0, 22.0 / 21.0, 44.0 / 21.0]);
    for (x, printed) in found.x.iter().zip([0.476_190_5, 1.047_619_0, 2.095_238_1]) {
        assert!((x - printed).abs() < 5e-8);
    }
    assert!((found.value - -2.380_952).abs() < 5e-7);
    assert_close(&found.multipliers.rows, &[0.0, 5.0 / 21.0, 44.0 / 21.0]);
}

#[test]
fn a_multiplier_is_the_price_of_its_limit() {
    // Moving the end that pushes by 10⁻⁴ changes the least value by λ·10⁻⁴, to second order.
    let mut programme = nearest_to(&[0.8, 0.6, -0.4]);
    row(&mut programme, &[1.0, 2.0, 1.0], Span::between(0.0, 1.0));
    let before = optimum(&programme);
    programme
        .set_row_span(0, Span::between(0.0, 1.0 + 1e-4))
        .expect("valid");
    let after = optimum(&programme);
    let rate = (after.value - before.value) / 1e-4;
    assert!((rate - before.multipliers.rows[0]).abs() < 1e-4);
    assert!(before.multipliers.rows[0] < -0.01);
}

#[test]
fn units_of_variables_and_rows_do_not_matter() {
    // min ½(x₁ − 3)² + ½(x₂ − 4)², x₁ + x₂ ≤ 5: (2, 3). The same with x₁ in thousandths and the row
    // in millions.
    let programme = |unit: f64, scale: f64| {
        let hessian = vec![unit * unit, 0.0, 0.0, 1.0];
        let mut programme = Programme::new(hessian, vec![-3.0 * unit, -4.0]).expect("valid");
        row(
            &mut programme,
            &[scale * unit, scale],
            Span::at_most(5.0 * scale),
        );
        programme
    };
    for (unit, scale) in [
        (1.0, 1.0),
        (1e-3, 1.0),
        (1.0, 1e6),
        (1e-3, 1e6),
        (1e3, 1e-6),
    ] {
        let found = optimum(&programme(unit, scale));
        assert_close(&[found.x[0] * unit, found.x[1]], &[2.0, 3.0]);
        assert_close(&[found.multipliers.rows[0] * scale], &[-1.0]);
    }
}
