//! Everything that is in the water shows: what acids and salts leave there, hard limits on it,
//! figures of taste, and misses that no brewer reads.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::{CautionCode, DissolvedLine, EXAMPLES, Plan, TargetState, json};

fn plan(day: &Value) -> Plan {
    json::plan(&day.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

/// A soft water with 6 mg/L of magnesium, and a mash in a tun of its own.
fn soft(targets: &Value, shelf: &Value) -> Value {
    json!({
        "underlet": 1, "name": "soft",
        "sources": [{"name": "brook", "calcium": 20, "magnesium": 6, "sodium": 8, "chloride": 12,
                     "sulfate": 18, "alkalinity": 54, "ph": 7.2}],
        "grist": [{"malt": "pale ale malt", "mass": "40 kg"}],
        "mash": {"liquor": "120 L", "liquor_temperature": 72, "rest_temperature": 66},
        "targets": targets,
        "shelf": shelf
    })
}

fn dissolved<'p>(plan: &'p Plan, key: &str) -> &'p DissolvedLine {
    let mut lines = plan.dissolved.iter();
    lines
        .find(|line| line.key == key)
        .unwrap_or_else(|| panic!("no {key}: {plan}"))
}

fn says(plan: &Plan, code: CautionCode) -> bool {
    plan.cautions.iter().any(|caution| caution.code == code)
}

/// Magnesium goes unseen where only sulfate was asked for. 1 mol of Epsom salt brings 24.305 g of
/// magnesium to 96.06 g of sulfate: 87 mg/L of sulfate more are 22 of magnesium.
#[test]
fn an_ion_without_a_target_is_told() {
    let shelf = json!([{"reagent": "epsom salt", "step": "1 g"}]);
    let plan = plan(&soft(&json!({"sulfate": 105}), &shelf));
    let sulfate = dissolved(&plan, "sulfate");
    let magnesium = dissolved(&plan, "magnesium");
    let more = sulfate.planned_mg_l - sulfate.source_mg_l;
    let expected = 6.0 + more * 24.305 / 96.06;
    assert!(
        (magnesium.planned_mg_l - expected).abs() < 0.01,
        "{magnesium:?}"
    );
    assert!(magnesium.changes_much && magnesium.listed && !magnesium.has_target);
    assert!(!sulfate.changes_much && !sulfate.listed && sulfate.has_target);
    assert_eq!(magnesium.brought_by, ["epsom salt"]);
    let text = plan.to_text();
    assert!(
        text.contains("magnesium, from epsom salt 6 → 28 mg/L"),
        "{text}"
    );
    assert!(says(&plan, CautionCode::MayBeTasted), "{text}");
    // Calcium neither changes nor has a target.
    assert!(!dissolved(&plan, "calcium").listed);
}

#[test]
fn what_the_day_asks_for_is_no_surprise() {
    let shelf = json!([{"reagent": "epsom salt", "step": "1 g"}]);
    let targets = json!({"sulfate": 105, "magnesium": "at most 40"});
    let wanted = plan(&soft(&targets, &shelf));
    assert!(!dissolved(&wanted, "magnesium").listed, "{wanted}");
    assert!(!says(&wanted, CautionCode::MayBeTasted), "{wanted}");
    let limited = json!({"sulfate": 105, "limits": {"magnesium": 40}});
    assert!(!says(
        &plan(&soft(&limited, &shelf)),
        CautionCode::MayBeTasted
    ));
}

/// Hard water, and a mash without a sparge to thin it, take more than 400 mg/L of lactate.
#[test]
fn lactate_beyond_its_taste_is_warned_of() {
    let mut day = soft(
        &json!({"mash_ph": "5.55 to 5.65"}),
        &json!([{"reagent": "lactic acid", "strength": "80 %", "step": "1 mL"}]),
    );
    assert!(!says(&plan(&day), CautionCode::MayBeTasted));
    day["targets"]["mash_ph"] = json!("5.3 to 5.4");
    day["sources"][0]["calcium"] = json!(140);
    day["sources"][0]["alkalinity"] = json!(350);
    let hard = plan(&day);
    let lactate = dissolved(&hard, "lactate");
    assert!(lactate.planned_mg_l > 400.0, "{lactate:?}");
    assert_eq!(lactate.tasted_from_mg_l, Some(400.0));
    assert!(says(&hard, CautionCode::MayBeTasted), "{hard}");
    let text = hard.to_text();
    assert!(
        text.contains("about 400 mg/L (others missed 1200)"),
        "{text}"
    );
    assert!(hard.to_html().contains("lactate, from lactic acid +"));
    // Nobody knows from how much phosphate is tasted.
    day["shelf"] = json!([{"reagent": "phosphoric acid", "strength": "75 %", "step": "1 mL"}]);
    let phosphate = plan(&day);
    assert!(!says(&phosphate, CautionCode::MayBeTasted));
    assert_eq!(
        dissolved(&phosphate, "phosphate").note,
        "no taste limit known"
    );
}

