//! Checks of values that no document brought: a type of the engine is refused with the same
//! problems, at the same paths, as a document that says the same.

use crate::error::{ErrorCode, InputError, Problem, join};
use crate::quantity::{self, Quantity, Range, Substance, quoted};

/// A quantity at its key: one declaration serves reading and checking.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Field {
    pub key: &'static str,
    pub quantity: &'static Quantity,
    /// What a concentration is of.
    pub substance: Substance<'static>,
}

impl Field {
    pub const fn new(key: &'static str, quantity: &'static Quantity) -> Field {
        Field {
            key,
            quantity,
            substance: Substance::NONE,
        }
    }

    /// The same, of a substance.
    pub const fn of(self, substance: Substance<'static>) -> Field {
        Field { substance, ..self }
    }
}

/// How many of something there can be at a key: a whole number, or the items of a list.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Count {
    pub key: &'static str,
    pub limits: [usize; 2],
}

impl Count {
    pub const fn new(key: &'static str, limits: [usize; 2]) -> Count {
        Count { key, limits }
    }

    /// The number as a count.
    ///
    /// # Errors
    /// A [`Problem`] with an empty path.
    pub fn of(self, number: f64) -> Result<usize, Problem> {
        let [least, most] = self.limits;
        let whole = (least..=most).find(|count| *count as f64 == number);
        whole.ok_or_else(|| {
            let from = if least > 0 { "from 1 " } else { "" };
            Problem {
                code: ErrorCode::OutOfRange,
                path: String::new(),
                found: number.to_string(),
                expected: format!("a whole number {from}up to {most}"),
                hint: format!("Write \"{}\": 4.", self.key),
            }
        })
    }
}

/// Longest text, characters.
pub(crate) const LONGEST_TEXT: usize = 400;
/// Longest remark of the engine that it reads again: remarks quote names, and remarks of earlier
/// days.
pub(crate) const LONGEST_REMARK: usize = 4000;

/// How to write a text, in one sentence.
pub(crate) fn text_advice(key: &str) -> String {
    format!("Write \"{key}\": \"…\".")
}

/// What is expected of a list of objects, in plain words.
pub(crate) fn list_expectation([min, max]: [usize; 2]) -> String {
    format!("a list of {min} to {max} objects")
}

/// How to write a list of objects, in one sentence.
pub(crate) fn list_advice(key: &str) -> String {
    format!("Write \"{key}\": [{{…}}].")
}

/// Checks a text without the blanks around it: not empty, not too long, no control character.
///
/// # Errors
/// A [`Problem`] with an empty path.
pub(crate) fn text(
    text: &str,
    longest: usize,
    advice: impl FnOnce() -> String,
) -> Result<(), Problem> {
    let length = text.chars().count();
    let (found, expected, hint) = if length == 0 || length > longest {
        (
            format!("a text of {length} characters"),
            format!("1 to {longest} characters"),
            advice(),
        )
    } else if text.contains(char::is_control) {
        (
            quoted(text),
            "printable text on one line".to_owned(),
            "Delete the line breaks, tabs and control characters.".to_owned(),
        )
    } else {
        return Ok(());
    };
    Err(Problem {
        code: ErrorCode::OutOfRange,
        path: String::new(),
        found,
        expected,
        hint,
    })
}

/// Checks how many items a list has.
///
/// # Errors
/// A [`Problem`] with an empty path.
pub(crate) fn list_length(
    length: usize,
    [min, max]: [usize; 2],
    expected: String,
    advice: impl FnOnce() -> String,
) -> Result<(), Problem> {
    let (code, hint) = if length < min {
        (ErrorCode::EmptyList, advice())
    } else if length > max {
        (ErrorCode::TooMany, format!("Keep at most {max}."))
    } else {
        return Ok(());
    };
    Err(Problem {
        code,
        path: String::new(),
        found: if length == 0 {
            "an empty list".to_owned()
        } else {
            format!("a list of {length}")
        },
        expected,
        hint,
    })
}

/// Gathers every problem of a value, each at its path.
#[derive(Debug, Default)]
pub(crate) struct Checker {
    path: String,
    problems: Vec<Problem>,
}

impl Checker {
    /// Without a problem yet.
    pub fn new() -> Checker {
        Checker::default()
    }

    /// All problems so far.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// All problems.
    pub fn into_problems(self) -> Vec<Problem> {
        self.problems
    }

    /// Nothing, if no problem was found.
    ///
    /// # Errors
    /// All problems.
    pub fn into_result(self) -> Result<(), InputError> {
        if self.problems.is_empty() {
            return Ok(());
        }
        Err(InputError::of(self.problems))
    }

