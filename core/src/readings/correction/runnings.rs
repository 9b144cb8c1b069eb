//! The last runnings of a sparge: whether to stop, and what comes first, a pH that is too high or
//! an extract that is too thin.
//!
//! Below the reading the runnings follow the model of wort thinned by sparge liquor, shifted so
//! that it passes through what was read. Extract washes out of a bed that is displaced no more as
//! out of a stirred vessel, exponentially with the volume that has run: washing by dilution (Rhodes
//! 1934, Industrial and Engineering Chemistry 26, 1331; Wakeman & Tarleton 2005, Solid/liquid
//! separation, on the washing of cakes; both from memory). Two readings with their volumes give its
//! rate.

use underlet_tables::parameters;

use super::belief::{Belief, Observation};
use super::brew::Brew;
use super::causes;
use crate::aqueous::Aqueous;
use crate::error::codes;
use crate::liquor::Liquor;
use crate::mash::{Forecast, Wort};
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::readings::diagnosis::{MeterReading, Probe, Sample};
use crate::recipe::{Meter, Place};

codes! {
    /// What to do about the runnings of a sparge.
    pub enum RunningsAdvice {
        /// Go on sparging until they are too thin to be worth collecting.
        GoOn = "go_on",
        /// Stop the run-off.
        Stop = "stop",
        /// Acidify the rest of the sparge liquor, or stop early: their pH rises too high first.
        AcidifySparge = "acidify_sparge",
    }
}

/// What was read of the runnings of a sparge, cooled samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RunningsReading {
    /// pH of a sample cooled to 20 °C.
    pub ph: f64,
    /// Extract, °P.
    pub extract_percent: f64,
    /// By which probe the pH was read.
    pub probe: Probe,
    /// Of the day's brews, from 1.
    pub brew: usize,
    /// What had run into the kettle by then, litres.
    pub collected_l: Option<f64>,
}

/// The runnings of a brew as they were read last.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Runnings {
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// pH that the last reading shows.
    pub reads: f64,
    /// Between which their pH lies with 95 %, the probe as it was in buffers.
    pub interval_95: [f64; 2],
    /// Extract of the last reading, °P.
    pub extract_percent: f64,
    /// What to do.
    pub advice: RunningsAdvice,
    /// Extract at which to stop, °P: that at which their pH is foretold to be too high, or the
    /// least that is worth collecting.
    pub stop_extract_percent: f64,
    /// How much more runs until then, litres; `None` without two readings of the volume collected.
    pub remaining_l: Option<f64>,
    /// pH that the rest of the sparge liquor should have, cooled sample: the plan's, or that at
    /// which runnings are stopped where the plan's is higher.
    pub sparge_ph: f64,
}

impl Brew<'_, '_> {
    /// What to do about the runnings of a brew; `None` where they were not read, or nothing is
    /// sparged.
    pub(super) fn runnings(
        &self,
        brew: usize,
        runnings: &[RunningsReading],
        readings: &[MeterReading],
    ) -> Option<Runnings> {
        self.solution.day.sparge.as_ref()?;
        let of_brew = runnings.iter().filter(|one| one.brew == brew);
        let of_brew: Vec<&RunningsReading> = of_brew.collect();
        let last = **of_brew.last()?;
        let (ph, sd) = self.ph_of(&last, readings);
        let [limit_ph, limit_extract] = [
            parameters::LAST_RUNNINGS_PH.value,
            parameters::LAST_RUNNINGS_EXTRACT.value,
        ];
        let is_over = ph >= limit_ph || last.extract_percent <= limit_extract;
        let bed = self.bed(brew, readings);
        let ph_limit = bed.extract_at(limit_ph, [last.extract_percent, ph], limit_extract);
        let (advice, stop_extract_percent) = match ph_limit {
            _ if is_over => (RunningsAdvice::Stop, last.extract_percent),
            Some(extract) => (RunningsAdvice::AcidifySparge, extract),
            None => (RunningsAdvice::GoOn, limit_extract),
        };
        let remaining_l = match advice {
            RunningsAdvice::Stop => Some(0.0),
            _ => remaining_l(&of_brew, stop_extract_percent),
        };
        Some(Runnings {
            brew,
            reads: last.ph,
            interval_95: [-TWO_SIDED_95, TWO_SIDED_95].map(|z| ph + z * sd),
            extract_percent: last.extract_percent,
            advice,
            stop_extract_percent,
            remaining_l,
            sparge_ph: bed.sparge_ph().map_or(limit_ph, |ph| ph.min(limit_ph)),
        })
    }

