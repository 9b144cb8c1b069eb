//! Chloride beside stainless steel: up to how much a grade 304 vessel usually bears, by heat.

use underlet_tables::{Parameter, parameters};

use crate::quantity::significant;

/// Chloride that stainless steel of grade 304 usually bears at a temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SteelLimit {
    /// The most, mg/L.
    pub chloride: Parameter,
    /// Whether the liquor is hot enough for the stricter limit.
    pub is_hot: bool,
}

impl SteelLimit {
    /// The limit for liquor of a temperature, °C.
    pub fn at(temperature_c: f64) -> SteelLimit {
        let is_hot = temperature_c >= parameters::STAINLESS_HOT_TEMPERATURE.value;
        let chloride = if is_hot {
            parameters::STAINLESS_CHLORIDE_HOT
        } else {
            parameters::STAINLESS_CHLORIDE_COLD
        };
        SteelLimit { chloride, is_hot }
    }

    /// Whether so much chloride, mg/L, is above the limit of cold water too. Between the two limits
    /// it is a question of how long it stays hot.
    pub fn is_beyond_cold(chloride_mg_per_l: f64) -> bool {
        chloride_mg_per_l > parameters::STAINLESS_CHLORIDE_COLD.value
    }

    /// What to say of chloride, mg/L, above the limit.
    pub fn in_words(&self, chloride_mg_per_l: f64) -> String {
        format!(
            "{} mg/L of chloride {}: above {} mg/L, up to which stainless steel of grade 304 {}.",
            significant(chloride_mg_per_l, 3),
            if self.is_hot {
                "in hot liquor"
            } else {
                "near room temperature"
            },
            significant(self.chloride.value, 2),
            if self.is_hot {
                "is judged safe hot"
            } else {
                "is usually used"
            }
        )
    }
}
