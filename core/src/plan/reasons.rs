//! Why the plan is as it is: as data and as sentences.

use underlet_tables::parameters;

use super::alternatives::{outside, size};
use super::codes::{LimitCode, ReasonCode, TargetKey};
use super::document::{BindingLimit, Reason, State, TargetLine};
use crate::component::Component;
use crate::fit::{self, Aimed, DoseOption, Question, Settled, Subject};
use crate::liquor::Liquor;
use crate::words;

/// The reasons, missed ranges first; `limits` are those of the plan before rounding.
pub(crate) fn reasons(
    settled: &Settled<'_>,
    targets: &[TargetLine],
    limits: &[BindingLimit],
) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let mut lifted = None;
    for line in targets {
        if matches!(line.state, State::Below | State::Above) {
            let lifted = lifted.get_or_insert_with(|| lifted_of(settled));
            reasons.push(missed(settled, line, limits, lifted));
        }
    }
    reasons.extend(settled.aimed.iter().flatten().flat_map(Aimed::reasons));
    reasons.extend(resting(settled, targets));
    if reasons.is_empty() && settled.additions().is_empty() {
        let text = if targets.is_empty() {
            "The day asks for no range, so nothing is added: give it targets.".to_owned()
        } else {
            "The water suits this brew as it is: nothing needs to be added.".to_owned()
        };
        reasons.push(Reason {
            code: ReasonCode::NothingNeeded,
            subject: "additions".to_owned(),
            text,
        });
    }
    reasons.push(rounding(settled));
    reasons
}

/// What limits the weighing, and where the ranges stood without it.
struct Lifted {
    code: ReasonCode,
    why: String,
    targets: Vec<TargetLine>,
}

fn lifted_of(settled: &Settled<'_>) -> Vec<Lifted> {
    let (answer, question) = (&settled.answer, &settled.question);
    let mut all = Vec::new();
    let mut lift = |code, why, shares: &[f64], doses: &[f64]| {
        let targets = settled.targets_at(shares, doses);
        all.push(Lifted { code, why, targets });
    };
    let any_salts = Question {
        max_salts: None,
        ..question.clone()
    };
    if let Some(most) = question.max_salts
        && let Ok(any) = fit::answer(&any_salts)
    {
        let why = format!("no more than {most} salts may be weighed");
        lift(ReasonCode::MaxSalts, why, &any.shares, &any.doses);
    }
    lift(
        ReasonCode::WholeSteps,
        "whole steps of the scale, or a min_dose dose, keep it there".to_owned(),
        &answer.shares_before_rounding,
        &answer.doses_before_rounding,
    );
    all
}

/// How much of a miss other lines leave.
fn left_of(targets: &[TargetLine], line: &TargetLine) -> f64 {
    let same = targets.iter().find(|other| other.key == line.key);
    same.map_or(0.0, |other| size(outside(other)))
}

/// Why a range is not met.
fn missed(
    settled: &Settled<'_>,
    line: &TargetLine,
    limits: &[BindingLimit],
    lifted: &[Lifted],
) -> Reason {
    // What lets the miss fall where it gives way stands in the way.
    let in_the_way = limits.iter().filter(|limit| {
        let mut changes = limit.changes.iter();
        changes.any(|change| change.key == line.key && change.is_nearer())
    });
    let (others, amounts): (Vec<_>, Vec<_>) = in_the_way
        .partition(|limit| matches!(limit.code, LimitCode::RangeLow | LimitCode::RangeHigh));
    let left = |lifted: &Lifted| left_of(&lifted.targets, line);
    // A ratio without chloride misses by no figure, of which half would be as much.
    let missed = size(outside(line));
    let by_weighing = lifted
        .iter()
        .find(|lifted| left(lifted) <= 0.5 * missed && left(lifted) < missed);
    let by_weighing = by_weighing.map(|lifted| (lifted.code, lifted.why.clone()));
    let before = lifted.last().map(left).filter(|left| left.is_finite());
    let before = before.unwrap_or_default();
    let conflict = || conflict(settled, &others, line, before);
    let hard_limit = amounts.iter().find(|limit| limit.code == LimitCode::Limit);
    let hard_limit =
        hard_limit.map(|limit| format!("the limit on {} keeps it there", spoken(&limit.subject)));
    let ion = line.key.component();
    let above = line.state == State::Above;
    let (code, why) = match (ion, by_weighing, hard_limit) {
        (None, ..) if line.key == TargetKey::KettlePh => kettle(settled, above),
        (Some(ion), ..) if above && blend_exceeds(settled, ion, line) => (
            ReasonCode::SourceAboveRange,
            too_much_in_water(settled, ion),
        ),
        (Some(ion), ..) if above && settled.question.in_kettle.ions.get(ion) > 0.0 => (
            ReasonCode::KettleAcid,
            format!(
                "the acid for the kettle brings {} mg/L of it",
                words::number(ion.mg_per_l(settled.question.in_kettle.ions.get(ion)))
            ),
        ),
        (_, Some(by_weighing), _) => by_weighing,
        (_, _, Some(hard_limit)) => (ReasonCode::HardLimit, hard_limit),
        // Doses took it out of its range for the sake of another; no reagent takes an ion out again.
        (Some(_), ..) if above => (ReasonCode::RangesConflict, conflict()),
        (None, ..) if is_driven_out(line) => (ReasonCode::RangesConflict, conflict()),
        _ if !settled.question.doses.iter().any(|dose| helps(dose, line)) => nothing_helps(line),
        _ if amounts.iter().any(|limit| limit.code != LimitCode::Source) => (
            ReasonCode::StockOrSolubility,
            "it takes more of a reagent than is at hand, or than dissolves".to_owned(),
        ),
        _ => (ReasonCode::RangesConflict, conflict()),
    };
    let side = if above { "above" } else { "below" };
    let text = format!(
        "{} ends {side} its range ({}): {why}.",
        words::capitalised(&line.label),
        line.display
    );
    Reason {
        code,
        subject: line.key.to_string(),
        text,
    }
}

