//! Underlet: brewhouse water chemistry.
#![forbid(unsafe_code)]

pub mod error;
pub mod fit;
