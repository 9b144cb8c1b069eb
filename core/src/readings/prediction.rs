//! What every meter should show on a day, and what makes it show something else.

use underlet_tables::parameters;

use super::interval::{PerturbedLiquors, UncertainSample};
use super::samples::Samples;
use super::scenario::{
    LiquorSample, Scenario, alkalinity_by_strength_sd_eq_per_kg, alkalinity_own_sd_eq_per_kg,
};
use crate::aqueous::EquilibriumError;
use crate::fit::{BrewUncertainty, Kettle, acid_sd_eq, in_mash, sample_acidity};
use crate::liquor::Liquor;
use crate::mash::{Forecast, liquor_eq};
use crate::math::{self, TWO_SIDED_95};
use crate::recipe::{Meter, Place, Source};
use crate::uncertainty::{Cause, Sensitivities, slope_and_curvature};

/// All readings that a day can have: those of liquors first, as [`Scenario::samples`] has them.
#[derive(Clone, Debug)]
pub(crate) struct Prediction {
    pub lines: Vec<Line>,
}

/// What one meter should show at one place.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub place: Place,
    pub meter: Meter,
    pub mean: f64,
    /// To the causes that it may share with other lines, the same in every line of a prediction:
    /// slope and curvature of each of [`Scenario::causes`], then the model of conductivity and the
    /// rest of the mash's error bar.
    pub shared: Sensitivities,
    /// The same to those of them that every brew of the day has in common: what lines of different
    /// brews share.
    pub common: Sensitivities,
    /// Standard deviation by the causes that move it alone, but for the meter.
    pub own_sd: f64,
    /// Of a pH the interval that holds 95 % of what a meter shows, where it is known.
    pub interval_95: Option<[f64; 2]>,
}

impl Line {
    /// Standard deviation of what a meter shows there.
    pub fn sd(&self) -> f64 {
        math::root_of_squares([
            self.shared.sd(),
            self.own_sd,
            self.meter.offset_sd(self.mean),
            self.meter.correction_sd(self.mean),
            self.meter.repeat_sd(self.place, self.mean),
        ])
    }

    /// Covariance with a line of the same brew or of another: by what moves this line alone, where
    /// it is the same one, and by the causes that lines share; but for the meters.
    pub fn covariance(&self, other: &Line, is_same_brew: bool) -> [f64; 2] {
        // Each brew is heated anew; what is not known of a kettle is alike in all.
        let is_same = (self.place, self.meter) == (other.place, other.meter)
            && (is_same_brew || self.meter != Meter::Temperature);
        let own = if is_same {
            self.own_sd * other.own_sd
        } else {
            0.0
        };
        let shared = if is_same_brew {
            self.shared.covariance(&other.shared)
        } else {
            self.common.covariance(&other.common)
        };
        [own, shared]
    }

    /// Slope and curvature of each of the causes of the day, of which there are so many.
    pub fn slopes_and_curvatures(&self, causes: usize) -> (Vec<f64>, Vec<f64>) {
        let pairs = self.shared.as_slice().chunks_exact(2).take(causes);
        pairs.map(|pair| (pair[0], pair[1])).unzip()
    }

    /// Standard deviation of what is computed of it, where it is a conductivity.
    pub fn modelled_sd(&self) -> f64 {
        match self.meter {
            Meter::Conductivity => parameters::CONDUCTIVITY_MODEL_RELATIVE_SD.value * self.mean,
            Meter::Ph | Meter::Temperature => 0.0,
        }
    }

    /// How many of its standard deviations a pH of liquor moves for one of a reading that is off to
    /// one side, and the height of its distribution beside that of a symmetric one: two halves of
    /// normal distributions, as wide as the two sides of the interval.
    pub fn skew(&self, off: f64) -> [f64; 2] {
        let Some([low, high]) = self.interval_95.filter(|_| !self.place.is_wort()) else {
            return [1.0, 1.0];
        };
        let symmetric = TWO_SIDED_95 * self.sd();
        let side = if off < 0.0 {
            self.mean - low
        } else {
            high - self.mean
        };
        [symmetric / side, 2.0 * symmetric / (high - low)]
    }
}

/// Half the distance between two pH for the slope of a kettle's pH with that of its mash.
const SLOPE_STEP_PH: f64 = 0.01;

impl Prediction {
    /// The prediction of a day as it went.
    pub fn of(scenario: &Scenario<'_>) -> Result<Prediction, EquilibriumError> {
        let (prediction, _) = Prediction::with_liquors(scenario, &mut Samples::new())?;
        Ok(prediction)
    }

