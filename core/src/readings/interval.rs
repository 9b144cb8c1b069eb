//! Intervals of what a pH meter shows in liquor, skewed as its titration curve is.
//!
//! Liquor near its end point holds its pH by next to nothing: there a standard deviation of pH says
//! little, and a slope less. The causes act on the *acid that is missing* at a pH, in equivalents,
//! where alkalinity, strength and doses are straight lines; carbon dioxide bends, and the curve
//! from equivalents to pH bends most.
//!
//! An end of an interval is therefore the most extreme reading among all days whose causes together
//! lie 1.96 standard deviations from the planned ones: the inverse first-order reliability method
//! (Hasofer & Lind 1974, J. Eng. Mech. Div. 100, 111; Der Kiureghian, Zhang & Li 1994, J. Eng.
//! Mech. 120, 1154). It is exact where a reading rises or falls with a straight line in the causes,
//! by whatever curve. Without acid the reading itself is that line, near the end point the missing
//! acid is.
//!
//! Ion pairs keep the share of protons that they have in the planned liquor.

use underlet_tables::parameters;

use super::samples::Samples;
use super::scenario::{LiquorSample, Scenario, alkalinity_own_sd_eq_per_kg};
use crate::aqueous::{Acidity, EquilibriumError};
use crate::fit::sample_acidity;
use crate::liquor::{Dose, Liquor};
use crate::math::{self, TWO_SIDED_95};
use crate::recipe::Place;
use crate::uncertainty::Cause;
use crate::water_report::laboratory_ph_sd;

/// Between these a pH is looked for.
const PH_ENDS: [f64; 2] = [1.0, 13.0];
/// Where lactic acid and its like have given their protons: what alkalinity is left then keeps
/// carbon in liquor that is open to the air.
const NEUTRAL_PH: f64 = 7.0;
/// Steps of the search for an extreme reading, and what it may still gain.
const STEPS: usize = 30;
const CLOSE: f64 = 1e-4;

/// The liquors of a day with one cause perturbed by its standard deviation, down and up.
pub(crate) struct PerturbedLiquors {
    pub cause: Cause,
    pub below: Vec<LiquorSample>,
    pub above: Vec<LiquorSample>,
}

impl PerturbedLiquors {
    /// The liquors of a day with each of its causes perturbed.
    pub fn all(scenario: &Scenario<'_>, samples: &Samples) -> Vec<PerturbedLiquors> {
        let causes = scenario.causes().into_iter();
        let perturbed = causes.map(|cause| {
            let by = |by| scenario.perturbed(&cause, by, &samples.aqueous).liquors();
            let [below, above] = [-1.0, 1.0].map(by);
            PerturbedLiquors {
                cause,
                below,
                above,
            }
        });
        perturbed.collect()
    }
}

/// How carbon dioxide beyond air's stays in a sample.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kept {
    /// All of it.
    All,
    /// What cold liquor holds once it is dosed.
    Dosed,
    /// What heated liquor holds: anything between all and nothing.
    Hot,
}

/// What one cause moves in a kg of a liquor.
#[derive(Clone)]
struct Effect {
    /// By one standard deviation upwards.
    above: Dose,
    /// Exponent of what is no straight line: carbon dioxide, by the pH of its source.
    exponent: f64,
    /// The fewest standard deviations that change anything: where no alkalinity is left.
    least: f64,
}

impl Effect {
    fn of(cause: &Cause, scenario: &Scenario<'_>, [below, here, above]: [&Liquor; 3]) -> Effect {
        let from_here = |liquor: &Liquor| liquor.as_dose().plus(&here.as_dose().times(-1.0));
        let (below, above) = (from_here(below), from_here(above));
        let ratio = -above.carbon_mol / below.carbon_mol;
        let exponent = match cause {
            Cause::SourcePh(_) if ratio.is_finite() && ratio > 0.0 => math::ln(ratio),
            _ => 0.0,
        };
        let least = match *cause {
            Cause::SourceAlkalinity(source) => scenario.day.sources.get(source).map(|source| {
                -source.liquor.alkalinity_eq_per_kg / alkalinity_own_sd_eq_per_kg(source)
            }),
            _ => None,
        };
        Effect {
            above,
            exponent,
            least: least.filter(|least| least.is_finite()).unwrap_or(f64::MIN),
        }
    }

