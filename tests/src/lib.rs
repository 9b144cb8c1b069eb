//! What the tests that cross parts share, and the Rust examples of the READMEs, run as doc tests.

/// The READMEs, for their examples alone.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
#[doc = include_str!("../../core/README.md")]
#[doc = include_str!("../../reference-tables/README.md")]
pub struct Readmes;

pub mod cases;
pub mod corrected_days;
pub mod dice;
pub mod equilibria;
pub mod faulty_days;
pub mod fits;
pub mod judged;
pub mod mashes;
pub mod reconciliation;
pub mod report_mistakes;
pub mod soundness;
#[path = "../../core/tests/common/trials.rs"]
pub mod trials;
pub mod waters;
pub mod wording;
