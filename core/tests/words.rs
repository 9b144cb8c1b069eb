//! What a plan says about itself must be true: reasons, cautions and assumptions of days with one odd thing each.
//! The expectations follow from the day as it stands (what is on the shelf, what the water holds), not from the engine.

use serde_json::{Value, json};
use underlet::brewday::{EXAMPLES, Plan};

/// The plan of the built-in pale ale once `change` has had its way with it.
fn pale_ale(change: impl FnOnce(&mut Value)) -> Plan {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).unwrap();
    change(&mut day);
    underlet::json::plan(&day.to_string()).unwrap()
}

fn reason<'p>(plan: &'p Plan, subject: &str) -> (&'p str, &'p str) {
    let mut reasons = plan.reasons.iter();
    let Some(reason) = reasons.find(|reason| reason.subject == subject) else {
        panic!("no reason for {subject}: {:?}", plan.reasons);
    };
    (reason.code, &reason.text)
}

fn has_caution(plan: &Plan, code: &str) -> bool {
    plan.cautions.iter().any(|caution| caution.code == code)
}

#[test]
fn an_empty_shelf_is_the_reason_for_each_miss() {
    let plan = pale_ale(|day| day["shelf"] = json!([]));
    assert_eq!(reason(&plan, "sulfate").0, "nothing_brings");
    assert_eq!(reason(&plan, "mash_ph").0, "no_acid");
    assert_eq!(reason(&plan, "sparge_alkalinity").0, "no_acid");
    // The mash lies outside its range: that no measurement narrows.
    assert!(!has_caution(&plan, "mash_ph_unsure"));
}

#[test]
fn acid_that_may_not_go_into_the_sparge_does_not_help_it() {
    let plan =
        pale_ale(|day| day["shelf"] = json!([{ "reagent": "lactic acid", "at": ["mash_tun"] }]));
    let (code, text) = reason(&plan, "sparge_alkalinity");
    assert_eq!(code, "no_acid");
    assert!(text.contains("into the sparge liquor"), "{text}");
}

#[test]
fn a_stock_that_runs_out_explains_only_what_it_would_have_moved() {
    let plan = pale_ale(|day| {
        day["shelf"][4]["stock"] = json!("100 mL");
        day["shelf"][5]["stock"] = json!("100 mL");
    });
    assert_eq!(reason(&plan, "mash_ph").0, "stock_or_solubility");
    assert_eq!(reason(&plan, "sparge_alkalinity").0, "stock_or_solubility");
    // Calcium is driven above its range for the sake of the mash pH; more acid would spare it, more calcium would not.
    let (code, text) = reason(&plan, "calcium");
    assert_eq!(code, "ranges_conflict");
    assert!(text.contains("mash pH"), "{text}");
    assert!(!text.contains("sodium"), "{text}");
}

#[test]
fn a_mash_too_sour_with_nothing_alkaline_at_hand_says_so() {
    let plan = pale_ale(|day| {
        day["targets"]["mash_ph"] = json!("6.2-6.4");
        day["shelf"] = json!([{ "reagent": "gypsum" }]);
    });
    assert_eq!(reason(&plan, "mash_ph").0, "no_base");
}

#[test]
fn ranges_that_hold_the_plan_at_an_end_are_named() {
    let plan = pale_ale(|_| {});
    let (code, text) = reason(&plan, "sulfate");
    assert_eq!(code, "rests_on_range");
    assert!(text.contains("low end"), "{text}");
    let (code, text) = reason(&plan, "sparge_alkalinity");
    assert_eq!(code, "rests_on_range");
    assert!(text.contains("high end"), "{text}");
    for rests in plan
        .reasons
        .iter()
        .filter(|reason| reason.code == "rests_on_range")
    {
        let line = plan
            .targets
            .iter()
            .find(|line| line.key == rests.subject)
            .unwrap();
        let near =
            |end: Option<f64>| end.is_some_and(|end| (line.planned - end).abs() <= 0.03 * end);
        assert!(near(line.low) || near(line.high), "{}", rests.text);
    }
}

#[test]
fn what_removes_chlorine_is_neither_a_salt_nor_an_acid() {
    let plan = pale_ale(|day| {
        day["targets"] = json!({ "potassium": "20-40 mg/L", "mash_ph": "5.3-5.5" });
        day["shelf"] =
            json!([{ "reagent": "potassium metabisulfite" }, { "reagent": "ascorbic acid" }]);
    });
    assert!(plan.additions.is_empty(), "{:?}", plan.additions);
    assert_eq!(reason(&plan, "potassium").0, "nothing_brings");
    assert_eq!(reason(&plan, "mash_ph").0, "no_acid");
    assert!(has_caution(&plan, "sulfite"));
    let left_alone = plan
        .assumptions
        .iter()
        .filter(|text| text.contains("left alone"));
    assert_eq!(left_alone.count(), 2);
}

