//! What is believed of a mash: the acid that it misses at every pH, before and after readings.
//!
//! Acid missing at a pH is a sum of independent causes: lots and buffering of the malts, water,
//! acids, the effect of calcium. At two pH it is the same causes with other weights, so that a
//! reading at one says something of all others. A reading R of a mash whose own pH is R − n says
//! that at R − n nothing is missing, or that at R as much is missing as the buffering times −n. That
//! is a Gaussian process which is conditioned on linear observations (Rasmussen & Williams 2006,
//! Gaussian processes for machine learning, chapter 2): exact where causes and errors are normal
//! and the curve is straight over the error of a reading.

use super::causes::Causes;
use crate::mash::{Chemistry, DoseUncertainty, Mash, MissingAcid};
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::optimise::{Cholesky, dot};

/// A mash as dosed at some time, with how uncertain its doses are.
#[derive(Clone)]
pub(super) struct DosedMash<'m> {
    mash: Mash<'m>,
    doses: &'m DoseUncertainty,
    causes: &'m Causes,
    chemistry: Chemistry,
}

impl<'m> DosedMash<'m> {
    pub fn new(mash: Mash<'m>, doses: &'m DoseUncertainty, causes: &'m Causes) -> DosedMash<'m> {
        DosedMash {
            chemistry: Chemistry::at(mash.liquor.ionic_strength_mol_per_kg()),
            mash,
            doses,
            causes,
        }
    }

    /// pH that is forecast of it.
    pub fn ph(&self) -> f64 {
        self.mash.ph()
    }

    pub fn missing(&self, ph: f64) -> MissingAcid {
        self.mash.missing_acid(&self.chemistry, self.doses, ph)
    }

    /// What each cause adds to that, eq.
    pub fn by_cause(&self, missing: &MissingAcid) -> Vec<f64> {
        self.causes.of_missing(missing)
    }
}

/// What was observed: so much more than expected, as causes and errors of its own have it.
#[derive(Clone, Debug)]
pub(super) struct Observation {
    /// What was seen less what was expected.
    pub off: f64,
    /// What one standard deviation of each cause adds to it.
    pub by_cause: Vec<f64>,
    /// Standard deviation by what it shares with nothing.
    pub own_sd: f64,
}

impl Observation {
    /// Standard deviation of what was observed.
    pub fn sd(&self) -> f64 {
        math::root_of_squares([self.shares(self).sqrt(), self.own_sd])
    }

    /// How many standard deviations it lies above what was expected.
    pub fn deviates_by(&self) -> f64 {
        self.off / self.sd()
    }

    fn shares(&self, other: &Observation) -> f64 {
        dot(&self.by_cause, &other.by_cause)
    }
}

/// What is believed once something was observed.
#[derive(Clone, Debug)]
pub(super) struct Belief {
    seen: Vec<Observation>,
    factor: Option<Cholesky>,
    /// What was seen less what was expected, independent of each other.
    whitened: Vec<f64>,
}

/// Something as it is believed, such as the acid missing at a pH, eq.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Believed {
    pub mean: f64,
    pub sd: f64,
}

impl Belief {
    /// What is believed after some observations; before any of them, what is known beforehand.
    pub fn after(seen: Vec<Observation>) -> Belief {
        let mut covariance = Vec::with_capacity(seen.len() * seen.len());
        for (i, one) in seen.iter().enumerate() {
            for (j, other) in seen.iter().enumerate() {
                let own = if i == j { one.own_sd * one.own_sd } else { 0.0 };
                covariance.push(one.shares(other) + own);
            }
        }
        let off = seen.iter().map(|one| one.off).collect();
        // Every observation has an error of its own, so that there is a factor.
        let factor = Cholesky::of(&covariance, seen.len()).ok();
        let factor = factor.filter(|_| !seen.is_empty());
        let whitened = factor
            .as_ref()
            .map_or_else(Vec::new, |factor| factor.solve_lower_padded(off));
        Belief {
            seen,
            factor,
            whitened,
        }
    }

    /// What is believed of something that was expected, with what each cause adds to it.
    pub fn of(&self, expected: f64, by_cause: &[f64]) -> Believed {
        let shared = self.factor.as_ref().map_or_else(Vec::new, |factor| {
            let shared = self.seen.iter().map(|seen| dot(&seen.by_cause, by_cause));
            factor.solve_lower_padded(shared.collect())
        });
        let variance = dot(by_cause, by_cause) - dot(&shared, &shared);
        Believed {
            mean: expected + dot(&shared, &self.whitened),
            sd: math::at_least(variance, 0.0).sqrt(),
        }
    }

    /// Acid missing at a pH, eq.
    pub fn missing(&self, mash: &DosedMash<'_>, ph: f64) -> Believed {
        let missing = mash.missing(ph);
        self.of(missing.mean_eq, &mash.by_cause(&missing))
    }

    /// How many standard deviations an observation lies from what all others and what was known
    /// beforehand make it.
    pub fn deviates_by(&self, place: usize) -> f64 {
        let Some(factor) = &self.factor else {
            return 0.0;
        };
        let mut unit = vec![0.0; self.seen.len()];
        if let Some(one) = unit.get_mut(place) {
            *one = 1.0;
        }
        let unit = factor.solve_lower_padded(unit);
        dot(&unit, &self.whitened) / math::root_of_squares(&unit)
    }

    /// Chance that the mash lies below a pH.
    pub fn below(&self, mash: &DosedMash<'_>, ph: f64) -> f64 {
        let Believed { mean, sd, .. } = self.missing(mash, ph);
        math::normal_below(-mean / math::at_least(sd, LEAST_SD_EQ))
    }

    /// The pH below which the mash lies with the chance that a normal value lies below so many
    /// standard deviations.
    pub fn quantile(&self, mash: &DosedMash<'_>, standard_deviations: f64) -> f64 {
        let missing = |ph: f64| {
            let missing = mash.missing(ph);
            let believed = self.of(missing.mean_eq, &mash.by_cause(&missing));
            let value = believed.mean + standard_deviations * believed.sd;
            (value, -missing.buffering_eq_per_ph)
        };
        let [low, high] = MASH_PH_ENDS;
        let root = math::falling_root_by_slope(missing, USUAL_PH, low, high);
        root.unwrap_or_else(NoRoot::nearer_end)
    }

    /// The most likely pH, and the interval that holds 95 %.
    pub fn ph(&self, mash: &DosedMash<'_>) -> (f64, [f64; 2]) {
        let ends = [-TWO_SIDED_95, TWO_SIDED_95];
        (
            self.quantile(mash, 0.0),
            ends.map(|z| self.quantile(mash, z)),
        )
    }
}

/// Where a mash pH is looked for first.
const USUAL_PH: f64 = 5.4;
/// Deviation of what is known for sure, eq.
const LEAST_SD_EQ: f64 = 1e-30;
/// Between which a mash pH is looked for.
const MASH_PH_ENDS: [f64; 2] = [2.0, 12.0];
