//! Why readings cannot be diagnosed.

use std::fmt;

use crate::fit::PlanError;
use crate::recipe::{Meter, Place};

/// Why readings cannot be diagnosed.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum DiagnosisError {
    /// The day has no plan.
    Plan(PlanError),
    /// A reading, counted from 0, is of something that this day does not predict.
    NotPredicted {
        /// Which.
        reading: usize,
        /// Where.
        place: Place,
        /// By what.
        meter: Meter,
    },
    /// A reading, counted from 0, is said to be of a brew that the day does not have.
    NoSuchBrew {
        /// Which.
        reading: usize,
        /// Of which brew.
        brew: usize,
        /// How many brews it can be of: 1 where all brews share what was read.
        brews: usize,
    },
    /// A reading, counted from 0, is not a number, or beyond what its meter shows.
    NotAReading {
        /// Which.
        reading: usize,
    },
    /// The error bars of what the meters should show differ by more than double precision can hold.
    NotComparable,
}

impl fmt::Display for DiagnosisError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            DiagnosisError::Plan(error) => write!(f, "{error}"),
            DiagnosisError::NotPredicted {
                reading,
                place,
                meter,
            } => write!(
                f,
                "reading {}: the plan of this day does not predict {} {}",
                reading + 1,
                place.label(),
                meter.label()
            ),
            DiagnosisError::NoSuchBrew {
                reading,
                brew,
                brews: 1,
            } => write!(
                f,
                "reading {}: of brew {brew}, where there is one brew or all brews share what was \
                 read",
                reading + 1
            ),
            DiagnosisError::NoSuchBrew {
                reading,
                brew,
                brews,
            } => write!(
                f,
                "reading {}: of brew {brew} on a day of {brews} brews",
                reading + 1
            ),
            DiagnosisError::NotAReading { reading } => write!(
                f,
                "reading {}: not what a meter can show; pH 0 to 14, 0 to 100 000 µS/cm, −10 to \
                 110 °C",
                reading + 1
            ),
            DiagnosisError::NotComparable => f.write_str(
                "the error bars of what the meters should show differ too much in size to compare \
                 readings with",
            ),
        }
    }
}

impl std::error::Error for DiagnosisError {}

impl From<PlanError> for DiagnosisError {
    fn from(error: PlanError) -> DiagnosisError {
        DiagnosisError::Plan(error)
    }
}
