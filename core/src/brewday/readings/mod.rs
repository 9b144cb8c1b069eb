//! What the meters should show after each step of a plan, with what is still as expected.
//!
//! The plan itself foretells the mash pH. This room goes on from there: pH and conductivity of the liquor as drawn, in the tank
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
mod world;

pub use meter::Meter;
pub(super) use outlook::{Line, Outlook};
pub(super) use world::World;

use super::outcome::{Settled, TWO_SIDED_95};
use super::plan::Reading;
use super::{BrewDay, PlanError, words};

/// Where a meter is held in, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
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
    /// Key in the plan's readings.
    const fn key(self) -> &'static str {
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

    /// Whether it holds wort, which buffers, and not liquor, which hardly does.
    pub(super) const fn is_wort(self) -> bool {
        matches!(self, Place::Mash | Place::Kettle)
    }
}

impl BrewDay {
    /// What the meters should show after each step of this day's plan, in the order of work: as the plan's own `readings`,
    /// whose mash pH it takes as it is, and in their place where text and sheet are to show all of them.
    ///
    /// # Errors
    /// [`PlanError`], where the day has no plan or one of its liquors no equilibrium.
    ///
    /// ```
    /// use underlet::brewday::{BrewDay, EXAMPLES};
    /// let day = BrewDay::from_json(EXAMPLES[0].1).unwrap();
    /// let mut plan = day.plan().unwrap();
    /// plan.readings = day.expected_readings().unwrap();
    /// assert!(plan.to_text().contains("hot-liquor tank conductivity at 25 °C"));
    /// ```
    pub fn expected_readings(&self) -> Result<Vec<Reading>, PlanError> {
        let settled = self.settled()?;
        let outlook = Outlook::of(&World::planned(&settled)).map_err(PlanError::Equilibrium)?;
        Ok(outlook.readings(&settled))
    }
}

impl Outlook {
    pub(super) fn readings(&self, settled: &Settled<'_>) -> Vec<Reading> {
        let mut readings = Vec::new();
        for line in &self.lines {
            if (line.place, line.meter) == (Place::Mash, Meter::Ph) {
                readings.extend(Settled::readings(&settled.mash()));
            } else {
                readings.push(line.reading());
            }
        }
        readings
    }
}

impl Line {
    fn reading(&self) -> Reading {
        let (place, meter) = (self.place, self.meter);
        let tolerance = TWO_SIDED_95 * self.sd();
        let write = |value: f64| match meter {
            Meter::Ph => words::ph(value),
            Meter::Conductivity => format!("{value:.0}"),
            Meter::Temperature => format!("{value:.1}"),
        };
        let display = format!(
            "{} ± {} {}",
            write(self.mean),
            write(tolerance),
            meter.unit()
        );
        Reading {
            what: format!("{}_{}", place.key(), meter.key()),
            label: format!("{} {}", place.label(), meter.label()),
            when: place.when(meter).to_owned(),
            expected: self.mean,
            tolerance,
            unit: meter.unit().to_owned(),
            display: display.trim_end().to_owned(),
            otherwise: meter.otherwise().to_owned(),
        }
    }
}
