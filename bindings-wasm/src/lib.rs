//! Underlet for JavaScript and browsers: text in, text out. No chemistry and no decision is made here.
//!
//! Each function hands its text to [`underlet::json`]. What the core refuses is thrown as the text of its
//! `input-error` document; the JavaScript around this module turns that into an `InputError`.

use std::collections::BTreeMap;

use underlet::brewday::EXAMPLES;
use underlet::error::{Code, InputError};
use underlet::json;
use underlet::report::FindingCode;
use wasm_bindgen::prelude::wasm_bindgen;

/// Plans a brew day: a `brew-day` document in, a `plan` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn plan(day: &str) -> Result<String, String> {
    json::plan(day)
        .map(|plan| plan.to_json())
        .map_err(|error| text(&error))
}

/// The printable sheet of a brew day: a `brew-day` document in, HTML out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn sheet(day: &str) -> Result<String, String> {
    json::plan(day)
        .map(|plan| plan.to_sheet())
        .map_err(|error| text(&error))
}

/// What is said about a water report: a `water-report` document in, a `water` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn water(report: &str) -> Result<String, String> {
    json::water(report)
        .map(|water| water.to_json())
        .map_err(|error| text(&error))
}

/// The built-in brew days: an object from key to `brew-day` document.
#[wasm_bindgen]
pub fn examples() -> String {
    let days: Vec<String> = EXAMPLES
        .iter()
        .map(|(key, day)| format!("\"{key}\":{day}"))
        .collect();
    format!("{{{}}}", days.join(","))
}

/// Every error code with its meaning: an object from code to one line.
#[wasm_bindgen(js_name = errorCodes)]
pub fn error_codes() -> String {
    meanings(Code::ALL.iter().map(|code| (code.as_str(), code.meaning())))
}

/// Every code of a finding with its meaning: an object from code to one line.
#[wasm_bindgen(js_name = findingCodes)]
pub fn finding_codes() -> String {
    meanings(
        FindingCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.meaning())),
    )
}

fn meanings(codes: impl Iterator<Item = (&'static str, &'static str)>) -> String {
    let codes: BTreeMap<&str, &str> = codes.collect();
    // Texts only, so that writing them cannot fail.
    serde_json::to_string(&codes).unwrap_or_default()
}

/// The names a page offers: malts, reagents, ions and watched limits.
#[wasm_bindgen]
pub fn names() -> String {
    json::names()
}

/// The engine's version.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// The `input-error` document of what the core refused: texts only, so that writing it cannot fail.
fn text(error: &InputError) -> String {
    serde_json::to_string(error).unwrap_or_default()
}
