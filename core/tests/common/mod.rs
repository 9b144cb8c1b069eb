//! Random brew days as JSON text, so that tests enter by the door that everybody uses.

pub mod dice;
pub mod draft;
