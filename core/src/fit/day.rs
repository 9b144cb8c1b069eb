//! The fit of a brew day: the best plan if the scale were infinitely fine, with its certificate,
//! and the plan that can be weighed.

use super::ionic_strengths::IonicStrengths;
use super::problem::Problem;
use super::result::{FitError, FitResult};
use crate::optimise::{Solution, Trace};

mod binding;
mod dilution;
mod frozen;
mod weighable;

pub use binding::binding_constraints;
pub use dilution::{least_dilution, least_of};
pub use frozen::FrozenProblem;
use weighable::{rounded, weigh_plan};

/// Most rounds in which ionic strengths are frozen, the problem is solved and they are taken from
/// its plan. Twelve were enough for each of 300 random days; what takes far more goes round in a
/// circle.
const MAX_ROUNDS: usize = 30;
/// Rounds in which ion pairs are followed too. Three or four are enough but where pairs and doses
/// chase each other: then they stay as they are, and the plan says by how much they are off.
const PAIR_ROUNDS: usize = 10;
/// Difference between ionic strengths that no term shows, mol/kg.
const SAME_STRENGTH: f64 = 1e-10;
/// The same, mol/kg, where doses of very different size leave rounding in the optimum, so that no
/// round gets nearer: it moves a pH by 1e-7.
const ROUNDED_STRENGTH: f64 = 1e-7;

/// Solves a problem.
///
/// # Errors
/// When the programme cannot be set up or solved (amounts that differ by more than double precision
/// can hold), no plan keeps a hard limit, or ionic strengths do not converge.
pub fn solve(problem: &Problem<'_>) -> Result<FitResult, FitError> {
    solve_observed(problem, None)
}

/// The same, watched: the trace gets a run of the solver for each round in which ionic strengths
/// are frozen. The last of them ends at the plan before rounding. The search for what can be
/// weighed, and what relief of a limit would bring, are not traced.
///
/// ```
/// use underlet::{BrewDay, EXAMPLES};
/// use underlet::optimise::{TerminationReason, Trace};
/// use underlet::fit::solve_traced;
///
/// let day = BrewDay::from_json(EXAMPLES[0].1)?;
/// let trace = Trace::new();
/// solve_traced(&day.problem(), &trace)?;
/// for run in trace.runs() {
///     assert_eq!(run.solver, "dual active set");
///     assert_eq!(run.reason, Some(TerminationReason::SolverConverged));
///     assert!(run.costs.len() > 1);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`solve`].
#[doc(hidden)]
pub fn solve_traced(problem: &Problem<'_>, trace: &Trace) -> Result<FitResult, FitError> {
    solve_observed(problem, Some(trace))
}

fn solve_observed(problem: &Problem<'_>, trace: Option<&Trace>) -> Result<FitResult, FitError> {
    let (mut frozen, best, iterations) = converged(problem, trace)?;
    let binding = binding_constraints(&mut frozen, &best);
    let (shares_before_rounding, doses_before_rounding) = frozen.amounts(&best.x);
    let rounded = rounded(&frozen, &best.x);
    let (_, doses_rounded) = frozen.amounts(&rounded);
    let (x, weighed) = weigh_plan(&frozen, &best.x)?;
    let (shares, doses) = frozen.amounts(&x);
    Ok(FitResult {
        shares,
        doses,
        shares_before_rounding,
        doses_before_rounding,
        doses_rounded,
        objective: frozen.objective(&x),
        objective_rounded: frozen.objective(&rounded),
        objective_before_rounding: frozen.objective(&best.x),
        misses_before_rounding: frozen.misses(&best.x),
        certificate: best.certificate,
        gap: weighed.gap(),
        nodes: weighed.nodes,
        iterations: iterations + weighed.iterations,
        binding,
        ionic_strengths: frozen.ionic_strengths(),
        linearisation_error: frozen.linearisation_error(&x),
    })
}

/// The best plan on an infinitely fine scale.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Optimum {
    /// Share of each source, by mass.
    pub shares: Vec<f64>,
    /// Dose of each option, g or mL.
    pub doses: Vec<f64>,
    /// Its objective: the least of any plan, weighable or not.
    pub objective: f64,
}

/// The best plan before it is rounded to the scale: what "what if" questions need of a changed
/// problem, at a fraction of the work of [`solve`].
///
/// # Errors
/// As [`solve`].
pub fn optimum(problem: &Problem<'_>) -> Result<Optimum, FitError> {
    let (frozen, best, _) = converged(problem, None)?;
    let (shares, doses) = frozen.amounts(&best.x);
    Ok(Optimum {
        shares,
        doses,
        objective: frozen.objective(&best.x),
    })
}

/// The programme at the ionic strengths of its own optimum, that optimum, and the steps taken. The
/// strengths are followed and never aimed at: a salt is dosed for what it brings, and not to move
/// activity coefficients.
fn converged<'a>(
    problem: &'a Problem<'a>,
    trace: Option<&Trace>,
) -> Result<(FrozenProblem<'a>, Solution, u64), FitError> {
    let source = problem.sources.first();
    let strength = source.map_or(0.0, |source| source.liquor.ionic_strength_mol_per_kg());
    let mut strengths = IonicStrengths::uniform(strength);
    let (mut iterations, mut change) = (0, f64::INFINITY);
    let mut last = None;
    for round in 0..MAX_ROUNDS {
        let mut frozen = FrozenProblem::new(problem, strengths)?;
        let best = frozen.solve_observed(trace)?;
        iterations += best.iterations;
        let mut own = frozen.strengths_at(&best.x);
        if round >= PAIR_ROUNDS {
            own.sparge_pairs = strengths.sparge_pairs;
        }
        change = own.distance(strengths);
        if change <= SAME_STRENGTH {
            return Ok((frozen, best, iterations));
        }
        strengths = own;
        last = Some((frozen, best));
    }
    match last {
        Some((frozen, best)) if change <= ROUNDED_STRENGTH => Ok((frozen, best, iterations)),
        _ => Err(FitError::NotConverged {
            rounds: MAX_ROUNDS,
            change,
        }),
    }
}
