//! The binding limits of a plan, each with what one unit of relief would change.

use underlet_tables::parameters;

use super::misses::{changes, consequences, misses_at};
use crate::fit::{
    ActiveConstraint, Aimed, BindingConstraint, DoseOption, PlanError, Solution, Subject,
};
use crate::liquor::water_density_kg_per_l;
use crate::plan::codes::{LimitCode, ReasonCode};
use crate::plan::document::{BindingLimit, Reason};
use crate::plan::evaluation::Evaluation;
use crate::quantity;
use crate::recipe::TargetKey;
use crate::words::{self, spoken};

/// The limits that the plan before rounding misses or rests on.
///
/// # Errors
/// [`PlanError::Equilibrium`] where relief of one leaves a liquor without equilibrium.
pub(super) fn limits(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
) -> Result<Vec<BindingLimit>, PlanError> {
    let fitted = &solution.fitted;
    let before = misses_at(
        solution,
        evaluation,
        &fitted.shares_before_rounding,
        &fitted.doses_before_rounding,
    )?;
    let limit = |binding: &BindingConstraint| {
        let best = binding.relieved.as_ref();
        let after = best.map(|best| misses_at(solution, evaluation, &best.shares, &best.doses));
        let Named {
            code,
            subject,
            unit,
        } = Named::of(solution, binding.constraint);
        let target = binding.constraint.target();
        let aimed = target.and_then(|subject| solution.aimed(subject.key()));
        let narrowed = aimed.filter(|aimed| aimed.moves_end(binding.constraint));
        let (mut changes, none) = match after {
            Some(after) => (changes(&before, &after?), "no other target would gain"),
            None => (Vec::new(), "what that would change could not be computed"),
        };
        // That the relieved range itself, or the confidence that narrowed it, is missed by that
        // unit says nothing.
        changes.retain(|change| {
            let is_its = |aimed: &Aimed| [aimed.key, aimed.confidence_key].contains(&change.key);
            change.key.as_str() != subject && !narrowed.is_some_and(is_its)
        });
        let relief = match code {
            LimitCode::Source => binding.relief / cold_kg_per_l(),
            _ => binding.relief,
        };
        let much = format!("{} {unit}", words::number(relief));
        let head = relieved(code, &spoken(&subject), much.trim_end(), narrowed.is_some());
        let text = format!("{head}: {}.", consequences(&changes, none));
        Ok(BindingLimit {
            code,
            subject,
            relief,
            unit: unit.to_owned(),
            worth: binding.worth,
            changes,
            text,
        })
    };
    fitted.binding.iter().map(limit).collect()
}

/// The condition: one unit of relief.
fn relieved(code: LimitCode, name: &str, much: &str, is_narrowed: bool) -> String {
    // A narrowed range is not a target of the day itself.
    let range = if is_narrowed {
        format!("If the range of {name}, narrowed for the confidence, could reach {much}")
    } else {
        format!("If {name} could be {much}")
    };
    match code {
        LimitCode::RangeLow => format!("{range} lower"),
        LimitCode::RangeHigh => format!("{range} higher"),
        LimitCode::Limit => format!("If the limit on {name} were {much} higher"),
        LimitCode::Solubility => format!("If the liquor took up {much} more of {name}"),
        LimitCode::Stock | LimitCode::Source => format!("With {much} more of {name} at hand"),
    }
}

/// A limit by its code, what it is on, and the unit of its relief.
struct Named {
    code: LimitCode,
    subject: String,
    unit: &'static str,
}

impl Named {
    fn of(solution: &Solution<'_>, active: ActiveConstraint) -> Named {
        let problem = &solution.problem;
        match active {
            ActiveConstraint::Low(subject) => Named::target(LimitCode::RangeLow, subject),
            ActiveConstraint::High(subject) => Named::target(LimitCode::RangeHigh, subject),
            ActiveConstraint::Limit(place) => {
                let limit = problem.targets.limits.get(place);
                Named {
                    code: LimitCode::Limit,
                    subject: limit.map_or("", |(of, _)| of.key()).to_owned(),
                    unit: "mg/L",
                }
            }
            ActiveConstraint::Stock(stock) => {
                let mut doses = problem.doses.iter();
                let option = doses.find(|option| option.stock == stock);
                Named::reagent(LimitCode::Stock, option)
            }
            ActiveConstraint::Dissolving(dose) => {
                Named::reagent(LimitCode::Solubility, problem.doses.get(dose))
            }
            ActiveConstraint::Source(source) => {
                let source = solution.day.sources.get(source);
                Named {
                    code: LimitCode::Source,
                    subject: source.map_or_else(String::new, |source| source.name.clone()),
                    unit: "L",
                }
            }
        }
    }

    fn target(code: LimitCode, subject: Subject) -> Named {
        let key = subject.key();
        let unit = match key {
            TargetKey::SulfateToChloride | TargetKey::MashPh | TargetKey::SpargePh => "",
            TargetKey::SpargeAlkalinity => "mg/L as CaCO3",
            _ => "mg/L",
        };
        Named {
            code,
            subject: key.to_string(),
            unit,
        }
    }

    fn reagent(code: LimitCode, option: Option<&DoseOption>) -> Named {
        let preparation = option.map(|option| option.preparation);
        Named {
            code,
            subject: preparation.map_or("", |one| one.reagent.key).to_owned(),
            unit: preparation.map_or("", |one| one.unit().key()),
        }
    }
}

/// Density of a source as it is drawn.
pub(super) fn cold_kg_per_l() -> f64 {
    water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value)
}

/// Hard limits that hold the plan back.
pub(super) fn resting_on_limits(solution: &Solution<'_>) -> Vec<Reason> {
    let limits = &solution.day.targets.limits;
    let binding = solution.fitted.binding.iter();
    let found = binding.filter_map(|binding| {
        let ActiveConstraint::Limit(place) = binding.constraint else {
            return None;
        };
        let (of, most) = limits.get(place)?;
        let more = binding
            .relieved
            .as_ref()
            .map(|best| more_of(solution, &best.doses));
        let then = match more.filter(|more| !more.is_empty()) {
            Some(more) => format!("without it the plan would give more {}", more.join(" and ")),
            None => "without it the plan would be another".to_owned(),
        };
        let text = format!(
            "The limit on {} holds the plan back ({} of at most {} mg/L): {then}.",
            spoken(of.key()),
            words::figure(solution.reached_mg_per_l(*of), "mg/L", false),
            quantity::significant(*most, 4)
        );
        Some(Reason {
            code: ReasonCode::RestsOnLimit,
            subject: of.key().to_owned(),
            text,
        })
    });
    found.collect()
}

/// Reagents of which these doses give more than the plan before rounding.
fn more_of(solution: &Solution<'_>, doses: &[f64]) -> Vec<&'static str> {
    let mut names = Vec::new();
    let before = &solution.fitted.doses_before_rounding;
    for (option, (more, before)) in solution.problem.doses.iter().zip(doses.iter().zip(before)) {
        let name = option.preparation.reagent.key;
        if *more > before + SAME_DOSE * option.step && !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// A part of a step that is the rounding of a dose.
const SAME_DOSE: f64 = 1e-3;
