//! What is believed of a mash: the acid that it misses at every pH, before and after readings.
//!
//! Acid missing at a pH is a sum of independent causes: lots and buffering of the malts, water,
//! acids, the effect of calcium. At two pH it is the same causes with other weights, so that a
//! reading at one says something of all others. A reading R of a mash whose own pH is R − n says
//! that at R − n nothing is missing, or that at R as much is missing as the buffering times −n.
//! That is a Gaussian process which is conditioned on linear observations (Rasmussen & Williams
//! 2006, Gaussian processes for machine learning, chapter 2): exact where causes and errors are
//! normal and the curve is straight over the error of a reading.

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

    /// The chance that a meter shows less than a pH, of a reading that scatters by so much more
    /// than a usual one.
    pub fn reading_below(&self, ph: f64, more_sd: f64) -> f64 {
        self.mash.reading_below(self.doses, ph, more_sd)
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
    /// What was observed, and what each cause adds to it, made independent of each other with a
    /// standard deviation of one.
    whitened: Vec<f64>,
    by_cause: Vec<Vec<f64>>,
    /// Mean of each cause; of those past the end nothing is known but that it is normal.
    mean: Vec<f64>,
    factor: Option<Cholesky>,
}

/// Something as it is believed, such as the acid missing at a pH, eq.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Believed {
    pub mean: f64,
    pub sd: f64,
    /// A sixth of its skewness times its standard deviation.
    skew: f64,
}

impl Believed {
    /// What it is below with the chance that a normal value lies below so many standard deviations:
    /// Cornish & Fisher 1937 (Revue de l'Institut International de Statistique 5, 307), first term.
    pub fn at(&self, standard_deviations: f64) -> f64 {
        let z = standard_deviations;
        self.mean + z * self.sd + self.skew * (z * z - 1.0)
    }

    /// Chance that it is negative. Far out, where its polynomial would turn round, the correction
    /// stays what it was.
    fn is_negative(&self) -> f64 {
        let sd = math::at_least(self.sd, LEAST_SD_EQ);
        let deviate = -self.mean / sd;
        let z = math::at_least(deviate, -FAR_OUT).min(FAR_OUT);
        math::normal_below(deviate - self.skew / sd * (z * z - 1.0))
    }
}

impl Belief {
    /// What is believed after some observations; before any of them, what is known beforehand.
    pub fn after(seen: &[Observation]) -> Belief {
        let count = seen.len();
        let mut covariance = Vec::with_capacity(count * count);
        for (i, one) in seen.iter().enumerate() {
            for (j, other) in seen.iter().enumerate() {
                let own = if i == j { one.own_sd * one.own_sd } else { 0.0 };
                covariance.push(one.shares(other) + own);
            }
        }
        // Every observation has an error of its own, so that there is a factor.
        let factor = Cholesky::of(&covariance, count).ok();
        let factor = factor.filter(|_| count > 0);
        let mut belief = Belief {
            whitened: Vec::new(),
            by_cause: vec![Vec::new(); count],
            mean: Vec::new(),
            factor,
        };
        let Some(factor) = &belief.factor else {
            return belief;
        };
        let whiten = |of: &dyn Fn(&Observation) -> f64| {
            let mut values = factor.solve_lower_padded(seen.iter().map(of).collect());
            values.truncate(count);
            values
        };
        belief.whitened = whiten(&|seen| seen.off);
        let causes = seen.first().map_or(0, |one| one.by_cause.len());
        for cause in 0..causes {
            let of = whiten(&|seen| seen.by_cause.get(cause).copied().unwrap_or(0.0));
            belief.mean.push(dot(&of, &belief.whitened));
            for (all, one) in belief.by_cause.iter_mut().zip(of) {
                all.push(one);
            }
        }
        belief
    }

    /// What is believed of something that was expected, with what each cause adds to it.
    pub fn of(&self, expected: f64, by_cause: &[f64]) -> Believed {
        self.of_left(expected, by_cause, &self.covariances(by_cause))
    }

    fn of_left(&self, expected: f64, by_cause: &[f64], covariances: &[f64]) -> Believed {
        Believed {
            mean: expected + self.moved(by_cause),
            sd: math::at_least(dot(by_cause, covariances), 0.0).sqrt(),
            skew: 0.0,
        }
    }

    fn moved(&self, by_cause: &[f64]) -> f64 {
        let moved = self.mean.iter().zip(by_cause);
        moved.map(|(mean, by)| mean * by).sum()
    }

    /// Covariance with each cause as far as no observation explains it.
    fn covariances(&self, by_cause: &[f64]) -> Vec<f64> {
        let mut left = by_cause.to_vec();
        for seen in &self.by_cause {
            let known = dot(seen, by_cause);
            for (left, seen) in left.iter_mut().zip(seen) {
                *left -= known * seen;
            }
        }
        left
    }

    /// Acid missing at a pH, eq. The buffering of a malt is a factor: its logarithm is normal, so
    /// that a cause z of it adds `a (z + s z² / 2)` and its error is skewed.
    pub fn missing(&self, mash: &DosedMash<'_>, ph: f64) -> Believed {
        self.of_missing(mash, &mash.missing(ph))
    }

    fn of_missing(&self, mash: &DosedMash<'_>, missing: &MissingAcid) -> Believed {
        let by_cause = mash.by_cause(missing);
        let left = self.covariances(&by_cause);
        let mut believed = self.of_left(missing.mean_eq, &by_cause, &left);
        for (place, log_sd) in mash.causes.log_sds() {
            let bend = by_cause.get(place).map_or(0.0, |by| by * log_sd / 2.0);
            let known = self.by_cause.iter().filter_map(|seen| seen.get(place));
            let known: f64 = known.map(|seen| seen * seen).sum();
            let mean = self.mean.get(place).map_or(0.0, |mean| mean * mean);
            believed.mean += bend * (mean - known);
            let share = left.get(place).map_or(0.0, |left| left / believed.sd);
            if share.is_finite() {
                believed.skew += bend * share * share;
            }
        }
        believed
    }

    /// How many standard deviations an observation lies from what all others and what was known
    /// beforehand make it.
    pub fn deviates_by(&self, place: usize) -> f64 {
        let Some(factor) = &self.factor else {
            return 0.0;
        };
        let mut unit = vec![0.0; self.whitened.len()];
        if let Some(one) = unit.get_mut(place) {
            *one = 1.0;
        }
        let mut unit = factor.solve_lower_padded(unit);
        unit.truncate(self.whitened.len());
        dot(&unit, &self.whitened) / math::root_of_squares(&unit)
    }

    /// Chance that the mash lies below a pH.
    pub fn below(&self, mash: &DosedMash<'_>, ph: f64) -> f64 {
        self.missing(mash, ph).is_negative()
    }

    /// The pH below which the mash lies with the chance that a normal value lies below so many
    /// standard deviations.
    pub fn quantile(&self, mash: &DosedMash<'_>, standard_deviations: f64) -> f64 {
        let missing = |ph: f64| {
            let missing = mash.missing(ph);
            let believed = self.of_missing(mash, &missing);
            let value = believed.at(standard_deviations);
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
/// Standard deviations beyond which the correction for skewness stays what it is there.
const FAR_OUT: f64 = 2.0;
/// Deviation of what is known for sure, eq.
const LEAST_SD_EQ: f64 = 1e-30;
/// Between which a mash pH is looked for.
const MASH_PH_ENDS: [f64; 2] = [2.0, 12.0];
