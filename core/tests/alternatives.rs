//! What a plan says of its alternatives, and of the limits that hold it back: days with one odd
//! thing each. The expectations follow from the day, not from the engine.

use serde_json::{Value, json};
use underlet::{Alternative, AlternativeCode, LimitCode, Plan};

use crate::words::{pale_ale, reason};

fn others(change: impl FnOnce(&mut Value)) -> Plan {
    pale_ale(|day| {
        day["alternatives"] = json!(true);
        change(day);
    })
}

fn alternative<'p>(plan: &'p Plan, code: &str) -> &'p Alternative {
    let mut all = plan.alternatives.iter();
    all.find(|other| other.code.as_str() == code)
        .unwrap_or_else(|| panic!("no {code}: {:?}", plan.alternatives))
}

#[test]
fn alternatives_are_listed_on_request_only() {
    assert!(pale_ale(|_| {}).alternatives.is_empty());
    let plan = others(|_| {});
    // All is met: nothing needs to help.
    let codes: Vec<_> = plan.alternatives.iter().map(|other| other.code).collect();
    assert_eq!(
        codes,
        [
            AlternativeCode::OneSaltFewer,
            AlternativeCode::AcidSwapped,
            // The well's hardness is temporary: softening saves most of the acid.
            AlternativeCode::SlakedLime,
            AlternativeCode::BoiledFirst,
        ]
    );
    assert!(plan.to_text().contains("Alternatives"));
}

#[test]
fn too_much_chloride_in_the_water_wants_so_much_pure_water() {
    // 130 mg/L in the well, 120 wanted at most: one part in 13 must be pure, 7.7 %; 15 hL at 78 °C
    // are 1460 L drawn cold, in steps of 10 L: 120 L.
    let plan = others(|day| day["sources"][0]["chloride"] = json!("130 mg/L"));
    assert_eq!(reason(&plan, "chloride").0, "source_above_range");
    let other = alternative(&plan, "least_dilution");
    assert_eq!(
        (other.subject.as_str(), other.blend[1].source.as_str()),
        ("pure water", "pure water")
    );
    assert!(
        (other.blend[1].volume_l - 120.0).abs() < 1e-6,
        "{}",
        other.blend[1].volume_l
    );
    assert!(other.meets_every_range && other.cost < 0.0, "{other:?}");
    assert_eq!(other.changes.len(), 1);
    assert_eq!(
        (
            other.changes[0].key.as_str(),
            other.changes[0].would_miss_by
        ),
        ("chloride", Some(0.0))
    );
    assert!(
        other
            .text
            .contains("8 % of pure water: chloride would be met."),
        "{}",
        other.text
    );
    // No salt and no acid takes chloride out.
    assert!(
        plan.alternatives
            .iter()
            .all(|other| other.code != AlternativeCode::OneMoreReagent)
    );
}

#[test]
fn the_reagent_that_is_missing_is_found() {
    // Only sodium chloride, sulfate, carbonate and bicarbonate bring sodium, and the last two
    // alkalinity with it.
    let plan = others(|day| {
        day["targets"]["sodium"] = json!("40-60 mg/L");
        day["shelf"].as_array_mut().unwrap().remove(3);
    });
    assert_eq!(reason(&plan, "sodium").0, "nothing_brings");
    let other = alternative(&plan, "one_more_reagent");
    assert!(
        ["sodium chloride", "sodium sulfate"].contains(&other.subject.as_str()),
        "{}",
        other.subject
    );
    assert!(other.meets_every_range, "{other:?}");
    assert!(other.text.contains("sodium would be met"), "{}", other.text);
}

#[test]
fn an_acid_that_is_new_comes_with_its_handling() {
    let plan = others(|day| {
        let citric = json!({ "reagent": "citric acid", "vessels": ["mash_tun", "sparge_liquor"] });
        day["shelf"] = json!([{ "reagent": "gypsum" }, { "reagent": "lactic acid" }, citric]);
    });
    let other = alternative(&plan, "acid_swapped");
    assert_eq!(other.subject, "lactic acid");
    assert!(
        other
            .additions
            .iter()
            .all(|addition| addition.reagent != "lactic acid")
    );
    assert!(other.text.contains("goggles"), "{}", other.text);
    // Nobody buys an acid that does what the one on the shelf does.
    let plan = others(|day| {
        day["shelf"] = json!([{ "reagent": "gypsum" }, { "reagent": "lactic acid" }]);
    });
    let mut all = plan.alternatives.iter();
    assert!(all.all(|other| other.code != AlternativeCode::AcidSwapped));
}

