//! What a reader that sketches needs where no schema is drawn: the keys that an object must have.
//!
//! It stands in for `sketch.rs`, with the same face, unless the feature `schema` is on: a browser need not load the drawing.

use super::kind::Kind;
use super::reader::Need;

/// The required keys of one object.
#[derive(Default)]
pub(super) struct Sketch {
    required: Vec<&'static str>,
}

impl Sketch {
    /// Only a schema shows descriptions.
    #[allow(clippy::unused_self)]
    pub fn describe(&self, _key: &'static str, _text: &'static str) {}

    pub fn require(&mut self, key: &'static str) {
        self.required.push(key);
    }

    /// The keys that must be given.
    pub fn required(&self) -> &[&'static str] {
        &self.required
    }

    /// Notes a key.
    pub fn note(&mut self, key: &'static str, need: Need, _kind: Kind<'_>) {
        if need == Need::Required {
            self.require(key);
        }
    }

    /// Notes a key that holds an object, or a list of objects.
    pub fn note_inner(&mut self, key: &'static str, need: Need, kind: Kind<'_>, _inner: Sketch) {
        self.note(key, need, kind);
    }
}
