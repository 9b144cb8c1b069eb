//! Underlet for JavaScript and browsers: text in, text out. No chemistry and no decision is made here.
//!
//! Each function hands its text to [`underlet::json`]. What the core refuses is thrown as the text of its
//! `input-error` document; the JavaScript around this module turns that into an `InputError`.
//!
//! The package holds libraries made of this crate, each a feature: who only plans does not load what looks at reports or tanks.

use underlet::error::InputError;
use wasm_bindgen::prelude::wasm_bindgen;

#[cfg(feature = "planning")]
mod planning;
#[cfg(feature = "tank")]
mod tank;
#[cfg(feature = "water")]
mod water;

#[cfg(feature = "planning")]
pub use planning::*;
#[cfg(feature = "tank")]
pub use tank::*;
#[cfg(feature = "water")]
pub use water::*;

/// The engine's version.
#[wasm_bindgen]
pub fn version() -> String {
    env!("CARGO_PKG_VERSION").to_owned()
}

/// The `input-error` document of what the core refused: texts only, so that writing it cannot fail.
fn text(error: &InputError) -> String {
    serde_json::to_string(error).unwrap_or_default()
}

/// An object from code to one line.
fn meanings(codes: impl Iterator<Item = (&'static str, &'static str)>) -> String {
    let lines: Vec<String> = codes
        .map(|(code, meaning)| {
            let meaning = serde_json::to_string(meaning).unwrap_or_default();
            format!("\"{code}\":{meaning}")
        })
        .collect();
    format!("{{{}}}", lines.join(","))
}