#[test]
fn a_day_without_a_sparge_says_what_it_leaves_out() {
    let plan = pale_ale(|day| {
        day.as_object_mut().unwrap().remove("sparge");
    });
    assert!(
        plan.targets
            .iter()
            .all(|line| line.key != "sparge_alkalinity")
    );
    assert!(
        plan.assumptions
            .iter()
            .any(|text| text.contains("no sparge"))
    );
    // 15 hL stand in the tank, 5.6 are drawn.
    assert!(plan.assumptions.iter().any(|text| text.contains("heel")));
}

#[test]
fn each_time_of_dosing_has_its_own_heading() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([
            { "reagent": "gypsum", "at": ["mash_tun"] },
            { "reagent": "lactic acid", "at": ["mash_tun"] },
        ]);
    });
    let text = plan.to_text();
    for when in ["spread over the grist", "stirred in before the grist"] {
        assert!(text.contains(when), "{text}");
    }
}

#[test]
fn a_strength_made_from_a_molarity_is_written_short() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([{ "reagent": "hydrochloric acid", "strength": "1 mol/L" }]);
    });
    // 36.461 g/mol in a litre that weighs 1.0159 kg (densities.csv, between 1 and 5 %).
    assert_eq!(plan.additions[0].name, "hydrochloric acid 3.589 %");
}

#[test]
fn acid_that_drives_a_ph_out_of_its_range_is_a_conflict() {
    // The well's closed pH is 7.3; taking its alkalinity to 50 must sour it, so both cannot be had.
    let plan = pale_ale(|day| day["targets"]["sparge_ph"] = json!("7.2-7.4"));
    let (code, text) = reason(&plan, "sparge_ph");
    assert_eq!(code, "ranges_conflict");
    assert!(text.contains("sparge alkalinity"), "{text}");
}

#[test]
fn a_single_wanted_ph_has_neither_ends_nor_a_chance() {
    let plan = pale_ale(|day| day["targets"]["mash_ph"] = json!(5.4));
    assert_eq!(plan.mash.probability_in_range, None);
    assert!(!has_caution(&plan, "mash_ph_unsure"));
    assert!(
        plan.reasons
            .iter()
            .all(|reason| reason.subject != "mash_ph")
    );
}

#[test]
fn a_base_for_the_tank_warns_of_chalk() {
    let lime = |vessel: &str| {
        pale_ale(|day| {
            day["targets"] = json!({ "mash_ph": "6.1-6.3" });
            day["shelf"] = json!([{ "reagent": "slaked lime", "at": [vessel] }]);
        })
    };
    let (tank, tun) = (lime("hot_liquor_tank"), lime("mash_tun"));
    assert!(has_caution(&tank, "base_drops_chalk") && has_caution(&tank, "lime_burns"));
    assert!(has_caution(&tun, "lime_burns") && !has_caution(&tun, "base_drops_chalk"));
}

#[test]
fn a_day_that_asks_for_nothing_is_told_so() {
    let plan = pale_ale(|day| day["targets"] = json!({}));
    assert!(plan.additions.is_empty());
    assert!(
        plan.summary.starts_with("No range was asked for"),
        "{}",
        plan.summary
    );
    let (code, text) = reason(&plan, "additions");
    assert_eq!(code, "nothing_needed");
    assert!(text.contains("give it targets"), "{text}");
}

#[test]
fn a_confidence_aims_the_mash_inside_its_range() {
    let aimed = |range: &str, confidence: Value| {
        pale_ale(|day| {
            day["targets"]["mash_ph"] = json!(range);
            day["targets"]["confidence"] = json!({ "mash_ph": confidence });
        })
    };
    // One end is kept by keeping away from it: 1.28 standard deviations of a normal for 90 % (Abramowitz & Stegun 1964, table
    // 26.5), a little more or less where the balance bends.
    let plan = aimed("at most 5.5", json!("90 %"));
    let away = (5.5 - plan.mash.ph) / plan.mash.sd;
    assert!((1.2..1.45).contains(&away), "{away}");
    let (code, text) = reason(&plan, "mash_ph");
    assert_eq!(code, "aimed_inside_range");
    assert!(text.contains("wanted at most 5.3"), "{text}");
    assert!(!has_caution(&plan, "confidence_not_reached"));
    assert!(plan.summary.ends_with("%, 90 % asked."), "{}", plan.summary);
    assert_eq!(plan.mash.confidence_asked_percent, Some(90.0));
    // The bar is wider than the range: no aim gives nine brews of ten.
    let plan = aimed("5.3-5.5", json!(0.9));
    let (code, text) = reason(&plan, "mash_ph");
    assert_eq!(code, "range_too_narrow");
    assert!(text.contains("wanted 5.4"), "{text}");
    assert!(has_caution(&plan, "confidence_not_reached"));
    assert!(!has_caution(&plan, "mash_ph_unsure"));
    // Without acid it lies outside, which no measurement mends: the note says no more than the chance.
    let plan = pale_ale(|day| {
        day["shelf"] = json!([]);
        day["targets"]["confidence"] = json!({ "mash_ph": 0.5 });
    });
    let mut cautions = plan.cautions.iter();
    let note = cautions
        .find(|caution| caution.code == "confidence_not_reached")
        .unwrap();
    assert!(
        note.text.ends_with("less than the 50 % asked."),
        "{}",
        note.text
    );
}
