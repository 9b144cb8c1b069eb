//! Plans on paper.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

/// The printable sheet of a plan: a `plan` document in, HTML out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn sheet(plan: &str) -> Result<String, String> {
    json::sheet(plan).map_err(|error| text(&error))
}
