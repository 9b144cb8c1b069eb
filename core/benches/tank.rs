//! How long a day of the tank takes from its text to its ledger.

use std::collections::BTreeMap;

use divan::{Bencher, black_box};
use serde_json::{Value, json};
use underlet::json;

/// Hard well water heated and held overnight. Its amounts (mmol/kg) come with variances, as those
/// of a reconciled water do, so that the ledger follows a cause for each.
fn night() -> Value {
    let amounts = [
        ("calcium", 2.75, 0.01),
        ("magnesium", 0.5, 0.001),
        ("sodium", 0.7, 0.001),
        ("chloride", 1.0, 0.001),
        ("sulfate", 0.5, 0.0004),
        ("inorganic_carbon", 5.826_057_690_665_507, 0.02),
    ];
    let amount = |(place, (key, mmol_per_kg, variance)): (usize, &(&str, f64, f64))| {
        let before = amounts.iter().take(place).map(|(other, ..)| (*other, 0.0));
        let covariance: BTreeMap<&str, f64> = before.chain([(*key, *variance)]).collect();
        json!({"key": key, "mmol_per_kg": mmol_per_kg, "covariance": covariance})
    };
    let amounts: Vec<Value> = amounts.iter().enumerate().map(amount).collect();
    json!({
        "underlet": 1,
        "name": "night",
        "tank": {
            "capacity": "12 hL",
            "dead_volume": "60 L",
            "rates": {"evaporation": 0, "evaporation_sd": 0},
        },
        "supplies": [{
            "name": "well",
            "liquor": {"amounts": amounts, "remarks": []},
            "inlet_temperature": 12,
        }],
        "lines": [
            {"work": "fill", "supply": "well", "volume": "10 hL"},
            {"work": "heat", "temperature": 78, "duration": 3},
            {"work": "hold", "duration": 9},
            {"work": "draw", "volume": "4 hL", "to": "mash"},
            {"work": "draw", "volume": "5 hL", "to": "sparge"},
        ],
    })
}

/// Three brews back to back, topped up with cooling water from the wort.
fn three_brews() -> Value {
    json!({
        "underlet": 1,
        "name": "three brews",
        "tank": {"capacity": "12 hL", "dead_volume": "60 L", "surface": "shut"},
        "supplies": [{
            "name": "main",
            "calcium": "0.3 mmol/L",
            "sodium": "0.4 mmol/L",
            "chloride": "0.4 mmol/L",
            "sulfate": "0.1 mmol/L",
            "alkalinity": "0.4 mmol/L",
            "ph": 7.6,
            "inlet_temperature": 12,
        }],
        "lines": [
            {"work": "fill", "supply": "main", "volume": "10 hL"},
            {"work": "dose", "reagent": "potassium chloride", "amount": "50 g"},
            {"work": "heat", "temperature": 78, "duration": 3},
            {"work": "draw", "volume": "4 hL", "to": "mash"},
            {"work": "draw", "volume": "5 hL", "to": "sparge"},
            {"work": "recover", "supply": "main", "volume": "6 hL", "temperature": 70},
            {"work": "fill", "supply": "main", "volume": "2.5 hL"},
            {"work": "dose", "reagent": "potassium chloride", "amount": "42 g"},
            {"work": "heat", "temperature": 78, "duration": 1},
            {"work": "draw", "volume": "4 hL", "to": "mash"},
            {"work": "draw", "volume": "4.5 hL", "to": "sparge"},
            {"work": "recover", "supply": "main", "volume": "6.5 hL", "temperature": 70},
            {"work": "fill", "supply": "main", "volume": "2.8 hL"},
        ],
    })
}

/// Water softened by lime, that takes carbon dioxide up from the air while it drops scale: the
/// slowest to follow.
fn soft() -> Value {
    json!({
        "underlet": 1,
        "name": "soft",
        "tank": {"capacity": "12 hL"},
        "supplies": [{
            "name": "soft",
            "calcium": "32 mg/L",
            "chloride": 48,
            "alkalinity": "12 mg/L as CaCO3",
            "ph": 9.6,
            "inlet_temperature": 12,
        }],
        "lines": [
            {"work": "fill", "supply": "soft", "volume": "10 hL"},
            {"work": "heat", "temperature": 78, "duration": 3},
            {"work": "hold", "duration": 9},
            {"work": "draw", "volume": "4 hL", "to": "mash"},
        ],
    })
}

fn run(bencher: Bencher, day: &Value) {
    let text = day.to_string();
    bencher.bench(|| json::tank(black_box(&text)).expect("a ledger").to_json());
}

#[divan::bench]
fn night_on_hard_water(bencher: Bencher) {
    run(bencher, &night());
}

#[divan::bench]
fn three_brews_from_one_tank(bencher: Bencher) {
    run(bencher, &three_brews());
}

#[divan::bench]
fn soft_water_that_scales(bencher: Bencher) {
    run(bencher, &soft());
}

fn main() {
    divan::main();
}
