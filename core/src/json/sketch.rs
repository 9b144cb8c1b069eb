//! The JSON Schema of a document, drawn by the reader itself.

use serde_json::{Map, Value, json};

use super::kind::{Kind, Need};
use crate::checker::LONGEST_TEXT;
use crate::document::Attached;
use crate::quantity::{MOLARITY, Quantity, STRENGTH};
use crate::water_report::Subject;
use crate::words::capitalised;

/// The schema of one object as it is drawn up.
#[derive(Default)]
pub(super) struct Sketch {
    properties: Map<String, Value>,
    required: Vec<&'static str>,
    descriptions: Vec<(&'static str, &'static str)>,
    definitions: Map<String, Value>,
    is_open: bool,
}

impl Sketch {
    /// Notes that users may attach keys of their own.
    pub fn open(&mut self) {
        self.is_open = true;
    }

    pub fn describe(&mut self, key: &'static str, text: &'static str) {
        self.descriptions.push((key, text));
    }

    pub fn require(&mut self, key: &'static str) {
        self.required.push(key);
    }

    /// The keys that must be given.
    pub fn required(&self) -> &[&'static str] {
        &self.required
    }

    /// Notes a key and what it may hold.
    pub fn note(&mut self, key: &'static str, need: Need, kind: Kind<'_>) {
        let schema = self.schema(kind);
        self.add(key, need, schema);
    }

    /// Notes a key that holds an object, or a list of objects.
    pub fn note_inner(&mut self, key: &'static str, need: Need, kind: Kind<'_>, mut inner: Sketch) {
        self.definitions.append(&mut inner.definitions);
        let object = inner.into_object();
        let schema = match kind {
            Kind::List(min, max) => {
                json!({"type": "array", "minItems": min, "maxItems": max, "items": object})
            }
            _ => object,
        };
        self.add(key, need, schema);
    }

    fn add(&mut self, key: &'static str, need: Need, mut schema: Value) {
        if need == Need::Required {
            self.require(key);
        } else {
            schema = json!({"anyOf": [schema, {"type": "null"}]});
        }
        // A key that is read in two ways holds either.
        if let Some(before) = self.properties.remove(key) {
            schema = json!({"anyOf": [before, schema]});
        }
        self.properties.insert(key.to_owned(), schema);
    }

