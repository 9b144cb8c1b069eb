//! Readings of the mash as they were taken: when, how hot the sample was, and what was in by then.

use underlet_tables::parameters;

use crate::mash::{ph_at_temperature, ph_at_temperature_sd};
use crate::math;
use crate::readings::diagnosis::{MeterReading, Probe, Sample};
use crate::recipe::{Meter, Place};

/// A reading with the moment and the sample that it was taken of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TakenReading {
    /// What a meter showed.
    pub reading: MeterReading,
    /// Minutes after mashing in; `None` where it was as the plan says.
    pub minutes: Option<f64>,
    /// Temperature of the sample of a pH, °C; `None` where it was cooled.
    pub sample_temperature_c: Option<f64>,
}

impl From<MeterReading> for TakenReading {
    fn from(reading: MeterReading) -> TakenReading {
        TakenReading {
            reading,
            minutes: None,
            sample_temperature_c: None,
        }
    }
}

impl TakenReading {
    /// The same, so many minutes after mashing in.
    #[must_use]
    pub const fn at_minutes(self, minutes: f64) -> TakenReading {
        TakenReading {
            minutes: Some(minutes),
            ..self
        }
    }

    /// The same of a sample that was not cooled, °C.
    #[must_use]
    pub const fn sampled_at(self, temperature_c: f64) -> TakenReading {
        TakenReading {
            sample_temperature_c: Some(temperature_c),
            ..self
        }
    }

    /// Whether it is a pH of the mash, before or after its last acid.
    pub(super) fn is_of_mash(&self) -> bool {
        let place = match self.reading.sample {
            Sample::Brew(place) => place,
            Sample::Known(_) => return false,
        };
        self.reading.meter == Meter::Ph && matches!(place, Place::MashFirst | Place::Mash)
    }

    /// As the plan's readings are: of a cooled sample, 20 to 60 minutes in, with the standard
    /// deviation that this adds.
    pub(super) fn cooled_and_late(&self) -> CooledReading {
        let celsius = self
            .sample_temperature_c
            .unwrap_or(parameters::SAMPLE_TEMPERATURE.value);
        let shown = self.reading.value;
        let cooled = 2.0 * shown - ph_at_temperature(shown, celsius);
        let [early, early_sd] = self.minutes.map_or([0.0; 2], early_rise);
        CooledReading {
            ph: cooled - early,
            own_sd: math::root_of_squares([
                parameters::MASH_PH_DEFINITION_SD.value,
                parameters::BENCH_PH_REPEAT_SD.value,
                ph_at_temperature_sd(celsius),
                early_sd,
            ]),
            probe: self.reading.probe,
        }
    }

    /// Minutes after mashing in, or about when the plan has it read.
    pub(super) fn minutes_or_usual(&self) -> f64 {
        let usual = match self.reading.sample {
            Sample::Brew(Place::MashFirst) => 18.0,
            _ => 40.0,
        };
        self.minutes.unwrap_or(usual)
    }

    /// Whether it was taken before a mash tells its pH.
    pub(super) fn is_too_early(&self) -> bool {
        let [_, early_sd] = self.minutes.map_or([0.0; 2], early_rise);
        early_sd > parameters::METER_SD.value
    }
}

/// A reading of a mash as if its sample had been cooled, and late enough.
pub(super) struct CooledReading {
    pub ph: f64,
    /// Standard deviation of what it shares with no other reading.
    pub own_sd: f64,
    pub probe: Probe,
}

/// How far a mash that is read before its time lies above its pH while malt dissolves, and the
/// standard deviation of that.
fn early_rise(minutes: f64) -> [f64; 2] {
    let left_at = |minutes: f64| math::exp(-minutes / parameters::MASH_LAG_MINUTES.value);
    let left = left_at(math::at_least(minutes, 0.0)) - left_at(IN_TIME_MINUTES);
    let left = math::at_least(left, 0.0);
    let rise = parameters::MASH_LAG_RISE;
    [rise.value * left, rise.sd * left]
}

/// From when a mash has the pH that is meant, minutes after mashing in.
const IN_TIME_MINUTES: f64 = 20.0;

#[cfg(test)]
mod tests {
    use super::{TakenReading, early_rise};
    use crate::readings::diagnosis::MeterReading;
    use crate::recipe::{Meter, Place};
    use approx::assert_abs_diff_eq;

    /// A pale mash without acid: 6.00 at once, 5.68 after 20 minutes, 5.66 after 30, 5.63 after 50
    /// (Hosom 2018, figure 2, batch 3, read to 0.01). With acid in its water, 4.755, 5.23 after 10,
    /// 5.37 after 30 and 5.38 after 40 minutes: from below, as fast.
    #[test]
    fn a_mash_comes_to_its_ph_as_measured() {
        for (minutes, above) in [(0.0, 6.0 - 5.68), (20.0, 0.0), (50.0, 0.0)] {
            assert_abs_diff_eq!(early_rise(minutes)[0], above, epsilon = 0.02);
        }
        let left = early_rise(10.0)[0] / early_rise(0.0)[0];
        assert_abs_diff_eq!(left * (5.37 - 4.755), 5.37 - 5.23, epsilon = 0.02);
    }

    /// Hopkins & Krause 1947 (in MacWilliam 1975): 5.84 at 18 °C reads 5.50 at 65 °C; modern meters
    /// 0.21 to 0.26 less (Hosom 2018). A hot reading is taken for so much more, and for so much
    /// less sure.
    #[test]
    fn a_hot_reading_is_cooled() {
        let hot =
            TakenReading::from(MeterReading::at(Place::Mash, Meter::Ph, 5.5)).sampled_at(65.0);
        let cooled = hot.cooled_and_late();
        assert!((5.71..5.84).contains(&cooled.ph), "{}", cooled.ph);
        assert!((0.05..0.1).contains(&cooled.own_sd), "{}", cooled.own_sd);
    }
}
