//! Scale of calcite in hot liquor, and the Langelier index beside the saturation index, because
//! operators know it.
//!
//! pHs = pK2 - pKs + p[Ca] + p[HCO3] + 5 pfm, pfm = A (sqrt I/(1 + sqrt I) - 0.3 I), A = 1.82e6 (E
//! T)^-1.5, E = 60954/(T + 116) - 68.937 (Standard Methods 2330 B, from memory; constants of
//! Plummer & Busenberg 1982). No ion pairs: in hard or sulfate-rich liquor it reads higher than the
//! saturation index, which is the one to believe.

use underlet_tables::{equilibria, parameters};

use crate::aqueous::{Aqueous, EquilibriumError, Mineral, log_k};
use crate::liquor::Liquor;
use crate::math;
use crate::quantity::CACO3_G_PER_EQ;

/// Grams in a mole of calcite.
pub(crate) const CALCITE_G_PER_MOL: f64 = 2.0 * CACO3_G_PER_EQ;
/// Scale below this needs no finding and no caution, g (a choice of ours).
pub(crate) const NOTABLE_SCALE_G: f64 = 1.0;

/// Saturation index of calcite in liquor brought to a temperature, °C, with all its carbon dioxide.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium.
pub(crate) fn calcite_index(liquor: &Liquor, celsius: f64) -> Result<f64, EquilibriumError> {
    let state = Aqueous::at(celsius).closed(liquor)?;
    Ok(state.saturation_index(Mineral::Calcite))
}

/// Calcite that liquor brought to a temperature, °C, drops until it is saturated, with all its
/// carbon dioxide, g/kg; 0 where it is not above saturation.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium.
pub(crate) fn calcite_excess_g_per_kg(
    liquor: &Liquor,
    celsius: f64,
) -> Result<f64, EquilibriumError> {
    let calcite = [(Mineral::Calcite, 0.0)];
    let (_, down) = Aqueous::at(celsius).precipitated(liquor, &calcite, None)?;
    Ok(math::at_least(
        CALCITE_G_PER_MOL * down.iter().sum::<f64>(),
        0.0,
    ))
}

/// Ionic strength from dissolved solids in mg/L, as the index takes it, mol/L.
pub fn solids_ionic_strength(solids_mg_per_l: f64) -> f64 {
    solids_mg_per_l / parameters::LANGELIER_SOLIDS_DIVISOR.value
}

/// pH at which liquor is saturated with calcite by Langelier's formula, 0 to 100 °C: from calcium
/// in mol/L, total alkalinity in eq/L (taken as bicarbonate) and ionic strength in mol/L. `None`
/// where there is no calcium or no alkalinity.
pub fn langelier_saturation_ph(
    calcium_mol_per_l: f64,
    alkalinity_eq_per_l: f64,
    ionic_strength_mol_per_l: f64,
    temperature_c: f64,
) -> Option<f64> {
    let numbers = [calcium_mol_per_l, alkalinity_eq_per_l];
    let positive = numbers
        .iter()
        .all(|number| number.is_finite() && *number > 0.0);
    let strength = ionic_strength_mol_per_l.is_finite() && ionic_strength_mol_per_l >= 0.0;
    if !(positive && strength && (0.0..=100.0).contains(&temperature_c)) {
        return None;
    }
    let pk2 = -log_k(&equilibria::CARBONIC_2, temperature_c);
    let pks = -log_k(&equilibria::CALCITE, temperature_c);
    let sum = math::log10(calcium_mol_per_l) + math::log10(alkalinity_eq_per_l);
    Some(pk2 - pks - sum + 5.0 * single_activity(ionic_strength_mol_per_l, temperature_c))
}

/// The index: pH less the saturation pH. Above 0 scale may form.
pub fn langelier_index(ph: f64, saturation_ph: f64) -> f64 {
    ph - saturation_ph
}

/// -log10 of the activity coefficient of a singly charged ion, as the formula has it.
fn single_activity(ionic_strength: f64, temperature_c: f64) -> f64 {
    let kelvin = temperature_c + parameters::ICE_POINT.value;
    let dielectric = parameters::LANGELIER_DIELECTRIC_NUMERATOR.value
        / (kelvin + parameters::LANGELIER_DIELECTRIC_SHIFT.value)
        - parameters::LANGELIER_DIELECTRIC_OFFSET.value;
    let product = dielectric * kelvin;
    let slope = parameters::LANGELIER_SLOPE_FACTOR.value / (product * product.sqrt());
    let root = ionic_strength.sqrt();
    slope * (root / (1.0 + root) - parameters::DAVIES_LINEAR_TERM.value * ionic_strength)
}
