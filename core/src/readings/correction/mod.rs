//! From a reading to the dose still due: what the readings of this brew say of its mash, and how
//! much acid or base brings it where it is wanted.
//!
//! A reading and a forecast are weighed: the meter is off, the sample is a sample, and the forecast
//! knows the malts by their class. What is then believed of the mash (`belief`) gives its most
//! likely pH, the dose that brings it to the middle of its range, and the chances that it lands
//! inside, or below. A dose is rounded to the scale and kept so small that the chance of ending
//! below the range, which no acid takes back, stays within the risk of the brewhouse.

mod belief;
mod document;
mod dose;
mod foreseen;
mod kettle;
mod mash;
mod runnings;
mod runnings_document;
mod sampling;

pub use document::{CorrectionDocument, DoseDueDocument};
pub use dose::DoseDue;
pub(crate) use foreseen::{Foreseen, ForeseenRow};
pub use mash::{Advice, Correction};
pub use runnings::{Runnings, RunningsAdvice, RunningsReading};
pub use runnings_document::RunningsDocument;

use underlet_tables::parameters;

use belief::{Belief, DosedMash, Observation};

use super::diagnosis::{Diagnosis, Diagnostics, Fault, MeterReading, Probe, Sample, Slip, Verdict};
use super::scenario::Scenario;
use crate::fit::{PlanError, Purpose, Solution, solve_day};
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::recipe::{self, BrewDay, Meter, Place, Vessel};

/// Acid or base that went into the mash after its first reading, in place of the rest that the plan
/// had for it.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenDose {
    /// Of the day's brews, from 1.
    pub brew: usize,
    /// Key of the reagent, one of the shelf.
    pub reagent: String,
    /// How much, g or mL.
    pub amount: f64,
    /// Minutes after mashing in.
    pub minutes: f64,
}

/// A planned brew, to be corrected by its readings as often as they come.
pub struct Corrector<'d> {
    solution: Solution<'d>,
    scenario: Scenario<'d>,
    /// Doses when the mash is first read.
    first: Vec<f64>,
}

