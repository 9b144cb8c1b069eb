//! Meters on hand.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::naming::{Name, keyed};
use crate::quantity::{self, Quantity};
use crate::words;

/// What is read.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Meter {
    /// pH of a sample cooled to 20 °C.
    Ph,
    /// Conductivity at 25 °C, µS/cm.
    Conductivity,
    /// Temperature, °C.
    Temperature,
}

keyed!(Meter);

impl Meter {
    /// Every meter.
    pub const ALL: [Meter; 3] = [Meter::Ph, Meter::Conductivity, Meter::Temperature];

    /// Their names in documents.
    pub(crate) const NAMES: [Name<'static>; 3] = [
        (Meter::Ph.key(), &[]),
        (Meter::Conductivity.key(), &[]),
        (Meter::Temperature.key(), &[]),
    ];

    /// Key in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Meter::Ph => "ph",
            Meter::Conductivity => "conductivity",
            Meter::Temperature => "temperature",
        }
    }

    /// What it shows, for people.
    pub(crate) const fn label(self) -> &'static str {
        match self {
            Meter::Ph => "pH, sample cooled to 20 °C",
            Meter::Conductivity => "conductivity at 25 °C",
            Meter::Temperature => "temperature",
        }
    }

    /// Unit of what it shows; empty for pH.
    pub const fn unit(self) -> &'static str {
        match self {
            Meter::Ph => "",
            Meter::Conductivity => "µS/cm",
            Meter::Temperature => "°C",
        }
    }

    /// A value as it shows it.
    pub(crate) fn write(self, value: f64) -> String {
        match self {
            Meter::Ph => words::ph(value),
            Meter::Conductivity => format!("{value:.0}"),
            Meter::Temperature => format!("{value:.1}"),
        }
    }

    /// What it shows, with its limits.
    pub(crate) const fn quantity(self) -> &'static Quantity {
        match self {
            Meter::Ph => &quantity::PH,
            Meter::Conductivity => &quantity::CONDUCTIVITY,
            Meter::Temperature => &quantity::THERMOMETER,
        }
    }
}
