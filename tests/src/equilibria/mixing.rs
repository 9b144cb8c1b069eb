//! Two waters mixed closed.

use underlet::aqueous::Aqueous;
use underlet::liquor::Liquor;

use super::node::Node;
use super::results::Results;
use super::{Outcome, Score, Water};

pub fn compare(score: &mut Score, id: &str, reference: &Node) -> Outcome<()> {
    let expected = reference.need("out")?;
    let fraction = reference.need("fraction_a")?;
    let temperature_c = reference.need("temp_mix_c")?.number()?;
    let one = Water::read(&reference.need("a")?)?.equilibrium()?;
    let other = Water::read(&reference.need("b")?)?.equilibrium()?;
    let share = fraction.amount()?;
    if share > 1.0 {
        return Err(fraction.complaint("0 to 1").into());
    }
    let mixed = Liquor::blend(&[(share, &one.liquor), (1.0 - share, &other.liquor)])
        .ok_or_else(|| fraction.complaint("0 to 1"))?;
    let state = Aqueous::at(temperature_c).closed(&mixed)?;
    Ok(Results::of(&state).compare(score, id, &expected)?)
}
