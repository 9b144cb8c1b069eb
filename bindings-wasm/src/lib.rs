//! Underlet for JavaScript and browsers: text in, text out. No chemistry and no decision is made
//! here.
//!
//! Each function hands its text to [`underlet::json`]. What the core refuses is thrown as the text
//! of its `input-error` document; the JavaScript around this module turns that into an
//! `InputError`.

use std::str::FromStr;

use underlet::error::InputError;
use underlet::{DocumentKind, json};
use wasm_bindgen::prelude::wasm_bindgen;

/// Plans a brew day: a `brew-day` document in, a `plan` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn plan(day: &str) -> Result<String, String> {
    answer(json::plan(day), |plan| plan.to_json())
}

/// The printable sheet of a plan: a `plan` document in, HTML out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen(js_name = renderSheet)]
pub fn render_sheet(plan: &str) -> Result<String, String> {
    answer(json::render_sheet(plan), |sheet| sheet)
}

/// What is said about a water report: a `water-report` document in, a `water` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn water(report: &str) -> Result<String, String> {
    answer(json::water(report), |water| water.to_json())
}

/// What the readings of a brew day say: a `readings` document in, a `diagnosis` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn diagnose(readings: &str) -> Result<String, String> {
    answer(json::diagnose(readings), |diagnosis| diagnosis.to_json())
}

/// Works a day of the liquor tank through: a `tank-day` document in, a `tank-ledger` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn tank(day: &str) -> Result<String, String> {
    answer(json::tank(day), |ledger| ledger.to_json())
}

/// Fits ions alone: an `ion-fit` document in, a `fitted-ions` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen(js_name = fitIons)]
pub fn fit_ions(fit: &str) -> Result<String, String> {
    answer(json::fit_ions(fit), |fitted| fitted.to_json())
}

/// The equilibrium of one water: what is known of it in, an `equilibrium` document out.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn equilibrium(water: &str) -> Result<String, String> {
    answer(json::equilibrium(water), |state| state.to_json())
}

/// Targets to begin with for a family of beers, each with its reason and sources, as a JSON object.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen(js_name = targetsFor)]
pub fn targets_for(family: &str) -> Result<String, String> {
    answer(underlet::targets_for(family), |targets| targets.to_json())
}

/// The built-in brew days by key, as a JSON object.
#[wasm_bindgen]
pub fn examples() -> String {
    json::examples()
}

/// Names of ions, malts, reagents, vessels and watched limits, as a JSON object.
#[wasm_bindgen]
pub fn names() -> String {
    json::names()
}

/// Checks a document of a kind without computing anything.
///
/// # Errors
/// The text of an `input-error` document.
#[wasm_bindgen]
pub fn validate(kind: &str, document: &str) -> Result<(), String> {
    let kind = DocumentKind::from_str(kind).map_err(InputError::from);
    let checked = kind.and_then(|kind| json::validate(kind, document));
    checked.map_err(|error| error.to_json())
}

/// Every list of codes and keys by its name, each with what it means, as a JSON object.
#[wasm_bindgen]
pub fn codes() -> String {
    json::codes()
}

/// The engine's version.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// The text of an answer, or of the `input-error` document.
fn answer<T>(
    answered: Result<T, InputError>,
    write: impl FnOnce(T) -> String,
) -> Result<String, String> {
    answered.map(write).map_err(|error| error.to_json())
}
