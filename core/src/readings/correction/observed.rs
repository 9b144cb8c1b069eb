//! What readings say, each as so much more than was expected of it.
//!
//! A pH says how much acid is missing: nothing at the pH that is read, but for the meter. So it is
//! said of a mash as of a liquor, of which a pH says little and the acid much. A conductivity says
//! what it shows.

use underlet_tables::parameters;

use super::belief::{Belief, Observation};
use super::brew::Brew;
use super::{causes, mash};
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::recipe::{Meter, Place};

impl Brew<'_, '_> {
    /// What is believed after readings of the brew, and of known samples by the same probes. One
    /// outside its forecast counts as one at its end: then something else is wrong, and nothing is
    /// known of how much; unless the probe was right in a buffer.
    pub fn belief(&self, readings: &[MeterReading]) -> Belief {
        Belief::after(&self.believed(readings))
    }

    /// What these readings are believed to say.
    pub fn believed(&self, readings: &[MeterReading]) -> Vec<Observation> {
        let observed = readings.iter().filter_map(|one| {
            if self.is_checked(one, readings) {
                self.observation(one)
            } else {
                self.believable(one)
            }
        });
        observed.collect()
    }

    /// How many standard deviations the farthest of some readings lies from what was foretold and
    /// from all others.
    pub fn farthest_off(
        &self,
        readings: &[MeterReading],
        is_asked_for: impl Fn(&MeterReading) -> bool,
    ) -> f64 {
        let observed = readings.iter().filter_map(|one| {
            let is_asked_for = is_asked_for(one);
            let seen = if is_asked_for {
                self.observation(one)
            } else {
                self.believable(one)
            };
            Some((is_asked_for, seen?))
        });
        let (asked_for, observed): (Vec<bool>, Vec<Observation>) = observed.unzip();
        let belief = Belief::after(&observed);
        let places = asked_for
            .iter()
            .enumerate()
            .filter(|(_, asked_for)| **asked_for);
        let deviations = places.map(|(place, _)| belief.deviates_by(place).abs());
        deviations.fold(0.0, math::at_least)
    }

    /// Whether a reading lies outside the 95 % that were foretold of it.
    pub fn is_outside_forecast(&self, reading: &MeterReading) -> bool {
        self.is_beyond(reading, TWO_SIDED_95)
    }

    /// Whether a reading lies where a normal value lies beyond so many standard deviations.
    pub fn is_beyond(&self, reading: &MeterReading, standard_deviations: f64) -> bool {
        let below = self.share_below(reading);
        below.min(1.0 - below) < math::normal_below(-standard_deviations)
    }

    /// Whether the probe of a reading was read in a buffer, and is no farther off than a sound one.
    pub fn is_checked(&self, reading: &MeterReading, readings: &[MeterReading]) -> bool {
        let is_known = |one: &&MeterReading| {
            let is_buffer = matches!(one.sample, Sample::Known(_)) && one.meter == Meter::Ph;
            is_buffer && one.probe == reading.probe
        };
        let mut known = readings.iter().filter(is_known).peekable();
        known.peek().is_some() && known.all(|one| self.deviates_by(one).abs() <= mash::FAR_OFF)
    }

    /// How many standard deviations a reading lies from what was foretold of it.
    fn deviates_by(&self, reading: &MeterReading) -> f64 {
        let seen = self.observation(reading);
        seen.map_or(0.0, |seen| seen.deviates_by())
    }

    /// Share of the readings that were foretold that lie below one.
    fn share_below(&self, reading: &MeterReading) -> f64 {
        if reading.is_mash_ph() {
            let [ph, sampled_sd] = reading.cooled_and_in_time();
            let mash = self.mash(&self.doses_at(reading));
            mash.reading_below(ph, sampled_sd)
        } else {
            math::normal_below(self.deviates_by(reading))
        }
    }

    /// How far a probe is off in a buffer, where that is more than a sound one is.
    pub fn off_in_buffer(&self, readings: &[MeterReading]) -> Option<f64> {
        let known = readings.iter().filter(|one| one.meter == Meter::Ph);
        let off = known.filter_map(|one| match one.sample {
            Sample::Known(stated) => Some((one.value - stated, self.observation(one)?)),
            Sample::Brew(_) => None,
        });
        let mut off = off.filter(|(_, seen)| seen.deviates_by().abs() > mash::FAR_OFF);
        off.next().map(|(off, _)| off)
    }

    /// What a reading says that is believed no farther out than its forecast reaches.
    fn believable(&self, reading: &MeterReading) -> Option<Observation> {
        let seen = self.observation(reading)?;
        if matches!(reading.sample, Sample::Known(_)) || !self.is_outside_forecast(reading) {
            return Some(seen);
        }
        let is_above = self.share_below(reading) > 0.5;
        let moved = |by: f64| MeterReading {
            value: reading.value + if is_above { -by } else { by },
            ..*reading
        };
        let too_far = |by: f64| {
            let below = self.share_below(&moved(by));
            math::normal_below(-TWO_SIDED_95) - if is_above { 1.0 - below } else { below }
        };
        let most = match reading.meter {
            Meter::Ph => MOST_MOVED_PH,
            Meter::Conductivity | Meter::Temperature => seen.off.abs(),
        };
        let by = math::falling_root(too_far, 0.0, most);
        self.observation(&moved(by.unwrap_or_else(NoRoot::nearer_end)))
    }

