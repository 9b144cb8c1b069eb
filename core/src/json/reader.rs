//! Reads an object key by key and collects every problem, or, sketching, draws its JSON Schema.
//!
//! Read every key before deciding anything: a problem with one key must not hide those of the
//! next, and a sketch has no values.
//!
//! This file has what readers of documents call; `object` takes a key and reads its value.

mod object;

pub use object::ObjectReader;

use serde_json::Value;

use self::object::{Source, descend};
use super::kind::{Kind, Need};
use super::path::Path;
use super::stated::StatedReader;
use super::written::{placed, shown, written, wrong_document};
use crate::checker::{Count, Field, LONGEST_REMARK, LONGEST_TEXT, ONCE, duplicates};
use crate::document::{Attached, DocumentKind, FORMAT_VERSION};
use crate::error::{ErrorCode, Problem, join};
use crate::naming::Name;
use crate::quantity::{self, Amount, BareAmount, Quantity, Range, Strength, Substance};
use crate::water_report::{Date, Entry, Subject};

use Need::{Optional, Required};

impl ObjectReader<'_> {
    /// Says what a key is for; the schema shows it.
    pub fn describe(&mut self, key: &'static str, text: &'static str) {
        if let Source::Sketch(sketch) = &mut self.source {
            sketch.describe(key, text);
        }
    }

    /// Keys of earlier versions: where one is given, its problem says what to write instead.
    pub fn replaced(&mut self, keys: &'static [(&'static str, &'static str)]) {
        self.replaced = keys;
    }

    /// Whether the key is given. Does not count as asking for it.
    pub fn has(&self, key: &str) -> bool {
        matches!(&self.source, Source::Document(object) if object.get(key).is_some_and(|value| !value.is_null()))
    }

    /// How many items the list at a key has, 0 without a list; the key is not yet read.
    pub fn length(&self, key: &str) -> usize {
        match &self.source {
            Source::Document(object) => object
                .get(key)
                .and_then(Value::as_array)
                .map_or(0, Vec::len),
            Source::Sketch(_) => 0,
        }
    }

    /// The head of a document of this kind: its format version, its kind where it is stated, and
    /// what the user attached to it.
    pub(super) fn head(&mut self, kind: DocumentKind) -> Attached {
        self.describe("underlet", "Format version of the document.");
        self.version("underlet", u64::from(FORMAT_VERSION));
        self.kind_and_attached(kind)
    }

    /// The head of a document that may leave its version out.
    pub(super) fn head_without_version(&mut self, kind: DocumentKind) -> Attached {
        self.describe("underlet", "Format version of the document.");
        self.optional_version("underlet", u64::from(FORMAT_VERSION));
        self.kind_and_attached(kind)
    }

    fn kind_and_attached(&mut self, kind: DocumentKind) -> Attached {
        self.describe("document", "Kind of the document; it may be left out.");
        let of = Kind::Document(kind);
        match self.take("document", Optional, of) {
            Some(Value::String(stated)) if kind == *stated.as_str() => {}
            Some(Value::String(stated)) => {
                let problem = wrong_document(stated, kind);
                self.problems
                    .push(placed(problem, &Path::field(&self.path, "document")));
            }
            Some(other) => self.refuse("document", ErrorCode::WrongType, other, of),
            None => {}
        }
        self.describe("id", Attached::ABOUT_ID);
        let about = match kind {
            DocumentKind::WaterReport => "Where and how it was sampled; the result carries it.",
            _ => Attached::ABOUT_NOTE,
        };
        self.describe("note", about);
        self.attached()
    }

    /// What a user attached.
    pub(super) fn attached(&mut self) -> Attached {
        let mut attached = Attached::default();
        attached.id = self.optional_text("id");
        attached.note = self.optional_text("note");
        self.is_open = true;
        match &mut self.source {
            Source::Sketch(sketch) => sketch.open(),
            Source::Document(object) => attached.keep_own(object),
        }
        attached
    }

    /// Checks the format version, where it is stated.
    pub fn optional_version(&mut self, key: &'static str, version: u64) {
        let kind = Kind::Version(version);
        if let Some(value) = self.take(key, Optional, kind) {
            self.check_version(key, Some(value), version);
        }
    }

    /// Checks the format version.
    pub fn version(&mut self, key: &'static str, version: u64) {
        let value = self.take(key, Optional, Kind::Version(version));
        if let Source::Sketch(sketch) = &mut self.source {
            sketch.require(key);
        } else {
            self.check_version(key, value, version);
        }
    }

    fn check_version(&mut self, key: &str, value: Option<&Value>, version: u64) {
        let kind = Kind::Version(version);
        if value.and_then(Value::as_f64) != Some(version as f64) {
            let found = value.map_or_else(|| "no version".to_owned(), shown);
            self.problem(
                key,
                ErrorCode::WrongVersion,
                found,
                kind.expectation(),
                kind.advice(key),
            );
        }
    }

    /// A quantity that must be given, as its canonical number.
    pub fn quantity(&mut self, key: &'static str, quantity: &'static Quantity) -> Option<f64> {
        self.read_quantity(key, Required, quantity, &Substance::NONE)
    }

    /// A quantity that may be given.
    pub fn optional_quantity(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
    ) -> Option<f64> {
        self.read_quantity(key, Optional, quantity, &Substance::NONE)
    }

    /// A quantity that must be given, one of several: which of them another key says. It is not
    /// looked at where that is not known.
    pub fn one_of(
        &mut self,
        key: &'static str,
        quantities: &'static [&'static Quantity],
        which: Option<usize>,
    ) -> Option<f64> {
        self.read_one_of(key, Required, quantities, which)
    }

    /// One of several quantities, that may be given.
    pub fn optional_one_of(
        &mut self,
        key: &'static str,
        quantities: &'static [&'static Quantity],
        which: Option<usize>,
    ) -> Option<f64> {
        self.read_one_of(key, Optional, quantities, which)
    }

    /// A concentration of a substance that must be given, mol per kg of water.
    pub fn concentration(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<f64> {
        self.read_quantity(key, Required, quantity, of)
    }

    /// A concentration of a substance that may be given, mol per kg of water.
    pub fn optional_concentration(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<f64> {
        self.read_quantity(key, Optional, quantity, of)
    }

    /// The quantity of a field, which must be given.
    pub(super) fn field(&mut self, field: Field) -> Option<f64> {
        self.read_quantity(field.key, Required, field.quantity, &field.substance)
    }

    /// The quantity of a field, which may be given.
    pub(super) fn optional_field(&mut self, field: Field) -> Option<f64> {
        self.read_quantity(field.key, Optional, field.quantity, &field.substance)
    }

    /// A range of the quantity of a field, which may be given.
    pub(super) fn range_of(&mut self, field: Field) -> Option<Range> {
        self.optional_range(field.key, field.quantity, &field.substance)
    }

    /// A whole number that may be given.
    pub(super) fn count(&mut self, count: Count) -> Option<usize> {
        let number = self.optional_quantity(count.key, &quantity::COUNT)?;
        self.checked(count.key, count.of(number))
    }

    /// A list of objects as it is declared.
    pub(super) fn listed<T>(
        &mut self,
        list: Count,
        body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> Vec<T> {
        let [min, max] = list.limits;
        self.list(list.key, min, max, body)
    }

    /// Grams or millilitres that may be given; `bare` says what a bare number means.
    pub fn optional_amount(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        bare: BareAmount,
    ) -> Option<Amount> {
        self.read_amount(key, Optional, quantity, bare)
    }

    /// Grams or millilitres that must or may be given.
    pub(super) fn read_amount(
        &mut self,
        key: &'static str,
        need: Need,
        quantity: &'static Quantity,
        bare: BareAmount,
    ) -> Option<Amount> {
        let kind = Kind::Quantity(quantity);
        let value = self.take(key, need, kind)?;
        self.written(key, value, kind, |written| {
            quantity.read_amount(written, bare)
        })
    }

    /// A strength by mass or by amount that may be given.
    pub fn optional_strength(&mut self, key: &'static str) -> Option<Strength> {
        let value = self.take(key, Optional, Kind::Strength)?;
        self.written(key, value, Kind::Strength, |written| {
            quantity::read_strength(written)
        })
    }

    /// A list of one quantity; empty if the key is missing and `min` is 0.
    pub fn quantities(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        min: usize,
        max: usize,
    ) -> Vec<f64> {
        let kind = Kind::Quantities(quantity, min, max);
        let mut read = Vec::new();
        for (index, item) in self.items(key, kind, min, max).iter().enumerate() {
            let path = Path::item(&self.path, key, index);
            let number = written(item, &path, Kind::Quantity(quantity), key)
                .and_then(|w| quantity.read(w).map_err(|p| placed(p, &path)));
            read.extend(self.noted(number));
        }
        read
    }

    /// A range that must be given.
    pub fn range(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<Range> {
        self.read_range(key, Required, quantity, of)
    }

    /// A range that may be given.
    pub fn optional_range(
        &mut self,
        key: &'static str,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<Range> {
        self.read_range(key, Optional, quantity, of)
    }

    /// What a report states of a subject, under its key; may be missing.
    pub fn optional_entry(&mut self, subject: Subject) -> Option<Entry> {
        let (key, quantity, of) = (subject.key(), subject.quantity(), subject.substance());
        let value = self.take(key, Optional, Kind::Stated(quantity))?;
        let reader = StatedReader {
            quantity,
            of: &of,
            undetected: subject.usual_detection_limit() / subject.scale(),
            path: Path::field(&self.path, key),
            key,
            problems: self.problems,
        };
        Some(Entry::of(subject, reader.read(value)?))
    }

    /// A calendar day that may be given.
    pub fn optional_date(&mut self, key: &'static str) -> Option<Date> {
        let value = self.take(key, Optional, Kind::Date)?;
        let Value::String(text) = value else {
            return self.mistyped(key, value, Kind::Date);
        };
        let date = text.parse().map_err(|problem: Problem| Problem {
            hint: Kind::Date.advice(key),
            ..problem
        });
        self.checked(key, date)
    }

    /// Text that must be given: one line of at most 400 characters.
    pub fn text(&mut self, key: &'static str) -> Option<String> {
        self.read_text(key, Required, Kind::Text(LONGEST_TEXT))
    }

    /// Text that the engine wrote, which quotes names and may be longer.
    pub(super) fn remark(&mut self, key: &'static str) -> Option<String> {
        self.read_text(key, Required, Kind::Text(LONGEST_REMARK))
    }

    /// Text that may be given.
    pub fn optional_text(&mut self, key: &'static str) -> Option<String> {
        self.read_text(key, Optional, Kind::Text(LONGEST_TEXT))
    }

    /// True or false that must be given.
    pub fn flag(&mut self, key: &'static str) -> Option<bool> {
        self.read_flag(key, Required)
    }

    /// True or false that may be given.
    pub fn optional_flag(&mut self, key: &'static str) -> Option<bool> {
        self.read_flag(key, Optional)
    }

    /// A name that must be given, as its place in the list of names. Case, spaces, hyphens and
    /// underscores are alike.
    pub fn choice(&mut self, key: &'static str, names: &[Name<'_>]) -> Option<usize> {
        self.read_choice(key, Required, names)
    }

    /// A name that may be given, as its place in the list of names.
    pub fn optional_choice(&mut self, key: &'static str, names: &[Name<'_>]) -> Option<usize> {
        self.read_choice(key, Optional, names)
    }

    /// A list of names that may be given, as their places in the list of names, in its order. A
    /// name that comes twice is a problem.
    pub fn optional_choices(
        &mut self,
        key: &'static str,
        names: &[Name<'_>],
    ) -> Option<Vec<usize>> {
        let kind = Kind::Choices(names);
        let value = self.take(key, Optional, kind)?;
        let Value::Array(items) = value else {
            return self.mistyped(key, value, kind);
        };
        let mut places = Vec::new();
        for item in items {
            match item {
                Value::String(written) => places.extend(self.place(key, written, names, kind)),
                other => self.refuse(key, ErrorCode::WrongType, other, kind),
            }
        }
        if items.is_empty() {
            self.refuse(key, ErrorCode::EmptyList, value, kind);
        }
        let chosen = places.iter().filter_map(|place| names.get(*place));
        for problem in duplicates(chosen.map(|(name, _)| *name), ONCE) {
            self.checked::<()>(key, Err(problem));
        }
        places.sort_unstable();
        places.dedup();
        Some(places)
    }

    /// A list of objects, each read by `body`; may be missing if `min` is 0.
    pub fn list<T>(
        &mut self,
        key: &'static str,
        min: usize,
        max: usize,
        mut body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> Vec<T> {
        let kind = Kind::List(min, max);
        let need = if min > 0 { Required } else { Optional };
        if self.sketch_inner(key, need, kind, &mut body) {
            return Vec::new();
        }
        let mut read = Vec::new();
        for (index, item) in self.items(key, kind, min, max).iter().enumerate() {
            let path = Path::item(&self.path, key, index);
            read.extend(descend(path, item, "", self.problems, &mut body));
        }
        read
    }

    /// An object that must be given, read by `body`.
    pub fn object<T>(
        &mut self,
        key: &'static str,
        body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> Option<T> {
        self.read_object(key, Required, body)
    }

    /// An object that may be given, read by `body`.
    pub fn optional_object<T>(
        &mut self,
        key: &'static str,
        body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> Option<T> {
        self.read_object(key, Optional, body)
    }

    /// A text that may be given, or in its place an object, read by `body`: at most one of the two.
    pub fn optional_text_or_object<T>(
        &mut self,
        key: &'static str,
        body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> (Option<String>, Option<T>) {
        match &self.source {
            Source::Document(object) if object.get(key).is_some_and(Value::is_object) => {
                (None, self.optional_object(key, body))
            }
            Source::Document(_) => (self.read_text(key, Optional, Kind::TextOrObject), None),
            // A sketch needs both.
            Source::Sketch(_) => (
                self.read_text(key, Optional, Kind::TextOrObject),
                self.optional_object(key, body),
            ),
        }
    }

    /// A quantity that was read, so many times; what then lies beyond its limits is reported at its
    /// key.
    pub(super) fn times(&mut self, field: Field, found: Option<f64>, times: f64) -> Option<f64> {
        let (key, quantity) = (field.key, field.quantity);
        let written = found?;
        let amount = written * times;
        if quantity.admits(amount, &Substance::NONE) {
            return Some(amount);
        }
        self.problem(
            key,
            ErrorCode::OutOfRange,
            format!("{} at a recipe scale of {times}", quantity.write(written)),
            quantity.expectation(),
            "Check \"recipe_scale\", or the amount that it is taken of.",
        );
        None
    }

    /// Reports a problem with a key, or with the object itself if the key is empty.
    pub fn problem(
        &mut self,
        key: &str,
        code: ErrorCode,
        read: impl Into<String>,
        expected: impl Into<String>,
        hint: impl Into<String>,
    ) {
        let path = if key.is_empty() {
            self.path.to_string()
        } else {
            Path::field(&self.path, key).to_string()
        };
        self.problems.push(Problem {
            code,
            path,
            found: read.into(),
            expected: expected.into(),
            hint: hint.into(),
        });
    }

    /// What a check of the engine says of a key, or of the object itself if the key is empty; the
    /// paths of its problems lie within.
    pub fn checked<T>(&mut self, key: &str, checked: Result<T, Problem>) -> Option<T> {
        checked
            .map_err(|problem| {
                let within = join(key, &problem.path);
                let path = join(&self.path.to_string(), &within);
                self.problems.push(Problem { path, ..problem });
            })
            .ok()
    }

    /// Reports every key that was not read.
    pub fn finish(mut self) {
        let Source::Document(object) = self.source else {
            return;
        };
        for key in object.keys() {
            let is_attached = self.is_open && key.starts_with(Attached::PREFIX);
            if !is_attached && !self.known.contains(&key.as_str()) {
                self.unknown_key(key);
            }
        }
    }
}