impl<'d> Corrector<'d> {
    /// Plans the day.
    ///
    /// # Errors
    /// [`PlanError`], where the day does not make sense or has no plan.
    pub fn of(day: &'d BrewDay) -> Result<Corrector<'d>, PlanError> {
        recipe::check(day)?;
        Ok(Corrector::planned(solve_day(day)?))
    }

    pub(crate) fn planned(solution: Solution<'d>) -> Corrector<'d> {
        let scenario = Scenario::planned(&solution);
        let first = scenario.first_doses();
        Corrector {
            first: first.unwrap_or_else(|| scenario.doses.clone()),
            solution,
            scenario,
        }
    }

    /// What the meters should show, and would show with each fault where something was read.
    ///
    /// # Errors
    /// [`PlanError`], where one of the liquors has no equilibrium.
    pub(crate) fn diagnostics(&self, readings: &[MeterReading]) -> Result<Diagnostics, PlanError> {
        let places = readings.iter().filter_map(|one| match one.sample {
            Sample::Brew(place) => Some(place),
            Sample::Known(_) => None,
        });
        Diagnostics::planned(&self.solution, &self.scenario, places)
    }

    /// Doses of the problem that are in the mash when it is first read, g or mL.
    pub fn first_doses(&self) -> &[f64] {
        &self.first
    }

    /// What the readings say of the mash of each brew that was read, and what is still due: brews of
    /// one day share water, malts and meters. `given` is what went into the mash after its first
    /// reading, in place of the rest that the plan had for it; `None` where it was that. The order of
    /// either does not matter.
    pub fn mashes(
        &self,
        readings: &[MeterReading],
        given: Option<&[GivenDose]>,
    ) -> Vec<Correction> {
        self.mashes_diagnosed(readings, given, None)
    }

    /// The same where a diagnosis names what is wrong: acid that was forgotten is given as the plan
    /// says.
    pub fn mashes_diagnosed(
        &self,
        readings: &[MeterReading],
        given: Option<&[GivenDose]>,
        diagnosis: Option<&Diagnosis>,
    ) -> Vec<Correction> {
        let brew = self.brew(given, diagnosis);
        let brews = 1..=self.solution.day.brews;
        let corrections = brews.filter_map(|number| brew.mash_correction(number, readings));
        corrections.collect()
    }

    /// The same of the full kettles, before their acid: what is due takes the place of the plan's.
    pub fn kettles(
        &self,
        readings: &[MeterReading],
        given: Option<&[GivenDose]>,
        diagnosis: Option<&Diagnosis>,
    ) -> Vec<Correction> {
        let brew = self.brew(given, diagnosis);
        let brews = 1..=self.solution.day.brews;
        let corrections = brews.filter_map(|number| brew.kettle_correction(number, readings));
        corrections.collect()
    }

    /// What to do about the runnings of each brew that were read, in the order in which they were
    /// taken; none on a day without a sparge. The readings say where the mash was, and how the probe
    /// reads in buffers.
    pub fn runnings(
        &self,
        runnings: &[RunningsReading],
        readings: &[MeterReading],
        given: Option<&[GivenDose]>,
    ) -> Vec<Runnings> {
        let brew = self.brew(given, None);
        let brews = 1..=self.solution.day.brews;
        let found = brews.filter_map(|number| brew.runnings(number, runnings, readings));
        found.collect()
    }

    /// Mashes and kettles of all brews that were read, the mashes first.
    pub fn corrections(
        &self,
        readings: &[MeterReading],
        given: Option<&[GivenDose]>,
        diagnosis: Option<&Diagnosis>,
    ) -> Vec<Correction> {
        let mut corrections = self.mashes_diagnosed(readings, given, diagnosis);
        corrections.extend(self.kettles(readings, given, diagnosis));
        corrections
    }

    /// A brew as it went so far.
    fn brew<'c>(
        &'c self,
        given: Option<&'c [GivenDose]>,
        diagnosis: Option<&Diagnosis>,
    ) -> Brew<'c, 'd> {
        Brew {
            solution: &self.solution,
            scenario: &self.scenario,
            first: &self.first,
            given,
            forgotten: diagnosis.and_then(|diagnosis| self.forgotten(diagnosis)),
        }
    }

    /// The acid for the mash that a diagnosis finds forgotten.
    fn forgotten(&self, diagnosis: &Diagnosis) -> Option<Forgotten> {
        if diagnosis.verdict != Verdict::Fault {
            return None;
        }
        let mut faults = diagnosis
            .explanations
            .iter()
            .filter_map(|one| one.fault.as_ref());
        let Fault::Addition {
            step,
            brew,
            slip: Slip::Forgotten,
            ..
        } = faults.next()?
        else {
            return None;
        };
        let mut steps = self.solution.steps.iter();
        let step = steps.find(|one| one.number == *step)?;
        let (Purpose::Fit(place), Vessel::MashTun) = (step.purpose, step.vessel) else {
            return None;
        };
        step.preparation.is_acid().then_some(Forgotten {
            place,
            amount: step.amount,
            brew: *brew,
        })
    }
}

/// An acid for the mash that was forgotten.
struct Forgotten {
    /// Its place among the doses of the problem.
    place: usize,
    /// What the plan has for it before the mash is read, mL or g.
    amount: f64,
    /// In which brew; `None` where it is all of them.
    brew: Option<usize>,
}

/// A brew as it went so far.
struct Brew<'c, 'd> {
    solution: &'c Solution<'d>,
    scenario: &'c Scenario<'d>,
    first: &'c [f64],
    given: Option<&'c [GivenDose]>,
    forgotten: Option<Forgotten>,
}

impl Brew<'_, '_> {
    fn forgotten_in(&self, brew: usize) -> Option<&Forgotten> {
        let forgotten = self.forgotten.as_ref();
        forgotten.filter(|one| one.brew.is_none_or(|of| of == brew))
    }

    /// Doses of a brew without what was forgotten in it.
    fn without_forgotten(&self, brew: usize, doses: &[f64]) -> Vec<f64> {
        let mut doses = doses.to_vec();
        if let Some(forgotten) = self.forgotten_in(brew)
            && let Some(dose) = doses.get_mut(forgotten.place)
        {
            *dose = math::at_least(*dose - forgotten.amount, 0.0);
        }
        doses
    }

    /// What is in the mash when a reading is taken.
    fn doses_at(&self, reading: &MeterReading) -> Vec<f64> {
        match reading.sample {
            Sample::Brew(Place::MashFirst) => {
                self.with_given(reading.brew, reading.minutes.unwrap_or(0.0))
            }
            _ if self.given.is_none() => self.without_forgotten(reading.brew, &self.scenario.doses),
            _ => self.with_given(reading.brew, reading.minutes.unwrap_or(f64::INFINITY)),
        }
    }

    /// What is in the mash of a brew after all that was read and given.
    fn doses_now(&self, brew: usize, readings: &[MeterReading]) -> Vec<f64> {
        let is_last =
            |one: &MeterReading| one.brew == brew && one.sample == Sample::Brew(Place::Mash);
        if self.given.is_none() && readings.iter().any(is_last) {
            return self.without_forgotten(brew, &self.scenario.doses);
        }
        self.with_given(brew, f64::INFINITY)
    }

    /// The first doses of a brew with what was given until some minutes after mashing in.
    fn with_given(&self, brew: usize, minutes: f64) -> Vec<f64> {
        let mut doses = self.without_forgotten(brew, self.first);
        let given = self.given.unwrap_or_default().iter();
        for given in given.filter(|given| given.brew == brew && given.minutes <= minutes) {
            let options = self.scenario.problem.doses.iter().zip(&mut doses);
            let mut of_mash = options.filter(|(option, _)| {
                option.vessel == Vessel::MashTun && option.preparation.reagent.key == given.reagent
            });
            if let Some((_, dose)) = of_mash.next() {
                *dose += given.amount;
            }
        }
        doses
    }

