//! The plan of a brew day, as a document that can be weighed from.

mod alternatives;
mod assembly;
pub(crate) mod cautions;
mod document;
mod forecasts;
mod ion_fit;
mod reasons;
mod targets;

pub use document::{
    Addition, Alternative, AlternativeCode, BindingLimit, BlendPart, Caution, Change, Contribution,
    CurvePoint, FitReport, KettleForecast, KettleIon, LimitCode, MashForecast, Plan, PlanTag,
    Proof, Reason, Severity, SpargeForecast, State, TargetLine, VesselLiquor,
};
pub use ion_fit::{FittedIons, IonFitReport, SaltToWeigh};
