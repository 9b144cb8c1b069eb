//! What constraint the plan back and what else could be done, each told by what it changes for the beer.

use underlet_tables::{REAGENTS, Reagent, ReagentKind, parameters};

use super::codes::{AlternativeCode, LimitCode, TargetKey};
use super::document::{Addition, Alternative, BindingLimit, BlendPart, Change, State, TargetLine};
use super::reasons::{key, spoken};
use crate::fit::{
    ActiveConstraint, Aimed, Both, Settled, draw_step_l, least_dilution, least_objective,
};
use crate::liquor::{Liquor, water_density_kg_per_l};
use crate::reagent::Preparation;
use crate::recipe::{BrewDay, Shelved, Source};
use crate::treatment::Chlorine;
use crate::words;

/// Unit of what a chance falls short of its confidence by: no target has it.
const SHORT_IN: &str = "%";
/// Name of what dilutes: water without ions, distilled or by reverse osmosis.
const PURE_WATER: &str = "pure water";
/// Shares below this are the rounding of a proof.
const NO_SHARE: f64 = 1e-6;
/// A reagent must better the fit by this part to count as better than another that does the same.
const BETTER: f64 = 1e-9;

/// The limits that the plan before rounding misses or rests on.
pub(crate) fn limits(settled: &Settled<'_>) -> Vec<BindingLimit> {
    let answer = &settled.answer;
    let before = misses_at(
        settled,
        &answer.shares_before_rounding,
        &answer.doses_before_rounding,
    );
    let mut limits = Vec::new();
    for binding in &answer.binding {
        let (code, subject, unit) = told(settled, binding.constraint);
        let mut relief = binding.relief;
        if code == LimitCode::Source {
            relief /= cold_kg_per_l();
        }
        let much = format!("{} {unit}", words::number(relief));
        let (much, name) = (much.trim_end(), spoken(&subject));
        let aimed = TargetKey::from_key(&subject).and_then(|key| settled.aimed(key));
        let drawn_in = aimed.filter(|aimed| aimed.draws_in(binding.constraint));
        // A limit that the day did not ask for itself.
        let gives = drawn_in.map_or_else(
            || format!("If {name} might be {much}"),
            |_| format!("If the range of {name} drawn in for the confidence might reach {much}"),
        );
        let head = match code {
            LimitCode::RangeLow => format!("{gives} lower"),
            LimitCode::RangeHigh => format!("{gives} higher"),
            LimitCode::Limit => format!("If the limit on {name} were {much} higher"),
            LimitCode::Solubility => format!("If {much} more of {name} dissolved"),
            LimitCode::Stock | LimitCode::Source => format!("With {much} more of {name} at hand"),
        };
        let after = misses_at(settled, &binding.shares, &binding.doses);
        let mut changes = changes(&before, &after);
        // That a range which gives way is left by as much says nothing, and no more that a confidence is which drew it in.
        changes.retain(|change| {
            let is_its = |aimed: &Aimed| aimed.keys.contains(&change.key);
            change.key != *subject && !drawn_in.is_some_and(is_its)
        });
        let text = format!(
            "{head}: {}.",
            consequences(&changes, "no other range would gain")
        );
        limits.push(BindingLimit {
            code,
            subject,
            relief,
            unit: unit.to_owned(),
            worth: binding.worth,
            changes,
            text,
        });
    }
    limits
}