    /// The same with the liquors that it is made of.
    pub fn with_liquors(
        scenario: &Scenario<'_>,
        samples: &mut Samples,
    ) -> Result<(Prediction, Vec<(Place, UncertainSample)>), EquilibriumError> {
        let wort = WortPrediction::of(scenario);
        let planned = scenario.liquors();
        let perturbed = PerturbedLiquors::all(scenario, samples);
        let liquors = UncertainSample::all(scenario, &planned, &perturbed, samples)?;
        let mut lines = lines(scenario, samples, &planned, &wort)?;
        for by in &perturbed {
            share(&mut lines, samples, &wort, by)?;
        }
        let common_share = wort.mash.common_share(&perturbed);
        for line in &mut lines {
            let modelled = line.modelled_sd();
            let own = match line.meter {
                Meter::Ph => wort.own_sd(line.place, &perturbed),
                Meter::Conductivity | Meter::Temperature => 0.0,
            };
            line.shared.extend([modelled, own]);
            line.common.extend([modelled, common_share * own]);
        }
        for (place, liquor) in &liquors {
            let mut lines = lines.iter_mut();
            if let Some(line) = lines.find(|one| (one.place, one.meter) == (*place, Meter::Ph)) {
                line.interval_95 = Some(liquor.interval_95());
            }
        }
        Ok((Prediction { lines }, liquors))
    }

    /// The same with the intervals of mash and wort, which take longer.
    #[must_use]
    pub fn with_wort_intervals(mut self, scenario: &Scenario<'_>) -> Prediction {
        let wort = WortPrediction::of(scenario);
        let of_mash = wort.mash.interval_95();
        for line in &mut self.lines {
            line.interval_95 = match (line.place, line.meter) {
                (Place::MashFirst, Meter::Ph) => {
                    let first = wort.first.as_ref();
                    first.map(MashPrediction::interval_95)
                }
                (Place::Mash, Meter::Ph) => Some(of_mash),
                (Place::Kettle, Meter::Ph) => Some(wort.kettle_interval_95(line.sd(), of_mash)),
                _ => line.interval_95,
            };
        }
        self
    }

    /// How far a meter reads above what it read in the liquor as drawn, and the standard deviation
    /// of that: what both readings share falls out.
    pub fn rise(&self, place: Place, meter: Meter) -> Option<[f64; 2]> {
        let (line, drawn) = (
            self.line(place, meter)?,
            self.line(Place::ColdLiquor, meter)?,
        );
        if place == Place::ColdLiquor || place.is_wort() {
            return None;
        }
        let offset = meter.offset_sd(line.mean) - meter.offset_sd(drawn.mean);
        let [correction, of_drawn] = [line, drawn].map(|one| meter.correction_sd(one.mean));
        let corrections = if place.is_sampled_cold() {
            [correction - of_drawn, 0.0]
        } else {
            [correction, of_drawn]
        };
        let repeats = [line, drawn].map(|one| meter.repeat_sd(one.place, one.mean));
        let parts = [line.shared.difference_sd(&drawn.shared), offset];
        let parts = parts.into_iter().chain(corrections).chain(repeats);
        let sd = math::root_of_squares(parts);
        Some([line.mean - drawn.mean, sd])
    }

    /// The line of a place and a meter.
    pub fn line(&self, place: Place, meter: Meter) -> Option<&Line> {
        let mut lines = self.lines.iter();
        lines.find(|line| (line.place, line.meter) == (place, meter))
    }
}

/// Every line with its middle.
fn lines(
    scenario: &Scenario<'_>,
    samples: &mut Samples,
    planned: &[LiquorSample],
    wort: &WortPrediction<'_, '_>,
) -> Result<Vec<Line>, EquilibriumError> {
    let mut lines = Vec::new();
    let mut line = |place, meter, mean, own_sd| {
        lines.push(Line {
            place,
            meter,
            mean,
            shared: Sensitivities::default(),
            common: Sensitivities::default(),
            own_sd,
            interval_95: None,
        });
    };
    for (one, [ph, conductivity]) in planned.iter().zip(samples.all(planned)?) {
        line(one.place, Meter::Ph, ph, 0.0);
        line(one.place, Meter::Conductivity, conductivity, 0.0);
    }
    if let Some(first) = &wort.first {
        line(Place::MashFirst, Meter::Ph, first.forecast.ph, 0.0);
    }
    line(Place::Mash, Meter::Ph, wort.mash.forecast.ph, 0.0);
    line(Place::Kettle, Meter::Ph, wort.kettle_ph, wort.kettle_own_sd);
    let set_sd = parameters::CHECK_TEMPERATURE_SET_SD.value;
    for (place, temperature_c) in temperatures(scenario) {
        line(place, Meter::Temperature, temperature_c, set_sd);
    }
    Ok(lines)
}