    /// The whole document.
    pub fn into_document(mut self, title: &str) -> Value {
        let definitions = std::mem::take(&mut self.definitions);
        let mut document = self.into_object();
        document["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
        document["title"] = json!(title);
        document["$defs"] = Value::Object(definitions);
        document
    }

    fn into_object(mut self) -> Value {
        for (key, property) in &mut self.properties {
            let mut texts = self.descriptions.iter().rev();
            let said = texts.find(|(of, _)| of == key);
            let said = said.map(|(_, text)| (*text).to_owned());
            // The name of an ion, or of what a report states, says all.
            let named = || {
                Some(format!(
                    "{}.",
                    capitalised(&key.parse::<Subject>().ok()?.label())
                ))
            };
            if let Some(text) = said.or_else(named) {
                property["description"] = json!(text);
            }
        }
        let mut object = json!({
            "type": "object",
            "properties": self.properties,
            "required": self.required,
            "additionalProperties": false,
        });
        if self.is_open {
            let about = json!({"description": Attached::ABOUT_EXTRA});
            object["patternProperties"] = json!({Attached::PATTERN: about});
        }
        object
    }

    fn schema(&mut self, kind: Kind<'_>) -> Value {
        match kind {
            Kind::Quantity(quantity) => self.quantity(quantity),
            Kind::OneOf(quantities) => {
                let each: Vec<_> = quantities.iter().map(|one| self.quantity(one)).collect();
                json!({"anyOf": each})
            }
            Kind::Strength => {
                json!({"anyOf": [self.quantity(&STRENGTH), self.quantity(&MOLARITY)]})
            }
            Kind::Range(quantity) => self.range(quantity),
            Kind::Stated(quantity) => self.stated(quantity),
            Kind::Date => {
                json!({"type": "string", "format": "date", "pattern": "^\\s*[0-9]{4}-[0-9]{2}-[0-9]{2}\\s*$"})
            }
            Kind::Quantities(quantity, min, max) => {
                json!({"type": "array", "minItems": min, "maxItems": max, "items": self.quantity(quantity)})
            }
            Kind::Text(longest) => text(longest),
            Kind::TextOrObject => text(LONGEST_TEXT),
            Kind::Flag => json!({"type": "boolean"}),
            Kind::Choice(names) => {
                let keys: Vec<_> = names.iter().map(|(name, _)| name).collect();
                json!({"anyOf": [{"enum": keys}, {"type": "string", "description": "another case, or another usual name of one of these"}]})
            }
            Kind::Choices(names) => {
                let keys: Vec<_> = names.iter().map(|(name, _)| name).collect();
                json!({"type": "array", "items": {"enum": keys}, "minItems": 1, "uniqueItems": true})
            }
            Kind::List(..) | Kind::Object => json!({}),
            Kind::Version(version) => json!({"const": version}),
            Kind::Document(kind) => json!({"const": kind.as_str()}),
        }
    }

    fn quantity(&mut self, quantity: &'static Quantity) -> Value {
        let low = if quantity.low_is_open {
            "exclusiveMinimum"
        } else {
            "minimum"
        };
        let unit = if quantity.unit().is_empty() {
            "without unit"
        } else {
            quantity.unit()
        };
        let text = self.define(
            "text_with_unit".to_owned(),
            json!({"type": "string", "pattern": "[0-9]"}),
        );
        let parts = self.define(
            "value_and_unit".to_owned(),
            json!({
                "type": "object",
                "properties": {
                    "value": {"type": ["number", "string"], "description": "The number."},
                    "unit": {"type": ["string", "null"], "description": "Its unit."},
                },
                "required": ["value"],
                "additionalProperties": false,
            }),
        );
        let definition = json!({
            "title": quantity.name,
            "description": quantity.expectation(),
            "examples": [quantity.example],
            "anyOf": [
                {"type": "number", low: quantity.low, "maximum": quantity.high, "description": unit},
                text,
                parts,
            ],
        });
        self.define(definition_name(quantity), definition)
    }

    fn range(&mut self, quantity: &'static Quantity) -> Value {
        let one = self.quantity(quantity);
        let end = json!({"anyOf": [one, {"type": "null"}]});
        let described = |about: &str| {
            let mut end = end.clone();
            end["description"] = json!(about);
            end
        };
        let definition = json!({
            "title": format!("range of {}", quantity.name),
            "anyOf": [
                one,
                {"type": "array", "items": end, "minItems": 2, "maxItems": 2},
                {
                    "type": "object",
                    "properties": {
                        "low": described("Low end; open where it is left out."),
                        "high": described("High end; open where it is left out."),
                        "prefer": described("Preferred value within the range."),
                    },
                    "minProperties": 1,
                    "additionalProperties": false,
                },
            ],
        });
        self.define(definition_name(quantity) + "_range", definition)
    }

    fn stated(&mut self, quantity: &'static Quantity) -> Value {
        let number =
            |about: &str| json!({"type": ["number", "string", "null"], "description": about});
        let parts = self.define(
            "stated_in_parts".to_owned(),
            json!({
                "type": "object",
                "properties": {
                    "value": number("The value."),
                    "low": number("Least of a range."),
                    "high": number("Greatest of a range."),
                    "average": number("Average of a range."),
                    "sd": number("Standard deviation."),
                    "unit": {"type": ["string", "null"], "description": "Unit of these numbers."},
                },
                "minProperties": 1,
                "additionalProperties": false,
            }),
        );
        let text = self.define(
            "stated_in_words".to_owned(),
            json!({"type": "string", "minLength": 1, "description": "With a unit, a sign or a range: \"<0.5 mg/L\", \"n.d.\", \"trace\", \"12-18 mg/L, average 15\", \"5 ± 1 mg/L\" (twice the standard deviation)."}),
        );
        let definition = json!({
            "title": format!("stated {}", quantity.name),
            "description": quantity.expectation(),
            "examples": [quantity.example],
            "anyOf": [
                {"type": "number", "minimum": quantity.low, "maximum": quantity.high, "description": quantity.unit()},
                text,
                parts,
            ],
        });
        self.define(
            "stated_".to_owned() + &definition_name(quantity),
            definition,
        )
    }

    fn define(&mut self, name: String, definition: Value) -> Value {
        let reference = json!({"$ref": format!("#/$defs/{name}")});
        self.definitions.entry(name).or_insert(definition);
        reference
    }
}

fn definition_name(quantity: &Quantity) -> String {
    quantity
        .name
        .to_lowercase()
        .replace(|c: char| !c.is_ascii_alphanumeric(), "_")
}

/// A text of at most so many characters.
fn text(longest: usize) -> Value {
    json!({
        "type": "string",
        "minLength": 1,
        "pattern": "\\S",
        "description": format!("At most {longest} characters."),
    })
}
