//! Brew days: what is planned.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

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
