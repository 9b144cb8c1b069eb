//! Figures of a report in a document: a number, a text in any notation, or an object with value or
//! range, unit and standard deviation.

use serde_json::{Map, Value};

use super::kind::Kind;
use super::path::Path;
use super::problems::Problems;
use super::written::{placed, shown, written, wrong_type};
use crate::error::{ErrorCode, Problem};
use crate::naming::nearest;
use crate::quantity::{Figure, Quantity, Stated, Substance, Written, quoted};

/// Reads the figure at one place; every part that cannot be read is a problem of its own.
pub(super) struct StatedReader<'a> {
    pub quantity: &'static Quantity,
    pub of: &'a Substance<'static>,
    /// What "n.d." or "trace" means.
    pub undetected: f64,
    pub path: Path<'a>,
    pub key: &'a str,
    pub problems: &'a mut Problems,
}

const KEYS: [&str; 6] = ["value", "low", "high", "average", "unit", "sd"];

impl StatedReader<'_> {
    pub fn read(mut self, value: &Value) -> Option<Stated> {
        if let Value::Object(parts) = value {
            return self.object(parts, value);
        }
        let kind = Kind::Stated(self.quantity);
        let path = self.path;
        let read = written(value, &path, kind, self.key).and_then(|written| {
            let read = self.quantity.read_figure(written, self.of, self.undetected);
            read.map_err(|problem| placed(problem, &path))
        });
        self.noted(read)
    }

    fn object(&mut self, parts: &Map<String, Value>, whole: &Value) -> Option<Stated> {
        for key in parts.keys().filter(|key| !KEYS.contains(&key.as_str())) {
            self.unknown_key(key);
        }
        let unit = match parts.get("unit") {
            None | Some(Value::Null) => None,
            Some(Value::String(unit)) => Some(unit.as_str()),
            Some(other) => return self.mistyped("unit", other),
        };
        let [value, low, high, average, sd] =
            ["value", "low", "high", "average", "sd"].map(|key| {
                let part = parts.get(key).filter(|part| !part.is_null())?;
                Some(self.part(key, part, unit))
            });
        // Each part that is given must be readable before the whole can be.
        let all = |part: Option<Option<Stated>>| part.map_or(Some(None), |read| read.map(Some));
        let [value, low, high, average, sd] =
            [all(value)?, all(low)?, all(high)?, all(average)?, all(sd)?];
        let stated = match (value, low, high, average) {
            (Some(value), None, None, None) => value,
            (value, Some(low), Some(high), average) if value.is_none() || average.is_none() => {
                Stated::between(low, high, average.or(value))
            }
            _ => return self.incomplete(whole),
        };
        let stated = match sd {
            Some(sd) => stated.with_sd(sd),
            None => stated,
        };
        let path = self.path;
        let checked = stated.checked(|| shown_parts(parts));
        self.noted(checked.map_err(|problem| placed(problem, &path)))
    }

    /// One number of an object, in its own unit or in that of the object. Only a value, or the low
    /// end of a range, may be more than one plain number.
    fn part(&mut self, key: &str, part: &Value, unit: Option<&str>) -> Option<Stated> {
        let joined;
        let written = match (part, unit) {
            (Value::Number(number), unit) => {
                let number = number.as_f64().unwrap_or(f64::NAN);
                unit.map_or(Written::Number(number), |unit| {
                    Written::WithUnit(number, unit)
                })
            }
            (Value::String(text), None) => Written::Text(text),
            (Value::String(text), Some(unit)) => {
                joined = format!("{text} {unit}");
                Written::Text(&joined)
            }
            (other, _) => return self.mistyped(key, other),
        };
        let path = Path::field(&self.path, key);
        let stated = self
            .quantity
            .read_figure(written, self.of, self.undetected)
            .map_err(|problem| placed(problem, &path));
        let plain = stated.and_then(|stated| match (key, stated.figure) {
            ("value", _) | ("low", Figure::Below(_)) => Ok(stated),
            (_, Figure::Value(_)) if stated.sd.is_none() => Ok(stated),
            _ => Err(Problem {
                hint: "Give one number here.".to_owned(),
                ..wrong_type(&path, part, Kind::Stated(self.quantity), key)
            }),
        });
        self.noted(plain)
    }

    fn noted<T>(&mut self, read: Result<T, Problem>) -> Option<T> {
        read.map_err(|problem| self.problems.push(problem)).ok()
    }

    fn mistyped<T>(&mut self, key: &str, value: &Value) -> Option<T> {
        let path = Path::field(&self.path, key);
        let kind = Kind::Stated(self.quantity);
        self.problems.push(wrong_type(&path, value, kind, self.key));
        None
    }

    fn incomplete(&mut self, whole: &Value) -> Option<Stated> {
        let kind = Kind::Stated(self.quantity);
        self.problems.push(Problem {
            code: ErrorCode::MissingKey,
            path: self.path.to_string(),
            found: shown(whole),
            expected: "either value, or low and high".to_owned(),
            hint: kind.advice(self.key),
        });
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
            expected: "value, low, high, average, unit or sd".to_owned(),
            hint,
        });
    }
}

/// The numbers of a range in an object.
fn shown_parts(parts: &Map<String, Value>) -> String {
    let part = |key: &str| parts.get(key).filter(|part| !part.is_null()).map(shown);
    let [low, high] = ["low", "high"].map(|key| part(key).unwrap_or_default());
    let average = part("average").or(part("value"));
    let average = average.map_or_else(String::new, |average| format!(", average {average}"));
    format!("{low} to {high}{average}")
}
