//! The solver's memory, the run of its steps, and its face to argmin.

use argmin::core::{ArgminError, Error, IterState, KV, Problem, Solver, State, TerminationReason};

use super::active_set::{ActiveSet, End, Relaxed};
use super::outcome::{Conflict, Outcome};
use super::problem::Programme;

/// Where a solve begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// At the unconstrained minimum. The answer depends on the programme alone, to the last bit.
    Cold,
    /// At the limits the last solve of this workspace ended with: for a programme of which only spans or
    /// gradient have changed. The same optimum in fewer steps; the last digits may depend on the history.
    Warm,
}

/// The state argmin carries: the iterate itself stays in the [`Workspace`]; the cost is the value of the current
/// relaxation, negated, because a dual method pushes the value up.
pub type DualState = IterState<(), (), (), (), (), f64>;

/// Solves a programme once, from a cold start. To solve again and again, keep a [`Workspace`].
pub fn solve(programme: &Programme) -> Outcome {
    Workspace::new().solve(programme, Start::Cold)
}

/// The solver's memory, kept between solves so that a solve allocates nothing but its answer.
///
/// It serves programmes of any size one after the other; a programme of the same size needs no new memory.
#[derive(Clone, Debug, Default)]
pub struct Workspace {
    iteration_limit: Option<u64>,
    set: ActiveSet,
    end: Option<End>,
}

impl Workspace {
    /// An empty workspace.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same with a limit on the steps of one solve. Without it the limit is ten steps per limit and a hundred
    /// more; a solve takes about one step per limit that binds.
    #[must_use]
    pub fn with_iteration_limit(mut self, steps: u64) -> Self {
        self.iteration_limit = Some(steps);
        self
    }

    /// Keeps nothing but the memory: what comes next depends on no solve before.
    pub(crate) fn forget(&mut self) {
        self.set.forget();
    }

    /// Solves the programme. A warm start whose answer cannot be certified is followed by a cold one.
    pub fn solve(&mut self, programme: &Programme, start: Start) -> Outcome {
        let outcome = self.run(programme, start);
        match (start, outcome) {
            (Start::Warm, Outcome::NumericalTrouble { .. } | Outcome::IterationLimit { .. }) => {
                self.run(programme, Start::Cold)
            }
            (_, outcome) => outcome,
        }
    }

    /// A relaxation of branch and bound, from a warm start: the same steps, driven without argmin and without a
    /// certificate, until they end or their bound passes `cutoff`. With it, the steps taken. A start that comes to
    /// nothing is followed by a cold one.
    pub(crate) fn relax(&mut self, programme: &Programme, cutoff: f64) -> (Relaxed, u64) {
        self.relax_to(programme, cutoff, false)
    }

    /// The same without a cutoff and without refining the optimum: where the next relaxation begins.
    pub(crate) fn relax_roughly(&mut self, programme: &Programme) -> (Relaxed, u64) {
        self.relax_to(programme, f64::INFINITY, true)
    }

    fn relax_to(&mut self, programme: &Programme, cutoff: f64, rough: bool) -> (Relaxed, u64) {
        let limit = self.steps_at_most(programme);
        let (relaxed, steps) = self.set.relax(programme, cutoff, true, rough, limit);
        if relaxed != Relaxed::Unsettled {
            return (relaxed, steps);
        }
        let (relaxed, more) = self.set.relax(programme, cutoff, false, rough, limit);
        (relaxed, steps + more)
    }

    /// The outcome of a programme whose relaxation has just been solved here, with its certificate.
    pub(crate) fn certify(&mut self, programme: &Programme) -> Outcome {
        self.end = self.set.conclude(programme);
        if matches!(self.end, Some(End::Optimal(..))) {
            self.outcome(programme, 1)
        } else {
            self.solve(programme, Start::Warm)
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

    /// One run: the steps that argmin's executor takes through [`DualActiveSet`], without its clock, counters and logs,
    /// which a browser would load for nothing.
    fn run(&mut self, programme: &Programme, start: Start) -> Outcome {
        let limit = self.steps_at_most(programme);
        self.set.begin(programme, start == Start::Warm);
        self.end = None;
        let mut iterations = 0;
        while self.end.is_none() && iterations < limit {
            self.end = self.set.advance(programme);
            iterations += 1;
        }
        self.outcome(programme, iterations)
    }

    fn outcome(&mut self, programme: &Programme, iterations: u64) -> Outcome {
        match self.end.take() {
            Some(End::Optimal(multipliers, certificate)) => {
                Outcome::Optimal(
                    self.set
                        .solution(programme, multipliers, certificate, iterations),
                )
            }
            Some(End::Infeasible(conflict)) => Outcome::Infeasible(Conflict {
                iterations,
                ..conflict
            }),
            Some(End::Trouble(certificate)) => Outcome::NumericalTrouble {
                iterations,
                certificate,
            },
            None => Outcome::IterationLimit { iterations },
        }
    }
}

/// The method as argmin sees it: `init` places the start, each iteration is one step, and argmin's executor
/// counts, observes and stops. [`Workspace::solve`] takes the same steps; run this one to attach observers.
#[derive(Debug)]
pub struct DualActiveSet<'w> {
    workspace: &'w mut Workspace,
    start: Start,
}

impl<'w> DualActiveSet<'w> {
    /// A solver that works in this memory.
    pub fn new(workspace: &'w mut Workspace, start: Start) -> Self {
        Self { workspace, start }
    }

    /// How the solve ended, after `iterations` steps of a run on this programme.
    pub fn outcome(&mut self, programme: &Programme, iterations: u64) -> Outcome {
        self.workspace.outcome(programme, iterations)
    }
}

impl<'p> Solver<&'p Programme, DualState> for DualActiveSet<'_> {
    fn name(&self) -> &'static str {
        "dual active set (Goldfarb & Idnani 1983)"
    }

    fn init(
        &mut self,
        problem: &mut Problem<&'p Programme>,
        state: DualState,
    ) -> Result<(DualState, Option<KV>), Error> {
        let programme = programme_of(problem)?;
        self.workspace.end = None;
        self.workspace
            .set
            .begin(programme, self.start == Start::Warm);
        Ok((state.cost(-self.workspace.set.lower_bound()), None))
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<&'p Programme>,
        state: DualState,
    ) -> Result<(DualState, Option<KV>), Error> {
        self.workspace.end = self.workspace.set.advance(programme_of(problem)?);
        let state = state.cost(-self.workspace.set.lower_bound());
        let state = match &self.workspace.end {
            None => state,
            Some(End::Optimal(..)) => state.terminate_with(TerminationReason::SolverConverged),
            Some(End::Infeasible(_)) => exit(state, "no point keeps all limits"),
            Some(End::Trouble(_)) => exit(state, "the numbers are too ill-conditioned"),
        };
        Ok((state, None))
    }
}

fn exit(state: DualState, reason: &str) -> DualState {
    state.terminate_with(TerminationReason::SolverExit(reason.to_owned()))
}

fn programme_of<'p>(problem: &Problem<&'p Programme>) -> Result<&'p Programme, Error> {
    problem.problem.ok_or_else(|| {
        ArgminError::NotInitialized {
            text: "the programme is missing".to_owned(),
        }
        .into()
    })
}
