//! Water reports: what is said about them.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

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
