//! What an objective charges beside the misses, in misses of one tolerance squared: for material, and for each thing to weigh.
//! The one place for both fits.
//!
//! They price material in different units. A brew day counts mmol per kg of its liquor, whatever the reagent: a smooth price
//! that decides between plans before rounding. A fit of ions alone counts grams (or millilitres), as the scale does: before
//! weighing it takes the least material by weight, and its search must rank plans the same way, or the plan that is weighed and the plan
//! before it would prefer different salts. One mmol/kg for both would change which of two salts that do the same is weighed:
//! a mole of calcium chloride weighs less than one of gypsum.

use underlet_tables::parameters;

/// What a gram or a millilitre of any reagent counts as, in mmol, where liquor is fitted alone: nearly what one weighs of the
/// heavier salts (a mole of most brewing salts is 60 to 250 g).
const MMOL_PER_UNIT: f64 = 10.0;

/// Price of a mmol of a reagent per kg of the brewing liquor of a day.
pub(crate) fn per_mmol_per_kg() -> f64 {
    parameters::FIT_MATERIAL.value
}

/// Price of a gram or a millilitre in so many kg of a liquor that is fitted alone.
pub(crate) fn per_unit(water_kg: f64) -> f64 {
    parameters::FIT_MATERIAL.value * MMOL_PER_UNIT / water_kg
}

/// Price of each thing to weigh.
pub(crate) fn per_item() -> f64 {
    parameters::FIT_HANDLING.value
}
