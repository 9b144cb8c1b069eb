//! Why targets are missed, which ends of ranges are active, and what the aim and the scale cost.

use super::limits::resting_on_limits;
use super::misses::{Distance, is_nearer};
use super::softening::Softening;
use super::water::too_much;
use crate::component::Component;
use crate::fit::{self, ActiveConstraint, Aimed, DoseOption, PlanError, Problem, Solution};
use crate::plan::codes::{LimitCode, ReasonCode};
use crate::plan::document::{BindingLimit, Reason, TargetLine, TargetState};
use crate::plan::evaluation::Evaluation;
use crate::quantity::significant;
use crate::recipe::TargetKey;
use crate::words::{self, capitalised, spoken};

/// The reasons, missed ranges first; `limits` are those of the plan before rounding, `softening` is
/// that of a hard water.
///
/// # Errors
/// [`PlanError`] where the fit without one of its limits cannot be solved.
pub(super) fn reasons(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
    limits: &[BindingLimit],
    softening: Option<&Softening<'_>>,
) -> Result<Vec<Reason>, PlanError> {
    let targets = &evaluation.targets;
    let mut reasons = missed_ranges(solution, evaluation, limits, softening)?;
    reasons.extend(solution.aimed.iter().flatten().flat_map(of_aim));
    reasons.extend(resting(solution, targets));
    reasons.extend(resting_on_limits(solution));
    if reasons.is_empty() && solution.steps.is_empty() {
        let text = if targets.is_empty() {
            "The day has no targets, so nothing is added: give it some."
        } else {
            "The water suits this brew as it is: nothing needs to be added."
        };
        reasons.push(reason(
            ReasonCode::NothingNeeded,
            "additions",
            text.to_owned(),
        ));
    }
    reasons.extend(softening.map(|softening| softening.reason(solution)));
    if reasons.is_empty() {
        let text = "Every range is met, with as little to weigh as that takes.";
        reasons.push(reason(ReasonCode::RangesMet, "additions", text.to_owned()));
    }
    Ok(reasons)
}

fn reason(code: ReasonCode, subject: &str, text: String) -> Reason {
    Reason {
        code,
        subject: subject.to_owned(),
        text,
    }
}

/// How a pH was aimed, and where the aim fell short.
fn of_aim(aimed: &Aimed) -> Vec<Reason> {
    let percent = aimed.percent();
    let within = words::wanted(aimed.aim.low, aimed.aim.high, words::ph);
    let (key, name) = (aimed.key.as_str(), aimed.name);
    let mut reasons = Vec::new();
    if aimed.aim.best < aimed.confidence {
        let text = format!(
            "The range of {name} is too narrow to land in it with {percent} %: it is aimed where \
             the chance is best, {:.0} %{within}.",
            aimed.aim.best * 100.0
        );
        reasons.push(reason(ReasonCode::RangeTooNarrow, key, text));
    } else if aimed.is_narrowed() {
        let text =
            format!("To land in its range with {percent} %, {name} is aimed inside it{within}.");
        reasons.push(reason(ReasonCode::AimedInsideRange, key, text));
    }
    if !aimed.has_converged {
        let text = format!(
            "The aim of {name} and what is weighed for it did not converge: go by the chance of \
             this plan."
        );
        reasons.push(reason(ReasonCode::AimNotConverged, key, text));
    }
    reasons
}

/// A reason for each range that is not met.
fn missed_ranges(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
    limits: &[BindingLimit],
    softening: Option<&Softening<'_>>,
) -> Result<Vec<Reason>, PlanError> {
    let is_missed =
        |line: &&TargetLine| matches!(line.state, TargetState::Below | TargetState::Above);
    let lines: Vec<&TargetLine> = evaluation.targets.iter().filter(is_missed).collect();
    if lines.is_empty() {
        return Ok(Vec::new());
    }
    let lifted = lifted(solution, evaluation)?;
    let missed = |line| missed(solution, evaluation, line, limits, &lifted, softening);
    lines.into_iter().map(missed).collect()
}

/// A limit of the weighing, and the ranges without it.
struct Lifted {
    code: ReasonCode,
    why: String,
    targets: Vec<TargetLine>,
}

