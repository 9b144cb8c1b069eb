//! One list of every input quantity: its name, unit and limits; what people write, such as "180
//! mg/L as CaCO3", "6.5 hL" or "10 °dH", to canonical numbers; and canonical numbers back to what
//! people read.
//!
//! Canonical units: L, kg, °C, mol (or equivalents) per kg of water, % by mass, and the others as
//! [`Dimension`] says. A bare number is taken in the default unit of the quantity.
//!
//! ```
//! use underlet::quantity::{HARDNESS, LIQUOR_VOLUME};
//!
//! let litres = LIQUOR_VOLUME.read("7 US bbl")?;
//! assert_eq!(LIQUOR_VOLUME.write(litres), "8.214 hL");
//! // 10 °dH are 178 mg/L as CaCO3 (DIN 38409-6).
//! assert_eq!(HARDNESS.write(HARDNESS.read("10 °dH")?), "178 mg/L as CaCO3");
//! assert!(LIQUOR_VOLUME.read("7 bbl").unwrap_err().hint.contains("UK bbl"));
//! # Ok::<(), underlet::error::Problem>(())
//! ```

mod dimension;
mod extract;
mod figures;
mod list;
mod number;
mod quoted;
mod range;
mod stated;
mod substance;
mod units;
mod write;
mod written;

pub use dimension::Dimension;
pub use list::*;
pub use range::Range;
pub use stated::{Figure, Notation, Stated};
pub use substance::{CACO3_G_PER_EQ, HCO3_G_PER_EQ, Substance, WATER_KG_PER_L_20C};
pub(crate) use substance::{CAO_G_PER_EQ, CO3_G_PER_EQ};
pub use units::{Measure, UNITS, Unit};
pub(crate) use write::{significant, tidy};
pub use written::{Amount, BareAmount, Strength, Written};

use crate::error::{ErrorCode, Problem};
use number::Flaw;
pub(crate) use quoted::quoted;

/// An input quantity: what it is called, what it is measured in, and what it can be.
#[derive(Debug, PartialEq)]
pub struct Quantity {
    /// Name for people.
    pub name: &'static str,
    /// Kind, which decides the canonical and the default unit.
    pub dimension: Dimension,
    /// Low limit, in the default unit.
    pub low: f64,
    /// Whether the low limit itself is refused.
    pub low_is_open: bool,
    /// High limit, in the default unit; itself allowed.
    pub high: f64,
    /// An example of how to write it.
    pub example: &'static str,
}

/// A number, and its unit where one is written.
type Leading<'t> = (f64, Option<&'t str>);