/// Code, subject and unit of a limit.
fn told(settled: &Settled<'_>, constraint: ActiveConstraint) -> (LimitCode, String, &'static str) {
    let of_target = |subject| {
        let key = key(subject);
        let unit = match key {
            TargetKey::SulfateToChloride | TargetKey::MashPh | TargetKey::SpargePh => "",
            TargetKey::SpargeAlkalinity => "mg/L as CaCO3",
            _ => "mg/L",
        };
        (key.to_string(), unit)
    };
    let of_dose = |option: Option<&crate::fit::DoseOption>| {
        option.map_or((String::new(), ""), |option| {
            let preparation = &option.preparation;
            (preparation.reagent.key.to_owned(), preparation.unit().key())
        })
    };
    let doses = &settled.question.doses;
    let (code, (subject, unit)) = match constraint {
        ActiveConstraint::Low(subject) => (LimitCode::RangeLow, of_target(subject)),
        ActiveConstraint::High(subject) => (LimitCode::RangeHigh, of_target(subject)),
        ActiveConstraint::Limit(place) => {
            let limit = settled.question.targets.limits.get(place);
            let key = limit.map_or("", |(of, _)| of.key());
            (LimitCode::Limit, (key.to_owned(), "mg/L"))
        }
        ActiveConstraint::Stock(stock) => (
            LimitCode::Stock,
            of_dose(doses.iter().find(|option| option.stock == stock)),
        ),
        ActiveConstraint::Dissolving(dose) => (LimitCode::Solubility, of_dose(doses.get(dose))),
        ActiveConstraint::Source(source) => {
            let source = settled.day.sources.get(source);
            let name = source.map_or_else(String::new, |source| source.name.clone());
            (LimitCode::Source, (name, "L"))
        }
    };
    (code, subject, unit)
}

/// How far something that was asked for is missed.
struct Miss {
    key: TargetKey,
    label: String,
    unit: String,
    /// Negative below what was asked for, 0 where it is met; none for a ratio that lies above its range for lack of chloride.
    by: Option<f64>,
}

/// What a plan reaches of everything asked for: the ranges as they were asked for, and where there are some the
/// confidences.
fn misses(settled: &Settled<'_>, targets: &[TargetLine], chances: Both<Option<f64>>) -> Vec<Miss> {
    let mut misses: Vec<Miss> = targets
        .iter()
        .map(|line| Miss {
            key: line.key,
            label: line.label.clone(),
            unit: line.unit.clone(),
            by: outside(line),
        })
        .collect();
    for (aimed, chance) in settled.aimed.iter().zip(chances) {
        let Some((aimed, chance)) = aimed.as_ref().zip(chance) else {
            continue;
        };
        let [_, key] = aimed.keys;
        misses.push(Miss {
            key,
            label: format!("confidence of {}", aimed.name),
            unit: SHORT_IN.to_owned(),
            by: Some(0.0 - aimed.short_by_percent(chance)),
        });
    }
    misses
}

fn misses_at(settled: &Settled<'_>, shares: &[f64], doses: &[f64]) -> Vec<Miss> {
    let is_aimed = settled.aimed.iter().any(Option::is_some);
    let chances = is_aimed.then(|| settled.chances_at(shares, doses));
    misses(
        settled,
        &settled.targets_at(shares, doses),
        chances.unwrap_or_default(),
    )
}

/// What is missed differently by two plans, to what three digits show.
fn changes(before: &[Miss], after: &[Miss]) -> Vec<Change> {
    let told = |miss: Option<f64>| {
        let without = || "without chloride".to_owned();
        miss.map_or_else(without, |miss| words::number(miss.abs()))
    };
    let is_met = |miss: Option<f64>| miss == Some(0.0);
    // What has no figure lies above its range.
    let is_below = |miss: Option<f64>| miss.is_some_and(|miss| miss < 0.0);
    let is_above = |miss: Option<f64>| miss.is_none_or(|miss| miss > 0.0);
    let mut changes = Vec::new();
    for (before, after) in before.iter().zip(after) {
        let (was, is) = (before.by, after.by);
        let (was_told, is_told) = (told(was), told(is));
        let crosses = (is_below(was) && is_above(is)) || (is_above(was) && is_below(is));
        if was_told == is_told && !crosses {
            continue;
        }
        let end = format!("{} would end {is_told} {}", after.label, after.unit);
        let side = match after.unit.as_str() {
            SHORT_IN => "short of what is asked",
            _ if is_below(is) => "below its range",
            _ => "above its range",
        };
        let end = format!("{} {side}", end.trim_end());
        changes.push(Change {
            key: after.key,
            unit: after.unit.clone(),
            missed_by: was,
            would_miss_by: is,
            display: match (is_met(was), is_met(is)) {
                (_, true) => format!("{} would be met", after.label),
                (true, _) => end,
                _ => format!("{end}, not {was_told}"),
            },
        });
    }
    changes
}