#[test]
fn a_plan_of_one_salt_can_do_without_it() {
    let plan = others(|day| {
        day["shelf"] = json!([{ "reagent": "gypsum" }, { "reagent": "lactic acid" }]);
    });
    let other = alternative(&plan, "one_salt_fewer");
    assert_eq!(other.subject, "gypsum");
    // Without it sulfate stays at the well's 61 mg/L, 59 below its range.
    assert!(
        other
            .text
            .contains("sulfate would end 59 mg/L below its range"),
        "{}",
        other.text
    );
    assert!(!other.meets_every_range && other.cost > 0.0);
}

#[test]
fn a_stock_that_runs_out_is_a_limit_and_tells_what_more_would_do() {
    let plan = pale_ale(|day| {
        day["shelf"][4]["stock"] = json!("100 mL");
        day["shelf"][5]["stock"] = json!("100 mL");
        day["shelf"][4]["vessels"] = json!(["hot_liquor_tank"]);
        day["shelf"][5]["vessels"] = json!(["hot_liquor_tank"]);
    });
    let mut limits = plan.limits.iter();
    let stock = limits.find(|limit| limit.subject == "lactic acid").unwrap();
    assert_eq!(
        (stock.code, stock.relief, stock.unit.as_str()),
        (LimitCode::Stock, 5.0, "mL")
    );
    assert!(stock.worth > 0.0);
    // Acid lowers both, and what it no longer takes of calcium to lower the mash.
    for key in ["mash_ph", "sparge_alkalinity", "calcium"] {
        let change = stock
            .changes
            .iter()
            .find(|change| change.key == key)
            .unwrap();
        assert!(
            Some(0.0) <= change.would_miss_by && change.would_miss_by < change.missed_by,
            "{change:?}"
        );
    }
    // Calcium is above its range for the sake of the mash, so the two conflict.
    let calcium = plan
        .limits
        .iter()
        .find(|limit| limit.subject == "calcium")
        .unwrap();
    assert_eq!(
        (calcium.code, calcium.relief, calcium.unit.as_str()),
        (LimitCode::RangeHigh, 1.0, "mg/L")
    );
    assert!(calcium.changes.iter().any(|change| change.key == "mash_ph"));
    assert!(
        calcium
            .text
            .starts_with("If calcium could be 1 mg/L higher: "),
        "{}",
        calcium.text
    );
    assert!(
        plan.to_text()
            .contains("With 5 mL more of lactic acid at hand:")
    );
}

#[test]
fn a_source_and_what_dissolves_are_limits_too() {
    let plan = pale_ale(|day| {
        let mut pure = day["sources"][0].clone();
        for ion in [
            "calcium",
            "magnesium",
            "sodium",
            "chloride",
            "sulfate",
            "nitrate",
            "potassium",
        ] {
            pure[ion] = json!(0);
        }
        pure["name"] = json!("osmosis");
        pure["alkalinity"] = json!("5 mg/L as CaCO3");
        pure["max_amount"] = json!("1 hL");
        day["sources"][0]["chloride"] = json!("200 mg/L");
        day["sources"].as_array_mut().unwrap().push(pure);
        day["shelf"] = json!([{ "reagent": "chalk" }]);
        // A sour grist.
        day["grist"][1] = json!({ "malt": "roasted barley", "mass": "50 kg" });
        day["targets"]["mash_ph"] = json!("5.85-5.9");
    });
    let code = |subject: &str| {
        let mut limits = plan.limits.iter();
        limits
            .find(|limit| limit.subject == subject)
            .map(|limit| limit.code)
    };
    assert_eq!(code("osmosis"), Some(LimitCode::Source));
    assert_eq!(code("chalk"), Some(LimitCode::Solubility));
}

