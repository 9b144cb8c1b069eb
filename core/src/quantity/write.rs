//! Canonical numbers as people read them: the unit that suits the size, three or four significant
//! digits.

use super::number::decimal;
use super::{Amount, Dimension, Quantity, Range, Strength, Substance};

/// Units to choose from, largest first: the size of one in the canonical unit, and its name.
type Ladder = &'static [(f64, &'static str)];

const VOLUMES: Ladder = &[(100.0, "hL"), (1.0, "L"), (1e-3, "mL")];
const MASSES: Ladder = &[(1.0, "kg"), (1e-3, "g"), (1e-6, "mg")];
const GRAMS: Ladder = &[(1e3, "kg"), (1.0, "g"), (1e-3, "mg")];
const MILLILITRES: Ladder = &[(1e3, "L"), (1.0, "mL")];

/// Digits of what is weighed or measured out: a scale shows four.
const SCALE_DIGITS: usize = 4;
/// Digits of everything else: no analysis is better.
const DIGITS: usize = 3;

/// Writes a canonical number for people: "6.5 hL", "118 mg/L", "5.42". A concentration without a
/// substance is written in mmol/kg; what is not finite as "unknown".
pub(super) fn number(quantity: &Quantity, canonical: f64, of: &Substance<'_>) -> String {
    match quantity.dimension {
        Dimension::Volume => on_ladder(canonical, VOLUMES),
        Dimension::Mass => on_ladder(canonical, MASSES),
        Dimension::Ph => decimals(canonical, 2),
        Dimension::Temperature | Dimension::TemperatureDifference => {
            with_unit(decimals(canonical, 1), quantity.unit())
        }
        Dimension::Amount => with_unit(significant(canonical, SCALE_DIGITS), quantity.unit()),
        Dimension::Extract => with_unit(decimals(canonical, 1), quantity.unit()),
        _ => match quantity.dimension.bare_of_canonical(canonical, of) {
            Some(number) => with_unit(significant(number, DIGITS), quantity.unit()),
            None => with_unit(significant(canonical * 1e3, DIGITS), "mmol/kg"),
        },
    }
}

/// Writes a range of canonical numbers: "50 to 100 mg/L", "at most 250 mg/L".
pub(super) fn range(quantity: &Quantity, range: &Range, of: &Substance<'_>) -> String {
    let write = |value| number(quantity, value, of);
    match (range.low, range.high) {
        (Some(low), Some(high)) if low == high => write(low),
        (Some(low), Some(high)) => format!("{} to {}", write(low), write(high)),
        (Some(low), None) => format!("at least {}", write(low)),
        (None, Some(high)) => format!("at most {}", write(high)),
        (None, None) => "any".to_owned(),
    }
}

impl std::fmt::Display for Amount {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&match self {
            Amount::Grams(grams) => on_ladder(*grams, GRAMS),
            Amount::Millilitres(millilitres) => on_ladder(*millilitres, MILLILITRES),
        })
    }
}

impl std::fmt::Display for Strength {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&match self {
            Strength::MassPercent(percent) => with_unit(significant(*percent, DIGITS), "%"),
            Strength::MolPerLitre(molarity) => with_unit(significant(*molarity, DIGITS), "mol/L"),
        })
    }
}

fn with_unit(number: String, unit: &str) -> String {
    if unit.is_empty() || number == UNKNOWN {
        number
    } else {
        number + " " + unit
    }
}

/// Picks the largest unit of which there is at least one, after rounding, so that 999.96 g is "1
/// kg".
fn on_ladder(canonical: f64, ladder: Ladder) -> String {
    let in_unit = |(size, _): &(f64, &str)| round_to_digits(canonical / size).abs() >= 1.0;
    let base = ladder.iter().find(|(size, _)| *size == 1.0);
    let rung = if canonical == 0.0 {
        base
    } else {
        ladder.iter().find(|rung| in_unit(rung)).or(ladder.last())
    };
    rung.map_or_else(String::new, |(size, name)| {
        with_unit(significant(canonical / size, SCALE_DIGITS), name)
    })
}

fn round_to_digits(number: f64) -> f64 {
    decimal(&significant(number, SCALE_DIGITS)).unwrap_or(0.0)
}

const UNKNOWN: &str = "unknown";

/// A number rounded to decimals, without trailing zeros.
fn decimals(number: f64, places: usize) -> String {
    if number.is_finite() {
        trimmed(&format!("{number:.places$}"))
    } else {
        UNKNOWN.to_owned()
    }
}

/// A number rounded to significant digits, without trailing zeros and without an exponent.
pub(crate) fn significant(number: f64, digits: usize) -> String {
    if !number.is_finite() {
        return UNKNOWN.to_owned();
    }
    // The exponent form rounds the exact binary value to the digits; reading it back is exact to
    // those digits.
    let rounded = decimal(&format!("{number:.*e}", digits.saturating_sub(1))).unwrap_or(0.0);
    if rounded.abs() >= 1e15 {
        format!("{rounded:e}")
    } else {
        trimmed(&format!("{rounded:.9}"))
    }
}

/// A number that came through a change of units, without its rounding errors: ten significant
/// digits.
pub(crate) fn tidy(value: f64) -> f64 {
    decimal(&format!("{value:.9e}")).unwrap_or(value)
}

/// Decimals that show a number with so many significant digits: none for 118 with three, one for
/// 11.8.
pub(super) fn significant_places(number: f64, digits: usize) -> usize {
    let text = format!("{number:.*e}", digits.saturating_sub(1));
    let power: i32 = text
        .rsplit_once('e')
        .and_then(|(_, power)| power.parse().ok())
        .unwrap_or(0);
    let places = i32::try_from(digits).unwrap_or(1) - 1 - power;
    usize::try_from(places.clamp(0, 12)).unwrap_or(0)
}

/// Without trailing zeros, and never "-0".
fn trimmed(number: &str) -> String {
    let short = if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        number
    };
    if short == "-0" {
        "0".to_owned()
    } else {
        short.to_owned()
    }
}
