//! Water reports: what is said about them.

use underlet::json;
use underlet::report::FindingCode;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{meanings, text};

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

/// Every code of a finding with its meaning: an object from code to one line.
#[wasm_bindgen(js_name = findingCodes)]
pub fn finding_codes() -> String {
    meanings(
        FindingCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.meaning())),
    )
}
