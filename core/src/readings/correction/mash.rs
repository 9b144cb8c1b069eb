//! The mash once it was read: where it is, whether that is as foretold and as wanted, and what to
//! do.

use super::{Brew, DoseDue, TakenReading};
use crate::error::codes;
use crate::math::{self, TWO_SIDED_95};

codes! {
    /// What to do about a mash that was read.
    pub enum Advice {
        /// Nothing: it is where it is wanted, or no dose makes that likelier.
        Nothing = "nothing",
        /// Give what is due.
        Give = "give",
        /// Check the probe first: the reading is farther off than malts and water make it.
        CheckProbe = "check_probe",
        /// Read again: a mash does not tell its pH so early.
        ReadAgain = "read_again",
        /// It has too much acid, and nothing at hand takes that back.
        TooAcid = "too_acid",
        /// It needs acid or base, and the shelf has none for the mash.
        NoneAtHand = "none_at_hand",
    }
}

/// The mash once it was read.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct MashCorrection {
    /// What the last reading shows, as of a cooled sample taken late enough.
    pub reads: f64,
    /// Most likely pH of the mash, readings and forecast weighed.
    pub ph: f64,
    /// Between which it lies with 95 %.
    pub interval_95: [f64; 2],
    /// Chance that it lies in its range as it is, 0 to 1; `None` without a range.
    pub probability_in_range: Option<f64>,
    /// Whether a reading lies outside what was foretold of it.
    pub is_outside_forecast: bool,
    /// Whether the mash most likely lies outside its range.
    pub is_outside_range: bool,
    /// What to do.
    pub advice: Advice,
    /// What is due of each reagent at hand, those that help most first; one of them is enough.
    pub doses: Vec<DoseDue>,
}

/// Standard deviations from what was foretold from which a probe is checked before anything else.
const FAR_OFF: f64 = 3.0;

impl Brew<'_, '_> {
    /// What the readings of the mash say; `None` where there is none.
    pub fn mash_correction(&self, taken: &[TakenReading]) -> Option<MashCorrection> {
        let last = self.last_of_mash(taken)?;
        let belief = self.belief(taken);
        let doses = self.doses_now(taken);
        let mash = self.mash(&doses);
        let (ph, interval_95) = belief.ph(&mash);
        let range = self.solution.day.targets.mash_ph.as_ref();
        let probability_in_range = range.map(|_| self.probability_in_range(&belief, &mash));
        let is_outside_range = range.is_some_and(|range| {
            range.low.is_some_and(|low| ph < low) || range.high.is_some_and(|high| ph > high)
        });
        let off = taken.iter().map(|one| self.deviates_by(one).abs());
        let farthest = off.fold(0.0, math::at_least);
        let due = self.doses_due(&belief, &doses);
        let advice = if last.is_too_early() {
            Advice::ReadAgain
        } else if farthest > FAR_OFF {
            Advice::CheckProbe
        } else {
            self.advice(is_outside_range, ph, &due)
        };
        Some(MashCorrection {
            reads: last.cooled_and_late().ph,
            ph,
            interval_95,
            probability_in_range,
            is_outside_forecast: farthest > TWO_SIDED_95,
            is_outside_range,
            advice,
            doses: due,
        })
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

    /// The reading of the mash that was taken last.
    fn last_of_mash<'t>(&self, taken: &'t [TakenReading]) -> Option<&'t TakenReading> {
        let of_mash = taken.iter().filter(|one| one.is_of_mash());
        of_mash.max_by(|one, other| {
            let [at, other_at] = [one, other].map(|one| one.minutes_or_usual());
            let [shows, other_shows] = [one, other].map(|one| one.reading.value);
            at.total_cmp(&other_at).then(shows.total_cmp(&other_shows))
        })
    }

    /// How many standard deviations a reading lies from what was foretold of it.
    fn deviates_by(&self, taken: &TakenReading) -> f64 {
        if !taken.is_of_mash() {
            return 0.0;
        }
        self.observation(taken).map_or(0.0, |seen| {
            let parts = seen.by_cause.iter().chain(&seen.by_probe);
            let sd = math::root_of_squares(parts.copied().chain([seen.own_sd]));
            -seen.off / sd
        })
    }
}