#[test]
fn a_confidence_is_weighed_beside_the_ranges() {
    let with = |range: &str, stock: Value| {
        others(|day| {
            day["targets"]["mash_ph"] = json!(range);
            day["targets"]["confidence"] = json!({ "mash_ph": 0.9 });
            day["shelf"][4]["stock"] = stock.clone();
            day["shelf"][5]["stock"] = stock;
            for acid in [4, 5] {
                day["shelf"][acid]["vessels"] = json!(["hot_liquor_tank", "mash_tun"]);
            }
        })
    };
    // Acid enough: what holds the plan is the end drawn in, 0.1 or more below the one that was
    // asked for, and it is called that.
    let plan = with("at most 5.5", json!("10 L"));
    assert!(plan.mash.ph < 5.4, "{}", plan.mash.ph);
    let mut limits = plan.limits.iter();
    let limit = limits.find(|limit| limit.subject == "mash_ph").unwrap();
    assert_eq!(limit.code, LimitCode::RangeHigh);
    assert!(
        limit.text.starts_with(
            "If the range of mash pH, narrowed for the confidence, could reach 0.01 higher: "
        ),
        "{}",
        limit.text
    );
    // The mash is inside its range, but not as surely as asked: more acid helps with that alone,
    // and is said to.
    let plan = with("at most 5.6", json!("200 mL"));
    let chance = plan.mash.probability_in_range.unwrap();
    assert!(plan.mash.ph < 5.6 && chance < 0.85, "{chance}");
    let mut limits = plan.limits.iter();
    let stock = limits.find(|limit| limit.subject == "lactic acid").unwrap();
    let mut changes = stock.changes.iter();
    let change = changes.find(|change| change.key == "confidence").unwrap();
    assert!(
        change.missed_by < change.would_miss_by && change.would_miss_by <= Some(0.0),
        "{change:?}"
    );
    assert!(
        stock.text.contains("% short of the request, not "),
        "{}",
        stock.text
    );
    // So does an acid from the table, which there is plenty of: it makes up for one of the two that
    // are used up.
    let other = alternative(&plan, "acid_swapped");
    assert!(
        other.text.contains("confidence of mash pH would be met"),
        "{}",
        other.text
    );
}

/// Two acids, both used to the last: another in place of one comes from the table.
#[test]
fn an_acid_is_swapped_for_one_that_the_plan_does_not_give() {
    let plan = pale_ale(|day| {
        day["shelf"][4]["stock"] = json!("20 mL");
        day["shelf"][5]["stock"] = json!("100 mL");
        day["alternatives"] = json!(true);
    });
    let acids = |additions: &[underlet::Addition]| {
        let acids = additions
            .iter()
            .filter(|one| one.reagent.ends_with(" acid"));
        acids.map(|one| one.reagent.clone()).collect::<Vec<_>>()
    };
    let given = acids(&plan.additions);
    assert!(given.len() >= 2, "{given:?}");
    let mut swaps = 0;
    for other in plan
        .alternatives
        .iter()
        .filter(|one| one.code == AlternativeCode::AcidSwapped)
    {
        assert!(
            acids(&other.additions)
                .iter()
                .any(|acid| !given.contains(acid)),
            "{}",
            other.text
        );
        swaps += 1;
    }
    assert!(swaps > 0);
}

/// Several things to weigh in place of one are no better, though their steps come nearer.
#[test]
fn what_costs_less_is_not_left_aside() {
    let plan = others(|day| {
        let places = json!(["mash_tun", "sparge_liquor"]);
        day["targets"]["mash_ph"] = json!("at most 5.6");
        day["shelf"] = json!([
            { "reagent": "gypsum" },
            { "reagent": "lactic acid", "step": "5 mL", "cost": 5 },
            { "reagent": "citric acid", "step": "1 g", "cost": 50, "vessels": places },
        ]);
    });
    let swapped = alternative(&plan, "acid_swapped");
    assert!(
        swapped.additions.len() > plan.additions.len(),
        "{}",
        swapped.text
    );
    assert!(swapped.cost > 0.0, "{} {}", swapped.cost, swapped.text);
}
