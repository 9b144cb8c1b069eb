//! Random brew days as JSON text, so that tests enter by the door that everybody uses, and how many of them are tried.

pub mod dice;
pub mod draft;
#[path = "../../../tests/src/trials.rs"]
pub mod trials;