    /// How many times `above` so many standard deviations move, and the slope of that.
    fn times(&self, z: f64) -> [f64; 2] {
        if z < self.least {
            return [self.least, 0.0];
        }
        let whole = math::exp_less_one(self.exponent);
        if whole.abs() < 1e-6 {
            return [z, 1.0];
        }
        let rate = self.exponent / whole;
        [
            math::exp_less_one(self.exponent * z) / whole,
            rate * math::exp(self.exponent * z),
        ]
    }
}

/// A sample of liquor whose amounts vary with independent causes.
pub(crate) struct UncertainSample {
    acidity: Acidity,
    place: Place,
    planned: Liquor,
    effects: Vec<Effect>,
    kept: Kept,
    /// Carbon that the planned liquor holds in equilibrium with air, and pure water does, mol/kg.
    left_mol: f64,
    left_in_water_mol: f64,
    /// pH that a meter should show, and the acid that ion pairs save there, eq/kg.
    ph: f64,
    pairs_eq: f64,
    meter_sd: f64,
}

/// Acid that is missing at a pH in a sample of liquor whose causes are as planned.
pub(crate) struct MissingInSample {
    /// In eq/kg; negative where it is below that pH.
    pub mean_eq_per_kg: f64,
    /// What one more of each cause adds, eq/kg, in the order of [`Scenario::causes`].
    pub by_cause: Vec<f64>,
    /// The same of the carbon dioxide that it has kept, where any has left, with that cause.
    pub by_kept: Option<(Cause, f64)>,
    /// How much less is missing one pH higher, eq/kg.
    pub buffering: f64,
}

/// Liquor whose acid was poured until a meter showed its end point.
pub(crate) struct Poured {
    /// The liquor as it was dosed.
    pub liquor: UncertainSample,
    /// The acid, one unit of it in a kg of the liquor.
    pub acid: Dose,
    /// The end point.
    pub ph: f64,
}

/// A sample as its causes have it.
struct Drawn {
    amounts: Dose,
    /// Share of the carbon dioxide beyond air's that it has kept, and the slope of that.
    kept: [f64; 2],
    excess_mol: f64,
    /// Slope of the carbon left in equilibrium with air to the alkalinity.
    left_slope: f64,
    /// How far the meter is off.
    meter_off: f64,
}

impl UncertainSample {
    /// Every sample of a liquor of the day, in the order of work.
    ///
    /// # Errors
    /// [`EquilibriumError`] where one of the liquors has no equilibrium.
    pub fn all(
        scenario: &Scenario<'_>,
        planned: &[LiquorSample],
        perturbed: &[PerturbedLiquors],
        samples: &mut Samples,
    ) -> Result<Vec<(Place, UncertainSample)>, EquilibriumError> {
        let mut all = Vec::new();
        for (index, one) in planned.iter().enumerate() {
            let effects = perturbed.iter().filter_map(|by| {
                let [below, above] = [&by.below, &by.above].map(|liquors| liquors.get(index));
                let liquors = [&below?.liquor, &one.liquor, &above?.liquor];
                Some(Effect::of(&by.cause, scenario, liquors))
            });
            let sample = UncertainSample::of(samples, one, effects.collect())?;
            all.push((one.place, sample));
        }
        Ok(all)
    }

