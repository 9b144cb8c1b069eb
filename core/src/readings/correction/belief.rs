//! What is believed of a mash: the acid that it misses at every pH, before and after readings.
//!
//! Acid missing at a pH is a sum of independent causes: lots and buffering of the malts, water,
//! acids, the effect of calcium. At two pH it is the same causes with other weights, so that a
//! reading at one says something of all others. A reading R of a mash whose own pH is R − n says
//! that at R − n nothing is missing, or that at R as much is missing as the buffering times −n. That
//! is a Gaussian process which is conditioned on linear observations (Rasmussen & Williams 2006,
//! Gaussian processes for machine learning, chapter 2): exact where causes and errors are normal
//! and the curve is straight over the error of a reading.

use crate::mash::{Chemistry, DoseUncertainty, Mash, MissingAcid};
use crate::math::{self, NoRoot, TWO_SIDED_95};
use crate::optimise::{Cholesky, dot};

/// A mash as dosed at some time, with how uncertain its doses are.
#[derive(Clone)]
pub(super) struct DosedMash<'m> {
    mash: Mash<'m>,
    doses: &'m DoseUncertainty,
    chemistry: Chemistry,
}

impl<'m> DosedMash<'m> {
    pub fn new(mash: Mash<'m>, doses: &'m DoseUncertainty) -> DosedMash<'m> {
        DosedMash {
            chemistry: Chemistry::at(mash.liquor.ionic_strength_mol_per_kg()),
            mash,
            doses,
        }
    }

    /// pH that is forecast of it.
    pub fn ph(&self) -> f64 {
        self.mash.ph()
    }

    pub fn missing(&self, ph: f64) -> MissingAcid {
        self.mash.missing_acid(&self.chemistry, self.doses, ph)
    }
}

/// What was observed: so much more than expected, as causes and errors of its own have it.
#[derive(Clone, Debug)]
pub(super) struct Observation {
    /// What was seen less what was expected.
    pub off: f64,
    /// What one standard deviation of each cause of the mash adds to it.
    pub by_cause: Vec<f64>,
    /// The same of what each probe is off by.
    pub by_probe: [f64; PROBES],
    /// Standard deviation by what it shares with nothing.
    pub own_sd: f64,
}

/// The usual probe and the second one.
pub(super) const PROBES: usize = 2;

impl Observation {
    /// Something that causes of the mash move, and nothing else.
    pub fn of_causes(by_cause: Vec<f64>) -> Observation {
        Observation {
            off: 0.0,
            by_cause,
            by_probe: [0.0; PROBES],
            own_sd: 0.0,
        }
    }

    /// Standard deviation of what was observed.
    pub fn sd(&self) -> f64 {
        math::root_of_squares([self.shares(self).sqrt(), self.own_sd])
    }

    /// How many standard deviations it lies above what was expected.
    pub fn deviates_by(&self) -> f64 {
        self.off / self.sd()
    }

    /// Covariance of the two. Causes that only one of them has move the other by nothing.
    fn shares(&self, other: &Observation) -> f64 {
        let causes = self.by_cause.len().min(other.by_cause.len());
        let both = self
            .by_cause
            .get(..causes)
            .zip(other.by_cause.get(..causes));
        let by_cause = both.map_or(0.0, |(one, other)| dot(one, other));
        by_cause + dot(&self.by_probe, &other.by_probe)
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

/// Acid missing at a pH, as it is believed, eq.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Believed {
    pub mean: f64,
    pub sd: f64,
    /// How much less is missing one pH higher.
    buffering: f64,
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

    /// The same after some observations more. One of them may have causes of its own beyond those
    /// of the mash: they move nothing else.
    pub fn with(&self, more: &[Observation]) -> Belief {
        let mut seen = self.seen.clone();
        seen.extend_from_slice(more);
        Belief::after(seen)
    }

    /// By how much something lies above what was expected of it before anything was observed, and
    /// the standard deviation of that: all but an error of its own.
    pub fn foretells(&self, of: &Observation) -> [f64; 2] {
        let shared = self.factor.as_ref().map_or_else(Vec::new, |factor| {
            let shared = self.seen.iter().map(|seen| seen.shares(of));
            factor.solve_lower_padded(shared.collect())
        });
        let variance = of.shares(of) - dot(&shared, &shared);
        let sd = math::at_least(variance, 0.0).sqrt();
        [dot(&shared, &self.whitened), sd]
    }

    /// Acid missing at a pH, eq.
    pub fn missing(&self, mash: &DosedMash<'_>, ph: f64) -> Believed {
        let missing = mash.missing(ph);
        let [more, sd] = self.foretells(&Observation::of_causes(missing.by_cause_eq));
        Believed {
            mean: missing.mean_eq + more,
            sd,
            buffering: missing.buffering_eq_per_ph,
        }
    }

    /// How many standard deviations each observation lies from what all others and what was known
    /// beforehand make it; the farthest of them.
    pub fn farthest_off(&self) -> f64 {
        let Some(factor) = &self.factor else {
            return 0.0;
        };
        let deviations = (0..self.seen.len()).map(|place| {
            let mut unit = vec![0.0; self.seen.len()];
            if let Some(one) = unit.get_mut(place) {
                *one = 1.0;
            }
            let unit = factor.solve_lower_padded(unit);
            dot(&unit, &self.whitened).abs() / math::root_of_squares(&unit)
        });
        deviations.fold(0.0, math::at_least)
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
            let believed = self.missing(mash, ph);
            let value = believed.mean + standard_deviations * believed.sd;
            (value, -believed.buffering)
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
