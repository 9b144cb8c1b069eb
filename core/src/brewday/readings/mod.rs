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

mod meter;
mod outlook;
mod samples;
mod world;

pub use meter::Meter;
pub(super) use outlook::{Line, Outlook};
pub(super) use world::World;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::forecasts::TWO_SIDED_95;
use super::plan::Reading;
use super::settle::Settled;
use crate::fit::Vessel;

/// Where a meter is held in, in the order of work.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The liquor as it is drawn and blended, before anything is added.
    ColdLiquor,
    /// The hot-liquor tank when all is added and dissolved, before it is heated.
    Tank,
    /// The liquor in the tun, after any acid and before the grist.
    MashLiquor,
    /// The mash, 20 to 60 minutes in.
    Mash,
    /// The sparge liquor, before sparging starts.
    SpargeLiquor,
    /// The wort at kettle full, before the boil.
    Kettle,
}

impl Place {
    /// Every place.
    pub const ALL: [Place; 6] = [
        Place::ColdLiquor,
        Place::Tank,
        Place::MashLiquor,
        Place::Mash,
        Place::SpargeLiquor,
        Place::Kettle,
    ];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Place::ColdLiquor => "cold_liquor",
            Place::Tank => "tank",
            Place::MashLiquor => "mash_liquor",
            Place::Mash => "mash",
            Place::SpargeLiquor => "sparge_liquor",
            Place::Kettle => "kettle",
        }
    }

    /// Name for people.
    pub const fn label(self) -> &'static str {
        match self {
            Place::ColdLiquor => "liquor as drawn",
            Place::Tank => "hot-liquor tank",
            Place::MashLiquor => "mash liquor",
            Place::Mash => "mash",
            Place::SpargeLiquor => "sparge liquor",
            Place::Kettle => "kettle-full wort",
        }
    }

    const fn when(self, meter: Meter) -> &'static str {
        match (self, meter) {
            (Place::ColdLiquor, _) => "before anything is added",
            (Place::Tank, Meter::Temperature) => "once it is heated",
            (Place::Tank, _) => "when all is added and dissolved, before it is heated",
            (Place::MashLiquor, _) => "in the tun, after any acid and before the grist",
            (Place::Mash, _) => "20 to 60 minutes after mashing in",
            (Place::SpargeLiquor, _) => "before sparging starts",
            (Place::Kettle, _) => "when the kettle is full, before the boil",
        }
    }

    /// What it means where a meter does not show what it should.
    const fn otherwise(self, meter: Meter) -> &'static str {
        match (self, meter) {
            (Place::Mash, Meter::Ph) => {
                "Mash pH outside: check the probe in a buffer first, then whether an addition was forgotten or doubled, \
                 then the alkalinity of the water; the malt is next. Correct with small doses and read again."
            }
            (_, Meter::Temperature) => "Temperature outside: compare with a second thermometer.",
            (Place::ColdLiquor, _) => {
                "Liquor as drawn outside: check the meter in a known water, then whether the water is still that of its report."
            }
            (_, Meter::Ph) => "pH outside: check the probe in a buffer, then what was added.",
            (_, Meter::Conductivity) => {
                "Conductivity outside: check the meter in a standard; lower: a salt is missing or not yet dissolved."
            }
        }
    }

    /// Whether all brews have it in common.
    pub(super) const fn is_shared(self) -> bool {
        matches!(self, Place::ColdLiquor | Place::Tank)
    }

    /// Whether it holds wort, which buffers, and not liquor, which hardly does.
    pub(super) const fn is_wort(self) -> bool {
        matches!(self, Place::Mash | Place::Kettle)
    }
}

/// What the meters should show on a settled day, in the order of work. Where one of its liquors, or of those that are a little
/// off, has no equilibrium, the mash pH alone. Meters that are not on hand show nothing.
pub(super) fn readings(settled: &Settled<'_>) -> Vec<Reading> {
    match Outlook::of(&World::planned(settled)) {
        Ok(outlook) => outlook.readings(settled),
        Err(_) if settled.day.brewhouse.meters.contains(&Meter::Ph) => vec![mash_ph(settled)],
        Err(_) => Vec::new(),
    }
}

impl Outlook {
    pub(super) fn readings(&self, settled: &Settled<'_>) -> Vec<Reading> {
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
