//! Heat of mashing in.

use underlet_tables::parameters;

/// Temperature of strike liquor for a wanted rest, °C: liquor and grist share their heat, the tun's
/// own is left out (common practice warms it first). It may lie above boiling: then the mash is too
/// thick for one infusion.
pub fn strike_temperature_c(rest_c: f64, grist_c: f64, liquor_kg_per_kg_grist: f64) -> f64 {
    rest_c + parameters::GRIST_HEAT_CAPACITY.value * (rest_c - grist_c) / liquor_kg_per_kg_grist
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
