//! The mash once it was read: where it is, whether that is as foretold and as wanted, and what to
//! do.

use super::{Brew, DoseDue};
use crate::error::codes;
use crate::readings::diagnosis::MeterReading;
use crate::recipe::Place;

codes! {
    /// What to do about liquor, a mash or a kettle that was read.
    pub enum Advice {
        /// Nothing: it is where it is wanted, or no dose makes that likelier.
        Nothing = "nothing",
        /// Give what is due.
        Give = "give",
        /// Give the acid that was forgotten, as the plan says.
        GiveForgotten = "give_forgotten",
        /// Check the probe first: the reading is farther off than malts and water make it.
        CheckProbe = "check_probe",
        /// Calibrate the probe and read again: it is off in a buffer.
        CalibrateProbe = "calibrate_probe",
        /// Read again: a mash does not tell its pH so early.
        ReadAgain = "read_again",
        /// It has too much acid, and nothing at hand takes that back.
        TooAcid = "too_acid",
        /// It needs acid or base, and the shelf has none for the mash.
        NoneAtHand = "none_at_hand",
    }
}

/// A mash or a full kettle once it was read.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Correction {
    /// [`Place::Mash`] or [`Place::Kettle`].
    pub place: Place,
    /// Of which brew of the day, from 1.
    pub brew: usize,
    /// What the last reading shows, as of a cooled sample taken late enough.
    pub reads: f64,
    /// What the other probe shows at the same time; `None` without one.
    pub also_reads: Option<f64>,
    /// Most likely pH of mash or wort, readings and forecast weighed.
    pub ph: f64,
    /// Between which it lies with 95 %.
    pub interval_95: [f64; 2],
    /// Chance that it lies in its range as it is, 0 to 1; `None` without a range.
    pub probability_in_range: Option<f64>,
    /// Whether a reading lies outside what was foretold of it.
    pub is_outside_forecast: bool,
    /// Whether the mash most likely lies outside its range.
    pub is_outside_range: bool,
    /// Acid that brings it to the middle of its range, eq; negative where it has too much.
    pub missing_eq: f64,
    /// What a probe shows too much in a buffer, where that is more than a sound one does.
    pub off_in_buffer: Option<f64>,
    /// What to do.
    pub advice: Advice,
    /// What is due of each reagent at hand, those that help most first; one of them is enough.
    pub doses: Vec<DoseDue>,
}

/// Standard deviations from what was foretold, or from another reading, from which a probe is
/// checked before anything else.
pub(super) const FAR_OFF: f64 = 2.5;

impl Brew<'_, '_> {
    /// What the readings say of the mash of a brew; `None` where it was not read.
    pub fn mash_correction(&self, brew: usize, readings: &[MeterReading]) -> Option<Correction> {
        let of_mash = readings
            .iter()
            .filter(|one| one.brew == brew && one.is_mash_ph());
        let last = last_of(of_mash.clone())?;
        let belief = self.belief(readings);
        let doses = self.doses_now(brew, readings);
        let mash = self.mash(&doses);
        let (ph, interval_95) = belief.ph(&mash);
        let range = self.solution.day.targets.mash_ph.as_ref();
        let probability_in_range = range.map(|_| self.probability_in_range(&belief, &mash));
        let is_outside_range = self.is_outside(ph);
        let is_outside_forecast = of_mash.clone().any(|one| self.is_outside_forecast(one));
        let due = self.doses_due(brew, &belief, &doses);
        let off_in_buffer = self.off_in_buffer(readings);
        let advice = if last.is_too_early() {
            Advice::ReadAgain
        } else if self.forgotten_in(brew).is_some() {
            Advice::GiveForgotten
        } else if off_in_buffer.is_some() {
            Advice::CalibrateProbe
        } else if self.is_probe_off || self.is_far_off(last, readings) {
            Advice::CheckProbe
        } else {
            self.advice(is_outside_range, ph, &due)
        };
        Some(Correction {
            place: Place::Mash,
            brew,
            reads: last.cooled_and_in_time()[0],
            also_reads: by_other_probe(last, of_mash),
            ph,
            interval_95,
            probability_in_range,
            is_outside_forecast,
            is_outside_range,
            missing_eq: self.missing_eq(&belief, &mash),
            off_in_buffer,
            advice,
            doses: due,
        })
    }

    /// Whether the last reading of a mash is farther off than malts and water make it, from its
    /// forecast or from other readings, by a probe that is not known to be right.
    fn is_far_off(&self, last: &MeterReading, readings: &[MeterReading]) -> bool {
        let is_of_mash = |one: &MeterReading| one.brew == last.brew && one.is_mash_ph();
        !self.is_checked(last, readings)
            && (self.is_beyond(last, FAR_OFF) || self.farthest_off(readings, is_of_mash) > FAR_OFF)
    }

    fn advice(&self, is_outside_range: bool, ph: f64, due: &[DoseDue]) -> Advice {
        if !due.is_empty() {
            return Advice::Give;
        }
        if !is_outside_range {
            return Advice::Nothing;
        }
        let low = self
            .solution
            .day
            .targets
            .mash_ph
            .and_then(|range| range.low);
        if low.is_some_and(|low| ph < low) {
            Advice::TooAcid
        } else {
            Advice::NoneAtHand
        }
    }
}

/// What the other probe shows beside a reading.
pub(super) fn by_other_probe<'r>(
    last: &MeterReading,
    mut readings: impl Iterator<Item = &'r MeterReading>,
) -> Option<f64> {
    let other = readings.find(|one| {
        one.probe != last.probe
            && one.sample == last.sample
            && one.minutes_or_usual() == last.minutes_or_usual()
    });
    other.map(|other| other.cooled_and_in_time()[0])
}

/// The reading that was taken last.
pub(super) fn last_of<'r>(
    readings: impl Iterator<Item = &'r MeterReading>,
) -> Option<&'r MeterReading> {
    readings.max_by(|one, other| {
        let [at, other_at] = [one, other].map(|one| one.minutes_or_usual());
        at.total_cmp(&other_at)
            .then(one.value.total_cmp(&other.value))
    })
}
