//! Strictly convex quadratic programmes: the least of a bowl within limits, with the certificate that it is the least.
//!
//! A [`Programme`] is set up, solved by the dual active set of Goldfarb & Idnani 1983, and judged by a [`Certificate`] that knows nothing of the solver. Nothing here knows of brewing.

mod active_set;
mod certificate;
mod factor;
mod inverse;
mod limit;
mod outcome;
mod problem;
mod solver;
mod spaced;
mod weigh;

pub(crate) use active_set::Relaxed;
pub use certificate::Certificate;
pub(crate) use factor::Cholesky;
pub use limit::{Limit, Side, Span};
pub use outcome::{ActiveLimit, Conflict, Multipliers, Outcome, Solution};
pub use problem::{Part, Programme, ProgrammeError};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
pub(crate) use spaced::{add_spaced, dot, stride};
pub(crate) use weigh::weigh_from;
pub use weigh::{Portion, Uncounted, Weighed, Weighing, weigh};
