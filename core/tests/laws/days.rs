//! What every plan of every day keeps.

use std::collections::BTreeMap;

use serde_json::Value;
use underlet::error::ErrorCode;
use underlet::fit::{DoseOption, FitResult, Problem, solve};
use underlet::json;
use underlet::liquor::water_density_kg_per_l;
use underlet::optimise::Certificate;
use underlet::{Addition, BrewDay, EXAMPLES, Plan};

use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Keys whose value may be absent; a number that is not finite would be written as null as well.
const OPTIONAL: [&str; 22] = [
    "ph_boiled_sd",
    "id",
    "note",
    "low",
    "high",
    "missed_by",
    "would_miss_by",
    "prefer",
    "part",
    "dilution_l",
    "raised_by",
    "rise",
    "end_point",
    "sparge",
    "tasted_from_mg_l",
    "probability_in_range",
    "requested_confidence_percent",
    "sd",
    "interval_80",
    "interval_95",
    "interval_95_once_poured",
    "correction",
];

/// What is absent of a ratio where there is no chloride to compare with.
const OF_RATIO: [&str; 4] = ["source", "planned", "missed_by", "would_miss_by"];

/// What a text shows where a number went wrong.
const ODD_WORDS: [&str; 6] = ["NaN", "inf", "-inf", "+inf", "-0", "+0"];

/// No number is missing, and no text speaks of one that is not a number.
fn assert_finite(value: &Value, key: &str, text: &str) {
    match value {
        Value::Null => assert!(OPTIONAL.contains(&key), "{key} is null: {text}"),
        Value::Number(number) => {
            assert!(number.as_f64().is_some_and(f64::is_finite), "{key}: {text}");
            assert_ne!(number.to_string(), "-0.0", "{key}: {text}");
        }
        Value::String(words) => {
            let odd = words.split(' ').find(|word| ODD_WORDS.contains(word));
            assert_eq!(odd, None, "{key}: {words}: {text}");
        }
        Value::Array(items) => items.iter().for_each(|item| assert_finite(item, key, text)),
        Value::Object(entries) => {
            // A ratio against nothing has no figure, and its words say so.
            let figures = entries.iter().filter(|(key, value)| {
                !(value.is_null()
                    && entries
                        .get("key")
                        .is_some_and(|key| key == "sulfate_to_chloride")
                    && OF_RATIO.contains(&key.as_str()))
            });
            figures.for_each(|(key, value)| assert_finite(value, key, text));
        }
        Value::Bool(_) => {}
    }
}

/// The finest amount that the proof resolves, g or mL: a hundred-millionth of a mmol per kg of
/// brewing liquor.
fn trifle(problem: &Problem<'_>, option: &DoseOption) -> f64 {
    1e-8 * problem.waters.brewing_kg() / 1000.0 / option.preparation.mol_per_unit()
}

/// Whole steps, sensible, within stock and what dissolves.
fn assert_weighable(plan: &Plan, problem: &Problem<'_>, text: &str) {
    let mut taken: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
    for Addition {
        reagent,
        vessel,
        amount,
        ..
    } in &plan.additions
    {
        let option = problem
            .doses
            .iter()
            .find(|option| option.vessel == *vessel && option.preparation.reagent.key == reagent)
            .unwrap_or_else(|| panic!("{reagent} is not offered: {text}"));
        let steps = amount / option.step;
        let odd = (steps - steps.round()).abs();
        assert!(
            odd <= 1e-9 * steps.max(1.0) && steps > 0.5,
            "{reagent}: {steps} steps: {text}"
        );
        assert!(
            *amount >= option.min_dose * (1.0 - 1e-9),
            "{reagent}: {amount} is too little: {text}"
        );
        let most = option.most.unwrap_or(f64::INFINITY) * (1.0 + 1e-9);
        assert!(
            *amount <= most,
            "{reagent}: {amount}, {most} dissolve: {text}"
        );
        let (sum, slack) = taken.entry(option.stock).or_default();
        *sum += amount;
        *slack += trifle(problem, option);
    }
    for (stock, (taken, slack)) in taken {
        let on_hand = problem.stocks[stock].unwrap_or(f64::INFINITY);
        assert!(
            taken <= on_hand * (1.0 + 1e-9) + slack,
            "stock {stock}: {taken} of {on_hand}: {text}"
        );
    }
}

/// The blend fills the vessels, and no source gives more than it has.
fn assert_filled(plan: &Plan, day: &BrewDay, problem: &Problem<'_>, text: &str) {
    let shares: f64 = plan.blend.iter().map(|part| part.share).sum();
    assert!((shares - 1.0).abs() < 1e-9, "{shares}: {text}");
    let cold = water_density_kg_per_l(20.0);
    let drawn: f64 = plan.blend.iter().map(|part| part.volume_l * cold).sum();
    let filled = problem.waters.blended_kg();
    assert!(
        (drawn / filled - 1.0).abs() < 1e-9,
        "{drawn} of {filled} kg: {text}"
    );
    for part in &plan.blend {
        let source = day
            .sources
            .iter()
            .find(|source| source.name == part.source)
            .expect("named");
        let at_most = source.max_amount_l.unwrap_or(f64::INFINITY);
        assert!(
            part.volume_l <= at_most * (1.0 + 1e-9),
            "{} of {at_most} L: {text}",
            part.volume_l
        );
    }
}

