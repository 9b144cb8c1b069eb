//! Cautions of what is dissolved in the liquor: what is said to be tasted, and what is asked for
//! beyond figures for drinking water.

use underlet_tables::{LIMITS, Limit, taste};

use crate::component::Component;
use crate::fit::Solution;
use crate::plan::codes::CautionCode;
use crate::plan::dissolved::{DissolvedLine, figures_of_taste};
use crate::plan::document::{Caution, Severity};
use crate::recipe::TargetRange;
use crate::words::{self, capitalised};

/// What to know of what a plan brings.
pub(super) fn of_day(solution: &Solution<'_>, lines: &[DissolvedLine]) -> Vec<Caution> {
    let tasted = lines.iter().filter_map(|line| tasted(solution, line));
    let targets = &solution.day.targets.ions;
    let beyond = targets
        .iter()
        .filter_map(|(ion, range)| beyond_limit(*ion, range));
    tasted.chain(beyond).collect()
}

/// More of something than is said to be tasted, brought by what is dosed; a range or a limit of the
/// day itself decides otherwise.
fn tasted(solution: &Solution<'_>, line: &DissolvedLine) -> Option<Caution> {
    let figure = taste(&line.key)?;
    let mut limits = solution.day.targets.limits.iter();
    let is_asked_for = line.has_target || limits.any(|(of, _)| of.key() == line.key);
    let is_brought = line.planned_mg_l > figure.mg_per_l && !line.brought_by.is_empty();
    if is_asked_for || !is_brought {
        return None;
    }
    let text = format!(
        "{} comes to {} mg/L, from {}. It is said to taste {} from {}, which is a weak figure: \
         limit {} to {} mg/L, or take another reagent.",
        capitalised(&line.label),
        words::figure(line.planned_mg_l, "mg/L", false),
        line.brought_by.join(" and "),
        figure.taste,
        figures_of_taste(figure),
        line.key,
        figure.mg_per_l
    );
    Some(Caution {
        code: CautionCode::MayBeTasted,
        severity: Severity::Care,
        text,
    })
}

/// A range that lies above the figure for drinking water.
fn beyond_limit(ion: Component, range: &TargetRange) -> Option<Caution> {
    let limit = limit_of(ion)?;
    let least = ion.mg_per_l(range.low.or(range.prefer)?);
    (least > limit.high).then(|| Caution {
        code: CautionCode::TargetAboveLimit,
        severity: Severity::Care,
        text: format!(
            "The target of {} begins at {} mg/L, above the {} figure for drinking water, {} mg/L \
             ({}). Check the range and its unit, and whether local law allows as much.",
            ion.key(),
            words::figure(least, "mg/L", false),
            limit.authority,
            words::number(limit.high),
            limit.status
        ),
    })
}

/// The figure of the WHO, or the lowest of others where it has none.
fn limit_of(ion: Component) -> Option<&'static Limit> {
    // Advisories for special diets are not limits of drinking water.
    let limits = || {
        let limits = LIMITS.iter().filter(|limit| limit.quantity == ion.key());
        limits.filter(|limit| limit.status != "advisory")
    };
    let lowest = || limits().min_by(|one, other| one.high.total_cmp(&other.high));
    limits()
        .find(|limit| limit.authority == "WHO")
        .or_else(lowest)
}
