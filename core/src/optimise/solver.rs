//! The dual active-set method as an argmin solver, and the memory that it works in.

use argmin::core::{
    ArgminError, Error, IterState, KV, Problem, Solver, State, TerminationReason, TerminationStatus,
};

use super::active_set::{ActiveSet, End, Relaxed};
use super::executor::{Trace, execute, problem_of};
use super::outcome::Outcome;
use super::programme::Programme;

/// Where a solve begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// At the unconstrained minimum. The result depends on the programme alone, to the last bit.
    Cold,
    /// At the limits that were active when the last solve of this workspace ended: for a programme
    /// of which only spans or gradient have changed. The same optimum in fewer steps; the last
    /// digits may depend on the history.
    Warm,
}

/// Solves a programme once, from a cold start. To solve again and again, keep a [`Workspace`].
pub fn solve(programme: &Programme) -> Outcome {
    Workspace::new().solve(programme, Start::Cold)
}

/// The solver's memory, kept between solves so that a step allocates nothing.
///
/// It serves programmes of any size one after the other; a programme of the same size needs no new
/// memory.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    iteration_limit: Option<u64>,
    set: ActiveSet,
}

impl Workspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same with a limit on the steps of one solve. Without it the limit is ten steps per limit
    /// of the programme and a hundred more; a solve takes about one step per active limit.
    #[must_use]
    pub fn with_iteration_limit(mut self, steps: u64) -> Self {
        self.iteration_limit = Some(steps);
        self
    }

    /// Keeps nothing but the memory: what comes next depends on no solve before.
    pub(crate) fn clear(&mut self) {
        self.set.clear();
    }

    /// Solves the programme. A warm start whose result cannot be certified is followed by a cold
    /// one.
    pub fn solve(&mut self, programme: &Programme, start: Start) -> Outcome {
        self.solve_observed(programme, start, None)
    }

    /// The same, watched: the trace gets one run, or two where a cold start follows a warm one.
    pub fn solve_traced(&mut self, programme: &Programme, start: Start, trace: &Trace) -> Outcome {
        self.solve_observed(programme, start, Some(trace))
    }

    pub(crate) fn solve_observed(
        &mut self,
        programme: &Programme,
        start: Start,
        trace: Option<&Trace>,
    ) -> Outcome {
        let outcome = self.run(programme, start, trace);
        match (start, outcome) {
            (Start::Warm, Outcome::NumericalTrouble { .. } | Outcome::IterationLimit { .. }) => {
                self.run(programme, Start::Cold, trace)
            }
            (_, outcome) => outcome,
        }
    }

    fn run(&mut self, programme: &Programme, start: Start, trace: Option<&Trace>) -> Outcome {
        let state = DualState::new().max_iters(self.steps_at_most(programme));
        let solver = DualActiveSet::new(self, start);
        match execute(programme, solver, state, trace) {
            Some((solver, _)) => solver.outcome(),
            None => Outcome::NumericalTrouble {
                iterations: 0,
                certificate: None,
            },
        }
    }

    /// A relaxation of branch and bound, from a warm start: the same steps, taken directly and
    /// without a certificate, until they end or their bound passes `cutoff`. With it, the steps
    /// taken. A start that fails is followed by a cold one.
    pub(crate) fn relax(&mut self, programme: &Programme, cutoff: f64) -> (Relaxed, u64) {
        self.relax_to(programme, cutoff, false)
    }

    /// The same without a cutoff and without refining the optimum: where the next relaxation
    /// begins.
    pub(crate) fn relax_roughly(&mut self, programme: &Programme) -> (Relaxed, u64) {
        self.relax_to(programme, f64::INFINITY, true)
    }

    fn relax_to(&mut self, programme: &Programme, cutoff: f64, rough: bool) -> (Relaxed, u64) {
        let limit = self.steps_at_most(programme);
        let (relaxed, steps) = self.set.relax(programme, cutoff, true, rough, limit);
        if relaxed != Relaxed::Failed {
            return (relaxed, steps);
        }
        let (relaxed, more) = self.set.relax(programme, cutoff, false, rough, limit);
        (relaxed, steps + more)
    }

    /// The outcome of a programme whose relaxation has just been solved here, with its certificate.
    pub(crate) fn certify(&mut self, programme: &Programme) -> Outcome {
        match self.set.conclude(programme) {
            Some(end @ End::Optimal(..)) => self.set.outcome(programme, end, 1),
            _ => self.solve(programme, Start::Warm),
        }
    }

    /// The optimum of the last relaxation that was solved.
    pub(crate) fn relaxed_x(&self) -> &[f64] {
        self.set.x()
    }

    fn steps_at_most(&self, programme: &Programme) -> u64 {
        let steps_by_size = 10 * programme.limit_count() as u64 + 100;
        self.iteration_limit.unwrap_or(steps_by_size)
    }
}

