//! What is watched: every code with a day that has it, its number, its source and its caution.

use std::collections::BTreeMap;

use std::collections::BTreeSet;

use serde_json::{Value, json};
use underlet::tank::TankFindingCode;

use super::{day, dose, fill, heat, ledger, well};

fn found(lines: &[Value], code: &str) -> Value {
    let answer = ledger(&day(&[well()], lines));
    let findings = answer["findings"].as_array().unwrap();
    let finding = findings.iter().find(|finding| finding["code"] == code);
    finding.cloned().unwrap_or(Value::Null)
}

fn number(finding: &Value, key: &str) -> f64 {
    let numbers = finding["numbers"].as_array().unwrap();
    let number = numbers.iter().find(|number| number["key"] == key).unwrap();
    number["value"].as_f64().unwrap()
}

fn night() -> Vec<Value> {
    vec![
        fill("10 hL"),
        heat(78.0, 3.0),
        json!({"work": "hold", "duration": 9, "label": "night"}),
    ]
}

fn with(line: Value) -> Vec<Value> {
    let mut lines = night();
    lines.push(line);
    lines
}

/// Slaked lime in hot liquor: 2 g/kg, where the table has 0.94 g/kg at 80 °C and 1.65 at 20 °C, so
/// 0.96 at 78 °C.
fn hot_lime() -> Vec<Value> {
    with(dose("slaked lime", "2 kg"))
}

/// Brine: 100 g of calcium chloride and more of sodium chloride than steel likes.
fn salty() -> Vec<Value> {
    vec![
        fill("10 hL"),
        dose("sodium chloride", "600 g"),
        heat(70.0, 1.0),
    ]
}

/// The hard well, in and recovered at 70 °C, in a tank that is never heated.
fn recovered() -> Vec<Value> {
    vec![
        fill("5 hL"),
        json!({"work": "recover", "supply": "well", "volume": "3 hL", "temperature": 70}),
    ]
}

#[test]
fn every_code_is_met_with_source_and_caution() {
    let mut chlorinated = well();
    chlorinated["free_chlorine"] = json!("0.3 mg/L");
    let draw = json!({"work": "draw", "volume": "1 hL", "to": "mash"});
    let days = [
        recovered(),
        vec![fill("5 hL"), draw.clone()],
        vec![fill("5 hL"), dose("gypsum", "800 g"), heat(78.0, 1.0), draw],
        with(json!({"work": "dose", "reagent": "hydrochloric acid", "amount": "335 mL"})),
        hot_lime(),
        salty(),
        vec![fill("10 hL"), dose("gypsum", "2.5 kg")],
    ];
    let mut met = BTreeSet::new();
    for lines in days {
        for finding in ledger(&day(std::slice::from_ref(&chlorinated), &lines))["findings"]
            .as_array()
            .unwrap()
        {
            met.insert(finding["code"].as_str().unwrap().to_owned());
            assert!(finding["text"].as_str().unwrap().len() > 30, "{finding}");
            assert!(
                finding["source"].as_str().unwrap().ends_with(')'),
                "{finding}"
            );
            assert!(finding["caution"].as_str().unwrap().len() > 30, "{finding}");
            assert!(
                !finding["numbers"].as_array().unwrap().is_empty(),
                "{finding}"
            );
        }
    }
    let all: BTreeSet<String> = TankFindingCode::ALL
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(met, all);
}

#[test]
fn scale_is_reported_at_the_line_that_brings_most_of_it() {
    let finding = found(&night(), "scale_expected");
    assert_eq!(finding["line"], 2);
    assert!(
        finding["text"].as_str().unwrap().contains("\"night\""),
        "{finding}"
    );
    let answer = ledger(&day(&[well()], &night()));
    let total = answer["losses"]["scale_g"]["value"].as_f64().unwrap();
    assert_eq!(number(&finding, "scale"), total);
    assert!(finding["source"].as_str().unwrap().contains("Judged"));
}

#[test]
fn acid_that_comes_too_late_is_reported_and_acid_first_is_not() {
    let acid = json!({"work": "dose", "reagent": "hydrochloric acid", "amount": "335 mL"});
    let late = found(&with(acid.clone()), "acid_before_heating");
    assert_eq!(
        (late["line"].clone(), number(&late, "before_line")),
        (json!(3), 1.0)
    );
    assert!(
        number(&late, "scale") > 60.0 && number(&late, "scale_acid_first") < 1.0,
        "{late}"
    );
    let mut first = night();
    first.insert(1, acid);
    assert_eq!(found(&first, "acid_before_heating"), Value::Null);
    assert_eq!(found(&first, "scale_expected"), Value::Null);
}

#[test]
fn lime_in_hot_liquor_by_the_table() {
    let finding = found(&hot_lime(), "dose_not_dissolving");
    // 1.65 + (78 - 20)/(80 - 20) x (0.94 - 1.65) = 0.9637 of the pure, in the table's row divided
    // by its assay of 93 %.
    let dissolves = number(&finding, "dissolves");
    assert!((0.95..1.05).contains(&dissolves), "{dissolves}");
    assert!(finding["caution"].as_str().unwrap().contains("burns"));
    // Half of that cold is taken up.
    let cold = [fill("10 hL"), dose("slaked lime", "500 g")];
    assert_eq!(found(&cold, "dose_not_dissolving"), Value::Null);
}

