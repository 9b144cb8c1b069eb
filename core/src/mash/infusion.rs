//! Heat of mashing in.

use underlet_tables::parameters;

/// Temperature of strike liquor for a wanted rest, °C: liquor and grist share their heat, the tun's
/// own is left out (common practice warms it first). It may lie above boiling: then the mash is too
/// thick for one infusion.
pub fn strike_temperature_c(rest_c: f64, grist_c: f64, liquor_kg_per_kg_grist: f64) -> f64 {
    rest_c + parameters::GRIST_HEAT_CAPACITY.value * (rest_c - grist_c) / liquor_kg_per_kg_grist
}

/// Temperature of a mash once so much liquor is mashed in, °C: the inverse of
/// [`strike_temperature_c`], with what that leaves out.
///
/// ```
/// use underlet::mash::{strike_temperature_c, temperature_mashed_in_c};
/// let strike_c = strike_temperature_c(66.0, 18.0, 2.7);
/// assert!((strike_c - 73.3).abs() < 0.05);
/// assert!((temperature_mashed_in_c(strike_c, 18.0, 2.7) - 66.0).abs() < 1e-9);
/// ```
pub fn temperature_mashed_in_c(liquor_c: f64, grist_c: f64, liquor_kg_per_kg_grist: f64) -> f64 {
    let grist = parameters::GRIST_HEAT_CAPACITY.value;
    let heat = liquor_kg_per_kg_grist * liquor_c + grist * grist_c;
    heat / (liquor_kg_per_kg_grist + grist)
}

/// Mass of liquor that warms a mash to its next rest, kg; nothing where the liquor is no warmer
/// than that.
pub fn infusion_kg(
    mash_water_kg: f64,
    grist_kg: f64,
    [from_c, to_c]: [f64; 2],
    liquor_c: f64,
) -> Option<f64> {
    let heat = mash_water_kg + parameters::GRIST_HEAT_CAPACITY.value * grist_kg;
    (liquor_c > to_c).then(|| heat * (to_c - from_c) / (liquor_c - to_c))
}
