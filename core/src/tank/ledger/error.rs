//! What can be wrong with a line of the ledger.

use std::fmt;

use crate::aqueous::EquilibriumError;
use crate::error::{ErrorCode, Problem, join};

/// A line that cannot be done, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct LedgerError {
    /// Place of the line, counted from 0; `None` for the tank, its supplies or its heel.
    pub line: Option<usize>,
    /// The line's own words, or what else is meant.
    pub label: String,
    /// What is wrong; its path lies within the line, where there is one.
    pub problem: Box<Problem>,
}

impl fmt::Display for LedgerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {}, ", line + 1)?;
        }
        let problem = &self.problem;
        write!(
            f,
            "{}: found {}; expected {}. {} [{}]",
            self.label, problem.found, problem.expected, problem.hint, problem.code
        )
    }
}

impl std::error::Error for LedgerError {}

impl From<EquilibriumError> for LedgerError {
    fn from(error: EquilibriumError) -> LedgerError {
        LedgerError::at(no_equilibrium(error), None, "the tank")
    }
}

impl LedgerError {
    /// A problem with a line, or with what else the label names.
    pub(super) fn at(problem: Problem, line: Option<usize>, label: &str) -> LedgerError {
        LedgerError {
            line,
            label: label.to_owned(),
            problem: Box::new(problem),
        }
    }

    /// The same as a problem of the document that the ledger was opened for.
    pub fn into_problem(self) -> Problem {
        let path = &self.problem.path;
        let path = match self.line {
            None => path.clone(),
            Some(line) => join(&format!("lines[{line}]"), path),
        };
        Problem {
            path,
            ..*self.problem
        }
    }
}

/// A problem at a key of a line, or with the line itself if the key is empty.
fn fault(code: ErrorCode, key: &str, found: String, expected: String, hint: &str) -> Problem {
    Problem {
        code,
        path: key.to_owned(),
        found,
        expected,
        hint: hint.to_owned(),
    }
}

pub(super) fn overdraw(asked_l: f64, there_l: f64, dead_l: f64) -> Problem {
    let expected = format!(
        "at most {there_l:.1} L: what the tank holds above its dead space of {dead_l:.1} L"
    );
    fault(
        ErrorCode::Overdraw,
        "volume",
        format!("{asked_l:.1} L"),
        expected,
        "Draw less, or fill more before.",
    )
}

pub(super) fn overflow(key: &str, full_l: f64, capacity_l: f64) -> Problem {
    fault(
        ErrorCode::Overflow,
        key,
        format!("{full_l:.1} L in the tank"),
        format!("at most {capacity_l:.1} L"),
        "Fill less; leave room for water that swells as it is heated, near 3 % from cold to 80 °C.",
    )
}

pub(super) fn dry() -> Problem {
    fault(
        ErrorCode::Dry,
        "",
        "an empty tank".to_owned(),
        "water in the tank".to_owned(),
        "Fill first; a heater without water burns out.",
    )
}

pub(super) fn no_equilibrium(error: EquilibriumError) -> Problem {
    fault(
        ErrorCode::NoEquilibrium,
        "",
        error.to_string(),
        "a liquor at equilibrium".to_owned(),
        "Look at the doses of this tank and at the report of its supply.",
    )
}

pub(crate) fn no_supply(place: usize, supplies: usize) -> Problem {
    fault(
        ErrorCode::UnknownName,
        "supply",
        format!("supply {place}"),
        format!("one of {supplies} supplies, counted from 0"),
        "Name a supply that the ledger was opened with.",
    )
}