    fn of(
        samples: &mut Samples,
        one: &LiquorSample,
        effects: Vec<Effect>,
    ) -> Result<UncertainSample, EquilibriumError> {
        let liquor = &one.liquor;
        let [ph, _] = samples.shown(liquor, one.share_kept)?;
        let mut sample = UncertainSample {
            acidity: Acidity::of_sample(&liquor.ions, liquor.ionic_strength_mol_per_kg()),
            place: one.place,
            planned: *liquor,
            effects,
            kept: one.kept,
            left_mol: samples.carbon_left(liquor)?,
            left_in_water_mol: samples.carbon_left_in_water()?,
            ph,
            pairs_eq: 0.0,
            meter_sd: laboratory_ph_sd(ph),
        };
        let planned = sample.drawn(&vec![0.0; sample.count()]);
        sample.pairs_eq = sample.missing(&planned, ph)[0];
        Ok(sample)
    }

    /// The same liquor as it is dosed, before it is heated.
    ///
    /// # Errors
    /// [`EquilibriumError`] where it has no equilibrium.
    pub fn as_dosed(
        &self,
        scenario: &Scenario<'_>,
        samples: &mut Samples,
    ) -> Result<UncertainSample, EquilibriumError> {
        let dosed = LiquorSample {
            place: self.place,
            liquor: self.planned,
            kept: Kept::Dosed,
            share_kept: scenario.share_kept(Kept::Dosed),
        };
        UncertainSample::of(samples, &dosed, self.effects.clone())
    }

    /// The causes, carbon dioxide and the meter among them.
    fn count(&self) -> usize {
        self.effects.len() + 2
    }

    /// The sample with every cause so many standard deviations from planned.
    fn drawn(&self, z: &[f64]) -> Drawn {
        let (mut amounts, mut by) = (self.planned.as_dose(), z.iter().copied());
        for (effect, z) in self.effects.iter().zip(&mut by) {
            amounts = amounts.plus(&effect.above.times(effect.times(z)[0]));
        }
        let kept = by.next().map_or([1.0, 0.0], |z| self.kept.share(z));
        self.with(amounts, kept, self.meter_sd * by.next().unwrap_or(0.0))
    }

    /// The sample with other amounts.
    fn with(&self, amounts: Dose, kept: [f64; 2], meter_off: f64) -> Drawn {
        let net = |of: &Dose| of.alkalinity_eq - self.acidity.of_acids(&of.ions, NEUTRAL_PH);
        let left_mol = self.left_mol + net(&amounts) - net(&self.planned.as_dose());
        let is_above_water = left_mol > self.left_in_water_mol;
        let left_mol = math::at_least(left_mol, self.left_in_water_mol);
        Drawn {
            kept,
            excess_mol: math::at_least(amounts.carbon_mol - left_mol, 0.0),
            left_slope: f64::from(u8::from(is_above_water)),
            meter_off,
            amounts,
        }
    }

    /// Acid missing at a pH, eq/kg, and its slope per pH.
    fn missing(&self, drawn: &Drawn, ph: f64) -> [f64; 2] {
        let carbon_mol = drawn.amounts.carbon_mol - (1.0 - drawn.kept[0]) * drawn.excess_mol;
        let ions = &drawn.amounts.ions;
        let (charge, slope) = self.acidity.charge_and_slope(carbon_mol, ions, ph);
        [
            drawn.amounts.alkalinity_eq - charge - self.acidity.of_water(ph) - self.pairs_eq,
            -slope - self.acidity.of_water_slope(ph),
        ]
    }

    /// What one more of each cause adds to the acid missing at a pH, eq/kg; the meter not.
    fn missing_by_cause(&self, drawn: &Drawn, ph: f64, z: &[f64]) -> Vec<f64> {
        let effects = self.effects.iter().zip(z);
        let effects = effects.map(|(effect, z)| {
            effect.times(*z)[1] * self.missing_by_dose(drawn, ph, &effect.above)
        });
        let [_, kept_slope] = drawn.kept;
        let by_kept = -self.acidity.per_carbon(ph) * drawn.excess_mol * kept_slope;
        effects.chain([by_kept]).collect()
    }