/// WHO: 250 mg/L of sulfate and of chloride, 200 of sodium.
#[test]
fn a_target_above_drinking_water_is_warned_of() {
    for (targets, is_above) in [
        (json!({"sulfate": "260 to 400"}), true),
        (json!({"sulfate": "at least 251"}), true),
        (json!({"sulfate": "100 to 400"}), false),
        (json!({"sulfate": "at most 600"}), false),
        (json!({"sodium": 210}), true),
        (json!({"sodium": 190}), false),
        // No figure is known of calcium.
        (json!({"calcium": "300 to 400"}), false),
    ] {
        let shelf = json!([
            {"reagent": "gypsum", "step": "1 g"},
            {"reagent": "sodium chloride", "step": "1 g"}
        ]);
        let plan = plan(&soft(&targets, &shelf));
        assert_eq!(
            says(&plan, CautionCode::TargetAboveLimit),
            is_above,
            "{targets}"
        );
    }
}

/// Every component that the water states or a dose brings is listed, in the order of the table.
#[test]
fn nothing_is_left_out() {
    for (name, text) in EXAMPLES {
        let day: Value = serde_json::from_str(text).expect("JSON");
        let plan = plan(&day);
        let order = |line: &DissolvedLine| {
            let components = Component::ALL.iter();
            components.clone().position(|ion| ion.key() == line.key)
        };
        assert!(plan.dissolved.is_sorted_by_key(order), "{name}");
        for target in &plan.targets {
            let Some(ion) = target.key.component() else {
                continue;
            };
            let line = dissolved(&plan, ion.key());
            assert!(line.has_target, "{name}");
            assert_eq!(Some(line.planned_mg_l), target.planned, "{name}");
            assert_eq!(Some(line.source_mg_l), target.source, "{name}");
        }
        for addition in &plan.additions {
            let reagent = addition.reagent.clone();
            let mut lines = plan.dissolved.iter();
            assert!(
                lines.any(|line| line.brought_by.contains(&reagent)),
                "{name}: {reagent}"
            );
        }
    }
}

/// Steps of 4 g of calcium chloride bring 9 mg/L of calcium each: within 1 mg/L of its target it is
/// met, and beyond that missed.
#[test]
fn what_no_brewer_reads_is_met() {
    let state_of = |low: f64| {
        let shelf = json!([{"reagent": "calcium chloride dihydrate", "step": "4 g"}]);
        let targets = json!({"calcium": low});
        let plan = plan(&soft(&targets, &shelf));
        let line = plan.targets[0].clone();
        (
            line.state,
            line.planned.expect("a figure"),
            line.display,
            plan,
        )
    };
    let (_, planned, ..) = state_of(38.5);
    for (miss, expected) in [
        (0.3, TargetState::Met),
        (0.9, TargetState::Met),
        (1.1, TargetState::Below),
    ] {
        let (state, figure, display, plan) = state_of(planned + miss);
        assert!((figure - planned).abs() < 1e-9, "{display}");
        assert_eq!(state, expected, "{display}");
        let is_met = expected == TargetState::Met;
        assert_eq!(plan.meets_every_range, is_met, "{}", plan.summary);
        assert_eq!(
            display.ends_with("(as near as one reads)"),
            is_met,
            "{display}"
        );
        let is_missed = plan.reasons.iter().any(|one| one.code == "whole_steps");
        assert_eq!(is_missed, !is_met, "{plan}");
    }
}

/// The water itself is no whole step: 0.5 mg/L too much of it are too much.
#[test]
fn what_the_water_brings_too_much_is_not_met() {
    let plan = plan(&soft(&json!({"chloride": "at most 11.5"}), &json!([])));
    assert_eq!(plan.targets[0].state, TargetState::Above);
    assert!(!plan.meets_every_range);
}
