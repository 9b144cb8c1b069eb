//! A day or a fit that is written reads back as it was, but for the rounding of units.

use serde_json::{Value, json};
use underlet::{BrewDay, EXAMPLES, IonFit};

use crate::common::draft::Draft;
use crate::common::trials::trials;

/// What a unit's conversion and back may round off.
const ROUNDING: f64 = 1e-11;

/// The numbers of a text in their order, and the text without them.
fn split(text: &str) -> (Vec<f64>, String) {
    let is_part = |letter: char| letter.is_ascii_digit() || "+-.e".contains(letter);
    let (mut numbers, mut rest, mut number) = (Vec::new(), String::new(), String::new());
    for letter in text.chars().chain([' ']) {
        if is_part(letter) {
            number.push(letter);
            continue;
        }
        match number.parse() {
            Ok(value) => numbers.push(value),
            Err(_) => rest.push_str(&number),
        }
        number.clear();
        rest.push(letter);
    }
    (numbers, rest)
}

/// Whether two values print alike, numbers within rounding.
fn assert_alike(one: &str, other: &str, about: &str) {
    let ((numbers, rest), (others, other_rest)) = (split(one), split(other));
    assert_eq!(rest, other_rest, "{about}");
    assert!(!numbers.is_empty(), "{about}");
    for (number, other) in numbers.iter().zip(&others) {
        let apart = (number - other).abs();
        assert!(
            apart <= ROUNDING * number.abs().max(1e-9),
            "{about}: {number} {other}"
        );
    }
}

fn assert_reads_back(day: &BrewDay, about: &str) {
    let written = day.to_json().expect("a document");
    let again = BrewDay::from_json(&written).expect("a day");
    assert_alike(&format!("{day:?}"), &format!("{again:?}"), about);
}

#[test]
fn the_built_in_days_read_back() {
    for (name, text) in EXAMPLES {
        assert_reads_back(&BrewDay::from_json(text).expect("a day"), name);
    }
}

#[test]
fn random_days_read_back() {
    for seed in 0..trials(300, 3000) {
        let day: BrewDay = Draft::random(seed).read();
        assert_reads_back(&day, &format!("seed {seed}"));
    }
}

/// Everything that a day can hold, some of which the random ones do not.
#[test]
fn a_day_with_everything_reads_back() {
    let day = json!({
        "underlet": 1, "id": "brew 12", "note": "the second gyle", "x-cask": {"count": 7},
        "name": "Ebb Porter", "recipe_scale": 1.5, "brews": 2,
        "brewhouse": {"name": "Quay", "grain_absorption": 1.05, "tank_dead_volume": "30 L",
            "tun_dead_volume": "12 L", "kettle_dead_volume": "9 L", "boil_off": "60 L/h",
            "scale_step": "2 g", "measure_step": "0.5 mL", "meters": ["ph", "temperature"]},
        "sources": [
            {"name": "well", "calcium": 112, "alkalinity": 252, "ph": 7.3, "temperature": 11,
                "free_chlorine": 0.2, "total_chlorine": 0.5, "silica": 12, "max_amount": "90 hL"},
            {"name": "rain", "alkalinity": 3}
        ],
        "hot_liquor_tank": {"fill": "30 hL", "temperature": 78},
        "grist": [
            {"malt": "pale ale malt", "mass": 175, "name": "lot 7"},
            {"malt": "caramel malt 5 to 20 EBC", "mass": 12, "colour": 18},
            {"name": "titrated", "mass": 9, "titration": [
                {"ph": 5.75}, {"acid": 10, "ph": 5.4}, {"acid": 22, "ph": 5.05},
                {"acid": 36, "ph": 4.7}]},
            {"name": "sour", "mass": 2, "lactic_acid": 3}
        ],
        "mash": {"liquor": "500 L", "liquor_temperature": 72, "rest_temperature": 66},
        "sparge": {"liquor": "800 L", "liquor_temperature": 78, "portions": 3},
        "kettle": {"boil": "75 min", "boil_off": "90 L", "zinc": "0.15 mg/L"},
        "targets": {
            "calcium": {"low": 80, "high": 160, "prefer": 100}, "chloride": [null, 60],
            "sulfate_to_chloride": [1, 3], "mash_ph": [5.2, 5.6], "sparge_alkalinity": [0, 50],
            "sparge_ph": [5.0, 6.0], "kettle_ph": 5.1, "weights": {"calcium": 2, "mash_ph": 3},
            "limits": {"sulfate": 400, "dissolved_solids": 1200},
            "confidence": {"mash_ph": 0.8, "sparge_ph": 0.9}
        },
        "shelf": [
            {"reagent": "gypsum", "strength": 98, "step": "5 g", "min_dose": "10 g"},
            {"reagent": "lactic acid", "strength": "80 %", "stock": "2 L",
                "vessels": ["hot_liquor_tank", "mash_tun", "kettle"]},
            {"reagent": "zinc sulfate"}
        ],
        "max_salts": 2, "alternatives": true
    });
    let day = BrewDay::from_json(&day.to_string()).expect("a day");
    assert_reads_back(&day, "everything");
}

