//! Prints what the core has to say that needs no reckoning, from which the JavaScript package's constants are made: built-in days, names, and
//! meanings of codes, in the order of the core.

use std::collections::BTreeMap;

use underlet::brewday::EXAMPLES;
use underlet::brewday::tank::TankFindingCode;
use underlet::error::Code;
use underlet::report::FindingCode;

fn main() {
    let days: Vec<String> = EXAMPLES
        .iter()
        .map(|(key, day)| format!("\"{key}\":{day}"))
        .collect();
    let errors = Code::ALL.iter().map(|code| (code.as_str(), code.meaning()));
    let findings = FindingCode::ALL
        .iter()
        .map(|code| (code.as_str(), code.meaning()));
    let watched = TankFindingCode::ALL
        .iter()
        .map(|code| (code.as_str(), code.meaning()));
    println!(
        r#"{{"EXAMPLES":{{{}}},"NAMES":{},"ERROR_CODES":{},"FINDING_CODES":{},"TANK_FINDING_CODES":{}}}"#,
        days.join(","),
        underlet::json::names(),
        meanings(errors),
        meanings(findings),
        meanings(watched)
    );
}

fn meanings<'a>(codes: impl Iterator<Item = (&'a str, &'a str)>) -> String {
    let meanings: BTreeMap<&str, &str> = codes.collect();
    serde_json::to_string(&meanings).expect("texts")
}
