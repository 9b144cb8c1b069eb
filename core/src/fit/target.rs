//! A target of a fit: a quantity of a water and where it should lie.

use underlet_tables::parameters;

use crate::component::Component;
use crate::liquor::{Dose, alkalinity_eq_per_kg};

/// What a target is about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TargetQuantity {
    /// An ion, mol per kg of water.
    Component(Component),
    /// Alkalinity, eq per kg of water.
    Alkalinity,
    /// An ion beyond so many times another, mol per kg of water: 0 where the two are in that ratio.
    Beyond {
        /// The ion.
        ion: Component,
        /// How many times the other, by amount.
        times: f64,
        /// The other.
        other: Component,
    },
}

impl TargetQuantity {
    /// The miss that is one, in the quantity's unit.
    pub(super) fn tolerance(self) -> f64 {
        match self {
            TargetQuantity::Component(ion) | TargetQuantity::Beyond { ion, .. } => {
                ion.mol_per_kg(parameters::FIT_ION_TOLERANCE.value)
            }
            TargetQuantity::Alkalinity => {
                alkalinity_eq_per_kg(parameters::FIT_ALKALINITY_TOLERANCE.value)
            }
        }
    }

    pub(super) fn of(self, dose: &Dose) -> f64 {
        match self {
            TargetQuantity::Component(ion) => dose.ions.get(ion),
            TargetQuantity::Alkalinity => dose.alkalinity_eq,
            TargetQuantity::Beyond { ion, times, other } => {
                dose.ions.get(ion) - times * dose.ions.get(other)
            }
        }
    }
}

/// A point or a range that a quantity should lie in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IonTarget {
    /// The quantity.
    pub of: TargetQuantity,
    /// Low end, in the quantity's unit, if there is one; the same as the high end for a point.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// The miss that is one, in the quantity's unit, above 0.
    pub tolerance: f64,
    /// Weight of a miss beside the others', 0 or more.
    pub weight: f64,
}

impl IonTarget {
    pub(super) fn has_ends(&self) -> bool {
        self.low.is_some() || self.high.is_some()
    }
}
