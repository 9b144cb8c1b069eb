//! Hard limits on the liquor: kept by every plan, never better than without, reported with the
//! least that would do where no blend keeps them.

use approx::assert_relative_eq;
use serde_json::{Value, json};
use underlet::LimitedQuantity;
use underlet::component::Component;
use underlet::fit::{FitResult, FrozenProblem, solve};
use underlet::liquor::Dose;
use underlet::{BrewDay, LimitCode, TargetState};

use crate::common::draft::Draft;
use crate::common::trials::trials;

const LIMITED: [LimitedQuantity; 4] = [
    LimitedQuantity::Component(Component::Sulfate),
    LimitedQuantity::Component(Component::Chloride),
    LimitedQuantity::Component(Component::Calcium),
    LimitedQuantity::DissolvedSolids,
];

fn day_of(mut day: Value, limits: &Value) -> BrewDay {
    day["targets"]["limits"] = limits.clone();
    BrewDay::from_json(&day.to_string()).expect("a day")
}

/// mg/L in the liquor as a whole, before rounding and as weighed.
fn reached(day: &BrewDay, result: &FitResult, of: LimitedQuantity) -> [f64; 2] {
    let problem = day.problem();
    let mg_per_l = |shares: &[f64], doses: &[f64]| {
        of.mg_per_l(&problem.liquors(shares, doses).overall.as_dose())
    };
    [
        mg_per_l(
            &result.shares_before_rounding,
            &result.doses_before_rounding,
        ),
        mg_per_l(&result.shares, &result.doses),
    ]
}

#[test]
fn dissolved_solids_by_hand() {
    // 2 mmol of calcium, 1 of sulfate and 2 meq of alkalinity in a kg: 2 · 40.078 + 96.06 + 2 ·
    // 61.016 = 298.25 mg, in water of 0.9982 kg/L (Wagner & Pruß 2002). An acid brings its
    // 176.22 mg and takes no bicarbonate away.
    let mut dose = Dose::default();
    dose.ions.set(Component::Calcium, 0.002);
    dose.ions.set(Component::Sulfate, 0.001);
    for (alkalinity_eq, mg_per_kg) in [(0.002, 298.25), (-0.002, 176.22)] {
        dose.alkalinity_eq = alkalinity_eq;
        let solids = LimitedQuantity::DissolvedSolids.mg_per_l(&dose);
        assert_relative_eq!(solids, mg_per_kg * 0.9982, max_relative = 1e-4);
    }
}

#[test]
fn a_limit_on_random_days_is_kept_and_costs_what_it_must() {
    let count = trials(12, 60);
    let (mut tight, mut loose) = (0, 0);
    for seed in 0..count {
        let text: Value = serde_json::from_str(&Draft::random(seed).json()).expect("JSON");
        let free_day = day_of(text.clone(), &json!({}));
        let Ok(free) = solve(&free_day.problem()) else {
            continue;
        };
        let problem = free_day.problem();
        for of in LIMITED {
            let sources = problem.sources.iter();
            let holds = sources.map(|source| of.mg_per_l(&source.liquor.as_dose()));
            // Above every source, so that it can be kept; below or above what the plan reaches.
            // Acid may have taken the alkalinity of waters and bases away, which
            // dissolved solids count all the same.
            let far = if of == LimitedQuantity::DissolvedSolids {
                10.0
            } else {
                1.01
            };
            let in_sources = holds.fold(0.0, f64::max);
            let [before, weighed] = reached(&free_day, &free, of);
            let most = before.max(weighed);
            for limit in [0.5 * (in_sources + most), most * far + 1.0] {
                if limit < in_sources + 0.5 {
                    continue;
                }
                let day = day_of(text.clone(), &json!({ of.key(): limit }));
                let held = solve(&day.problem()).expect("a limit above every source");
                let [before, weighed] = reached(&day, &held, of);
                assert!(
                    before.max(weighed) <= limit * (1.0 + 1e-9),
                    "seed {seed}: {of:?} of {before} and {weighed} above {limit}"
                );
                assert!(held.certificate.holds(1e-9), "seed {seed}");
                // At one ionic strength, since a plan's own moves what its lines say of pH.
                let [without, with] = [&problem, &day.problem()].map(|problem| {
                    let mut model =
                        FrozenProblem::new(problem, free.ionic_strengths).expect("a programme");
                    let best = model.solve().expect("an optimum");
                    model.objective(&best.x)
                });
                assert!(
                    with >= without - 1e-9 * without.abs().max(1.0),
                    "seed {seed}: {of:?} under {limit} is better than without"
                );
                if limit > most {
                    loose += 1;
                    // A search that ended at its limit of nodes states what it left open.
                    let open = held.gap.max(free.gap);
                    assert_relative_eq!(
                        held.objective,
                        free.objective,
                        max_relative = open.max(1e-9),
                        epsilon = 1e-9
                    );
                } else {
                    tight += 1;
                }
            }
        }
    }
    assert!(
        tight > count && 3 * loose > 5 * count,
        "{tight} tight, {loose} loose"
    );
}

