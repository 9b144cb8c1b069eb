//! A day cut anywhere and joined by the heel is the same day, and so is a line in two; through the
//! JSON door, error bars and all.

use serde_json::{Value, json};

use super::{day, ledger, well};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// What ten digits of a heel leave over, and differences of nearly equal tanks, each of which
/// integration follows to a ten-millionth of what is dissolved.
const NEAR: f64 = 1e-4;
/// A number that is nothing beside this, in its unit.
const ZERO: f64 = 1e-5;

/// The first place at which two documents differ.
fn difference(one: &Value, other: &Value, path: &str, near: f64) -> Option<String> {
    match (one, other) {
        (Value::Number(_), Value::Number(_)) => {
            let (a, b) = (one.as_f64().unwrap(), other.as_f64().unwrap());
            let far = (a - b).abs() > near * a.abs().max(b.abs()) + ZERO;
            far.then(|| format!("{path}: {a} {b}"))
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => a
            .iter()
            .zip(b)
            .enumerate()
            .find_map(|(place, (a, b))| difference(a, b, &format!("{path}[{place}]"), near)),
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => a
            .iter()
            .filter(|(key, _)| *key != "display")
            .find_map(|(key, a)| difference(a, b.get(key)?, &format!("{path}.{key}"), near)),
        _ if one == other => None,
        _ => Some(format!("{path}: {one} {other}")),
    }
}

fn same(one: &Value, other: &Value, reported: &str) {
    let difference = difference(one, other, "", NEAR);
    assert_eq!(difference, None, "{reported}");
}

/// A supply that was reconciled with a bench: amounts move together.
fn spring() -> Value {
    let amounts = json!([
        {"key": "calcium", "mmol_per_kg": 3.0, "covariance": {"calcium": 0.01}},
        {"key": "magnesium", "mmol_per_kg": 0.6, "covariance": {"calcium": -0.002, "magnesium": 0.004}},
        {"key": "sulfate", "mmol_per_kg": 1.2, "covariance": {"calcium": 0.003, "magnesium": 0.0, "sulfate": 0.006}},
        {"key": "inorganic_carbon", "mmol_per_kg": 5.4, "covariance": {"calcium": 0.01, "magnesium": 0.002, "sulfate": -0.006, "inorganic_carbon": 0.06}}
    ]);
    let remarks = json!([{"code": "report_against_bench", "severity": "warning", "text": "The bench disagrees."}]);
    json!({"name": "spring", "liquor": {"amounts": amounts, "remarks": remarks}, "inlet_temperature": 9})
}

fn supplies() -> [Value; 2] {
    [well(), spring()]
}

/// A day that fits, from cold to cold.
fn lines(dice: &mut Dice) -> Vec<Value> {
    let supply = |dice: &mut Dice| *dice.one_of(&["well", "spring"]);
    let reagent = *dice.one_of(&[
        "gypsum",
        "calcium chloride",
        "lactic acid",
        "hydrochloric acid",
        "baking soda",
    ]);
    vec![
        json!({"work": "fill", "supply": supply(dice), "volume": dice.real(500.0, 800.0)}),
        json!({"work": "dose", "reagent": reagent, "amount": dice.real(0.0, 150.0)}),
        json!({"work": "heat", "temperature": dice.real(65.0, 85.0), "duration": dice.real(1.0, 4.0)}),
        json!({"work": "draw", "volume": dice.real(100.0, 300.0), "to": "mash"}),
        json!({"work": "recover", "supply": supply(dice), "volume": dice.real(100.0, 300.0), "temperature": 70}),
        json!({"work": "hold", "duration": dice.real(1.0, 14.0)}),
        json!({"work": "dose", "reagent": reagent, "amount": dice.real(0.0, 60.0)}),
        json!({"work": "heat", "temperature": 78, "duration": 1}),
        json!({"work": "hold", "duration": dice.real(1.0, 14.0)}),
        json!({"work": "draw", "volume": dice.real(10.0, 100.0), "to": "sparge"}),
    ]
}

#[test]
fn a_random_day_in_two_documents_joined_by_the_heel_is_the_same_day() {
    for seed in 0..trials(6, 12) {
        let lines = lines(&mut Dice::new(seed));
        let whole = ledger(&day(&supplies(), &lines));
        for cut in 1..lines.len() {
            let first = ledger(&day(&supplies(), &lines[..cut]));
            let mut second = day(&supplies(), &lines[cut..]);
            second["heel"] = first["heel"].clone();
            let second = ledger(&second);
            let reported = format!("seed {seed}, cut {cut}");
            for (place, line) in second["lines"].as_array().unwrap().iter().enumerate() {
                same(line, &whole["lines"][cut + place], &reported);
            }
            same(&second["heel"], &whole["heel"], &reported);
        }
    }
}

/// The key by which a line is cut in two.
fn cut_by(line: &Value) -> &'static str {
    match line["work"].as_str() {
        Some("dose") => "amount",
        Some("heat" | "hold") => "duration",
        _ => "volume",
    }
}

#[test]
fn a_random_line_in_two_is_the_same_line() {
    for seed in 0..trials(6, 12) {
        let dice = &mut Dice::new(1000 + seed);
        let lines = lines(dice);
        let whole = ledger(&day(&supplies(), &lines));
        for (place, line) in lines.iter().enumerate() {
            let key = cut_by(line);
            let amount = line[key].as_f64().unwrap();
            let share = dice.real(0.1, 0.9);
            let part = |share: f64| {
                let mut part = line.clone();
                part[key] = json!(share * amount);
                part
            };
            let mut parts = [part(share), part(1.0 - share)];
            if line["work"] == "heat" {
                if place > 2 {
                    // Tanks in which something is off are at other temperatures by then, and their
                    // ramps would have a bend.
                    continue;
                }
                let from_c = whole["lines"][place - 1]["temperature_c"].as_f64().unwrap();
                let to_c = line["temperature"].as_f64().unwrap();
                parts[0]["temperature"] = json!(from_c + share * (to_c - from_c));
            }
            let mut split = lines.clone();
            split.splice(place..=place, parts);
            let split = ledger(&day(&supplies(), &split));
            let reported = format!("seed {seed}, line {place}");
            for key in ["heel", "losses"] {
                let difference = difference(&split[key], &whole[key], "", NEAR);
                assert_eq!(difference, None, "{reported}");
            }
        }
    }
}

#[test]
fn every_liquor_that_is_given_out_is_taken_as_a_supply() {
    let lines = lines(&mut Dice::new(77));
    let answer = ledger(&day(&supplies(), &lines));
    let strike = &answer["lines"][3]["drawn"]["liquor"];
    let tank = json!({"name": "strike", "liquor": strike, "inlet_temperature": 70});
    let fill = json!({"work": "fill", "supply": "strike", "volume": "2 hL"});
    let draw = json!({"work": "draw", "volume": "1 hL", "to": "mash"});
    let again = ledger(&day(&[tank], &[fill, draw]));
    // Remarks are then remarks on the strike liquor.
    same(
        &again["lines"][1]["drawn"]["liquor"]["amounts"],
        &strike["amounts"],
        "strike",
    );
}
