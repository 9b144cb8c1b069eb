//! The worked days of the tank among the cases, checked by hand and by PHREEQC. Densities by hand:
//! CRC Handbook (from memory),
//! 12 °C 0.99950, 70 °C 0.97776, 78 °C 0.97303 kg/L, at 1 atm; the engine's are at saturation, up
//! to 5e-5 less.

use serde_json::Value;
use underlet_tests::cases::{Kind, named};

/// The kept ledger of a case.
fn golden(name: &str) -> Value {
    let ledger = named(Kind::TankDay, name).kept_answer();
    serde_json::from_str(&ledger).unwrap()
}

fn near(found: f64, expected: f64, relative: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= relative * expected.abs(),
        "{found}, expected {expected}"
    );
}

fn mmol_per_kg(liquor: &Value, key: &str) -> f64 {
    let amounts = liquor["amounts"].as_array().unwrap();
    let amount = amounts.iter().find(|amount| amount["key"] == key);
    amount.map_or(0.0, |amount| amount["mmol_per_kg"].as_f64().unwrap())
}

fn line<'l>(ledger: &'l Value, label: &str) -> &'l Value {
    let lines = ledger["lines"].as_array().unwrap();
    lines.iter().find(|line| line["label"] == label).unwrap()
}

#[test]
fn three_brews_back_to_back() {
    // Potassium chloride marks what the doses bring; the harbour main has no potassium. 99 % of
    // 74.548 g/mol, the tank shut.
    //
    // Brew one: 1000 L at 12 °C are 999.50 kg; 50 g bring 49.5/74.548 = 0.66400 mol, 0.66433
    // mmol/kg. At 78 °C 999.50/0.97303 = 1027.20 L. Mash 400 L (389.21 kg) and sparge 500 L
    // take 875.73 kg; 123.77 kg stay, with 0.08223 mol.
    //
    // Brew two: 600 L recovered at 70 °C are 586.66 kg, 250 L cold 249.88 kg; 960.30 kg. (123.77 x
    // 78 + 586.66 x 70 + 249.88 x 12)/960.30 = 55.94 °C. Potassium 0.08223/960.30 = 0.08563
    // mmol/kg; 42 g more bring 0.55776 mol: 0.66645. 960.30/0.97303 = 986.92 L at 78 °C.
    //
    // Brew three: 850 x 0.97303 = 827.08 kg gone, 133.22 kg stay with 0.08879 mol. 650 L at 70 °C
    // 635.54 kg, 280 L cold 279.86 kg: 1048.62 kg, 55.54 °C, potassium 0.08467 mmol/kg.
    let ledger = golden("three-brews");
    let lines = ledger["lines"].as_array().unwrap();
    let number = |line: usize, key: &str| lines[line][key].as_f64().unwrap();
    let volume = |line: usize| lines[line]["volume_l"]["value"].as_f64().unwrap();
    near(number(0, "water_kg"), 999.50, 1e-4);
    near(volume(2), 1027.20, 1e-4);
    let strike = |label: &str| &line(&ledger, label)["drawn"];
    near(
        strike("strike one")["water_kg"].as_f64().unwrap(),
        389.21,
        1e-4,
    );
    for (label, potassium) in [
        ("strike one", 0.664_33),
        ("sparge one", 0.664_33),
        ("strike two", 0.666_45),
        ("sparge two", 0.666_45),
    ] {
        near(
            mmol_per_kg(&strike(label)["liquor"], "potassium"),
            potassium,
            2e-4,
        );
        // Water from the cooler is the same main: 0.3 mmol/L of calcium at 20 °C over 0.99820 kg/L
        // is 0.30054 mmol/kg.
        near(
            mmol_per_kg(&strike(label)["liquor"], "calcium"),
            0.300_54,
            1e-4,
        );
    }
    near(number(4, "water_kg"), 123.77, 5e-4);
    near(number(6, "water_kg"), 960.30, 1e-4);
    near(number(6, "temperature_c"), 55.94, 3e-4);
    near(volume(8), 986.92, 1e-4);
    near(number(10, "water_kg"), 133.22, 1e-3);
    near(number(12, "water_kg"), 1048.62, 2e-4);
    near(number(12, "temperature_c"), 55.54, 4e-4);
    let heel = &ledger["heel"];
    near(mmol_per_kg(&heel["liquor"], "potassium"), 0.084_67, 1e-3);
    // The tank is shut, the main soft and heated cold from the report: no scale, no steam.
    assert_eq!(heel["scale_g"].as_f64(), Some(0.0));
    assert_eq!(heel["steam_kg"].as_f64(), Some(0.0));
}