/// Whether the water alone lay on the right side of the end that the plan misses.
fn is_driven_out(line: &TargetLine) -> bool {
    let is_above = line.state == State::Above;
    match line.source {
        Some(source) if is_above => line.high.is_some_and(|high| source <= high),
        Some(source) => line.low.is_some_and(|low| source >= low),
        None => !is_above && line.low.is_some(),
    }
}

/// Whether a dose would bring a missed line nearer to its range.
fn helps(option: &DoseOption, line: &TargetLine) -> bool {
    let above = line.state == State::Above;
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
fn kettle(settled: &Settled<'_>, above: bool) -> (ReasonCode, String) {
    let (code, why) = match (above, settled.day.has_kettle_acid()) {
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

/// What is missing where no dose helps.
fn nothing_helps(line: &TargetLine) -> (ReasonCode, String) {
    let above = line.state == State::Above;
    let place = if line.key == TargetKey::MashPh {
        "mash"
    } else {
        "sparge liquor"
    };
    match line.key {
        TargetKey::MashPh | TargetKey::SpargeAlkalinity | TargetKey::SpargePh if above => (
            ReasonCode::NoAcid,
            format!("there is no acid on the shelf that may go into the {place}"),
        ),
        TargetKey::MashPh | TargetKey::SpargeAlkalinity | TargetKey::SpargePh => (
            ReasonCode::NoBase,
            format!("nothing on the shelf that may go into the {place} brings alkalinity"),
        ),
        key => {
            let wanting = match (key, above) {
                (TargetKey::SulfateToChloride, true) => Component::Chloride.key(),
                (TargetKey::SulfateToChloride, false) => Component::Sulfate.key(),
                _ => key.as_str(),
            };
            (
                ReasonCode::NothingBrings,
                format!("nothing on the shelf brings {wanting}"),
            )
        }
    }
}

/// Whether the water brings more than is wanted, and no dose takes the ion as far again beyond that.
fn blend_exceeds(settled: &Settled<'_>, ion: Component, line: &TargetLine) -> bool {
    let in_blend = ion.mg_per_l(settled.liquors.blend.ions.get(ion));
    let ends = line.high.zip(line.planned);
    ends.is_some_and(|(high, planned)| in_blend - high > planned - in_blend)
}

fn too_much_in_water(settled: &Settled<'_>, ion: Component) -> String {
    let in_blend = ion.mg_per_l(settled.liquors.blend.ions.get(ion));
    let least = settled.day.sources.iter().min_by(|one, other| {
        one.liquor
            .ions
            .get(ion)
            .total_cmp(&other.liquor.ions.get(ion))
    });
    let figure = words::figure(in_blend, "mg/L", false);
    match least {
        Some(purest) if settled.day.sources.len() > 1 => format!(
            "the blend already brings {figure} mg/L; only more of {} could lower it, which the other ranges or its \
             limit do not allow",
            purest.name
        ),
        _ => format!(
            "the water already brings {figure} mg/L, and only dilution with purer water takes it out"
        ),
    }
}

/// Names the other ranges that stand in the way: those without which no more than `before` is missed. Where one gives way a
/// little, a third may take the room that all of it leaves.
fn conflict(
    settled: &Settled<'_>,
    others: &[&BindingLimit],
    line: &TargetLine,
    before: f64,
) -> String {
    let yields = |limit: &&&BindingLimit| {
        let mut question = settled.question.clone();
        question.targets.remove(&limit.subject);
        fit::best_amounts(&question).is_ok_and(|(shares, doses)| {
            left_of(&settled.targets_at(&shares, &doses), line) <= before
        })
    };
    let yielding = others.iter().filter(yields);
    let mut names: Vec<String> = yielding.map(|limit| spoken(&limit.subject)).collect();
    names.dedup();
    if names.is_empty() {
        return "the reagents at hand cannot reach it without harm elsewhere".to_owned();
    }
    format!("going further would cost more in {}", names.join(", "))
}

/// Ranges that are met but hold the plan at one of their ends.
fn resting(settled: &Settled<'_>, targets: &[TargetLine]) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Vec::new();
    let bound = settled.answer.binding.iter();
    for subject in bound.filter_map(|binding| binding.constraint.target()) {
        // A single wanted value has no end to speak of, and an aimed pH is not held by those of its range.
        let met = |line: &&TargetLine| {
            let is_held = line.low != line.high && settled.aimed(line.key).is_none();
            line.key == key(subject) && line.state == State::Met && is_held
        };
        let Some(line) = targets.iter().find(met) else {
            continue;
        };
        if reasons.iter().any(|reason| line.key == *reason.subject) {
            continue;
        }
        let Some((end, why)) = end_rested_on(line) else {
            continue;
        };
        let text = format!(
            "{} rests on the {end} end of its range ({}): {why}.",
            words::capitalised(&line.label),
            line.display
        );
        reasons.push(Reason {
            code: ReasonCode::RestsOnRange,
            subject: line.key.to_string(),
            text,
        });
    }
    reasons
}

/// Which end of its range a line rests on and what constraint it there; `None` where whole steps of the scale moved it
/// well inside.
fn end_rested_on(line: &TargetLine) -> Option<(&'static str, &'static str)> {
    let (source, planned) = (line.source, line.planned?);
    let is_below = |end: f64| source.is_some_and(|source| source < end);
    let is_above = |end: f64| source.is_none_or(|source| source > end);
    let at = |end: &f64| (planned - end).abs() <= AT_END_SHARE * end.abs();
    if let Some(low) = line.low.filter(at) {
        let why = if is_below(low) {
            "it is brought up just so far, since more would only cost material"
        } else {
            "going lower would save material or serve another range"
        };
        return Some(("low", why));
    }
    let high = line.high.filter(at)?;
    let why = if is_above(high) {
        "it is brought down just so far, since more would only cost material"
    } else {
        "going higher would save material or serve another range"
    };
    Some(("high", why))
}

/// How near to an end still counts as resting on it, as a share of the end: whole steps of a usual scale move an ion
/// by no more.
const AT_END_SHARE: f64 = 0.03;

/// What weighing in whole steps costs.
fn rounding(settled: &Settled<'_>) -> Reason {
    let cost = settled.answer.objective - settled.answer.objective_before_rounding;
    let most = settled.question.max_salts;
    let few = most.map_or_else(String::new, |most| format!(" no more than {most} salts,"));
    let text = format!(
        "Whole steps of the scale,{few} and leaving out trifles, cost {cost:.3} in the fit, where 1 is a miss of {} mg/L in one \
         ion or of {} in mash pH; the plan stands at {:.3}, and none of any fineness gets below {:.3}.",
        parameters::FIT_ION_TOLERANCE.value,
        parameters::FIT_PH_TOLERANCE.value,
        settled.answer.objective,
        settled.answer.objective_before_rounding
    );
    Reason {
        code: ReasonCode::CostOfWeighing,
        subject: "fit".to_owned(),
        text,
    }
}

/// Key of the target that a line of the fit belongs to.
pub(crate) fn key(subject: Subject) -> TargetKey {
    match subject {
        Subject::Component(ion) => TargetKey::Component(ion),
        Subject::RatioLow | Subject::RatioHigh => TargetKey::SulfateToChloride,
        Subject::MashPhLow | Subject::MashPhHigh => TargetKey::MashPh,
        Subject::SpargeAlkalinity => TargetKey::SpargeAlkalinity,
        Subject::SpargePhLow | Subject::SpargePhHigh => TargetKey::SpargePh,
    }
}

pub(crate) fn spoken(key: &str) -> String {
    match key {
        "mash_ph" => "mash pH".to_owned(),
        "sparge_ph" => "sparge pH".to_owned(),
        "kettle_ph" => "kettle pH".to_owned(),
        other => other.replace('_', " "),
    }
}

/// Whether a liquor carries enough bicarbonate that acid sets noticeable carbon dioxide free.
pub(crate) fn fizzes(liquor: &Liquor) -> bool {
    liquor.alkalinity_eq_per_kg > FIZZING_EQ_PER_KG
}

/// One milliequivalent of bicarbonate per kg, 50 mg/L as CaCO3 (common practice, no source).
const FIZZING_EQ_PER_KG: f64 = 0.001;
