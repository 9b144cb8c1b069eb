//! What a day of the tank may say, and what is refused.

use serde_json::{Value, json};
use underlet::json;
use underlet::tank::TankHeel;

use super::{day, dose, fill, heat, ledger, reported, well};

fn at(code: &str, path: &str) -> (String, String) {
    (code.to_owned(), path.to_owned())
}

#[test]
fn every_line_that_cannot_be_is_named_and_the_day_goes_on() {
    let lines = [
        fill("10 hL"),
        json!({"work": "draw", "volume": "950 L", "to": "mash"}),
        fill("13 hL"),
        json!({"work": "draw", "volume": "1140 L", "to": "elsewhere"}),
        heat(78.0, 1.0),
        json!({"work": "draw", "volume": "1 L", "to": "sparge"}),
    ];
    // After the overdraw 60 L stand, after the overfill 1200 L: 1140 L can then be drawn, 60 L
    // swell and give a litre.
    assert_eq!(
        reported(&day(&[well()], &lines)),
        [
            at("overdraw", "lines[1].volume"),
            at("overflow", "lines[2].volume")
        ]
    );
}

#[test]
fn a_tank_that_swells_over_the_brim_names_the_heating() {
    let lines = [fill("1180 L"), heat(78.0, 1.0)];
    assert_eq!(
        reported(&day(&[well()], &lines)),
        [at("overflow", "lines[1].temperature")]
    );
}

#[test]
fn a_dry_tank_is_not_heated_held_or_dosed() {
    let lines = [
        heat(78.0, 1.0),
        json!({"work": "hold", "duration": "30 min"}),
        dose("gypsum", "5 g"),
    ];
    let dry = |line: usize| at("dry", &format!("lines[{line}]"));
    assert_eq!(reported(&day(&[well()], &lines)), [dry(0), dry(1), dry(2)]);
}

#[test]
fn a_supply_that_gives_more_than_it_has_names_the_line() {
    let mut scarce = well();
    scarce["max_amount"] = json!("8 hL");
    let lines = [fill("5 hL"), fill("2 hL"), fill("2 hL")];
    assert_eq!(
        reported(&day(&[scarce], &lines)),
        [at("overdraw", "lines[2].volume")]
    );
}

#[test]
fn keys_that_do_not_go_with_the_work_and_keys_that_are_missing() {
    let lines = [
        json!({"work": "fill", "supply": "wall", "volume": "5 hL", "duration": 3}),
        json!({"work": "dose", "reagent": "gypsum", "amount": "10 mL"}),
        json!({"work": "dose", "reagent": "lactic acid", "strength": "99.9 %", "amount": 10}),
        json!({"work": "heat", "duration": "a while"}),
        json!({"work": "draw", "volume": "5 L", "to": "kettle"}),
        json!({"work": "stir"}),
        json!({"work": "hold", "duration": 1, "minutes": 5}),
    ];
    assert_eq!(
        reported(&day(&[well()], &lines)),
        [
            at("unknown_name", "lines[0].supply"),
            at("contradiction", "lines[0].duration"),
            at("wrong_unit", "lines[1].amount"),
            at("out_of_range", "lines[2].strength"),
            at("not_a_number", "lines[3].duration"),
            at("missing_key", "lines[3].temperature"),
            at("unknown_name", "lines[4].to"),
            at("unknown_name", "lines[5].work"),
            at("unknown_key", "lines[6].minutes"),
        ]
    );
}

#[test]
fn a_supply_is_read_as_a_source_of_a_brew_day_is() {
    let supply = json!({"name": "well", "calcium": "plenty", "alkalinity": 50, "bicarbonate": 200});
    let whole = day(&[supply], &[fill("5 hL")]);
    assert_eq!(
        reported(&whole),
        [
            at("not_a_number", "supplies[0].calcium"),
            at("contradiction", "supplies[0].bicarbonate"),
            at("missing_key", "supplies[0].inlet_temperature"),
        ]
    );
    let twice = day(&[well(), well()], &[fill("5 hL")]);
    assert_eq!(reported(&twice), [at("duplicate", "supplies")]);
}

#[test]
fn times_are_hours_minutes_or_days() {
    let end = |hours: Value| {
        let lines = [
            fill("5 hL"),
            heat(78.0, 0.0),
            json!({"work": "hold", "duration": hours}),
        ];
        ledger(&day(&[well()], &lines))["heel"].clone()
    };
    assert_eq!(end(json!("90 min")), end(json!(1.5)));
    assert_eq!(end(json!("1 d")), end(json!("24 hours")));
}

