//! What all documents share: their kinds, what users attach to them, and the head of those that the
//! engine writes.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Error, MapAccess, Visitor};
use serde::ser::SerializeMap;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::{Map, Value};

use crate::checker::Checker;
use crate::error::{ErrorCode, Problem, codes};
use crate::quantity::quoted;

/// Version of the document formats that this engine reads and writes.
pub const FORMAT_VERSION: u32 = 1;

codes! {
    /// A kind of document, by the name that it states under its key `document`.
    pub enum DocumentKind {
        /// A brew day to plan.
        BrewDay = "brew-day",
        /// The plan of a brew day.
        Plan = "plan",
        /// What a laboratory or a supplier wrote about a water.
        WaterReport = "water-report",
        /// What a water report says, its findings and the reconciled water.
        Water = "water",
        /// A brew day and what the meters showed on it.
        Readings = "readings",
        /// What the readings of a brew day say.
        Diagnosis = "diagnosis",
        /// A day of the liquor tank.
        TankDay = "tank-day",
        /// The tank's ledger of that day.
        TankLedger = "tank-ledger",
        /// A water and the targets of its ions.
        IonFit = "ion-fit",
        /// What to weigh for these ions, and the water that results.
        FittedIons = "fitted-ions",
        /// What is known of one water.
        EquilibriumInput = "equilibrium-input",
        /// That water at equilibrium.
        Equilibrium = "equilibrium",
    }
}

impl DocumentKind {
    /// Whether the engine writes it; people and programs write the others.
    pub const fn is_written_by_engine(self) -> bool {
        matches!(
            self,
            DocumentKind::Plan
                | DocumentKind::Water
                | DocumentKind::Diagnosis
                | DocumentKind::TankLedger
                | DocumentKind::FittedIons
                | DocumentKind::Equilibrium
        )
    }

    /// `$id` of its JSON Schema, such as `urn:underlet:schema:plan:1`.
    pub fn schema_id(self) -> String {
        format!("urn:underlet:schema:{self}:{FORMAT_VERSION}")
    }
}

impl FromStr for DocumentKind {
    type Err = Problem;

    fn from_str(name: &str) -> Result<DocumentKind, Problem> {
        DocumentKind::from_key(name).ok_or_else(|| {
            let known: Vec<&str> = DocumentKind::ALL.iter().map(|kind| kind.as_str()).collect();
            Problem {
                code: ErrorCode::UnknownName,
                path: String::new(),
                found: format!("{} as a kind of document", quoted(name)),
                expected: format!("one of: {}", known.join(", ")),
                hint: "Write the kind as the document states it.".to_owned(),
            }
        })
    }
}

/// What a user attached to a document. The engine does not look at it: it comes back with the
/// answer.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Attached {
    /// The user's own identifier.
    pub id: Option<String>,
    /// The user's own words; of a water report, where and how it was sampled.
    pub note: Option<String>,
    /// Values of any kind, under keys that begin with `x-`; no other key gets in.
    extra: BTreeMap<String, Value>,
}

impl Attached {
    /// How the keys of [`Attached::extra`] begin, so that none is a key of the engine.
    pub const PREFIX: &'static str = "x-";
    /// The same as a regular expression, for JSON Schema.
    pub(crate) const PATTERN: &'static str = "^x-";
    /// What `id` is for.
    pub(crate) const ABOUT_ID: &'static str = "Your own identifier; the result carries it.";
    /// What `note` is for.
    pub(crate) const ABOUT_NOTE: &'static str = "Your own note; the result carries it.";
    /// What keys that begin with `x-` are for.
    pub(crate) const ABOUT_EXTRA: &'static str = "Your own value; the result carries it as given.";

    /// Values of any kind, under keys that begin with `x-`.
    pub fn extra(&self) -> &BTreeMap<String, Value> {
        &self.extra
    }

    /// Attaches a value; it replaces an earlier one of that key.
    ///
    /// # Errors
    /// A key that does not begin with `x-`: the engine may have one of that name.
    ///
    /// ```
    /// use underlet::Attached;
    /// let mut attached = Attached::default();
    /// attached.insert("x-gyle", 1204.into())?;
    /// assert_eq!(attached.insert("document", "mine".into()).unwrap_err().path, "document");
    /// # Ok::<(), underlet::error::Problem>(())
    /// ```
    pub fn insert(&mut self, key: impl Into<String>, value: Value) -> Result<(), Problem> {
        let key = key.into();
        if key.starts_with(Attached::PREFIX) {
            self.extra.insert(key, value);
            return Ok(());
        }
        Err(Problem {
            code: ErrorCode::UnknownKey,
            found: format!("{} as a key of your own", quoted(&key)),
            expected: format!("a key that begins with \"{}\"", Attached::PREFIX),
            hint: format!("Write \"{}{key}\".", Attached::PREFIX),
            path: key,
        })
    }