/// What argmin carries from one iteration to the next. It has no `param`: the iterate stays in the
/// [`Workspace`], in the method's own coordinates, and leaves it in a certified [`Outcome`] only.
///
/// The cost is the negative of the current minimum, the value at the best point for the limits
/// taken in so far: a dual method pushes that value up, from below, to the optimum.
pub type DualState = IterState<(), (), (), (), (), f64>;

/// # Dual active-set method
///
/// Minimises ½·xᵀH·x + gᵀx within limits. It starts at the unconstrained minimum −H⁻¹g. Each
/// iteration moves the limit that is exceeded most into the active set, as far as the multipliers
/// of the others stay positive; one that reaches zero leaves the set. The iterate is always the
/// minimum on the active set, so its value only rises, and the first iterate that exceeds no limit
/// is the optimum.
///
/// [`Workspace::solve`] runs it on argmin's `Executor`. Run it yourself to attach observers of your
/// own:
///
/// ```
/// use argmin::core::{Executor, State, TerminationReason};
/// use underlet::optimise::{DualActiveSet, DualState, Programme, Span, Start, Workspace};
///
/// // The number nearest to 3 that is 2 at most.
/// let mut programme = Programme::new(vec![1.0], vec![-3.0])?;
/// programme.set_bound(0, Span::at_most(2.0))?;
/// let mut workspace = Workspace::new();
/// let solver = DualActiveSet::new(&mut workspace, Start::Cold);
/// let result = Executor::new(&programme, solver)
///     .configure(|state: DualState| state.max_iters(50))
///     .run()?;
/// let reason = result.state.get_termination_reason();
/// assert_eq!(reason, Some(&TerminationReason::SolverConverged));
/// let outcome = result.solver.outcome();
/// assert_eq!(outcome.solution().unwrap().x, [2.0]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// ## Termination
///
/// | argmin's reason | outcome |
/// |---|---|
/// | `SolverConverged` | [`Outcome::Optimal`], with a certificate that holds |
/// | `SolverExit`: no point keeps all limits | [`Outcome::Infeasible`], with its proof |
/// | `SolverExit`: the numbers are too ill-conditioned | [`Outcome::NumericalTrouble`] |
/// | `MaxItersReached` | [`Outcome::IterationLimit`] |
///
/// ## Reference
///
/// Goldfarb & Idnani (1983), "A numerically stable dual method for solving strictly convex
/// quadratic programs", *Mathematical Programming* 27:1-33.
#[derive(Debug)]
pub struct DualActiveSet<'w> {
    set: &'w mut ActiveSet,
    start: Start,
    /// Iterations so far; `None` as long as the memory does not hold the programme of this run.
    iterations: Option<u64>,
    outcome: Option<Outcome>,
}

impl<'w> DualActiveSet<'w> {
    /// A solver that works in this memory.
    pub fn new(workspace: &'w mut Workspace, start: Start) -> Self {
        Self {
            set: &mut workspace.set,
            start,
            iterations: None,
            outcome: None,
        }
    }

    /// How the run ended. A run that the solver did not end itself, but a limit of argmin's state,
    /// is reported as one that reached its limit on iterations.
    pub fn outcome(self) -> Outcome {
        let iterations = self.iterations.unwrap_or(0);
        self.outcome
            .unwrap_or(Outcome::IterationLimit { iterations })
    }

    /// Finite, because argmin takes a cost of −∞ for its target and would stop there.
    fn cost(&self) -> f64 {
        (-self.set.lower_bound()).max(f64::MIN)
    }
}

impl<'p> Solver<&'p Programme, DualState> for DualActiveSet<'_> {
    fn name(&self) -> &'static str {
        "dual active set"
    }

    fn init(
        &mut self,
        problem: &mut Problem<&'p Programme>,
        state: DualState,
    ) -> Result<(DualState, Option<KV>), Error> {
        self.set
            .begin(problem_of(problem)?, self.start == Start::Warm);
        self.iterations = Some(0);
        self.outcome = None;
        Ok((state.cost(self.cost()), None))
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<&'p Programme>,
        state: DualState,
    ) -> Result<(DualState, Option<KV>), Error> {
        let programme = problem_of(problem)?;
        let Some(iterations) = &mut self.iterations else {
            // argmin leaves `init` out where the state has iterations behind it.
            let text = "start from a state without iterations".to_owned();
            return Err(ArgminError::NotInitialized { text }.into());
        };
        *iterations += 1;
        let end = self.set.advance(programme);
        self.outcome = end.map(|end| self.set.outcome(programme, end, *iterations));
        Ok((state.cost(self.cost()), None))
    }

    fn terminate(&mut self, _: &DualState) -> TerminationStatus {
        let exit = |reason: &str| TerminationReason::SolverExit(reason.to_owned());
        TerminationStatus::Terminated(match &self.outcome {
            None => return TerminationStatus::NotTerminated,
            Some(Outcome::Optimal(_)) => TerminationReason::SolverConverged,
            Some(Outcome::Infeasible(_)) => exit("no point keeps all limits"),
            Some(_) => exit("the numbers are too ill-conditioned"),
        })
    }
}
