//! Fits of ions alone, without a mash.

use underlet::json;
use wasm_bindgen::prelude::wasm_bindgen;

use super::text;

/// Fits ions: an `ion-fit` document in, a `fitted-ions` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen(js_name = fitIons)]
pub fn fit_ions(fit: &str) -> Result<String, String> {
    json::fit_ions(fit)
        .map(|fitted| fitted.to_json())
        .map_err(|error| text(&error))
}
