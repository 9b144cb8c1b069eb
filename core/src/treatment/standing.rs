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
//! reach of all that ever was to come. Both times are stated at 80 °C and go with temperature by an activation energy; on a ramp the
//! temperature goes straight from start to end, and ends, saturations and times are those of each moment. Nothing but the state of the
//! liquor counts: hours cut in two are the same hours, and a ramp cut in two is the same ramp.
//!
//! Time is taken in stretches. In one of them the end of u is a polynomial through a few moments, and u follows it; w is an integral over
//! known saturations; both by Gauss's rule. Where the end of u turns a corner, for calcite begins to take its part, a stretch ends. Where
//! water drops calcite at once that it would not drop in the end, for it takes carbon dioxide up, w moves the end of u: such water is
//! followed in shorter stretches, each with a first guess of w.
//!
//! Coarse: only calcite is let down (gypsum and brushite are watched, not dropped); one time stands for wall, heater and suspended
//! grains alike; steam follows the vapour pressure and ignores draughts.

use underlet_tables::{Parameter, parameters};

use super::air_log10_pco2;
use crate::aqueous::{Aqueous, EquilibriumError, Mineral};
use crate::component::{Component, Composition};
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

    /// The four habits, each alone moved by its standard deviation; shares stay between 0 and 1.
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
                scale_reach: self.reach_moved_by(sd.scale_reach),
                ..*self
            },
            Habits {
                evaporation_per_hour: (self.evaporation_per_hour + sd.evaporation_per_hour)
                    .min(1.0),
                ..*self
            },
        ]
    }

    /// The reach moved by so much, to the side where there is room.
    fn reach_moved_by(&self, sd: f64) -> f64 {
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
    pub precipitated_mol_per_kg: f64,
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

/// A mole of calcite taken out of liquor.
pub(super) fn calcite_removed() -> Dose {
    let ions = Composition::ZERO.with(Component::Calcium, -1.0);
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
    let course = Course { standing, habits };
    let whole = course.spans([0.0, 1.0]);
    let climb = (standing.to_c - standing.from_c).abs();
    let is_short = |many: &u8| {
        let many = f64::from(*many);
        whole.longest() <= STRETCH * many && climb <= CLIMB_C * many
    };
    let stretches = (1..MOST_STRETCHES).find(is_short).unwrap_or(MOST_STRETCHES);
    let mut stood = Stood {
        liquor: *liquor,
        water_share: 1.0,
        carbon_dioxide_mol: 0.0,
        calcite_mol: 0.0,
    };
    for place in 0..stretches {
        let end = |place: u8| f64::from(place) / f64::from(stretches);
        stood = stood.further(&course, [end(place), end(place + 1)], MOST_CORNERS)?;
    }
    stood.liquor.temperature_c = standing.to_c;
    Ok(stood)
}

/// How temperature goes with time, and time with temperature. Moments are shares of all the hours.
struct Course<'s> {
    standing: &'s Standing,
    habits: &'s Habits,
}

