//! What a mash needs to come to a pH, and what it would do with more or less acid.

use underlet_tables::parameters;

use super::{Chemistry, DoseUncertainty, Mash};
use crate::liquor::Dose;
use crate::math;

/// Acid that brings a mash to a pH.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AcidNeeded {
    /// Protons, eq; negative for base.
    pub acid_eq: f64,
    /// Standard deviation: what malts, water and assumptions leave unsure at that pH.
    pub sd_eq: f64,
}

/// A point of the titration curve of a mash.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Acid beyond what is in, eq; negative for less.
    pub acid_eq: f64,
    /// pH there.
    pub ph: f64,
    /// Standard deviation of what a meter would show.
    pub sd: f64,
}

/// Rounds in which a dose's own ionic strength settles.
const ROUNDS: usize = 30;
/// When it has, as a share of the dose.
const SETTLED: f64 = 1.0e-13;

impl Mash<'_> {
    /// Acid (or base) needed for a wanted pH, with its error bar.
    pub fn acid_needed(&self, doses: &DoseUncertainty<'_>, ph: f64) -> AcidNeeded {
        let chemistry = self.chemistry();
        AcidNeeded {
            acid_eq: self.proton_deficit_eq(&chemistry, ph),
            sd_eq: self.acid_sd_eq(&chemistry, doses, ph),
        }
    }

    /// Units of a reagent that bring the mash to a pH, given to its liquor: `dose` is what a unit brings. Nothing where it
    /// pulls the other way, or where no amount is enough.
    pub fn units_needed(&self, dose: &Dose, ph: f64) -> Option<f64> {
        let mut units = 0.0;
        for _ in 0..ROUNDS {
            let dosed = self.liquor.dosed(dose, units / self.water_kg);
            let chemistry = Chemistry::at(dosed.ionic_strength_mol_per_kg());
            let missing = self.proton_deficit_eq(&chemistry, ph);
            let given = -chemistry.acid_wanted(&chemistry.coefficients(ph), dose);
            let next = missing / given;
            if !(next.is_finite() && next >= 0.0) {
                return None;
            }
            if (next - units).abs() <= SETTLED * next {
                return Some(next);
            }
            units = next;
        }
        None
    }

    /// The titration curve at amounts of acid, eq.
    pub fn titration_curve(
        &self,
        doses: &DoseUncertainty<'_>,
        acid_eq: impl IntoIterator<Item = f64>,
    ) -> Vec<CurvePoint> {
        let chemistry = self.chemistry();
        acid_eq
            .into_iter()
            .map(|acid_eq| {
                let ph = self.ph_with_acid(&chemistry, acid_eq);
                CurvePoint {
                    acid_eq,
                    ph,
                    sd: self.sd_at(&chemistry, doses, ph),
                }
            })
            .collect()
    }
}

/// Chalk stirred into a mash that counts, of an amount, both in mg per L of liquor: all of it (times its effective share, in
/// the table of reagents) up to about 300 mg/L, then less and less of what is added; beyond 450 mg/L more does nothing
/// (Troester 2009).
pub fn chalk_that_counts(mg_per_l: f64) -> f64 {
    let sure = parameters::CHALK_COUNTS_UP_TO.value;
    let room = parameters::CHALK_LEVELS_OFF_AT.value - sure;
    let more = math::at_least(mg_per_l - sure, 0.0);
    // The slope falls in a straight line from one to nothing.
    let counted = more.min(room);
    mg_per_l.min(sure) + counted * (1.0 - counted / (2.0 * room))
}
