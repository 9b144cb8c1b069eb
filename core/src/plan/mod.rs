//! The plan of a brew day, as a document that can be weighed from.
//!
//! A day travels one way: [`crate::fit`] solves it, `evaluation` follows the solution through the
//! brew, `explanation` says why it is so, and `document` puts it together.

mod additions;
mod assumptions;
pub(crate) mod cautions;
mod codes;
mod document;
mod doubt;
mod evaluation;
mod explanation;
mod forecast_document;
mod forecasts;
mod ion_fit;
mod targets;

pub use codes::{AlternativeCode, CautionCode, LimitCode, ReasonCode};
pub use document::{
    Addition, Alternative, BindingLimit, BlendPart, Caution, Change, FitReport, Plan, Proof,
    Reason, Severity, TargetLine, TargetState, VesselLiquor,
};
pub use forecast_document::{
    Contribution, CurvePoint, KettleForecast, KettleIon, MashForecast, SpargeForecast,
};
pub use ion_fit::{FittedIons, IonFitReport, SaltToWeigh, fit_ions};

use crate::document::{DocumentHead, DocumentKind};
use crate::fit::{PlanError, Solution, solve_day};
use crate::recipe::{self, BrewDay};
use crate::words;
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
    let targets = &evaluation.targets;
    let (meets_every_range, verdict) = targets::verdict(targets, !targets.is_empty());
    let mash = forecasts::mash(solution, &evaluation);
    let chance = words::landing(
        ". Its",
        mash.probability_in_range,
        mash.requested_confidence_percent,
    );
    Plan {
        head: DocumentHead::of(DocumentKind::Plan, &day.attached),
        name: day.name.clone(),
        brewhouse: day.brewhouse.name.clone(),
        brews: day.brews,
        summary: format!("{verdict}. {}", forecasts::mash_in_words(&mash, &chance)),
        meets_every_range,
        vessels: additions::vessels(solution),
        blend: additions::blend(solution),
        additions: additions::additions(solution, &evaluation.end_points),
        mash,
        sparge: forecasts::sparge(solution, &evaluation),
        kettle: forecasts::kettle(solution, &evaluation.doubts),
        cautions: cautions::cautions(solution, &evaluation),
        assumptions: assumptions::assumptions(solution),
        fit: FitReport::of(&solution.fitted),
        targets: evaluation.targets,
        readings: evaluation.readings,
        reasons: explanation.reasons,
        limits: explanation.limits,
        alternatives: explanation.alternatives,
    }
}
