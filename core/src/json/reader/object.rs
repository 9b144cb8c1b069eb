//! An object of a document: a key is taken, its value read by what it may hold, and every problem
//! noted.

use serde_json::{Map, Value};

use crate::checker::{self, LONGEST_TEXT};
use crate::error::{ErrorCode, Problem};
use crate::json::ends::RangeReader;
use crate::json::kind::Need::{self, Optional, Required};
use crate::json::kind::{Kind, object_advice};
use crate::json::path::Path;
use crate::json::problems::Problems;
use crate::json::sketch::Sketch;
use crate::json::written::{placed, shown, written, wrong_type};
use crate::naming::{self, Name, listed, nearest};
use crate::quantity::{Quantity, Range, Substance, Written, quoted};

/// Reads one object of a document.
pub struct ObjectReader<'a> {
    pub(super) source: Source<'a>,
    pub(super) path: Path<'a>,
    pub(super) problems: &'a mut Problems,
    pub(super) known: Vec<&'static str>,
    /// Keys of earlier versions, and what to write instead.
    pub(super) replaced: &'static [(&'static str, &'static str)],
    /// Whether users may attach keys that begin with [`Attached::PREFIX`].
    pub(super) is_open: bool,
}

pub(super) enum Source<'a> {
    Document(&'a Map<String, Value>),
    Sketch(&'a mut Sketch),
}

impl<'a> ObjectReader<'a> {
    /// A reader of a whole document; `None`, and a problem, if it is not an object.
    pub fn root(value: &'a Value, problems: &'a mut Problems) -> Option<Self> {
        let Value::Object(object) = value else {
            problems.push(Problem {
                hint: "Begin with { and end with }.".to_owned(),
                ..wrong_type(&Path::ROOT, value, Kind::Object, "")
            });
            return None;
        };
        Some(ObjectReader {
            source: Source::Document(object),
            path: Path::ROOT,
            problems,
            known: Vec::new(),
            replaced: &[],
            is_open: false,
        })
    }

    pub(in crate::json) fn sketching(sketch: &'a mut Sketch, problems: &'a mut Problems) -> Self {
        ObjectReader {
            source: Source::Sketch(sketch),
            path: Path::ROOT,
            problems,
            known: Vec::new(),
            replaced: &[],
            is_open: false,
        }
    }

    pub(super) fn unknown_key(&mut self, key: &str) {
        if self.problems.is_full() {
            return self.problems.push_unreported();
        }
        let replaced = self.replaced.iter().find(|(old, _)| *old == key);
        let known = nearest(key, self.known.iter().copied());
        let hint = match (replaced, known) {
            (Some((_, hint)), _) => (*hint).to_owned(),
            (None, Some(known)) => format!("Did you mean \"{known}\"? If not, delete the key."),
            (None, None) => format!(
                "Delete the key, or use one of: {}.",
                listed(self.known.iter().copied())
            ),
        };
        self.problem(
            key,
            ErrorCode::UnknownKey,
            format!("the key {}", quoted(key)),
            "a key of this document",
            hint,
        );
    }

    /// The value of a key, which is known from then on. A sketch notes the kind and has no value.
    pub(super) fn take(
        &mut self,
        key: &'static str,
        need: Need,
        kind: Kind<'_>,
    ) -> Option<&'a Value> {
        self.known.push(key);
        match &mut self.source {
            Source::Sketch(sketch) => {
                sketch.note(key, need, kind);
                None
            }
            Source::Document(object) => {
                let object: &'a Map<String, Value> = object;
                let value = object.get(key).filter(|value| !value.is_null());
                if value.is_none() && need == Required {
                    self.problem(
                        key,
                        ErrorCode::MissingKey,
                        "nothing",
                        kind.expectation(),
                        kind.advice(key),
                    );
                }
                value
            }
        }
    }

    pub(super) fn read_quantity(
        &mut self,
        key: &'static str,
        need: Need,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<f64> {
        let kind = Kind::Quantity(quantity);
        let value = self.take(key, need, kind)?;
        self.written(key, value, kind, |written| quantity.read_of(written, of))
    }

    pub(super) fn read_one_of(
        &mut self,
        key: &'static str,
        need: Need,
        quantities: &'static [&'static Quantity],
        which: Option<usize>,
    ) -> Option<f64> {
        if let Some(quantity) = which.and_then(|which| quantities.get(which)) {
            return self.read_quantity(key, need, quantity, &Substance::NONE);
        }
        self.take(key, need, Kind::OneOf(quantities));
        None
    }

    /// Reads a number, a text or an object with value and unit.
    pub(super) fn written<T>(
        &mut self,
        key: &str,
        value: &Value,
        kind: Kind<'_>,
        read: impl FnOnce(Written<'_>) -> Result<T, Problem>,
    ) -> Option<T> {
        let path = Path::field(&self.path, key);
        let result = written(value, &path, kind, key)
            .and_then(|written| read(written).map_err(|problem| placed(problem, &path)));
        self.noted(result)
    }

    pub(super) fn noted<T>(&mut self, result: Result<T, Problem>) -> Option<T> {
        result.map_err(|problem| self.problems.push(problem)).ok()
    }

    pub(super) fn read_range(
        &mut self,
        key: &'static str,
        need: Need,
        quantity: &'static Quantity,
        of: &Substance<'_>,
    ) -> Option<Range> {
        let kind = Kind::Range(quantity);
        let value = self.take(key, need, kind)?;
        let path = Path::field(&self.path, key);
        RangeReader {
            quantity,
            of,
            path,
            key,
            problems: self.problems,
        }
        .read(value)
    }

    pub(super) fn read_text(
        &mut self,
        key: &'static str,
        need: Need,
        kind: Kind<'_>,
    ) -> Option<String> {
        let value = self.take(key, need, kind)?;
        let Value::String(text) = value else {
            return self.mistyped(key, value, kind);
        };
        let text = text.trim();
        let longest = match kind {
            Kind::Text(longest) => longest,
            _ => LONGEST_TEXT,
        };
        let checked = checker::text(text, longest, || kind.advice(key)).map(|()| text.to_owned());
        self.noted(checked.map_err(|problem| placed(problem, &Path::field(&self.path, key))))
    }

    pub(super) fn read_flag(&mut self, key: &'static str, need: Need) -> Option<bool> {
        let value = self.take(key, need, Kind::Flag)?;
        value
            .as_bool()
            .or_else(|| self.mistyped(key, value, Kind::Flag))
    }

    pub(super) fn read_choice(
        &mut self,
        key: &'static str,
        need: Need,
        names: &[Name<'_>],
    ) -> Option<usize> {
        let kind = Kind::Choice(names);
        let value = self.take(key, need, kind)?;
        let Value::String(written) = value else {
            return self.mistyped(key, value, kind);
        };
        self.place(key, written, names, kind)
    }

    /// The place of a written name in the list of names.
    pub(super) fn place(
        &mut self,
        key: &str,
        written: &str,
        names: &[Name<'_>],
        kind: Kind<'_>,
    ) -> Option<usize> {
        let place = naming::find(written, names, || (kind.expectation(), kind.advice(key)));
        self.noted(place.map_err(|problem| placed(problem, &Path::field(&self.path, key))))
    }

    pub(super) fn read_object<T>(
        &mut self,
        key: &'static str,
        need: Need,
        mut body: impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> Option<T> {
        if self.sketch_inner(key, need, Kind::Object, &mut body) {
            return None;
        }
        let value = self.take(key, need, Kind::Object);
        let path = Path::field(&self.path, key);
        let read = value.and_then(|value| descend(path, value, key, self.problems, &mut body));
        let is_flawed = value.map_or(need == Required, |value| !value.is_object());
        if is_flawed {
            self.problems.amend_last(&path.to_string(), |problem| {
                problem.hint = advice_with_keys(key, &mut body);
            });
        }
        read
    }

    /// The items of a list of the right length; none, and a problem, for anything else.
    pub(super) fn items(
        &mut self,
        key: &'static str,
        kind: Kind<'_>,
        min: usize,
        max: usize,
    ) -> &'a [Value] {
        let Some(value) = self.take(key, if min > 0 { Required } else { Optional }, kind) else {
            return &[];
        };
        let Value::Array(items) = value else {
            return self.mistyped(key, value, kind).unwrap_or(&[]);
        };
        let length = checker::list_length(items.len(), [min, max], kind.expectation(), || {
            kind.advice(key)
        });
        let length = length.map_err(|problem| placed(problem, &Path::field(&self.path, key)));
        self.noted(length);
        if items.len() > max { &[] } else { items }
    }

    /// Reports a value, with what the kind expects and advises.
    pub(super) fn refuse(&mut self, key: &str, code: ErrorCode, value: &Value, kind: Kind<'_>) {
        self.problem(
            key,
            code,
            shown(value),
            kind.expectation(),
            kind.advice(key),
        );
    }

    pub(super) fn mistyped<T>(&mut self, key: &str, value: &Value, kind: Kind<'_>) -> Option<T> {
        let problem = wrong_type(&Path::field(&self.path, key), value, kind, key);
        self.problems.push(problem);
        None
    }

    /// Sketches an inner object; false when a document is read.
    pub(super) fn sketch_inner<T>(
        &mut self,
        key: &'static str,
        need: Need,
        kind: Kind<'_>,
        body: &mut impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
    ) -> bool {
        let Source::Sketch(sketch) = &mut self.source else {
            return false;
        };
        let mut inner = Sketch::default();
        body(&mut ObjectReader::sketching(&mut inner, self.problems));
        sketch.note_inner(key, need, kind, inner);
        true
    }
}

/// How to write an object that `body` reads, with the keys that it must have.
fn advice_with_keys<T>(
    key: &str,
    body: &mut impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
) -> String {
    let mut sketch = Sketch::default();
    body(&mut ObjectReader::sketching(
        &mut sketch,
        &mut Problems::new(),
    ));
    object_advice(key, sketch.required())
}

/// Reads an inner object by `body`, and refuses the keys that it did not read. The item of a
/// list has no key.
pub(super) fn descend<T>(
    path: Path<'_>,
    value: &Value,
    key: &str,
    problems: &mut Problems,
    body: &mut impl FnMut(&mut ObjectReader<'_>) -> Option<T>,
) -> Option<T> {
    let Value::Object(object) = value else {
        problems.push(wrong_type(&path, value, Kind::Object, key));
        return None;
    };
    let mut reader = ObjectReader {
        source: Source::Document(object),
        path,
        problems,
        known: Vec::new(),
        replaced: &[],
        is_open: false,
    };
    let read = body(&mut reader);
    reader.finish();
    read
}