/// Adds to every line what one cause moves it by: the slope over the error bar and not the one at
/// its middle, and the curvature. Where a line goes as `a z + c z²` with a standard normal z, its
/// mean square is `a² + 3 c²` and the two parts are not correlated, so the curvature is a cause of
/// its own, as large as √3 c. Liquor whose acid all but uses up its alkalinity bends that much.
fn share(
    lines: &mut [Line],
    samples: &mut Samples,
    wort: &WortPrediction<'_, '_>,
    by: &PerturbedLiquors,
) -> Result<(), EquilibriumError> {
    let (above, below) = (samples.all(&by.above)?, samples.all(&by.below)?);
    for (index, line) in lines.iter_mut().enumerate() {
        let moved = match (line.place, line.meter) {
            (_, Meter::Temperature) => [0.0; 2],
            (place, _) if place.is_wort() => [wort.moved_by(place, &by.cause), 0.0],
            _ => match (above.get(index / 2), below.get(index / 2)) {
                (Some(above), Some(below)) => {
                    let (above, below) = (above[index % 2], below[index % 2]);
                    let [slope, curvature] = slope_and_curvature([below, line.mean, above]);
                    [slope, 3.0_f64.sqrt() * curvature]
                }
                _ => [0.0; 2],
            },
        };
        line.shared.extend(moved);
        if wort.mash.scenario.is_common(&by.cause) {
            line.common.extend(moved);
        }
    }
    Ok(())
}

/// Temperatures of the day, as planned.
fn temperatures(scenario: &Scenario<'_>) -> Vec<(Place, f64)> {
    let day = scenario.day;
    let mut temperatures = Vec::new();
    // A fill that is stated cold is heated to the draws.
    let hottest = day.hottest_liquor_c() - parameters::STRIKE_TOLERANCE.value;
    if let Some(tank) = day.tank.filter(|tank| tank.temperature_c >= hottest) {
        temperatures.push((Place::Tank, tank.temperature_c));
    }
    temperatures.push((Place::MashLiquor, day.mash.temperature_c));
    temperatures.push((Place::Mash, day.rest_temperature_c));
    if let Some(sparge) = &day.sparge {
        temperatures.push((Place::SpargeLiquor, sparge.temperature_c));
    }
    temperatures
}

/// The mash with what has been given to it.
pub(super) struct MashPrediction<'w, 'a> {
    scenario: &'w Scenario<'a>,
    doses: Vec<f64>,
    liquor: Liquor,
    uncertainty: BrewUncertainty,
    forecast: Forecast,
}

impl<'w, 'a> MashPrediction<'w, 'a> {
    pub fn of(scenario: &'w Scenario<'a>, doses: Vec<f64>) -> MashPrediction<'w, 'a> {
        let (problem, shares) = (&scenario.problem, &scenario.shares);
        let liquor = problem.liquors(shares, &doses).mash;
        let mash = problem.mash(liquor);
        let uncertainty = BrewUncertainty::of(scenario.day, problem, shares, &doses, &mash);
        MashPrediction {
            forecast: mash.forecast_dosed(&uncertainty.doses),
            scenario,
            doses,
            liquor,
            uncertainty,
        }
    }

    /// What its pH moves by with one standard deviation of a cause, as far as the plan's error bar
    /// counts it: of the water its alkalinity, of the additions the acids.
    pub fn moved_by(&self, cause: &Cause) -> f64 {
        let (day, problem) = (self.scenario.day, &self.scenario.problem);
        let share = |source: usize| self.scenario.shares.get(source).copied().unwrap_or(0.0);
        let by_alkalinity = |source: usize, sd: fn(&Source) -> f64| {
            let sd = day.sources.get(source).map_or(0.0, sd);
            problem.waters.mash_kg * share(source) * sd
        };
        let proton_deficit_eq = match *cause {
            Cause::SourceStrength(source) => {
                by_alkalinity(source, alkalinity_by_strength_sd_eq_per_kg)
            }
            Cause::SourceAlkalinity(source) => by_alkalinity(source, alkalinity_own_sd_eq_per_kg),
            Cause::SourceComponent { source, place } => {
                let mash = problem.mash(self.liquor);
                let component = self.scenario.component(source, place);
                let moved = |change| liquor_eq(&mash, self.forecast.ph, change);
                share(source) * component.map_or(0.0, moved)
            }
            Cause::Dose(place) => {
                let given = problem.doses.get(place).zip(self.doses.get(place));
                let acid = given.filter(|(option, _)| {
                    option.preparation.is_acid() && option.vessel.comes_to_mash()
                });
                acid.map_or(0.0, |(option, amount)| {
                    let dose = in_mash(problem, option, *amount);
                    -acid_sd_eq(&sample_acidity(&self.liquor), &dose, self.forecast.ph)
                })
            }
            _ => 0.0,
        };
        proton_deficit_eq / self.forecast.buffering_eq_per_ph
    }

