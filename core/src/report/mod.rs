//! Water reports as laboratories and suppliers write them, and what they say about today's water.
//!
//! A [`WaterReport`] holds what was written, entry by entry, in canonical units and with the notation it came in. Bench
//! values of this morning are entries of the same kind. [`reconcile`] makes today's water of both.

mod entry;
mod evidence;
mod figures;
mod hypotheses;
mod mistakes;
mod plausibility;
mod reconcile;
mod spread;
pub mod titration;

pub use entry::{Entry, Figure, Subject, WaterReport};
pub use evidence::Evidence;
pub use hypotheses::{Change, MistakeKind, StatedBasis};
pub use mistakes::{Mistake, Weighing, weigh, weigh_with};
pub use reconcile::{
    Disagreement, Estimate, Measurement, Origin, ReconcileError, Residual, Today, Unknown,
    reconcile,
};
pub use spread::{Method, Reading, reading};