#[test]
fn a_reconciled_source_reads_back() {
    let report = json!({"underlet": 1, "name": "well", "sampled": "2026-03-01",
        "today": "2026-05-01", "calcium": 112, "magnesium": 9, "sodium": 14, "sulfate": 38,
        "chloride": 32, "nitrate": 12, "alkalinity": 252, "ph": 7.3,
        "bench": {"alkalinity": 240, "conductivity": 620}});
    let water = underlet::json::water(&report.to_string()).expect("a water");
    let water: Value = serde_json::from_str(&water.to_json()).expect("a document");
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("a day");
    day["sources"] = json!([{"name": "well", "liquor": water["reconciled"]["liquor"]}]);
    // Remarks quote names, and may be longer than a name.
    let remark = |length| {
        let text = "x".repeat(length);
        json!([{"code": "report_finding", "severity": "note", "text": text}])
    };
    day["sources"][0]["liquor"]["remarks"] = remark(4001);
    let error = BrewDay::from_json(&day.to_string()).expect_err("too long");
    assert_eq!(error.problems[0].path, "sources[0].liquor.remarks[0].text");
    day["sources"][0]["liquor"]["remarks"] = remark(4000);
    let day = BrewDay::from_json(&day.to_string()).expect("a day");
    assert!(day.sources[0].reconciled.is_some());
    assert_reads_back(&day, "reconciled");
}

#[test]
fn serde_writes_and_reads_the_document() {
    let day = BrewDay::from_json(EXAMPLES[0].1).expect("a day");
    let written = serde_json::to_string(&day).expect("a document");
    assert_eq!(written, day.to_json().expect("a document"));
    let again: BrewDay = serde_json::from_str(&written).expect("a day");
    assert_alike(&format!("{day:?}"), &format!("{again:?}"), "serde");
    let error = serde_json::from_str::<BrewDay>(r#"{"underlet": 1}"#).expect_err("no day");
    assert!(error.to_string().contains("sources: found nothing"));
}

#[test]
fn a_day_that_makes_no_sense_is_not_written() {
    let mut day = BrewDay::from_json(EXAMPLES[0].1).expect("a day");
    day.mash.volume_l = f64::NAN;
    let error = day.to_json().expect_err("no volume");
    assert_eq!(error.problems[0].path, "mash.liquor");
}

#[test]
fn a_fit_of_ions_reads_back() {
    let fit = json!({"underlet": 1, "id": "7",
        "source": {"name": "well", "calcium": 40, "alkalinity": 90, "ph": 7.6},
        "dilution": {"name": "rain", "alkalinity": 2, "max_amount": "300 L"},
        "volume": "8 hL", "temperature": 15,
        "targets": {"calcium": "60-90", "sulfate": {"low": 50, "prefer": 80}, "alkalinity": [0, 60],
            "sulfate_to_chloride": 2, "weights": {"alkalinity": 3}},
        "shelf": [{"reagent": "gypsum", "stock": "400 g"}, {"reagent": "calcium chloride"}],
        "max_salts": 1});
    let fit = IonFit::from_json(&fit.to_string()).expect("a fit");
    let again = IonFit::from_json(&fit.to_json().expect("a document")).expect("a fit");
    assert_alike(&format!("{fit:?}"), &format!("{again:?}"), "fit");
}
