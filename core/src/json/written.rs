//! The forms in which a value may be written: numbers, texts, objects with value and unit, ranges,
//! names.

use serde_json::{Map, Value};

use super::kind::Kind;
use super::path::Path;
use crate::document::DocumentKind;
use crate::error::{ErrorCode, Problem};
use crate::quantity::{self, Written, quoted};

/// A number, a text, or an object with value and unit.
pub(super) fn written<'v>(
    value: &'v Value,
    path: &Path<'_>,
    kind: Kind<'_>,
    key: &str,
) -> Result<Written<'v>, Problem> {
    match value {
        Value::Number(number) => Ok(Written::Number(number.as_f64().unwrap_or(f64::NAN))),
        Value::String(text) => Ok(Written::Text(text)),
        Value::Object(parts) => with_unit(parts, path, kind),
        _ => Err(wrong_type(path, value, kind, key)),
    }
}

fn with_unit<'v>(
    parts: &'v Map<String, Value>,
    path: &Path<'_>,
    kind: Kind<'_>,
) -> Result<Written<'v>, Problem> {
    let mistake = |key: &str, code, found| Problem {
        code,
        path: Path::field(path, key).to_string(),
        found,
        expected: kind.expectation(),
        hint: "Write {\"value\": number, \"unit\": \"text\"}.".to_owned(),
    };
    if let Some(key) = parts
        .keys()
        .find(|key| !matches!(key.as_str(), "value" | "unit"))
    {
        return Err(mistake(
            key,
            ErrorCode::UnknownKey,
            format!("the key {}", quoted(key)),
        ));
    }
    let number = match parts.get("value") {
        Some(Value::Number(number)) => number.as_f64().unwrap_or(f64::NAN),
        Some(Value::String(text)) => quantity::read_plain_number(text)
            .map_err(|code| mistake("value", code, quoted(text)))?,
        None | Some(Value::Null) => {
            return Err(mistake(
                "value",
                ErrorCode::MissingKey,
                "nothing".to_owned(),
            ));
        }
        Some(other) => return Err(mistake("value", ErrorCode::WrongType, shown(other))),
    };
    match parts.get("unit") {
        Some(Value::String(unit)) => Ok(Written::WithUnit(number, unit)),
        None | Some(Value::Null) => Ok(Written::Number(number)),
        Some(other) => Err(mistake("unit", ErrorCode::WrongType, shown(other))),
    }
}

/// A problem at its place.
pub(super) fn placed(problem: Problem, path: &Path<'_>) -> Problem {
    Problem {
        path: path.to_string(),
        ..problem
    }
}

/// Says of a document that it is of another kind.
pub(super) fn wrong_document(stated: &str, kind: DocumentKind) -> Problem {
    let hint = match DocumentKind::from_key(stated) {
        Some(DocumentKind::BrewDay) if kind == DocumentKind::Plan => "Plan it first.",
        Some(other) if other.is_written_by_engine() && !kind.is_written_by_engine() => {
            "Give the document that it was computed from."
        }
        _ => "Give a document of that kind.",
    };
    Problem {
        code: ErrorCode::WrongDocument,
        path: "document".to_owned(),
        found: format!("a {} document", quoted(stated)),
        expected: format!("a \"{kind}\" document"),
        hint: hint.to_owned(),
    }
}

pub(super) fn wrong_type(path: &Path<'_>, value: &Value, kind: Kind<'_>, key: &str) -> Problem {
    Problem {
        code: ErrorCode::WrongType,
        path: path.to_string(),
        found: shown(value),
        expected: kind.expectation(),
        hint: kind.advice(key),
    }
}

/// A value as it is shown in a message.
pub(super) fn shown(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => quoted(text),
        Value::Array(items) if items.is_empty() => "an empty list".to_owned(),
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "an object".to_owned(),
    }
}
