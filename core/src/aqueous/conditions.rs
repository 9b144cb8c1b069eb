//! The problem of an equilibrium: which amounts are free, what fixes them instead, and why there
//! may be no equilibrium.

use super::saturation::Mineral;
use crate::liquor::Dose;

/// Most freedoms of one problem: a dose, carbon, and three minerals.
pub(super) const FREEDOMS: usize = 5;

/// What may move, per unit of its extent, in mol and eq per kg of water.
#[derive(Clone, Copy, Debug)]
pub(super) struct Freedom {
    pub moves: Dose,
    pub condition: Condition,
}

/// What fixes a freedom.
#[derive(Clone, Copy, Debug)]
pub(super) enum Condition {
    Ph(f64),
    /// log10 of the partial pressure of carbon dioxide, atm.
    Log10Pco2(f64),
    /// Saturation index of a mineral.
    Saturation(Mineral, f64),
}

/// Why there is no equilibrium.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum EquilibriumError {
    /// A number of the problem is not finite, or an amount is negative.
    NotAnAmount,
    /// This alkalinity cannot be at this pH: the pH alone makes more, or the carbon would be
    /// negative.
    AlkalinityAgainstPh {
        /// The given alkalinity, eq/kg.
        alkalinity_eq_per_kg: f64,
        /// The given pH.
        ph: f64,
    },
    /// The pH cannot be reached by adding this.
    OutOfReach {
        /// The given pH.
        ph: f64,
    },
    /// The result would be a brine, or carbon dioxide under great pressure, beyond what activity
    /// coefficients are known for.
    TooConcentrated,
    /// More freedoms than the solver has room for.
    TooManyMinerals,
    /// Newton's method did not converge; the largest relative error of a balance that remained.
    NotConverged {
        /// Largest relative error.
        residual: f64,
    },
}

impl std::fmt::Display for EquilibriumError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            EquilibriumError::NotAnAmount => f.write_str("a negative or non-finite amount"),
            EquilibriumError::AlkalinityAgainstPh {
                alkalinity_eq_per_kg,
                ph,
            } => write!(
                f,
                "pH {ph} beside an alkalinity of {:.4} meq/kg, which it cannot have",
                alkalinity_eq_per_kg * 1000.0
            ),
            EquilibriumError::OutOfReach { ph } => {
                write!(f, "pH {ph} is out of reach of this addition")
            }
            EquilibriumError::TooConcentrated => {
                f.write_str("a liquor too concentrated for the model of activity coefficients")
            }
            EquilibriumError::TooManyMinerals => f.write_str("too many minerals at once"),
            EquilibriumError::NotConverged { residual } => {
                write!(f, "no equilibrium found; a balance is off by {residual:e}")
            }
        }
    }
}

impl std::error::Error for EquilibriumError {}
