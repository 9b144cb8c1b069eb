//! What a key may hold: the one description that messages and schema are both made from.

use crate::document::DocumentKind;
use crate::quantity::Quantity;

/// A name from a list, with the other names people write for it.
pub type Name<'n> = (&'n str, &'n [&'n str]);

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
    /// Text.
    Text,
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
            Kind::Range(quantity) => format!("a range: {}", quantity.expectation()),
            Kind::Date => "a calendar day, YYYY-MM-DD".to_owned(),
            Kind::Quantities(quantity, min, max) => {
                format!("a list of {min} to {max}: {}", quantity.expectation())
            }
            Kind::Text => "text".to_owned(),
            Kind::TextOrObject => "text or an object".to_owned(),
            Kind::Flag => "true or false".to_owned(),
            Kind::Choices(names) => {
                format!("a list of: {}", listed(names.iter().map(|(name, _)| *name)))
            }
            Kind::Choice(names) => {
                format!("one of: {}", listed(names.iter().map(|(name, _)| *name)))
            }
            Kind::List(min, max) => format!("a list of {min} to {max} objects"),
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
            Kind::Range(quantity) => {
                format!(
                    "Write a text such as \"<{}\", a list [low, high], or {{\"low\": …, \"high\": …}}.",
                    quantity.example
                )
            }
            Kind::Stated(quantity) => format!(
                "Write \"{key}\": \"{}\", \"{key}\": \"<{}\", or {{\"low\": …, \"high\": …, \"unit\": …}}.",
                quantity.example, quantity.example
            ),
            Kind::Date => format!("Write \"{key}\": \"2026-03-31\"."),
            Kind::Quantities(quantity, ..) => {
                format!("Write \"{key}\": [\"{}\"].", quantity.example)
            }
            Kind::Text | Kind::TextOrObject => format!("Write \"{key}\": \"…\"."),
            Kind::Flag => format!("Write \"{key}\": true or \"{key}\": false."),
            Kind::Choice(names) => format!(
                "Write \"{key}\": \"{}\", or another of them.",
                names.first().map_or("…", |(name, _)| name)
            ),
            Kind::Choices(names) => {
                format!(
                    "Write \"{key}\": [\"{}\"].",
                    names.first().map_or("…", |(name, _)| name)
                )
            }
            Kind::List(..) => format!("Write \"{key}\": [{{…}}]."),
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

/// Names in a row, not too many.
pub(super) fn listed<'n>(names: impl Iterator<Item = &'n str>) -> String {
    const MOST: usize = 60;
    let mut shown: Vec<&str> = names.take(MOST + 1).collect();
    if shown.len() > MOST {
        shown.truncate(MOST);
        shown.push("…");
    }
    shown.join(", ")
}

/// The candidate most like a written name, if any is like enough to be meant.
pub(super) fn nearest<'n>(
    written: &str,
    candidates: impl Iterator<Item = &'n str>,
) -> Option<&'n str> {
    const LONGEST: usize = 64;
    const ALIKE: f64 = 0.8;
    if written.len() > LONGEST {
        return None;
    }
    let written = plain(written);
    let mut best = (ALIKE, None);
    for candidate in candidates {
        let likeness = strsim::jaro_winkler(&written, &plain(candidate));
        if likeness > best.0 {
            best = (likeness, Some(candidate));
        }
    }
    best.1
}

/// Lower case, with spaces for every mark between words.
pub(super) fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace(['_', '-'], " ")
}
