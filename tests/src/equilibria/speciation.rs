//! A water given by two of pH, alkalinity, carbon and partial pressure of carbon dioxide.

use super::node::Node;
use super::results::Results;
use super::{Outcome, Score, Water};

pub fn compare(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let expected = reference.need("out")?;
    let state = Water::read(&reference.need("in")?)?.equilibrium()?;
    Ok(Results::of(&state).compare(score, id, &expected)?)
}
