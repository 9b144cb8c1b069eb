//! The built-in brew days among the shared cases, checked by hand. Densities: CRC Handbook (from memory), 73 °C 0.97600, 74 °C 0.97542,
//! 78 °C 0.97303 kg/L, at 1 atm; the engine's are at saturation, up to 5e-5 less. Atomic weights: IUPAC 2021, abridged. A report's mg/L are
//! at 20 °C, 0.99821 kg/L.

use std::fs;

use serde_json::Value;
use underlet_tests::cases::folder;

fn golden(name: &str) -> Value {
    let text = fs::read_to_string(folder().join(format!("{name}.plan.json"))).unwrap();
    serde_json::from_str(&text).unwrap()
}

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected}"
    );
}

/// Vessel, reagent and amount of every addition, which the sums below are made for.
fn additions(plan: &Value) -> Vec<(&str, &str, f64)> {
    let additions = plan["additions"].as_array().unwrap().iter();
    additions
        .map(|one| {
            (
                one["vessel"].as_str().unwrap(),
                one["reagent"].as_str().unwrap(),
                one["amount"].as_f64().unwrap(),
            )
        })
        .collect()
}

fn planned(plan: &Value, key: &str) -> f64 {
    let mut targets = plan["targets"].as_array().unwrap().iter();
    let line = targets.find(|line| line["key"] == key).unwrap();
    line["planned"].as_f64().unwrap()
}

/// An ion of the liquor in the full kettle, and after the boil, mg/L.
fn kettle(plan: &Value, ion: &str) -> [f64; 2] {
    let mut ions = plan["kettle"]["ions"].as_array().unwrap().iter();
    let line = ions.find(|line| line["ion"] == ion).unwrap();
    ["full_mg_l", "boiled_mg_l"].map(|key| line[key].as_f64().unwrap())
}

fn water_kg(plan: &Value, vessel: &str) -> f64 {
    let mut vessels = plan["vessels"].as_array().unwrap().iter();
    let line = vessels.find(|line| line["vessel"] == vessel).unwrap();
    line["water_kg"].as_f64().unwrap()
}

#[test]
fn a_single_brew() {
    let plan = golden("pale-ale-10hl");
    assert_eq!(
        additions(&plan),
        [
            ("hot_liquor_tank", "gypsum", 160.0),
            ("hot_liquor_tank", "calcium chloride dihydrate", 10.0),
            ("hot_liquor_tank", "phosphoric acid", 490.0),
            ("mash_tun", "phosphoric acid", 95.0),
        ]
    );
    // 15 hL at 78 °C are 1500 x 0.97303 = 1459.5 kg; 560 L at 74 °C 546.2 kg; 760 L at 78 °C 739.5 kg.
    near(water_kg(&plan, "hot_liquor_tank"), 1459.5, 0.1);
    near(water_kg(&plan, "mash_tun"), 546.2, 0.1);
    near(water_kg(&plan, "sparge_liquor"), 739.5, 0.1);
    // Gypsum of 99 %: 158.4 g in 1459.5 kg, 108.53 mg/kg, 108.34 mg/L: 40.078/172.17 of it calcium, 25.22; 96.06/172.17 sulfate, 60.45.
    // Calcium chloride dihydrate of 99 %: 9.9 g, 6.783 mg/kg, 6.771 mg/L: 40.078/147.01 calcium, 1.85; 70.90/147.01 chloride, 3.27.
    near(planned(&plan, "calcium"), 112.0 + 25.22 + 1.85, 0.02);
    near(planned(&plan, "sulfate"), 61.0 + 60.45, 0.02);
    near(planned(&plan, "chloride"), 38.0 + 3.27, 0.02);
    near(planned(&plan, "magnesium"), 14.0, 1e-9);
    near(planned(&plan, "sulfate_to_chloride"), 121.45 / 41.27, 0.001);
    // Phosphoric acid of 75 %, 1.579 g/mL (Perry): 490 mL hold 580.3 g, 5.922 mol of 97.994 g, 4.057 mmol/kg; dihydrogen phosphate is left at
    // the end point of a titration, so each takes one equivalent: 202.7 mg/L as CaCO3. A hundredth of it is undissociated there
    // (pK 2.15, end point near pH 4.4), worth 2 mg/L more or less.
    near(planned(&plan, "sparge_alkalinity"), 252.0 - 202.7, 2.0);
    // Grains keep a kilogram of water each: 546.2 + 739.5 - 200 kg reach the kettle.
    near(plan["kettle"]["water_kg"].as_f64().unwrap(), 1085.7, 0.2);
    // All salts went into the tank: the kettle holds what the liquor does, 8 % of its water boil off in an hour, and what is left holds 1/0.92
    // of it.
    for (ion, full) in [
        ("calcium", 139.07),
        ("magnesium", 14.0),
        ("chloride", 41.27),
        ("sulfate", 121.45),
    ] {
        near(kettle(&plan, ion)[0], full, 0.02);
        near(kettle(&plan, ion)[1], full / 0.92, 0.02);
    }
}

