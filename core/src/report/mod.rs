//! Water reports as laboratories and suppliers write them, and what they say about today's water.
//!
//! A [`WaterReport`] holds what was written, entry by entry, in canonical units and with the notation it came in. Bench
//! values of this morning are entries of the same kind. [`WaterReport::findings`] says what is odd about it,
//! [`WaterReport::liquor`] takes it at its word.
//!
//! # Findings
//!
#![doc = include_str!("findings.md")]

mod date;
mod document;
mod entry;
mod finding;
mod findings;
mod plain;
mod subject;

pub use date::Date;
pub use document::{Water, WaterBalance, WaterEntry, WaterReckoned};
pub use entry::{Entry, Figure, WaterReport};
pub use finding::{Finding, FindingCode, FindingEvidence, FindingSeverity};
pub use findings::Reckoned;
pub use plain::AlkalinityParts;
pub(crate) use plain::carbon_mol_per_kg;
pub use subject::Subject;
