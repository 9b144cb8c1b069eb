//! What a meter showed: in which sample, by which probe.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::recipe::{Meter, Place};

/// Which probe of a kind was used.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Probe {
    /// The one in everyday use.
    #[default]
    Usual,
    /// A second one, to check the first by.
    Second,
}

impl Probe {
    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Probe::Usual => "usual",
            Probe::Second => "second",
        }
    }
}

/// What a probe was held in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sample {
    /// Something of this brew.
    Brew(Place),
    /// A reference sample that should read this: a buffer, a conductivity standard, melting ice.
    Known(f64),
}

/// What a meter said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeterReading {
    /// What the probe was held in.
    pub sample: Sample,
    /// What was read.
    pub meter: Meter,
    /// By which probe.
    pub probe: Probe,
    /// Of which brew of the day, from 1; 1 for what all brews share and for reference samples.
    pub brew: usize,
    /// Minutes after mashing in; `None` where it was as the plan says.
    pub minutes: Option<f64>,
    /// Temperature of the sample of a wort's pH, °C; `None` where it was cooled.
    pub sample_temperature_c: Option<f64>,
    /// What it said: pH, of a sample cooled to 20 °C unless its temperature is stated, µS/cm at
    /// 25 °C, °C.
    pub value: f64,
}

impl MeterReading {
    /// A reading of the first brew by the usual probe.
    pub const fn at(place: Place, meter: Meter, value: f64) -> MeterReading {
        MeterReading {
            sample: Sample::Brew(place),
            meter,
            probe: Probe::Usual,
            brew: 1,
            minutes: None,
            sample_temperature_c: None,
            value,
        }
    }

    /// A reading in a reference sample by the usual probe.
    pub const fn known(meter: Meter, stated: f64, value: f64) -> MeterReading {
        MeterReading {
            sample: Sample::Known(stated),
            meter,
            probe: Probe::Usual,
            brew: 1,
            minutes: None,
            sample_temperature_c: None,
            value,
        }
    }

    /// The same by the second probe.
    #[must_use]
    pub const fn by_second(self) -> MeterReading {
        MeterReading {
            probe: Probe::Second,
            ..self
        }
    }

    /// The same, so many minutes after mashing in.
    #[must_use]
    pub const fn at_minutes(self, minutes: f64) -> MeterReading {
        MeterReading {
            minutes: Some(minutes),
            ..self
        }
    }

    /// The same of a sample of wort that was not cooled, °C.
    #[must_use]
    pub const fn sampled_at(self, temperature_c: f64) -> MeterReading {
        MeterReading {
            sample_temperature_c: Some(temperature_c),
            ..self
        }
    }

    /// The same of another brew of the day, counted from 1.
    #[must_use]
    pub const fn of_brew(self, brew: usize) -> MeterReading {
        MeterReading { brew, ..self }
    }

    /// Its brew; `None` where it is of something that all brews share, or of no brew at all.
    pub(crate) const fn own_brew(&self) -> Option<usize> {
        match self.sample {
            Sample::Brew(place) if !place.is_shared() => Some(self.brew),
            _ => None,
        }
    }
}