    /// What a dose in a kg adds to the acid missing at a pH, eq/kg.
    fn missing_by_dose(&self, drawn: &Drawn, ph: f64, of: &Dose) -> f64 {
        let net = of.alkalinity_eq - self.acidity.of_acids(&of.ions, NEUTRAL_PH);
        let [kept, _] = drawn.kept;
        let carbon_mol = if drawn.excess_mol > 0.0 {
            kept * of.carbon_mol + (1.0 - kept) * drawn.left_slope * net
        } else {
            of.carbon_mol
        };
        let charge = self.acidity.of_acids(&of.ions, ph) + self.acidity.per_carbon(ph) * carbon_mol;
        of.alkalinity_eq - charge
    }

    /// True pH of a sample.
    fn ph_of(&self, drawn: &Drawn) -> f64 {
        let missing = |ph: f64| {
            let [missing, slope] = self.missing(drawn, ph);
            (missing, slope)
        };
        let [low, high] = PH_ENDS;
        let ph = math::falling_root_by_slope(missing, self.ph, low, high);
        ph.unwrap_or_else(math::NoRoot::nearer_end)
    }

    /// The reading, and what one more of each cause adds to it.
    fn reading(&self, z: &[f64]) -> (f64, Vec<f64>) {
        let drawn = self.drawn(z);
        let ph = self.ph_of(&drawn);
        let buffering = -self.missing(&drawn, ph)[1];
        let by_cause = self.missing_by_cause(&drawn, ph, z).into_iter();
        let slopes = by_cause.map(|eq| eq / buffering).chain([self.meter_sd]);
        (ph + drawn.meter_off, slopes.collect())
    }

    /// Interval that holds 95 % of what a meter shows.
    pub fn interval_95(&self) -> [f64; 2] {
        [-1.0, 1.0].map(|side| extreme(self.count(), side, |z| self.reading(z)))
    }

    /// Acid, eq/kg, that is missing when a meter shows a pH, and what one more of each cause adds
    /// to it.
    fn missing_when_shown(&self, ph: f64, z: &[f64]) -> (f64, Vec<f64>) {
        let drawn = self.drawn(z);
        let there = ph - drawn.meter_off;
        let [missing, slope] = self.missing(&drawn, there);
        let mut slopes = self.missing_by_cause(&drawn, there, z);
        slopes.push(-slope * self.meter_sd);
        (missing, slopes)
    }

    /// Acid that is missing at a pH where every cause is as planned, and what each adds to it.
    pub fn missing_at(&self, ph: f64) -> MissingInSample {
        let planned = vec![0.0; self.count()];
        let drawn = self.drawn(&planned);
        let [mean_eq_per_kg, slope] = self.missing(&drawn, ph);
        let mut by_cause = self.missing_by_cause(&drawn, ph, &planned);
        let by_kept = by_cause.pop();
        MissingInSample {
            mean_eq_per_kg,
            by_cause,
            by_kept: self.kept.cause().zip(by_kept),
            buffering: -slope,
        }
    }

    /// Acid, eq/kg, that is missing when a meter shows a pH: 95 % of days lie between the two.
    pub fn missing_between(&self, ph: f64) -> [f64; 2] {
        [-1.0, 1.0].map(|side| extreme(self.count(), side, |z| self.missing_when_shown(ph, z)))
    }

    /// Interval that holds 95 % of what a meter shows in liquor whose acid was poured until it
    /// showed the end point. As much more acid is in it as was missing then, so that what is not
    /// known about water and acid falls out, and the two readings and the carbon dioxide remain.
    pub fn interval_95_once_poured(&self, poured: &Poured) -> [f64; 2] {
        if self.kept == Kept::Dosed {
            let half_width = TWO_SIDED_95 * self.meter_sd;
            return [poured.ph - half_width, poured.ph + half_width];
        }
        let count = self.count() + 2;
        [-1.0, 1.0].map(|side| extreme(count, side, |z| self.reading_once_poured(poured, z)))
    }

