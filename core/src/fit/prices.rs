//! Prices of material and of each thing to weigh, in squared misses of one tolerance, for both
//! fits.
//!
//! They price material in different units. A brew day counts mmol per kg of its liquor, whatever
//! the reagent: one smooth price in the programme itself, on a scale on which all decision
//! variables are of order one. A fit of ions alone counts grams (or millilitres), as its scale
//! does, and only in the search: before weighing it takes the least material by weight, and of two
//! plans that are as good it should weigh the lighter one. By mmol, 1 mmol of gypsum (172 mg) and
//! of calcium chloride (147 mg) would be alike, and the order of the shelf would decide
//! (`of_plans_alike_the_lightest_is_weighed` in the tests).

use underlet_tables::parameters;

use super::problem::DoseOption;
use crate::recipe::Vessel;

/// Price of a gram or a millilitre of any reagent where liquor is fitted alone, in prices of a
/// mmol: a gram of the salts of the trade is 4 to 17 mmol.
const MMOL_PER_UNIT: f64 = 10.0;

/// Price of a mmol of a source per kg of the brewing liquor of a day.
pub(crate) fn per_mmol_per_kg() -> f64 {
    parameters::FIT_MATERIAL.value
}

/// Price of a mmol of a dose per kg of the brewing liquor of a day. Acid into sparge liquor is
/// given hot and in a hurry: of two plans alike, the one that doses the tank in time is better.
pub(crate) fn of_dose(option: &DoseOption) -> f64 {
    let is_hot = option.preparation.is_acid() && option.vessel == Vessel::SpargeLiquor;
    let factor = if is_hot {
        parameters::FIT_HOT_ACID.value
    } else {
        1.0
    };
    factor * parameters::FIT_MATERIAL.value
}

/// Price of a gram or a millilitre in so many kg of a liquor that is fitted alone.
pub(crate) fn per_unit(water_kg: f64) -> f64 {
    parameters::FIT_MATERIAL.value * MMOL_PER_UNIT / water_kg
}

/// Price of each thing to weigh.
pub(crate) fn per_item() -> f64 {
    parameters::FIT_HANDLING.value
}
