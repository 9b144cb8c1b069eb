//! Targets of the liquor: ranges, and limits that nothing may exceed.

use super::target_key::TargetKey;
use crate::component::Component;
use crate::liquor::Dose;
use crate::math;
use crate::quantity::{HCO3_G_PER_EQ, Range, WATER_KG_PER_L_20C};

/// A target range with its weight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TargetRange {
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Preferred point inside the range.
    pub prefer: Option<f64>,
    /// Weight beside the other targets.
    pub weight: f64,
}

impl TargetRange {
    /// From a low end to a high end.
    pub const fn between(low: f64, high: f64) -> TargetRange {
        TargetRange::of(Some(low), Some(high), None)
    }

    /// No less than this.
    pub const fn at_least(low: f64) -> TargetRange {
        TargetRange::of(Some(low), None, None)
    }

    /// No more than this.
    pub const fn at_most(high: f64) -> TargetRange {
        TargetRange::of(None, Some(high), None)
    }

    /// One value.
    pub const fn exactly(value: f64) -> TargetRange {
        TargetRange::of(Some(value), Some(value), Some(value))
    }

    const fn of(low: Option<f64>, high: Option<f64>, prefer: Option<f64>) -> TargetRange {
        TargetRange {
            low,
            high,
            prefer,
            weight: 1.0,
        }
    }

    /// The same range with the point of it that is liked best.
    #[must_use]
    pub const fn preferring(self, value: f64) -> TargetRange {
        TargetRange {
            prefer: Some(value),
            ..self
        }
    }

    /// The same range with another weight than 1 beside the other targets.
    #[must_use]
    pub const fn weighing(self, weight: f64) -> TargetRange {
        TargetRange { weight, ..self }
    }

    /// The same range in another unit.
    #[must_use]
    pub(crate) fn converted(self, convert: impl Fn(f64) -> f64) -> TargetRange {
        TargetRange {
            low: self.low.map(&convert),
            high: self.high.map(&convert),
            prefer: self.prefer.map(&convert),
            ..self
        }
    }

    /// The range without its weight.
    pub(crate) fn range(&self) -> Range {
        Range {
            low: self.low,
            high: self.high,
            prefer: self.prefer,
        }
    }

    /// Whether it is more than one value.
    pub(crate) fn is_wide(&self) -> bool {
        self.low != self.high
    }
}

/// Targets of the liquor and of the mash.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Targets {
    /// Ions over all the brewing liquor (mash and sparge together, by mass, and what the kettle
    /// adds per kg of its water), mol/kg.
    pub ions: Vec<(Component, TargetRange)>,
    /// Sulfate to chloride, by mass.
    pub sulfate_to_chloride: Option<TargetRange>,
    /// pH of the mash, cooled sample.
    pub mash_ph: Option<TargetRange>,
    /// Alkalinity of the sparge liquor that works against the mash
    /// ([`crate::aqueous::alkalinity_against_mash_eq_per_kg`]), eq/kg.
    pub sparge_alkalinity: Option<TargetRange>,
    /// pH of the sparge liquor, cooled sample, before any carbon dioxide leaves.
    pub sparge_ph: Option<TargetRange>,
    /// What the liquor as a whole (counted as ions are) may hold at most, whatever the other
    /// targets, mg/L: a row of the fit that nothing buys. What goes in after the fit (the
    /// kettle's acid, zinc, what takes chlorine out) counts.
    pub limits: Vec<(LimitedQuantity, f64)>,
}

/// What a hard limit can be set on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum LimitedQuantity {
    /// An ion.
    Component(Component),
    /// All that is dissolved: every ion, every weak acid, and the alkalinity of waters and reagents
    /// as bicarbonate, of which acid is taken to drive none out: rather too much than too
    /// little.
    DissolvedSolids,
}

impl LimitedQuantity {
    /// Key in documents.
    pub fn key(self) -> &'static str {
        match self {
            LimitedQuantity::Component(ion) => ion.key(),
            LimitedQuantity::DissolvedSolids => "dissolved_solids",
        }
    }

    /// How much of it something brings per kg, in mg/L.
    pub fn mg_per_l(self, dose: &Dose) -> f64 {
        let of = |ion: Component| ion.mg_per_l(dose.ions.get(ion));
        match self {
            LimitedQuantity::Component(ion) => of(ion),
            LimitedQuantity::DissolvedSolids => {
                let bicarbonate = math::at_least(dose.alkalinity_eq, 0.0) * HCO3_G_PER_EQ * 1000.0;
                Component::ALL.into_iter().map(of).sum::<f64>() + bicarbonate * WATER_KG_PER_L_20C
            }
        }
    }
}

impl Targets {
    /// Removes the target of a key; whether there was one.
    pub fn remove(&mut self, key: TargetKey) -> bool {
        match key {
            TargetKey::Component(removed) => {
                let before = self.ions.len();
                self.ions.retain(|(ion, _)| *ion != removed);
                self.ions.len() < before
            }
            TargetKey::SulfateToChloride => self.sulfate_to_chloride.take().is_some(),
            TargetKey::MashPh => self.mash_ph.take().is_some(),
            TargetKey::SpargeAlkalinity => self.sparge_alkalinity.take().is_some(),
            TargetKey::SpargePh => self.sparge_ph.take().is_some(),
            // Targets of other documents, of the kettle, and confidences.
            _ => false,
        }
    }
}
