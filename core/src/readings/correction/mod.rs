//! From a reading to the dose still due: what the readings of this brew say of its mash, and how
//! much acid or base brings it where it is wanted.
//!
//! A reading and a forecast are weighed: the meter is off, the sample is a sample, and the forecast
//! knows the malts by their class. What is then believed of the mash (`belief`) gives its most
//! likely pH, the dose that brings it to the middle of its range, and the chances that it lands
//! inside, or below. A dose is rounded to the scale and kept so small that the chance of ending
//! below the range, which no acid takes back, stays within the risk of the brewhouse.

mod belief;
mod dose;
mod mash;
mod taken;

pub use dose::DoseDue;
pub use mash::{Advice, MashCorrection};
pub use taken::TakenReading;

use belief::{Belief, DosedMash, Observation};

use super::diagnosis::{Probe, Sample};
use super::scenario::Scenario;
use crate::fit::{BrewUncertainty, PlanError, Solution, solve_day};
use crate::recipe::{self, BrewDay, Meter, Place, Vessel};

/// Acid or base that went into the mash after its first reading, in place of the rest that the plan
/// had for it.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenDose {
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

    /// Doses of the problem that are in the mash when it is first read, g or mL.
    pub fn first_doses(&self) -> &[f64] {
        &self.first
    }

    /// What the readings of the mash say, and what is still due; `None` where there is none.
    /// `given` is what went into the mash after its first reading, in place of the rest that the
    /// plan had for it; `None` where it was that. The order of either does not matter.
    pub fn mash(
        &self,
        taken: &[TakenReading],
        given: Option<&[GivenDose]>,
    ) -> Option<MashCorrection> {
        let brew = Brew {
            solution: &self.solution,
            scenario: &self.scenario,
            first: &self.first,
            given,
        };
        brew.mash_correction(taken)
    }
}

/// A brew as it went so far.
struct Brew<'c, 'd> {
    solution: &'c Solution<'d>,
    scenario: &'c Scenario<'d>,
    first: &'c [f64],
    given: Option<&'c [GivenDose]>,
}

impl<'d> Brew<'_, 'd> {
    /// What is in the mash when a reading is taken.
    fn doses_at(&self, taken: &TakenReading) -> Vec<f64> {
        let minutes = taken.minutes.unwrap_or(f64::INFINITY);
        match taken.reading.sample {
            Sample::Brew(Place::MashFirst) => self.with_given(taken.minutes.unwrap_or(0.0)),
            _ if self.given.is_none() => self.scenario.doses.clone(),
            _ => self.with_given(minutes),
        }
    }

    /// What is in the mash after all that was read and given.
    fn doses_now(&self, taken: &[TakenReading]) -> Vec<f64> {
        let is_last = |one: &TakenReading| one.reading.sample == Sample::Brew(Place::Mash);
        if self.given.is_none() && taken.iter().any(is_last) {
            return self.scenario.doses.clone();
        }
        self.with_given(f64::INFINITY)
    }

    /// The first doses with what was given until some minutes after mashing in.
    fn with_given(&self, minutes: f64) -> Vec<f64> {
        let mut doses = self.first.to_vec();
        let given = self.given.unwrap_or_default().iter();
        for given in given.filter(|given| given.minutes <= minutes) {
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

    fn mash(&self, doses: &[f64]) -> DosedMash<'d> {
        let (problem, shares) = (&self.scenario.problem, &self.scenario.shares);
        let mash = problem.mash(problem.liquors(shares, doses).mash);
        let uncertainty = BrewUncertainty::of(self.scenario.day, problem, shares, doses, &mash);
        DosedMash::new(mash, uncertainty.doses)
    }

    /// What is believed after readings of the mash, and of known samples by the same probes.
    fn belief(&self, taken: &[TakenReading]) -> Belief {
        let observed = taken.iter().filter_map(|one| self.observation(one));
        Belief::after(observed.collect())
    }

    fn observation(&self, taken: &TakenReading) -> Option<Observation> {
        let reading = &taken.reading;
        if let (Sample::Known(stated), Meter::Ph) = (reading.sample, reading.meter) {
            return Some(Observation {
                off: reading.value - stated,
                by_cause: Vec::new(),
                by_probe: by_probe(reading.probe, Meter::Ph.offset_sd(stated)),
                own_sd: Meter::Ph.known_sd(stated),
            });
        }
        if !taken.is_of_mash() {
            return None;
        }
        let cooled = taken.cooled_and_late();
        let missing = self.mash(&self.doses_at(taken)).missing(cooled.ph);
        let per_ph = missing.buffering_eq_per_ph;
        Some(Observation {
            off: -missing.mean_eq,
            by_cause: missing.by_cause_eq,
            by_probe: by_probe(cooled.probe, per_ph * Meter::Ph.offset_sd(cooled.ph)),
            own_sd: per_ph * cooled.own_sd,
        })
    }
}

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
