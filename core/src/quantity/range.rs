//! Ranges as people write them: "50-100 mg/L", "5.3 to 5.5", "<250 mg/L".

use super::{Leading, Quantity, Substance, Written, number};
use crate::error::{ErrorCode, Problem};

/// A range of canonical numbers; an open end is `None`.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// The value liked best, within the ends.
    pub prefer: Option<f64>,
}

/// Signs and words before a high end, longest first.
pub(super) const AT_MOST: &[&str] = &[
    "<=",
    "≤",
    "<",
    "at most",
    "up to",
    "below",
    "under",
    "no more than",
];
/// Signs and words before a low end, longest first.
pub(super) const AT_LEAST: &[&str] = &[">=", "≥", ">", "at least", "above", "over", "no less than"];
/// Between the ends, right behind the first number.
const BETWEEN: &[&str] = &["–", "—", "-", "..", "…", "to "];
/// Between the ends, behind a first number that has its own unit.
const BETWEEN_UNITS: &[&str] = &["–", "—", " to ", " - "];

impl Range {
    /// A single value: both ends and the value liked best.
    pub const fn point(value: f64) -> Self {
        Range {
            low: Some(value),
            high: Some(value),
            prefer: Some(value),
        }
    }

    /// Whether a canonical number lies within the range.
    pub fn contains(&self, value: f64) -> bool {
        self.low.is_none_or(|low| value >= low) && self.high.is_none_or(|high| value <= high)
    }

    /// The range, if its ends are in order and the value liked best lies between them.
    ///
    /// # Errors
    /// [`ErrorCode::RangeReversed`] or [`ErrorCode::Contradiction`], with an empty path.
    pub fn checked(self, read: impl FnOnce() -> String) -> Result<Self, Problem> {
        let (code, expected, hint) = match (self.low, self.high) {
            (Some(low), Some(high)) if low > high => (
                ErrorCode::RangeReversed,
                "a range with its low end first",
                "Exchange the two ends.",
            ),
            _ if self.prefer.is_some_and(|value| !self.contains(value)) => (
                ErrorCode::Contradiction,
                "a preferred value within the range",
                "Widen the range or move the preferred value.",
            ),
            _ => return Ok(self),
        };
        Err(Problem {
            code,
            path: String::new(),
            found: read(),
            expected: expected.to_owned(),
            hint: hint.to_owned(),
        })
    }
}

/// What is expected of a range, in plain words.
pub(super) fn expectation(quantity: &Quantity) -> String {
    format!("a range: {}", quantity.expectation())
}

/// How to write a range, in one sentence.
pub(super) fn advice(quantity: &Quantity) -> String {
    format!(
        "Write a text such as \"<{}\", a list [low, high], or {{\"low\": …, \"high\": …}}.",
        quantity.example
    )
}

/// Checks a range of canonical numbers: each of them, and their order. The problems show them
/// in the default unit, as a reader shows `{"low": …, "high": …, "prefer": …}`.
///
/// # Errors
/// Every [`Problem`], its path that of the end: `low`, `high`, `prefer`, or empty for the range.
pub(super) fn check(
    quantity: &Quantity,
    range: &Range,
    of: &Substance<'_>,
) -> Result<(), Vec<Problem>> {
    let ends = [
        ("low", range.low),
        ("high", range.high),
        ("prefer", range.prefer),
    ];
    if ends.iter().all(|(_, end)| end.is_none()) {
        return Err(vec![Problem {
            code: ErrorCode::WrongType,
            path: String::new(),
            found: "a range without an end".to_owned(),
            expected: expectation(quantity),
            hint: advice(quantity),
        }]);
    }
    let outside: Vec<Problem> = ends
        .into_iter()
        .filter_map(|(end, value)| {
            let problem = quantity.check(value?, of).err()?;
            let path = end.to_owned();
            Some(Problem { path, ..problem })
        })
        .collect();
    if !outside.is_empty() {
        return Err(outside);
    }
    let shown = |value: Option<f64>| {
        value.map_or_else(
            || "null".to_owned(),
            |value| quantity.bare(value, of).to_string(),
        )
    };
    let written = || {
        let ends = format!("{} to {}", shown(range.low), shown(range.high));
        match range.prefer {
            None => ends,
            prefer => format!("{ends}, preferred {}", shown(prefer)),
        }
    };
    range
        .checked(written)
        .map(|_| ())
        .map_err(|problem| vec![problem])
}

/// Reads a range, or a single value as a range without width, as canonical numbers.
///
/// # Errors
/// As [`Quantity::read`], and [`ErrorCode::RangeReversed`].
pub(super) fn read(quantity: &Quantity, text: &str, of: &Substance<'_>) -> Result<Range, Problem> {
    let bare = quantity.without_ph(text);
    if let Some(end) = after_word(bare, AT_MOST) {
        return Ok(Range {
            high: Some(quantity.read_of(end, of)?),
            ..Range::default()
        });
    }
    if let Some(end) = after_word(bare, AT_LEAST) {
        return Ok(Range {
            low: Some(quantity.read_of(end, of)?),
            ..Range::default()
        });
    }
    match split_ends(bare) {
        Some((low, high)) => read_ends(quantity, low, high, text, of),
        None => Ok(Range::point(quantity.read_of(text, of)?)),
    }
}

fn read_ends(
    quantity: &Quantity,
    low: Leading<'_>,
    high: &str,
    text: &str,
    of: &Substance<'_>,
) -> Result<Range, Problem> {
    let written = Written::Text(text);
    let high = quantity.figure_in(high, written)?;
    let low_unit = low.1.or(high.1);
    Range {
        low: Some(quantity.resolve(low.0, low_unit, written, of)?),
        high: Some(quantity.resolve(high.0, high.1, written, of)?),
        prefer: None,
    }
    .checked(|| written.to_string())
}

/// What follows one of the words, in whatever case.
pub(super) fn after_word<'t>(text: &'t str, words: &[&str]) -> Option<&'t str> {
    words.iter().find_map(|word| {
        let (head, rest) = text.split_at_checked(word.len())?;
        head.eq_ignore_ascii_case(word).then_some(rest)
    })
}

/// The low end and the text of the high end, when there are two.
pub(super) fn split_ends(text: &str) -> Option<(Leading<'_>, &str)> {
    let (low, rest) = number::leading(text).ok()?;
    if let Some(high) = after_word(rest, BETWEEN) {
        return Some(((low, None), high));
    }
    BETWEEN_UNITS.iter().find_map(|between| {
        let (unit, high) = rest.split_once(between)?;
        Some(((low, Some(unit.trim())), high))
    })
}
