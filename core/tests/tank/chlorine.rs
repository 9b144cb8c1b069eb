//! Chlorine through the tank: sums by hand, what a brew day reports, and that nothing is lost but
//! to what is dosed against it.

use serde_json::{Value, json};
use underlet::json;

use super::{day, dose, fill, heat, ledger, well};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// The well with 0.4 mg/L of free chlorine and 0.6 mg/L of chloramine.
fn chlorinated() -> Value {
    let mut well = well();
    well["free_chlorine"] = json!("0.4 mg/L");
    well["total_chlorine"] = json!("1.0 mg/L");
    well
}

fn draw(volume: &str) -> Value {
    json!({"work": "draw", "volume": volume, "to": "mash", "label": "strike"})
}

/// Free and total of a line or draw, mg/L.
fn read(of: &Value) -> [f64; 2] {
    ["free_mg_per_l", "total_mg_per_l"].map(|key| of["chlorine"][key].as_f64().unwrap_or(0.0))
}

fn near(found: f64, expected: f64) {
    let off = (found - expected).abs();
    assert!(off <= 1e-3 * expected.abs(), "{found}, not {expected}");
}

fn finding(ledger: &Value) -> Value {
    let findings = ledger["findings"].as_array().unwrap();
    let reported = |finding: &&Value| finding["code"] == "chlorine_drawn";
    findings
        .iter()
        .find(reported)
        .cloned()
        .unwrap_or(Value::Null)
}

#[test]
fn sulfite_takes_both_kinds_alike_and_heat_takes_none() {
    // 1000 L at 12 °C are 999.50 kg. 1 mg/L at 20 °C is 1/0.99820 = 1.00180 mg/kg: 1001.30 mg of
    // chlorine. 0.5 g of 96 % sodium metabisulfite are 0.48 g, which take 480/1.3406 = 358.05
    // mg (195 of the reaction in core/tests/treatment/chlorine.rs). 643.25 mg stay, 0.64242 mg/L,
    // four tenths of it free, through the heating as before (steam, 1e-3 of the water, makes it
    // that much stronger).
    let lines = [
        fill("10 hL"),
        dose("sodium metabisulfite", "0.5 g"),
        heat(78.0, 3.0),
        draw("4 hL"),
    ];
    let answer = ledger(&day(&[chlorinated()], &lines));
    let lines = answer["lines"].as_array().unwrap();
    let [free, total] = read(&lines[0]);
    near(free, 0.4);
    near(total, 1.0);
    for line in [&lines[1], &lines[2], &lines[3]["drawn"]] {
        let [free, total] = read(line);
        assert!((total - 0.642_42).abs() < 2e-3, "{total}");
        near(free, 0.4 * total);
    }
    let finding = finding(&answer);
    assert_eq!(finding["line"], 3);
    assert_eq!(
        finding["numbers"][0]["value"],
        lines[3]["drawn"]["chlorine"]["total_mg_per_l"]
    );
    assert!(finding["source"].as_str().unwrap().contains("WHO"));
    assert!(finding["caution"].as_str().unwrap().contains("asthma"));
    // Sulfate: 358.05 mg of Cl2 over 70.90 g/mol are 5.0501 mmol in 999.5 kg, 0.0050526 mmol/kg,
    // 0.4845 mg/L at 20 °C.
    let sulfate = |line: &Value| {
        let amounts = line["composition"].as_array().unwrap();
        let sulfate = amounts.iter().find(|amount| amount["key"] == "sulfate");
        sulfate.unwrap()["value"].as_f64().unwrap()
    };
    let made = sulfate(&lines[1]) - sulfate(&lines[0]);
    assert!((made - 0.4845).abs() < 1e-3, "{made}");
}

