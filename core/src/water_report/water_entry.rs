//! An entry of a report in the water document.

use std::borrow::Cow;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::entry::{Entry, Figure};
use super::plain::meq_per_l;
use crate::quantity::tidy;

/// One entry of a report.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WaterEntry {
    /// Key, such as "calcium".
    pub key: Cow<'static, str>,
    /// Name for people.
    pub label: String,
    /// Unit of the numbers of this entry, such as "mg/L" or "mg/L as CaCO3"; empty for pH.
    pub unit: Cow<'static, str>,
    /// The best single guess: the value, half of a detection limit, the average or the middle of a
    /// range.
    pub value: f64,
    /// Least of a range.
    pub low: Option<f64>,
    /// Greatest of a range.
    pub high: Option<f64>,
    /// Detection limit that it lies below.
    pub below: Option<f64>,
    /// Standard deviation, where one is stated.
    pub sd: Option<f64>,
    /// The best single guess in milliequivalents per litre; absent where it carries no charge.
    pub meq_per_l: Option<f64>,
    /// As it was written, such as "12 to 18 mg/L as N".
    pub display: String,
}

impl WaterEntry {
    pub(super) fn of(entry: &Entry) -> WaterEntry {
        let subject = entry.subject;
        let number = |canonical: f64| tidy(subject.in_default_unit(canonical));
        let (low, high, below) = match entry.figure {
            Figure::Value(_) => (None, None, None),
            Figure::Below(limit) => (None, None, Some(limit)),
            Figure::Between { low, high, .. } => (Some(low), Some(high), None),
        };
        let middle = entry.figure.middle();
        WaterEntry {
            key: subject.key().into(),
            label: subject.label(),
            unit: subject.quantity().unit().into(),
            value: number(middle),
            low: low.map(number),
            high: high.map(number),
            below: below.map(number),
            sd: entry.sd.map(number),
            meq_per_l: subject
                .charge()
                .map(|charge| tidy(meq_per_l(middle * charge))),
            display: entry.write(),
        }
    }
}
