//! Strictly convex quadratic programmes: the minimum of a quadratic function within limits, with a
//! certificate that it is the minimum. Nothing here knows of brewing.
//!
//! | type | what it is |
//! |---|---|
//! | [`Programme`] | the problem |
//! | [`DualActiveSet`] | the solver, for argmin's `Executor` |
//! | [`Workspace`] | the memory kept between solves |
//! | [`DualState`] | the state of a run: cost, iterations, why it ended |
//! | [`Outcome`] | an optimum, a conflict of limits, or neither, by name |
//! | [`Certificate`] | the proof of an optimum, independent of the solver |
//! | [`Trace`] | an observer; any argmin observer will do |
//!
//! [`Workspace::solve`] puts these together and is all that most callers need. [`weigh()`] searches
//! for the best point in whole steps of a scale; its relaxations take the solver's steps directly.

mod active_set;
mod certificate;
mod executor;
mod factor;
mod inverse;
mod limit;
mod multipliers;
mod outcome;
mod padded;
mod programme;
mod programme_error;
mod solver;
mod weigh;

pub use argmin::core::TerminationReason;

pub(crate) use active_set::Relaxed;
pub use certificate::Certificate;
pub use executor::{Trace, TracedRun};
pub(crate) use executor::{execute, problem_of};
pub(crate) use factor::Cholesky;
pub use limit::{Limit, Side, Span};
pub use multipliers::Multipliers;
pub use outcome::{ActiveLimit, Conflict, Outcome, Solution};
pub(crate) use padded::{add_padded, dot, stride};
pub use programme::Programme;
pub use programme_error::{Part, ProgrammeError};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
pub(crate) use weigh::weigh_from;
pub use weigh::{Portion, Regularisation, Weighed, Weighing, weigh};