/// A day of one water and gypsum that wants 200 mg/L of sulfate.
fn plain(limits: &Value) -> String {
    json!({
        "underlet": 1, "name": "limits",
        "sources": [
            {"name": "well", "calcium": 60, "sodium": 84, "chloride": 40, "sulfate": 50, "alkalinity": 190, "ph": 7.4},
            {"name": "pure", "sodium": 4, "chloride": 6, "alkalinity": 0, "max_amount": "100 L"}
        ],
        "grist": [{"malt": "pale ale malt", "mass": "40 kg"}],
        "mash": {"liquor": "120 L", "liquor_temperature": 72, "rest_temperature": 66},
        "targets": {"sulfate": "200 to 220 mg/L", "limits": limits},
        "shelf": [{"reagent": "gypsum", "step": "1 g"}]
    })
    .to_string()
}

#[test]
fn a_limit_that_binds_is_named() {
    let day = BrewDay::from_json(&plain(&json!({"dissolved_solids": 300}))).expect("a day");
    let plan = day.plan().expect("a plan");
    let limit = plan
        .limits
        .iter()
        .find(|limit| limit.code == LimitCode::Limit);
    assert_eq!(
        limit.map(|limit| limit.subject.as_str()),
        Some("dissolved_solids")
    );
    let sulfate = plan
        .reasons
        .iter()
        .find(|reason| reason.subject == "sulfate");
    let sulfate = sulfate.expect("a reason");
    assert_eq!(sulfate.code, "hard_limit");
    assert!(
        sulfate
            .text
            .ends_with("the limit on dissolved solids keeps it there."),
        "{}",
        sulfate.text
    );
}

/// What the engine says of a day whose limits nothing keeps: of what, and the least that would do.
fn reported(limits: &Value) -> (String, f64) {
    let error = underlet::json::plan(&plain(limits)).expect_err("too low");
    let problem = &error.problems[0];
    assert!(problem.hint.contains("limit"), "{problem:?}");
    let of = problem.found.split_whitespace().next().expect("a word");
    let least = problem.expected.split_whitespace().nth(2).expect("a word");
    (of.to_owned(), least.parse().expect("a number"))
}

#[test]
fn a_limit_that_no_blend_keeps_is_reported_with_the_least_that_would_do() {
    // 100 L of pure water, the rest from the well: 84 − 80 · the pure part, by the day's own sum of
    // cold water.
    let day = BrewDay::from_json(&plain(&json!({}))).expect("a day");
    let pure = 100.0 * 0.9982 / day.problem().waters.blended_kg();
    let (of, least) = reported(&json!({"sodium": 10}));
    assert_eq!(of, "sodium");
    assert_relative_eq!(least, 84.0 - 80.0 * pure, max_relative = 1e-3);
    let would_do = plain(&json!({"sodium": least}));
    assert!(underlet::json::plan(&would_do).is_ok());
}

#[test]
fn limits_that_hold_alone_and_not_together_are_reported() {
    // The well holds calcium and no potassium, the other the reverse: half of each holds 50 of
    // both.
    let text = plain(&json!({"calcium": 40, "potassium": 40}));
    let mut day: Value = serde_json::from_str(&text).expect("JSON");
    day["sources"] = json!([
        {"name": "one", "calcium": 100, "potassium": 0, "alkalinity": 100},
        {"name": "other", "calcium": 0, "potassium": 100, "alkalinity": 100},
    ]);
    let error = underlet::json::plan(&day.to_string()).expect_err("40 and 40 of 100");
    let least = error.problems[0].expected.split_whitespace().nth(2);
    let least: f64 = least.and_then(|word| word.parse().ok()).expect("a number");
    // With 40 of the one, 60 of the other.
    assert_relative_eq!(least, 60.0, max_relative = 1e-3);
    day["targets"]["limits"] = json!({"calcium": least, "potassium": 40});
    assert!(underlet::json::plan(&day.to_string()).is_ok());
}