#[test]
fn enough_sulfite_takes_all_and_what_is_over_meets_the_next_filling() {
    // 2 g of 96 % take 1432.2 mg: all 1001.3 mg of the first filling and 430.9 of the 500.65 mg of
    // the next 500 L; 69.7 mg in 1499.3 kg stay.
    let mut lines = vec![
        fill("10 hL"),
        dose("sodium metabisulfite", "2 g"),
        draw("1 L"),
    ];
    let answer = ledger(&day(&[chlorinated()], &lines));
    assert_eq!(answer["lines"][2]["drawn"]["chlorine"], Value::Null);
    assert_eq!(finding(&answer), Value::Null);
    lines.remove(2);
    lines.push(fill("150 L"));
    let answer = ledger(&day(&[chlorinated()], &lines));
    assert_eq!(answer["lines"][2]["chlorine"], Value::Null);
    // 1 g takes 716.1 of the 1001.3 mg; with 150.2 mg more 435.4 mg in 1149.4 kg, 0.37812 mg/L.
    lines[1] = dose("sodium metabisulfite", "1 g");
    let answer = ledger(&day(&[chlorinated()], &lines));
    near(read(&answer["lines"][2])[1], 0.378_12);
}

#[test]
fn ascorbic_acid_takes_the_free_alone() {
    // 0.4 mg/L free ask for 400.5 mg x 2.4841 = 0.995 g; 2 g are more than that. Chloramine stays,
    // for with it ascorbic acid is too slow.
    let lines = [fill("10 hL"), dose("ascorbic acid", "2 g"), draw("1 hL")];
    let answer = ledger(&day(&[chlorinated()], &lines));
    let [free, total] = read(&answer["lines"][2]["drawn"]);
    assert!(free.abs() < 1e-12, "{free}");
    near(total, 0.6);
}

#[test]
fn a_brew_day_that_takes_the_draw_says_so() {
    let answer = ledger(&day(&[chlorinated()], &[fill("5 hL"), draw("4 hL")]));
    let drawn = &answer["lines"][1]["drawn"];
    let mut brew = json!({
        "underlet": 1, "name": "Ebb", "sources": [{"name": "tank", "liquor": drawn["liquor"]}],
        "grist": [{"malt": "pale ale malt", "mass": "100 kg"}],
        "mash": {"liquor": "3 hL", "liquor_temperature": "72 °C", "rest_temperature": "66 °C"}
    });
    let cautions = |brew: &Value| -> Vec<(String, String)> {
        let plan = json::plan(&brew.to_string()).unwrap_or_else(|error| panic!("{error}"));
        let cautions = plan.cautions.into_iter();
        cautions
            .map(|caution| (caution.code.to_string(), caution.text))
            .collect()
    };
    let reported = cautions(&brew);
    assert!(
        reported
            .iter()
            .any(|(_, text)| text.contains("1 mg/L of chlorine")),
        "{reported:?}"
    );
    for (key, from) in [
        ("free_chlorine", "free_mg_per_l"),
        ("total_chlorine", "total_mg_per_l"),
    ] {
        brew["sources"][0][key] = drawn["chlorine"][from].clone();
    }
    assert!(
        cautions(&brew)
            .iter()
            .any(|(code, _)| code == "chlorine_left")
    );
}

/// A day with chlorine that fits, with too little and too much against it.
fn lines(dice: &mut Dice) -> Vec<Value> {
    let grams = |dice: &mut Dice, reagent: &str| json!({"work": "dose", "reagent": reagent, "amount": dice.real(0.0, 1.0)});
    vec![
        json!({"work": "fill", "supply": "well", "volume": dice.real(500.0, 800.0)}),
        grams(dice, "sodium metabisulfite"),
        json!({"work": "draw", "volume": dice.real(50.0, 300.0), "to": "mash"}),
        json!({"work": "recover", "supply": "well", "volume": dice.real(100.0, 300.0), "temperature": 70}),
        grams(dice, "potassium metabisulfite"),
        json!({"work": "hold", "duration": dice.real(0.0, 6.0)}),
        json!({"work": "draw", "volume": dice.real(10.0, 100.0), "to": "sparge"}),
    ]
}

