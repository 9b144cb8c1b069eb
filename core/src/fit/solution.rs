//! The solution of a brew day: draws and doses, and the mash, sparge liquor and kettle that follow.

use std::fmt;

use super::aim::Aimed;
use super::day_terms::{LIMIT_ROUNDING, reached_mg_per_l};
use super::dechlorination::Removal;
use super::kettle::{DosedKettle, Kettle, KettleDose, zinc, zinc_per_kg};
use super::mash_and_sparge::MashAndSparge;
use super::opposed::solve_unopposed;
use super::problem::{Liquors, Problem};
use super::problem_of_day::problem_without;
use super::result::{FitError, FitResult};
use super::steps::{Step, steps};
use super::two_stages::first_share;
use super::uncertainty::BrewUncertainty;
use super::uptake::Full;
use crate::aqueous::EquilibriumError;
use crate::component::Component;
use crate::error::InputError;
use crate::liquor::{Dose, Liquor};
use crate::mash::Forecast;
use crate::math;
use crate::recipe::{BrewDay, LimitedQuantity, TargetKey, Targets};

/// Why a day has no plan: it does not make sense, or its amounts differ by more than the arithmetic
/// can hold.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum PlanError {
    /// The day does not make sense: every problem that [`BrewDay::check`] found.
    Input(InputError),
    /// They cannot be put into one proven fit.
    Fit(FitError),
    /// A liquor of the day has no equilibrium.
    Equilibrium(EquilibriumError),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PlanError::Input(error) => write!(f, "{error}"),
            PlanError::Fit(fit) => write!(f, "no proven plan: {fit}"),
            PlanError::Equilibrium(error) => write!(f, "no equilibrium: {error}"),
        }
    }
}

impl std::error::Error for PlanError {}

impl From<InputError> for PlanError {
    fn from(error: InputError) -> PlanError {
        PlanError::Input(error)
    }
}

impl From<FitError> for PlanError {
    fn from(error: FitError) -> PlanError {
        PlanError::Fit(error)
    }
}

impl From<EquilibriumError> for PlanError {
    fn from(error: EquilibriumError) -> PlanError {
        PlanError::Equilibrium(error)
    }
}

/// Most times that a day is solved again to keep its hard limits: with less acid for the kettle, or
/// with lower limits for what the scale rounds up against chlorine. One is usual, two where two
/// limits are in the way.
const ROUNDS: usize = 3;

/// What a day draws and doses.
pub(crate) struct Solution<'a> {
    pub day: &'a BrewDay,
    /// The targets of the day, with the defaults of what it leaves open.
    pub targets: Targets,
    /// The problem that was solved, ranges of pH narrowed for a confidence and chlorine removed.
    pub problem: Problem<'a>,
    /// Its proven optimum, as weighed and before rounding.
    pub fitted: FitResult,
    /// How each pH was aimed, where the day gives a confidence.
    pub aimed: MashAndSparge<Option<Aimed>>,
    /// Vessels whose liquor takes up no more of what the targets ask for.
    pub full: Vec<Full>,
    /// How chlorine is removed from the sources, where they hold some.
    pub removal: Option<Removal<'a>>,
    pub liquors: Liquors,
    pub uncertainty: BrewUncertainty,
    /// The forecast of the mash.
    pub forecast: Forecast,
    pub kettle: DosedKettle<'a>,
    /// Whether its acid stays within the hard limits of the day, which the fit left room for.
    keeps_limits: bool,
    /// The zinc dose of the day.
    pub zinc: Option<KettleDose<'a>>,
    /// Share of the acid for the mash that goes in before its first reading.
    pub first_share: f64,
    /// All of that to weigh and measure out, in the order of work.
    pub steps: Vec<Step>,
}

/// Solves a day. Acid for the kettle is dosed after the fit; where it brings sulfate, chloride or
/// what a hard limit is on, the day is solved once more with them in the kettle already. Where no
/// plan keeps its hard limits then, the kettle gets as much of its acid as they leave room for.
///
/// # Errors
/// [`FitError`] where the fit has no certified optimum.
pub(crate) fn solve_day(day: &BrewDay) -> Result<Solution<'_>, FitError> {
    let solution = solve_with(day, Dose::default(), false)?;
    let Some(acid) = &solution.kettle.acid else {
        return Ok(solution);
    };
    let unit = acid.shelved.preparation.dose_per_unit();
    let per_kg = unit.times(1.0 / solution.problem.waters.kettle_kg);
    let limits = &day.targets.limits;
    let is_limited = limits.iter().any(|(of, _)| of.mg_per_l(&per_kg) > 0.0);
    let ions = &per_kg.ions;
    let is_mineral = ions.get(Component::Sulfate) + ions.get(Component::Chloride) > 0.0;
    if !is_mineral && !is_limited {
        return Ok(solution);
    }
    let (step, mut steps) = (acid.shelved.step, acid.amount / acid.shelved.step);
    for _ in 0..ROUNDS {
        match solve_with(day, per_kg.times(steps * step), true) {
            Err(FitError::Infeasible { of, most, least }) => {
                let too_many = (least - most) / of.mg_per_l(&per_kg.times(step));
                steps = (steps - too_many).floor();
                // An acid that does not bring it takes nothing away.
                if !(steps > 0.0 && too_many.is_finite()) {
                    break;
                }
            }
            again => return again,
        }
    }
    solve_with(day, Dose::default(), true)
}

