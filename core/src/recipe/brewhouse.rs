//! The brewhouse: the figures of a plant that decide how much liquor goes where, what can be
//! weighed, and what can be read.

use underlet_tables::parameters;

use super::Meter;

/// A brewhouse. None of it grows with the recipe.
#[derive(Clone, Debug, PartialEq)]
pub struct Brewhouse {
    /// Its name.
    pub name: String,
    /// Liquor that drained grains keep, L per kg of grist; a litre is counted as a kilogram of
    /// water.
    pub grain_absorption_l_per_kg: f64,
    /// What the hot-liquor tank holds, litres; `None` where any fill fits.
    pub tank_capacity_l: Option<f64>,
    /// What the mash tun holds, liquor and grist together, litres.
    pub tun_capacity_l: Option<f64>,
    /// What the kettle holds when it is full, litres.
    pub kettle_capacity_l: Option<f64>,
    /// What no draw reaches in the hot-liquor tank, litres at the tank's temperature. It is
    /// treated with the rest.
    pub tank_dead_l: f64,
    /// What stays in the mash tun beside what the grains keep, litres as hot as what was last let
    /// in.
    pub tun_dead_l: f64,
    /// What stays in the kettle when the wort is knocked out, litres as read boiling hot.
    pub kettle_dead_l: f64,
    /// What boils off in an hour, litres as read boiling hot; the table's share of the kettle
    /// where it is not known.
    pub boil_off_l_per_h: Option<f64>,
    /// Chance, 0 to 1, that is taken of giving the mash more acid than can be taken back: it
    /// decides how much goes in before the first reading, and how much after one. Without a pH
    /// meter all acid is given at once.
    pub overshoot_risk: f64,
    /// Step of the scale, g, where the shelf does not say.
    pub scale_step_g: f64,
    /// Step of the measuring cylinder, mL, where the shelf does not say.
    pub measure_step_ml: f64,
    /// Meters on hand: what they show is predicted.
    pub meters: Vec<Meter>,
}

impl Default for Brewhouse {
    /// Nothing stays anywhere, every meter is there, and the rest is usual.
    fn default() -> Brewhouse {
        Brewhouse {
            name: "Brewhouse".to_owned(),
            grain_absorption_l_per_kg: parameters::GRAIN_RETENTION.value,
            tank_capacity_l: None,
            tun_capacity_l: None,
            kettle_capacity_l: None,
            tank_dead_l: 0.0,
            tun_dead_l: 0.0,
            kettle_dead_l: 0.0,
            boil_off_l_per_h: None,
            overshoot_risk: parameters::OVERSHOOT_RISK.value,
            scale_step_g: 1.0,
            measure_step_ml: 1.0,
            meters: Meter::ALL.to_vec(),
        }
    }
}
