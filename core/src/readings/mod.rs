//! What the meters should show after each step of a plan, with how far a reading may lie from it.
//!
//! The plan's fit predicts the mash pH. This room goes on from there: pH and conductivity of the
//! liquor as drawn, in the tank once it is dosed, in the tun before the grist and before the
//! sparge, the pH of the wort at kettle full, and the temperatures of the day. Each is stated as
//! what the meter should show and a tolerance, made of what the forecast does not know and of what
//! the meter does.
//!
//! pH is that of a sample cooled to 20 °C, conductivity that at 25 °C as a compensating meter shows
//! it, temperature that of the vessel.
//!
//! Limits: a mash's conductivity is not predicted (most of it comes from the malt). Scale that
//! forms in hot hard liquor is not followed, so hot liquor that precipitates chalk reads lower than
//! predicted here. How much carbon dioxide has left is an estimate.

pub mod diagnosis;
mod meter;
mod prediction;
mod samples;
mod scenario;
mod texts;

pub(crate) use prediction::{Line, Prediction};
pub(crate) use scenario::Scenario;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::aqueous::EquilibriumError;
use crate::fit::Solution;
use crate::math::TWO_SIDED_95;
use crate::recipe::{BrewDay, Meter, Place};
use crate::words;

/// What a meter should show at a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Reading {
    /// Place and meter in one, such as "tank_conductivity".
    pub what: String,
    /// Where.
    pub place: Place,
    /// By which meter.
    pub meter: Meter,
    /// Name for people.
    pub label: String,
    /// After which step, in words.
    pub when: String,
    /// Expected value.
    pub expected: f64,
    /// Half width that is still as expected (95 %).
    pub tolerance: f64,
    /// Unit; empty for pH.
    pub unit: String,
    /// For people, such as "5.42 ± 0.25".
    pub display: String,
    /// What it means if it lies outside.
    pub otherwise: String,
}

/// What the meters on hand should show on a day, in the order of work.
///
/// # Errors
/// [`EquilibriumError`] where one of its liquors, perturbed or not, has no equilibrium.
pub(crate) fn predicted(solution: &Solution<'_>) -> Result<Vec<Reading>, EquilibriumError> {
    let prediction = Prediction::of(&Scenario::planned(solution))?;
    Ok(readings(solution, &prediction))
}

/// What a meter should show in the mash alone.
pub(crate) fn of_mash_alone(solution: &Solution<'_>) -> Vec<Reading> {
    let has_meter = solution.day.brewhouse.meters.contains(&Meter::Ph);
    let mash = has_meter.then(|| mash_ph(solution));
    mash.into_iter().collect()
}

fn readings(solution: &Solution<'_>, prediction: &Prediction) -> Vec<Reading> {
    let mut readings = Vec::new();
    for place in Place::ALL {
        for &meter in &solution.day.brewhouse.meters {
            if (place, meter) == (Place::Mash, Meter::Ph) {
                readings.push(mash_ph(solution));
            } else if let Some(line) = prediction.line(place, meter) {
                readings.push(reading(solution.day, place, meter, [line.mean, line.sd()]));
            }
        }
    }
    readings
}

/// As the plan forecasts it.
fn mash_ph(solution: &Solution<'_>) -> Reading {
    let forecast = &solution.forecast;
    let figures = [forecast.ph, forecast.sd];
    reading(solution.day, Place::Mash, Meter::Ph, figures)
}

/// When it is read: in each brew what is not shared by all, sparge liquor before each of its
/// portions.
fn when(day: &BrewDay, place: Place, meter: Meter) -> String {
    let in_portions = place == Place::SpargeLiquor && day.sparge_portions > 1;
    let when = if in_portions {
        "before each portion"
    } else {
        texts::when(place, meter)
    };
    let times = if place.is_shared() { 1 } else { day.brews };
    words::in_each_brew(when, times)
}

fn reading(day: &BrewDay, place: Place, meter: Meter, [expected, sd]: [f64; 2]) -> Reading {
    let tolerance = TWO_SIDED_95 * sd;
    let display = format!(
        "{} ± {} {}",
        meter.write(expected),
        meter.write(tolerance),
        meter.unit()
    );
    Reading {
        what: format!("{}_{}", place.key(), meter.key()),
        place,
        meter,
        label: format!("{} {}", place.label(), meter.label()),
        when: when(day, place, meter),
        expected,
        tolerance,
        unit: meter.unit().to_owned(),
        display: display.trim_end().to_owned(),
        otherwise: texts::otherwise(place, meter).to_owned(),
    }
}