fn lifted(solution: &Solution<'_>, evaluation: &Evaluation) -> Result<Vec<Lifted>, PlanError> {
    let (fitted, problem) = (&solution.fitted, &solution.problem);
    let mut lifted = Vec::new();
    if let Some(most) = problem.max_salts {
        let any_salts = Problem {
            max_salts: None,
            ..problem.clone()
        };
        let any = fit::solve(&any_salts)?;
        lifted.push(Lifted {
            code: ReasonCode::MaxSalts,
            why: format!("no more than {most} salts may be weighed"),
            targets: evaluation.targets_at(solution, &any.shares, &any.doses)?,
        });
    }
    let [shares, doses] = [
        &fitted.shares_before_rounding,
        &fitted.doses_before_rounding,
    ];
    lifted.push(Lifted {
        code: ReasonCode::WholeSteps,
        why: "whole steps of the scale, or a smallest dose, keep it there".to_owned(),
        targets: evaluation.targets_at(solution, shares, doses)?,
    });
    Ok(lifted)
}

/// How far a target is missed among other targets.
fn left_of(targets: &[TargetLine], line: &TargetLine) -> Distance {
    let same = targets.iter().find(|other| other.key == line.key);
    same.map_or(Distance::MET, Distance::of)
}

/// The limit of the weighing without which the miss is at most half as large.
fn weighing_limit<'l>(lifted: &'l [Lifted], line: &TargetLine) -> Option<&'l Lifted> {
    let missed = Distance::of(line);
    lifted.iter().find(|lifted| {
        let left = left_of(&lifted.targets, line);
        let (Some(left), Some(missed)) = (left.figure(), missed.figure()) else {
            // A ratio without chloride misses by no figure, of which half would be as much.
            return left.is_nearer_than(missed);
        };
        left.abs() <= 0.5 * missed.abs() && left.abs() < missed.abs()
    })
}

/// The reason why a range is not met.
fn missed(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
    line: &TargetLine,
    limits: &[BindingLimit],
    lifted: &[Lifted],
    softening: Option<&Softening<'_>>,
) -> Result<Reason, PlanError> {
    // A limit whose relief makes the miss smaller causes it.
    let causes = limits.iter().filter(|limit| {
        let mut changes = limit.changes.iter();
        changes.any(|change| change.key == line.key && is_nearer(change))
    });
    let (rivals, amounts): (Vec<_>, Vec<_>) =
        causes.partition(|limit| matches!(limit.code, LimitCode::RangeLow | LimitCode::RangeHigh));
    let found = of_water_and_weighing(solution, line, &amounts, lifted, softening)
        .or_else(|| of_reagents(solution, line, &amounts));
    let (code, why) = if let Some(found) = found {
        found
    } else {
        let rivals = Rivals {
            solution,
            evaluation,
            others: &rivals,
        };
        let before = lifted.last();
        let before = before.and_then(|lifted| left_of(&lifted.targets, line).figure());
        let why = rivals.conflict(line, before.unwrap_or_default().abs())?;
        (ReasonCode::RangesConflict, why)
    };
    let side = if line.state == TargetState::Above {
        "above"
    } else {
        "below"
    };
    let text = format!(
        "{} ends {side} its range ({}): {why}.",
        capitalised(&line.label),
        line.display
    );
    Ok(reason(code, line.key.as_str(), text))
}

/// Whether the kettle, the water, the weighing or a hard limit causes a miss.
fn of_water_and_weighing(
    solution: &Solution<'_>,
    line: &TargetLine,
    amounts: &[&BindingLimit],
    lifted: &[Lifted],
    softening: Option<&Softening<'_>>,
) -> Option<(ReasonCode, String)> {
    let above = line.state == TargetState::Above;
    if line.key == TargetKey::KettlePh {
        return Some(kettle(solution, above));
    }
    let reach = solution.day.sulfate_out_of_reach();
    if let Some(sulfate) = reach.filter(|_| line.key == TargetKey::SulfateToChloride) {
        let why = format!(
            "with the chloride of the water it would take {} mg/L of sulfate, which no brewing \
             liquor holds, so the plan leaves it aside: look for other water, or for a slip",
            words::number(sulfate)
        );
        return Some((ReasonCode::OutOfReach, why));
    }
    if let Some(why) = too_much(solution, line, softening) {
        return Some((ReasonCode::SourceAboveRange, why));
    }
    if let Some(ion) = line.key.component().filter(|_| above) {
        let in_kettle = solution.problem.in_kettle.ions.get(ion);
        if in_kettle > 0.0 {
            let brought = words::number(ion.mg_per_l(in_kettle));
            let why = format!("the acid for the kettle brings {brought} mg/L of it");
            return Some((ReasonCode::KettleAcid, why));
        }
    }
    if let Some(lifted) = weighing_limit(lifted, line) {
        return Some((lifted.code, lifted.why.clone()));
    }
    let mut amounts = amounts.iter();
    let limit = amounts.find(|limit| limit.code == LimitCode::Limit)?;
    let why = format!("the limit on {} keeps it there", spoken(&limit.subject));
    Some((ReasonCode::HardLimit, why))
}