impl Course<'_> {
    fn celsius(&self, moment: f64) -> f64 {
        self.standing.from_c + moment * (self.standing.to_c - self.standing.from_c)
    }

    /// How many times as fast as at 80 °C gas, scale and steam go (Arrhenius).
    fn rates(&self, moment: f64) -> [f64; 3] {
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
    fn spans(&self, ends: [f64; 2]) -> Spans {
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
struct Spans {
    carbon: f64,
    scale: f64,
    steam: f64,
}

impl Spans {
    fn longest(self) -> f64 {
        math::at_least(self.carbon, self.scale)
    }
}

/// Longest stretch that Gauss's rule takes at once, in times of gas or scale: it errs by 1e-7 at worst, on soft soda water.
const STRETCH: f64 = 1.0;
/// The same where scale moves the end of the gas.
const TANGLED_STRETCH: f64 = 1.0 / 4.0;
/// Corners that one stretch may turn, and the share of it nearer than which they lie at its end.
const MOST_CORNERS: u8 = 4;
const CORNER: f64 = 1.0e-9;
/// A share of a stretch in which hardly anything comes down.
const SOON: f64 = 1.0e-3;
/// Turns in which the two settle, and share of the scale that they settle to.
const MOST_TURNS: u8 = 12;
const SETTLED: f64 = 1.0e-8;
/// Most kelvins of a ramp in a stretch.
const CLIMB_C: f64 = 33.0;
/// Stretches after which nothing moves any more but by steam.
const MOST_STRETCHES: u8 = 48;

/// Gauss's eight points between 0 and 1 with their weights (Abramowitz & Stegun 1964, table 25.4, moved from -1 and 1).
const GAUSS: [[f64; 2]; 8] = {
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

/// Where the end of the gas is asked for in a stretch: near Chebyshev's points, where a polynomial errs least.
const NODES: [f64; 6] = [0.0, 0.0955, 0.3455, 0.6545, 0.9045, 1.0];

/// A stretch of standing: all amounts per kg of water at its start, places in it from 0 to 1.
struct Stretch<'s> {
    course: &'s Course<'s>,
    /// Its first and last moment.
    ends: [f64; 2],
    /// Constants of liquor that is held.
    steady: Option<Aqueous>,
    start: Liquor,
    spans: Spans,
    /// Carbon that would leave for the air if a moment stayed for ever, of the gas's own time.
    leaving: Through,
    let_down: f64,
}

impl Stood {
    /// The liquor after a stretch more in two.
    fn in_two(
        self,
        course: &Course<'_>,
        [from, to]: [f64; 2],
        place: f64,
        corners: u8,
    ) -> Result<Stood, EquilibriumError> {
        let middle = from + (to - from) * place;
        let first = self.further(course, [from, middle], corners)?;
        first.further(course, [middle, to], corners)
    }

    /// The liquor after one stretch more, which may still turn so many corners.
    fn further(
        self,
        course: &Course<'_>,
        ends: [f64; 2],
        corners: u8,
    ) -> Result<Stood, EquilibriumError> {
        let spans = course.spans(ends);
        let is_corner = |place: f64| corners > 0 && place > CORNER && place < 1.0 - CORNER;
        let is_held = course.standing.from_c == course.standing.to_c;
        let mut stretch = Stretch {
            course,
            ends,
            steady: is_held.then(|| Aqueous::at(course.standing.to_c)),
            start: self.liquor,
            spans,
            leaving: Through::ZERO,
            let_down: (course.standing.precipitated_mol_per_kg + self.calcite_mol)
                / self.water_share,
        };
        let mut besides = stretch.look_ahead(&Through::ZERO)?;
        let begin = stretch.goal_at(0.0)?;
        let end = stretch.goal_at(1.0)?;
        let most = math::at_least(begin.max(end), 0.0);
        // Calcite that comes down before its time moves the end of the gas.
        let is_before = |(place, besides): (f64, &f64)| {
            let down = most * -math::exp_less_one(-stretch.spans_to(place).scale);
            down > math::at_least(*besides, 0.0)
        };
        let is_tangled = NODES.into_iter().zip(&besides).any(is_before);
        let mut goals = Through::ZERO;
        if is_tangled {
            if spans.longest() > TANGLED_STRETCH {
                return self.in_two(course, ends, 0.5, corners);
            }
            let onset = if begin < 0.0 { stretch.onset() } else { 0.0 };
            if is_corner(onset) {
                return self.in_two(course, ends, onset, corners - 1);
            }
            (goals, besides) = stretch.untangled()?;
            let stop = stretch.stop(&goals);
            if is_corner(stop) {
                return self.in_two(course, ends, stop, corners - 1);
            }
        }
        let [at_first, .., at_last] = besides;
        if (at_first > 0.0) != (at_last > 0.0) {
            let turn = stretch.turn(&goals, at_last > 0.0);
            if is_corner(turn) {
                return self.in_two(course, ends, turn, corners - 1);
            }
        }
        let calcite = if is_tangled {
            stretch.down(&goals, stretch.stop(&goals))
        } else {
            stretch.calcite(begin, end)?
        };
        let carbon = stretch.carbon_gone(spans.carbon);
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

/// A polynomial through values at the nodes (Newton), of a time of its own as shares of its span in the stretch.
#[derive(Clone, Copy)]
struct Through {
    span: f64,
    times: [f64; NODES.len()],
    differences: [f64; NODES.len()],
}

impl Through {
    const ZERO: Through = Through {
        span: 1.0,
        times: NODES,
        differences: [0.0; NODES.len()],
    };

    /// From times at the nodes, the last of them above 0.
    fn new(times: [f64; NODES.len()], values: [f64; NODES.len()]) -> Through {
        let [.., span] = times;
        let times = times.map(|time| time / span);
        let mut differences = values;
        for order in 1..NODES.len() {
            for node in (order..NODES.len()).rev() {
                differences[node] = (differences[node] - differences[node - 1])
                    / (times[node] - times[node - order]);
            }
        }
        Through {
            span,
            times,
            differences,
        }
    }

    fn at(&self, share: f64) -> f64 {
        let terms = self.times.iter().zip(self.differences).rev();
        terms.fold(0.0, |sum, (node, difference)| {
            sum * (share - node) + difference
        })
    }

    /// What follows these goals for some of their time, starting at 0.
    fn followed(&self, time: f64) -> f64 {
        if time <= 0.0 {
            return 0.0;
        }
        let share = time / self.span;
        let goals = GAUSS.map(|[place, weight]| {
            let weight = weight * math::exp(time * (place - LAST_POINT));
            [self.at(share * place), weight]
        });
        followed(goals, time)
    }
}

impl Stretch<'_> {
    fn moment(&self, place: f64) -> f64 {
        let [from, to] = self.ends;
        from + (to - from) * place
    }

    fn hot(&self, place: f64) -> Aqueous {
        let moving = || Aqueous::at(self.course.celsius(self.moment(place)));
        self.steady.clone().unwrap_or_else(moving)
    }

    fn spans_to(&self, place: f64) -> Spans {
        self.course.spans([self.ends[0], self.moment(place)])
    }

    /// Where liquor would end in touch with air for ever, from a place and with calcite that is down by then: carbon that would leave, and
    /// calcite that would come down besides; what is missing to it is told as an index.
    fn in_the_end(&self, place: f64, calcite: f64) -> Result<[f64; 2], EquilibriumError> {
        let share = math::exp(-self.spans_to(place).steam);
        let mut now = self.start.dosed(&calcite_removed(), calcite);
        // Calcite may have come down with carbon that the air has yet to give: the end is open, and asks for none.
        let carbon = now.carbon_mol_per_kg;
        now.carbon_mol_per_kg = math::at_least(carbon, 0.0);
        let now = of_water(&now, share);
        let mineral = [(Mineral::Calcite, 0.0)];
        let (end, down) = self
            .hot(place)
            .precipitated(&now, &mineral, Some(air_log10_pco2()))?;
        let down = down.iter().sum::<f64>() * share;
        let leaving = carbon - end.liquor.carbon_mol_per_kg * share - down;
        let index = end.saturation_index(Mineral::Calcite);
        Ok([leaving, if down > 0.0 { down } else { missing(index) }])
    }

    /// Sets the carbon dioxide that the air would take in the end, calcite coming down on its way to some goals; tells the calcite that would
    /// come down in the end besides. Less than that leaves the end of the gas where it is.
    fn look_ahead(&mut self, goals: &Through) -> Result<[f64; NODES.len()], EquilibriumError> {
        if self.spans.carbon <= 0.0 {
            return Ok([f64::INFINITY; NODES.len()]);
        }
        let (mut leaving, mut besides) = ([0.0; NODES.len()], [0.0; NODES.len()]);
        let stop = self.stop(goals);
        for (node, place) in NODES.into_iter().enumerate() {
            let down = self.down(goals, place.min(stop));
            [leaving[node], besides[node]] = self.in_the_end(place, down)?;
        }
        let times = NODES.map(|place| self.spans_to(place).carbon);
        self.leaving = Through::new(times, leaving);
        Ok(besides)
    }

    /// Where calcite goes, and what would come down besides in the end, each moving the other: by turns, until neither moves any more.
    fn untangled(&mut self) -> Result<(Through, [f64; NODES.len()]), EquilibriumError> {
        let times = NODES.map(|place| self.spans_to(place).scale);
        let mut goals = Through::ZERO;
        let mut last = f64::INFINITY;
        for _ in 0..MOST_TURNS {
            let mut values = [0.0; NODES.len()];
            for (value, place) in values.iter_mut().zip(NODES) {
                *value = self.exact_goal(place)?;
            }
            goals = Through::new(times, values);
            let down = self.down(&goals, self.stop(&goals));
            if (down - last).abs() <= SETTLED * down.abs() {
                break;
            }
            last = down;
            self.look_ahead(&goals)?;
        }
        let besides = self.look_ahead(&goals)?;
        Ok((goals, besides))
    }

    /// Calcite that is down by a place on its way to some goals.
    fn down(&self, goals: &Through, place: f64) -> f64 {
        math::at_least(goals.followed(self.spans_to(place).scale), 0.0)
    }

    /// Where calcite has caught up with goals that come back, as liquor takes up carbon dioxide or cools; 1 where it never does.
    fn stop(&self, goals: &Through) -> f64 {
        let ahead = |place: f64| {
            let time = self.spans_to(place).scale;
            goals.at(time / self.spans.scale) - goals.followed(time)
        };
        // Goals that rise out of nothing are ahead a moment later; what stops before that has hardly begun.
        if ahead(SOON) > 0.0 {
            math::falling_root(ahead, SOON, 1.0)
        } else {
            0.0
        }
    }

    /// Where calcite begins, or ceases, to take part in the end of the gas.
    fn turn(&self, goals: &Through, begins: bool) -> f64 {
        let sign = if begins { -1.0 } else { 1.0 };
        let stop = self.stop(goals);
        let besides = |place: f64| {
            let end = self.in_the_end(place, self.down(goals, place.min(stop)));
            end.map_or(0.0, |[_, besides]| sign * besides)
        };
        math::falling_root(besides, 0.0, 1.0)
    }

    /// Carbon dioxide gone after some of the gas's own time.
    fn carbon_gone(&self, time: f64) -> f64 {
        self.leaving.followed(time)
    }

    /// The liquor at a place, had nothing come down in this stretch, and the share of its water that is left.
    fn untouched(&self, spans: Spans) -> (Liquor, f64) {
        let share = math::exp(-spans.steam);
        let mut now = self.start;
        let carbon = now.carbon_mol_per_kg - self.carbon_gone(spans.carbon);
        now.carbon_mol_per_kg = math::at_least(carbon, 0.0);
        (of_water(&now, share), share)
    }

    /// Where the calcite of this stretch would go if the moment stayed, from the calcite that is too much in its liquor.
    fn goal(&self, too_much: f64) -> f64 {
        let reach = self.course.habits.scale_reach;
        reach * too_much - (1.0 - reach) * self.let_down
    }

    /// The goal at any place. What is missing to saturation is told in its own measure: only its sign counts.
    fn goal_at(&self, place: f64) -> Result<f64, EquilibriumError> {
        let (now, share) = self.untouched(self.spans_to(place));
        let calcite = [(Mineral::Calcite, 0.0)];
        let (end, down) = self.hot(place).precipitated(&now, &calcite, None)?;
        let down: f64 = down.iter().sum();
        let index = end.saturation_index(Mineral::Calcite);
        Ok(self.goal(if down > 0.0 {
            down * share
        } else {
            missing(index)
        }))
    }

    /// The place at which the goal comes above nothing.
    fn onset(&self) -> f64 {
        math::falling_root(|place| -self.goal_at(place).unwrap_or(0.0), 0.0, 1.0)
    }

    /// The goal at a place, below nothing by what would have to dissolve.
    fn exact_goal(&self, place: f64) -> Result<f64, EquilibriumError> {
        let (now, share) = self.untouched(self.spans_to(place));
        let too_much = self.hot(place).surplus(&now, Mineral::Calcite)? * share;
        Ok(self.goal(too_much))
    }

    /// Calcite that comes down in the stretch. It follows its goal as long as that lies before it; what has come down stays.
    fn calcite(&self, first: f64, last: f64) -> Result<f64, EquilibriumError> {
        if first <= 0.0 && last <= 0.0 {
            return Ok(0.0);
        }
        let begin = if first < 0.0 { self.onset() } else { 0.0 };
        let down = self.calcite_between(begin, 1.0)?;
        if last >= down {
            return Ok(down);
        }
        // The goal comes back, as liquor takes up carbon dioxide or cools: calcite stops where they meet.
        let ahead = |place: f64| {
            let goal = self.goal_at(place).unwrap_or(0.0);
            goal - self.calcite_between(begin, place).unwrap_or(0.0)
        };
        let end = math::falling_root(ahead, begin, 1.0);
        Ok(math::at_least(self.calcite_between(begin, end)?, 0.0))
    }

    /// Calcite that follows its goal from one place to another, starting at 0.
    fn calcite_between(&self, from: f64, to: f64) -> Result<f64, EquilibriumError> {
        let last = self.moment(from + (to - from) * LAST_POINT);
        let mut goals = [[0.0; 2]; GAUSS.len()];
        for (goal, [place, weight]) in goals.iter_mut().zip(GAUSS) {
            let place = from + (to - from) * place;
            let moment = self.moment(place);
            let to_come = self.course.spans([moment, last]).scale;
            let [_, rate, _] = self.course.rates(moment);
            let weight = weight * rate * math::exp(-to_come);
            *goal = [self.exact_goal(place)?, weight];
        }
        let ends = [self.moment(from), self.moment(to)];
        Ok(followed(goals, self.course.spans(ends).scale))
    }
}

/// The last of Gauss's points.
const LAST_POINT: f64 = GAUSS[7][0];

/// What is missing to saturation, by its index.
fn missing(index: f64) -> f64 {
    math::at_least(index, -1.0).min(0.0)
}

/// What follows its goal for a while, starting at 0: the mean of goals with their weights, those near the end counting most.
fn followed(goals: [[f64; 2]; GAUSS.len()], span: f64) -> f64 {
    let (mut sum, mut weights) = (0.0, 0.0);
    for [goal, weight] in goals {
        sum += weight * goal;
        weights += weight;
    }
    let mean = if weights > 0.0 { sum / weights } else { 0.0 };
    mean * -math::exp_less_one(-span)
}

/// A liquor's amounts in a share of its water.
pub(super) fn of_water(liquor: &Liquor, share: f64) -> Liquor {
    let nothing = Liquor {
        temperature_c: liquor.temperature_c,
        ..Liquor::default()
    };
    nothing.dosed(&liquor.as_dose(), 1.0 / share)
}