    fn interval_95(&self) -> [f64; 2] {
        let mash = self.scenario.problem.mash(self.liquor);
        mash.interval(&self.uncertainty.doses, &self.forecast, TWO_SIDED_95)
    }

    /// Standard deviation by all the rest that moves its pH: malts, sampling, calcium, chalk,
    /// carbon dioxide.
    fn own_sd(&self, perturbed: &[PerturbedLiquors]) -> f64 {
        let all = self.forecast.sd * self.forecast.sd;
        let meter = parameters::METER_SD.value * parameters::METER_SD.value;
        let shared = perturbed.iter().map(|by| self.moved_by(&by.cause));
        let shared: f64 = shared.map(|moved| moved * moved).sum();
        math::at_least(all - meter - shared, 0.0).sqrt()
    }

    /// The share of that which all mashes of the day have in common: all but when and how each is
    /// sampled.
    fn common_share(&self, perturbed: &[PerturbedLiquors]) -> f64 {
        let own_sd = self.own_sd(perturbed);
        if own_sd <= 0.0 {
            return 0.0;
        }
        let sampling = parameters::MASH_PH_DEFINITION_SD.value / own_sd;
        math::at_least(1.0 - sampling * sampling, 0.0).sqrt()
    }
}

/// Mash and kettle of a day.
struct WortPrediction<'w, 'a> {
    /// The mash with all its acid.
    mash: MashPrediction<'w, 'a>,
    /// The mash with the first part of it, where it is given in two.
    first: Option<MashPrediction<'w, 'a>>,
    kettle_ph: f64,
    /// What the kettle's pH moves by with that of the mash.
    carried: f64,
    kettle_own_sd: f64,
}

impl<'w, 'a> WortPrediction<'w, 'a> {
    fn of(scenario: &'w Scenario<'a>) -> WortPrediction<'w, 'a> {
        let mash = MashPrediction::of(scenario, scenario.doses.clone());
        let first = scenario.first_doses();
        let liquors = scenario.after(|_| true);
        let kettle = Kettle {
            day: scenario.day,
            problem: &scenario.problem,
            forecast: &mash.forecast,
            alkalinity_sd_eq_per_kg: mash.uncertainty.doses.alkalinity_eq_per_kg,
            keeps_limits: true,
        };
        let full =
            |by_ph: f64| kettle.full(&liquors.mash, &liquors.sparge, mash.forecast.ph + by_ph);
        let wort = full(0.0);
        let slope = full(SLOPE_STEP_PH).ph - full(-SLOPE_STEP_PH).ph;
        let carried = slope / (2.0 * SLOPE_STEP_PH);
        let by_mash = carried * mash.forecast.sd;
        WortPrediction {
            kettle_ph: wort.ph,
            carried,
            kettle_own_sd: math::at_least(wort.sd * wort.sd - by_mash * by_mash, 0.0).sqrt(),
            first: first.map(|doses| MashPrediction::of(scenario, doses)),
            mash,
        }
    }

    /// The kettle's interval: what the mash brings is as skewed as the mash, the rest is not.
    fn kettle_interval_95(&self, sd: f64, of_mash: [f64; 2]) -> [f64; 2] {
        let forecast = &self.mash.forecast;
        let meter = parameters::METER_SD.value;
        let by_mash =
            self.carried * math::at_least(forecast.sd * forecast.sd - meter * meter, 0.0).sqrt();
        let by_rest = math::at_least(sd * sd - by_mash * by_mash, 0.0).sqrt();
        of_mash.map(|end| {
            let skewed = by_mash * (end - forecast.ph).abs() / forecast.sd;
            let half_width = math::root_of_squares([skewed, TWO_SIDED_95 * by_rest]);
            self.kettle_ph + half_width.copysign(end - forecast.ph)
        })
    }

    /// What one standard deviation of a cause moves the pH of a wort by.
    fn moved_by(&self, place: Place, cause: &Cause) -> f64 {
        match (place, &self.first) {
            (Place::MashFirst, Some(first)) => first.moved_by(cause),
            (Place::Mash, _) => self.mash.moved_by(cause),
            (Place::Kettle, _) => self.carried * self.mash.moved_by(cause),
            _ => 0.0,
        }
    }

    /// Standard deviation of the pH of a wort by the rest of what moves the mash.
    fn own_sd(&self, place: Place, perturbed: &[PerturbedLiquors]) -> f64 {
        match (place, &self.first) {
            (Place::MashFirst, Some(first)) => first.own_sd(perturbed),
            (Place::Mash, _) => self.mash.own_sd(perturbed),
            (Place::Kettle, _) => self.carried * self.mash.own_sd(perturbed),
            _ => 0.0,
        }
    }
}
