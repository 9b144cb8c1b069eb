//! How fast and how far a tank goes.

use underlet_tables::{Parameter, parameters};

use crate::math;

/// How fast and how far a tank goes, or the standard deviations of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// Hours at 80 °C in which two thirds of the carbon dioxide that can leave has left.
    pub carbon_time_h: f64,
    /// Hours at 80 °C in which two thirds of the scale that will form has formed.
    pub scale_time_h: f64,
    /// Share, 0 to 1, of the calcite on the way to equilibrium that comes down in the end.
    pub scale_reach: f64,
    /// Share of the water that leaves as steam in an hour at 80 °C.
    pub evaporation_per_hour: f64,
}

impl Rates {
    /// A lidded tank a metre deep of which nothing else is known.
    pub fn usual() -> Rates {
        Rates::from_table(|parameter| parameter.value)
    }

    /// Standard deviations of [`Rates::usual`].
    pub fn usual_sd() -> Rates {
        Rates::from_table(|parameter| parameter.sd)
    }

    /// Their keys in a document.
    pub const KEYS: [&str; 4] = [
        "carbon_dioxide_time",
        "scale_time",
        "scale_reach",
        "evaporation",
    ];

    /// A tank whose rates are known exactly.
    pub const CERTAIN: Rates = Rates {
        carbon_time_h: 0.0,
        scale_time_h: 0.0,
        scale_reach: 0.0,
        evaporation_per_hour: 0.0,
    };

    fn from_table(take: fn(&Parameter) -> f64) -> Rates {
        Rates {
            carbon_time_h: take(&parameters::HOT_CARBON_TIME),
            scale_time_h: take(&parameters::SCALE_TIME),
            scale_reach: take(&parameters::SCALE_REACH),
            evaporation_per_hour: take(&parameters::TANK_EVAPORATION),
        }
    }

    /// The four rates, each alone put off by its standard deviation; shares stay between 0 and 1.
    pub fn displaced(&self, sd: &Rates) -> [Rates; 4] {
        [
            Rates {
                carbon_time_h: self.carbon_time_h + sd.carbon_time_h,
                ..*self
            },
            Rates {
                scale_time_h: self.scale_time_h + sd.scale_time_h,
                ..*self
            },
            Rates {
                scale_reach: self.reach_off_by(sd.scale_reach),
                ..*self
            },
            Rates {
                evaporation_per_hour: (self.evaporation_per_hour + sd.evaporation_per_hour)
                    .min(1.0),
                ..*self
            },
        ]
    }

    /// The reach off by so much, to the side where there is room.
    fn reach_off_by(&self, sd: f64) -> f64 {
        if self.scale_reach + sd <= 1.0 {
            self.scale_reach + sd
        } else {
            math::at_least(self.scale_reach - sd, 0.0)
        }
    }

    /// True where every figure is one: times above 0, shares from 0 to 1.
    pub fn are_possible(&self) -> bool {
        let time = |hours: f64| hours.is_finite() && hours > 0.0;
        let share = |share: f64| (0.0..=1.0).contains(&share);
        time(self.carbon_time_h)
            && time(self.scale_time_h)
            && share(self.scale_reach)
            && share(self.evaporation_per_hour)
    }
}
