//! A finding about a tank: its code, its numbers and where its limit comes from.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use underlet_tables::source;

use crate::error::codes;
use crate::quantity::tidy;
use crate::water_report::FindingSeverity;

codes! {
    /// Stable short code of what to watch in a tank: programs match on it, so a code is never
    /// renamed.
    pub enum TankFindingCode {
        /// Acid would keep scale off the heater if it came before heating.
        AcidBeforeHeating = "acid_before_heating",
        /// Calcite comes down on heater and walls.
        ScaleExpected = "scale_expected",
        /// More of a reagent is given than dissolves at the tank's temperature.
        DoseNotDissolving = "dose_not_dissolving",
        /// The liquor holds more calcium sulfate than it can keep dissolved.
        GypsumSupersaturated = "gypsum_supersaturated",
        /// Calcium sulfate may grow on the heater, whose skin is hotter than the liquor.
        AnhydriteOnHeater = "anhydrite_on_heater",
        /// Liquor is drawn that holds more of an ion than a figure for drinking water.
        LimitExceeded = "limit_exceeded",
        /// Chlorine is drawn into the brew.
        ChlorineDrawn = "chlorine_drawn",
        /// Scale may grow in the wort cooler.
        ScaleInCooler = "scale_in_cooler",
        /// More chloride than stainless steel usually bears.
        ChlorideOnSteel = "chloride_on_steel",
    }
}

/// The skin of a heater under liquor is no hotter than water boils: the hottest surface there can
/// be, °C.
pub(super) const HEATER_C: f64 = 100.0;

/// One thing to watch.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankFinding {
    /// Stable code.
    pub code: TankFindingCode,
    /// How much it matters.
    pub severity: FindingSeverity,
    /// The line it is about, counted from 0.
    pub line: u32,
    /// Its numbers.
    pub numbers: Vec<TankNumber>,
    /// In plain words.
    pub text: String,
    /// Where the limit or the law comes from, and how far that was checked.
    pub source: String,
    /// What to mind when acting on it.
    pub caution: Cow<'static, str>,
}

/// A number of a finding.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TankNumber {
    /// What it is.
    pub key: Cow<'static, str>,
    /// The number.
    pub value: f64,
    /// Standard deviation, where one is known.
    pub sd: Option<f64>,
    /// Its unit.
    pub unit: Cow<'static, str>,
}

pub(super) fn number(
    key: &'static str,
    value: f64,
    sd: Option<f64>,
    unit: &'static str,
) -> TankNumber {
    TankNumber {
        key: key.into(),
        value: tidy(value),
        sd: sd.map(tidy),
        unit: unit.into(),
    }
}

pub(super) fn counted(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX)
}

/// A source as it is printed, with how far it was checked.
pub(super) fn cited(key: &str) -> String {
    source(key).map_or_else(String::new, |row| {
        format!("{} ({})", row.reference, row.checked)
    })
}
