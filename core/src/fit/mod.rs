//! The fit: the convex programme behind a plan, its solver, and the certificate each answer carries.

mod active_set;
mod certificate;
mod factor;
mod limit;
mod outcome;
mod problem;
mod solver;

pub use certificate::Certificate;
pub use limit::{Limit, Side, Span};
pub use outcome::{ActiveLimit, Conflict, Multipliers, Outcome, Solution};
pub use problem::{Part, Programme, ProgrammeError};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
