//! Hard limits on the liquor: kept by every plan, never better than without, reported with the
//! least that would do where no blend keeps them.

use approx::assert_relative_eq;
use serde_json::{Value, json};
use underlet::LimitedQuantity;
use underlet::component::Component;
use underlet::fit::{FitResult, FrozenProblem, solve};
use underlet::liquor::Dose;
use underlet::{BrewDay, LimitCode};

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

#[test]
fn acid_for_the_kettle_leaves_a_plan() {
    // It brings sulfate or chloride, for which the limit has no room once the water is counted.
    let mut day: Value = serde_json::from_str(&plain(&json!({"sulfate": 50.5}))).expect("JSON");
    day["targets"]["kettle_ph"] = json!("5.0 to 5.1");
    day["shelf"] = json!([{"reagent": "sulfuric acid", "step": "1 mL", "vessels": ["kettle"]}]);
    let plan = underlet::json::plan(&day.to_string()).expect("a plan");
    assert!(
        plan.additions
            .iter()
            .any(|given| given.reagent == "sulfuric acid")
    );
}
