//! Water reports as laboratories and suppliers write them, and what they say about today's water.
//!
//! A [`WaterReport`] holds what was written, entry by entry, in canonical units and with the notation it came in. Bench
//! values of this morning are entries of the same kind.

mod date;
mod entry;
mod subject;

pub use date::Date;
pub use entry::{Entry, Figure, WaterReport};
pub use subject::Subject;
