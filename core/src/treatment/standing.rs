//! Liquor that is heated, cooled or held: carbon dioxide leaves, scale forms, steam goes off.
//!
//! *Where it would end*: open to air, calcite at saturation ([`crate::aqueous::Aqueous::precipitated`]). *How fast it gets there*: with u
//! the carbon less the calcium of a liquor, which calcite leaves as it is, and w the calcite that this water has let down before,
//!
//! ```text
//! du/dt = -(u - u at the end)/τ of the gas
//! dw/dt =  (reach S - (1 - reach) w)/τ of the scale, never below 0
//! ```
//!
//! where S is the calcite that the liquor could still drop closed, with the carbon and the water it has at that moment. So w ends at the
//! reach of all that ever was to come. Nothing but the state of the liquor counts: hours cut in two are the same hours. Both times are
//! stated at 80 °C and go with temperature by an activation energy; a heating ramp counts by Simpson's rule over a straight line from
//! start to end, and its equilibria are those of its end: a ramp cut in two is nearly the same ramp.
//!
//! u is followed in closed form about an end that moves a little with the steam; w is an integral over known saturations, by Gauss's rule.
//! Where water drops calcite at once that it would not drop in the end, for it takes carbon dioxide up, w moves the end of u: such water
//! is followed in shorter stretches, each with a first guess of w.
//!
//! Coarse: only calcite is let down (gypsum and brushite are watched, not dropped); one time stands for wall, heater and suspended
//! grains alike; steam follows the vapour pressure and ignores draughts.

use underlet_tables::{Parameter, parameters};

use super::air_log10_pco2;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::ion::{Composition, Ion};
use crate::liquor::{Dose, Liquor};
use crate::math;

/// Whether the room above the liquor is in touch with air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Headspace {
    /// A lid with a vent, or no lid: carbon dioxide and steam leave.
    Vented,
    /// Full or shut: neither does.
    Sealed,
}

/// How fast and how far a tank goes, or the standard deviations of that.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Hours at 80 °C in which two thirds of the carbon dioxide that can leave has left.
    pub carbon_time_h: f64,
    /// Hours at 80 °C in which two thirds of the scale that will form has formed.
    pub scale_time_h: f64,
    /// Share, 0 to 1, of the calcite on the way to equilibrium that comes down in the end.
    pub scale_reach: f64,
    /// Share of the water that leaves as steam in an hour at 80 °C.
    pub evaporation_per_hour: f64,
}

impl Habits {
    /// A lidded tank a metre deep of which nothing else is known.
    pub fn usual() -> Habits {
        Habits::from_table(|parameter| parameter.value)
    }

    /// Standard deviations of [`Habits::usual`].
    pub fn usual_sd() -> Habits {
        Habits::from_table(|parameter| parameter.sd)
    }

    /// Their keys in a document.
    pub const KEYS: [&str; 4] = [
        "carbon_dioxide_time",
        "scale_time",
        "scale_reach",
        "evaporation",
    ];

    /// A tank whose habits are known exactly.
    pub const CERTAIN: Habits = Habits {
        carbon_time_h: 0.0,
        scale_time_h: 0.0,
        scale_reach: 0.0,
        evaporation_per_hour: 0.0,
    };

    fn from_table(take: fn(&Parameter) -> f64) -> Habits {
        Habits {
            carbon_time_h: take(&parameters::HOT_CARBON_TIME),
            scale_time_h: take(&parameters::SCALE_TIME),
            scale_reach: take(&parameters::SCALE_REACH),
            evaporation_per_hour: take(&parameters::TANK_EVAPORATION),
        }
    }

