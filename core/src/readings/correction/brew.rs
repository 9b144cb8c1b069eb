//! A brew as it went so far: what is in it, and what is known of its liquors.

use underlet_tables::parameters;

use super::belief::DosedMash;
use super::causes::Causes;
use super::log::GivenDose;
use crate::fit::{PlanError, Solution};
use crate::math;
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::readings::interval::{Kept, UncertainSample};
use crate::readings::prediction::Prediction;
use crate::readings::samples::Samples;
use crate::readings::scenario::Scenario;
use crate::recipe::{Place, Vessel};

/// A brew as it went so far.
pub(super) struct Brew<'c, 'd> {
    pub solution: &'c Solution<'d>,
    pub scenario: &'c Scenario<'d>,
    /// Doses when the mash is first read.
    pub first: Vec<f64>,
    pub given: Option<&'c [GivenDose]>,
    pub forgotten: Option<Forgotten>,
    /// Whether a diagnosis names the probe.
    pub is_probe_off: bool,
    pub liquors: ReadLiquors,
    pub causes: Causes,
}

/// An acid for the mash that was forgotten.
#[derive(Clone, Copy)]
pub(super) struct Forgotten {
    /// Its place among the doses of the problem.
    pub place: usize,
    /// What the plan has for it before the mash is read, mL or g.
    pub amount: f64,
    /// In which brew; `None` where it is all of them.
    pub brew: Option<usize>,
}

/// The liquors of a day that were read.
#[derive(Default)]
pub(super) struct ReadLiquors {
    pub samples: Vec<(Place, UncertainSample)>,
    pub foretold: Option<Prediction>,
    /// What a meter should show in them as planned, where acid is poured to that.
    end_phs: Vec<(Place, f64)>,
}

impl ReadLiquors {
    fn of(
        planned: &Scenario<'_>,
        poured: &Scenario<'_>,
        readings: &[MeterReading],
    ) -> Result<ReadLiquors, PlanError> {
        let places = readings.iter().filter_map(|one| match one.sample {
            Sample::Brew(place) if one.is_of_liquor() => Some(place),
            _ => None,
        });
        let places: Vec<Place> = places.collect();
        if places.is_empty() {
            return Ok(ReadLiquors::default());
        }
        let [planned, poured] =
            [planned, poured].map(|scenario| scenario.sampled_at(places.iter().copied()));
        let mut samples = Samples::new();
        let (foretold, liquors) = Prediction::with_liquors(&poured, &mut samples)?;
        Ok(ReadLiquors {
            samples: liquors,
            foretold: Some(foretold),
            end_phs: end_phs(&planned, &mut samples)?,
        })
    }

    /// What a meter should show in liquor as planned; `None` where its alkalinity still holds the
    /// pH, so that a volume says more.
    pub fn end_ph(&self, place: Place) -> Option<f64> {
        let mut ends = self.end_phs.iter();
        ends.find(|(of, _)| *of == place).map(|(_, ph)| *ph)
    }

    pub fn sample(&self, place: Place) -> Option<&UncertainSample> {
        let mut samples = self.samples.iter();
        samples
            .find(|(of, _)| *of == place)
            .map(|(_, sample)| sample)
    }
}

/// What a meter should show where acid is poured to an end point: that, and once the liquor is hot
/// as much more as carbon dioxide has left.
fn end_phs(planned: &Scenario<'_>, samples: &mut Samples) -> Result<Vec<(Place, f64)>, PlanError> {
    let mut ends = Vec::new();
    for one in planned.liquors() {
        let [as_dosed, _] = samples.shown(&one.liquor, planned.share_kept(Kept::Dosed))?;
        if as_dosed <= parameters::END_POINT_PH.value {
            let [ph, _] = samples.shown(&one.liquor, one.share_kept)?;
            ends.push((one.place, (ph * 10.0).round() / 10.0));
        }
    }
    Ok(ends)
}

impl<'c, 'd> Brew<'c, 'd> {
    /// A brew of which nothing was read but its mash.
    pub fn new(
        solution: &'c Solution<'d>,
        scenario: &'c Scenario<'d>,
        given: Option<&'c [GivenDose]>,
    ) -> Brew<'c, 'd> {
        let first = scenario.first_doses();
        let first = first.unwrap_or_else(|| scenario.doses.clone());
        let (problem, shares) = (&scenario.problem, &scenario.shares);
        let mash = problem.mash(problem.liquors(shares, &first).mash);
        let uncertain = &solution.uncertainty.doses;
        let missing = mash.missing_acid(&mash.chemistry(), uncertain, solution.forecast.ph);
        Brew {
            solution,
            scenario,
            first,
            given,
            forgotten: None,
            is_probe_off: false,
            liquors: ReadLiquors::default(),
            causes: Causes::of_mash(&mash, &missing),
        }
    }

    /// The same with its liquors, where any of them was read; `planned` is without what was poured
    /// otherwise.
    ///
    /// # Errors
    /// [`PlanError`], where one of the liquors has no equilibrium.
    pub fn with_liquors(
        mut self,
        planned: &Scenario<'d>,
        readings: &[MeterReading],
    ) -> Result<Brew<'c, 'd>, PlanError> {
        self.liquors = ReadLiquors::of(planned, self.scenario, readings)?;
        if self.liquors.foretold.is_some() {
            self.causes = self.causes.with_liquors(self.scenario, &self.first);
        }
        Ok(self)
    }

    pub fn forgotten_in(&self, brew: usize) -> Option<&Forgotten> {
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
    pub fn doses_at(&self, reading: &MeterReading) -> Vec<f64> {
        match reading.sample {
            Sample::Brew(Place::MashFirst) => {
                self.with_given(reading.brew, reading.minutes.unwrap_or(0.0))
            }
            _ if self.given.is_none() => self.without_forgotten(reading.brew, &self.scenario.doses),
            _ => self.with_given(reading.brew, reading.minutes.unwrap_or(f64::INFINITY)),
        }
    }

    /// What is in the mash of a brew after all that was read and given.
    pub fn doses_now(&self, brew: usize, readings: &[MeterReading]) -> Vec<f64> {
        let is_last =
            |one: &MeterReading| one.brew == brew && one.sample == Sample::Brew(Place::Mash);
        if self.given.is_none() && readings.iter().any(is_last) {
            return self.without_forgotten(brew, &self.scenario.doses);
        }
        self.with_given(brew, f64::INFINITY)
    }

    /// The first doses of a brew with what was given until some minutes after mashing in.
    fn with_given(&self, brew: usize, minutes: f64) -> Vec<f64> {
        let mut doses = self.without_forgotten(brew, &self.first);
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

    /// The mash with doses.
    pub fn mash(&self, doses: &[f64]) -> DosedMash<'_> {
        let (problem, shares) = (&self.scenario.problem, &self.scenario.shares);
        let mash = problem.mash(problem.liquors(shares, doses).mash);
        // A little more or less acid is as uncertain as the planned one.
        DosedMash::new(mash, &self.solution.uncertainty.doses, &self.causes)
    }
}
