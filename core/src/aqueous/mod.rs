//! Equilibria of a liquor: activity coefficients, carbonate and weak acids.
//!
//! Coarse so far, and said so wherever it shows: ions are taken as free (no ion pairs: pH is 0.001 too high in soft
//! water at 25 °C, 0.01 to 0.06 in hard alkaline water, 0.2 where that stands open and hot), weak acids have no activity
//! coefficients, and the constants of [`Carbonate`] come from an ionic strength that the caller freezes.

mod activity;
mod carbonate;
mod conductivity;
mod constants;
mod equilibrium;
mod linear;
mod newton;
mod species;
mod weak_acid;

pub use activity::DebyeHueckel;
pub use carbonate::{Carbonate, closed_ph, open_carbon_mol_per_kg, titrated_alkalinity_eq_per_kg};
pub use equilibrium::{Aqueous, Equilibrium, EquilibriumError};
pub use species::Mineral;
use weak_acid::pk;
pub use weak_acid::WeakAcids;
pub(crate) use weak_acid::sample_temperature_c;

use underlet_tables::{Equilibrium as Row, parameters};

use crate::math;

/// Absolute temperature, K.
pub(crate) fn kelvin(temperature_c: f64) -> f64 {
    temperature_c + parameters::ICE_POINT.value
}

/// `log10 K` of an equilibrium at a temperature: the analytic form where the table gives it, else van 't Hoff.
pub fn log_k(equilibrium: &Row, temperature_c: f64) -> f64 {
    let kelvin = kelvin(temperature_c);
    if let Some([a1, a2, a3, a4, a5, a6]) = equilibrium.analytic {
        return a1
            + a2 * kelvin
            + a3 / kelvin
            + a4 * math::log10(kelvin)
            + a5 / (kelvin * kelvin)
            + a6 * kelvin * kelvin;
    }
    let enthalpy_j = equilibrium.delta_h_kj_per_mol.unwrap_or(0.0) * 1000.0;
    equilibrium.log_k_25c + van_t_hoff(enthalpy_j, 0.0, kelvin)
}

/// Change of `log10 K` from 25 °C for a constant heat capacity.
fn van_t_hoff(enthalpy_j_per_mol: f64, heat_capacity_j_per_mol_k: f64, kelvin: f64) -> f64 {
    let reference = kelvin_at_25();
    let per_log = math::LN_10 * parameters::GAS_CONSTANT.value;
    enthalpy_j_per_mol / per_log * (1.0 / reference - 1.0 / kelvin)
        + heat_capacity_j_per_mol_k / per_log
            * (reference / kelvin - 1.0 + math::ln(kelvin / reference))
}

/// 25 °C, the reference temperature of tabulated constants, K.
fn kelvin_at_25() -> f64 {
    kelvin(25.0)
}
