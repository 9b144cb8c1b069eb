//! Why a programme cannot be set up.

use std::fmt;

use super::limit::{Limit, Span};

/// The part of a programme an error speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// The matrix H.
    Hessian,
    /// The vector g.
    Gradient,
    /// A variable's span.
    Bound(usize),
    /// A row: its coefficients or its span.
    Row(usize),
}

impl fmt::Display for Part {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Part::Hessian => f.write_str("the curvature matrix"),
            Part::Gradient => f.write_str("the gradient"),
            Part::Bound(j) => write!(f, "the bounds of variable {j}"),
            Part::Row(i) => write!(f, "row {i}"),
        }
    }
}

/// Why a programme cannot be set up.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum ProgrammeError {
    /// There is no variable to choose.
    NoVariables,
    /// A list has the wrong length.
    Dimension {
        /// Which list.
        part: Part,
        /// Length it must have.
        expected: usize,
        /// Length it has.
        found: usize,
    },
    /// NaN, or an infinity where none can stand.
    NotFinite {
        /// Where.
        part: Part,
    },
    /// The low end lies above the high end.
    Reversed {
        /// Whose span.
        part: Part,
        /// Its low end.
        low: f64,
        /// Its high end.
        high: f64,
    },
    /// H differs from its transpose at this place.
    NotSymmetric {
        /// Row in H.
        row: usize,
        /// Column in H.
        column: usize,
    },
    /// H is not positive definite to working precision; the pivot of this column vanishes.
    NotPositiveDefinite {
        /// Column in H.
        column: usize,
    },
    /// The numbers differ so much in size that the arithmetic overflows.
    OutOfScale {
        /// Where it shows.
        part: Part,
    },
    /// No variable or row has this index.
    NoSuchLimit {
        /// The given index.
        limit: Limit,
    },
}

impl fmt::Display for ProgrammeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoVariables => f.write_str("the programme has no variables"),
            Self::Dimension {
                part,
                expected,
                found,
            } => {
                write!(f, "{part}: {expected} numbers expected, {found} given")
            }
            Self::NotFinite { part } => write!(f, "{part}: a number is not finite"),
            Self::Reversed { part, low, high } => {
                write!(
                    f,
                    "{part}: the low end {low} lies above the high end {high}"
                )
            }
            Self::NotSymmetric { row, column } => {
                write!(
                    f,
                    "the curvature matrix is not symmetric at ({row}, {column})"
                )
            }
            Self::NotPositiveDefinite { column } => {
                write!(
                    f,
                    "the curvature matrix is not positive definite: column {column}"
                )
            }
            Self::OutOfScale { part } => write!(f, "{part}: the numbers are out of scale"),
            Self::NoSuchLimit {
                limit: Limit::Bound(j),
            } => write!(f, "there is no variable {j}"),
            Self::NoSuchLimit {
                limit: Limit::Row(i),
            } => write!(f, "there is no row {i}"),
        }
    }
}

impl std::error::Error for ProgrammeError {}

/// An error unless all numbers are finite and as many as expected.
pub(super) fn check_numbers(
    numbers: &[f64],
    expected: usize,
    part: Part,
) -> Result<(), ProgrammeError> {
    if numbers.len() != expected {
        return Err(ProgrammeError::Dimension {
            part,
            expected,
            found: numbers.len(),
        });
    }
    if numbers.iter().all(|v| v.is_finite()) {
        Ok(())
    } else {
        Err(ProgrammeError::NotFinite { part })
    }
}

/// An error unless the ends are in order and not NaN.
pub(super) fn check_span(span: Span, part: Part) -> Result<(), ProgrammeError> {
    let Span { low, high } = span;
    if low > high {
        return Err(ProgrammeError::Reversed { part, low, high });
    }
    let missing = low.is_nan() || high.is_nan();
    if missing || low == f64::INFINITY || high == f64::NEG_INFINITY {
        return Err(ProgrammeError::NotFinite { part });
    }
    Ok(())
}