#[test]
fn scale_in_the_cooler_is_that_of_equilibrium_at_the_heat_of_wort() {
    // PHREEQC 3.8.6, wateq4f.dat less NaCO3- and NaHCO3, run once for this test: Ca 2.75, Mg 0.5,
    // Na 0.7, Cl 1.0, SO4 0.5, C 5.826058 mmol/kg, closed. Calcite: index 0.7089 at 70 °C,
    // 1.0298 at 95 °C, where 1.150369 mmol/kg come down to saturation. A hL at 12 °C is 99.95 kg:
    // 1.150369e-3 x 99.95 x 100.086 = 11.508 g.
    let hard = known(&[
        ("calcium", 2.75),
        ("magnesium", 0.5),
        ("sodium", 0.7),
        ("chloride", 1.0),
        ("sulfate", 0.5),
        ("inorganic_carbon", 5.826_058),
    ]);
    let answer = ledger(&day(&[hard], &recovered()));
    let findings = answer["findings"].as_array().unwrap();
    let finding = findings
        .iter()
        .find(|finding| finding["code"] == "scale_in_cooler")
        .unwrap();
    assert_eq!(finding["line"], 1);
    assert!((number(finding, "calcite_saturation_index_at_wort") - 1.0298).abs() < 0.002);
    assert!((number(finding, "calcite_saturation_index_at_outlet") - 0.7089).abs() < 0.002);
    assert!((number(finding, "scale_at_most") - 11.508).abs() < 0.02);
    // Soft water is silent, and so is a day without a cooler.
    assert_eq!(found(&[fill("5 hL")], "scale_in_cooler"), Value::Null);
    let soft = json!({"name": "well", "calcium": 8, "chloride": 14, "alkalinity": "12 mg/L as CaCO3", "ph": 7, "inlet_temperature": 12});
    let answer = ledger(&day(&[soft], &recovered()));
    assert_eq!(answer["findings"], json!([]));
}

/// A water of mmol/kg that are known for certain.
fn known(amounts: &[(&str, f64)]) -> Value {
    let amounts: Vec<Value> = amounts
        .iter()
        .enumerate()
        .map(|(place, (key, mmol))| {
            let cells = amounts
                .iter()
                .take(place + 1)
                .map(|(other, _)| (*other, 0.0));
            let covariance: BTreeMap<&str, f64> = cells.collect();
            json!({"key": key, "mmol_per_kg": mmol, "covariance": covariance})
        })
        .collect();
    json!({"name": "well", "liquor": {"amounts": amounts}, "inlet_temperature": 12})
}

#[test]
fn calcium_sulfate_on_the_heater_by_phreeqc_and_sulfate_by_its_limit() {
    // PHREEQC 3.8.6, wateq4f.dat less NaCO3- and NaHCO3: Ca 11.0, Mg 0.5, Na 1.0, Cl 4.0, SO4 9.5,
    // C 2.0 mmol/kg, closed. Anhydrite: index -0.0235 at 78 °C, 0.3181 at 100 °C. The tank
    // is shut and what little calcite comes down moves it by less than 0.01.
    let hard = known(&[
        ("calcium", 11.0),
        ("magnesium", 0.5),
        ("sodium", 1.0),
        ("chloride", 4.0),
        ("sulfate", 9.5),
        ("inorganic_carbon", 2.0),
    ]);
    let draw = json!({"work": "draw", "volume": "1 hL", "to": "mash"});
    let mut day = day(&[hard], &[fill("5 hL"), heat(78.0, 0.1), draw]);
    day["tank"]["surface"] = json!("shut");
    let answer = ledger(&day);
    let find = |code: &str| {
        let findings = answer["findings"].as_array().unwrap();
        findings
            .iter()
            .find(|finding| finding["code"] == code)
            .cloned()
            .unwrap()
    };
    let finding = find("anhydrite_on_heater");
    assert!((number(&finding, "anhydrite_saturation_index_at_heater") - 0.3181).abs() < 0.01);
    assert!((number(&finding, "anhydrite_saturation_index") + 0.0235).abs() < 0.01);
    // 9.5 mmol/kg x 96.06 g/mol x 0.9982 kg/L = 910.9 mg/L of sulfate, where 250 are the least
    // figure; sodium and chloride are below theirs.
    let finding = find("limit_exceeded");
    assert!(
        (number(&finding, "sulfate") - 910.9).abs() < 0.5,
        "{finding}"
    );
    assert_eq!(number(&finding, "limit"), 250.0);
}

#[test]
fn chloride_is_measured_by_heat() {
    // 600 g of salt at 99.5 % in 999.5 kg bring 600 x 0.995/0.9995 x 35.45/58.44 = 362.3 mg/kg,
    // 361.7 mg/L, to 35: 396.7 mg/L.
    let finding = found(&salty(), "chloride_on_steel");
    assert!(
        (number(&finding, "chloride") - 396.7).abs() < 2.0,
        "{finding}"
    );
    assert_eq!(
        (number(&finding, "limit"), finding["line"].clone()),
        (50.0, json!(2))
    );
    let cold = found(&salty()[..2], "chloride_on_steel");
    assert_eq!(
        (number(&cold, "limit"), cold["line"].clone()),
        (200.0, json!(1))
    );
    assert!(
        cold["source"]
            .as_str()
            .unwrap()
            .contains("Nickel Institute")
    );
    assert_eq!(found(&[fill("10 hL")], "chloride_on_steel"), Value::Null);
}
