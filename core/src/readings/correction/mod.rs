//! From a reading to the dose still due: what the readings of this brew say of its mash, and how
//! much acid or base brings it where it is wanted.
//!
//! A reading and a forecast are weighed: the meter is off, the sample is a sample, and the forecast
//! knows the malts by their class. What is then believed of the mash (`belief`) gives its most
//! likely pH, the dose that brings it to the middle of its range, and the chances that it lands
//! inside, or below. A dose is rounded to the scale and kept so small that the chance of ending
//! below the range, which no acid takes back, stays within the risk of the brewhouse.

mod belief;
mod brew;
mod causes;
mod document;
mod dose;
mod foreseen;
mod kettle;
mod liquor;
mod liquor_document;
mod log;
mod mash;
mod observed;
mod runnings;
mod runnings_document;
mod sampling;

pub use document::{CorrectionDocument, DoseDueDocument};
pub use dose::DoseDue;
pub(crate) use foreseen::{Foreseen, ForeseenRow};
pub use liquor::{LiquorCorrection, Pour};
pub use liquor_document::{LiquorCorrectionDocument, PourDocument};
pub use log::{BrewLog, GivenDose, PouredAcid};
use mash::last_of;
pub use mash::{Advice, Correction};
pub use runnings::{Runnings, RunningsAdvice, RunningsReading};
pub use runnings_document::RunningsDocument;

use std::borrow::Cow;

use brew::{Brew, Forgotten};

use super::diagnosis::{Diagnosis, DiagnosisError, Diagnostics, Fault, Sample, Slip, with_slip};
use super::scenario::Scenario;
use crate::fit::{PlanError, Purpose, Solution, solve_day};
use crate::recipe::{self, BrewDay, Meter};

/// A planned brew, to be corrected by its readings as often as they come.
pub struct Corrector<'d> {
    solution: Solution<'d>,
    scenario: Scenario<'d>,
}

/// What a day that was read still needs.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Corrections {
    /// Of each liquor that was read and that acid is poured into, in the order of work.
    pub liquors: Vec<LiquorCorrection>,
    /// Of the mash of each brew that was read.
    pub mashes: Vec<Correction>,
    /// Of the full kettle of each brew that was read, before its acid: what is due takes the place
    /// of the plan's.
    pub kettles: Vec<Correction>,
    /// Of the runnings of each brew that were read.
    pub runnings: Vec<Runnings>,
}

impl<'d> Corrector<'d> {
    /// Plans the day.
    ///
    /// # Errors
    /// [`PlanError`], where the day does not make sense or has no plan.
    pub fn of(day: &'d BrewDay) -> Result<Corrector<'d>, PlanError> {
        recipe::check(day)?;
        let solution = solve_day(day)?;
        Ok(Corrector {
            scenario: Scenario::planned(&solution),
            solution,
        })
    }

    /// Doses of the problem that are in the mash when it is first read, g or mL.
    pub fn first_doses(&self) -> Vec<f64> {
        let first = self.scenario.first_doses();
        first.unwrap_or_else(|| self.scenario.doses.clone())
    }

    /// What the meters should show with what was poured, and would show with each fault where
    /// something was read.
    ///
    /// # Errors
    /// [`PlanError`], where one of the liquors has no equilibrium.
    pub(crate) fn diagnostics(&self, log: &BrewLog) -> Result<Diagnostics, PlanError> {
        let places = log.readings.iter().filter_map(|one| match one.sample {
            Sample::Brew(place) => Some(place),
            Sample::Known(_) => None,
        });
        Diagnostics::planned(&self.solution, &self.as_poured(log), places)
    }

    /// What the readings say, and what is still due; acid for the mash that the diagnosis finds
    /// forgotten is given as the plan says.
    ///
    /// # Errors
    /// [`DiagnosisError`].
    pub fn diagnosed(&self, log: &BrewLog) -> Result<(Diagnosis, Corrections), DiagnosisError> {
        let diagnosis = self.diagnostics(log)?.diagnose(&log.comparable())?;
        let corrections = self.corrections(log, Some(&diagnosis))?;
        Ok((diagnosis, corrections))
    }

    /// What is still due where nothing is taken to have slipped. Brews of one day share water,
    /// malts and meters, so that readings of one say something of another; their order does not
    /// matter.
    ///
    /// # Errors
    /// [`PlanError`], where one of the liquors has no equilibrium.
    pub fn correct(&self, log: &BrewLog) -> Result<Corrections, PlanError> {
        self.corrections(log, None)
    }

    /// The same, with what a diagnosis found.
    pub(crate) fn corrections(
        &self,
        log: &BrewLog,
        diagnosis: Option<&Diagnosis>,
    ) -> Result<Corrections, PlanError> {
        let fault = diagnosis.and_then(Diagnosis::fault);
        let poured = self.as_poured(log);
        let slipped = fault.and_then(|fault| with_slip(&self.solution, &poured, fault));
        let scenario = slipped.map_or(poured, Cow::Owned);
        let brew = Brew::new(&self.solution, &scenario, log.given.as_deref());
        let mut brew = brew.with_liquors(&self.scenario, &log.readings)?;
        brew.forgotten = fault.and_then(|fault| self.forgotten(fault));
        brew.is_probe_off = matches!(
            fault,
            Some(Fault::Probe {
                meter: Meter::Ph,
                ..
            })
        );
        let (brews, readings) = (1..=self.solution.day.brews, log.readings.as_slice());
        let mashes = brews
            .clone()
            .filter_map(|number| brew.mash_correction(number, readings));
        let kettles = brews
            .clone()
            .filter_map(|number| brew.kettle_correction(number, readings));
        let runnings = brews.filter_map(|number| brew.runnings(number, &log.runnings, readings));
        Ok(Corrections {
            liquors: brew.liquor_corrections(readings),
            mashes: mashes.collect(),
            kettles: kettles.collect(),
            runnings: runnings.collect(),
        })
    }

    /// The day with what the liquors really took of their acid.
    fn as_poured(&self, log: &BrewLog) -> Cow<'_, Scenario<'d>> {
        if log.poured.is_empty() {
            return Cow::Borrowed(&self.scenario);
        }
        let mut scenario = self.scenario.clone();
        for poured in &log.poured {
            let options = scenario.problem.doses.iter().zip(&mut scenario.doses);
            let mut of_vessel = options.filter(|(option, _)| {
                option.vessel == poured.vessel && option.preparation.reagent.key == poured.reagent
            });
            if let Some((_, dose)) = of_vessel.next() {
                *dose = poured.amount;
            }
        }
        Cow::Owned(scenario)
    }

    /// The acid for the mash that was forgotten.
    fn forgotten(&self, fault: &Fault) -> Option<Forgotten> {
        let Fault::Addition {
            step,
            brew,
            slip: Slip::Forgotten,
            ..
        } = fault
        else {
            return None;
        };
        let mut steps = self.solution.steps.iter();
        let step = steps.find(|one| one.number == *step)?;
        let Purpose::Fit(place) = step.purpose else {
            return None;
        };
        step.is_acid_for_mash().then_some(Forgotten {
            place,
            amount: step.amount,
            brew: *brew,
        })
    }
}

/// Middle of what a pH should be: the preferred point, the middle of the range, or what the plan
/// makes it where an end is open.
fn middle(solution: &Solution<'_>) -> Option<f64> {
    let range = solution.day.targets.mash_ph.as_ref()?;
    let between = range
        .low
        .zip(range.high)
        .map(|(low, high)| (low + high) / 2.0);
    Some(range.prefer.or(between).unwrap_or(solution.forecast.ph))
}