/// The proof holds, and rounding to the scale never gains.
fn assert_proven(plan: &Plan, text: &str) {
    let proof = &plan.fit.certificate;
    for residual in [
        proof.primal_infeasibility,
        proof.dual_infeasibility,
        proof.stationarity,
        proof.complementarity,
        proof.gap,
    ] {
        assert!(
            (0.0..=Certificate::TOLERANCE).contains(&residual),
            "{proof:?}: {text}"
        );
    }
    let (weighed, best) = (plan.fit.objective, plan.fit.objective_before_rounding);
    assert!(
        weighed >= best - 1e-9 * (1.0 + best),
        "{weighed} below {best}: {text}"
    );
}

/// Doses rounded one by one can be weighed and are on hand; so nothing beats the best plan of any
/// fineness.
fn assert_rounded(result: &FitResult, problem: &Problem<'_>, text: &str) {
    let mut left = problem.stocks.clone();
    for (option, dose) in problem.doses.iter().zip(&result.doses_rounded) {
        let steps = dose / option.step;
        assert!(
            (steps - steps.round()).abs() <= 1e-9 * steps.max(1.0),
            "{text}"
        );
        assert!(
            *dose == 0.0 || *dose >= option.min_dose * (1.0 - 1e-9),
            "{text}"
        );
        assert!(
            *dose <= option.most.unwrap_or(f64::INFINITY) * (1.0 + 1e-9),
            "{text}"
        );
        if let Some(left) = &mut left[option.stock] {
            *left -= problem.waters.times(option.vessel) * dose;
            assert!(
                *left >= -1e-8 * option.step.max(*dose),
                "{left} left: {text}"
            );
        }
    }
    let (rounded, best) = (result.objective_rounded, result.objective_before_rounding);
    assert!(
        rounded >= best - 1e-9 * (1.0 + best),
        "{rounded} below {best}: {text}"
    );
}

