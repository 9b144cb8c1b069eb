//! What was read and done on a brew day, as far as it did not go by the plan.

use super::RunningsReading;
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::recipe::{Place, Vessel};

/// What was read on a brew day, and what went otherwise than planned.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BrewLog {
    /// What the meters said.
    pub readings: Vec<MeterReading>,
    /// What went into the mash after its first reading, in place of the rest that the plan had for
    /// it; `None` where it was that.
    pub given: Option<Vec<GivenDose>>,
    /// Acid of which the liquor took another amount than the plan's.
    pub poured: Vec<PouredAcid>,
    /// What was read of the runnings, in the order in which they were read.
    pub runnings: Vec<RunningsReading>,
}

/// Acid or base that went into the mash after its first reading.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenDose {
    /// Of the day's brews, from 1.
    pub brew: usize,
    /// Key of the reagent, one of the shelf.
    pub reagent: String,
    /// How much, g or mL.
    pub amount: f64,
    /// Minutes after mashing in.
    pub minutes: f64,
}

/// Acid that was poured into liquor, to its end point or so far.
#[derive(Clone, Debug, PartialEq)]
pub struct PouredAcid {
    /// Where; in every brew alike where each has liquor of its own.
    pub vessel: Vessel,
    /// Key of the reagent, one that the shelf has for it.
    pub reagent: String,
    /// How much in all, g or mL.
    pub amount: f64,
}

impl BrewLog {
    /// A day that went as planned so far, but for what was read.
    pub fn of(readings: impl Into<Vec<MeterReading>>) -> BrewLog {
        BrewLog {
            readings: readings.into(),
            ..BrewLog::default()
        }
    }

    /// The same with what went into the mash after its first reading, in place of the rest of the
    /// plan.
    #[must_use]
    pub fn with_given(self, given: impl Into<Vec<GivenDose>>) -> BrewLog {
        BrewLog {
            given: Some(given.into()),
            ..self
        }
    }

    /// The same with acid of which the liquor took another amount than the plan's.
    #[must_use]
    pub fn with_poured(self, poured: impl Into<Vec<PouredAcid>>) -> BrewLog {
        BrewLog {
            poured: poured.into(),
            ..self
        }
    }

    /// The same with what was read of the runnings.
    #[must_use]
    pub fn with_runnings(self, runnings: impl Into<Vec<RunningsReading>>) -> BrewLog {
        BrewLog {
            runnings: runnings.into(),
            ..self
        }
    }

    /// The readings that a diagnosis compares with the plan: of a brew whose doses went otherwise
    /// once it was read, the mash is not what the plan foretells from then on, nor is its kettle.
    pub(crate) fn comparable(&self) -> Vec<MeterReading> {
        let is_later = |one: &&MeterReading| {
            matches!(one.sample, Sample::Brew(Place::Mash | Place::Kettle)) && self.given.is_some()
        };
        let readings = self.readings.iter().filter(|one| !is_later(one));
        readings.copied().collect()
    }
}