    /// What a reading says; `None` where it says nothing of liquor or mash.
    pub fn observation(&self, reading: &MeterReading) -> Option<Observation> {
        match (reading.sample, reading.meter) {
            (_, Meter::Temperature) => None,
            (Sample::Known(stated), _) => Some(self.known(reading, stated)),
            (Sample::Brew(place), Meter::Ph) if place.is_wort() => {
                reading.is_mash_ph().then(|| self.ph_of_mash(reading))
            }
            (Sample::Brew(place), Meter::Ph) => self.ph_of_liquor(reading, place),
            (Sample::Brew(place), Meter::Conductivity) => self.conductivity(reading, place),
        }
    }

    fn known(&self, reading: &MeterReading, stated: f64) -> Observation {
        let meter = reading.meter;
        let mut by_cause = self.causes.none();
        causes::add_offset(&mut by_cause, meter, reading.probe, meter.offset_sd(stated));
        Observation {
            off: reading.value - stated,
            by_cause,
            own_sd: meter.known_sd(stated),
        }
    }

    fn ph_of_mash(&self, reading: &MeterReading) -> Observation {
        let [ph, sampled_sd] = reading.cooled_and_in_time();
        let missing = self.mash(&self.doses_at(reading)).missing(ph);
        let per_ph = missing.buffering_eq_per_ph;
        let mut by_cause = self.causes.of_missing(&missing);
        let offset = per_ph * Meter::Ph.offset_sd(ph);
        causes::add_offset(&mut by_cause, Meter::Ph, reading.probe, offset);
        let own_sd = math::root_of_squares([
            parameters::MASH_PH_DEFINITION_SD.value,
            parameters::BENCH_PH_REPEAT_SD.value,
            sampled_sd,
        ]);
        Observation {
            off: -missing.mean_eq,
            by_cause,
            own_sd: per_ph * own_sd,
        }
    }

    /// The same of a liquor, in equivalents per kg.
    fn ph_of_liquor(&self, reading: &MeterReading, place: Place) -> Option<Observation> {
        let ph = reading.value;
        let missing = self.missing_in_liquor(reading, place, ph)?;
        Some(Observation {
            off: -missing.mean_eq_per_kg,
            own_sd: missing.buffering * Meter::Ph.repeat_sd(place, ph),
            by_cause: missing.by_cause,
        })
    }

    /// Acid that is missing when a probe shows a pH in liquor.
    pub fn missing_in_liquor(
        &self,
        reading: &MeterReading,
        place: Place,
        ph: f64,
    ) -> Option<MissingInLiquor> {
        let sample = self.liquors.sample(place)?;
        let missing = sample.missing_at(ph);
        let mut by_cause = self
            .causes
            .of_liquor(missing.by_cause.into_iter(), missing.by_kept);
        let offset = missing.buffering * Meter::Ph.offset_sd(ph);
        causes::add_offset(&mut by_cause, Meter::Ph, reading.probe, offset);
        Some(MissingInLiquor {
            mean_eq_per_kg: missing.mean_eq_per_kg,
            by_cause,
            buffering: missing.buffering,
        })
    }

    fn conductivity(&self, reading: &MeterReading, place: Place) -> Option<Observation> {
        let meter = reading.meter;
        let line = self.liquors.foretold.as_ref()?.line(place, meter)?;
        // Slope and curvature of each cause by turns; what is curved is counted as its own.
        let (slopes, curves) = line.slopes_and_curvatures(self.causes.of_day());
        let mut by_cause = self.causes.of_liquor(slopes.into_iter(), None);
        causes::add_conductivity_model(&mut by_cause, line.modelled_sd());
        causes::add_offset(
            &mut by_cause,
            meter,
            reading.probe,
            meter.offset_sd(line.mean),
        );
        let correction = meter.correction_sd(line.mean);
        let is_cold = place.is_sampled_cold();
        causes::add_correction(&mut by_cause, reading.probe, is_cold, correction);
        let own = [line.own_sd, meter.repeat_sd(place, line.mean)];
        Some(Observation {
            off: reading.value - line.mean,
            by_cause,
            own_sd: math::root_of_squares(own.into_iter().chain(curves)),
        })
    }
}

/// Acid that is missing when a probe shows a pH in liquor.
pub(super) struct MissingInLiquor {
    pub mean_eq_per_kg: f64,
    pub by_cause: Vec<f64>,
    /// How much less is missing one pH higher, eq/kg.
    pub buffering: f64,
}

/// How far a pH is moved at most to where it is believed.
const MOST_MOVED_PH: f64 = 4.0;
