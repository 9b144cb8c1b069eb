//! Time and temperature: how fast everything goes at each moment, and what follows a goal meanwhile.

use underlet_tables::parameters;

use super::{Habits, Headspace, Standing};
use crate::math;

/// Gauss's eight points between 0 and 1 with their weights (Abramowitz & Stegun 1964, table 25.4, moved from -1 and 1).
pub(super) const GAUSS: [[f64; 2]; 8] = {
    let half = [
        [0.019_855_071_751_231_884, 0.050_614_268_145_188_13],
        [0.101_666_761_293_186_64, 0.111_190_517_226_687_24],
        [0.237_233_795_041_835_5, 0.156_853_322_938_943_63],
        [0.408_282_678_752_175_1, 0.181_341_891_689_181],
    ];
    let mut points = [[0.0; 2]; 8];
    let mut place = 0;
    while place < half.len() {
        points[place] = half[place];
        points[7 - place] = [1.0 - half[place][0], half[place][1]];
        place += 1;
    }
    points
};

/// The last of Gauss's points.
pub(super) const LAST_POINT: f64 = GAUSS[7][0];

/// How temperature goes with time, and time with temperature. Moments are shares of all the hours.
pub(super) struct Course<'s> {
    pub standing: &'s Standing,
    pub habits: &'s Habits,
}

impl Course<'_> {
    pub fn celsius(&self, moment: f64) -> f64 {
        self.standing.from_c + moment * (self.standing.to_c - self.standing.from_c)
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
        let [carbon, scale, steam] = sums.map(|sum| sum * self.standing.hours * (to - from));
        let vented = f64::from(u8::from(self.standing.headspace == Headspace::Vented));
        Spans {
            carbon: vented * carbon / self.habits.carbon_time_h,
            scale: scale / self.habits.scale_time_h,
            steam: vented * steam * self.habits.evaporation_per_hour,
        }
    }
}

/// How long a while lasts, in times of its own for each thing that happens; steam as the logarithm of the water that is left.
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

/// What follows its goal for a while, starting at 0: the mean of goals with their weights, those near the end counting most.
pub(super) fn followed(goals: [[f64; 2]; GAUSS.len()], span: f64) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for [goal, weight] in goals {
        sum += weight * goal;
        weights += weight;
    }
    let mean = if weights > 0.0 { sum / weights } else { 0.0 };
    mean * -math::exp_less_one(-span)
}
