//! The documents that the engine writes: as text, read back, and their JSON Schemas.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};

use super::parse::{Document, parse};
use super::problems::Problems;
use super::read_back::read_back;
use super::reader::ObjectReader;
use super::written::wrong_document;
use crate::document::{DocumentHead, DocumentKind, FORMAT_VERSION};
use crate::error::{ErrorCode, InputError, Problem};
use crate::plan::{FittedIons, Plan};
use crate::readings::diagnosis::DiagnosisDocument;
use crate::speciation::EquilibriumDocument;
use crate::tank::TankLedger;
use crate::water_report::Water;

/// A document that the engine writes.
pub(super) trait Output: Serialize + DeserializeOwned + JsonSchema {
    /// What it states as its kind.
    const KIND: DocumentKind;
    /// Its keys beside those of its head.
    const KEYS: &'static [&'static str];

    /// Its head.
    fn head_mut(&mut self) -> &mut DocumentHead;
}

macro_rules! outputs {
    ($($output:ident is $kind:ident,)+) => { $(
        impl Output for $output {
            const KIND: DocumentKind = DocumentKind::$kind;
            const KEYS: &'static [&'static str] = $output::KEYS;

            fn head_mut(&mut self) -> &mut DocumentHead {
                &mut self.head
            }
        }

        impl $output {
            /// The document as compact JSON: the same bytes for the same input in every
            /// language.
            pub fn to_json(&self) -> String {
                text(self)
            }

            /// Reads a document that the engine wrote.
            ///
            /// # Errors
            /// Text that is not a document of this kind; else the first misfit alone, with its
            /// path: a key that is missing or unknown, or a value of another kind or beyond what
            /// the document can have.
            pub fn from_json(text: &str) -> Result<$output, InputError> {
                read(text)
            }
        }
    )+ };
}

outputs! {
    Plan is Plan,
    Water is Water,
    DiagnosisDocument is Diagnosis,
    TankLedger is TankLedger,
    FittedIons is FittedIons,
    EquilibriumDocument is Equilibrium,
}

impl InputError {
    /// The `input-error` document as compact JSON: what the bindings hand on.
    pub fn to_json(&self) -> String {
        text(self)
    }
}

/// A value as JSON text. Texts, numbers, lists and objects with keys that are text always
/// serialise; should one ever fail to, the text says so, and nobody can read it back as a document.
pub(super) fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value)
        .unwrap_or_else(|error| json!({"could_not_be_written": error.to_string()}).to_string())
}

/// Reads a document back.
fn read<T: Output>(text: &str) -> Result<T, InputError> {
    let Document { value, duplicates } = parse(text)?;
    let mut problems = Problems::new();
    for problem in duplicates {
        problems.push(problem);
    }
    // The other problems of another kind of document would only distract.
    if let Some(problem) = other_kind(&value, T::KIND) {
        return Err(problem.into());
    }
    let head = ObjectReader::root(&value, &mut problems).and_then(|mut reader| {
        reader.version("underlet", u64::from(FORMAT_VERSION));
        let attached = reader.attached();
        reader.text("engine").map(|_| attached)
    });
    let attached = problems.into_result(head)?;
    let mut document: T = read_back(&value, T::KEYS)?;
    document.head_mut().attached = attached;
    Ok(document)
}

/// The problem of a document that states another kind, or none where it must state one.
pub(super) fn other_kind(value: &Value, kind: DocumentKind) -> Option<Problem> {
    let object = value.as_object()?;
    match object.get("document") {
        Some(Value::String(stated)) if kind == *stated.as_str() => None,
        Some(Value::String(stated)) => Some(wrong_document(stated, kind)),
        None | Some(Value::Null) if kind.is_written_by_engine() => Some(Problem {
            code: ErrorCode::MissingKey,
            path: "document".to_owned(),
            found: "a document without \"document\"".to_owned(),
            expected: format!("a \"{kind}\" document"),
            hint: "Give the document as the engine wrote it.".to_owned(),
        }),
        _ => None,
    }
}

/// Its JSON Schema: every key is there, an absent value is null, and only users add keys.
pub(super) fn schema<T: Output>() -> Value {
    let mut schema = root_schema::<T>();
    schema["$id"] = json!(T::KIND.schema_id());
    schema["title"] = json!(T::KIND.as_str());
    schema["properties"]["document"]["const"] = json!(T::KIND.as_str());
    schema
}

/// JSON Schema of an error, as the bindings hand it on.
pub fn input_error_schema() -> Value {
    let mut schema = root_schema::<InputError>();
    let version = FORMAT_VERSION;
    schema["$id"] = json!(format!("urn:underlet:schema:input-error:{version}"));
    schema["title"] = json!("input-error");
    schema
}

fn root_schema<T: JsonSchema>() -> Value {
    let generator = SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator();
    let mut schema = generator.into_root_schema_for::<T>().to_value();
    close(&mut schema);
    schema
}

/// Says of every object of a schema that it has no other keys.
fn close(schema: &mut Value) {
    match schema {
        Value::Array(items) => items.iter_mut().for_each(close),
        Value::Object(keys) => {
            if keys.get("properties").is_some_and(Value::is_object) && keys.contains_key("type") {
                keys.insert("additionalProperties".to_owned(), json!(false));
            }
            keys.values_mut().for_each(close);
        }
        _ => {}
    }
}