    /// A value, if no problem was found.
    ///
    /// # Errors
    /// All problems.
    pub fn into_value<T>(self, value: Option<T>) -> Result<T, InputError> {
        match value {
            Some(value) if self.problems.is_empty() => Ok(value),
            _ => Err(InputError::of(self.problems)),
        }
    }

    /// Checks what lies at a key.
    pub fn inside(&mut self, key: &str, body: impl FnOnce(&mut Checker)) {
        let outer = self.path.len();
        self.path = join(&self.path, key);
        body(self);
        self.path.truncate(outer);
    }

    /// Checks every item of the list at a key, and how many there are. Of a list that is too long,
    /// no item is checked.
    pub fn list<T>(
        &mut self,
        key: &str,
        items: &[T],
        [min, max]: [usize; 2],
        mut body: impl FnMut(&mut Checker, &T),
    ) {
        let length = list_length(
            items.len(),
            [min, max],
            list_expectation([min, max]),
            || list_advice(key),
        );
        self.at(key, length);
        if items.len() <= max {
            for (index, item) in items.iter().enumerate() {
                self.inside(&format!("{key}[{index}]"), |of| body(of, item));
            }
        }
    }

    /// The same of a list that is declared.
    pub fn listed<T>(&mut self, list: Count, items: &[T], body: impl FnMut(&mut Checker, &T)) {
        self.list(list.key, items, list.limits, body);
    }

    /// Notes a problem with the value at a key.
    pub fn at<T>(&mut self, key: &str, checked: Result<T, Problem>) {
        if let Err(problem) = checked {
            let path = join(&join(&self.path, key), &problem.path);
            self.problems.push(Problem { path, ..problem });
        }
    }

    /// Checks a text.
    pub fn text(&mut self, key: &str, value: &str) {
        self.at(key, text(value.trim(), LONGEST_TEXT, || text_advice(key)));
    }

    /// Checks a quantity.
    pub fn quantity(&mut self, key: &str, value: f64, quantity: &Quantity) {
        self.concentration(key, value, quantity, &Substance::NONE);
    }

    /// Checks a quantity, where there is one.
    pub fn optional(&mut self, key: &str, value: Option<f64>, quantity: &Quantity) {
        if let Some(value) = value {
            self.quantity(key, value, quantity);
        }
    }

    /// Checks the quantity of a field.
    pub fn field(&mut self, field: Field, value: f64) {
        self.concentration(field.key, value, field.quantity, &field.substance);
    }

    /// Checks the quantity of a field, where there is one.
    pub fn optional_field(&mut self, field: Field, value: Option<f64>) {
        if let Some(value) = value {
            self.field(field, value);
        }
    }

    /// Checks that numbers which may be any are at least finite.
    pub fn all_finite(
        &mut self,
        key: &str,
        mut numbers: impl Iterator<Item = f64>,
        quantity: &Quantity,
    ) {
        if let Some(endless) = numbers.find(|number| !number.is_finite()) {
            self.quantity(key, endless, quantity);
        }
    }

    /// Checks a concentration of a substance.
    pub fn concentration(
        &mut self,
        key: &str,
        value: f64,
        quantity: &Quantity,
        of: &Substance<'_>,
    ) {
        self.at(key, quantity.check(value, of));
    }

    /// Checks a range.
    pub fn range(&mut self, field: Field, range: &Range) {
        let checked = field.quantity.check_range(range, &field.substance);
        for problem in checked.err().into_iter().flatten() {
            self.at(field.key, Err::<(), _>(problem));
        }
    }

    /// Checks a whole number.
    pub fn count(&mut self, count: Count, count_of: usize) {
        let number = count_of as f64;
        let checked = quantity::COUNT
            .check(number, &Substance::NONE)
            .and_then(|()| count.of(number).map(|_| ()));
        self.at(count.key, checked);
    }
}

/// What to do about a name that comes twice in a list of names.
pub(crate) const ONCE: &str = "Keep one of the two.";

/// Every name that comes twice: two things of one name are a slip.
pub(crate) fn duplicates<'n>(names: impl Iterator<Item = &'n str>, hint: &str) -> Vec<Problem> {
    let mut seen: Vec<&str> = Vec::new();
    let mut problems = Vec::new();
    for name in names {
        if seen.contains(&name) {
            problems.push(Problem {
                code: ErrorCode::Duplicate,
                path: String::new(),
                found: format!("\"{name}\" twice"),
                expected: "each name once".to_owned(),
                hint: hint.to_owned(),
            });
        }
        seen.push(name);
    }
    problems
}
