//! Text to a JSON value, with plain words for what is not JSON, and with keys given twice found
//! out.

use std::cell::RefCell;
use std::fmt;

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Number, Value};

use super::path::Path;
use crate::error::{ErrorCode, InputError, Problem};
use crate::quantity::quoted;

/// Longest text that is read, bytes. A year of brew logs is a tenth of it.
pub const MAX_BYTES: usize = 1 << 20;
/// Deepest nesting of lists and objects. The documents nest five deep.
pub const MAX_DEPTH: usize = 32;

/// A parsed text.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// The value; of keys given twice, the last.
    pub value: Value,
    /// A problem for each key given twice.
    pub duplicates: Vec<Problem>,
}

/// Parses a JSON text.
///
/// # Errors
/// One problem: [`ErrorCode::JsonSyntax`] with line and column, or [`ErrorCode::TooMany`] for a
/// text too long or too deep.
pub fn parse(text: &str) -> Result<Document, InputError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.len() > MAX_BYTES {
        return refuse(
            ErrorCode::TooMany,
            format!("{} bytes", text.len()),
            format!("at most {MAX_BYTES} bytes"),
            "Split the document.",
        );
    }
    if text.trim().is_empty() {
        return refuse(
            ErrorCode::JsonSyntax,
            "an empty text".to_owned(),
            "a JSON object".to_owned(),
            "Begin with { and end with }.",
        );
    }
    let duplicates = RefCell::new(Vec::new());
    let mut deserializer = serde_json::Deserializer::from_str(text);
    let seed = Node {
        path: Path::ROOT,
        depth: 0,
        duplicates: &duplicates,
    };
    let parsed = seed
        .deserialize(&mut deserializer)
        .and_then(|value| deserializer.end().map(|()| value));
    match parsed {
        Ok(value) => Ok(Document {
            value,
            duplicates: duplicates.into_inner(),
        }),
        Err(error) => Err(explain(text, &error)),
    }
}

fn refuse<T>(
    code: ErrorCode,
    found: String,
    expected: String,
    hint: &str,
) -> Result<T, InputError> {
    let problem = Problem {
        code,
        path: String::new(),
        found,
        expected,
        hint: hint.to_owned(),
    };
    Err(problem.into())
}

/// A value about to be parsed, and where it stands.
#[derive(Clone, Copy)]
struct Node<'a> {
    path: Path<'a>,
    depth: usize,
    duplicates: &'a RefCell<Vec<Problem>>,
}

const TOO_DEEP: &str = "nested too deep";
/// More keys given twice than this are one mistake, not many.
const MOST_DUPLICATES: usize = 20;

impl Node<'_> {
    fn inner<'b>(&'b self, path: Path<'b>) -> Node<'b> {
        Node {
            path,
            depth: self.depth + 1,
            duplicates: self.duplicates,
        }
    }

    fn check_depth<E: Error>(&self) -> Result<(), E> {
        if self.depth < MAX_DEPTH {
            Ok(())
        } else {
            Err(E::custom(TOO_DEEP))
        }
    }

    fn note_duplicate(&self, key: &str) {
        let mut duplicates = self.duplicates.borrow_mut();
        if duplicates.len() < MOST_DUPLICATES {
            duplicates.push(Problem {
                code: ErrorCode::Duplicate,
                path: Path::field(&self.path, key).to_string(),
                found: format!("the key {} twice", quoted(key)),
                expected: "each key once".to_owned(),
                hint: "Delete one of the two.".to_owned(),
            });
        }
    }
}

