//! Grams of what leaves a tank, and figures for people.

use crate::component::Component;
use crate::quantity::{CACO3_G_PER_EQ, CAO_G_PER_EQ, significant};
pub(super) use crate::treatment::CALCITE_G_PER_MOL;

/// Grams in a mole of carbon dioxide: what calcite loses on becoming lime.
pub(super) const CARBON_DIOXIDE_G_PER_MOL: f64 = 2.0 * (CACO3_G_PER_EQ - CAO_G_PER_EQ);

/// Grams in a mole of chlorine, a molecule of which weighs twice the ion.
pub(super) fn chlorine_g_per_mol() -> f64 {
    2.0 * Component::Chloride.molar_mass_g_per_mol()
}

/// A figure with its error bar and unit, such as "74.3 ± 2.9 mg/L".
pub(super) fn shown(value: f64, sd: f64, unit: &str) -> String {
    let value = significant(value, 3);
    if sd > 0.0 {
        format!("{value} ± {} {unit}", significant(sd, 2))
    } else {
        format!("{value} {unit}")
    }
}

/// A number for a sentence.
pub(super) fn rounded(value: f64) -> String {
    significant(value, 2)
}
