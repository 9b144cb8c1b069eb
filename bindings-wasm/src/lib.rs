//! Underlet for JavaScript and browsers: text in, text out. No chemistry and no decision is made here.
//!
//! Each function hands its text to [`underlet::json`]. What the core refuses is thrown as the text of its
//! `input-error` document; the JavaScript around this module turns that into an `InputError`.
//!
//! The package holds several libraries made of this crate, each a feature: who only plans does not load what looks at reports,
//! readings or tanks or prints, who only fits ions does not load a mash.

use underlet::error::InputError;
use wasm_bindgen::prelude::wasm_bindgen;

#[cfg(feature = "check")]
mod check;
#[cfg(feature = "fit")]
mod fit;
#[cfg(feature = "planning")]
mod planning;
#[cfg(feature = "sheet")]
mod sheet;
#[cfg(feature = "tank")]
mod tank;
#[cfg(feature = "water")]
mod water;

#[cfg(feature = "check")]
pub use check::*;
#[cfg(feature = "fit")]
pub use fit::*;
#[cfg(feature = "planning")]
pub use planning::*;
#[cfg(feature = "sheet")]
pub use sheet::*;
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
