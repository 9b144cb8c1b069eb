//! Days of the liquor tank through the JSON door: what is refused and how, what is watched, and
//! that a cut changes nothing.

mod chlorine;
mod documents;
mod laws;
mod watch;

use serde_json::{Value, json};
use underlet::json;

/// The hard well of Ninefold Quay (invented), as a report has it.
fn well() -> Value {
    json!({
        "name": "well", "calcium": "110 mg/L", "magnesium": 12, "sodium": 16, "chloride": 35, "sulfate": 48,
        "alkalinity": "265 mg/L as CaCO3", "ph": 7.3, "inlet_temperature": "12 °C"
    })
}

/// A day with a tank of 12 hL and 60 L below the outlet.
fn day(supplies: &[Value], lines: &[Value]) -> Value {
    json!({
        "underlet": 1, "name": "Monday",
        "tank": {"name": "hot-liquor tank", "capacity": "12 hL", "dead_volume": "60 L"},
        "supplies": supplies, "lines": lines
    })
}

/// The ledger of a day that can be.
fn ledger(day: &Value) -> Value {
    let ledger = json::tank(&day.to_string()).unwrap_or_else(|error| panic!("{error}"));
    serde_json::from_str(&ledger.to_json()).expect("what the engine writes is JSON")
}

/// Code and path of every problem.
fn reported(day: &Value) -> Vec<(String, String)> {
    let error = json::tank(&day.to_string()).expect_err("refused");
    let reported = error.problems.into_iter();
    reported
        .map(|problem| (problem.code.to_string(), problem.path))
        .collect()
}

fn fill(volume: &str) -> Value {
    json!({"work": "fill", "supply": "well", "volume": volume})
}

fn dose(reagent: &str, amount: &str) -> Value {
    json!({"work": "dose", "reagent": reagent, "amount": amount})
}

fn heat(temperature: f64, hours: f64) -> Value {
    json!({"work": "heat", "temperature": temperature, "duration": hours})
}
