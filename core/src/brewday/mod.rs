//! The brew day: from what stands on the shelf and in the tank to a plan that can be weighed.

mod alternatives;
mod brewhouse;
mod cautions;
pub mod check;
mod confidence;
mod day;
mod dechlorination;
mod forecasts;
mod ion_fit;
mod kettle;
pub mod ledger;
mod outcome;
mod plan;
mod readings;
mod reasons;
mod settle;
mod sheet;
pub mod tank;
mod targets;
mod text;
mod unsure;
mod words;

pub use brewhouse::Brewhouse;
pub use day::{Boil, BrewDay, Draw, Kettle, Reconciled, Shelved, Source};
pub(crate) use day::{MOST_BREWS, MOST_PORTIONS};
pub use plan::{
    Addition, Alternative, AlternativeCode, BindingLimit, BlendPart, Cause, Caution, Change,
    CurvePoint, FitReport, KettleForecast, KettleIon, LimitCode, MashForecast, Plan, PlanTag,
    Proof, Reading, Reason, Severity, SpargeForecast, State, TargetLine, VesselLiquor,
};

pub use crate::fit::{Targets, Vessel, Wanted};
pub use ion_fit::{FittedIons, IonFit, IonFitReport, IonTargets, SaltToWeigh};
pub use readings::{Meter, Place};
pub use settle::PlanError;

/// The three days that come with the engine, set in the invented brewhouse Ninefold Quay: key and JSON text.
pub const EXAMPLES: [(&str, &str); 3] = [
    ("pale-ale-10hl", include_str!("days/pale-ale-10hl.json")),
    ("dark-mild-2.5hl", include_str!("days/dark-mild-2.5hl.json")),
    ("pale-lager-ro", include_str!("days/pale-lager-ro.json")),
];
