//! How usual a composition is among natural and potable waters.
//!
//! Logarithms of amounts in equivalents, each with a median and a spread, a Student distribution
//! rather than a normal one because unusual waters are not that rare. Three couplings: hardness
//! goes with alkalinity and sulfate (limestone and gypsum), magnesium with calcium, sodium with
//! chloride (halite). Medians and spreads are in the tables with their source and are not fitted
//! to any set of waters; electroneutrality is weighed apart, in [`super::evidence`].

use underlet_tables::{Parameter, parameters};

use super::figures::Figures;
use crate::component::Component;
use crate::math;

/// Logarithm of the density of a composition, up to a constant. What is not stated is not judged.
pub(super) fn ln_density(figures: &Figures) -> f64 {
    let meq = |ion| figures.meq(ion).map(told_apart);
    let milli = |eq: f64| told_apart(1000.0 * eq);
    let alkalinity = figures.alkalinity().map(milli);
    let hardness = figures.hardness().map(milli);
    let sulfate = meq(Component::Sulfate);
    let rock = alkalinity.map(|alkalinity| alkalinity + sulfate.unwrap_or(0.0));
    let chloride = meq(Component::Chloride);
    [
        (alkalinity, None, parameters::NATURAL_ALKALINITY),
        (hardness, rock, parameters::NATURAL_HARDNESS),
        (
            meq(Component::Magnesium),
            meq(Component::Calcium),
            parameters::NATURAL_MAGNESIUM,
        ),
        (chloride, None, parameters::NATURAL_CHLORIDE),
        (meq(Component::Sodium), chloride, parameters::NATURAL_SODIUM),
        (sulfate, None, parameters::NATURAL_SULFATE),
        (meq(Component::Nitrate), None, parameters::NATURAL_NITRATE),
        (
            meq(Component::Potassium),
            None,
            parameters::NATURAL_POTASSIUM,
        ),
    ]
    .iter()
    .map(|(amount, beside, usual)| term(*amount, *beside, usual))
    .sum()
}

/// An amount, meq/kg, not less than what can be distinguished from nothing.
fn told_apart(meq: f64) -> f64 {
    math::at_least(meq, parameters::NATURAL_FLOOR.value)
}

/// Density of one amount, or of its ratio to another. An amount whose partner is not stated is not
/// judged by a ratio.
fn term(amount: Option<f64>, beside: Option<f64>, usual: &Parameter) -> f64 {
    let coupled = usual.unit == RATIO;
    match (amount, beside) {
        (Some(amount), None) if !coupled => student(amount, usual),
        (Some(amount), Some(beside)) if coupled => student(amount / beside, usual),
        _ => 0.0,
    }
}

/// Unit of a ratio in the table.
const RATIO: &str = "1";

/// Student's density of a logarithm, up to a constant.
fn student(value: f64, usual: &Parameter) -> f64 {
    let freedom = parameters::NATURAL_TAIL.value;
    let z = math::ln(value / usual.value) / usual.sd;
    -(freedom + 1.0) / 2.0 * math::ln(1.0 + z * z / freedom) - math::ln(usual.sd)
}
