//! Documents that people write, as values that serde writes and reads.

use serde::de::Error as _;
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value;

use crate::error::InputError;
use crate::recipe::{BrewDay, IonFit};
use crate::water_report::WaterReport;

/// Every report has a document.
fn report_document(report: &WaterReport) -> Result<Value, InputError> {
    Ok(super::write_water_report(report))
}

macro_rules! inputs {
    ($($input:ty: $write:path, $read:path;)+) => { $(
        impl Serialize for $input {
            /// The document of the value; an error lists every problem of a value without one.
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                $write(self).map_err(S::Error::custom)?.serialize(serializer)
            }
        }

        impl<'de> Deserialize<'de> for $input {
            /// The value of a document; an error lists every problem of the document.
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let document = Value::deserialize(from)?;
                $read(&document.to_string()).map_err(D::Error::custom)
            }
        }
    )+ };
}

inputs! {
    BrewDay: super::write_brew_day, super::read_brew_day;
    IonFit: super::write_ion_fit, super::read_ion_fit;
    WaterReport: report_document, super::read_water_report;
}