    /// Keeps the user's own values among the keys of a document.
    pub(crate) fn keep_own(&mut self, document: &Map<String, Value>) {
        let own = document
            .iter()
            .filter(|(key, _)| key.starts_with(Attached::PREFIX));
        self.extra
            .extend(own.map(|(key, value)| (key.clone(), value.clone())));
    }

    /// Checks the texts as they are read from a document.
    pub(crate) fn examine(&self, of: &mut Checker) {
        for (key, text) in [("id", &self.id), ("note", &self.note)] {
            if let Some(text) = text {
                of.text(key, text);
            }
        }
    }
}

/// What every document of the engine begins with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DocumentHead {
    /// Format version: 1.
    pub underlet: u32,
    /// Version of the engine that wrote it, such as "0.1.0".
    pub engine: Cow<'static, str>,
    /// What kind of document it is.
    pub document: DocumentKind,
    /// What the user attached to the input document.
    pub attached: Attached,
}

impl DocumentHead {
    /// The head of a document that this engine writes.
    pub(crate) fn of(document: DocumentKind, attached: &Attached) -> DocumentHead {
        DocumentHead {
            underlet: FORMAT_VERSION,
            engine: Cow::Borrowed(env!("CARGO_PKG_VERSION")),
            document,
            attached: attached.clone(),
        }
    }
}

impl Serialize for DocumentHead {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Attached { id, note, extra } = &self.attached;
        let mut map = serializer.serialize_map(Some(5 + extra.len()))?;
        map.serialize_entry("underlet", &self.underlet)?;
        map.serialize_entry("engine", &self.engine)?;
        map.serialize_entry("document", &self.document)?;
        map.serialize_entry("id", id)?;
        map.serialize_entry("note", note)?;
        for (key, value) in extra {
            map.serialize_entry(key, value)?;
        }
        map.end()
    }
}

impl<'de> Deserialize<'de> for DocumentHead {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<DocumentHead, D::Error> {
        deserializer.deserialize_map(HeadVisitor)
    }
}

struct HeadVisitor;

impl<'de> Visitor<'de> for HeadVisitor {
    type Value = DocumentHead;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the head of a document")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<DocumentHead, A::Error> {
        let (mut underlet, mut engine, mut document) = (None, None, None);
        let (mut id, mut note, mut extra) = (None, None, BTreeMap::new());
        while let Some(key) = entries.next_key::<String>()? {
            match key.as_str() {
                "underlet" => underlet = Some(entries.next_value()?),
                "engine" => engine = Some(entries.next_value::<String>()?),
                "document" => document = Some(entries.next_value()?),
                "id" => id = Some(entries.next_value()?),
                "note" => note = Some(entries.next_value()?),
                _ if key.starts_with(Attached::PREFIX) => {
                    extra.insert(key, entries.next_value()?);
                }
                _ => return Err(A::Error::unknown_field(&key, &[])),
            }
        }
        Ok(DocumentHead {
            underlet: underlet.ok_or_else(|| A::Error::missing_field("underlet"))?,
            engine: Cow::Owned(engine.ok_or_else(|| A::Error::missing_field("engine"))?),
            document: document.ok_or_else(|| A::Error::missing_field("document"))?,
            attached: Attached {
                id: id.ok_or_else(|| A::Error::missing_field("id"))?,
                note: note.ok_or_else(|| A::Error::missing_field("note"))?,
                extra,
            },
        })
    }
}

impl JsonSchema for DocumentHead {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed("DocumentHead")
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "object",
            "properties": {
                "underlet": {
                    "description": "Format version: 1.",
                    "const": FORMAT_VERSION,
                },
                "engine": {
                    "description": "Version of the engine that wrote it, such as \"0.1.0\".",
                    "type": "string",
                },
                "document": {"description": "Kind of the document.", "type": "string"},
                "id": {
                    "description": "Your own identifier, from the input document.",
                    "type": ["string", "null"],
                },
                "note": {
                    "description": "Your own note, from the input document.",
                    "type": ["string", "null"],
                },
            },
            "required": ["underlet", "engine", "document", "id", "note"],
            "patternProperties": {Attached::PATTERN: {"description": Attached::ABOUT_EXTRA}},
        })
    }
}

/// Declares the parts of a document, each with these derives.
macro_rules! document {
    (
        $derive:meta;
        $(
            $(#[$meta:meta])*
            pub struct $name:ident { $($(#[$field_meta:meta])* pub $field:ident: $kind:ty,)* }
        )*
    ) => {
        $($(#[$meta])*
        #[$derive]
        #[derive(schemars::JsonSchema)]
        #[non_exhaustive]
        pub struct $name { $($(#[$field_meta])* pub $field: $kind,)* }

        impl $name {
            /// Its keys, in their order.
            #[allow(dead_code)]
            pub(crate) const KEYS: &'static [&'static str] = &[$(stringify!($field)),*];
        })*
    };
}
pub(crate) use document;