/// Whether a miss is for want of a reagent. It is not where doses took an ion out of its range for
/// the sake of another: no reagent takes an ion out again.
fn of_reagents(
    solution: &Solution<'_>,
    line: &TargetLine,
    amounts: &[&BindingLimit],
) -> Option<(ReasonCode, String)> {
    let is_conflict = match line.key.component() {
        Some(_) => line.state == TargetState::Above,
        None => is_driven_out(line),
    };
    if is_conflict {
        return None;
    }
    if !solution.problem.doses.iter().any(|dose| helps(dose, line)) {
        return Some(nothing_helps(solution, line));
    }
    (amounts.iter().any(|limit| limit.code != LimitCode::Source) || is_held_back(solution, line))
        .then(|| {
            let why = "it takes more of a reagent than is at hand, or than the liquor dissolves";
            (ReasonCode::StockOrSolubility, why.to_owned())
        })
}

/// Whether a reagent that would help is given up to what is in stock or what the liquor takes up,
/// even where a step more of it does not show.
fn is_held_back(solution: &Solution<'_>, line: &TargetLine) -> bool {
    let doses = &solution.problem.doses;
    let mut binding = solution.fitted.binding.iter();
    binding.any(|binding| match binding.constraint {
        ActiveConstraint::Dissolving(place) => {
            doses.get(place).is_some_and(|dose| helps(dose, line))
        }
        ActiveConstraint::Stock(stock) => {
            let mut doses = doses.iter().filter(|dose| dose.stock == stock);
            doses.any(|dose| helps(dose, line))
        }
        _ => false,
    })
}

/// Whether the water alone lay on the right side of the end that the plan misses.
fn is_driven_out(line: &TargetLine) -> bool {
    let source = line.source;
    if line.state == TargetState::Above {
        let inside = line.high.zip(source);
        inside.is_some_and(|(high, source)| source <= high)
    } else {
        // A ratio without chloride is above any low end.
        let low = line.low;
        low.is_some_and(|low| source.is_none_or(|source| source >= low))
    }
}

/// Whether a dose would bring a missed target nearer to its range.
fn helps(option: &DoseOption, line: &TargetLine) -> bool {
    let above = line.state == TargetState::Above;
    let dose = option.dose_per_unit();
    let brings = |ion: Component| dose.ions.get(ion) > 0.0;
    let shifts_ph = if above {
        option.preparation.is_acid()
    } else {
        dose.alkalinity_eq > 0.0
    };
    match line.key {
        TargetKey::SulfateToChloride => brings(if above {
            Component::Chloride
        } else {
            Component::Sulfate
        }),
        TargetKey::MashPh => option.vessel.comes_to_mash() && shifts_ph,
        TargetKey::SpargeAlkalinity | TargetKey::SpargePh => {
            option.vessel.comes_to_sparge() && shifts_ph
        }
        key => !above && key.component().is_some_and(brings),
    }
}

/// Why the pH of the kettle is not met, which the fit does not aim at.
fn kettle(solution: &Solution<'_>, above: bool) -> (ReasonCode, String) {
    if above && solution.limits_hold_kettle_acid() {
        let why = "the hard limits on the liquor leave no room for more acid in the kettle";
        return (ReasonCode::HardLimit, why.to_owned());
    }
    let (code, why) = match (above, fit::has_kettle_acid(solution.day)) {
        (true, false) => (
            ReasonCode::NoAcid,
            "there is no acid on the shelf that may go into the kettle",
        ),
        (true, true) => (
            ReasonCode::StockOrSolubility,
            "the acid for it is used up, or its measure too coarse",
        ),
        (false, _) => (
            ReasonCode::NoBase,
            "nothing raises it there; less acid in mash and sparge liquor would",
        ),
    };
    (code, why.to_owned())
}

/// Acidulated malt that a mash below its range has too much of, kg; `None` for a grist without any.
fn too_sour_kg(solution: &Solution<'_>, line: &TargetLine) -> Option<f64> {
    let mash = solution.problem.mash(solution.liquors.mash);
    mash.acidulated_malt_beyond_kg(line.low?)
}

