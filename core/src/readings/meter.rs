//! Meters, and how far they are to be trusted.

use underlet_tables::parameters;

use crate::math;
use crate::recipe::{Meter, Place};
use crate::water_report::laboratory_ph_sd;

impl Meter {
    /// What a sound probe is off by in everything it reads: standard deviation, at a value. That of
    /// pH is what laboratories differ by, less the scatter of one reading.
    pub(crate) fn offset_sd(self, value: f64) -> f64 {
        match self {
            Meter::Ph => {
                let (between, repeat) = (
                    parameters::METER_SD.value,
                    parameters::BENCH_PH_REPEAT_SD.value,
                );
                math::at_least(between * between - repeat * repeat, 0.0).sqrt()
            }
            Meter::Conductivity => parameters::CHECK_CONDUCTIVITY_RELATIVE_SD.value * value.abs(),
            Meter::Temperature => parameters::CHECK_THERMOMETER_SD.value,
        }
    }

    /// Scatter of one reading, at a value: standard deviation. Liquor hardly buffers, so its pH
    /// scatters between laboratories by far more than that of wort; what is not the probe's own
    /// is counted here.
    pub(crate) fn repeat_sd(self, place: Place, value: f64) -> f64 {
        match self {
            Meter::Ph if place.is_wort() => parameters::BENCH_PH_REPEAT_SD.value,
            Meter::Ph => {
                let (all, offset) = (laboratory_ph_sd(value), self.offset_sd(value));
                math::at_least(all * all - offset * offset, 0.0).sqrt()
            }
            Meter::Conductivity => repeat_of_conductivity(value),
            Meter::Temperature => parameters::CHECK_THERMOMETER_REPEAT_SD.value,
        }
    }

    /// What a meter's temperature correction is off by, at a value: standard deviation. It is so
    /// alike in all samples of one temperature.
    pub(crate) fn correction_sd(self, value: f64) -> f64 {
        match self {
            Meter::Conductivity => {
                parameters::CHECK_CONDUCTIVITY_CORRECTION_RELATIVE_SD.value * value.abs()
            }
            Meter::Ph | Meter::Temperature => 0.0,
        }
    }

    /// Scatter of a reading in a reference sample, what it is sold as included: standard deviation,
    /// at a value.
    pub(crate) fn known_sd(self, value: f64) -> f64 {
        let parts = match self {
            Meter::Ph => [
                parameters::BENCH_PH_REPEAT_SD.value,
                parameters::CHECK_KNOWN_PH_SD.value,
            ],
            Meter::Conductivity => [
                repeat_of_conductivity(value),
                parameters::CHECK_KNOWN_CONDUCTIVITY_RELATIVE_SD.value * value,
            ],
            Meter::Temperature => [
                parameters::CHECK_THERMOMETER_REPEAT_SD.value,
                parameters::CHECK_KNOWN_TEMPERATURE_SD.value,
            ],
        };
        math::root_of_squares(parts)
    }

    /// How far a probe is off that is off, at a value: standard deviation about nothing.
    pub(crate) fn off_sd(self) -> f64 {
        match self {
            Meter::Ph => parameters::CHECK_PH_OFF_SD.value,
            Meter::Conductivity => parameters::CHECK_CONDUCTIVITY_OFF_SD.value,
            Meter::Temperature => parameters::CHECK_TEMPERATURE_OFF_SD.value,
        }
    }

    /// What a probe that is off by one (a pH, a kelvin, all of a conductivity) adds to a reading of
    /// a value.
    pub(crate) fn off_by_one(self, value: f64) -> f64 {
        match self {
            Meter::Ph | Meter::Temperature => 1.0,
            Meter::Conductivity => value,
        }
    }
}

fn repeat_of_conductivity(value: f64) -> f64 {
    math::root_of_squares([
        parameters::CHECK_CONDUCTIVITY_REPEAT_RELATIVE_SD.value * value,
        parameters::CHECK_CONDUCTIVITY_REPEAT_ABSOLUTE_SD.value,
    ])
}
