//! The same programmes by clarabel 0.11 (Goulart & Chen 2024, arXiv:2405.12762), an interior-point
//! method, at tolerances of 1e-11.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, ZeroConeT,
};

use super::classes::Lists;

/// What the interior-point method says.
#[derive(Debug)]
pub enum Peer {
    Optimum(f64, Vec<f64>),
    Infeasible,
    /// It stopped short of its own tolerances.
    Undecided,
}

/// The programme as clarabel sees it.
pub fn by_interior_point(lists: &Lists) -> Peer {
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
