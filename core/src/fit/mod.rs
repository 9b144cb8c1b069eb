//! The fit: the convex programme behind a plan, its solver, and the certificate each answer carries.

mod certificate;
mod factor;
mod outcome;
mod problem;
mod solver;

pub use certificate::Certificate;
pub use outcome::{ActiveLimit, Conflict, Multipliers, Outcome, Solution};
pub use problem::{Limit, Part, Programme, ProgrammeError, Side, Span};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
