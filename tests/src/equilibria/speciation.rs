//! A water told by two of pH, alkalinity, carbon and partial pressure of carbon dioxide.

use super::node::Node;
use super::results::Results;
use super::{Outcome, Score, Water};

pub fn compare(score: &mut Score, id: &str, case: &Node) -> Outcome<()> {
    let expected = case.need("out")?;
    let state = Water::read(&case.need("in")?)?.settled()?;
    Ok(Results::of(&state).compare(score, id, &expected)?)
}
