//! Prices of material and of each thing to weigh, in squared misses of one tolerance, for both
//! fits.
//!
//! Material is priced by mass, a millilitre like a gram, or by what it costs where the shelf says
//! so: of two plans as good, the lighter or the cheaper one is weighed. A brew day has decision
//! variables of mmol per kg of its liquor, so that all are of order one; a fit of ions alone counts
//! grams (or millilitres), as its scale does, and prices them in the search only.

use underlet_tables::{ReagentKind, parameters};

use crate::component::Component;
use crate::math;
use crate::recipe::{BrewDay, ShelfReagent, TargetRange, Vessel};

/// A gram or a millilitre of any reagent in prices of a "mmol": a gram of the salts of the trade is
/// 4 to 17 mmol.
const MMOL_PER_UNIT: f64 = 10.0;
/// Least price of a reagent beside the others': nothing is for nothing, since it has to be weighed.
const LEAST_FACTOR: f64 = 0.01;

/// Price of a source beside the first, per whole blend.
pub(crate) fn per_blend() -> f64 {
    parameters::FIT_MATERIAL.value
}

/// Price of a gram or a millilitre in so many kg of a liquor that is fitted alone.
pub(crate) fn per_unit(shelf: &[ShelfReagent], item: &ShelfReagent, water_kg: f64) -> f64 {
    cost_factor(shelf, item) * parameters::FIT_MATERIAL.value * MMOL_PER_UNIT / water_kg
}

/// Price of a mmol of a reagent, per kg of the brewing liquor of a day, where it goes into a
/// vessel.
///
/// Calcium salts come first where the water has less calcium than is aimed at: they bring what
/// table salt and Epsom salt do not. Acid into sparge liquor is given hot and in a hurry: of two
/// plans alike, the one that doses the tank in time is better.
pub(crate) fn of_dose(day: &BrewDay, item: &ShelfReagent, vessel: Vessel) -> f64 {
    let units_per_mmol = 1e-3 / item.preparation.mol_per_unit();
    let is_hot_acid = item.preparation.is_acid() && vessel == Vessel::SpargeLiquor;
    let serves_calcium = brings_calcium(item) && lacks_calcium(day);
    let factors = [
        (is_hot_acid, parameters::FIT_HOT_ACID),
        (serves_calcium, parameters::FIT_CALCIUM_SALT),
    ];
    let factor = factors.iter().filter(|(applies, _)| *applies);
    let factor: f64 = factor.map(|(_, factor)| factor.value).product();
    factor
        * cost_factor(&day.shelf, item)
        * MMOL_PER_UNIT
        * units_per_mmol
        * parameters::FIT_MATERIAL.value
}

/// Price of each thing to weigh.
pub(crate) fn per_item() -> f64 {
    parameters::FIT_HANDLING.value
}

/// What a gram or a millilitre costs beside the mean of those of which the shelf says it; 1 where
/// it does not say.
fn cost_factor(shelf: &[ShelfReagent], item: &ShelfReagent) -> f64 {
    let stated: Vec<f64> = shelf.iter().filter_map(|one| one.cost).collect();
    let mean = stated.iter().sum::<f64>() / stated.len() as f64;
    match item.cost {
        Some(cost) if mean > 0.0 => math::at_least(cost / mean, LEAST_FACTOR),
        _ => 1.0,
    }
}

fn brings_calcium(item: &ShelfReagent) -> bool {
    let is_salt = item.preparation.reagent.kind == ReagentKind::Salt;
    is_salt
        && item
            .preparation
            .dose_per_unit()
            .ions
            .get(Component::Calcium)
            > 0.0
}

/// Whether the first source has less calcium than the day aims at.
fn lacks_calcium(day: &BrewDay) -> bool {
    let calcium = day.first_source().ions.get(Component::Calcium);
    let mut targets = day.targets.ions.iter();
    let range = targets.find(|(ion, _)| *ion == Component::Calcium);
    range
        .and_then(|(_, range)| aim(range))
        .is_some_and(|aim| calcium < aim)
}

/// Where a range of calcium is aimed at: its preferred point; else what is usual, between its low
/// end and its middle.
fn aim(range: &TargetRange) -> Option<f64> {
    let usual = Component::Calcium.mol_per_kg(parameters::USUAL_CALCIUM.value);
    let middle = range
        .low
        .zip(range.high)
        .map(|(low, high)| (low + high) / 2.0);
    let least = range.low.map(|low| {
        let usual = math::at_least(usual, low);
        middle.map_or(usual, |middle| usual.min(middle))
    });
    range.prefer.or(least)
}
