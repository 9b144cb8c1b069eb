//! Brew days: what is planned, and what a page offers for it.

use underlet::brewday::EXAMPLES;
use underlet::error::Code;
use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{meanings, text};

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

/// The names a page offers: malts, reagents, ions and watched limits.
#[wasm_bindgen]
pub fn names() -> String {
    json::names()
}
