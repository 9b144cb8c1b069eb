//! The one list of what the keys of a recipe can be, by the units and limits of their quantities
//! and by how many of a kind there can be. Documents are read by it, and types are checked by it.

use crate::checker::{Count, Field};
use crate::component::Component;
use crate::quantity::{self, Substance};
use crate::recipe::{MOST_BREWS, MOST_PORTIONS};

const MOST_REAGENTS: usize = 30;

pub(crate) const RECIPE_SCALE: Field = Field::new("recipe_scale", &quantity::RECIPE_SCALE);
pub(crate) const BREWS: Count = Count::new("brews", [1, MOST_BREWS]);
pub(crate) const SOURCES: Count = Count::new("sources", [1, 6]);
pub(crate) const GRIST: Count = Count::new("grist", [1, 30]);
pub(crate) const SHELF: Count = Count::new("shelf", [0, MOST_REAGENTS]);
pub(crate) const MAX_SALTS: Count = Count::new("max_salts", [0, MOST_REAGENTS]);
pub(crate) const PORTIONS: Count = Count::new("portions", [1, MOST_PORTIONS]);

/// Volume and temperature of the tank's fill.
pub(crate) const TANK: [Field; 2] = draw("fill", "temperature");
/// Volume and temperature of the liquor of mash and sparge.
pub(crate) const LIQUOR: [Field; 2] = draw("liquor", "liquor_temperature");
/// Volume and temperature of the liquor of a fit of ions.
pub(crate) const FITTED: [Field; 2] = draw("volume", "temperature");
pub(crate) const REST: Field = Field::new("rest_temperature", &quantity::TEMPERATURE);

pub(crate) const GRAIN_ABSORPTION: Field =
    Field::new("grain_absorption", &quantity::GRAIN_ABSORPTION);
pub(crate) const TANK_CAPACITY: Field = Field::new("tank_capacity", &quantity::TANK_VOLUME);
pub(crate) const TUN_CAPACITY: Field = Field::new("tun_capacity", &quantity::TANK_VOLUME);
pub(crate) const KETTLE_CAPACITY: Field = Field::new("kettle_capacity", &quantity::TANK_VOLUME);
pub(crate) const TANK_DEAD: Field = Field::new("tank_dead_volume", &quantity::DEAD_VOLUME);
pub(crate) const TUN_DEAD: Field = Field::new("tun_dead_volume", &quantity::DEAD_VOLUME);
pub(crate) const KETTLE_DEAD: Field = Field::new("kettle_dead_volume", &quantity::DEAD_VOLUME);
pub(crate) const BOIL_OFF_RATE: Field = Field::new("boil_off", &quantity::BOIL_OFF_RATE);
pub(crate) const OVERSHOOT_RISK: Field = Field::new("overshoot_risk", &quantity::OVERSHOOT_RISK);
pub(crate) const SCALE_STEP: Field = Field::new("scale_step", &quantity::SCALE_STEP);
pub(crate) const MEASURE_STEP: Field = Field::new("measure_step", &quantity::SCALE_STEP);

pub(crate) const MAX_AMOUNT: Field = Field::new("max_amount", &quantity::AVAILABLE_VOLUME);

pub(crate) const BOIL: Field = Field::new("boil", &quantity::BOIL_TIME);
pub(crate) const BOIL_OFF: Field = Field::new("boil_off", &quantity::BOIL_OFF);
pub(crate) const ZINC: Field = Field::new("zinc", &quantity::ZINC).of(Substance::ZINC);

pub(crate) const SULFATE_TO_CHLORIDE: Field = Field::new("sulfate_to_chloride", &quantity::RATIO);
pub(crate) const MASH_PH: Field = Field::new("mash_ph", &quantity::MASH_PH);
pub(crate) const SPARGE_ALKALINITY: Field = Field::new("sparge_alkalinity", &quantity::ALKALINITY);
pub(crate) const SPARGE_PH: Field = Field::new("sparge_ph", &quantity::PH);
pub(crate) const KETTLE_PH: Field = Field::new("kettle_ph", &quantity::KETTLE_PH);
pub(crate) const ALKALINITY: Field = Field::new("alkalinity", &quantity::ALKALINITY);
/// Confidences of mash and sparge pH.
pub(crate) const CONFIDENCES: [Field; 2] = [
    Field::new("mash_ph", &quantity::CONFIDENCE),
    Field::new("sparge_ph", &quantity::CONFIDENCE),
];
/// Limit on all that is dissolved.
pub(crate) const SOLIDS: Field = Field::new("dissolved_solids", &quantity::DISSOLVED_SOLIDS);

pub(crate) const STEP: Field = Field::new("step", &quantity::SCALE_STEP);
pub(crate) const MIN_DOSE: Field = Field::new("min_dose", &quantity::STOCK);
pub(crate) const COST: Field = Field::new("cost", &quantity::COST);
pub(crate) const STOCK: Field = Field::new("stock", &quantity::STOCK);

/// An ion of a water, a target or a limit.
pub(crate) fn ion(ion: Component) -> Field {
    Field::new(ion.key(), &quantity::ION).of(ion.substance())
}

/// The weight of the target at a key.
pub(crate) const fn weight(key: &'static str) -> Field {
    Field::new(key, &quantity::WEIGHT)
}

const fn draw(volume: &'static str, temperature: &'static str) -> [Field; 2] {
    [
        Field::new(volume, &quantity::LIQUOR_VOLUME),
        Field::new(temperature, &quantity::TEMPERATURE),
    ]
}
