//! Water reports: every notation and back, findings, worked examples.

#[path = "notation.rs"]
mod notation;