fn assert_sound(text: &str) {
    let day = BrewDay::from_json(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let plan = json::plan(text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let problem = day.problem();
    let written = plan.to_json();
    let value: Value = serde_json::from_str(&written).expect("JSON");
    assert_finite(&value, "", text);
    assert_weighable(&plan, &problem, text);
    assert_filled(&plan, &day, &problem, text);
    assert_proven(&plan, text);
    let shares: f64 = plan
        .mash
        .uncertainty_budget
        .iter()
        .map(|cause| cause.share)
        .sum();
    let is_known = plan
        .cautions
        .iter()
        .all(|one| one.code != "mash_ph_not_known");
    if let Some(sd) = plan.mash.sd {
        assert!(
            is_known && (shares - 1.0).abs() < 1e-9 && sd > 0.0,
            "{text}"
        );
    } else {
        assert!(!is_known && shares == 0.0, "{text}");
    }
    assert!(
        plan.mash
            .curve
            .windows(2)
            .all(|pair| pair[0].ph >= pair[1].ph),
        "{text}"
    );
    assert!(
        !plan.to_text().contains("NaN") && !plan.to_html().contains("NaN"),
        "{text}"
    );
}

#[test]
fn any_random_day_has_a_sound_plan() {
    for seed in 0..trials(150, 2000) {
        assert_sound(&Draft::random(seed).json());
    }
}

/// A stock of nothing, of half a step or of one or two binds every dose that is taken from it.
#[test]
fn what_is_all_but_used_up_on_random_days_is_weighed_in_whole_steps_or_not_at_all() {
    for seed in 0..trials(60, 400) {
        let mut draft = Draft::random(seed);
        for (item, steps) in draft.shelf.iter_mut().zip([0.0, 1.0, 0.5, 2.0, 1.0, 0.0]) {
            item.stock = Some(steps * item.step);
        }
        let text = draft.json();
        assert_sound(&text);
        let plan = json::plan(&text).expect("a plan");
        let is_given = |key: &str| plan.additions.iter().any(|one| one.reagent.contains(key));
        let warns = plan
            .cautions
            .iter()
            .any(|one| one.code == "acid_into_water");
        assert!(!warns || is_given(" acid"), "no acid to warn of: {text}");
        let day = draft.read();
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        assert_rounded(&result, &problem, &text);
        for (option, dose) in problem.doses.iter().zip(&result.doses) {
            let whole = (dose / option.step).round() * option.step;
            assert!(
                (dose - whole).abs() <= 1e-14 * whole,
                "{dose} {whole}: {text}"
            );
        }
    }
}

/// At the edges of what can be read there is a sound plan, or a word that there is none; never a
/// panic.
#[test]
fn random_days_at_the_edge_have_a_sound_plan_or_say_why_not() {
    let count = trials(100, 500);
    let mut planned = 0;
    for seed in 0..count {
        let text = Draft::extreme(seed).json();
        match json::plan(&text) {
            Ok(_) => {
                assert_sound(&text);
                planned += 1;
            }
            Err(error) => {
                let codes: Vec<ErrorCode> =
                    error.problems.iter().map(|problem| problem.code).collect();
                assert_eq!(codes, [ErrorCode::NoPlan], "{error}: {text}");
            }
        }
    }
    println!("{planned} of {count} days at the edge have a proven plan");
    assert!(planned * 100 >= count * 99, "{planned} of {count}");
}

#[test]
fn the_days_that_come_with_the_engine_have_sound_plans() {
    for (_, text) in EXAMPLES {
        assert_sound(text);
    }
}

#[test]
fn the_same_random_text_gives_the_same_bytes() {
    let examples = EXAMPLES.iter().map(|(_, text)| (*text).to_owned());
    for text in examples.chain((0..trials(20, 100)).map(|seed| Draft::random(seed).json())) {
        let bytes = || json::plan(&text).expect("a plan").to_json();
        assert_eq!(bytes(), bytes(), "{text}");
    }
}

fn assert_scaled(one: &Plan, other: &Plan, factor: f64, text: &str) {
    assert_eq!(one.additions.len(), other.additions.len(), "{text}");
    for (one, other) in one.additions.iter().zip(&other.additions) {
        assert_eq!(
            (&one.reagent, one.vessel),
            (&other.reagent, other.vessel),
            "{text}"
        );
        assert_eq!(other.amount, factor * one.amount, "{text}");
    }
    for (one, other) in one.blend.iter().zip(&other.blend) {
        assert_eq!(other.volume_l, factor * one.volume_l, "{text}");
    }
    assert_eq!(one.targets, other.targets, "{text}");
    let corrections = [one, other].map(|plan| plan.mash.correction.clone());
    let rows = corrections.map(|one| one.map_or_else(Vec::new, |one| one.rows));
    let [rows, other_rows] = rows;
    assert_eq!(rows.len(), other_rows.len(), "{text}");
    for (one, other) in rows.iter().zip(&other_rows) {
        assert_eq!(
            (other.reads, other.due),
            (one.reads, factor * one.due),
            "{text}"
        );
    }
    let without_doses = |plan: &Plan| {
        let mut mash = plan.mash.clone();
        mash.correction = None;
        mash
    };
    assert_eq!(without_doses(one), without_doses(other), "{text}");
    assert_eq!(one.sparge, other.sparge, "{text}");
}

/// Powers of two scale without rounding, so that the plan must scale to the last bit; only a single
/// source is drawn, because the step of a draw belongs to the sight glass and not to the brew.
#[test]
fn a_random_day_twice_or_eight_times_as_large_has_a_plan_as_large() {
    for seed in 0..trials(30, 150) {
        let mut day = Draft::random(seed);
        day.sources.truncate(1);
        day.sources[0].at_most = None;
        let text = day.json();
        let plan = json::plan(&text).expect("a plan");
        for factor in [2.0, 8.0] {
            let large = json::plan(&day.scaled(factor).json()).expect("a plan");
            assert_scaled(&plan, &large, factor, &text);
        }
    }
}

/// Times ten the sight glass scales as well, as soon as its step is not the min_dose one. The
/// numbers round differently then, so that two reagents that do the same may stand in for each
/// other; the optimum is the same.
#[test]
fn a_random_day_ten_times_as_large_has_a_plan_as_large() {
    let count = trials(50, 300);
    let (mut tried, mut alike) = (0, 0);
    for seed in 1000..1000 + count {
        let day = Draft::random(seed);
        if day.filled_litres() < 110.0 {
            continue;
        }
        tried += 1;
        let text = day.json();
        let plan = json::plan(&text).expect("a plan");
        let large = json::plan(&day.scaled(10.0).json()).expect("a plan");
        let (one, other) = (
            plan.fit.objective_before_rounding,
            large.fit.objective_before_rounding,
        );
        assert!(
            (one - other).abs() <= 1e-9 * (1.0 + one),
            "{one} {other}: {text}"
        );
        let amounts = |plan: &Plan| {
            plan.additions
                .iter()
                .map(|addition| (addition.reagent.clone(), addition.vessel, addition.amount))
                .collect::<Vec<_>>()
        };
        let pairs = amounts(&plan).into_iter().zip(amounts(&large));
        alike += u64::from(pairs.into_iter().all(|(one, other)| {
            one.0 == other.0 && one.1 == other.1 && (10.0 * one.2 / other.2 - 1.0).abs() < 1e-6
        }));
    }
    println!("{alike} of {tried} days scale to the gram");
    assert!(
        2 * tried > count && alike * 10 >= tried * 9,
        "{alike} of {tried}"
    );
}