/// A day whose kettle wants acid, zinc for the yeast or a water rid of its chlorine.
fn with_kettle(limits: &Value) -> Value {
    let mut day: Value = serde_json::from_str(&plain(limits)).expect("JSON");
    day["sources"].as_array_mut().expect("a list").truncate(1);
    day["targets"]["kettle_ph"] = json!("5.0 to 5.1");
    day["kettle"] = json!({"zinc": "0.2 mg/L"});
    day["shelf"] = json!([
        {"reagent": "gypsum", "step": "1 g"},
        {"reagent": "sulfuric acid", "step": "1 mL", "vessels": ["kettle"]},
        {"reagent": "zinc sulfate heptahydrate", "step": "0.01 g"}
    ]);
    day
}

/// Sulfate in all the liquor, the water's 50 mg/L and what is weighed: 96.06 g in 172.17 g of gypsum
/// (99 % pure), in 98.08 g of sulfuric acid (96 %, 1.836 kg/L) and in 287.54 g of zinc sulfate (99
/// %). Gypsum goes into the mash, the rest into what the grains let through.
fn sulfate_by_hand(plan: &underlet::Plan, day: &BrewDay) -> f64 {
    let waters = day.problem().waters;
    let brought = plan.additions.iter().map(|given| {
        let (grams, kg) = match given.reagent.as_str() {
            "gypsum" => (0.99 * given.amount * 96.06 / 172.17, waters.mash_kg),
            "sulfuric acid" => {
                let grams = 0.96 * 1.836 * given.amount;
                (grams * 96.06 / 98.08, waters.kettle_kg)
            }
            _ => (0.99 * given.amount * 96.06 / 287.54, waters.kettle_kg),
        };
        1000.0 * grams / kg * 0.9982
    });
    50.0 + brought.sum::<f64>()
}

/// 120 mg/L leave room for some acid and the zinc besides the water's 50, and for no gypsum; 50.5 for
/// none of them but the zinc.
#[test]
fn what_goes_into_the_kettle_counts() {
    for (limit, gets_acid) in [(120.0, true), (50.5, false)] {
        let day = with_kettle(&json!({"sulfate": limit}));
        let read = BrewDay::from_json(&day.to_string()).expect("a day");
        let plan = read.plan().expect("a plan");
        let given = |of: &str| plan.additions.iter().any(|one| one.reagent == of);
        assert_eq!(given("sulfuric acid"), gets_acid, "{plan}");
        assert!(given("zinc sulfate heptahydrate"), "{plan}");
        let [reached] = plan.hard_limits.as_slice() else {
            panic!("{plan}");
        };
        assert_relative_eq!(
            reached.reached_mg_l,
            sulfate_by_hand(&plan, &read),
            max_relative = 2e-3
        );
        assert!(reached.reached_mg_l <= limit * (1.0 + 1e-9), "{plan}");
        // Nothing is left that a step more would take.
        assert!(reached.reached_mg_l > limit - 6.0, "{plan}");
        assert_eq!(reached.limit_mg_l, limit);
        let reason = plan.reasons.iter().find(|one| one.subject == "kettle_ph");
        let reason = reason.expect("the kettle needs more");
        assert_eq!(reason.code, "hard_limit", "{}", reason.text);
    }
}

/// Lactic acid into mash and kettle: the limit is on both together.
#[test]
fn lactate_of_the_kettle_counts() {
    let mut day = with_kettle(&json!({"lactate": 100}));
    day["shelf"] = json!([
        {"reagent": "lactic acid", "step": "1 mL", "vessels": ["mash_tun", "kettle"]},
        {"reagent": "zinc sulfate heptahydrate", "step": "0.01 g"}
    ]);
    day["targets"]["mash_ph"] = json!("5.3 to 5.4");
    let plan = underlet::json::plan(&day.to_string()).expect("a plan");
    let [reached] = plan.hard_limits.as_slice() else {
        panic!("{plan}");
    };
    assert!(reached.reached_mg_l <= 100.0 * (1.0 + 1e-9), "{plan}");
    let lactate = plan.dissolved.iter().find(|line| line.key == "lactate");
    assert_relative_eq!(
        lactate.expect("a line").planned_mg_l,
        reached.reached_mg_l,
        max_relative = 1e-9
    );
}

