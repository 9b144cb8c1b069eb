//! What the meters should show after each step of a plan, with how far a reading may lie from it.
//!
//! The plan's fit predicts the mash pH. This room goes on from there: pH and conductivity of the
//! liquor as drawn, in the tank once it is dosed, in the tun before the grist and before the
//! sparge, the pH of the wort at kettle full, and the temperatures of the day. Each is stated as
//! what the meter should show and a tolerance, made of what the forecast does not know and of what
//! the meter does; a pH with an interval, skewed as its titration curve is (`interval`), and a
//! conductivity with its rise from the brewer's own first reading, from which the calibration of
//! the meter and most of what is not known about the water fall out. Acid is poured into liquor to
//! an end point where a volume says little about the pH (`end_point`).
//!
//! pH is that of a sample cooled to 20 °C, conductivity that at 25 °C as a compensating meter shows
//! it, temperature that of the vessel.
//!
//! Limits: a mash's conductivity is not predicted (most of it comes from the malt). Scale that
//! forms in hot hard liquor is not followed, so hot liquor that precipitates chalk reads lower than
//! predicted here. How much carbon dioxide has left is an estimate.

pub mod correction;
pub mod diagnosis;
mod end_point;
mod interval;
mod meter;
mod prediction;
mod samples;
mod scenario;
mod texts;

pub use end_point::EndPoint;
pub(crate) use end_point::StepEndPoint;
pub(crate) use prediction::{Line, Prediction};
pub(crate) use scenario::Scenario;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use samples::Samples;

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
    /// Of a pH the interval that holds 95 % of what the meter shows, low and high: skewed as the
    /// titration curve is. Null for what is not skewed, and has the tolerance.
    pub interval_95: Option<[f64; 2]>,
    /// The same where the acid of the liquor was poured until the meter showed its end point and
    /// not by its volume; null where there is no end point.
    pub interval_95_once_poured: Option<[f64; 2]>,
    /// Of a conductivity how far it lies above the brewer's own first reading, of the liquor as
    /// drawn; null where there is none.
    pub rise: Option<Rise>,
    /// Unit; empty for pH.
    pub unit: String,
    /// For people, such as "5.42 (5.19–5.68)", or "your first reading + 68 ± 6 µS/cm".
    pub display: String,
    /// What it means if it lies outside.
    pub otherwise: String,
}

/// How far a reading lies above the brewer's own first one by the same meter. What both share, such
/// as the calibration of the meter and most of what is not known about the water, falls out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Rise {
    /// Expected value, in the unit of the reading; negative where it falls.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
}

/// What is foretold of a day: the readings of the meters on hand, in the order of work, and the end
/// points that acids are poured to.
pub(crate) struct Foretold {
    pub readings: Vec<Reading>,
    pub end_points: Vec<StepEndPoint>,
}

/// What the meters on hand should show on a day, and the prediction that it is made of.
///
/// # Errors
/// [`EquilibriumError`] where one of its liquors, perturbed or not, has no equilibrium.
pub(crate) fn foretold(
    solution: &Solution<'_>,
    scenario: &Scenario<'_>,
) -> Result<(Prediction, Foretold), EquilibriumError> {
    let mut samples = Samples::new();
    let (prediction, liquors) = Prediction::with_liquors(scenario, &mut samples)?;
    let prediction = prediction.with_wort_intervals(scenario);
    let end_points = end_point::end_points(solution, scenario, &mut samples, &liquors)?;
    let foretold = Foretold {
        readings: readings(solution, &prediction, &end_points.intervals),
        end_points: end_points.steps,
    };
    Ok((prediction, foretold))
}

/// What a meter should show in the mash alone.
pub(crate) fn of_mash_alone(solution: &Solution<'_>) -> Foretold {
    let has_meter = solution.day.brewhouse.meters.contains(&Meter::Ph);
    let interval = solution.mash_interval(TWO_SIDED_95);
    let mash = has_meter.then(|| mash_ph(solution, Some(interval)));
    Foretold {
        readings: mash.into_iter().collect(),
        end_points: Vec::new(),
    }
}

fn readings(
    solution: &Solution<'_>,
    prediction: &Prediction,
    once_poured: &[(Place, [f64; 2])],
) -> Vec<Reading> {
    let mut readings = Vec::new();
    for place in Place::ALL {
        for &meter in &solution.day.brewhouse.meters {
            let Some(line) = prediction.line(place, meter) else {
                continue;
            };
            if (place, meter) == (Place::Mash, Meter::Ph) {
                readings.push(mash_ph(solution, line.interval_95));
            } else {
                let rise = prediction.rise(place, meter);
                let rise = rise.filter(|_| meter == Meter::Conductivity);
                let mut poured = once_poured.iter().filter(|_| meter == Meter::Ph);
                let poured = poured.find(|(of, _)| *of == place);
                let figures = Figures {
                    expected: line.mean,
                    sd: line.sd(),
                    interval: line.interval_95,
                    once_poured: poured.map(|(_, interval)| *interval),
                    rise: rise.map(|[value, sd]| Rise { value, sd }),
                };
                readings.push(reading(solution.day, (place, meter), figures));
            }
        }
    }
    readings
}

/// As the plan forecasts it.
fn mash_ph(solution: &Solution<'_>, interval: Option<[f64; 2]>) -> Reading {
    let forecast = &solution.forecast;
    let figures = Figures {
        expected: forecast.ph,
        sd: forecast.sd,
        interval,
        once_poured: None,
        rise: None,
    };
    reading(solution.day, (Place::Mash, Meter::Ph), figures)
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

/// What a reading is expected to be.
struct Figures {
    expected: f64,
    sd: f64,
    interval: Option<[f64; 2]>,
    once_poured: Option<[f64; 2]>,
    rise: Option<Rise>,
}

fn reading(day: &BrewDay, (place, meter): (Place, Meter), figures: Figures) -> Reading {
    let display = figures.display(place, meter);
    Reading {
        what: format!("{}_{}", place.key(), meter.key()),
        place,
        meter,
        label: format!("{} {}", place.label(), meter.label()),
        when: when(day, place, meter),
        expected: figures.expected,
        tolerance: TWO_SIDED_95 * figures.sd,
        interval_95: figures.interval,
        interval_95_once_poured: figures.once_poured,
        rise: figures.rise,
        unit: meter.unit().to_owned(),
        display,
        otherwise: texts::otherwise(place, meter).to_owned(),
    }
}

impl Figures {
    /// For people; the pH of liquor to a tenth, since it scatters by more.
    fn display(&self, place: Place, meter: Meter) -> String {
        let (unit, half_width) = (meter.unit(), meter.write(TWO_SIDED_95 * self.sd));
        let expected = meter.write(self.expected);
        match (self.once_poured.or(self.interval), &self.rise) {
            (Some(ends), _) if place.is_wort() => words::with_interval(self.expected, ends, 2),
            (Some(ends), _) => words::with_interval(self.expected, ends, 1),
            (None, Some(rise)) => {
                let change = match rise.value.round() {
                    0.0 => String::new(),
                    _ => format!("{} ", words::spaced_change(rise.value, 0)),
                };
                let rise_half_width = meter.write(TWO_SIDED_95 * rise.sd);
                format!("your first reading {change}± {rise_half_width} {unit}")
            }
            (None, None) => format!("{expected} ± {half_width} {unit}")
                .trim_end()
                .to_owned(),
        }
    }
}
