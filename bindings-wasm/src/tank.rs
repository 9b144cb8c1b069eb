//! Days of the liquor tank: their ledgers.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

/// Works a day of the liquor tank through: a `tank-day` document in, a `tank-ledger` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn tank(day: &str) -> Result<String, String> {
    json::tank(day)
        .map(|ledger| ledger.to_json())
        .map_err(|error| text(&error))
}
