//! Days of the liquor tank: their ledgers.

use underlet::brewday::tank::TankFindingCode;
use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::{meanings, text};

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

/// Every code of what to watch in a tank with its meaning: an object from code to one line.
#[wasm_bindgen(js_name = tankFindingCodes)]
pub fn tank_finding_codes() -> String {
    meanings(
        TankFindingCode::ALL
            .iter()
            .map(|code| (code.as_str(), code.meaning())),
    )
}