    /// The most likely pH of a reading and its standard deviation: the probe is as it was in
    /// buffers.
    fn ph_of(&self, reading: &RunningsReading, readings: &[MeterReading]) -> (f64, f64) {
        let known = readings
            .iter()
            .filter(|one| matches!(one.sample, Sample::Known(_)) && one.meter == Meter::Ph);
        let known: Vec<Observation> = known.filter_map(|one| self.observation(one)).collect();
        let mut probe = self.causes.none();
        let offset = Meter::Ph.offset_sd(reading.ph);
        causes::add_offset(&mut probe, Meter::Ph, reading.probe, offset);
        let off = Belief::after(&known).of(0.0, &probe);
        let repeat = Meter::Ph.repeat_sd(Place::Kettle, reading.ph);
        (
            reading.ph - off.mean,
            math::root_of_squares([off.sd, repeat]),
        )
    }

    /// The bed of a brew, its mash as it is believed.
    fn bed(&self, brew: usize, readings: &[MeterReading]) -> Bed {
        let doses = self.doses_at(&MeterReading::at(Place::Kettle, Meter::Ph, 0.0).of_brew(brew));
        let problem = &self.scenario.problem;
        let liquors = problem.liquors(&self.scenario.shares, &doses);
        let mash = problem.mash(liquors.mash);
        let forecast = Forecast {
            ph: self.belief(readings).quantile(&self.mash(&doses), 0.0),
            ..self.solution.forecast.clone()
        };
        let grist_kg: f64 = mash.grist.iter().map(|malt| malt.mass_kg).sum();
        Bed {
            first: Wort::first_runnings(&mash, &forecast),
            first_extract: parameters::MALT_EXTRACT_YIELD.value * grist_kg / mash.water_kg,
            sparge: liquors.sparge,
        }
    }
}

/// A bed of grains that sparge liquor runs through.
struct Bed {
    first: Wort,
    /// Extract of the first wort per water.
    first_extract: f64,
    sparge: Liquor,
}

impl Bed {
    /// pH of the sparge liquor; `None` where it has no equilibrium.
    fn sparge_ph(&self) -> Option<f64> {
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        aqueous.closed(&self.sparge).ok().map(|state| state.ph)
    }

    /// pH of runnings of an extract, kg per kg of water, as modelled.
    fn ph(&self, extract: f64) -> f64 {
        self.first
            .late_runnings(extract / self.first_extract, &self.sparge)
            .ph
    }

    /// The extract, °P, at which runnings come to a pH that were read at a lower one, where that is
    /// before another extract.
    fn extract_at(&self, limit_ph: f64, [read, ph]: [f64; 2], until: f64) -> Option<f64> {
        let read = per_water(read);
        let shift = ph - self.ph(read);
        let spare = |thinned: f64| limit_ph - shift - self.ph(read * math::exp(-thinned));
        let farthest = math::ln(read / per_water(until));
        if !(farthest > 0.0 && spare(0.0) > 0.0 && spare(farthest) < 0.0) {
            return None;
        }
        let thinned = math::falling_root(spare, 0.0, farthest);
        let thinned = thinned.unwrap_or_else(NoRoot::nearer_end);
        Some(percent(read * math::exp(-thinned)))
    }
}

/// How much more runs, litres, until the extract is down to so many °P: it falls by the same factor
/// with every litre, as between the last two readings whose volume is known.
fn remaining_l(readings: &[&RunningsReading], until_percent: f64) -> Option<f64> {
    let with_volume = readings
        .iter()
        .filter_map(|one| Some((one.collected_l?, per_water(one.extract_percent))));
    let with_volume: Vec<(f64, f64)> = with_volume.collect();
    let [.., (before_l, before), (last_l, last)] = with_volume.as_slice() else {
        return None;
    };
    readings.last()?.collected_l?;
    let (run_l, thinned) = (last_l - before_l, math::ln(before / last));
    let left = math::ln(last / per_water(until_percent));
    (run_l > 0.0 && thinned > 0.0).then(|| math::at_least(left, 0.0) * run_l / thinned)
}

/// Extract per water of a wort, kg/kg, of its °P; a trace at least, and no more than a syrup.
fn per_water(percent: f64) -> f64 {
    let [least, most] = PERCENTS;
    let share = percent.clamp(least, most) / 100.0;
    share / (1.0 - share)
}

fn percent(per_water: f64) -> f64 {
    100.0 * per_water / (1.0 + per_water)
}

/// Ends of the extract of runnings, °P: what a hydrometer takes for water, and syrup.
const PERCENTS: [f64; 2] = [0.01, 80.0];
