//! What a key may hold: the one description that messages and schema are both made from.

use crate::checker;
use crate::document::DocumentKind;
use crate::naming::{self, Name};
use crate::quantity::Quantity;

/// Whether a key must be given.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Need {
    Required,
    Optional,
}

/// What a key may hold.
#[derive(Clone, Copy)]
pub(super) enum Kind<'k> {
    /// A quantity.
    Quantity(&'static Quantity),
    /// One of several quantities.
    OneOf(&'static [&'static Quantity]),
    /// A strength by mass or by amount.
    Strength,
    /// A range of a quantity.
    Range(&'static Quantity),
    /// A figure as a laboratory states it.
    Stated(&'static Quantity),
    /// A calendar day.
    Date,
    /// A list of one quantity.
    Quantities(&'static Quantity, usize, usize),
    /// Text of at most so many characters.
    Text(usize),
    /// Text, or in its place an object.
    TextOrObject,
    /// True or false.
    Flag,
    /// A name from a list.
    Choice(&'k [Name<'k>]),
    /// A list of different names from a list.
    Choices(&'k [Name<'k>]),
    /// A list of objects, of so many to so many items.
    List(usize, usize),
    /// An object.
    Object,
    /// The format version.
    Version(u64),
    /// The kind of the document.
    Document(DocumentKind),
}

impl Kind<'_> {
    /// What is expected, in plain words.
    pub fn expectation(self) -> String {
        match self {
            Kind::Quantity(quantity) | Kind::Stated(quantity) => quantity.expectation(),
            Kind::OneOf(_) => "what that meter shows".to_owned(),
            Kind::Strength => "strength in % by mass or mol/L".to_owned(),
            Kind::Range(quantity) => quantity.range_expectation(),
            Kind::Date => "a calendar day, YYYY-MM-DD".to_owned(),
            Kind::Quantities(quantity, min, max) => {
                format!("a list of {min} to {max}: {}", quantity.expectation())
            }
            Kind::Text(_) => "text".to_owned(),
            Kind::TextOrObject => "text or an object".to_owned(),
            Kind::Flag => "true or false".to_owned(),
            Kind::Choices(names) => naming::some_of(names),
            Kind::Choice(names) => naming::one_of(names),
            Kind::List(min, max) => checker::list_expectation([min, max]),
            Kind::Object => "an object".to_owned(),
            Kind::Version(version) => format!("format version {version}"),
            Kind::Document(kind) => format!("\"{kind}\""),
        }
    }

    /// How to write it, in one sentence. The item of a list has no key.
    pub fn advice(self, key: &str) -> String {
        match self {
            Kind::Quantity(quantity) => format!("Write \"{key}\": \"{}\".", quantity.example),
            Kind::OneOf(quantities) => quantities
                .first()
                .map_or_else(String::new, |first| Kind::Quantity(first).advice(key)),
            Kind::Strength => format!("Write \"{key}\": \"80 %\" or \"{key}\": \"1 mol/L\"."),
            Kind::Range(quantity) => quantity.range_advice(),
            Kind::Stated(quantity) => format!(
                "Write \"{key}\": \"{}\", \"{key}\": \"<{}\", or {{\"low\": …, \"high\": …, \
                 \"unit\": …}}.",
                quantity.example, quantity.example
            ),
            Kind::Date => format!("Write \"{key}\": \"2026-03-31\"."),
            Kind::Quantities(quantity, ..) => {
                format!("Write \"{key}\": [\"{}\"].", quantity.example)
            }
            Kind::Text(_) | Kind::TextOrObject => checker::text_advice(key),
            Kind::Flag => format!("Write \"{key}\": true or \"{key}\": false."),
            Kind::Choice(names) => naming::one_of_advice(key, names),
            Kind::Choices(names) => naming::some_of_advice(key, names),
            Kind::List(..) => checker::list_advice(key),
            Kind::Object => object_advice(key, &[]),
            Kind::Version(version) => format!("Write \"{key}\": {version}."),
            Kind::Document(kind) => format!("Write \"{key}\": \"{kind}\"."),
        }
    }
}

/// How to write an object with such keys, in one sentence. The item of a list has no key.
pub(super) fn object_advice(key: &str, keys: &[&str]) -> String {
    let keys: Vec<String> = keys.iter().map(|key| format!("\"{key}\": …")).collect();
    let inner = if keys.is_empty() {
        "…".to_owned()
    } else {
        keys.join(", ")
    };
    match key {
        "" => format!("Write an object: {{{inner}}}."),
        key => format!("Write \"{key}\": {{{inner}}}."),
    }
}