/// How far a target lies outside its range, negative below it; none for a ratio that lies above it
/// for lack of chloride.
pub(crate) fn outside(line: &TargetLine) -> Option<f64> {
    let end = match line.state {
        State::Below => line.low,
        State::Above => line.high,
        _ => None,
    };
    end.map_or(Some(0.0), |end| Some(line.planned? - end))
}

/// The size of a miss; no figure is larger than every figure.
pub(crate) fn size(miss: Option<f64>) -> f64 {
    miss.map_or(f64::INFINITY, f64::abs)
}

impl Change {
    /// Whether it brings its target nearer to the range.
    pub(crate) fn is_nearer(&self) -> bool {
        size(self.would_miss_by) < size(self.missed_by)
    }
}

/// The changes as one sentence.
fn consequences(changes: &[Change], none: &str) -> String {
    let told: Vec<&str> = changes
        .iter()
        .map(|change| change.display.as_str())
        .collect();
    or(told.join("; "), none)
}

/// What else could be done, where the day asks for it. What would help with a miss is sought only where there is one.
pub(crate) fn alternatives(settled: &Settled<'_>, targets: &[TargetLine]) -> Vec<Alternative> {
    use AlternativeCode::{AcidSwapped, LeastDilution, OneMoreReagent, OneSaltFewer};

    let mut found = Vec::new();
    if !settled.day.alternatives {
        return found;
    }
    let missed = misses(settled, targets, settled.chances);
    let of = |found: &mut Vec<Alternative>, code, subject: Option<&str>, other: Option<BrewDay>| {
        let new = other.and_then(|other| alternative(settled, &missed, code, subject, &other));
        // Acid from the table may come in place of an acid and as a reagent more: one plan is told once.
        let new = new.filter(|new| found.iter().all(|known| !is_same(known, new)));
        found.extend(new);
    };
    of(&mut found, OneSaltFewer, None, one_salt_fewer(settled));
    for acid in used(settled, true) {
        let other = acid_swapped(settled, acid);
        of(&mut found, AcidSwapped, Some(acid.key), other);
    }
    if missed.iter().any(|miss| miss.by != Some(0.0)) {
        let other = diluted(settled);
        of(&mut found, LeastDilution, Some(PURE_WATER), other);
        if let Some((reagent, other)) = one_more_reagent(settled) {
            of(&mut found, OneMoreReagent, Some(reagent), Some(other));
        }
    }
    found
}

/// The plan of another day beside this one, with an aim of its own; nothing where it should help with a miss that stays as it was.
fn alternative(
    settled: &Settled<'_>,
    missed: &[Miss],
    code: AlternativeCode,
    subject: Option<&str>,
    other: &BrewDay,
) -> Option<Alternative> {
    let other = other.settled().ok()?;
    let reached = other.targets();
    let changes = changes(missed, &misses(&other, &reached, other.chances));
    let mends = matches!(
        code,
        AlternativeCode::LeastDilution | AlternativeCode::OneMoreReagent
    );
    // What helps brings something nearer; a scale's steps may move everything a little the other way.
    if mends && !changes.iter().any(Change::is_nearer) {
        return None;
    }
    let [gone, new] = swapped(settled, &other);
    let blend = other.blend();
    let otherwise = heading(blend.get(settled.day.sources.len()), &gone, &new);
    let additions = other.additions();
    let takes: Vec<String> = additions
        .iter()
        .map(|addition| {
            let (much, place) = (&addition.display, &addition.vessel_label);
            let mut text = format!("{much} {} ({place})", addition.reagent);
            if addition.times > 1 {
                text = format!("{} × {text}", addition.times);
            }
            text
        })
        .collect();
    let mut text = format!(
        "With {otherwise}: {}. It takes {}.",
        consequences(&changes, "every range would stand as it does"),
        or(takes.join(", "), "nothing")
    );
    for reagent in &new {
        let mut given = additions.iter();
        if let Some(one) = given.find(|one| one.reagent == reagent.key) {
            text = format!("{text} {}: {}", words::capitalised(reagent.key), one.how);
        }
    }
    Some(Alternative {
        code,
        subject: subject.map_or_else(|| names(&gone), str::to_owned),
        cost: priced(&other) - priced(settled),
        meets_every_range: reached.iter().all(|line| outside(line) == Some(0.0)),
        blend,
        additions,
        changes,
        text,
    })
}

