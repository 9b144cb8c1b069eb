//! Two waters mixed closed.

use underlet::aqueous::Aqueous;
use underlet::liquor::Liquor;

use super::node::Node;
use super::results::Results;
use super::{Outcome, Score, Water};

pub fn compare(score: &mut Score, id: &str, case: &Node) -> Outcome<()> {
    let expected = case.need("out")?;
    let fraction = case.need("fraction_a")?;
    let temperature_c = case.need("temp_mix_c")?.number()?;
    let one = Water::read(&case.need("a")?)?.settled()?;
    let other = Water::read(&case.need("b")?)?.settled()?;
    let share = fraction.amount()?;
    if share > 1.0 {
        return Err(fraction.complaint("0 to 1").into());
    }
    let mixed = Liquor::mix(&[(share, &one.liquor), (1.0 - share, &other.liquor)])
        .ok_or_else(|| fraction.complaint("0 to 1"))?;
    let state = Aqueous::at(temperature_c).closed(&mixed)?;
    Ok(Results::of(&state).compare(score, id, &expected)?)
}