    /// The four habits, each alone put off by its standard deviation; shares stay between 0 and 1.
    pub fn displaced(&self, sd: &Habits) -> [Habits; 4] {
        [
            Habits {
                carbon_time_h: self.carbon_time_h + sd.carbon_time_h,
                ..*self
            },
            Habits {
                scale_time_h: self.scale_time_h + sd.scale_time_h,
                ..*self
            },
            Habits {
                scale_reach: self.reach_off_by(sd.scale_reach),
                ..*self
            },
            Habits {
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

/// How liquor stands: from one temperature to another in so many hours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Temperature at the start, °C.
    pub from_c: f64,
    /// Temperature at the end, °C; the same for liquor that is held.
    pub to_c: f64,
    /// Hours.
    pub hours: f64,
    /// Whether it is in touch with air.
    pub headspace: Headspace,
    /// Calcite that this water has let down before, mol per kg of water: the reach counts from fresh water.
    pub let_down_mol_per_kg: f64,
}

/// What became of liquor that stood. Amounts are per kg of water at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stood {
    /// The liquor at the end, per kg of the water that is left.
    pub liquor: Liquor,
    /// Share of the water that is left.
    pub water_share: f64,
    /// Carbon dioxide that left for the air, mol; negative where it came in.
    pub carbon_dioxide_mol: f64,
    /// Calcite that came down, mol.
    pub calcite_mol: f64,
}

impl Standing {
    /// Hours at 80 °C that bring as much, by an activation energy in kJ/mol.
    fn hours_at_80c(&self, energy: &Parameter) -> f64 {
        let middle_c = (self.from_c + self.to_c) / 2.0;
        let rate = |celsius| rate_beside_80c(energy.value, celsius);
        self.hours * (rate(self.from_c) + 4.0 * rate(middle_c) + rate(self.to_c)) / 6.0
    }
}

/// How many times as fast as at 80 °C (Arrhenius), energy in kJ/mol.
fn rate_beside_80c(energy: f64, celsius: f64) -> f64 {
    let kelvin = |celsius: f64| celsius + parameters::ICE_POINT.value;
    let reference = kelvin(parameters::HOT_REFERENCE_TEMPERATURE.value);
    let inverse = 1.0 / reference - 1.0 / kelvin(celsius);
    math::exp(1000.0 * energy / parameters::GAS_CONSTANT.value * inverse)
}

/// A mole of calcite taken out of liquor.
pub(super) fn calcite_removed() -> Dose {
    let ions = Composition::NOTHING.with(Ion::Calcium, -1.0);
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: -1.0,
    }
}

/// Liquor after standing.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium, or an hour or a temperature is no number.
pub fn stood(
    liquor: &Liquor,
    standing: &Standing,
    habits: &Habits,
) -> Result<Stood, EquilibriumError> {
    let numbers = [standing.from_c, standing.to_c, standing.hours];
    let possible = numbers.iter().all(|number| number.is_finite()) && standing.hours >= 0.0;
    if !(possible && habits.are_possible()) {
        return Err(EquilibriumError::NotAnAmount);
    }
    let vented = f64::from(u8::from(standing.headspace == Headspace::Vented));
    let scaled = |energy, time_h: f64| standing.hours_at_80c(energy) / time_h;
    let spans = Spans {
        carbon: vented * scaled(&parameters::HOT_CARBON_ENERGY, habits.carbon_time_h),
        scale: scaled(&parameters::SCALE_ENERGY, habits.scale_time_h),
        steam: vented
            * habits.evaporation_per_hour
            * standing.hours_at_80c(&parameters::EVAPORATION_ENERGY),
    };
    let fresh = Stood {
        liquor: Liquor {
            temperature_c: standing.to_c,
            ..*liquor
        },
        water_share: 1.0,
        carbon_dioxide_mol: 0.0,
        calcite_mol: 0.0,
    };
    let stretches = (1..MOST_STRETCHES)
        .find(|many| spans.longest() <= STRETCH * f64::from(*many))
        .unwrap_or(MOST_STRETCHES);
    let stretch = spans.times(1.0 / f64::from(stretches));
    let hot = Aqueous::at(standing.to_c);
    let mut stood = fresh;
    for _ in 0..stretches {
        stood = stood.further(&hot, stretch, habits.scale_reach, standing)?;
    }
    Ok(stood)
}

/// How long a stretch lasts, in times of its own for each thing that happens; steam as the logarithm of the water that is left.
#[derive(Clone, Copy)]
struct Spans {
    carbon: f64,
    scale: f64,
    steam: f64,
}

impl Spans {
    fn longest(self) -> f64 {
        math::at_least(self.carbon, self.scale)
    }

    fn times(self, factor: f64) -> Spans {
        Spans {
            carbon: factor * self.carbon,
            scale: factor * self.scale,
            steam: factor * self.steam,
        }
    }
}

/// Longest stretch that Gauss's rule takes at once, in times of gas or scale: it errs by 1e-7 at worst, on soft soda water.
const STRETCH: f64 = 1.0;
/// The same where scale moves the end of the gas: a parabola for that end errs by 1e-6 at worst.
const TANGLED_STRETCH: f64 = 1.0 / 8.0;
/// Stretches after which nothing moves any more but by steam.
const MOST_STRETCHES: u8 = 48;

/// Gauss's eight points between 0 and 1 with their weights, half of them: the others lie as far from 1 (Abramowitz & Stegun 1964,
/// table 25.4, moved from -1 and 1).
const GAUSS: [[f64; 2]; 4] = [
    [0.019_855_071_751_231_884, 0.050_614_268_145_188_13],
    [0.101_666_761_293_186_64, 0.111_190_517_226_687_24],
    [0.237_233_795_041_835_5, 0.156_853_322_938_943_63],
    [0.408_282_678_752_175_1, 0.181_341_891_689_181],
];

/// A stretch of standing: all amounts per kg of water at its start, times as shares of it.
struct Stretch<'s> {
    hot: &'s Aqueous,
    start: Liquor,
    spans: Spans,
    /// Carbon that would leave for the air if the liquor stood on for ever, as a parabola over the stretch.
    leaving: [f64; 3],
    reach: f64,
    let_down: f64,
}

