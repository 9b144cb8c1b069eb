//! Random brew days as JSON text, so that tests use the entry point that everybody uses, and how
//! many of them are tried.

pub mod dice;
pub mod draft;
pub mod trials;