    /// How many causes make the acid uncertain that a mash misses.
    fn causes(&self) -> usize {
        let forecast = self.solution.forecast.ph;
        self.mash(self.first).missing(forecast).by_cause_eq.len()
    }

    fn mash(&self, doses: &[f64]) -> DosedMash<'_> {
        let (problem, shares) = (&self.scenario.problem, &self.scenario.shares);
        let mash = problem.mash(problem.liquors(shares, doses).mash);
        // A little more or less acid is as uncertain as the planned one.
        DosedMash::new(mash, &self.solution.uncertainty.doses)
    }

    /// What is believed after readings of the mash, and of known samples by the same probes. One
    /// outside its forecast counts as one at its end: then something else is wrong, and nothing is
    /// known of how much.
    fn belief(&self, readings: &[MeterReading]) -> Belief {
        let observed = readings.iter().filter_map(|one| self.believable(one));
        Belief::after(observed.collect())
    }

    /// How many standard deviations the farthest reading lies from what was foretold and from the
    /// others.
    fn farthest_off(&self, readings: &[MeterReading]) -> f64 {
        let observed = readings.iter().filter_map(|one| self.observation(one));
        Belief::after(observed.collect()).farthest_off()
    }

    /// How far a probe is off in a buffer, where that is more than a sound one is.
    fn off_in_buffer(&self, readings: &[MeterReading]) -> Option<f64> {
        let known = readings.iter().filter(|one| one.meter == Meter::Ph);
        let off = known.filter_map(|one| match one.sample {
            Sample::Known(stated) => Some((one.value - stated, self.observation(one)?)),
            Sample::Brew(_) => None,
        });
        let mut off = off.filter(|(_, seen)| seen.deviates_by().abs() > mash::FAR_OFF);
        off.next().map(|(off, _)| off)
    }

    /// An observation that lies no farther off than is believed.
    fn believable(&self, reading: &MeterReading) -> Option<Observation> {
        let seen = self.observation(reading)?;
        let off = seen.deviates_by();
        if !reading.is_mash_ph() || off.abs() <= TWO_SIDED_95 {
            return Some(seen);
        }
        let moved = |by: f64| MeterReading {
            value: reading.value - by * off.signum(),
            ..*reading
        };
        let too_far = |by: f64| {
            let seen = self.observation(&moved(by));
            seen.map_or(0.0, |seen| seen.deviates_by() * off.signum() - TWO_SIDED_95)
        };
        let by = math::falling_root(too_far, 0.0, MOST_MOVED_PH);
        self.observation(&moved(by.unwrap_or_else(NoRoot::nearer_end)))
    }

    fn observation(&self, reading: &MeterReading) -> Option<Observation> {
        if let (Sample::Known(stated), Meter::Ph) = (reading.sample, reading.meter) {
            return Some(Observation {
                off: reading.value - stated,
                by_cause: vec![0.0; self.causes()],
                by_probe: by_probe(reading.probe, Meter::Ph.offset_sd(stated)),
                own_sd: Meter::Ph.known_sd(stated),
            });
        }
        if !reading.is_mash_ph() {
            return None;
        }
        let [ph, sampled_sd] = reading.cooled_and_in_time();
        let missing = self.mash(&self.doses_at(reading)).missing(ph);
        let per_ph = missing.buffering_eq_per_ph;
        let own_sd = math::root_of_squares([
            parameters::MASH_PH_DEFINITION_SD.value,
            parameters::BENCH_PH_REPEAT_SD.value,
            sampled_sd,
        ]);
        Some(Observation {
            off: -missing.mean_eq,
            by_cause: missing.by_cause_eq,
            by_probe: by_probe(reading.probe, per_ph * Meter::Ph.offset_sd(ph)),
            own_sd: per_ph * own_sd,
        })
    }
}

/// The readings that a diagnosis compares with the plan: of a brew whose doses went otherwise once
/// it was read, the mash is not what the plan foretells from then on, nor is its kettle.
pub(crate) fn comparable(
    readings: &[MeterReading],
    given: Option<&[GivenDose]>,
) -> Vec<MeterReading> {
    let is_later = |one: &&MeterReading| {
        matches!(one.sample, Sample::Brew(Place::Mash | Place::Kettle)) && given.is_some()
    };
    readings
        .iter()
        .filter(|one| !is_later(one))
        .copied()
        .collect()
}

/// How far a reading is moved at most to where it is believed, pH.
const MOST_MOVED_PH: f64 = 4.0;
fn by_probe(probe: Probe, sd: f64) -> [f64; belief::PROBES] {
    match probe {
        Probe::Usual => [sd, 0.0],
        Probe::Second => [0.0, sd],
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
