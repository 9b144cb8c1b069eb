//! Why the plan is as it is: as data and as sentences.

use super::outcome::Settled;
use super::plan::{Reason, State, TargetLine};
use super::words;
use crate::fit::{Subject, Vessel};
use crate::ion::Ion;
use crate::liquor::Liquor;

/// Relief per tolerance below which a limit is not worth a sentence.
const WORTH_SAYING: f64 = 0.001;

/// The reasons, missed ranges first.
pub(super) fn reasons(settled: &Settled<'_>, targets: &[TargetLine]) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = targets
        .iter()
        .filter(|line| matches!(line.state, State::Below | State::Above))
        .map(|line| missed(settled, line))
        .collect();
    reasons.extend(resting(settled, targets));
    if settled.answer.doses.iter().all(|dose| *dose == 0.0) && reasons.is_empty() {
        let text = "The water suits this brew as it is: nothing needs to be added.".to_owned();
        reasons.push(Reason {
            code: "nothing_needed",
            subject: "additions".to_owned(),
            text,
        });
    }
    reasons.push(rounding(settled));
    reasons
}

/// Why a range is not met.
fn missed(settled: &Settled<'_>, line: &TargetLine) -> Reason {
    let ion = Ion::from_key(&line.key);
    let (code, why) = match (ion, line.state) {
        (Some(ion), State::Above) if blend_exceeds(settled, ion, line) => {
            ("source_above_range", too_much_in_water(settled, ion))
        }
        (Some(ion), State::Below) if !can_bring(settled, ion) => (
            "nothing_brings",
            format!("nothing on the shelf brings {}", ion.key()),
        ),
        _ if line.key == "mash_ph" && line.state == State::Above && !has_acid(settled) => (
            "no_acid",
            "there is no acid on the shelf that may go into the mash".to_owned(),
        ),
        _ if settled_limits_reached(settled) => (
            "stock_or_solubility",
            "a reagent is used up to its stock or to what dissolves".to_owned(),
        ),
        _ => ("ranges_conflict", conflict(settled, line)),
    };
    let side = if line.state == State::Above {
        "above"
    } else {
        "below"
    };
    let text = format!(
        "{} ends {side} its range ({}): {why}.",
        capitalised(&line.label),
        line.display
    );
    Reason {
        code,
        subject: line.key.clone(),
        text,
    }
}

fn blend_exceeds(settled: &Settled<'_>, ion: Ion, line: &TargetLine) -> bool {
    let in_blend = ion.mg_per_l(settled.liquors.blend.ions.get(ion));
    line.high.is_some_and(|high| in_blend > high)
}

fn too_much_in_water(settled: &Settled<'_>, ion: Ion) -> String {
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

fn can_bring(settled: &Settled<'_>, ion: Ion) -> bool {
    settled
        .question
        .doses
        .iter()
        .any(|option| option.dose_per_unit().ions.get(ion) > 0.0)
}

fn has_acid(settled: &Settled<'_>) -> bool {
    settled
        .question
        .doses
        .iter()
        .any(|option| option.preparation.is_acid() && option.vessel != Vessel::SpargeLiquor)
}

/// Whether a dose stands at its limit.
fn settled_limits_reached(settled: &Settled<'_>) -> bool {
    let doses = &settled.answer.doses;
    settled
        .question
        .doses
        .iter()
        .zip(doses)
        .any(|(option, dose)| {
            let at = |limit: f64| *dose > 0.0 && *dose + option.step > limit;
            let taken = |stock: usize| -> f64 {
                let options = settled.question.doses.iter().zip(doses);
                options
                    .filter(|(other, _)| other.stock == stock)
                    .map(|(_, dose)| dose)
                    .sum()
            };
            let on_hand = settled.question.stocks.get(option.stock).copied().flatten();
            option.most.is_some_and(at)
                || on_hand
                    .is_some_and(|most| *dose > 0.0 && taken(option.stock) + option.step > most)
        })
}

/// Names the other ranges that stand in the way.
fn conflict(settled: &Settled<'_>, line: &TargetLine) -> String {
    let mut others: Vec<&str> = settled
        .answer
        .binding
        .iter()
        .filter(|(_, relief)| *relief > WORTH_SAYING)
        .map(|(subject, _)| key(*subject))
        .filter(|other| *other != line.key)
        .collect();
    others.dedup();
    if others.is_empty() {
        return "the reagents at hand cannot reach it without harm elsewhere".to_owned();
    }
    format!(
        "going further would cost more in {}",
        others
            .iter()
            .map(|key| spoken(key))
            .collect::<Vec<_>>()
            .join(", ")
    )
}

/// Ranges that are met but rest on their end: what a wider range would save.
fn resting(settled: &Settled<'_>, targets: &[TargetLine]) -> Vec<Reason> {
    let mut reasons: Vec<Reason> = Vec::new();
    for (subject, relief) in &settled.answer.binding {
        let Some(line) = targets
            .iter()
            .find(|line| line.key == key(*subject) && line.state == State::Met)
        else {
            continue;
        };
        if *relief < WORTH_SAYING || reasons.iter().any(|reason| reason.subject == line.key) {
            continue;
        }
        let text = format!(
            "{} rests on the end of its range ({}): material is added just until it is met.",
            capitalised(&line.label),
            line.display
        );
        reasons.push(Reason {
            code: "rests_on_range",
            subject: line.key.clone(),
            text,
        });
    }
    reasons
}

/// What weighing in whole steps costs.
fn rounding(settled: &Settled<'_>) -> Reason {
    let cost = settled.answer.objective - settled.answer.objective_before_rounding;
    let text = format!(
        "Whole steps of the scale, and leaving out trifles, cost {cost:.3} in the fit, where 1 is a miss of 10 mg/L in one \
         ion or of 0.05 in mash pH; the plan stands at {:.3}, and none of any fineness gets below {:.3}.",
        settled.answer.objective, settled.answer.objective_before_rounding
    );
    Reason {
        code: "cost_of_weighing",
        subject: "fit".to_owned(),
        text,
    }
}

/// Key of the target that a line of the fit belongs to.
fn key(subject: Subject) -> &'static str {
    match subject {
        Subject::Ion(ion) => ion.key(),
        Subject::RatioLow | Subject::RatioHigh => "sulfate_to_chloride",
        Subject::MashPhLow | Subject::MashPhHigh => "mash_ph",
        Subject::SpargeAlkalinity => "sparge_alkalinity",
        Subject::SpargePhLow | Subject::SpargePhHigh => "sparge_ph",
    }
}

fn spoken(key: &str) -> String {
    match key {
        "mash_ph" => "mash pH".to_owned(),
        "sparge_ph" => "sparge pH".to_owned(),
        other => other.replace('_', " "),
    }
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        std::iter::once(first.to_ascii_uppercase())
            .chain(letters)
            .collect()
    })
}

/// Whether a liquor carries enough bicarbonate that acid sets noticeable carbon dioxide free.
pub(super) fn fizzes(liquor: &Liquor) -> bool {
    liquor.alkalinity_eq_per_kg > FIZZING_EQ_PER_KG
}

/// One milliequivalent of bicarbonate per kg, 50 mg/L as CaCO3 (common practice, no source).
const FIZZING_EQ_PER_KG: f64 = 0.001;
