//! Water reports as laboratories and suppliers write them, and what they say about today's water.
//!
//! A [`WaterReport`] holds what was written, entry by entry, in canonical units and with the
//! notation it came in. Bench values of this morning are entries of the same kind.
//! [`WaterReport::findings`] lists what contradicts itself, [`WaterReport::liquor`] takes it at its
//! word, [`WaterReport::mistakes`] finds figures that may be on the wrong basis, and
//! [`WaterReport::reconcile`] makes today's water of report and bench.
//!
//! # Findings
#![doc = include_str!("findings.md")]

mod date;
mod derived;
mod document;
mod entry;
mod evidence;
mod figures;
mod finding;
mod findings;
mod hypotheses;
mod liquor_builder;
mod mistakes;
mod plain;
mod plausibility;
mod reconcile;
mod reconciliation;
mod spread;
mod subject;
pub mod titration;
mod water_entry;
mod water_liquor;
mod water_mistake;

pub use date::Date;
pub use derived::Derived;
pub(crate) use derived::derived;
pub use document::{DerivedFigures, Water, WaterBalance};
pub use entry::{Entry, Figure, WaterReport};
pub use evidence::Evidence;
pub use finding::{Finding, FindingCode, FindingEvidence, FindingSeverity};
pub(crate) use findings::findings;
pub use hypotheses::{Change, MistakeKind, StatedBasis};
pub use liquor_builder::LiquorBuilder;
pub use mistakes::{Mistake, Weighing};
pub(crate) use mistakes::{mistakes, mistakes_with};
pub use plain::AlkalinityParts;
pub(crate) use plain::{checked_alkalinity, liquor, stated_alkalinity, without_carbon};
pub(crate) use reconcile::reconcile;
pub use reconcile::{
    Disagreement, Estimate, Measurement, Origin, ReconcileError, ReconciledWater, Residual,
    Unfinished, Unknown,
};
pub use reconciliation::{
    ReconciledDisagreement, ReconciledEstimate, ReconciledMeasurement, ReconciledSuspect,
    ReconciledUnused, Reconciliation, WaterBench,
};
pub(crate) use spread::laboratory_ph_sd;
pub use spread::{Method, Reading, reading};
pub use subject::Subject;
pub use water_entry::WaterEntry;
pub use water_liquor::{
    CARBON_KEY, ReconciledAmount, ReconciledLiquor, ReconciledRemark, RemarkCode,
};
pub use water_mistake::{MistakeChange, MistakeGain, WaterMistake};