/// The objective as weighed, with the price of each thing to weigh.
fn priced(settled: &Settled<'_>) -> f64 {
    settled.answer.objective + parameters::FIT_HANDLING.value * settled.order_of_work().len() as f64
}

/// Whether two plans are weighed and drawn alike.
fn is_same(one: &Alternative, other: &Alternative) -> bool {
    let [weighed, too] = [one, other].map(|plan| plan.additions.iter());
    let given = |of: &Addition| (of.reagent.clone(), of.vessel, of.amount);
    let [drawn, as_well] = [one, other].map(|plan| plan.blend.iter().map(|part| &part.display));
    weighed.map(given).eq(too.map(given)) && drawn.eq(as_well)
}

/// Reagents that only the one plan takes, and those that only the other does.
fn swapped(settled: &Settled<'_>, other: &Settled<'_>) -> [Vec<&'static Reagent>; 2] {
    let [was, is] =
        [settled, other].map(|settled| [used(settled, false), used(settled, true)].concat());
    let (mut gone, mut new) = (was.clone(), is.clone());
    gone.retain(|reagent| is.iter().all(|other| other.key != reagent.key));
    new.retain(|reagent| was.iter().all(|other| other.key != reagent.key));
    [gone, new]
}

/// What is done otherwise, in a few words.
fn heading(water: Option<&BlendPart>, gone: &[&Reagent], new: &[&Reagent]) -> String {
    let water = water.map(|part| format!("{:.0} % of {}", part.share * 100.0, part.source));
    let swap = match (gone.is_empty(), new.is_empty()) {
        (true, true) => None,
        (true, false) => Some(format!("{} besides", names(new))),
        _ => Some(format!(
            "{} in place of {}",
            or(names(new), "nothing"),
            names(gone)
        )),
    };
    let parts: Vec<String> = water.into_iter().chain(swap).collect();
    or(parts.join(", "), "other amounts")
}

fn names(reagents: &[&Reagent]) -> String {
    let keys: Vec<&str> = reagents.iter().map(|reagent| reagent.key).collect();
    keys.join(", ")
}

/// A text, or another where it is empty.
fn or(text: String, other: &str) -> String {
    if text.is_empty() {
        other.to_owned()
    } else {
        text
    }
}