/// What is missing where no dose helps.
fn nothing_helps(solution: &Solution<'_>, line: &TargetLine) -> (ReasonCode, String) {
    let above = line.state == TargetState::Above;
    let place = match line.key {
        TargetKey::MashPh => "mash",
        TargetKey::SpargeAlkalinity | TargetKey::SpargePh => "sparge liquor",
        key => {
            let missing = match (key, above) {
                (TargetKey::SulfateToChloride, true) => Component::Chloride.key(),
                (TargetKey::SulfateToChloride, false) => Component::Sulfate.key(),
                _ => key.as_str(),
            };
            let why = format!("nothing on the shelf brings {missing}");
            return (ReasonCode::NothingBrings, why);
        }
    };
    if let (false, TargetKey::MashPh, Some(kg)) = (above, line.key, too_sour_kg(solution, line)) {
        let why = format!(
            "the acidulated malt of the grist brings it there, and no base is set against that: \
             take about {} kg less of it",
            significant(kg, 2)
        );
        return (ReasonCode::NoBase, why);
    }
    if above {
        let why = format!("there is no acid on the shelf that may go into the {place}");
        (ReasonCode::NoAcid, why)
    } else {
        let why = format!("nothing on the shelf that may go into the {place} brings alkalinity");
        (ReasonCode::NoBase, why)
    }
}

/// Ranges that may keep a plan from another.
struct Rivals<'s, 'a> {
    solution: &'s Solution<'a>,
    evaluation: &'s Evaluation,
    others: &'s [&'s BindingLimit],
}

impl Rivals<'_, '_> {
    /// Names those without which the miss is no larger than `before`.
    fn conflict(&self, line: &TargetLine, before: f64) -> Result<String, PlanError> {
        let mut names: Vec<String> = Vec::new();
        for limit in self.others {
            if self
                .left_without(limit, line)?
                .is_some_and(|left| left <= before)
            {
                names.push(spoken(&limit.subject));
            }
        }
        names.dedup();
        if names.is_empty() {
            return Ok("the reagents at hand cannot reach it without harm elsewhere".to_owned());
        }
        Ok(format!(
            "going further would cost more in {}",
            names.join(", ")
        ))
    }

    /// How far a target would be missed without the range of this limit.
    fn left_without(
        &self,
        limit: &BindingLimit,
        line: &TargetLine,
    ) -> Result<Option<f64>, PlanError> {
        let mut problem = self.solution.problem.clone();
        if let Ok(key) = limit.subject.parse() {
            problem.targets.remove(key);
        }
        let best = fit::optimum(&problem)?;
        let targets = self
            .evaluation
            .targets_at(self.solution, &best.shares, &best.doses)?;
        Ok(left_of(&targets, line).figure().map(f64::abs))
    }
}

/// Ranges that are met at one of their ends.
fn resting(solution: &Solution<'_>, targets: &[TargetLine]) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Vec::new();
    let bound = solution.fitted.binding.iter();
    for subject in bound.filter_map(|binding| binding.constraint.target()) {
        // A single target value has no ends, and the ends of an aimed pH are not those of its
        // range.
        let met = |line: &&TargetLine| {
            let has_ends = line.low != line.high && solution.aimed(line.key).is_none();
            line.key == subject.key() && line.state == TargetState::Met && has_ends
        };
        let Some(line) = targets.iter().find(met) else {
            continue;
        };
        if reasons
            .iter()
            .any(|reason| line.key == reason.subject.as_str())
        {
            continue;
        }
        let Some((end, why)) = end_rested_on(line) else {
            continue;
        };
        let text = format!(
            "{} is at the {end} end of its range ({}): {why}.",
            capitalised(&line.label),
            line.display
        );
        reasons.push(reason(ReasonCode::RestsOnRange, line.key.as_str(), text));
    }
    reasons
}

/// At which end of its range a target lies, and why; `None` where whole steps of the scale moved it
/// well inside.
fn end_rested_on(line: &TargetLine) -> Option<(&'static str, &'static str)> {
    let planned = line.planned?;
    // A ratio without chloride is above any end.
    let source = line.source.unwrap_or(f64::INFINITY);
    let at = |end: &f64| (planned - end).abs() <= AT_END_SHARE * end.abs();
    if let Some(low) = line.low.filter(at) {
        let why = if source < low {
            "more would add cost and no benefit"
        } else {
            "less would save material or serve another target"
        };
        return Some(("low", why));
    }
    let high = line.high.filter(at)?;
    let why = if source > high {
        "going lower would add cost and no benefit"
    } else {
        "more would save material or serve another target"
    };
    Some(("high", why))
}

/// Largest distance from an end, as a share of it, at which a target is said to be at that end:
/// whole steps of a usual scale move an ion by no more.
const AT_END_SHARE: f64 = 0.03;
