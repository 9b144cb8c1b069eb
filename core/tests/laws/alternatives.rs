//! Alternatives of random days, against every other shelf planned outright.

use serde_json::{Value, json};
use underlet::fit::{FitResult, FrozenProblem, Problem, solve};
use underlet::{
    Addition, Alternative, AlternativeCode, BlendPart, BrewDay, Change, Plan, TargetLine,
    TargetState, Vessel,
};
use underlet_tables::{REAGENTS, Reagent, ReagentKind, parameters};

use super::options::IONIC_STRENGTH;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Shelves of random days are cut to so many reagents, or trying them all would take hours.
pub(super) const SHELF: usize = 6;

/// So many random days of every check.
fn days(count: u64) -> std::ops::Range<u64> {
    9000..9000 + count
}

/// A random day's document with a short shelf, asking for alternatives.
fn document(seed: u64) -> Value {
    let mut draft = Draft::random(seed);
    // Salts stand first in the table, acids last.
    if seed.is_multiple_of(2) {
        draft.shelf.reverse();
    }
    draft.shelf.truncate(SHELF);
    let mut day: Value = serde_json::from_str(&draft.json()).expect("JSON");
    day["alternatives"] = json!(true);
    // One addition for each dose.
    day["brewhouse"] = json!({ "overshoot_risk": "100 %" });
    day
}

fn planned(day: &Value) -> Plan {
    underlet::json::plan(&day.to_string()).unwrap_or_else(|error| panic!("{error}\n{day}"))
}

/// The plan of a day without its alternatives.
fn planned_alone(mut day: Value) -> Plan {
    day["alternatives"] = json!(false);
    planned(&day)
}

fn answered(day: &Value) -> FitResult {
    let day = BrewDay::from_json(&day.to_string()).unwrap_or_else(|error| panic!("{error}\n{day}"));
    solve(&day.problem()).expect("an result")
}

fn of<'p>(plan: &'p Plan, code: &str) -> Vec<&'p Alternative> {
    let all = plan.alternatives.iter();
    all.filter(|other| other.code.as_str() == code).collect()
}

fn row(key: &str) -> &'static Reagent {
    REAGENTS.iter().find(|row| row.key == key).expect("known")
}

/// Reagents of the shelf of one kind or another.
fn keys(day: &Value, is: impl Fn(&Reagent) -> bool) -> Vec<String> {
    let shelf = day["shelf"].as_array().expect("a list");
    let keys = shelf
        .iter()
        .map(|item| item["reagent"].as_str().expect("text"));
    keys.filter(|key| is(row(key))).map(str::to_owned).collect()
}

/// Reagents of a plan, each once, sorted.
fn used(additions: &[underlet::Addition], is: impl Fn(&Reagent) -> bool) -> Vec<String> {
    let mut keys: Vec<String> = additions
        .iter()
        .filter(|addition| is(row(&addition.reagent)))
        .map(|addition| addition.reagent.clone())
        .collect();
    keys.sort();
    keys.dedup();
    keys
}

fn is_acid(row: &Reagent) -> bool {
    row.kind == ReagentKind::Acid
}

fn is_salt(row: &Reagent) -> bool {
    matches!(row.kind, ReagentKind::Salt | ReagentKind::Base)
}

fn with_shelf(day: &Value, keep: impl Fn(&str) -> bool) -> Value {
    let mut day = day.clone();
    let shelf = day["shelf"].as_array_mut().expect("a list");
    shelf.retain(|item| keep(item["reagent"].as_str().expect("text")));
    day
}

/// Objective of a plan with the price of each thing to weigh, all at one ionic strength.
fn priced(problem: &Problem<'_>, shares: &[f64], doses: &[f64]) -> f64 {
    let model = FrozenProblem::new(problem, IONIC_STRENGTH).expect("a programme");
    let (_, units) = model.amounts(&vec![1.0; shares.len() + doses.len()]);
    let scaled = doses.iter().zip(&units).map(|(dose, unit)| dose / unit);
    let x: Vec<f64> = shares.iter().copied().chain(scaled).collect();
    let things = doses.iter().filter(|dose| **dose > 0.0).count();
    model.objective(&x) + parameters::FIT_HANDLING.value * things as f64
}