#[test]
fn charge_that_a_report_leaves_open_is_closed_and_reported() {
    // Alkalinity 265/50.0435 = 5.295 meq/L, chloride and sulfate 35/35.45 + 48 x 2/96.06 = 1.987,
    // calcium 110 x 2/40.078 = 5.489, magnesium 12 x 2/24.305 = 0.987, sodium 16/22.990 =
    // 0.696: 7.173 meq/L of cations, 7.282 of anions, 2.51 mg/L of sodium short.
    let answer = ledger(&day(&[well()], &[fill("5 hL")]));
    let amounts = answer["lines"][0]["composition"].as_array().unwrap();
    let value = |key: &str| {
        let amount = amounts.iter().find(|amount| amount["key"] == key).unwrap();
        amount["value"].as_f64().unwrap()
    };
    assert!((value("chloride") - 35.0).abs() < 1e-6);
    assert!(
        (value("sodium") - 18.51).abs() < 0.01,
        "{}",
        value("sodium")
    );
    assert!((value("alkalinity") - 265.0).abs() < 0.1);
    let remark = &answer["heel"]["liquor"]["remarks"][0];
    assert_eq!(remark["code"], "report_finding");
    assert!(
        remark["text"]
            .as_str()
            .unwrap()
            .contains("2.5 mg/L of sodium"),
        "{remark}"
    );
}

#[test]
fn what_was_drawn_is_a_source_of_a_brew_day() {
    let lines = [
        fill("10 hL"),
        dose("lactic acid", "400 mL"),
        heat(78.0, 3.0),
        json!({"work": "draw", "volume": "4 hL", "to": "mash", "label": "strike"}),
    ];
    let answer = ledger(&day(&[well()], &lines));
    let liquor = &answer["lines"][3]["drawn"]["liquor"];
    let amounts = liquor["amounts"].as_array().unwrap();
    assert!(amounts.iter().any(|amount| amount["key"] == "lactate"));
    let brew = json!({
        "underlet": 1, "name": "Ebb", "sources": [{"name": "tank", "liquor": liquor, "max_amount": "4 hL"}],
        "grist": [{"malt": "pale ale malt", "mass": "100 kg"}],
        "mash": {"liquor": "3 hL", "liquor_temperature": "72 °C", "rest_temperature": "66 °C"}
    });
    let plan = json::plan(&brew.to_string()).unwrap_or_else(|error| panic!("{error}"));
    // The liquor's own error counts: with its covariance left out the bar is narrower.
    let mut certain = brew.clone();
    for amount in certain["sources"][0]["liquor"]["amounts"]
        .as_array_mut()
        .unwrap()
    {
        for cell in amount["covariance"].as_object_mut().unwrap().values_mut() {
            *cell = json!(0);
        }
    }
    let sure = json::plan(&certain.to_string()).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(plan.mash.ph, sure.mash.ph);
    assert!(
        plan.mash.sd.unwrap() > sure.mash.sd.unwrap(),
        "{} {}",
        plan.mash.sd.unwrap(),
        sure.mash.sd.unwrap()
    );
    // What is said of the well is said of the plan.
    assert!(
        plan.cautions
            .iter()
            .any(|caution| caution.text.contains("out of balance"))
    );
}

#[test]
fn the_covariance_of_an_untouched_draw_is_that_of_its_supply() {
    let amounts = json!([
        {"key": "calcium", "mmol_per_kg": 2.0, "covariance": {"calcium": 0.01}},
        {"key": "chloride", "mmol_per_kg": 1.0, "covariance": {"calcium": 0.002, "chloride": 0.004}},
        {"key": "inorganic_carbon", "mmol_per_kg": 3.2, "covariance": {"calcium": 0.015, "chloride": -0.001, "inorganic_carbon": 0.05}}
    ]);
    let supply = json!({"name": "well", "liquor": {"amounts": amounts}, "inlet_temperature": 12});
    let draw = json!({"work": "draw", "volume": "1 hL", "to": "mash"});
    let answer = ledger(&day(&[supply], &[fill("5 hL"), draw]));
    let found = &answer["lines"][1]["drawn"]["liquor"]["amounts"];
    for (found, given) in found
        .as_array()
        .unwrap()
        .iter()
        .zip(amounts.as_array().unwrap())
    {
        assert_eq!(found["key"], given["key"]);
        let cells = |of: &Value| -> Vec<f64> {
            of["covariance"]
                .as_object()
                .unwrap()
                .values()
                .map(|cell| cell.as_f64().unwrap())
                .collect()
        };
        for (found, given) in cells(found).into_iter().zip(cells(given)) {
            assert!((found - given).abs() < 1e-9, "{found} {given}");
        }
    }
}