/// Metabisulfite is weighed in whole steps after the fit: a coarse scale leaves more sulfate than
/// the chlorine asks for, and it counts.
#[test]
fn what_takes_chlorine_out_counts() {
    let mut day: Value = serde_json::from_str(&plain(&json!({"sulfate": 120}))).expect("JSON");
    day["sources"][0]["free_chlorine"] = json!(0.6);
    day["sources"].as_array_mut().expect("a list").truncate(1);
    day["shelf"] = json!([
        {"reagent": "gypsum", "step": "0.1 g"},
        {"reagent": "potassium metabisulfite", "step": "0.05 g"}
    ]);
    let plan = underlet::json::plan(&day.to_string()).expect("a plan");
    assert!(
        plan.additions
            .iter()
            .any(|one| one.reagent == "potassium metabisulfite" && one.amount > one.before_rounding)
    );
    let [reached] = plan.hard_limits.as_slice() else {
        panic!("{plan}");
    };
    let sulfate = plan.dissolved.iter().find(|line| line.key == "sulfate");
    let sulfate = sulfate.expect("a line").planned_mg_l;
    assert_relative_eq!(sulfate, reached.reached_mg_l, max_relative = 1e-9);
    assert!(sulfate <= 120.0 * (1.0 + 1e-9) && sulfate > 118.0, "{plan}");
}

/// Lactic acid alone, in water whose mash needs more than 200 mg/L of it: the mash stays above its
/// range, and the plan says that the limit keeps it there.
#[test]
fn a_lactate_limit_that_binds_is_the_reason() {
    let mut day: Value = serde_json::from_str(&plain(&json!({"lactate": 200}))).expect("JSON");
    day["targets"]["mash_ph"] = json!("5.3 to 5.4");
    day["shelf"] = json!([
        {"reagent": "gypsum", "step": "1 g"},
        {"reagent": "lactic acid", "strength": "80 %", "step": "1 mL"}
    ]);
    let plan = underlet::json::plan(&day.to_string()).expect("a plan");
    let [reached] = plan.hard_limits.as_slice() else {
        panic!("{plan}");
    };
    // A millilitre more, 1.1848 · 0.8 / 90.08 mol of 89.07 g/mol in 120 L, would be 8 mg/L more.
    assert!(
        reached.reached_mg_l <= 200.0 && reached.reached_mg_l > 192.0,
        "{reached:?}"
    );
    let bound = plan.limits.iter().find(|one| one.subject == "lactate");
    let bound = bound.expect("a limit that binds");
    assert_eq!(bound.code, LimitCode::Limit);
    assert!(bound.text.contains("mash pH"), "{}", bound.text);
    let said = |subject: &str| {
        let reason = plan.reasons.iter().find(|one| one.subject == subject);
        reason.unwrap_or_else(|| panic!("no reason of {subject}: {plan}"))
    };
    assert_eq!(said("mash_ph").code, "hard_limit");
    assert!(
        said("mash_ph")
            .text
            .contains("the limit on lactate keeps it there")
    );
    let held = said("lactate");
    assert_eq!(held.code, "rests_on_limit");
    assert!(
        held.text.contains("of at most 200 mg/L") && held.text.contains("more lactic acid"),
        "{}",
        held.text
    );
    let text = plan.to_text();
    assert!(text.contains("limit on lactate"), "{text}");
    // Another acid takes over where there is one.
    let shelf = day["shelf"].as_array_mut().expect("a list");
    shelf.push(json!({"reagent": "phosphoric acid", "strength": "75 %", "step": "1 mL"}));
    let both = underlet::json::plan(&day.to_string()).expect("a plan");
    let mash = both.targets.iter().find(|line| line.key == "mash_ph");
    assert_eq!(mash.expect("a target").state, TargetState::Met, "{both}");
}
