//! The acid that a mash misses at a pH, and what makes that uncertain.

use super::effects::{DoseUncertainty, Effects};
use super::{Chemistry, Mash};
use crate::uncertainty::Cause;

/// Acid that a mash misses at a pH: as much is to be added to bring it there.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct MissingAcid {
    /// Mean, eq; negative where the mash is below that pH.
    pub mean_eq: f64,
    /// What each cause but the next two adds with one standard deviation of its own, eq. All causes
    /// are independent and come in the same order at every pH and for every dose.
    pub by_cause_eq: Vec<f64>,
    /// The same of the alkalinity of the liquor, and of the strength of the acids in it: both are
    /// sums of causes that readings of the liquor share.
    pub alkalinity_eq: f64,
    /// See there.
    pub acid_strength_eq: f64,
    /// How much less is missing one pH higher, eq.
    pub buffering_eq_per_ph: f64,
}

impl Mash<'_> {
    /// Acid that the mash misses at a pH. It is a plain sum of its causes, but for the buffering of
    /// a malt, which is a factor and so has a mean above its median.
    pub(crate) fn missing_acid(
        &self,
        chemistry: &Chemistry,
        doses: &DoseUncertainty,
        ph: f64,
    ) -> MissingAcid {
        let effects = Effects::of(self, chemistry, doses, ph);
        let buffers = effects.by(Cause::MaltBuffering).zip(self.grist);
        let above_median =
            buffers.map(|(of, malt)| of.acid_eq * malt.curve.buffering_log_sd() / 2.0);
        let of_sum = |cause| effects.by(cause).map(|effect| effect.acid_eq).sum();
        MissingAcid {
            mean_eq: self.proton_deficit_eq(chemistry, ph) + above_median.sum::<f64>(),
            by_cause_eq: effects
                .all()
                .filter(|effect| !matches!(effect.cause, Cause::Alkalinity | Cause::AcidStrength))
                .map(|effect| effect.acid_eq)
                .collect(),
            alkalinity_eq: of_sum(Cause::Alkalinity),
            acid_strength_eq: of_sum(Cause::AcidStrength),
            buffering_eq_per_ph: self.buffering_eq_per_ph(chemistry, ph),
        }
    }

    /// Of the causes that are the buffering of a malt the place among [`MissingAcid::by_cause_eq`],
    /// and the standard deviation of its logarithm.
    pub(crate) fn buffering_log_sds(&self) -> Vec<(usize, f64)> {
        let lots = self.grist.len();
        let log_sds = self.grist.iter().map(|malt| malt.curve.buffering_log_sd());
        let places = log_sds.enumerate();
        places
            .map(|(place, log_sd)| (lots + place, log_sd))
            .collect()
    }
}
