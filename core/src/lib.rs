//! Underlet: brewhouse water chemistry.
//!
//! Before a sack is opened, the liquor must be settled: which salts and acids are weighed, where they go and when, so
//! that the ions suit the beer, the mash settles at its pH on this grist and the sparge stays gentle. The main job:
//!
//! ```
//! use underlet::{BrewDay, EXAMPLES};
//!
//! let (_, text) = EXAMPLES[0];
//! let day = BrewDay::from_json(text)?;
//! let plan = day.plan()?;
//! for addition in &plan.additions {
//!     println!("{}: {} of {}", addition.vessel_label, addition.display, addition.name);
//! }
//! assert!((plan.mash.ph - 5.4).abs() < 0.1);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Rooms, ground floor first; each uses only what lies below it: [`math`], [`quantity`], [`error`], [`ion`], [`convex`];
//! [`liquor`], [`reagent`]; [`aqueous`], [`speciation`]; [`report`], [`treatment`], [`mash`]; [`fit`]; [`brewday`]; [`json`].
//!
//! # What this does not model yet
//!
//! The tank through the day in a plan (a source takes what [`tank`] says was drawn), what malt
//! itself brings of ions and zinc, what the break takes of it, and learning from earlier brews. A malt's titration curve is a straight line.
//! The modules say where they are coarse.
#![forbid(unsafe_code)]

mod api;
pub mod aqueous;
mod checker;
pub mod component;
mod document;
pub mod error;
pub mod fit;
pub mod json;
pub mod liquor;
pub mod mash;
#[doc(hidden)]
pub mod math;
mod naming;
#[doc(hidden)]
pub mod optimise;
pub mod plan;
pub mod quantity;
pub mod readings;
pub mod reagent;
pub mod recipe;
mod render;
pub mod speciation;
pub mod tank;
pub mod treatment;
pub mod uncertainty;
pub mod water_report;
mod words;

pub use plan::{
    Addition, Alternative, AlternativeCode, BindingLimit, BlendPart, Caution, Change, FittedIons,
    KettleForecast, LimitCode, MashForecast, Plan, Reason, Severity, SpargeForecast, State,
    TargetLine,
};
pub use readings::Reading;
pub use recipe::{
    Boil, BrewDay, BrewDayBuilder, Brewhouse, Draw, EXAMPLES, IonFit, IonTargets, Kettle,
    LimitedQuantity, Meter, Place, Reconciled, Shelved, Source, Targets, Vessel, Wanted,
};

/// Version of the document formats that this engine reads and writes.
pub const FORMAT_VERSION: u32 = 1;