#[test]
fn a_night_on_hard_water_without_acid() {
    // PHREEQC 3.8.6 (Python package phreeqc 1.1.1), wateq4f.dat less NaCO3- and NaHCO3, with the
    // rate laws of standing (tests/peers/standing.py): 0.098902 mmol/kg of calcite while heating,
    // 0.591663 in the hold; 0.009490 and 0.078307 mmol/kg of carbon dioxide; Ca 2.059435 mmol/kg
    // and pH 6.7565 at 78 °C in the end. 1000 L at 12 °C are 999.50 kg, calcite 100.086 g/mol,
    // carbon dioxide 44.009 g/mol: 9.8938 and 59.188 g, 0.41744 and 3.4445 g.
    let ledger = golden("night");
    let gone = |label: &str, what: &str| {
        line(&ledger, label)["losses"][what]["value"]
            .as_f64()
            .unwrap()
    };
    near(gone("timer from 21:00", "scale_g"), 9.8938, 2e-3);
    near(gone("until 9:00", "scale_g"), 59.188, 2e-3);
    near(gone("timer from 21:00", "carbon_dioxide_g"), 0.417_44, 3e-3);
    near(gone("until 9:00", "carbon_dioxide_g"), 3.4445, 2e-3);
    let strike = &line(&ledger, "strike")["drawn"]["liquor"];
    near(mmol_per_kg(strike, "calcium"), 2.059_435, 1e-3);
    near(mmol_per_kg(strike, "magnesium"), 0.5, 1e-9);
    let ph = line(&ledger, "until 9:00")["ph"]["value"].as_f64().unwrap();
    assert!((ph - 6.7565).abs() < 0.003, "{ph}");
    // Nobody has weighed the scale: unsure by about two thirds, as the area of the tank's scale is.
    let sd = ledger["losses"]["scale_g"]["sd"].as_f64().unwrap();
    assert!((30.0..60.0).contains(&sd), "{sd}");
    let codes: Vec<&Value> = ledger["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| &finding["code"])
        .collect();
    assert_eq!(codes, ["scale_expected"]);
}

#[test]
fn the_same_night_with_acid_first() {
    // 335 mL of 37 % hydrochloric acid: 1.1837 g/mL x 0.37/36.458 = 12.013 mmol/mL, 4.0244 mol in
    // 999.50 kg: 4.0264 mmol/kg. PHREEQC as above with as much: no calcite on either line and
    // 0.3873 mmol/kg of carbon dioxide, 17.04 g, leave; pH 5.7066 at 78 °C.
    let ledger = golden("night-acid-first");
    assert_eq!(ledger["losses"]["scale_g"]["value"].as_f64(), Some(0.0));
    near(
        ledger["losses"]["carbon_dioxide_g"]["value"]
            .as_f64()
            .unwrap(),
        17.04,
        0.01,
    );
    let ph = line(&ledger, "until 9:00")["ph"]["value"].as_f64().unwrap();
    assert!((ph - 5.7066).abs() < 0.005, "{ph}");
    let strike = &line(&ledger, "strike")["drawn"]["liquor"];
    near(mmol_per_kg(strike, "chloride"), 5.0264, 5e-4);
    near(mmol_per_kg(strike, "calcium"), 2.75, 1e-9);
    // 5.0264 mmol/kg are 178 mg/L, more than steel is judged to bear hot; nothing else is to be
    // said.
    let findings = ledger["findings"].as_array().unwrap();
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0]["code"], "chloride_on_steel");
}

#[test]
fn the_same_night_with_acid_after_it() {
    // All the scale of the night without acid, 69.081 g, which acid first would have kept off.
    let ledger = golden("night-acid-after");
    let finding = &ledger["findings"][0];
    assert_eq!(finding["code"], "acid_before_heating");
    near(
        finding["numbers"][0]["value"].as_f64().unwrap(),
        69.081,
        2e-3,
    );
    assert_eq!(finding["numbers"][1]["value"].as_f64(), Some(0.0));
    assert!(
        finding["text"]
            .as_str()
            .unwrap()
            .contains("before heating: 0 g of scale instead of 69 g")
    );
}

#[test]
fn chlorine_that_sulfite_leaves() {
    // 500 L at 12 °C are 499.75 kg, 300 L at 70 °C 293.33 kg; 1 mg/L at 20 °C is 1.00180 mg/kg. 0.5
    // g of 96 % sodium metabisulfite take 480/1.3406 = 358.05 of 500.65 mg of chlorine; 142.60
    // mg stay, 293.86 mg come: 436.46 mg in 793.08 kg, 0.54934 mg/L, 0.4 of it free.
    let ledger = golden("chlorine");
    let strike = &line(&ledger, "strike")["drawn"]["chlorine"];
    near(strike["total_mg_per_l"].as_f64().unwrap(), 0.549_34, 1e-3);
    near(strike["free_mg_per_l"].as_f64().unwrap(), 0.219_74, 1e-3);
    let codes: Vec<&str> = ledger["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| finding["code"].as_str().unwrap())
        .collect();
    assert_eq!(codes, ["chlorine_drawn", "scale_in_cooler"]);
}