    /// The reading in liquor that was poured to its end point, and what one more of each cause adds
    /// to it: the causes of both samples, then carbon dioxide and meter of the one that is read,
    /// then of the one that was poured to.
    fn reading_once_poured(&self, poured: &Poured, z: &[f64]) -> (f64, Vec<f64>) {
        let both = self.effects.len();
        let (here, then) = z.split_at(self.count());
        let then: Vec<f64> = [&z[..both], then].concat();
        let (missing, slopes_then) = poured.liquor.missing_when_shown(poured.ph, &then);
        let per_unit_eq = poured.liquor.acid_eq(&poured.acid, poured.ph);
        let by_volume = self.drawn(here);
        let amounts = by_volume
            .amounts
            .plus(&poured.acid.times(missing / per_unit_eq));
        let drawn = self.with(amounts, by_volume.kept, by_volume.meter_off);

        let ph = self.ph_of(&drawn);
        let buffering = -self.missing(&drawn, ph)[1];
        let by_acid = self.missing_by_dose(&drawn, ph, &poured.acid) / per_unit_eq;
        let by_cause_then = slopes_then.iter().map(|eq| by_acid * eq / buffering);
        let by_cause_then: Vec<f64> = by_cause_then.collect();
        let by_cause = self.missing_by_cause(&drawn, ph, here).into_iter();
        let mut slopes: Vec<f64> = by_cause.map(|eq| eq / buffering).collect();
        for (slope, then) in slopes.iter_mut().zip(&by_cause_then[..both]) {
            *slope += then;
        }
        slopes.push(self.meter_sd);
        slopes.extend(&by_cause_then[both..]);
        (ph + drawn.meter_off, slopes)
    }

    /// Acid, eq/kg, that a dose in a kg gives at a pH.
    pub fn acid_eq(&self, dose: &Dose, ph: f64) -> f64 {
        self.acidity.of_acids(&dose.ions, ph) - dose.alkalinity_eq
    }

    /// The same of an acid that need not be in it yet.
    pub fn acid_eq_of_any(&self, dose: &Dose, ph: f64) -> f64 {
        sample_acidity(&self.planned).of_acids(&dose.ions, ph) - dose.alkalinity_eq
    }

    /// pH that a meter should show.
    pub const fn ph(&self) -> f64 {
        self.ph
    }
}

impl Kept {
    /// What makes it uncertain.
    const fn cause(self) -> Option<Cause> {
        match self {
            Kept::All => None,
            Kept::Dosed => Some(Cause::CarbonDioxideDosed),
            Kept::Hot => Some(Cause::CarbonDioxideHot),
        }
    }

    /// The share kept at so many standard deviations, and its slope.
    fn share(self, z: f64) -> [f64; 2] {
        match self {
            Kept::All => [1.0, 0.0],
            Kept::Dosed => {
                let kept = parameters::CHECK_CARBON_KEPT_DOSED;
                let share = kept.value + kept.sd * z;
                if (0.0..=1.0).contains(&share) {
                    [share, kept.sd]
                } else {
                    [share.clamp(0.0, 1.0), 0.0]
                }
            }
            Kept::Hot => {
                let bell = math::exp(-z * z / 2.0) / std::f64::consts::TAU.sqrt();
                [math::normal_below(z), bell]
            }
        }
    }
}

/// The greatest (`side` 1) or least (−1) value 1.96 standard deviations from planned, of a function
/// that gives its slopes: the direction is that of its slopes where it was last, and is gone by
/// half where that overshoots.
fn extreme(count: usize, side: f64, function: impl Fn(&[f64]) -> (f64, Vec<f64>)) -> f64 {
    let mut here = vec![0.0; count];
    let (mut value, mut slopes) = function(&here);
    let mut part = 1.0;
    for step in 0..STEPS {
        let length = math::root_of_squares(&slopes);
        if length <= 0.0 {
            break;
        }
        let goal = slopes
            .iter()
            .map(|slope| side * TWO_SIDED_95 * slope / length);
        let next = here.iter().zip(goal);
        let next: Vec<f64> = next
            .map(|(here, goal)| here + part * (goal - here))
            .collect();
        let next_length = math::root_of_squares(&next);
        if next_length <= 0.0 {
            break;
        }
        let next: Vec<f64> = next
            .iter()
            .map(|z| z * TWO_SIDED_95 / next_length)
            .collect();
        let (next_value, next_slopes) = function(&next);
        let gain = side * (next_value - value);
        if step == 0 || gain > 0.0 {
            (here, value, slopes) = (next, next_value, next_slopes);
        } else {
            part /= 2.0;
        }
        if step > 0 && gain.abs() < CLOSE * length {
            break;
        }
    }
    value
}

