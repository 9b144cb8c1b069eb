//! The one list of what tank and lines can be: documents are read by it, and types are checked by
//! it.

use crate::checker::Field;
use crate::quantity;

pub(crate) const CAPACITY: Field = Field::new("capacity", &quantity::TANK_VOLUME);
pub(crate) const DEAD_VOLUME: Field = Field::new("dead_volume", &quantity::AVAILABLE_VOLUME);

/// The rates, in their order, each with its standard deviation.
pub(crate) const RATES: [[Field; 2]; 4] = [
    [
        Field::new("carbon_dioxide_time", &quantity::HABIT_TIME),
        Field::new("carbon_dioxide_time_sd", &quantity::HABIT_TIME_SD),
    ],
    [
        Field::new("scale_time", &quantity::HABIT_TIME),
        Field::new("scale_time_sd", &quantity::HABIT_TIME_SD),
    ],
    [
        Field::new("scale_reach", &quantity::SHARE),
        Field::new("scale_reach_sd", &quantity::SHARE),
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
