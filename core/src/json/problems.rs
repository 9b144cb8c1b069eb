//! The problems of one document, gathered.

use crate::error::{ErrorCode, InputError, Problem};

/// Most problems that are reported; a document with more has one cause that the first ones show.
const MOST: usize = 100;

/// Gathers the problems of a document.
#[derive(Debug, Default)]
pub struct Problems {
    reported: Vec<Problem>,
    unreported: usize,
}

impl Problems {
    /// None yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds one.
    pub fn push(&mut self, problem: Problem) {
        if self.reported.len() < MOST {
            self.reported.push(problem);
        } else {
            self.unreported += 1;
        }
    }

    /// Changes the one added last, if it is reported and lies at this path.
    pub(super) fn amend_last(&mut self, path: &str, change: impl FnOnce(&mut Problem)) {
        if let Some(problem) = self
            .reported
            .last_mut()
            .filter(|problem| problem.path == path)
        {
            change(problem);
        }
    }

    /// Counts one more that is not reported.
    pub(super) fn push_unreported(&mut self) {
        self.unreported += 1;
    }

    /// Whether no other one would be reported.
    pub(super) fn is_full(&self) -> bool {
        self.reported.len() >= MOST
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.reported.is_empty()
    }

    /// The value, if no problem was met.
    ///
    /// # Errors
    /// All problems.
    pub fn into_result<T>(mut self, value: Option<T>) -> Result<T, InputError> {
        match value {
            Some(value) if self.reported.is_empty() => Ok(value),
            _ => {
                self.close();
                Err(InputError::of(self.reported))
            }
        }
    }

    /// Says what was left unreported.
    fn close(&mut self) {
        if self.unreported == 0 {
            return;
        }
        self.reported.push(Problem {
            code: ErrorCode::TooMany,
            path: String::new(),
            found: format!("{} more problems", self.unreported),
            expected: "a document of this kind".to_owned(),
            hint: "Fix the others first, then read again.".to_owned(),
        });
    }
}