/// Salts and bases of doses, each once, sorted.
fn salts_of(problem: &Problem<'_>, doses: &[f64]) -> Vec<&'static str> {
    let given = problem
        .doses
        .iter()
        .zip(doses)
        .filter(|(_, dose)| **dose > 0.0);
    let rows = given.map(|(option, _)| option.preparation.reagent);
    let mut keys: Vec<&str> = rows.filter(|row| is_salt(row)).map(|row| row.key).collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

/// Every choice of one salt fewer from the shelf, answered outright. Each freezes its programme at
/// an ionic strength of its own; measured at one, none is better than by what that moves.
#[test]
fn a_salt_fewer_on_random_days_is_the_best_of_all_smaller_shelves() {
    let count = trials(30, 90);
    let (mut tried, mut alike) = (0, 0);
    for seed in days(count) {
        let document = document(seed);
        let plan = planned(&document);
        let in_plan = used(&plan.additions, is_salt);
        let found = of(&plan, "one_salt_fewer");
        assert_eq!(found.len(), usize::from(!in_plan.is_empty()), "{document}");
        let Some(found) = found.first() else { continue };
        let day = BrewDay::from_json(&document.to_string()).expect("valid");
        let problem = day.problem();
        let shares: Vec<f64> = found.blend.iter().map(|part| part.share).collect();
        let amount = |option: &underlet::fit::DoseOption| {
            let mut additions = found.additions.iter();
            let key = option.preparation.reagent.key;
            additions
                .find(|other| other.reagent == key && other.vessel == option.vessel)
                .map_or(0.0, |addition| addition.amount)
        };
        let doses: Vec<f64> = problem.doses.iter().map(amount).collect();
        let (ours, our_salts) = (
            priced(&problem, &shares, &doses),
            salts_of(&problem, &doses),
        );
        assert!(our_salts.len() < in_plan.len(), "seed {seed}");

        let salts = keys(&document, is_salt);
        let (mut least, mut their_salts) = (f64::INFINITY, Vec::new());
        for subset in 0..1_u32 << salts.len() {
            if subset.count_ones() as usize != in_plan.len() - 1 {
                continue;
            }
            let mut other = problem.clone();
            for option in &mut other.doses {
                let key = option.preparation.reagent.key;
                let place = salts.iter().position(|salt| salt == key);
                if place.is_some_and(|place| subset >> place & 1 == 0) {
                    option.most = Some(0.0);
                }
            }
            let result = solve(&other).expect("an result");
            let value = priced(&problem, &result.shares, &result.doses);
            if value < least {
                (least, their_salts) = (value, salts_of(&problem, &result.doses));
            }
        }
        // What a liquor does not take up, or acid against base, makes way for another plan
        // (`nonsense`, `laws::placements`).
        let mut fewer = document.clone();
        fewer["max_salts"] = json!(in_plan.len() - 1);
        let result = answered(&fewer);
        if planned_alone(fewer).fit.objective != result.objective {
            continue;
        }
        assert!(
            ours <= least * 1.003 + 2e-3,
            "seed {seed}: {ours} {least} {our_salts:?} {their_salts:?}"
        );
        alike += u64::from(our_salts == their_salts);
        tried += 1;
    }
    println!("{alike} of {tried} days with the same salts");
    assert!(
        9 * tried >= 5 * count && alike * 20 >= tried * 19,
        "{alike} of {tried}"
    );
}

/// Every swap that the rule allows, answered outright: the same day by its document must give the
/// same plan. One that is not on the shelf and brings no target nearer is not reported.
#[test]
fn a_swapped_acid_on_random_days_is_the_best_of_all_swaps() {
    let count = trials(30, 90);
    let (mut tried, mut not_worth_it) = (0, 0);
    for seed in days(count) {
        let day = document(seed);
        let plan = planned(&day);
        let in_plan = used(&plan.additions, is_acid);
        let on_shelf = keys(&day, |row| {
            is_acid(row) && in_plan.iter().all(|used| used != row.key)
        });
        for acid in &in_plan {
            let best = best_without(&day, acid, &in_plan, &on_shelf);
            let other = planned_alone(best);
            let found = of(&plan, "acid_swapped");
            let Some(found) = found.iter().find(|found| found.subject == *acid) else {
                let is_unknown = |line: &TargetLine| line.state == TargetState::Unknown;
                let is_known = !other.targets.iter().any(is_unknown);
                assert!(on_shelf.is_empty(), "seed {seed}: {acid}: {day}");
                assert!(
                    !(is_known && is_nearer(&other, &plan)),
                    "seed {seed}: {acid}: {day}"
                );
                not_worth_it += 1;
                continue;
            };
            let ours = weighed_value(&plan) + found.cost;
            let theirs = weighed_value(&other);
            assert!(
                (ours - theirs).abs() <= 1e-9 * (1.0 + ours),
                "seed {seed}: {ours} {theirs}: {day}"
            );
            tried += 1;
        }
    }
    println!("{tried} acids swapped, {not_worth_it} for nothing");
    assert!(
        9 * (tried + not_worth_it) >= 4 * count,
        "{tried}, {not_worth_it}"
    );
    assert!(9 * tried >= count, "{tried}");
}

/// The best day of those with another acid in place of one: of the shelf, else of the table.
fn best_without(day: &Value, acid: &str, in_plan: &[String], on_shelf: &[String]) -> Value {
    let item = |key: &str| {
        let shelf = day["shelf"].as_array().expect("a list");
        shelf.iter().find(|item| item["reagent"] == key).cloned()
    };
    let candidates: Vec<Value> = if on_shelf.is_empty() {
        let others = REAGENTS
            .iter()
            .filter(|row| is_acid(row) && keys(day, is_acid).iter().all(|key| key != row.key));
        let mut given = item(acid).expect("on the shelf");
        let given = given.as_object_mut().expect("an object");
        given.remove("strength");
        given.remove("stock");
        others
            .map(|row| {
                let mut other = given.clone();
                other.insert("reagent".to_owned(), json!(row.key));
                Value::Object(other)
            })
            .collect()
    } else {
        on_shelf.iter().filter_map(|key| item(key)).collect()
    };
    let mut best: Option<(f64, Value)> = None;
    for other in candidates {
        let mut swapped = with_shelf(day, |key| {
            !is_acid(row(key)) || (key != acid && in_plan.iter().any(|used| used == key))
        });
        let shelf = swapped["shelf"].as_array_mut().expect("a list");
        if !shelf.contains(&other) {
            shelf.push(other);
        }
        let objective = answered(&swapped).objective_before_rounding;
        let least = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
        if objective < least - 1e-9 * (1.0 + least.min(1e300)) {
            best = Some((objective, swapped));
        }
    }
    best.expect("a table has other acids").1
}

/// An objective with the price of each thing to weigh.
fn value(objective: f64, things: usize) -> f64 {
    objective + parameters::FIT_HANDLING.value * things as f64
}

fn weighed_value(plan: &Plan) -> f64 {
    value(plan.fit.objective, plan.additions.len())
}

/// How far a target lies outside its range.
fn outside(line: &TargetLine) -> Option<f64> {
    match line.state {
        TargetState::Below => Some(line.planned? - line.low.expect("a low end")),
        TargetState::Above => Some(line.planned? - line.high.expect("a high end")),
        _ => Some(0.0),
    }
}

/// Whether one plan ends nearer to some range than another, to three digits.
fn is_nearer(one: &Plan, other: &Plan) -> bool {
    let reported = |plan: &Plan| -> Vec<f64> {
        let misses = plan
            .targets
            .iter()
            .map(|line| format!("{:.2e}", outside(line).map_or(f64::INFINITY, f64::abs)));
        misses.map(|miss| miss.parse().expect("a number")).collect()
    };
    reported(one)
        .iter()
        .zip(reported(other))
        .any(|(one, other)| *one < other)
}

/// Reagents with their vessels and amounts.
fn weighed(additions: &[Addition]) -> Vec<(&str, Vessel, f64)> {
    let each = additions.iter();
    each.map(|one| (one.reagent.as_str(), one.vessel, one.amount))
        .collect()
}

fn drawn(blend: &[BlendPart]) -> Vec<&str> {
    blend.iter().map(|part| part.display.as_str()).collect()
}

/// Every row of the table put on the shelf in turn.
#[test]
fn the_reagent_that_helps_random_days_most_is_the_best_of_the_table() {
    let count = trials(15, 90);
    let (mut found_count, mut none, mut twice) = (0, 0, 0);
    for seed in days(count) {
        let day = document(seed);
        let plan = planned(&day);
        let found = of(&plan, "one_more_reagent");
        if plan.meets_every_range {
            assert!(found.is_empty(), "{day}");
            continue;
        }
        let shelf = day["shelf"].as_array().expect("a list");
        // Neither what takes chlorine nor zinc is the fit's to give, and its step no measure for a
        // salt.
        let is_for_fit =
            |row: &Reagent| !matches!(row.kind, ReagentKind::Dechlorinator | ReagentKind::Zinc);
        let steps = shelf.iter().filter_map(|item| {
            let row = REAGENTS.iter().find(|row| item["reagent"] == row.key);
            item["step"]
                .as_f64()
                .filter(|_| row.is_some_and(is_for_fit))
        });
        let step = steps.reduce(f64::min).unwrap_or(1.0);
        let (mut least, mut best) = (plan.fit.objective_before_rounding, None);
        for row in REAGENTS {
            let here = shelf.iter().any(|item| item["reagent"] == row.key);
            if here || !is_for_fit(row) {
                continue;
            }
            let mut more = day.clone();
            let shelf = more["shelf"].as_array_mut().expect("a list");
            shelf.push(json!({ "reagent": row.key, "step": step }));
            let result = answered(&more);
            if result.objective_before_rounding < least - 1e-9 * (1.0 + least) {
                least = result.objective_before_rounding;
                best = Some((row.key, more));
            }
        }
        match (found.first(), best) {
            (Some(found), Some((key, more))) => {
                assert_eq!(found.subject, key, "seed {seed}: {day}");
                let size = |miss: Option<f64>| miss.map_or(f64::INFINITY, f64::abs);
                let nearer = |one: &Change| size(one.would_miss_by) < size(one.missed_by);
                assert!(found.changes.iter().any(nearer), "seed {seed}: {found:?}");
                let others = plan
                    .alternatives
                    .iter()
                    .filter(|other| other.code != found.code);
                for other in others {
                    let alike = weighed(&other.additions) == weighed(&found.additions);
                    assert!(!alike || other.blend != found.blend, "seed {seed}: {day}");
                }
                found_count += 1;
                let ours = weighed_value(&plan) + found.cost;
                let theirs = weighed_value(&planned_alone(more));
                assert!((ours - theirs).abs() <= 1e-9 * (1.0 + ours), "{day}");
            }
            // What brings no miss nearer is not reported: it may save material, bring the mash
            // nearer to its middle, or move steps of a coarse scale. Nor is it reported
            // again where an acid was swapped for the same plan.
            (None, best) => {
                if let Some((key, more)) = best {
                    let more = planned(&more);
                    let swapped = of(&plan, "acid_swapped");
                    let reported = swapped.iter().any(|other| {
                        weighed(&other.additions) == weighed(&more.additions)
                            && drawn(&other.blend) == drawn(&more.blend)
                    });
                    twice += usize::from(reported);
                    // What is not known is no remedy.
                    let mut lines = more.targets.iter();
                    let is_unknown = lines.any(|line| line.state == TargetState::Unknown);
                    assert!(
                        reported || is_unknown || !is_nearer(&more, &plan),
                        "seed {seed}: {key}: {day}"
                    );
                }
                none += 1;
            }
            (Some(found), None) => panic!("seed {seed}: {found:?}: {day}"),
        }
    }
    println!("{found_count} found, {none} without, {twice} of them reported as a swap");
    assert!(3 * found_count >= 2 * count, "{found_count}");
}

/// What an alternative tells is what the plan of its own amounts reaches.
#[test]
fn changes_of_random_days_agree_with_the_targets() {
    let count = trials(30, 90);
    let mut seen = 0;
    for seed in days(count) {
        let plan = planned(&document(seed));
        let limits = plan.limits.iter().map(|limit| &limit.changes);
        for change in limits.flatten() {
            assert!(change.missed_by != change.would_miss_by);
        }
        for other in &plan.alternatives {
            for line in &plan.targets {
                let outside = outside(line);
                let change = other.changes.iter().find(|change| change.key == line.key);
                if let Some(change) = change {
                    assert_eq!(change.missed_by, outside, "seed {seed}");
                }
                let missed = change.map_or(outside, |change| change.would_miss_by);
                assert!(
                    !other.meets_every_range || missed == Some(0.0),
                    "seed {seed}"
                );
            }
            assert!(other.text.contains("It takes"), "{}", other.text);
            seen += 1;
        }
    }
    assert!(9 * seen > 15 * count, "{seen}");
    assert!(planned(&json_without(9000)).alternatives.is_empty());
}

fn json_without(seed: u64) -> Value {
    let mut day = document(seed);
    day["alternatives"] = json!(false);
    day
}

/// How far a plan's chance falls short of the confidence asked, in the whole per cents that are
/// shown.
fn short_by_percent(plan: &Plan) -> f64 {
    let chance = plan.mash.probability_in_range.expect("a range");
    let asked = plan
        .mash
        .requested_confidence_percent
        .expect("a confidence");
    (asked.round() - (chance * 100.0).round()).max(0.0)
}

/// A day with a confidence: each alternative is the plan of a day of its own, aimed for that
/// confidence, and tells what becomes of it.
#[test]
fn with_a_confidence_an_alternative_of_a_random_day_is_a_day_aimed_for_it() {
    let count = trials(30, 90);
    let (mut salts, mut acids, mut reported, mut improved) = (0, 0, 0, 0);
    for seed in days(count) {
        let mut day = document(seed);
        day["targets"]["mash_ph"] = json!("5.2 to 5.7");
        day["targets"]["confidence"] = json!({ "mash_ph": "85 %" });
        let plan = planned(&day);
        let in_plan = used(&plan.additions, is_acid);
        for other in &plan.alternatives {
            let change = other.changes.iter().find(|one| one.key == "confidence");
            if let Some(change) = change {
                assert_eq!(
                    change.missed_by,
                    Some(-short_by_percent(&plan)),
                    "seed {seed}"
                );
                assert_eq!(change.unit, "%");
                reported += 1;
            }
            let mut same = day.clone();
            same["alternatives"] = json!(false);
            match other.code {
                AlternativeCode::OneSaltFewer => {
                    same["max_salts"] = json!(used(&plan.additions, is_salt).len() - 1);
                    salts += 1;
                }
                AlternativeCode::AcidSwapped => {
                    let new = used(&other.additions, is_acid);
                    let new = new.iter().find(|key| !in_plan.contains(key));
                    let shelf = day["shelf"].as_array().expect("a list");
                    let item = |key: &str| shelf.iter().find(|item| item["reagent"] == key);
                    // Acids from the table, and days that do without, are the other law's.
                    let Some(new) = new.and_then(|key| item(key)) else {
                        continue;
                    };
                    same = with_shelf(&same, |key| {
                        !is_acid(row(key))
                            || (key != other.subject && in_plan.iter().any(|used| used == key))
                    });
                    let shelf = same["shelf"].as_array_mut().expect("a list");
                    shelf.push(new.clone());
                    acids += 1;
                }
                // Another water: it may save acid alone.
                AlternativeCode::SlakedLime | AlternativeCode::BoiledFirst => continue,
                _ => {
                    // A confidence alone is a hint where it rises.
                    let improves =
                        |one: &Change| one.key != "confidence" || one.missed_by < one.would_miss_by;
                    assert!(other.changes.iter().any(improves), "seed {seed}: {other:?}");
                    improved += 1;
                    continue;
                }
            }
            let same = planned(&same);
            assert_eq!(
                same.additions, other.additions,
                "seed {seed} {}",
                other.code
            );
            let stays = Some(-short_by_percent(&plan));
            let would = change.map_or(stays, |one| one.would_miss_by);
            assert_eq!(would, Some(-short_by_percent(&same)), "seed {seed}");
        }
    }
    println!(
        "{salts} salts fewer, {acids} acids swapped, {improved} improve; {reported} tell of the \
         confidence"
    );
    assert!(
        9 * salts > 4 * count
            && [acids, improved, reported]
                .iter()
                .all(|seen| 9 * seen > count),
        "{salts} {acids} {improved} {reported}"
    );
}

/// Whatever a day holds, what is reported of it is made of numbers, and nothing panics.
#[test]
fn random_days_at_the_edge_are_reported_in_numbers() {
    let count = trials(60_u64, 400);
    let mut seen = 0;
    for seed in 0..count {
        let mut draft = if seed.is_multiple_of(2) {
            Draft::random(seed)
        } else {
            Draft::extreme(seed)
        };
        draft.shelf.truncate(SHELF);
        let mut day: Value = serde_json::from_str(&draft.json()).expect("JSON");
        day["alternatives"] = json!(true);
        let Ok(plan) = underlet::json::plan(&day.to_string()) else {
            continue;
        };
        let written: Value = serde_json::from_str(&plan.to_json()).expect("JSON");
        let reported = format!("{}{}", written["limits"], written["alternatives"]);
        let limits = plan.limits.iter().map(|limit| &limit.changes);
        let others = plan.alternatives.iter().map(|other| &other.changes);
        for change in limits.chain(others).flatten() {
            let has_figures = change.missed_by.is_some() && change.would_miss_by.is_some();
            // A ratio without chloride has none.
            assert!(has_figures || change.key == "sulfate_to_chloride");
        }
        for odd in ["NaN", "inf"] {
            assert!(!reported.contains(odd), "seed {seed}: {reported}");
        }
        assert!(
            plan.limits.iter().all(|limit| limit.worth > 0.0),
            "seed {seed}: {reported}"
        );
        seen += plan.alternatives.len() as u64;
    }
    println!("{seen} alternatives");
    assert!(4 * seen > 3 * count, "{seen}");
}