impl<'de> DeserializeSeed<'de> for Node<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Node<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_bool<E>(self, value: bool) -> Result<Value, E> {
        Ok(Value::Bool(value))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Value, E> {
        Ok(Value::Number(value.into()))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Value, E> {
        Ok(Value::Number(value.into()))
    }

    fn visit_f64<E>(self, value: f64) -> Result<Value, E> {
        Ok(Number::from_f64(value).map_or(Value::Null, Value::Number))
    }

    fn visit_str<E>(self, value: &str) -> Result<Value, E> {
        Ok(Value::String(value.to_owned()))
    }

    fn visit_string<E>(self, value: String) -> Result<Value, E> {
        Ok(Value::String(value))
    }

    fn visit_unit<E>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Value, A::Error> {
        self.check_depth()?;
        let mut list = Vec::new();
        while let Some(item) =
            items.next_element_seed(self.inner(Path::item(&self.path, "", list.len())))?
        {
            list.push(item);
        }
        Ok(Value::Array(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Value, A::Error> {
        self.check_depth()?;
        let mut object = Map::new();
        while let Some(key) = entries.next_key::<String>()? {
            let value = entries.next_value_seed(self.inner(Path::field(&self.path, &key)))?;
            if object.contains_key(&key) {
                self.note_duplicate(&key);
            }
            object.insert(key, value);
        }
        Ok(Value::Object(object))
    }
}

/// Says in plain words where and why a text is not JSON.
fn explain(text: &str, error: &serde_json::Error) -> InputError {
    let (line, column) = (error.line(), error.column());
    // The only complaint that is not serde_json's own.
    if error.is_data() {
        let problem = Problem {
            code: ErrorCode::TooMany,
            path: String::new(),
            found: format!(
                "lists and objects more than {MAX_DEPTH} deep, at line {line}, column {column}"
            ),
            expected: format!("at most {MAX_DEPTH}"),
            hint: "Look for brackets that are opened too often.".to_owned(),
        };
        return problem.into();
    }
    let at = offset(text, line, column);
    let near = Near::new(text, at);
    let problem = Problem {
        code: ErrorCode::JsonSyntax,
        path: String::new(),
        found: format!("{} at line {line}, column {column}", near.shown()),
        expected: "a JSON document".to_owned(),
        hint: hint(error, &near).to_owned(),
    };
    problem.into()
}

/// Byte offset of the character that the parser stopped at; it counts columns in bytes from 1.
fn offset(text: &str, line: usize, column: usize) -> usize {
    let before: usize = text
        .split_inclusive('\n')
        .take(line.saturating_sub(1))
        .map(str::len)
        .sum();
    let mut at = (before + column.saturating_sub(1)).min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The text around the place where parsing stopped.
struct Near<'t> {
    /// The word that the place lies in, with the sign before it.
    word: &'t str,
    /// From the word on.
    from: &'t str,
    /// Before the word.
    before: &'t str,
}

impl<'t> Near<'t> {
    fn new(text: &'t str, at: usize) -> Self {
        let (head, _) = text.split_at_checked(at).unwrap_or((text, ""));
        let in_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '+' | '.' | '_');
        let start = head.trim_end_matches(in_word).len();
        let (before, from) = text.split_at_checked(start).unwrap_or((text, ""));
        let end = from.find(|c| !in_word(c)).unwrap_or(from.len());
        let (word, _) = from.split_at_checked(end).unwrap_or((from, ""));
        Near {
            word,
            from,
            before: before.trim_end(),
        }
    }

    fn shown(&self) -> String {
        let line = self.from.lines().next().unwrap_or("");
        if line.trim().is_empty() {
            "the end of the line".to_owned()
        } else {
            quoted(line)
        }
    }

    /// Whether a number stands before a comma and another right behind it: "560,5".
    fn splits_a_number(&self) -> bool {
        let is_digit = |c: char| c.is_ascii_digit();
        self.word.starts_with(is_digit)
            && self
                .before
                .strip_suffix(',')
                .is_some_and(|before| before.ends_with(is_digit))
    }

    fn begins(&self, words: &[&str]) -> bool {
        let word = self.word.trim_start_matches(['-', '+']);
        words.iter().any(|name| word.eq_ignore_ascii_case(name))
    }
}

const NUMBERS: &str = "Write numbers as 12.5, 0.5 or 1e3: no leading plus, point or zero.";

/// How to fix what the parser complained about.
fn hint(error: &serde_json::Error, near: &Near<'_>) -> &'static str {
    if near.begins(&["nan", "infinity", "inf"]) {
        return "JSON has no NaN or Infinity: write a number, or leave the key out.";
    }
    if near.begins(&["true", "false", "none", "null"]) {
        return "Write true, false or null in lower case.";
    }
    if near.from.starts_with('\'') {
        return "Use double quotes, not single ones.";
    }
    if near.from.starts_with(['“', '”', '„']) {
        return "Use straight double quotes.";
    }
    if near.from.starts_with("//") || near.from.starts_with("/*") || near.from.starts_with('#') {
        return "JSON has no comments: delete it.";
    }
    if near.from.starts_with([']', '}']) && near.before.ends_with(',') {
        return "Take away the comma before the closing bracket or brace.";
    }
    if near.splits_a_number() {
        return "Write a decimal point, not a comma.";
    }
    if near.from.starts_with(['+', '.']) {
        return NUMBERS;
    }
    if error.is_eof() {
        return "The text ends too early: close every quote, bracket and brace.";
    }
    let message = error.to_string();
    BY_MESSAGE
        .iter()
        .find(|(begins, _)| message.starts_with(begins))
        .map_or(
            "Look for a missing quote, comma, colon or bracket just before this place.",
            |(_, hint)| hint,
        )
}

/// What serde_json has no category for: how its message begins, and the hint. A test holds every
/// line against the serde_json that is built in.
const BY_MESSAGE: [(&str, &str); 9] = [
    (
        "number out of range",
        "The number is larger than any number can be: shorten it.",
    ),
    (
        "control character",
        "Close the quote on the same line; write a line break as \\n.",
    ),
    (
        "invalid escape",
        "Write a backslash in a text as two: \\\\.",
    ),
    (
        "trailing characters",
        "Nothing may follow the closing brace: delete the rest, or put a comma and go on inside.",
    ),
    ("key must be a string", "Write every key in double quotes."),
    ("expected `:`", "Put a colon between the key and its value."),
    (
        "expected `,`",
        "Put a comma between two entries, or close the bracket before.",
    ),
    ("invalid number", NUMBERS),
    (
        "unexpected end of hex escape",
        "Write the character itself in place of its \\u escape.",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn serde_json_says_what_the_hints_go_by() {
        let texts = [
            "[1e999]",
            "[\"a\n\"]",
            r#"["\q"]"#,
            "[] []",
            "{a: 1}",
            r#"{"a" 1}"#,
            "[1 2]",
            "[-a]",
            r#"["\ud800"]"#,
        ];
        for ((begins, hint), text) in BY_MESSAGE.iter().zip(texts) {
            let error = serde_json::from_str::<Value>(text).expect_err(text);
            assert!(error.to_string().starts_with(begins), "{text}: {error}");
            assert!(error.is_syntax() && !error.is_eof(), "{text}");
            let found = parse(text).expect_err(text).problems.remove(0);
            assert_eq!(found.hint, *hint, "{text}");
        }
        assert!(
            serde_json::from_str::<Value>("[1")
                .expect_err("cut")
                .is_eof()
        );
    }
}