impl Quantity {
    /// Unit of a bare number, as printed; empty for pH and ratios.
    pub const fn unit(&self) -> &'static str {
        self.dimension.unit()
    }

    /// What is expected, in plain words: "temperature from 0 to 100 °C".
    pub fn expectation(&self) -> String {
        let (from, to) = if self.low_is_open {
            ("above", "and up to")
        } else {
            ("from", "to")
        };
        let text = format!(
            "{} {from} {} {to} {} {}",
            self.name,
            self.low,
            self.high,
            self.unit()
        );
        text.trim_end().to_owned()
    }

    /// Reads a quantity that is not a concentration of a substance, as its canonical number.
    ///
    /// # Errors
    /// A [`Problem`] with an empty path: not a number, not finite, wrong unit, out of range.
    pub fn read<'t>(&self, written: impl Into<Written<'t>>) -> Result<f64, Problem> {
        self.read_of(written, &Substance::NONE)
    }

    /// Reads a concentration of a substance, mol per kg of water; other quantities as
    /// [`Self::read`] does.
    ///
    /// # Errors
    /// As [`Self::read`].
    pub fn read_of<'t>(
        &self,
        written: impl Into<Written<'t>>,
        of: &Substance<'_>,
    ) -> Result<f64, Problem> {
        let written = written.into();
        let (number, unit) = self.figure(written)?;
        self.resolve(number, unit, written, of)
    }

    /// Reads what is weighed or measured out.
    ///
    /// # Errors
    /// As [`Self::read`].
    pub fn read_amount<'t>(
        &self,
        written: impl Into<Written<'t>>,
        bare: BareAmount,
    ) -> Result<Amount, Problem> {
        let written = written.into();
        let (number, unit) = self.figure(written)?;
        let value = self.resolve(number, unit, written, &Substance::NONE)?;
        let found = unit.and_then(|text| self.dimension.find_unit(text, &Substance::NONE).0);
        let liquid = found.map_or(bare == BareAmount::Millilitres, |unit| {
            unit.measure == Measure::Volume
        });
        Ok(if liquid {
            Amount::Millilitres(value)
        } else {
            Amount::Grams(value)
        })
    }

    /// Writes a canonical number for people; for a concentration see [`Self::write_of`].
    pub fn write(&self, canonical: f64) -> String {
        self.write_of(canonical, &Substance::NONE)
    }

    /// Writes a canonical number for people: "6.5 hL", "118 mg/L", "5.42". A concentration without
    /// a substance is written in mmol/kg; what is not finite as "unknown".
    pub fn write_of(&self, canonical: f64, of: &Substance<'_>) -> String {
        write::number(self, canonical, of)
    }

    /// Reads a range, or a single value as a range without width, as canonical numbers.
    ///
    /// # Errors
    /// As [`Quantity::read`], and [`ErrorCode::RangeReversed`].
    pub fn read_range(&self, text: &str, of: &Substance<'_>) -> Result<Range, Problem> {
        range::read(self, text, of)
    }

    /// Checks a range of canonical numbers: each of them, and their order. The problems show them
    /// in the default unit, as a reader shows `{"low": …, "high": …, "prefer": …}`.
    ///
    /// # Errors
    /// Every [`Problem`], its path that of the end: `low`, `high`, `prefer`, or empty for the
    /// range.
    pub fn check_range(&self, range: &Range, of: &Substance<'_>) -> Result<(), Vec<Problem>> {
        range::check(self, range, of)
    }

    /// Writes a range of canonical numbers: "50 to 100 mg/L", "at most 250 mg/L".
    pub fn write_range(&self, range: &Range, of: &Substance<'_>) -> String {
        write::range(self, range, of)
    }

    /// What is expected of a range, in plain words.
    pub(crate) fn range_expectation(&self) -> String {
        range::expectation(self)
    }

    /// How to write a range, in one sentence.
    pub(crate) fn range_advice(&self) -> String {
        range::advice(self)
    }

    /// Reads a number with or without a unit, in text or not.
    fn figure<'t>(&self, written: Written<'t>) -> Result<Leading<'t>, Problem> {
        match written {
            Written::Number(number) if number.is_finite() => Ok((number + 0.0, None)),
            Written::WithUnit(number, unit) if number.is_finite() => Ok((number + 0.0, Some(unit))),
            Written::Text(text) => self.figure_in(text, written),
            _ => Err(self.flawed(Flaw::NotFinite, written)),
        }
    }

    fn figure_in<'t>(&self, text: &'t str, written: Written<'_>) -> Result<Leading<'t>, Problem> {
        let (number, rest) =
            number::leading(self.without_ph(text)).map_err(|flaw| self.flawed(flaw, written))?;
        Ok((number, (!rest.is_empty()).then_some(rest)))
    }

    /// "pH 5.4" is "5.4".
    fn without_ph<'t>(&self, text: &'t str) -> &'t str {
        let text = text.trim();
        match text.split_at_checked(2) {
            Some((label, rest))
                if self.dimension == Dimension::Ph && label.eq_ignore_ascii_case("pH") =>
            {
                rest
            }
            _ => text,
        }
    }

    /// The canonical number of a figure, checked against the limits.
    fn resolve(
        &self,
        number: f64,
        unit: Option<&str>,
        written: Written<'_>,
        of: &Substance<'_>,
    ) -> Result<f64, Problem> {
        let canonical = match unit {
            Some(text) if text != self.unit() => {
                self.dimension.canonical_with_unit(number, text, of)
            }
            _ => self.dimension.canonical_of_bare(number, of),
        };
        let canonical =
            canonical.ok_or_else(|| self.unfit_unit(written, unit.unwrap_or(""), of))?;
        if self.admits(canonical, of) {
            Ok(canonical)
        } else {
            Err(self.out_of_range(written))
        }
    }

    /// A number in the default unit as the canonical number; nothing where the substance has no
    /// molar mass.
    pub fn of_default_unit(&self, number: f64, of: &Substance<'_>) -> Option<f64> {
        self.dimension.canonical_of_bare(number, of)
    }

    /// A canonical number in the default unit; nothing where the substance has no molar mass.
    pub fn in_default_unit(&self, canonical: f64, of: &Substance<'_>) -> Option<f64> {
        self.dimension.bare_of_canonical(canonical, of)
    }

    /// Checks a canonical number that nobody wrote down. The problem shows it in the default unit,
    /// as a reader shows a bare number; what a conversion rounds off is no reason to refuse it.
    ///
    /// # Errors
    /// A [`Problem`] with an empty path: not finite, out of range.
    ///
    /// ```
    /// use underlet::quantity::{LIQUOR_VOLUME, Substance};
    /// let problem = LIQUOR_VOLUME.check(-5.0, &Substance::NONE).unwrap_err();
    /// assert_eq!(problem, LIQUOR_VOLUME.read(-5.0).unwrap_err());
    /// ```
    pub fn check(&self, canonical: f64, of: &Substance<'_>) -> Result<(), Problem> {
        let number = self.bare(canonical, of);
        let written = Written::Number(number);
        let is_low = number < self.low || (self.low_is_open && number == self.low);
        if !number.is_finite() {
            Err(self.flawed(Flaw::NotFinite, written))
        } else if is_low || number > self.high {
            Err(self.out_of_range(written))
        } else {
            Ok(())
        }
    }

    /// A canonical number as a bare one, free of rounding errors of conversions.
    fn bare(&self, canonical: f64, of: &Substance<'_>) -> f64 {
        tidy(self.in_default_unit(canonical, of).unwrap_or(canonical))
    }

    /// Whether a canonical number lies within the limits. False for NaN.
    pub fn admits(&self, canonical: f64, of: &Substance<'_>) -> bool {
        let limit = |number| self.dimension.canonical_of_bare(number, of);
        let (Some(low), Some(high)) = (limit(self.low), limit(self.high)) else {
            return false;
        };
        let above_low = if self.low_is_open {
            canonical > low
        } else {
            canonical >= low
        };
        above_low && canonical <= high
    }

    fn problem(&self, code: ErrorCode, written: Written<'_>, hint: String) -> Problem {
        Problem {
            code,
            path: String::new(),
            found: written.to_string(),
            expected: self.expectation(),
            hint,
        }
    }

    fn out_of_range(&self, written: Written<'_>) -> Problem {
        let hint = if self.unit().is_empty() {
            "Check the number.".to_owned()
        } else {
            format!(
                "Check the number and its unit; a bare number means {}.",
                self.unit()
            )
        };
        self.problem(ErrorCode::OutOfRange, written, hint)
    }

    fn flawed(&self, flaw: Flaw, written: Written<'_>) -> Problem {
        let has_sign = |text: &str| text.trim_start().starts_with(['<', '>', '≤', '≥']);
        let (code, hint) = match flaw {
            Flaw::Missing if matches!(written, Written::Text(text) if has_sign(text)) => (
                ErrorCode::NotANumber,
                "Write one number here, without a sign before it; below a detection limit, half \
                 of that limit."
                    .to_owned(),
            ),
            Flaw::Missing => (
                ErrorCode::NotANumber,
                format!("Begin with a number, such as \"{}\".", self.example),
            ),
            Flaw::NotFinite => (
                ErrorCode::NotFinite,
                format!(
                    "Write a finite number, such as \"{}\", or leave the key out.",
                    self.example
                ),
            ),
            Flaw::Comma => (
                ErrorCode::NotANumber,
                "A comma is ambiguous (thousands or decimals): write a decimal point, as in \
                 1250.5, and nothing between thousands."
                    .to_owned(),
            ),
        };
        self.problem(code, written, hint)
    }

    /// What is wrong with a unit.
    fn unfit_unit(&self, written: Written<'_>, text: &str, of: &Substance<'_>) -> Problem {
        if text.starts_with(['-', '–', '—', '±'])
            || text.starts_with("+/-")
            || text.starts_with("to ")
        {
            let hint = "Give one number here; a range or a standard deviation has a field of its \
                        own."
                .to_owned();
            return self.problem(ErrorCode::WrongType, written, hint);
        }
        let (unit, split) = self.dimension.find_unit(text, of);
        let units = || self.dimension.unit_names();
        let hint = match (
            units::ambiguity(&split.unit),
            unit,
            units::find(&split.unit, |_| true),
        ) {
            (Some(hint), ..) => hint.to_owned(),
            _ if text.is_empty() => {
                "Give it in mmol/L: its molar mass is not known here.".to_owned()
            }
            (_, Some(unit), _) if unit.measure == Measure::MassPerLitre => {
                format!(
                    "Behind \"as\" write one of: {}.",
                    self.dimension.basis_names(of)
                )
            }
            (_, Some(unit), _) => format!("{} does not fit here: give mg/L.", unit.name),
            (.., Some(_)) if split.basis.is_some() => {
                format!("Leave \"as …\" out; write one of: {}.", units())
            }
            (.., Some(other)) => {
                format!(
                    "{} is the unit of {}; write one of: {}.",
                    other.name,
                    other.measure.words(),
                    units()
                )
            }
            _ => format!("Write one of these units: {}.", units()),
        };
        self.problem(ErrorCode::WrongUnit, written, hint)
    }
}

/// Reads a strength by mass or by amount: "80 %", "1 mol/L". A bare number is % by mass.
///
/// # Errors
/// As [`Quantity::read`].
pub fn read_strength<'t>(written: impl Into<Written<'t>>) -> Result<Strength, Problem> {
    let written = written.into();
    let (_, unit) = STRENGTH.figure(written)?;
    let in_moles = unit.is_some_and(|text| {
        MOLARITY
            .dimension
            .find_unit(text, &Substance::NONE)
            .0
            .is_some()
    });
    if in_moles {
        MOLARITY.read(written).map(Strength::MolPerLitre)
    } else {
        STRENGTH.read(written).map(Strength::MassPercent)
    }
}

/// Reads a plain number from text, for numbers whose unit is given apart.
///
/// # Errors
/// The code of what is wrong: [`ErrorCode::NotANumber`] or [`ErrorCode::NotFinite`].
pub fn read_plain_number(text: &str) -> Result<f64, ErrorCode> {
    match number::leading(text) {
        Ok((number, "")) => Ok(number),
        Err(Flaw::NotFinite) => Err(ErrorCode::NotFinite),
        _ => Err(ErrorCode::NotANumber),
    }
}

#[cfg(test)]
mod properties;
#[cfg(test)]
mod tests;
