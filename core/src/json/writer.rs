//! Builds an object of a document, each number in the default unit of its quantity.

use serde_json::{Map, Value, json};

use crate::checker::Field;
use crate::document::{Attached, DocumentKind, FORMAT_VERSION};

/// An object of a document that is written. Keys without a value are left out.
#[derive(Default)]
pub(super) struct ObjectWriter(Map<String, Value>);

impl ObjectWriter {
    /// A whole document: its format version, its kind, and what the user attached.
    pub fn document(kind: DocumentKind, attached: &Attached) -> ObjectWriter {
        let mut document = ObjectWriter::default();
        document.put("underlet", FORMAT_VERSION);
        document.put("document", kind.as_str());
        document.optional("id", attached.id.as_deref());
        document.optional("note", attached.note.as_deref());
        for (key, value) in attached.extra() {
            document.put(key, value.clone());
        }
        document
    }

    pub fn put(&mut self, key: &str, value: impl Into<Value>) {
        self.0.insert(key.to_owned(), value.into());
    }

    pub fn optional(&mut self, key: &str, value: Option<impl Into<Value>>) {
        if let Some(value) = value {
            self.put(key, value);
        }
    }

    /// A canonical number at its key.
    pub fn field(&mut self, field: Field, canonical: f64) {
        let number = field.quantity.in_default_unit(canonical, &field.substance);
        self.put(field.key, json!(number.unwrap_or(canonical)));
    }

    pub fn optional_field(&mut self, field: Field, canonical: Option<f64>) {
        if let Some(canonical) = canonical {
            self.field(field, canonical);
        }
    }

    pub fn object(&mut self, key: &str, value: ObjectWriter) {
        self.put(key, Value::from(value));
    }

    /// An object that is left out where it is empty.
    pub fn object_if_any(&mut self, key: &str, value: ObjectWriter) {
        if !value.0.is_empty() {
            self.object(key, value);
        }
    }

    pub fn list(&mut self, key: &str, items: impl Iterator<Item = ObjectWriter>) {
        self.put(key, items.map(Value::from).collect::<Vec<_>>());
    }
}

impl From<ObjectWriter> for Value {
    fn from(object: ObjectWriter) -> Value {
        Value::Object(object.0)
    }
}
