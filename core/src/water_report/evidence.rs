//! What the figures of a report say about each other.
//!
//! Each check gives the logarithm of a probability density: a normal one of the laboratory's
//! scatter, and with a small share a flat one, because a check may fail for reasons nobody thought
//! of. So no single figure can outweigh all others.

use underlet_tables::{Parameter, parameters};

use super::entry::Subject;
use super::figures::Figures;
use super::plausibility;
use crate::liquor::IonBalance;
use crate::math;

/// The evidence for a reading of a report: natural logarithms of densities, comparable between
/// readings of one report.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Evidence {
    /// Cations and anions.
    pub balance: IonBalance,
    /// Whether every major ion is stated, so that the balance says something both ways.
    pub is_complete: bool,
    /// Of the ion balance.
    pub ln_balance: f64,
    /// Of hardness against calcium and magnesium; 0 where they do not stand beside each other.
    pub ln_hardness: f64,
    /// Of alkalinity against bicarbonate and carbonate; 0 where they do not stand beside each
    /// other.
    pub ln_alkalinity: f64,
    /// Of dissolved solids against the sum of ions; 0 where none are stated.
    pub ln_solids: f64,
    /// Of conductivity against the ions; 0 where none is stated.
    pub ln_conductivity: f64,
    /// Of the composition among natural and potable waters.
    pub ln_plausibility: f64,
}

impl Evidence {
    pub(super) fn of(figures: &Figures) -> Evidence {
        Evidence {
            balance: figures.balance(),
            is_complete: figures.complete() == (true, true),
            ln_balance: balance(figures),
            ln_hardness: ratio(
                figures.get(Subject::Hardness),
                figures.calcium_and_magnesium(),
                &parameters::REPORT_SCATTER_HARDNESS,
            ),
            ln_alkalinity: ratio(
                figures.get(Subject::Alkalinity),
                figures.carbonate_alkalinity(),
                &parameters::REPORT_SCATTER_HARDNESS,
            ),
            ln_solids: solids(figures),
            ln_conductivity: conductivity(figures),
            ln_plausibility: plausibility::ln_density(figures),
        }
    }

    /// What the figures say about each other, natural logarithm: all but the composition.
    pub fn ln_checks(&self) -> f64 {
        self.ln_balance
            + self.ln_hardness
            + self.ln_alkalinity
            + self.ln_solids
            + self.ln_conductivity
    }

    /// All of it together, natural logarithm.
    pub fn ln_total(&self) -> f64 {
        self.ln_checks() + self.ln_plausibility
    }
}

/// Cations minus anions over their sum. Where a major ion is not stated, its side may be too small
/// and only the reverse speaks, as far as it is beyond scatter.
fn balance(figures: &Figures) -> f64 {
    let balance = figures.balance();
    let sum = balance.cations_eq_per_kg + balance.anions_eq_per_kg;
    if sum <= 0.0 {
        return 0.0;
    }
    let difference = (balance.cations_eq_per_kg - balance.anions_eq_per_kg) / sum;
    let sd = figures.balance_sd() / sum;
    let (low, high) = match figures.complete() {
        // From -1 to 1: two wide.
        (true, true) => return scatter(difference, sd, 2.0),
        (cations, anions) => (
            if cations { -1.0 } else { 0.0 },
            if anions { 1.0 } else { 0.0 },
        ),
    };
    let z = difference.clamp(low, high) / sd;
    let unexplained = parameters::REPORT_UNEXPLAINED.value;
    math::ln((1.0 - unexplained) * math::exp(-z * z / 2.0) + unexplained)
}

/// A stated sum beside that of its parts.
fn ratio(stated: Option<f64>, parts: Option<f64>, sd: &Parameter) -> f64 {
    match (stated, parts) {
        (Some(stated), Some(parts)) if stated > 0.0 && parts > 0.0 => {
            scatter(math::ln(stated / parts), sd.value, LN_RATIO_WIDTH)
        }
        _ => 0.0,
    }
}

/// Width of the flat density of a logarithm of a ratio: from a twentieth to twentyfold.
const LN_RATIO_WIDTH: f64 = 6.0;

/// Dissolved solids: whatever lies between a dry residue and the sum of ions is as good, for both
/// are called so.
fn solids(figures: &Figures) -> f64 {
    let (least, greatest) = figures.solids();
    let nearest = |stated: f64| stated.clamp(least, greatest);
    figures.get(Subject::DissolvedSolids).map_or(0.0, |stated| {
        whole(
            figures,
            stated,
            nearest(stated),
            &parameters::REPORT_SCATTER_SOLIDS,
        )
    })
}

fn conductivity(figures: &Figures) -> f64 {
    let of_ions = figures.conductivity_us_per_cm();
    figures.get(Subject::Conductivity).map_or(0.0, |stated| {
        whole(
            figures,
            stated,
            of_ions,
            &parameters::REPORT_SCATTER_CONDUCTIVITY,
        )
    })
}

/// A stated whole beside what the stated ions make of it: what is not stated may account for more,
/// never for less.
fn whole(figures: &Figures, stated: f64, ions: f64, sd: &Parameter) -> f64 {
    let computed = match figures.complete() {
        (true, true) => ions,
        _ => math::at_least(ions, stated),
    };
    ratio(Some(stated), Some(computed), sd)
}

/// ln of a normal density of a residual, with a small share of a flat one.
fn scatter(residual: f64, sd: f64, width: f64) -> f64 {
    let unexplained = parameters::REPORT_UNEXPLAINED.value;
    let z = residual / sd;
    let peak = 1.0 / (sd * (2.0 * std::f64::consts::PI).sqrt());
    math::ln((1.0 - unexplained) * peak * math::exp(-z * z / 2.0) + unexplained / width)
}
