//! One error type. Every problem says which field, what was read, what was expected and how to fix
//! it; all problems of one input travel together in an [`InputError`].

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Declares codes once: the enum, the stable short text of each, and the list of all.
macro_rules! codes {
    ($(#[doc = $about:literal])+ pub enum $codes:ident { $($(#[doc = $doc:literal])+ $name:ident = $text:literal,)+ }) => {
        $(#[doc = $about])+
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        #[derive(serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
        #[non_exhaustive]
        pub enum $codes {
            $($(#[doc = $doc])+ #[serde(rename = $text)] $name,)+
        }

        impl $codes {
            /// Every code, in the order of this list.
            pub const ALL: &'static [$codes] = &[$($codes::$name,)+];

            /// The code as it appears in JSON, in Python and in JavaScript.
            pub const fn as_str(self) -> &'static str {
                match self { $($codes::$name => $text,)+ }
            }

            /// One line on what the code means.
            pub fn meaning(self) -> &'static str {
                match self { $($codes::$name => concat!($($doc,)+).trim_start(),)+ }
            }

            /// The code of that text.
            pub fn from_key(key: &str) -> Option<$codes> {
                $codes::ALL.iter().copied().find(|code| code.as_str() == key)
            }
        }

        impl PartialEq<str> for $codes {
            fn eq(&self, text: &str) -> bool {
                self.as_str() == text
            }
        }

        impl PartialEq<&str> for $codes {
            fn eq(&self, text: &&str) -> bool {
                self.as_str() == *text
            }
        }

        impl std::fmt::Display for $codes {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.as_str())
            }
        }
    };
}
pub(crate) use codes;

codes! {
    /// Stable short code of a problem: programs match on it, so a code is never renamed.
    pub enum ErrorCode {
        /// The text is not JSON; line and column are given.
        JsonSyntax = "json_syntax",
        /// The document's format version is not one this engine reads.
        WrongVersion = "wrong_version",
        /// A document of another kind was expected.
        WrongDocument = "wrong_document",
        /// A value of another kind was expected: a list, an object, text, true or false.
        WrongType = "wrong_type",
        /// A key that must be given is missing.
        MissingKey = "missing_key",
        /// A key this document does not have; the nearest known one is suggested.
        UnknownKey = "unknown_key",
        /// A name that is not in the list it should come from; the nearest is suggested.
        UnknownName = "unknown_name",
        /// The text does not begin with a number.
        NotANumber = "not_a_number",
        /// NaN or an infinity.
        NotFinite = "not_finite",
        /// The text is not a calendar day of the form YYYY-MM-DD.
        NotADate = "not_a_date",
        /// A unit that is unknown, or that measures something else.
        WrongUnit = "wrong_unit",
        /// Below or above what this quantity can be.
        OutOfRange = "out_of_range",
        /// A range whose low end lies above its high end.
        RangeReversed = "range_reversed",
        /// A list that must hold something is empty.
        EmptyList = "empty_list",
        /// A list is longer than a brew day can have.
        TooMany = "too_many",
        /// The same thing is given twice.
        Duplicate = "duplicate",
        /// Two values that cannot both be right.
        Contradiction = "contradiction",
        /// More liquor is drawn than a vessel holds or a source can give.
        Overdraw = "overdraw",
        /// More comes into a vessel, or swells in it on heating, than it holds.
        Overflow = "overflow",
        /// A tank is heated, held or dosed without water.
        Dry = "dry",
        /// A liquor that has no equilibrium the engine could find.
        NoEquilibrium = "no_equilibrium",
        /// The day makes sense, but no proven plan of it was found.
        NoPlan = "no_plan",
    }
}

/// One thing wrong with an input.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Problem {
    /// Stable short code.
    pub code: ErrorCode,
    /// Where: the field's path, such as `grist[1].mass`; empty for the whole document.
    pub path: String,
    /// What was read there.
    pub found: String,
    /// What was expected.
    pub expected: String,
    /// How to fix it.
    pub hint: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = if self.path.is_empty() {
            "the document"
        } else {
            &self.path
        };
        write!(
            f,
            "{path}: found {}; expected {}. {} [{}]",
            self.found, self.expected, self.hint, self.code
        )
    }
}

impl std::error::Error for Problem {}

/// All problems of one input, in the order of its fields. Never empty.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct InputError {
    /// The problems, first field first.
    pub problems: Vec<Problem>,
}

impl InputError {
    /// These problems. Where there are none, the input says too little for a value.
    pub(crate) fn of(mut problems: Vec<Problem>) -> InputError {
        if problems.is_empty() {
            problems.push(Problem {
                code: ErrorCode::MissingKey,
                path: String::new(),
                found: "a document that says too little".to_owned(),
                expected: "a complete document".to_owned(),
                hint: "Compare it with the documentation of this kind of document.".to_owned(),
            });
        }
        InputError { problems }
    }

    /// The same problems of a part of a document that lies at a path.
    pub(crate) fn within(mut self, path: &str) -> InputError {
        for problem in &mut self.problems {
            problem.path = join(path, &problem.path);
        }
        self
    }
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.problems.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for InputError {}

impl From<Problem> for InputError {
    fn from(problem: Problem) -> InputError {
        InputError::of(vec![problem])
    }
}

/// A path within a path.
pub(crate) fn join(outer: &str, inner: &str) -> String {
    match (outer, inner) {
        ("", path) | (path, "") => path.to_owned(),
        (outer, inner) => format!("{outer}.{inner}"),
    }
}
