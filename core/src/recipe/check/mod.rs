//! The one place that decides whether a recipe makes sense: each value by itself, as documents are
//! read, and then what several of them say together. A document is read by the same limits
//! (`fields`) and ends in the same rules, so a recipe built in Rust is refused with the problems of
//! its twin in JSON.

mod capacity;
pub(crate) mod fields;
mod ion_fit;
mod rules;
mod values;

pub(crate) use capacity::Filled;
pub(crate) use ion_fit::{can_be_made, fits_shelf, ion_fit, is_available};
pub(crate) use rules::together;
pub(crate) use values::{misplaced, unranged_confidences};

use super::BrewDay;
use crate::checker::Checker;
use crate::error::{ErrorCode, InputError, Problem};

/// The keys of a brew day that can have problems, in the order of its document.
const KEYS: [&str; 15] = [
    "id",
    "note",
    "name",
    "brewhouse",
    "recipe_scale",
    "brews",
    "sources",
    "hot_liquor_tank",
    "grist",
    "mash",
    "sparge",
    "kettle",
    "targets",
    "shelf",
    "max_salts",
];

/// Whether a day makes sense; see [`BrewDay::check`].
pub(crate) fn check(day: &BrewDay) -> Result<(), InputError> {
    let problems = brew_day(day, true);
    if problems.is_empty() {
        return Ok(());
    }
    Err(InputError::of(problems))
}

/// Every problem of a day, in the order of its document. It may have no mash yet.
pub(super) fn brew_day(day: &BrewDay, has_mash: bool) -> Vec<Problem> {
    let mut checker = Checker::new();
    values::brew_day(&mut checker, day, has_mash);
    let mut problems = checker.into_problems();
    // Amounts that contradict each other can still be added up; one that is none cannot.
    let flawed: Vec<String> = problems
        .iter()
        .filter(|problem| problem.code != ErrorCode::Contradiction)
        .map(|problem| root(&problem.path).to_owned())
        .collect();
    problems.extend(together(day, |key| {
        flawed.iter().any(|flawed| flawed == key)
    }));
    problems.sort_by_key(|problem| {
        let key = root(&problem.path);
        KEYS.iter().position(|known| *known == key)
    });
    problems
}

/// The key of the day that a path begins with.
fn root(path: &str) -> &str {
    path.split(['.', '[']).next().unwrap_or(path)
}

/// A problem without a path yet.
fn problem(
    code: ErrorCode,
    found: impl Into<String>,
    expected: impl Into<String>,
    hint: impl Into<String>,
) -> Problem {
    Problem {
        code,
        path: String::new(),
        found: found.into(),
        expected: expected.into(),
        hint: hint.into(),
    }
}
