//! Quantities as people write them, and what they are read as.

use super::quoted::quoted;

/// A quantity as it was written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Written<'t> {
    /// A bare number, in the default unit.
    Number(f64),
    /// Text, with or without a unit.
    Text(&'t str),
    /// A number and its unit apart.
    WithUnit(f64, &'t str),
}

impl From<f64> for Written<'_> {
    fn from(number: f64) -> Self {
        Written::Number(number)
    }
}

impl<'t> From<&'t str> for Written<'t> {
    fn from(text: &'t str) -> Self {
        Written::Text(text)
    }
}

impl std::fmt::Display for Written<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Written::Number(number) => write!(f, "{number}"),
            Written::Text(text) => f.write_str(&quoted(text)),
            Written::WithUnit(number, unit) => write!(f, "{number} with unit {}", quoted(unit)),
        }
    }
}

/// What is weighed in grams or measured in millilitres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// Mass, g.
    Grams(f64),
    /// Volume, mL.
    Millilitres(f64),
}

/// What a bare number of an [`Amount`] means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BareAmount {
    /// Grams: the reagent is a solid.
    Grams,
    /// Millilitres: the reagent is a liquid.
    Millilitres,
}

/// Strength of a reagent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Strength {
    /// % by mass.
    MassPercent(f64),
    /// mol/L at 20 °C.
    MolPerLitre(f64),
}
