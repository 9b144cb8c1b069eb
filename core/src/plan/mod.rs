//! The plan of a brew day, as a document that can be weighed from.
//!
//! A day travels one way: [`crate::fit`] solves it, `evaluation` follows the solution through the
//! brew, `explanation` says why it is so, and `document` puts it together.

mod additions;
mod assumptions;
pub(crate) mod cautions;
mod codes;
mod correction;
mod dissolved;
mod document;
mod doubt;
mod evaluation;
mod explanation;
mod forecast_document;
mod forecasts;
mod headline;
mod ion_fit;
mod measurement;
mod targets;

pub use codes::{AlternativeCode, CautionCode, LimitCode, MeasurementCode, ReasonCode};
pub use dissolved::{DissolvedLine, HardLimit};
pub use document::{
    Addition, Alternative, BindingLimit, BlendPart, Caution, Change, FitReport, Plan, Proof,
    Reason, Severity, TargetLine, TargetState, VesselLiquor,
};
pub use forecast_document::{
    Contribution, CurvePoint, ForeseenCorrection, KettleForecast, KettleIon, MashForecast,
    RaisedBy, SpargeForecast,
};
pub use ion_fit::{FittedIons, IonFitReport, SaltToWeigh, fit_ions};

use crate::document::{DocumentHead, DocumentKind};
use crate::fit::{PlanError, Solution, solve_day};
use crate::recipe::{self, BrewDay};
use evaluation::Evaluation;
use explanation::Explanation;

/// The plan of a day.
///
/// # Errors
/// [`PlanError`] where the day does not make sense, or its amounts differ by more than double
/// precision can hold in one fit.
///
/// ```
/// use underlet::{BrewDay, EXAMPLES};
/// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
/// let plan = day.plan().unwrap();
/// assert!(plan.meets_every_range);
/// assert_eq!(plan.additions[0].vessel_label, "hot-liquor tank");
/// ```
pub fn plan(day: &BrewDay) -> Result<Plan, PlanError> {
    recipe::check(day)?;
    let solution = solve_day(day)?;
    let evaluation = Evaluation::of(&solution)?;
    let explanation = Explanation::of(&solution, &evaluation);
    Ok(assemble(&solution, evaluation, explanation))
}

/// The document of a solved day.
fn assemble(solution: &Solution<'_>, evaluation: Evaluation, explanation: Explanation) -> Plan {
    let day = solution.day;
    let mash = forecasts::mash(solution, &evaluation);
    let additions = additions::additions(solution, &evaluation.end_points);
    let blend = additions::blend(solution);
    let (meets_every_range, summary) =
        headline::headline(day, &evaluation.targets, &mash, (&blend, &additions));
    Plan {
        head: DocumentHead::of(DocumentKind::Plan, &day.attached),
        name: day.name.clone(),
        brewhouse: day.brewhouse.name.clone(),
        brews: day.brews,
        summary,
        meets_every_range,
        vessels: additions::vessels(solution),
        blend,
        additions,
        mash,
        sparge: forecasts::sparge(solution, &evaluation),
        kettle: forecasts::kettle(solution, &evaluation.doubts),
        cautions: cautions::cautions(solution, &evaluation),
        assumptions: assumptions::assumptions(solution),
        fit: FitReport::of(&solution.fitted),
        targets: evaluation.targets,
        dissolved: evaluation.dissolved,
        hard_limits: dissolved::hard_limits(solution),
        readings: evaluation.readings,
        reasons: explanation.reasons,
        limits: explanation.limits,
        alternatives: explanation.alternatives,
    }
}