/// Solves a day whose kettle receives this acid, per kg of its water, after the fit.
fn solve_with(day: &BrewDay, acid: Dose, keeps_limits: bool) -> Result<Solution<'_>, FitError> {
    let in_kettle = zinc_per_kg(day).plus(&acid);
    let fit = Fit::of(day, in_kettle)?;
    let Fit {
        problem,
        fitted,
        aimed,
        full,
        removal,
    } = fit;
    let liquors = problem.liquors(&fitted.shares, &fitted.doses);
    let mash = problem.mash(liquors.mash);
    let uncertainty = BrewUncertainty::of(day, &problem, &fitted.shares, &fitted.doses, &mash);
    let forecast = mash.forecast_dosed(&uncertainty.doses);
    let kettle = Kettle {
        day,
        problem: &problem,
        forecast: &forecast,
        alkalinity_sd_eq_per_kg: uncertainty.doses.alkalinity_eq_per_kg,
        keeps_limits,
    };
    let kettle = kettle.dosed(&liquors, [&fitted.shares, &fitted.doses], forecast.ph);
    let zinc = zinc(day, after_boil_kg(day, &problem));
    let removal_doses = removal.iter().flat_map(|removal| {
        let doses = removal.doses(&problem.waters, &fitted.shares);
        doses.into_iter().map(|dose| (removal.shelved, dose))
    });
    let removal_doses: Vec<_> = removal_doses.collect();
    let first_share = first_share(day, &problem, [&fitted.shares, &fitted.doses]);
    let steps = steps(
        &removal_doses,
        (first_share, &problem, &fitted),
        kettle.acid.as_ref(),
        zinc.as_ref(),
    );
    Ok(Solution {
        day,
        targets: day.targets_with_defaults(),
        problem,
        fitted,
        aimed,
        full,
        removal,
        liquors,
        uncertainty,
        forecast,
        kettle,
        keeps_limits,
        zinc,
        first_share,
        steps,
    })
}

/// A limit that was lowered and no plan keeps, as the day states it.
fn raised(error: FitError, day: &BrewDay, over: &[f64]) -> FitError {
    let FitError::Infeasible { of, most, least } = error else {
        return error;
    };
    let mut limits = day.targets.limits.iter().zip(over);
    let over = limits.find(|((limited, _), _)| *limited == of);
    let over = over.map_or(0.0, |(_, over)| *over);
    FitError::Infeasible {
        of,
        most: most + over,
        least: least + over,
    }
}

/// The fit of a day with chlorine removed as it is weighed.
struct Fit<'a> {
    problem: Problem<'a>,
    fitted: FitResult,
    aimed: MashAndSparge<Option<Aimed>>,
    full: Vec<Full>,
    removal: Option<Removal<'a>>,
}

