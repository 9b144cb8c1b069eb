//! The one list of what tank and lines can be: documents are read by it, and types are checked by
//! it.

use crate::checker::Field;
use crate::quantity;

pub(crate) const CAPACITY: Field = Field::new("capacity", &quantity::TANK_VOLUME);
pub(crate) const DEAD_VOLUME: Field = Field::new("dead_volume", &quantity::AVAILABLE_VOLUME);

/// The rates, in their order, each with its standard deviation.
pub(crate) const RATES: [[Field; 2]; 3] = [
    [
        Field::new("scale_area", &quantity::SCALE_AREA),
        Field::new("scale_area_sd", &quantity::SCALE_AREA_SD),
    ],
    [
        Field::new("film", &quantity::FILM),
        Field::new("film_sd", &quantity::FILM_SD),
    ],
    [
        Field::new("evaporation", &quantity::SHARE),
        Field::new("evaporation_sd", &quantity::SHARE),
    ],
];

pub(crate) const VOLUME: Field = Field::new("volume", &quantity::AVAILABLE_VOLUME);
pub(crate) const TEMPERATURE: Field = Field::new("temperature", &quantity::TEMPERATURE);
pub(crate) const AMOUNT: Field = Field::new("amount", &quantity::STOCK);
pub(crate) const DURATION: Field = Field::new("duration", &quantity::STANDING_TIME);
