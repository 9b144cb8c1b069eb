//! Readings of a brew day: what they say.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

/// What the readings of a brew day say: a `readings` document in, a `diagnosis` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn check(readings: &str) -> Result<String, String> {
    json::check(readings)
        .map(|diagnosis| diagnosis.to_json())
        .map_err(|error| text(&error))
}
