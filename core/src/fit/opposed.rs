//! Acid and base in one plan: they undo each other, and a brewer gives both only where nothing else
//! reaches the ranges.

use underlet_tables::ReagentKind;

use super::aim::Aimed;
use super::mash_and_sparge::MashAndSparge;
use super::problem::{DoseOption, Problem};
use super::problem_of_day::problem_of;
use super::result::{FitError, FitResult};
use super::uptake::{Full, solve_taken_up};
use crate::recipe::{BrewDay, Vessel};

/// Squared misses by which a plan without one of the two may be worse: a tenth of a tolerance, 1
/// mg/L or 0.005 of mash pH, which no meter shows.
const AS_GOOD: f64 = 0.01;

fn is_acid(option: &DoseOption) -> bool {
    option.preparation.is_acid()
}

fn is_base(option: &DoseOption) -> bool {
    option.preparation.reagent.kind == ReagentKind::Base
}

/// Whether some of these doses are acid and others base for the same liquor.
pub(crate) fn are_opposed(problem: &Problem<'_>, doses: &[f64]) -> bool {
    let given = || {
        let doses = problem.doses.iter().zip(doses);
        doses
            .filter(|(_, amount)| **amount > 0.0)
            .map(|(option, _)| option)
    };
    let meet = |comes: fn(&DoseOption) -> bool| {
        given().any(|option| is_acid(option) && comes(option))
            && given().any(|option| is_base(option) && comes(option))
    };
    meet(|option| option.vessel.comes_to_mash()) || meet(|option| option.vessel.comes_to_sparge())
}

/// Whether a plan is that, as weighed or before.
fn is_opposed(problem: &Problem<'_>, fitted: &FitResult) -> bool {
    are_opposed(problem, &fitted.doses) || are_opposed(problem, &fitted.doses_before_rounding)
}

/// Solves the problem of a day. Where the plan would give acid and base to the same liquor, the
/// better one of the plans without the bases and without the acids for the mash takes its place,
/// if it reaches the ranges as well.
///
/// `full` gets the vessels that take up no more.
///
/// # Errors
/// As [`solve_taken_up`].
pub(super) fn solve_unopposed<'a>(
    day: &'a BrewDay,
    problem: &mut Problem<'a>,
    full: &mut Vec<Full>,
) -> Result<(FitResult, MashAndSparge<Option<Aimed>>), FitError> {
    let whole = problem.clone();
    let (fitted, aimed) = solve_taken_up(day, problem, full)?;
    if !is_opposed(problem, &fitted) {
        return Ok((fitted, aimed));
    }
    let without = |removed: fn(&DoseOption) -> bool| {
        let mut problem = whole.clone();
        problem.doses.retain(|option| !removed(option));
        let mut full = Vec::new();
        let (other, aimed) = solve_taken_up(day, &mut problem, &mut full).ok()?;
        let is_as_good = other.misses_before_rounding <= fitted.misses_before_rounding + AS_GOOD;
        let is_solved = is_as_good && !is_opposed(&problem, &other);
        is_solved.then_some((problem, other, aimed, full))
    };
    let acid_for_mash = |option: &DoseOption| is_acid(option) && option.vessel.comes_to_mash();
    let found = [without(is_base), without(acid_for_mash)];
    let found = found.into_iter().flatten();
    let best =
        found.min_by(|(_, one, ..), (_, other, ..)| one.objective.total_cmp(&other.objective));
    Ok(match best {
        Some((other, fitted, aimed, other_full)) => {
            *problem = other;
            *full = other_full;
            (fitted, aimed)
        }
        None => (fitted, aimed),
    })
}

/// Whether the day needs no acid against a base once acid may go to mash and sparge apart.
pub(crate) fn is_solved_apart(day: &BrewDay, misses: f64) -> bool {
    let mut apart = day.clone();
    for item in &mut apart.shelf {
        let is_for_liquor = item.vessels.iter().any(|vessel| *vessel != Vessel::Kettle);
        if item.preparation.is_acid() && is_for_liquor {
            item.vessels = vec![Vessel::MashTun, Vessel::SpargeLiquor];
        }
    }
    let mut problem = problem_of(&apart);
    let solved = solve_unopposed(&apart, &mut problem, &mut Vec::new());
    solved.is_ok_and(|(fitted, _)| {
        fitted.misses_before_rounding <= misses + AS_GOOD && !is_opposed(&problem, &fitted)
    })
}
