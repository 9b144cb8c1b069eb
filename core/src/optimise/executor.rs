//! How a solver is run: on argmin's executor, without a clock; and the trace by which a caller can
//! watch it.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use argmin::core::observers::{Observe, ObserverMode};
use argmin::core::{ArgminError, Error, Executor, KV, Problem, Solver, State, TerminationReason};

/// Runs a solver from a state until it terminates or reaches the state's limit on iterations.
///
/// `None` if argmin itself reports an error. No solver of this crate returns one, and neither does
/// a [`Trace`]: what can go wrong ends a run by a termination reason.
pub(crate) fn execute<O, S, I>(
    problem: O,
    solver: S,
    state: I,
    trace: Option<&Trace>,
) -> Option<(S, I)>
where
    S: Solver<O, I>,
    I: State<Float = f64>,
{
    let executor = Executor::new(problem, solver)
        .configure(|_| state)
        .timer(false)
        .ctrlc(false);
    let executor = match trace {
        Some(trace) => executor.add_observer(trace.clone(), ObserverMode::Always),
        None => executor,
    };
    let result = executor.run();
    debug_assert!(result.is_ok(), "argmin: {:?}", result.as_ref().err());
    result.ok().map(|end| (end.solver, end.state))
}

/// The problem that argmin hands to a solver.
///
/// # Errors
/// When there is none, which an executor rules out.
pub(crate) fn problem_of<O>(problem: &mut Problem<O>) -> Result<&mut O, Error> {
    problem.problem.as_mut().ok_or_else(|| {
        let text = "the problem is missing".to_owned();
        ArgminError::NotInitialized { text }.into()
    })
}

/// An argmin observer that keeps what it sees: every iteration of every run that it is attached to.
///
/// Clones share one record. To watch a fit or a reconciliation, hand a trace to
/// [`solve_traced`](crate::fit::solve_traced),
/// [`IonFitter::solve_traced`](crate::fit::IonFitter::solve_traced) or
/// [`reconcile_traced`](crate::water_report::WaterReport::reconcile_traced); the result is the same
/// to the last bit. One trace watches one of them at a time.
///
/// ```
/// use underlet::optimise::{Programme, Span, Start, TerminationReason, Trace, Workspace};
///
/// // The point nearest to (3, 4) whose coordinates add up to 5 at most: (2, 3).
/// let mut programme = Programme::new(vec![1.0, 0.0, 0.0, 1.0], vec![-3.0, -4.0])?;
/// programme.add_row(&[1.0, 1.0], Span::at_most(5.0))?;
/// let trace = Trace::new();
/// Workspace::new().solve_traced(&programme, Start::Cold, &trace);
///
/// let runs = trace.runs();
/// // A dual method: the value rises from the unconstrained minimum, −12.5, to −11.5.
/// assert_eq!(runs[0].costs.first(), Some(&12.5));
/// assert!((runs[0].costs.last().unwrap() - 11.5).abs() < 1e-12);
/// assert_eq!(runs[0].reason, Some(TerminationReason::SolverConverged));
/// # Ok::<(), underlet::optimise::ProgrammeError>(())
/// ```
#[derive(Clone, Debug, Default)]
pub struct Trace {
    runs: Arc<Mutex<Vec<TracedRun>>>,
}

/// One run of a solver, as a [`Trace`] saw it.
#[derive(Clone, Debug, PartialEq)]
pub struct TracedRun {
    /// Name of the solver.
    pub solver: String,
    /// The cost that it minimises: at its start, then after each iteration.
    pub costs: Vec<f64>,
    /// Why it ended; `None` while it runs.
    pub reason: Option<TerminationReason>,
}

impl Trace {
    /// Nothing seen yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// The runs seen so far, in their order.
    pub fn runs(&self) -> Vec<TracedRun> {
        self.record().clone()
    }

    fn record(&self) -> MutexGuard<'_, Vec<TracedRun>> {
        self.runs.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl<I: State<Float = f64>> Observe<I> for Trace {
    fn observe_init(&mut self, name: &str, state: &I, _: &KV) -> Result<(), Error> {
        self.record().push(TracedRun {
            solver: name.to_owned(),
            costs: vec![state.get_cost()],
            reason: None,
        });
        Ok(())
    }

    fn observe_iter(&mut self, state: &I, _: &KV) -> Result<(), Error> {
        if let Some(run) = self.record().last_mut() {
            run.costs.push(state.get_cost());
        }
        Ok(())
    }

    fn observe_final(&mut self, state: &I) -> Result<(), Error> {
        if let Some(run) = self.record().last_mut() {
            run.reason = state.get_termination_reason().cloned();
        }
        Ok(())
    }
}
