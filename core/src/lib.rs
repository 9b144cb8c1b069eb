//! Underlet: brewhouse water chemistry.
#![forbid(unsafe_code)]

pub mod error;
pub mod json;
pub mod math;
pub mod quantity;
