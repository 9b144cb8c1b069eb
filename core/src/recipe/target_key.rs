//! Keys of the targets.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::Error;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::component::Component;
use crate::error::Problem;
use crate::naming;

/// A target of a liquor, a mash or a wort, by its key in documents.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum TargetKey {
    /// An ion, by its own key.
    Component(Component),
    /// Sulfate to chloride, by mass: `sulfate_to_chloride`.
    SulfateToChloride,
    /// Alkalinity of a liquor: `alkalinity`.
    Alkalinity,
    /// pH of the mash: `mash_ph`.
    MashPh,
    /// Alkalinity of the sparge liquor: `sparge_alkalinity`.
    SpargeAlkalinity,
    /// pH of the sparge liquor: `sparge_ph`.
    SpargePh,
    /// pH of the wort at kettle full: `kettle_ph`.
    KettlePh,
    /// Confidence of the mash pH: `confidence`.
    Confidence,
    /// Confidence of the sparge pH: `sparge_confidence`.
    SpargeConfidence,
}

impl TargetKey {
    /// Those that are no ion, with their keys.
    const OTHERS: [(TargetKey, &'static str, &'static str); 8] = [
        (
            TargetKey::SulfateToChloride,
            "sulfate_to_chloride",
            "Sulfate to chloride, by mass.",
        ),
        (
            TargetKey::Alkalinity,
            "alkalinity",
            "Alkalinity of a liquor.",
        ),
        (TargetKey::MashPh, "mash_ph", "pH of the mash."),
        (
            TargetKey::SpargeAlkalinity,
            "sparge_alkalinity",
            "Alkalinity of the sparge liquor.",
        ),
        (TargetKey::SpargePh, "sparge_ph", "pH of the sparge liquor."),
        (
            TargetKey::KettlePh,
            "kettle_ph",
            "pH of the wort at kettle full.",
        ),
        (
            TargetKey::Confidence,
            "confidence",
            "Confidence of the mash pH.",
        ),
        (
            TargetKey::SpargeConfidence,
            "sparge_confidence",
            "Confidence of the sparge pH.",
        ),
    ];

    /// Every key with what it means: ions that can have a target, then the others.
    pub fn all() -> impl Iterator<Item = (TargetKey, &'static str)> {
        let ions = Component::ALL.into_iter().filter(|ion| !ion.is_weak_acid());
        let ions = ions.map(|ion| (TargetKey::Component(ion), "An ion of the liquor."));
        let others = Self::OTHERS.map(|(key, _, meaning)| (key, meaning));
        ions.chain(others)
    }

    /// The key as it appears in JSON, in Python and in JavaScript.
    pub fn as_str(self) -> &'static str {
        if let TargetKey::Component(ion) = self {
            return ion.key();
        }
        let mut others = Self::OTHERS.iter();
        let own = others.find(|(key, ..)| *key == self);
        own.map_or("", |(_, text, _)| text)
    }

    /// The ion, where it is one.
    pub const fn component(self) -> Option<Component> {
        match self {
            TargetKey::Component(ion) => Some(ion),
            _ => None,
        }
    }
}

impl FromStr for TargetKey {
    type Err = Problem;

    /// The target of a key in documents.
    fn from_str(key: &str) -> Result<TargetKey, Problem> {
        naming::by_key(key, Self::all().map(|(one, _)| (one.as_str(), one)))
    }
}

impl fmt::Display for TargetKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl PartialEq<str> for TargetKey {
    fn eq(&self, text: &str) -> bool {
        self.as_str() == text
    }
}

impl PartialEq<&str> for TargetKey {
    fn eq(&self, text: &&str) -> bool {
        self.as_str() == *text
    }
}

impl Serialize for TargetKey {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for TargetKey {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<TargetKey, D::Error> {
        let key = String::deserialize(from)?;
        key.parse().map_err(D::Error::custom)
    }
}

impl JsonSchema for TargetKey {
    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed("TargetKey")
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let one = |(key, meaning): (TargetKey, &'static str)| json_schema!({"type": "string", "const": key.as_str(), "description": meaning});
        json_schema!({
            "description": "A target of a liquor, a mash or a wort.",
            "oneOf": TargetKey::all().map(one).collect::<Vec<_>>(),
        })
    }
}