impl Stood {
    /// The liquor after one stretch more.
    fn further(
        self,
        hot: &Aqueous,
        spans: Spans,
        reach: f64,
        standing: &Standing,
    ) -> Result<Stood, EquilibriumError> {
        let mut stretch = Stretch {
            hot,
            start: self.liquor,
            spans,
            leaving: [0.0; 3],
            reach,
            let_down: standing.let_down_mol_per_kg / self.water_share
                + self.calcite_mol / self.water_share,
        };
        let [at_first, _, at_last] = stretch.look_ahead([0.0; 3])?;
        let corner = (at_first > 0.0) != (at_last > 0.0);
        let begin = stretch.goal_at(0.0)?;
        let mut end = stretch.goal_at(1.0)?;
        let most = math::at_least(begin, end) * -math::exp_less_one(-spans.scale);
        if corner || most > at_last {
            if spans.longest() > TANGLED_STRETCH {
                let half = spans.times(0.5);
                let middle = self.further(hot, half, reach, standing)?;
                return middle.further(hot, half, reach, standing);
            }
            let guess =
                |time: f64| math::at_least(begin, 0.0) * -math::exp_less_one(-spans.scale * time);
            stretch.look_ahead([0.0, guess(0.5), guess(1.0)])?;
            end = stretch.goal_at(1.0)?;
            let middle = stretch.calcite(begin, 0.5, stretch.goal_at(0.5)?)?;
            stretch.look_ahead([0.0, middle, stretch.calcite(begin, 1.0, end)?])?;
            end = stretch.goal_at(1.0)?;
        }
        let calcite = stretch.calcite(begin, 1.0, end)?;
        let carbon = stretch.carbon_gone(1.0);
        let water_share = math::exp(-spans.steam);
        let mut end = stretch.start.dosed(&calcite_removed(), calcite);
        end.carbon_mol_per_kg = math::at_least(end.carbon_mol_per_kg - carbon, 0.0);
        Ok(Stood {
            liquor: of_water(&end, water_share),
            water_share: self.water_share * water_share,
            carbon_dioxide_mol: self.carbon_dioxide_mol + carbon * self.water_share,
            calcite_mol: self.calcite_mol + calcite * self.water_share,
        })
    }
}

