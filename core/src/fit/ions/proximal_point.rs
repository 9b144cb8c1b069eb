//! The proximal point method as an argmin solver: the minimum of a function that is flat in some
//! directions, by a sequence of programmes that are not.

use argmin::core::{
    Error, IterState, KV, Problem, Solver, State, TerminationReason, TerminationStatus,
};

use crate::fit::result::FitError;
use crate::optimise::{Outcome, Trace, execute, problem_of};

/// Most iterations. Each reduces the effect of the regularisation by the ratio of its curvature to
/// that of the misses.
const ITERATIONS: u64 = 60;
/// A cost that falls by no more than this part of itself has converged.
const LAST_FALL: f64 = 1e-11;
/// Costs below this are zero.
pub(super) const ZERO: f64 = 1e-18;

/// A programme whose curvature has a regularisation.
pub(super) trait Regularised {
    /// The curvature of a variable that does not count.
    fn regularisation(&self, variable: usize) -> f64;

    /// Solves it with a gradient, from where the last solve ended, and without a certificate; a
    /// rough optimum is not refined. Gives the steps taken.
    ///
    /// # Errors
    /// Where it has no optimum.
    fn relax(&mut self, gradient: &[f64], rough: bool) -> Result<u64, FitError>;

    /// The optimum of the last [`Self::relax`].
    fn relaxed(&self) -> &[f64];
}

/// # Proximal point method
///
/// Minimises f(x) = ½·xᵀH·x + gᵀx within limits, where H alone need not be positive definite. Each
/// iteration minimises f with a regularisation ρ around the optimum before it,
///
/// xₖ₊₁ = argmin f(x) + ½·Σⱼ ρⱼ·(xⱼ − xₖⱼ)².
///
/// That is a strictly convex programme with the curvature H + diag ρ, which the programme of a fit
/// has from the start, and the gradient gⱼ − ρⱼ·xₖⱼ. The regularisation of the first iteration is
/// around zero. The active-set method takes its steps directly and goes on from where it ended.
///
/// ## Termination
///
/// `SolverConverged` once an iteration lowers the cost by no more than a part [`LAST_FALL`] of
/// itself, `TargetCostReached` at [`ZERO`], `SolverExit` where an iteration has no optimum.
///
/// ## Reference
///
/// Rockafellar (1976), "Monotone operators and the proximal point algorithm", *SIAM Journal on
/// Control and Optimization* 14:877-898.
struct ProximalPoint<'g, C> {
    gradient: &'g [f64],
    cost: C,
    /// The optimum of the last iteration.
    x: Vec<f64>,
    /// The gradient with the regularisation around it.
    shifted: Vec<f64>,
    /// Steps of the active-set method in all.
    steps: u64,
    /// Why an iteration has no optimum.
    failure: Option<FitError>,
}

/// What argmin carries from one iteration to the next. The optimum stays in the solver, so
/// that no iteration copies it.
type ProximalState = IterState<(), (), (), (), (), f64>;

/// The minimum on the programme of a fit with this gradient, and the steps taken; `cost` says when
/// it is reached. The programme is left with the gradient of the last iteration.
///
/// # Errors
/// Where an iteration has no optimum, or none is the last.
pub(super) fn minimise<R: Regularised, C: Fn(&R, &[f64]) -> f64>(
    fit: &mut R,
    gradient: &[f64],
    cost: C,
    trace: Option<&Trace>,
) -> Result<(Vec<f64>, u64), FitError> {
    let state = ProximalState::new().max_iters(ITERATIONS);
    let solver = ProximalPoint {
        gradient,
        cost,
        x: Vec::new(),
        shifted: gradient.to_vec(),
        steps: 0,
        failure: None,
    };
    let Some((solver, state)) = execute(fit, solver, state, trace) else {
        return Err(not_converged(0));
    };
    if let Some(error) = solver.failure {
        return Err(error);
    }
    match state.get_termination_reason() {
        Some(TerminationReason::SolverConverged | TerminationReason::TargetCostReached) => {
            Ok((solver.x, solver.steps))
        }
        _ => Err(not_converged(solver.steps)),
    }
}

fn not_converged(iterations: u64) -> FitError {
    FitError::NotSolved(Box::new(Outcome::IterationLimit { iterations }))
}

impl<C> ProximalPoint<'_, C> {
    /// The optimum with the regularisation around the one before; a rough one is not refined.
    fn iterate<R: Regularised>(
        &mut self,
        fit: &mut R,
        state: ProximalState,
        rough: bool,
    ) -> ProximalState
    where
        C: Fn(&R, &[f64]) -> f64,
    {
        let pairs = self.shifted.iter_mut().zip(self.gradient);
        for (j, ((shifted, slope), x)) in pairs.zip(&self.x).enumerate() {
            *shifted = slope - fit.regularisation(j) * x;
        }
        match fit.relax(&self.shifted, rough) {
            Ok(steps) => {
                self.steps += steps;
                self.x.clear();
                self.x.extend_from_slice(fit.relaxed());
                state.cost((self.cost)(fit, &self.x))
            }
            Err(error) => {
                self.failure = Some(error);
                state
            }
        }
    }
}

impl<'m, R: Regularised, C> Solver<&'m mut R, ProximalState> for ProximalPoint<'_, C>
where
    C: Fn(&R, &[f64]) -> f64,
{
    fn name(&self) -> &'static str {
        "proximal point"
    }

    /// The first optimum only says where the regularisation goes next, so a rough one will do.
    fn init(
        &mut self,
        problem: &mut Problem<&'m mut R>,
        state: ProximalState,
    ) -> Result<(ProximalState, Option<KV>), Error> {
        Ok((self.iterate(problem_of(problem)?, state, true), None))
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<&'m mut R>,
        state: ProximalState,
    ) -> Result<(ProximalState, Option<KV>), Error> {
        Ok((self.iterate(problem_of(problem)?, state, false), None))
    }

    fn terminate(&mut self, state: &ProximalState) -> TerminationStatus {
        if let Some(error) = &self.failure {
            let reason = TerminationReason::SolverExit(error.to_string());
            return TerminationStatus::Terminated(reason);
        }
        if state.get_cost() <= ZERO {
            return TerminationStatus::Terminated(TerminationReason::TargetCostReached);
        }
        if state.get_prev_cost() - state.get_cost() <= LAST_FALL * state.get_cost() {
            return TerminationStatus::Terminated(TerminationReason::SolverConverged);
        }
        TerminationStatus::NotTerminated
    }
}
