//! How long a day of the tank takes from its text to its ledger.

use divan::{Bencher, black_box};
use serde_json::{Value, json};
use underlet::json;

const NIGHT: &str = include_str!("../../tests/cases/tank-day/night.json");
const THREE_BREWS: &str = include_str!("../../tests/cases/tank-day/three-brews.json");

fn of_case(text: &str) -> String {
    let case: Value = serde_json::from_str(text).expect("a case");
    case["document"].to_string()
}

/// Water softened by lime, that takes carbon dioxide up from the air while it drops scale: the slowest to follow.
fn soft() -> String {
    let lines = json!([
        {"work": "fill", "supply": "soft", "volume": "10 hL"},
        {"work": "heat", "temperature": 78, "hours": 3},
        {"work": "hold", "hours": 9},
        {"work": "draw", "volume": "4 hL", "to": "mash"}
    ]);
    let soft = json!({"name": "soft", "calcium": "32 mg/L", "chloride": 48, "alkalinity": "12 mg/L as CaCO3", "ph": 9.6,
        "temperature": 12});
    json!({"underlet": 1, "name": "soft", "tank": {"capacity": "12 hL"}, "supplies": [soft], "lines": lines}).to_string()
}

fn run(bencher: Bencher, day: &str) {
    bencher.bench(|| json::tank(black_box(day)).expect("a ledger").to_json());
}

#[divan::bench]
fn night_on_hard_water(bencher: Bencher) {
    run(bencher, &of_case(NIGHT));
}

#[divan::bench]
fn three_brews(bencher: Bencher) {
    run(bencher, &of_case(THREE_BREWS));
}

#[divan::bench]
fn soft_water_that_scales(bencher: Bencher) {
    run(bencher, &soft());
}

fn main() {
    divan::main();
}
