//! Time and temperature: how fast everything goes at each moment, and what follows a goal
//! meanwhile.

use underlet_tables::parameters;

use super::gauss::GAUSS;
use super::holding::{Headspace, Holding};
use super::rates::Rates;
use crate::math;

/// How temperature goes with time, and time with temperature. Moments are shares of all the hours.
pub(super) struct Course<'s> {
    pub holding: &'s Holding,
    pub rates: &'s Rates,
}

impl Course<'_> {
    pub fn celsius(&self, moment: f64) -> f64 {
        self.holding.from_c + moment * (self.holding.to_c - self.holding.from_c)
    }

    /// How many times as fast as at 80 °C gas, scale and steam go (Arrhenius).
    pub fn rates(&self, moment: f64) -> [f64; 3] {
        let kelvin = |celsius: f64| celsius + parameters::ICE_POINT.value;
        let reference = kelvin(parameters::HOT_REFERENCE_TEMPERATURE.value);
        let inverse = 1.0 / reference - 1.0 / kelvin(self.celsius(moment));
        let energies = [
            &parameters::HOT_CARBON_ENERGY,
            &parameters::SCALE_ENERGY,
            &parameters::EVAPORATION_ENERGY,
        ];
        let mut rates =
            energies.map(|energy| 1000.0 * energy.value / parameters::GAS_CONSTANT.value * inverse);
        math::exp_each(&mut rates);
        rates
    }

    /// What passes between two moments.
    pub fn spans(&self, ends: [f64; 2]) -> Spans {
        let [from, to] = ends;
        let mut sums = [0.0; 3];
        for [place, weight] in GAUSS {
            let rates = self.rates(from + (to - from) * place);
            for (sum, rate) in sums.iter_mut().zip(rates) {
                *sum += weight * rate;
            }
        }
        let [carbon, scale, steam] = sums.map(|sum| sum * self.holding.hours * (to - from));
        let vented = f64::from(u8::from(self.holding.headspace == Headspace::Vented));
        Spans {
            carbon: vented * carbon / self.rates.carbon_time_h,
            scale: scale / self.rates.scale_time_h,
            steam: vented * steam * self.rates.evaporation_per_hour,
        }
    }
}

/// How long a while lasts, in times of its own for each thing that happens; steam as the logarithm
/// of the water that is left.
#[derive(Clone, Copy)]
pub(super) struct Spans {
    pub carbon: f64,
    pub scale: f64,
    pub steam: f64,
}

impl Spans {
    pub fn longest(self) -> f64 {
        math::at_least(self.carbon, self.scale)
    }
}
