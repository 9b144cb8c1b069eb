//! The plan of a brew day, as a document that can be weighed from.

mod alternatives;
mod assembly;
pub(crate) mod cautions;
mod codes;
mod document;
mod forecasts;
mod ion_fit;
mod reasons;
mod targets;

pub use codes::{AlternativeCode, CautionCode, LimitCode, ReasonCode, TargetKey};
pub use document::{
    Addition, Alternative, BindingLimit, BlendPart, Caution, Change, Contribution, CurvePoint,
    FitReport, KettleForecast, KettleIon, MashForecast, Plan, Proof, Reason, Severity,
    SpargeForecast, State, TargetLine, VesselLiquor,
};
pub use ion_fit::{FittedIons, IonFitReport, SaltToWeigh};