impl Stretch<'_> {
    /// Sets the carbon dioxide that the air would take in the end, from the calcite that is down by the start, the middle and the end of the
    /// stretch; tells the calcite that would come down in the end besides. Less than that leaves the end of the gas where it is.
    fn look_ahead(&mut self, calcite: [f64; 3]) -> Result<[f64; 3], EquilibriumError> {
        if self.spans.carbon <= 0.0 {
            return Ok([f64::INFINITY; 3]);
        }
        let (mut leaving, mut besides) = ([0.0; 3], [0.0; 3]);
        for (place, time) in [0.0, 0.5, 1.0].into_iter().enumerate() {
            let share = math::exp(-self.spans.steam * time);
            let mut now = self.start.dosed(&calcite_removed(), calcite[place]);
            // Calcite may have come down with carbon that the air has yet to give: the end is open, and asks for none.
            let carbon = now.carbon_mol_per_kg;
            now.carbon_mol_per_kg = math::at_least(carbon, 0.0);
            let now = of_water(&now, share);
            let mineral = [(Mineral::Calcite, 0.0)];
            let (end, down) = self
                .hot
                .precipitated(&now, &mineral, Some(air_log10_pco2()))?;
            besides[place] = down.iter().sum::<f64>() * share;
            leaving[place] = carbon - end.liquor.carbon_mol_per_kg * share - besides[place];
        }
        let [first, middle, last] = leaving;
        self.leaving = [
            first,
            4.0 * middle - 3.0 * first - last,
            2.0 * (first + last) - 4.0 * middle,
        ];
        Ok(besides)
    }

    /// Carbon dioxide gone by a time. It goes towards a + bt + ct² as g' = k (a + bt + ct² - g), from g = 0.
    fn carbon_gone(&self, time: f64) -> f64 {
        let rate = self.spans.carbon;
        if rate <= 0.0 {
            return 0.0;
        }
        let [a, b, c] = self.leaving;
        let lag = (b - 2.0 * c / rate) / rate;
        let begin = a - lag;
        begin * -math::exp_less_one(-rate * time) + (b - 2.0 * c / rate) * time + c * time * time
    }

    /// The liquor at a time, had nothing come down in this stretch, and the share of its water that is left.
    fn untouched(&self, time: f64) -> (Liquor, f64) {
        let share = math::exp(-self.spans.steam * time);
        let mut now = self.start;
        now.carbon_mol_per_kg = math::at_least(now.carbon_mol_per_kg - self.carbon_gone(time), 0.0);
        (of_water(&now, share), share)
    }

    /// Where the calcite of this stretch would go if the moment stayed, from the calcite that is too much in its liquor.
    fn goal(&self, too_much: f64) -> f64 {
        self.reach * too_much - (1.0 - self.reach) * self.let_down
    }

    /// The goal at any time. What is missing to saturation is told in its own measure, the index: only its sign counts.
    fn goal_at(&self, time: f64) -> Result<f64, EquilibriumError> {
        let (now, share) = self.untouched(time);
        let calcite = [(Mineral::Calcite, 0.0)];
        let (end, down) = self.hot.precipitated(&now, &calcite, None)?;
        let down: f64 = down.iter().sum();
        let missing = math::at_least(end.saturation_index(Mineral::Calcite), -1.0).min(0.0);
        Ok(self.goal(if down > 0.0 { down * share } else { missing }))
    }

    /// Calcite that comes down in the stretch by a time. It follows its goal as long as that lies before it; what has come down stays.
    fn calcite(&self, first: f64, by: f64, last: f64) -> Result<f64, EquilibriumError> {
        if first <= 0.0 && last <= 0.0 {
            return Ok(0.0);
        }
        let begin = if first < 0.0 {
            math::falling_root(|time| -self.goal_at(time).unwrap_or(0.0), 0.0, by)
        } else {
            0.0
        };
        let down = self.followed(begin, by)?;
        if last >= down {
            return Ok(down);
        }
        // The goal comes back, as liquor takes up carbon dioxide: calcite stops where they meet.
        let ahead = |time: f64| {
            let goal = self.goal_at(time).unwrap_or(0.0);
            goal - self.followed(begin, time).unwrap_or(0.0)
        };
        let end = math::falling_root(ahead, begin, by);
        Ok(math::at_least(self.followed(begin, end)?, 0.0))
    }

    /// What follows its goal from one time to another, starting at 0: the goals' mean, those near the end counting most.
    fn followed(&self, from: f64, to: f64) -> Result<f64, EquilibriumError> {
        let rate = self.spans.scale * (to - from);
        let (mut sum, mut weights) = (0.0, 0.0);
        let mirrored = GAUSS.map(|[place, weight]| [1.0 - place, weight]);
        for [place, weight] in GAUSS.into_iter().chain(mirrored) {
            let weight = weight * math::exp(rate * (place - 1.0));
            let (now, share) = self.untouched(from + (to - from) * place);
            let too_much = self.hot.surplus(&now, Mineral::Calcite)? * share;
            sum += weight * self.goal(too_much);
            weights += weight;
        }
        let mean = if weights > 0.0 { sum / weights } else { 0.0 };
        Ok(mean * -math::exp_less_one(-rate))
    }
}

/// A liquor's amounts in a share of its water.
pub(super) fn of_water(liquor: &Liquor, share: f64) -> Liquor {
    let nothing = Liquor {
        temperature_c: liquor.temperature_c,
        ..Liquor::default()
    };
    nothing.dosed(&liquor.as_dose(), 1.0 / share)
}

/// Standard deviations of what became of liquor that stood.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Spread {
    /// Alkalinity, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Calcium, mol/kg.
    pub calcium_mol_per_kg: f64,
    /// Inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: f64,
    /// Calcite that came down, mol per kg of water at the start.
    pub calcite_mol: f64,
}

/// Error bars of [`stood`]: each habit put off by its standard deviation alone, the four differences taken as independent. First
/// order, so it is coarse where a share nears 0 or 1.
///
/// # Errors
/// As [`stood`].
pub fn stood_spread(
    liquor: &Liquor,
    standing: &Standing,
    habits: &Habits,
    sd: &Habits,
) -> Result<Spread, EquilibriumError> {
    let figures = |stood: &Stood| {
        [
            stood.liquor.alkalinity_eq_per_kg,
            stood.liquor.ions.get(Ion::Calcium),
            stood.liquor.carbon_mol_per_kg,
            stood.calcite_mol,
        ]
    };
    let middle = figures(&stood(liquor, standing, habits)?);
    let mut squares = [0.0; 4];
    for displaced in habits.displaced(sd) {
        let aside = figures(&stood(liquor, standing, &displaced)?);
        for ((square, aside), middle) in squares.iter_mut().zip(aside).zip(middle) {
            *square += (aside - middle) * (aside - middle);
        }
    }
    let [alkalinity, calcium, carbon, calcite] = squares.map(f64::sqrt);
    Ok(Spread {
        alkalinity_eq_per_kg: alkalinity,
        calcium_mol_per_kg: calcium,
        carbon_mol_per_kg: carbon,
        calcite_mol: calcite,
    })
}
