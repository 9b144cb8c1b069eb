//! What the tests that cross parts share, and the README's Rust examples, run as doc tests.

/// The README, for its examples alone.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
pub struct Readme;

pub mod cases;
pub mod dice;
pub mod equilibria;
pub mod faulty_days;
pub mod fits;
pub mod mashes;
pub mod reconciliation;
pub mod report_mistakes;
pub mod soundness;
#[path = "../../core/tests/common/trials.rs"]
pub mod trials;
pub mod waters;