impl<'a> Fit<'a> {
    fn of(day: &'a BrewDay, in_kettle: Dose) -> Result<Fit<'a>, FitError> {
        let mut over = vec![0.0; day.targets.limits.len()];
        let mut round = 0;
        loop {
            let fit =
                Fit::below(day, in_kettle, &over).map_err(|error| raised(error, day, &over))?;
            let excess = fit.excess_mg_per_l(&day.targets);
            if round == ROUNDS || excess.iter().all(|by| *by <= 0.0) {
                return Ok(fit);
            }
            for (over, by) in over.iter_mut().zip(excess) {
                *over += by;
            }
            round += 1;
        }
    }

    /// The same, with each hard limit lowered by so much.
    fn below(day: &'a BrewDay, in_kettle: Dose, over: &[f64]) -> Result<Fit<'a>, FitError> {
        let mut removal = Removal::of(day);
        let problem_with = |removal: Option<&Removal<'a>>| {
            let mut problem = problem_without(day, removal, in_kettle);
            for ((_, most), over) in problem.targets.limits.iter_mut().zip(over) {
                *most = math::at_least(*most - over, 0.0);
            }
            problem
        };
        let mut problem = problem_with(removal.as_ref());
        let mut full = Vec::new();
        let (mut fitted, mut aimed) = solve_unopposed(day, &mut problem, &mut full)?;
        if let Some(by) = removal.take() {
            if by.suffices(&problem.waters, &fitted.shares) {
                by.apply_as_weighed(&mut problem, &fitted.shares);
                removal = Some(by);
            } else {
                problem = problem_with(None);
                (fitted, aimed) = solve_unopposed(day, &mut problem, &mut full)?;
            }
        }
        Ok(Fit {
            problem,
            fitted,
            aimed,
            full,
            removal,
        })
    }

    /// How far each hard limit of the day is exceeded: by no more than the scale rounds up against
    /// chlorine, after the fit.
    fn excess_mg_per_l(&self, targets: &Targets) -> Vec<f64> {
        let FitResult { shares, doses, .. } = &self.fitted;
        let limits = targets.limits.iter();
        limits
            .map(|(of, most)| {
                let over = reached_mg_per_l(&self.problem, *of, shares, doses) - most;
                if over > LIMIT_ROUNDING * most {
                    over
                } else {
                    0.0
                }
            })
            .collect()
    }
}

/// Water in the kettle after the boil, kg.
fn after_boil_kg(day: &BrewDay, problem: &Problem<'_>) -> f64 {
    let full_kg = problem.waters.kettle_kg;
    full_kg - day.boil(full_kg).boiled_off_kg
}

impl<'a> Solution<'a> {
    /// A dose as weighed, by its place among the options of the problem.
    pub fn dose(&self, index: usize) -> f64 {
        self.fitted.doses.get(index).copied().unwrap_or(0.0)
    }

    /// The kettle, for what other liquors would make of it.
    pub fn kettle_model(&self) -> Kettle<'a, '_> {
        Kettle {
            day: self.day,
            problem: &self.problem,
            forecast: &self.forecast,
            alkalinity_sd_eq_per_kg: self.uncertainty.doses.alkalinity_eq_per_kg,
            keeps_limits: self.keeps_limits,
        }
    }

    /// Whether the hard limits hold acid for the kettle back.
    pub fn limits_hold_kettle_acid(&self) -> bool {
        let unlimited = Kettle {
            keeps_limits: false,
            ..self.kettle_model()
        };
        let fitted = [&self.fitted.shares, &self.fitted.doses].map(Vec::as_slice);
        let wanted = unlimited.dosed(&self.liquors, fitted, self.forecast.ph);
        let amount = |acid: &Option<KettleDose<'_>>| acid.as_ref().map_or(0.0, |acid| acid.amount);
        amount(&wanted.acid) > amount(&self.kettle.acid)
    }

    /// What goes into the kettle after the fit, per kg of its water: acid, as this kettle gets it,
    /// and zinc.
    pub fn after_fit(&self, kettle: &DosedKettle<'_>) -> Dose {
        let acid = kettle.acid.as_ref().map(KettleDose::dose);
        let zinc = zinc_per_kg(self.day);
        acid.map_or(zinc, |acid| {
            zinc.plus(&acid.times(1.0 / self.problem.waters.kettle_kg))
        })
    }

    /// All the brewing liquor with all that goes in, in place of what the fit was given of it.
    pub fn overall_with(&self, overall: &Liquor, kettle: &DosedKettle<'_>) -> Liquor {
        let more = self
            .after_fit(kettle)
            .plus(&self.problem.in_kettle.times(-1.0));
        overall.dosed(&more, 1.0)
    }

    /// How much of what a hard limit is set on all that goes in comes to, mg/L, counted as the
    /// limit counts it.
    pub fn reached_mg_per_l(&self, of: LimitedQuantity) -> f64 {
        let FitResult { shares, doses, .. } = &self.fitted;
        let by_fit = Problem {
            in_kettle: Dose::default(),
            ..self.problem.clone()
        };
        reached_mg_per_l(&by_fit, of, shares, doses) + of.mg_per_l(&self.after_fit(&self.kettle))
    }

    /// Water in the kettle after the boil, kg.
    pub fn after_boil_kg(&self) -> f64 {
        after_boil_kg(self.day, &self.problem)
    }

    /// Between which a meter shows the mash; see [`Mash::interval`](crate::mash::Mash::interval).
    pub fn mash_interval(&self, standard_deviations: f64) -> [f64; 2] {
        let mash = self.problem.mash(self.liquors.mash);
        mash.interval(&self.uncertainty.doses, &self.forecast, standard_deviations)
    }

    /// How the pH of a target was aimed.
    pub fn aimed(&self, key: TargetKey) -> Option<&Aimed> {
        let mut aimed = self.aimed.iter().flatten();
        aimed.find(|aimed| aimed.key == key)
    }
}
