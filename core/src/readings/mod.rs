//! What the meters should show after each step of a plan, with what is still as expected.
//!
//! The plan's fit foretells the mash pH. This room goes on from there: pH and conductivity of the liquor as drawn, in the tank
//! once it is dosed, in the tun before the grist and before the sparge, the pH of the wort at kettle full, and the
//! temperatures of the day. Each is stated as what the meter should show and a tolerance, made of what the forecast does
//! not know and of what the meter does.
//!
//! pH is that of a sample cooled to 20 °C, conductivity that at 25 °C as a compensating meter shows it, temperature that of
//! the vessel.
//!
//! Coarse: a mash's conductivity is not foretold (most of it is the malt's); scale that forms in hot hard liquor is not
//! followed, so a hot liquor that drops chalk reads lower than is said here; how much carbon dioxide has left is judged.

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

use crate::fit::Settled;
use crate::math::TWO_SIDED_95;
use crate::recipe::{Meter, Place, Vessel};

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

/// What the meters should show on a settled day, in the order of work. Where one of its liquors, or of those that are a little
/// off, has no equilibrium, the mash pH alone. Meters that are not on hand show nothing.
pub(crate) fn readings(settled: &Settled<'_>) -> Vec<Reading> {
    match Prediction::of(&Scenario::planned(settled)) {
        Ok(prediction) => prediction.readings(settled),
        Err(_) if settled.day.brewhouse.meters.contains(&Meter::Ph) => vec![mash_ph(settled)],
        Err(_) => Vec::new(),
    }
}

impl Prediction {
    pub(crate) fn readings(&self, settled: &Settled<'_>) -> Vec<Reading> {
        let mut readings = Vec::new();
        for place in Place::ALL {
            for &meter in &settled.day.brewhouse.meters {
                if (place, meter) == (Place::Mash, Meter::Ph) {
                    readings.push(mash_ph(settled));
                } else if let Some(line) = self.line(place, meter) {
                    readings.push(reading(settled, place, meter, line.mean, line.sd()));
                }
            }
        }
        readings
    }
}

/// As the plan forecasts it.
fn mash_ph(settled: &Settled<'_>) -> Reading {
    let forecast = &settled.forecast;
    reading(settled, Place::Mash, Meter::Ph, forecast.ph, forecast.sd)
}

/// When it is read: in each brew what is not shared by all, sparge liquor before each of its portions.
fn when(settled: &Settled<'_>, place: Place, meter: Meter) -> String {
    let vessel = if place <= Place::Tank {
        Vessel::HotLiquorTank
    } else {
        Vessel::MashTun
    };
    let in_portions = place == Place::SpargeLiquor && settled.day.sparge_portions > 1;
    let when = if in_portions {
        "before each portion"
    } else {
        place.when(meter)
    };
    settled.when(vessel, when)
}

fn reading(settled: &Settled<'_>, place: Place, meter: Meter, expected: f64, sd: f64) -> Reading {
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
        when: when(settled, place, meter),
        expected,
        tolerance,
        unit: meter.unit().to_owned(),
        display: display.trim_end().to_owned(),
        otherwise: place.otherwise(meter).to_owned(),
    }
}
