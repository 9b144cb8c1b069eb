//! What can be wrong with a line.

use std::fmt;

use crate::error::{Code, Problem};

/// A line that cannot be, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LedgerError {
    /// Stable short code.
    pub code: Code,
    /// Place of the line, counted from 0; `None` for the tank, its supplies or its heel.
    pub line: Option<usize>,
    /// What is wrong with it.
    pub field: Field,
    /// The line's own words, or what else is meant.
    pub label: String,
    /// What was read.
    pub found: String,
    /// What was expected.
    pub expected: String,
    /// How to fix it.
    pub hint: &'static str,
}

impl fmt::Display for LedgerError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {}, ", line + 1)?;
        }
        write!(
            f,
            "{}: found {}; expected {}. {} [{}]",
            self.label, self.found, self.expected, self.hint, self.code
        )
    }
}

impl std::error::Error for LedgerError {}

impl LedgerError {
    /// The same as a problem of the document that the ledger was opened for: its lines are its `lines`.
    pub fn into_problem(self) -> Problem {
        let path = match (self.line, self.field.key()) {
            (None, _) => "tank".to_owned(),
            (Some(line), None) => format!("lines[{line}]"),
            (Some(line), Some(field)) => format!("lines[{line}].{field}"),
        };
        Problem {
            code: self.code,
            path,
            found: self.found,
            expected: self.expected,
            hint: self.hint.to_owned(),
        }
    }
}

/// The part of a line that is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field {
    /// The line as a whole.
    Line,
    /// Its supply.
    Supply,
    /// Its volume.
    Volume,
    /// Its temperature.
    Temperature,
}

impl Field {
    /// Its key in a document; none for the line as a whole.
    pub fn key(self) -> Option<&'static str> {
        match self {
            Field::Line => None,
            Field::Supply => Some("supply"),
            Field::Volume => Some("volume"),
            Field::Temperature => Some("temperature"),
        }
    }
}

/// What is wrong, before its line is known.
pub(super) struct Fault {
    pub code: Code,
    pub field: Field,
    pub found: String,
    pub expected: String,
    pub hint: &'static str,
}

impl Fault {
    pub fn at(self, line: Option<usize>, label: &str) -> LedgerError {
        LedgerError {
            code: self.code,
            line,
            field: self.field,
            label: label.to_owned(),
            found: self.found,
            expected: self.expected,
            hint: self.hint,
        }
    }

    pub fn not_an_amount(what: &str, read: f64) -> Fault {
        Fault {
            code: Code::OutOfRange,
            field: Field::Line,
            found: format!("{what} {read}"),
            expected: "a finite number, 0 or more".to_owned(),
            hint: "Write how much.",
        }
    }

    pub fn habits() -> Fault {
        Fault {
            code: Code::OutOfRange,
            field: Field::Line,
            found: "habits of the tank with a time or share that is none".to_owned(),
            expected: "times above 0 h, shares from 0 to 1".to_owned(),
            hint: "Start from the usual habits.",
        }
    }

    pub fn temperature(read: f64) -> Fault {
        Fault {
            code: Code::OutOfRange,
            field: Field::Temperature,
            found: format!("{read} °C"),
            expected: "0 to 100 °C".to_owned(),
            hint: "Write the temperature in °C.",
        }
    }

    pub fn overdraw(asked_l: f64, there_l: f64, dead_l: f64) -> Fault {
        Fault {
            code: Code::Overdraw,
            field: Field::Volume,
            found: format!("{asked_l:.1} L"),
            expected: format!(
                "at most {there_l:.1} L, which stand above the dead space of {dead_l:.1} L"
            ),
            hint: "Draw less, or fill more before.",
        }
    }

    pub fn overflow(field: Field, full_l: f64, capacity_l: f64) -> Fault {
        Fault {
            code: Code::Overflow,
            field,
            found: format!("{full_l:.1} L in the tank"),
            expected: format!("at most {capacity_l:.1} L"),
            hint: "Fill less; leave room for water that swells as it is heated, near 3 % from cold to 80 °C.",
        }
    }

    pub fn dry() -> Fault {
        Fault {
            code: Code::Dry,
            field: Field::Line,
            found: "an empty tank".to_owned(),
            expected: "water in the tank".to_owned(),
            hint: "Fill first; a heater without water burns out.",
        }
    }

    pub fn no_equilibrium(error: crate::aqueous::EquilibriumError) -> Fault {
        Fault {
            code: Code::NoEquilibrium,
            field: Field::Line,
            found: error.to_string(),
            expected: "a liquor at equilibrium".to_owned(),
            hint: "Look at the doses of this tank and at the report of its supply.",
        }
    }
}
