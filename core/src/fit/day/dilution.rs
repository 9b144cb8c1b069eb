//! The least dilution that brings every range within reach.

use underlet_tables::parameters;

use super::frozen::{FrozenProblem, limit};
use crate::fit::ionic_strengths::IonicStrengths;
use crate::fit::problem::{Problem, SourceOption};
use crate::fit::result::FitError;
use crate::liquor::Liquor;
use crate::optimise::{Outcome, Programme, Span, Start};

/// Most rounds in which ionic strengths are frozen anew; three or four are usual.
const MAX_ROUNDS: usize = 30;
/// A share that changes by less has converged: a draw is measured to about a hundredth of all the
/// liquor.
const SAME_SHARE: f64 = 1e-6;

/// The least share of pure water in the blend with which an infinitely fine scale meets every
/// range; `None` where no share does. Pure water is one more source of the problem. A range that
/// cannot be met even alone is left out.
///
/// # Errors
/// When the programme cannot be set up, the solver does not reach an optimum, or the share does not
/// converge.
pub fn least_dilution(problem: &Problem<'_>) -> Result<Option<f64>, FitError> {
    let mut problem = problem.clone();
    let pure = problem.sources.len();
    problem.sources.push(SourceOption {
        liquor: Liquor::default(),
        max_amount_kg: None,
    });
    let mut strengths = IonicStrengths::uniform(0.0);
    let (mut share, mut change) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..MAX_ROUNDS {
        let mut frozen = FrozenProblem::new(&problem, strengths)?;
        let Some(x) = least_of(&mut frozen, pure)? else {
            return Ok(None);
        };
        let least = x.get(pure).copied().unwrap_or_default();
        change = (least - share).abs();
        if change <= SAME_SHARE {
            return Ok(Some(least));
        }
        share = least;
        // Pairs are left out: they move the share by less than it can be measured.
        strengths = IonicStrengths {
            sparge_pairs: [0.0; 3],
            ..frozen.strengths_at(&x)
        };
    }
    Err(FitError::NotConverged {
        rounds: MAX_ROUNDS,
        change,
    })
}

/// The point with the least of one decision variable that meets every target that can be met alone.
/// It has a programme of its own, without preferences and prices. `None` where there is no such
/// point.
///
/// # Errors
/// When the programme cannot be set up, or the solver does not reach an optimum.
pub fn least_of(
    frozen: &mut FrozenProblem<'_>,
    variable: usize,
) -> Result<Option<Vec<f64>>, FitError> {
    let n = frozen.programme.variables();
    let choices = frozen.choices.len();
    let mut hessian = vec![0.0; n * n];
    let mut price = vec![0.0; n];
    for j in 0..n {
        hessian[j * n + j] = parameters::FIT_STRICTNESS.value;
        price[j] = if j == variable { 1.0 } else { 0.0 };
    }
    let mut programme = Programme::new(hessian, price)?;
    limit(
        &mut programme,
        frozen.problem,
        &frozen.choices,
        &frozen.constraints,
    )?;
    let mut spans = Vec::new();
    for miss in choices..n {
        programme.set_bound(miss, Span::exactly(0.0))?;
        let alone = point(frozen, &programme)?;
        programme.set_bound(miss, Span::FREE)?;
        let span = alone.map_or(Span::FREE, |_| Span::exactly(0.0));
        spans.push((miss, span));
    }
    for (miss, span) in spans {
        programme.set_bound(miss, span)?;
    }
    point(frozen, &programme)
}

/// The optimum of a programme of this model; `None` where no point keeps its limits.
fn point(
    frozen: &mut FrozenProblem<'_>,
    programme: &Programme,
) -> Result<Option<Vec<f64>>, FitError> {
    match frozen.workspace.solve(programme, Start::Cold) {
        Outcome::Optimal(solution) => Ok(Some(solution.x)),
        Outcome::Infeasible(_) => Ok(None),
        other => Err(FitError::NotSolved(Box::new(other))),
    }
}
