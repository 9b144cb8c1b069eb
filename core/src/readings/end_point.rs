//! End points: acid that is poured into liquor until a meter shows a pH.
//!
//! Near its end point liquor holds its pH by next to nothing, so that a volume says little about
//! the pH and the pH much about the volume: the same error of the alkalinity that moves the pH by
//! one moves the volume by a tenth. The pH is that of the planned liquor as it is dosed, before its
//! carbon dioxide leaves; the volumes are those between which 95 % of days reach it, the meter's
//! own error included.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::parameters;

use super::interval::{Poured, UncertainSample};
use super::samples::Samples;
use super::scenario::Scenario;
use crate::aqueous::EquilibriumError;
use crate::fit::{Purpose, Solution, Step};
use crate::liquor::Dose;
use crate::math;
use crate::reagent::Preparation;
use crate::recipe::{Meter, Place, Vessel};
use crate::words;

/// The pH at which an acid has done its work, with the volumes that may take.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EndPoint {
    /// pH of a sample cooled to 20 °C at which to stop.
    pub ph: f64,
    /// Volume that may do, in the unit of the addition: 2.5 % of days take less.
    pub low: f64,
    /// Volume to have ready and never to exceed: 2.5 % of days take more.
    pub high: f64,
    /// For people, such as "pour until the meter shows 5.6 (cooled to 20 °C), about 74 mL; have
    /// 90 mL ready; stop at 90 mL".
    pub display: String,
}

/// The end point of a step.
pub(crate) struct StepEndPoint {
    pub step: u32,
    pub end_point: EndPoint,
}

/// The end points of a day, and what a meter shows in liquor from then on.
#[derive(Default)]
pub(super) struct EndPoints {
    pub steps: Vec<StepEndPoint>,
    /// Intervals that hold 95 % of the readings of pH, by place, once the acid is poured.
    pub intervals: Vec<(Place, [f64; 2])>,
}

/// The end points of a day: of the last acid in every vessel of liquor that ends near where it
/// holds its pH no more.
///
/// # Errors
/// [`EquilibriumError`] where one of the liquors has no equilibrium as it is dosed.
pub(super) fn end_points(
    solution: &Solution<'_>,
    scenario: &Scenario<'_>,
    samples: &mut Samples,
    liquors: &[(Place, UncertainSample)],
) -> Result<EndPoints, EquilibriumError> {
    let mut found = EndPoints::default();
    if !solution.day.brewhouse.meters.contains(&Meter::Ph) {
        return Ok(found);
    }
    // Liquor of the tank stays what it was poured to, unless it gets acid of its own.
    let mut of_tank = None;
    for (place, liquor) in liquors {
        let mut own = None;
        if let Some(step) = last_acid(solution, *place) {
            let dosed = liquor.as_dosed(scenario, samples)?;
            if dosed.ph() > parameters::END_POINT_PH.value {
                continue;
            }
            let end_point = end_point(solution, step, &dosed);
            own = Some(Poured {
                liquor: dosed,
                acid: in_a_kg(solution, step),
                ph: end_point.ph,
            });
            found.steps.push(StepEndPoint {
                step: step.number,
                end_point,
            });
        }
        if let Some(poured) = own.as_ref().or(of_tank.as_ref()) {
            let interval = liquor.interval_95_once_poured(poured);
            found.intervals.push((*place, interval));
        }
        if *place == Place::Tank {
            of_tank = own;
        }
    }
    Ok(found)
}

/// One unit of the acid of a step in a kg of its liquor.
pub(super) fn in_a_kg(solution: &Solution<'_>, step: &Step) -> Dose {
    let per_kg = 1.0 / solution.problem.waters.dosed_kg(step.vessel);
    step.preparation.dose_per_unit().times(per_kg)
}

/// The last acid of the fit in the vessel of a place.
pub(super) fn last_acid<'s>(solution: &'s Solution<'_>, place: Place) -> Option<&'s Step> {
    let vessel = match place {
        Place::Tank => Vessel::HotLiquorTank,
        Place::MashLiquor => Vessel::MashLiquor,
        Place::SpargeLiquor => Vessel::SpargeLiquor,
        _ => return None,
    };
    let is_such = |step: &&Step| {
        step.vessel == vessel
            && step.preparation.is_acid()
            && matches!(step.purpose, Purpose::Fit(_))
    };
    solution.steps.iter().rfind(is_such)
}

fn end_point(solution: &Solution<'_>, step: &Step, liquor: &UncertainSample) -> EndPoint {
    let ph = (liquor.ph() * 10.0).round() / 10.0;
    let per_unit_eq = liquor.acid_eq(&in_a_kg(solution, step), ph);
    let steps = |eq: f64| (step.amount + eq / per_unit_eq) / scale_step(solution, step);
    let [low, high] = liquor.missing_between(ph).map(steps);
    let amount = |steps: f64| words::tidy(steps * scale_step(solution, step));
    let (low, high) = (
        amount(math::at_least(low.floor(), 0.0)),
        amount(high.ceil()),
    );
    EndPoint {
        ph,
        low,
        high,
        display: in_words(&step.preparation, ph, [step.amount, high]),
    }
}

/// Step of the measure that an acid is poured by.
pub(super) fn scale_step(solution: &Solution<'_>, step: &Step) -> f64 {
    match step.purpose {
        Purpose::Fit(index) => solution
            .problem
            .doses
            .get(index)
            .map_or(1.0, |one| one.step),
        _ => 1.0,
    }
}

fn in_words(preparation: &Preparation, ph: f64, [about, high]: [f64; 2]) -> String {
    let [about, high] = [about, high].map(|amount| preparation.unit().amount(amount).to_string());
    format!(
        "pour until the meter shows {ph:.1} (cooled to 20 °C), about {about}; have {high} ready; \
         stop at {high}"
    )
}
