//! Ranges in a document: a text, a list of two ends, an object, or a single value.

use serde_json::{Map, Value};

use super::kind::Kind;
use super::path::Path;
use super::problems::Problems;
use super::written::{placed, shown, written, wrong_type};
use crate::error::{ErrorCode, Problem};
use crate::naming::nearest;
use crate::quantity::{Quantity, Range, Substance, quoted};

/// Reads the range at one place; every end that cannot be read is a problem of its own.
pub(super) struct RangeReader<'a> {
    pub quantity: &'static Quantity,
    pub of: &'a Substance<'a>,
    pub path: Path<'a>,
    pub key: &'a str,
    pub problems: &'a mut Problems,
}

const KEYS: [&str; 3] = ["low", "high", "prefer"];

impl RangeReader<'_> {
    pub fn read(mut self, value: &Value) -> Option<Range> {
        match value {
            Value::String(text) => {
                let range = self.quantity.read_range(text, self.of);
                self.noted(range)
            }
            Value::Array(ends) => self.list(ends, value),
            Value::Object(ends) if !ends.contains_key("value") => self.object(ends, value),
            single => self.end(single, self.path).map(Range::point),
        }
    }

    fn list(&mut self, ends: &[Value], whole: &Value) -> Option<Range> {
        let [low, high] = ends else {
            return self.mistyped(whole);
        };
        if low.is_null() && high.is_null() {
            return self.mistyped(whole);
        }
        let path = self.path;
        self.ends([(low, path.at(0)), (high, path.at(1)), (&Value::Null, path)])
    }

    fn object(&mut self, ends: &Map<String, Value>, whole: &Value) -> Option<Range> {
        let known = |key: &String| KEYS.contains(&key.as_str());
        for key in ends.keys().filter(|key| !known(key)) {
            self.unknown_key(key);
        }
        if ends.values().all(Value::is_null) {
            return self.mistyped(whole);
        }
        let path = self.path;
        let parts = KEYS.map(|key| {
            (
                ends.get(key).unwrap_or(&Value::Null),
                Path::field(&path, key),
            )
        });
        self.ends(parts)
    }

    /// Low end, high end and preferred value, each with its place; null is open.
    fn ends(&mut self, parts: [(&Value, Path<'_>); 3]) -> Option<Range> {
        let [(low_read, _), (high_read, _), (prefer_read, _)] = parts;
        let [low, high, prefer] = parts.map(|(value, path)| {
            if value.is_null() {
                Some(None)
            } else {
                self.end(value, path).map(Some)
            }
        });
        let range = Range {
            low: low?,
            high: high?,
            prefer: prefer?,
        };
        let checked = range.checked(|| match range.prefer {
            None => format!("{} to {}", shown(low_read), shown(high_read)),
            Some(_) => format!(
                "{} to {}, preferred {}",
                shown(low_read),
                shown(high_read),
                shown(prefer_read)
            ),
        });
        self.noted(checked)
    }

    fn end(&mut self, value: &Value, path: Path<'_>) -> Option<f64> {
        let number =
            written(value, &path, Kind::Range(self.quantity), self.key).and_then(|written| {
                self.quantity
                    .read_of(written, self.of)
                    .map_err(|problem| placed(problem, &path))
            });
        number.map_err(|problem| self.problems.push(problem)).ok()
    }

    fn noted(&mut self, range: Result<Range, Problem>) -> Option<Range> {
        range
            .map_err(|problem| self.problems.push(placed(problem, &self.path)))
            .ok()
    }

    fn mistyped(&mut self, whole: &Value) -> Option<Range> {
        self.problems.push(wrong_type(
            &self.path,
            whole,
            Kind::Range(self.quantity),
            self.key,
        ));
        None
    }

    fn unknown_key(&mut self, key: &str) {
        let hint = nearest(key, KEYS.into_iter()).map_or_else(
            || "Delete the key.".to_owned(),
            |known| format!("Did you mean \"{known}\"? If not, delete the key."),
        );
        self.problems.push(Problem {
            code: ErrorCode::UnknownKey,
            path: Path::field(&self.path, key).to_string(),
            found: format!("the key {}", quoted(key)),
            expected: "low, high or prefer".to_owned(),
            hint,
        });
    }
}