#[test]
fn a_pilot_day_from_a_bulk_tank() {
    let plan = golden("dark-mild-2.5hl");
    assert_eq!(
        additions(&plan),
        [
            ("mash_tun", "calcium chloride dihydrate", 15.0),
            ("mash_tun", "sodium bicarbonate", 3.0),
        ]
    );
    // 125 L at 73 °C are 122.0 kg, 175 L at 78 °C 170.3 kg; what goes into the tun counts over both, 292.3 kg.
    near(water_kg(&plan, "mash_tun"), 122.0, 0.02);
    near(water_kg(&plan, "sparge_liquor"), 170.28, 0.02);
    // Calcium chloride dihydrate of 99 %: 14.85 g, 50.81 mg/kg, 50.72 mg/L: calcium 13.83, chloride 24.46. Bicarbonate of soda of
    // 99.5 %: 2.985 g, 10.21 mg/kg, 10.19 mg/L: 22.990/84.006 sodium, 2.79.
    near(planned(&plan, "calcium"), 68.0 + 13.83, 0.02);
    near(planned(&plan, "chloride"), 52.0 + 24.46, 0.02);
    near(planned(&plan, "sodium"), 14.0 + 2.79, 0.01);
    near(planned(&plan, "sulfate"), 88.0, 1e-9);
    // Nothing can be given to the sparge liquor: it is as it came, 54 mg/L as CaCO3.
    let sparge = plan["sparge"]["alkalinity_mg_l_caco3"].as_f64().unwrap();
    near(sparge, 54.0, 0.01);
    // 41 kg of grist keep 41 kg of 292.3.
    near(
        plan["kettle"]["water_kg"].as_f64().unwrap(),
        292.27 - 41.0,
        0.05,
    );
    // In the tun's own 122.0 kg calcium chloride makes 33.12 mg/L of calcium, soda 6.68 of sodium; of the sparge liquor 170.3 - 41.0 kg come through
    // as they were. Calcium (122.0 x 101.12 + 129.27 x 68)/251.27, sodium (122.0 x 20.68 + 129.27 x 14)/251.27.
    near(kettle(&plan, "calcium")[0], 84.08, 0.02);
    near(kettle(&plan, "sodium")[0], 17.24, 0.02);
    near(kettle(&plan, "calcium")[1], 84.08 / 0.92, 0.02);
}

#[test]
fn a_boil_of_its_own_length_and_loss() {
    let plan = golden("kettle");
    let number = |key: &str| plan["kettle"][key].as_f64().unwrap();
    // 100 L of boiling water, 0.95835 kg/L (CRC Handbook, from memory), are 95.8 kg of 1085.7: what is left holds 1.0968 times as much.
    near(number("boiled_off_kg"), 95.83, 0.02);
    let [full, boiled] = kettle(&plan, "sulfate");
    near(boiled / full, 1.0968, 1e-4);
    // A fall of 0.20 in an hour, taken on in proportion (the table's boil-ph).
    near(number("boil_hours"), 1.5, 1e-12);
    near(number("ph") - number("ph_boiled"), 0.3, 1e-9);
    let display = plan["kettle"]["display"].as_str().unwrap();
    assert!(display.contains("after 1.5 h of it"), "{display}");
}