/// The acids, or the salts and bases, of which the plan gives something, each once.
fn used(settled: &Settled<'_>, acids: bool) -> Vec<&'static Reagent> {
    let mut used: Vec<&'static Reagent> = Vec::new();
    for (option, dose) in settled.question.doses.iter().zip(&settled.answer.doses) {
        let reagent = option.preparation.reagent;
        let known = used.iter().any(|other| other.key == reagent.key);
        if *dose > 0.0 && !known && option.preparation.is_acid() == acids {
            used.push(reagent);
        }
    }
    used
}

fn one_salt_fewer(settled: &Settled<'_>) -> Option<BrewDay> {
    let fewer = used(settled, false).len().checked_sub(1)?;
    Some(BrewDay {
        max_salts: Some(fewer),
        ..settled.day.clone()
    })
}

/// The day with another acid in place of one that the plan gives: the best one of the shelf that it does not give, or of the table
/// where the shelf has none. Other acids that stand on the shelf unused stay out.
fn acid_swapped(settled: &Settled<'_>, acid: &'static Reagent) -> Option<BrewDay> {
    let day = settled.day;
    let in_plan = used(settled, true);
    let mut kept = day.clone();
    kept.shelf.retain(|shelved| {
        let reagent = shelved.preparation.reagent;
        let given = in_plan.iter().any(|other| other.key == reagent.key);
        let stays = given || !shelved.preparation.is_acid() || shelved.is_for_kettle_alone();
        reagent.key != acid.key && stays
    });
    let is_other = |shelved: &&Shelved| {
        let is_acid = shelved.preparation.is_acid() && !shelved.is_for_kettle_alone();
        is_acid
            && in_plan
                .iter()
                .all(|given| given.key != shelved.preparation.reagent.key)
    };
    let mut others: Vec<Shelved> = day.shelf.iter().filter(is_other).cloned().collect();
    if others.is_empty() {
        let mut shelf = day.shelf.iter();
        let given = shelf.find(|shelved| shelved.preparation.reagent.key == acid.key)?;
        let acids = REAGENTS
            .iter()
            .filter(|row| row.kind == ReagentKind::Acid && !is_on_shelf(day, row));
        others.extend(acids.map(|row| Shelved {
            preparation: Preparation::of(row),
            stock: None,
            ..given.clone()
        }));
    }
    best_of(
        settled,
        others.into_iter().map(|other| with(&kept, other)),
        f64::INFINITY,
    )
}

/// The day with the one reagent of the table that betters the fit most, and its key.
fn one_more_reagent(settled: &Settled<'_>) -> Option<(&'static str, BrewDay)> {
    let day = settled.day;
    let step = settled.question.doses.iter().map(|option| option.step);
    let step = step.reduce(f64::min).unwrap_or(day.brewhouse.scale_step_g);
    let others = REAGENTS
        .iter()
        .filter(|row| Shelved::brings_ions(row) && !is_on_shelf(day, row));
    let more = others.map(|row| with(day, Shelved::usual(row, step, day.tank.is_some())));
    let best = best_of(settled, more, settled.answer.objective_before_rounding)?;
    Some((best.shelf.last()?.preparation.reagent.key, best))
}

fn is_on_shelf(day: &BrewDay, row: &Reagent) -> bool {
    let mut shelf = day.shelf.iter();
    shelf.any(|shelved| shelved.preparation.reagent.key == row.key)
}

/// The day with one thing more on its shelf, or as it is where that is there already.
fn with(day: &BrewDay, other: Shelved) -> BrewDay {
    let mut day = day.clone();
    if !day.shelf.contains(&other) {
        day.shelf.push(other);
    }
    day
}

/// The day with the least objective before rounding, if that is less than `most`; the first of those that are alike. All are given
/// the ranges of pH that the plan was, drawn in for a confidence or not, and its acid in the kettle: one measure for all of them.
fn best_of(
    settled: &Settled<'_>,
    days: impl Iterator<Item = BrewDay>,
    most: f64,
) -> Option<BrewDay> {
    let (mut best, mut least) = (None, most);
    for day in days {
        let mut question = day.question();
        let (given, is) = (&settled.question.targets, &mut question.targets);
        (is.mash_ph, is.sparge_ph) = (given.mash_ph, given.sparge_ph);
        question.in_kettle = settled.question.in_kettle;
        let objective = least_objective(&question).unwrap_or(f64::INFINITY);
        if objective < least - BETTER * (1.0 + objective) {
            (best, least) = (Some(day), objective);
        }
    }
    best
}

/// The day with as little pure water as brings every range within reach, in whole steps of a draw.
fn diluted(settled: &Settled<'_>) -> Option<BrewDay> {
    let share = least_dilution(&settled.question).ok().flatten();
    let share = share.filter(|share| *share > NO_SHARE)?;
    let litres = settled.question.waters.blended_kg() / cold_kg_per_l();
    let step = draw_step_l(litres);
    let drawn = (share * litres / step).ceil() * step;
    let mut day = settled.day.clone();
    if let [source] = day.sources.as_mut_slice() {
        // Where something is missed all the same, no less is drawn for its sake.
        source.max_amount_l = Some(litres - drawn + NO_SHARE * litres);
    }
    day.sources.push(Source {
        name: PURE_WATER.to_owned(),
        liquor: Liquor {
            temperature_c: parameters::SAMPLE_TEMPERATURE.value,
            ..Liquor::default()
        },
        ph_assumed: false,
        chlorine: Chlorine::default(),
        max_amount_l: Some(drawn),
        reconciled: None,
    });
    Some(day)
}

fn cold_kg_per_l() -> f64 {
    water_density_kg_per_l(parameters::SAMPLE_TEMPERATURE.value)
}