/// Chlorine and what it has become, mmol: Cl2 in the tank and in draws, and the sulfate above what
/// comes of the well.
#[test]
fn chlorine_is_kept_but_for_dosing() {
    for seed in 0..60 {
        let lines = lines(&mut Dice::new(seed));
        let bare = ledger(&day(&[well()], &lines));
        let answer = ledger(&day(&[chlorinated()], &lines));
        let grams = |heel: &Value| {
            let gram = |key: &str| heel[key].as_f64().unwrap();
            gram("free_chlorine_g") + gram("combined_chlorine_g")
        };
        let mut came = 0.0;
        for line in &lines {
            // 1 mg/L at 20 °C, by the density of cold or of recovered water (12 and 70 °C).
            let kg_per_l = match line["work"].as_str() {
                Some("fill") => 0.999_50,
                Some("recover") => 0.977_76,
                _ => continue,
            };
            came += line["volume"].as_f64().unwrap() * kg_per_l / 0.998_20 / 1000.0;
        }
        let mut left = grams(&answer["heel"]);
        let mut sulfate_mmol = 0.0;
        let amount = |liquor: &Value| {
            let amounts = liquor["amounts"].as_array().unwrap();
            let sulfate = amounts.iter().find(|amount| amount["key"] == "sulfate");
            sulfate.unwrap()["mmol_per_kg"].as_f64().unwrap()
        };
        let places = answer["lines"].as_array().unwrap().iter();
        for (line, bare) in places.zip(bare["lines"].as_array().unwrap()) {
            if line["drawn"].is_null() {
                continue;
            }
            let kg = line["drawn"]["water_kg"].as_f64().unwrap();
            left += read(&line["drawn"])[1] * kg / 0.998_20 / 1000.0;
            let more = amount(&line["drawn"]["liquor"]) - amount(&bare["drawn"]["liquor"]);
            sulfate_mmol += more * kg;
        }
        let heel_kg = answer["heel"]["water_kg"].as_f64().unwrap();
        let more = amount(&answer["heel"]["liquor"]) - amount(&bare["heel"]["liquor"]);
        sulfate_mmol += more * heel_kg;
        // A mol of chlorine makes one of sulfate.
        let reacted = sulfate_mmol / 1000.0 * 70.90;
        assert!(
            (came - left - reacted).abs() < 1e-3 * came,
            "{seed}: {came} {left} {reacted}"
        );
    }
}

#[test]
fn a_random_line_in_two_leaves_the_same_chlorine() {
    for seed in 0..trials(5, 20) {
        let dice = &mut Dice::new(100 + seed);
        let lines = lines(dice);
        let heel = |lines: &[Value]| {
            let heel = ledger(&day(&[chlorinated()], lines))["heel"].clone();
            ["free_chlorine_g", "combined_chlorine_g"].map(|key| heel[key].as_f64().unwrap())
        };
        let whole = heel(&lines);
        for (place, line) in lines.iter().enumerate() {
            let key = ["volume", "amount", "duration"]
                .into_iter()
                .find(|key| !line[*key].is_null())
                .unwrap();
            let share = dice.real(0.1, 0.9);
            let part = |share: f64| {
                let mut part = line.clone();
                part[key] = json!(share * line[key].as_f64().unwrap());
                part
            };
            let mut split = lines.clone();
            split.splice(place..=place, [part(share), part(1.0 - share)]);
            for (one, other) in whole.into_iter().zip(heel(&split)) {
                assert!((one - other).abs() < 1e-9, "{seed}, {place}: {one} {other}");
            }
        }
        for cut in 1..lines.len() {
            let mut second = day(&[chlorinated()], &lines[cut..]);
            second["heel"] = ledger(&day(&[chlorinated()], &lines[..cut]))["heel"].clone();
            let second = ledger(&second);
            for (key, whole) in ["free_chlorine_g", "combined_chlorine_g"]
                .into_iter()
                .zip(whole)
            {
                let heel = second["heel"][key].as_f64().unwrap();
                assert!((heel - whole).abs() < 1e-9, "{seed}, {cut}: {heel} {whole}");
            }
        }
    }
}