#[cfg(test)]
mod tests {
    use super::{Effect, extreme};
    use crate::liquor::Dose;
    use crate::math::{self, TWO_SIDED_95};
    use approx::assert_abs_diff_eq;

    /// Of a rising function of a straight line in the causes the quantile is the function's of the
    /// quantile, however it bends: exp(a·z) is log-normal, and 97.5 % of it lie below exp(1.96 |a|)
    /// (Johnson, Kotz & Balakrishnan 1994, Continuous univariate distributions 1, chapter 14).
    #[test]
    fn an_extreme_of_a_log_normal_is_its_quantile() {
        let slopes = [0.3, -0.4, 1.2];
        let log_normal = |z: &[f64]| {
            let line: f64 = slopes.iter().zip(z).map(|(slope, z)| slope * z).sum();
            let value = math::exp(line);
            (value, slopes.iter().map(|slope| slope * value).collect())
        };
        let log_sd = math::root_of_squares(slopes);
        for side in [-1.0, 1.0] {
            let quantile = math::exp(side * TWO_SIDED_95 * log_sd);
            let found = extreme(slopes.len(), side, log_normal);
            assert_abs_diff_eq!(found, quantile, epsilon = 1e-9 * quantile);
        }
    }

    /// The greatest of a·z − b z₁² is found although the slope turns with z: here by
    /// the angle, in small steps.
    #[test]
    fn an_extreme_of_a_curved_function_is_found() {
        let curved = |z: &[f64]| {
            let value = z[0] + 0.5 * z[1] - 0.4 * z[0] * z[0];
            (value, vec![1.0 - 0.8 * z[0], 0.5])
        };
        let on_circle = |step: i32| {
            let angle = f64::from(step) / 10_000.0 * std::f64::consts::TAU;
            curved(&[TWO_SIDED_95 * angle.cos(), TWO_SIDED_95 * angle.sin()]).0
        };
        let most = (0..10_000).map(on_circle).fold(f64::MIN, f64::max);
        assert_abs_diff_eq!(extreme(2, 1.0, curved), most, epsilon = 1e-3);
    }

    /// What no cause moves has no width.
    #[test]
    fn a_constant_is_its_own_extreme() {
        assert_eq!(extreme(2, 1.0, |_| (7.0, vec![0.0, 0.0])), 7.0);
    }

    /// Carbon dioxide at a pH is in proportion to 10^−pH, so that two standard deviations of 0.2
    /// times it by 10^0.4 to one side and by 10^−0.4 to the other.
    #[test]
    fn carbon_moves_as_an_exponential() {
        let factor = math::exp(-0.2 * math::LN_10);
        let effect = Effect {
            above: Dose::default(),
            exponent: math::ln(factor),
            least: f64::MIN,
        };
        for z in [-2.0, -1.0, 0.0, 0.5, 1.0, 2.0] {
            let [times, slope] = effect.times(z);
            let moved = 1.0 + times * (factor - 1.0);
            assert_abs_diff_eq!(moved, math::exp(-0.2 * math::LN_10 * z), epsilon = 1e-12);
            let by = 1e-6;
            let secant = (effect.times(z + by)[0] - effect.times(z - by)[0]) / (2.0 * by);
            assert_abs_diff_eq!(slope, secant, epsilon = 1e-6);
        }
    }
}
