//! Readings as they were taken: how long after mashing in, and of how hot a sample.

use underlet_tables::parameters;

use crate::mash::{ph_at_temperature, ph_at_temperature_sd};
use crate::math;
use crate::readings::diagnosis::{MeterReading, Sample};
use crate::recipe::{Meter, Place};

impl MeterReading {
    /// Whether it is a pH of a mash, before or after its last acid.
    pub(crate) fn is_mash_ph(&self) -> bool {
        let is_mash = |place| matches!(place, Place::MashFirst | Place::Mash);
        self.meter == Meter::Ph && matches!(self.sample, Sample::Brew(place) if is_mash(place))
    }

    /// Whether it is a pH or a conductivity of a liquor of the day.
    pub(super) fn is_of_liquor(&self) -> bool {
        let is_liquor = matches!(self.sample, Sample::Brew(place) if !place.is_wort());
        is_liquor && self.meter != Meter::Temperature
    }

    /// What it would have been of a cooled sample, of a mash 20 to 60 minutes in, and the standard
    /// deviation that this adds.
    pub(crate) fn cooled_and_in_time(&self) -> [f64; 2] {
        let usual = parameters::SAMPLE_TEMPERATURE.value;
        let celsius = self.sample_temperature_c.unwrap_or(usual);
        let warmth = self.value - ph_at_temperature(self.value, celsius);
        let minutes = self.minutes.filter(|_| self.is_mash_ph());
        let [early, early_sd] = minutes.map_or([0.0; 2], early_rise);
        let sds = [ph_at_temperature_sd(celsius), early_sd];
        [self.value + warmth - early, math::root_of_squares(sds)]
    }

    /// Minutes after mashing in, or about when the plan has it read.
    pub(super) fn minutes_or_usual(&self) -> f64 {
        let usual = match self.sample {
            Sample::Brew(Place::MashFirst) => 18.0,
            _ => 40.0,
        };
        self.minutes.unwrap_or(usual)
    }

    /// Whether it was taken before a mash shows its pH.
    pub(super) fn is_too_early(&self) -> bool {
        let [_, early_sd] = self.minutes.map_or([0.0; 2], early_rise);
        early_sd > parameters::METER_SD.value
    }
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
    use super::early_rise;
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
        let hot = MeterReading::at(Place::Mash, Meter::Ph, 5.5).sampled_at(65.0);
        let [cooled, sd] = hot.cooled_and_in_time();
        assert!((5.71..5.84).contains(&cooled), "{cooled}");
        assert!((0.05..0.1).contains(&sd), "{sd}");
    }
}
