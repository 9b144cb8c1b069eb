//! Reconciliation: today's water from a report and this morning's bench, the amounts that fit all
//! of it best.
//!
//! Weighted least squares over the amounts of the ions, alkalinity and carbon, with the charge
//! balance exact and amounts not below zero. Conductivity and pH go through [`crate::aqueous`]; an
//! ion that nobody measured keeps a weak belief in what is usual. Out of it come standard
//! deviations, the chi-square test of the whole and the *measurement test* of each part (Mah &
//! Tamhane 1982, AIChE Journal 28, 828; Narasimhan & Jordache 2000, *Data Reconciliation and Gross
//! Error Detection*, ch. 7).
//!
//! Where it is coarse: measurements are treated as independent of each other (a report's ageing
//! moves all of its ions together in a real supply), errors as normal, and standard deviations as
//! known.

mod gauss_newton;
mod interval;
mod measurements;
mod model;
mod reconciled_water;

use std::fmt;

use underlet_tables::parameters;

use super::entry::{Subject, WaterReport};
use crate::aqueous::EquilibriumError;
use crate::optimise::{ProgrammeError, Trace};
use measurements::Gathered;
use model::Model;

pub use interval::Estimate;
pub use measurements::{Measurement, Origin};
pub use model::Unknown;
pub use reconciled_water::{Disagreement, ReconciledWater, Residual};

/// Why there is no reconciled water.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ReconcileError {
    /// Neither report nor bench says anything about amounts, alkalinity, hardness, conductivity,
    /// solids or pH.
    NothingMeasured,
    /// The water that the measurements start from has no equilibrium.
    Equilibrium(EquilibriumError),
    /// The numbers cannot be put into one programme.
    Programme(ProgrammeError),
    /// The search for the water ended without one: the measurements contradict each other by tens
    /// of standard deviations.
    NotConverged(Unfinished),
}

/// Why the search for the water that fits best ended without it. What it had by then is not handed
/// out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Unfinished {
    /// It took all the iterations it may.
    IterationLimit {
        /// Iterations taken.
        iterations: u64,
    },
    /// No step, however short, lowers the sum of squares as its straight lines promise.
    NoDescent,
    /// The quadratic programme of a step has no certified optimum.
    StepNotSolved,
}

impl fmt::Display for ReconcileError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ReconcileError::NothingMeasured => {
                f.write_str("neither the report nor the bench measured anything to start from")
            }
            ReconcileError::Equilibrium(error) => {
                write!(f, "the water has no equilibrium: {error}")
            }
            ReconcileError::Programme(error) => {
                write!(f, "the measurements make no programme: {error}")
            }
            ReconcileError::NotConverged(why) => {
                write!(
                    f,
                    "the measurements contradict each other too much for any one water ({why})"
                )
            }
        }
    }
}

impl fmt::Display for Unfinished {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unfinished::IterationLimit { iterations } => {
                write!(f, "the search did not converge in {iterations} iterations")
            }
            Unfinished::NoDescent => f.write_str("no step of the search brings them nearer"),
            Unfinished::StepNotSolved => {
                f.write_str("their numbers differ too much in size for a step of the search")
            }
        }
    }
}

impl std::error::Error for ReconcileError {}

impl From<EquilibriumError> for ReconcileError {
    fn from(error: EquilibriumError) -> Self {
        ReconcileError::Equilibrium(error)
    }
}

impl From<ProgrammeError> for ReconcileError {
    fn from(error: ProgrammeError) -> Self {
        ReconcileError::Programme(error)
    }
}

impl From<Unfinished> for ReconcileError {
    fn from(why: Unfinished) -> Self {
        ReconcileError::NotConverged(why)
    }
}

/// Today's water, from a report and the bench; see [`WaterReport::reconcile`].
pub(crate) fn reconcile(
    report: &WaterReport,
    bench: &WaterReport,
    trace: Option<&Trace>,
) -> Result<ReconciledWater, ReconcileError> {
    let gathered = Gathered::of(report, bench);
    let says_something = |m: &Measurement| m.subject != Subject::Ph;
    if !gathered.measurements.iter().any(says_something) {
        return Err(ReconcileError::NothingMeasured);
    }
    let Gathered {
        measurements,
        unused,
    } = gathered.completed();
    let sample_c = parameters::SAMPLE_TEMPERATURE.value;
    let stated = |water: &WaterReport| water.temperature_c.filter(|celsius| celsius.is_finite());
    let report_c = stated(report).unwrap_or(sample_c);
    let today_c = stated(bench).unwrap_or(report_c);
    let model = Model::new(measurements, report_c, today_c);
    let best = gauss_newton::best(&model, trace)?;
    ReconciledWater::of(&model, &best, unused)
}