#[test]
fn a_heel_by_hand_needs_no_more_than_its_liquor() {
    let liquor = json!({"amounts": [
        {"key": "calcium", "mmol_per_kg": 1.0, "covariance": {"calcium": 0.01}},
        {"key": "inorganic_carbon", "mmol_per_kg": 2.0, "covariance": {"calcium": 0.0, "inorganic_carbon": 0.0}}
    ]});
    let mut monday = day(
        &[well()],
        &[json!({"work": "draw", "volume": "40 L", "to": "mash"})],
    );
    monday["heel"] = json!({"water_kg": 100, "temperature_c": 70, "liquor": liquor});
    let answer = ledger(&monday);
    let calcium = &answer["lines"][0]["drawn"]["liquor"]["amounts"][0];
    assert_eq!(calcium["mmol_per_kg"], 1.0);
    assert!((calcium["covariance"]["calcium"].as_f64().unwrap() - 0.01).abs() < 1e-12);
    monday["heel"]["perturbations"] = json!([{"rate": "scale_area", "amounts_mmol": {"chalk": 1}}]);
    assert_eq!(
        reported(&monday),
        [at(
            "unknown_key",
            "heel.perturbations[0].amounts_mmol.chalk"
        )]
    );
}

/// A heel that a program keeps is taken with what a liquor holds, and with nothing else.
#[test]
fn a_heel_of_what_no_liquor_holds_is_not_taken() {
    let heel = &ledger(&day(&[well()], &[fill("5 hL")]))["heel"];
    let heel: TankHeel = serde_json::from_value(heel.clone()).expect("a heel");
    assert!(heel.taken().is_ok());

    let mut unknown = heel.clone();
    unknown.perturbations[0]
        .amounts_mmol
        .insert("chalk".into(), 1.0);
    let mut negative = heel.clone();
    let calcium = &mut negative.liquor.amounts[0];
    calcium.covariance.insert(calcium.key.clone(), -1.0);
    for (heel, path) in [
        (unknown, "perturbations[0].amounts_mmol.chalk"),
        (negative, "liquor.amounts[0].covariance.calcium"),
    ] {
        assert_eq!(heel.taken().expect_err(path).problems[0].path, path);
    }
}

#[test]
fn a_supply_named_heel_is_not_the_heel() {
    // A tenth of a mmol/kg in the heel and in the supply, each on its own: 100 kg of the one and,
    // of the other, 100 L at 70 °C (97.776 kg). Variance (0.01 x 100² + 0.01 x
    // 97.776²)/197.776² = 0.005001; as one cause the two would add up to 0.01.
    let liquor = json!({"amounts": [
        {"key": "calcium", "mmol_per_kg": 1.0, "covariance": {"calcium": 0.01}},
        {"key": "inorganic_carbon", "mmol_per_kg": 2.0, "covariance": {"calcium": 0.0, "inorganic_carbon": 0.0}}
    ]});
    let supply = json!({"name": "heel", "liquor": liquor, "inlet_temperature": 70});
    let lines = [
        json!({"work": "fill", "supply": "heel", "volume": "100 L"}),
        json!({"work": "draw", "volume": "40 L", "to": "mash"}),
    ];
    let mut monday = day(std::slice::from_ref(&supply), &lines);
    monday["heel"] = json!({"water_kg": 100, "temperature_c": 70, "liquor": liquor});
    let answer = ledger(&monday);
    let variance = |answer: &Value, line: usize| {
        let calcium = &answer["lines"][line]["drawn"]["liquor"]["amounts"][0];
        calcium["covariance"]["calcium"].as_f64().unwrap()
    };
    assert!((variance(&answer, 1) - 0.005_001).abs() < 1e-5);
    // Through the next day's document as well.
    let mut tuesday = day(&[supply], &lines[1..]);
    tuesday["heel"] = answer["heel"].clone();
    assert!((variance(&ledger(&tuesday), 0) - 0.005_001).abs() < 1e-5);
}

#[test]
fn a_heel_of_wild_numbers_ends_in_an_answer_or_a_problem() {
    let liquor = json!({"amounts": [{"key": "inorganic_carbon", "mmol_per_kg": 1.0, "covariance": {"inorganic_carbon": 0.1}}]});
    for wild in [1e12, -1e12, 1e-300, 0.0] {
        for place in 0..7 {
            let mut differences = vec![0.0; 7];
            differences[place] = wild;
            let lines = [
                fill("1 hL"),
                heat(78.0, 3.0),
                json!({"work": "draw", "volume": "1 L", "to": "mash"}),
            ];
            let mut monday = day(&[well()], &lines);
            monday["heel"] = json!({"water_kg": 100, "temperature_c": 70, "liquor": liquor, "perturbations": [
                {"supply": "well", "place": 0, "differences": differences}
            ]});
            if let Ok(answer) = json::tank(&monday.to_string()) {
                assert!(!answer.to_json().contains("\"sd\":null"), "{monday}");
                assert!(!answer.to_json().contains("\"value\":null"), "{monday}");
            }
        }
    }
}
