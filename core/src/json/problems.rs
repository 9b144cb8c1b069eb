//! The problems of one document, gathered.

use crate::error::{Code, InputError, Problem};

/// How many problems are told at most; a document with more has one cause that the first ones show.
const MOST: usize = 100;

/// Gathers the problems of a document.
#[derive(Debug, Default)]
pub struct Problems {
    told: Vec<Problem>,
    untold: usize,
}

impl Problems {
    /// None yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        if self.told.len() < MOST {
            self.told.push(problem);
        } else {
            self.untold += 1;
        }
    }

    /// Changes the one added last, if it is told and lies at this path.
    pub(super) fn amend_last(&mut self, path: &str, change: impl FnOnce(&mut Problem)) {
        if let Some(problem) = self.told.last_mut().filter(|problem| problem.path == path) {
            change(problem);
        }
    }

    /// Counts one more that is not told.
    pub(super) fn push_untold(&mut self) {
        self.untold += 1;
    }

    /// Whether no other one would be told.
    pub(super) fn is_full(&self) -> bool {
        self.told.len() >= MOST
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.told.is_empty()
    }

    /// The value, if no problem was met.
    ///
    /// # Errors
    /// All problems.
    pub fn into_result<T>(mut self, value: Option<T>) -> Result<T, InputError> {
        match value {
            Some(value) if self.told.is_empty() => Ok(value),
            _ => {
                self.close();
                Err(InputError {
                    problems: self.told,
                })
            }
        }
    }

    /// Says what was left untold, and never leaves an error empty.
    fn close(&mut self) {
        let (found, expected) = match (self.untold, self.told.is_empty()) {
            (0, false) => return,
            (0, true) => (
                "a document that says too little".to_owned(),
                "a complete document",
            ),
            (untold, _) => (format!("{untold} more problems"), "a document of this kind"),
        };
        self.told.push(Problem {
            code: if self.untold > 0 {
                Code::TooMany
            } else {
                Code::MissingKey
            },
            path: String::new(),
            found,
            expected: expected.to_owned(),
            hint: "Fix the others first, then read again.".to_owned(),
        });
    }
}
