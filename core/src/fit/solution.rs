//! The solution of a brew day: draws and doses, and the mash, sparge liquor and kettle that follow.

use std::fmt;

use super::aim::Aimed;
use super::dechlorination::Removal;
use super::kettle::{DosedKettle, Kettle, KettleDose, zinc};
use super::mash_and_sparge::MashAndSparge;
use super::opposed::solve_unopposed;
use super::problem::{Liquors, Problem};
use super::problem_of_day::problem_without;
use super::result::{FitError, FitResult};
use super::steps::{Step, steps};
use super::uncertainty::BrewUncertainty;
use super::uptake::Full;
use crate::aqueous::EquilibriumError;
use crate::component::Component;
use crate::error::InputError;
use crate::liquor::Dose;
use crate::mash::Forecast;
use crate::recipe::{BrewDay, TargetKey, Targets};

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
    /// The zinc dose of the day.
    pub zinc: Option<KettleDose<'a>>,
    /// All of that to weigh and measure out, in the order of work.
    pub steps: Vec<Step>,
}

/// Solves a day. Acid for the kettle is dosed after the fit; where it brings sulfate or chloride,
/// the day is solved once more with them in the kettle already. Where no plan keeps its hard limits
/// then, the first solution is returned.
///
/// # Errors
/// [`FitError`] where the fit has no certified optimum.
pub(crate) fn solve_day(day: &BrewDay) -> Result<Solution<'_>, FitError> {
    let solution = solve_with(day, Dose::default())?;
    let Some(acid) = &solution.kettle.acid else {
        return Ok(solution);
    };
    let per_kg = acid.dose().times(1.0 / solution.problem.waters.kettle_kg);
    let ions = &per_kg.ions;
    if ions.get(Component::Sulfate) + ions.get(Component::Chloride) == 0.0 {
        return Ok(solution);
    }
    match solve_with(day, per_kg) {
        Err(FitError::Infeasible { .. }) => Ok(solution),
        again => again,
    }
}

/// Solves a day whose kettle receives this, per kg of its water, after the fit.
fn solve_with(day: &BrewDay, in_kettle: Dose) -> Result<Solution<'_>, FitError> {
    let mut removal = Removal::of(day);
    let mut problem = problem_without(day, removal.as_ref(), in_kettle);
    let mut full = Vec::new();
    let (mut fitted, mut aimed) = solve_unopposed(day, &mut problem, &mut full)?;
    if let Some(by) = removal.take() {
        if by.suffices(&problem.waters, &fitted.shares) {
            by.apply_as_weighed(&mut problem, &fitted.shares);
            removal = Some(by);
        } else {
            problem = problem_without(day, None, in_kettle);
            (fitted, aimed) = solve_unopposed(day, &mut problem, &mut full)?;
        }
    }
    let liquors = problem.liquors(&fitted.shares, &fitted.doses);
    let mash = problem.mash(liquors.mash);
    let uncertainty = BrewUncertainty::of(day, &problem, &fitted.shares, &fitted.doses, &mash);
    let forecast = mash.forecast_dosed(&uncertainty.doses);
    let kettle = Kettle {
        day,
        problem: &problem,
        forecast: &forecast,
        alkalinity_sd_eq_per_kg: uncertainty.doses.alkalinity_eq_per_kg,
    };
    let kettle = kettle.dosed(&liquors, &fitted.doses, forecast.ph);
    let zinc = zinc(day, after_boil_kg(day, &problem));
    let removal_doses = removal.iter().flat_map(|removal| {
        let doses = removal.doses(&problem.waters, &fitted.shares);
        doses.into_iter().map(|dose| (removal.shelved, dose))
    });
    let removal_doses: Vec<_> = removal_doses.collect();
    let steps = steps(
        &removal_doses,
        (day, &problem, &fitted),
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
        zinc,
        steps,
    })
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
        }
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
