//! Documents that people write, as values that serde writes and reads.

use serde::de::Error as _;
use serde::ser::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value;

use crate::recipe::{BrewDay, IonFit};
use crate::water_report::WaterReport;

/// The document of the day; an error lists the problems of a day that has none.
impl Serialize for BrewDay {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let document = super::write_brew_day(self).map_err(S::Error::custom)?;
        document.serialize(serializer)
    }
}

/// The document of the fit; an error lists the problems of a fit that has none.
impl Serialize for IonFit {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let document = super::write_ion_fit(self).map_err(S::Error::custom)?;
        document.serialize(serializer)
    }
}

/// The document of the report.
impl Serialize for WaterReport {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        super::write_water_report(self).serialize(serializer)
    }
}

macro_rules! read_from_documents {
    ($($input:ty: $read:path;)+) => { $(
        /// The value of a document; an error lists every problem of the document.
        impl<'de> Deserialize<'de> for $input {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let document = Value::deserialize(from)?;
                $read(&document.to_string()).map_err(D::Error::custom)
            }
        }
    )+ };
}

read_from_documents! {
    BrewDay: super::read_brew_day;
    IonFit: super::read_ion_fit;
    WaterReport: super::read_water_report;
}
