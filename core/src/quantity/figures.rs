//! Reading and writing figures as laboratories state them.

use super::range::{AT_LEAST, AT_MOST, after_word, split_ends};
use super::stated::{Figure, Notation, Shape, Stated};
use super::units::UNITS;
use super::write::{significant_places, tidy};
use super::{ErrorCode, Leading, Measure, Problem, Quantity, Substance, Written, number};

/// Words for a substance that was looked for and not found, longest first.
const NOT_DETECTED: &[&str] = &[
    "below detection limit",
    "below detection",
    "not detectable",
    "none detected",
    "not detected",
    "n.d.",
    "n.d",
    "nd",
    "b.d.l.",
    "bdl",
    "< lod",
    "<lod",
    "< loq",
    "<loq",
    "< dl",
    "<dl",
];
/// Words for a substance that was seen and not measured, longest first.
const TRACE: &[&str] = &["traces", "trace"];
/// Signs before an expanded uncertainty, and how many standard deviations it is: ISO/IEC 17025
/// laboratories state it with a coverage factor of 2 (ISO/IEC Guide 98-3, 6.3).
const PLUS_MINUS: &[&str] = &["±", "+/-", "+-"];
const COVERAGE: f64 = 2.0;
/// Words before an average and before a standard deviation.
const AVERAGE: &[&str] = &["average", "mean"];
const DEVIATION: &[&str] = &["standard deviation", "sd"];
/// Most significant digits that are kept: more than any analysis has, fewer than a number loses in
/// turning units.
const MOST_DIGITS: usize = 12;

impl Quantity {
    /// Reads a figure as a laboratory states it. `undetected` is the detection limit, canonical,
    /// that "n.d." or "trace" without one means. What follows "±", in the unit or in per cent of
    /// the value, is twice the standard deviation.
    ///
    /// # Errors
    /// As [`Quantity::read`], [`ErrorCode::RangeReversed`], [`ErrorCode::Contradiction`] for an
    /// average outside its range, and [`ErrorCode::WrongType`] for "±" behind anything but one
    /// value.
    pub fn read_figure<'t>(
        &self,
        written: impl Into<Written<'t>>,
        of: &Substance<'static>,
        undetected: f64,
    ) -> Result<Stated, Problem> {
        match written.into() {
            Written::Text(text) => self.figure_of_text(text, of, undetected),
            written @ (Written::Number(number) | Written::WithUnit(number, _)) => {
                let unit = match written {
                    Written::WithUnit(_, unit) => Some(unit),
                    _ => None,
                };
                // A program's number may carry rounding errors of its sums.
                self.stated((number, unit), &tidy(number).to_string(), written, of)
            }
        }
    }

    /// Writes a figure in its notation.
    pub fn write_figure(&self, stated: &Stated, of: &Substance<'static>) -> String {
        let Notation {
            decimals, shape, ..
        } = stated.notation;
        let size = self.size(&stated.notation, of);
        let number = |canonical: f64| format!("{:.decimals$}", canonical / size);
        let unit = stated.notation.unit();
        let mut text = match (stated.figure, shape) {
            (Figure::Value(value), Shape::PlusMinus) => {
                let around = COVERAGE * stated.sd.unwrap_or_default();
                format!("{} ± {}", number(value), number(around))
            }
            (Figure::Value(value), _) => number(value),
            (Figure::Below(_), Shape::NotDetected) => "n.d.".to_owned(),
            (Figure::Below(_), Shape::Trace) => "trace".to_owned(),
            (Figure::Below(limit), Shape::NotDetectedBelow) => format!("n.d. (<{}", number(limit)),
            (Figure::Below(limit), _) => format!("<{}", number(limit)),
            (Figure::Between { low, high, .. }, _) => {
                let sign = if shape == Shape::FromBelow { "<" } else { "" };
                format!("{sign}{} to {}", number(low), number(high))
            }
        };
        if !stated.notation.assumes_limit() && !unit.is_empty() {
            text.push(' ');
            text.push_str(&unit);
        }
        if shape == Shape::NotDetectedBelow {
            text.push(')');
        }
        if let Figure::Between {
            average: Some(average),
            ..
        } = stated.figure
        {
            text.push_str(", average ");
            text.push_str(&number(average));
        }
        if let Some(sd) = stated.sd.filter(|_| shape != Shape::PlusMinus) {
            text = format!("{text} (sd {})", number(sd));
        }
        text
    }

    /// The notation of a figure that nobody wrote: the default unit, with so many significant
    /// digits of its middle.
    pub fn usual_notation(
        &self,
        figure: Figure,
        digits: usize,
        of: &Substance<'static>,
    ) -> Notation {
        let notation = self.notation(None, of);
        let decimals = significant_places(figure.middle() / self.size(&notation, of), digits);
        Notation {
            decimals,
            ..notation
        }
    }

    /// The same figure in another unit, such as "°dH" or "mg/L as N" (empty for the default one),
    /// its last digit no coarser than it was.
    ///
    /// # Errors
    /// [`ErrorCode::WrongUnit`].
    pub fn restated(
        &self,
        stated: &Stated,
        unit: &str,
        of: &Substance<'static>,
    ) -> Result<Stated, Problem> {
        let fits = self.dimension.canonical_with_unit(1.0, unit, of).is_some();
        if !(unit.is_empty() || unit == self.unit() || fits) {
            return Err(self.unfit_unit(Written::Text(unit), unit, of));
        }
        let given = (!unit.is_empty()).then_some(unit);
        let mut notation = Notation {
            shape: stated.notation.shape,
            ..self.notation(given, of)
        };
        let step = self.size(&stated.notation, of) * power_of_tenth(stated.notation.decimals);
        let size = self.size(&notation, of);
        let fine = |decimals: &usize| size * power_of_tenth(*decimals) <= step * (1.0 + 1e-9);
        notation.decimals = (0..=15).find(fine).unwrap_or(15);
        Ok(Stated {
            notation,
            ..*stated
        })
    }

    /// One of the notation's unit, canonical.
    fn size(&self, notation: &Notation, of: &Substance<'static>) -> f64 {
        let size = self
            .dimension
            .canonical(1.0, notation.unit, notation.basis, of);
        size.unwrap_or(1.0)
    }

    /// The notation of a unit text; of a bare number without one.
    fn notation(&self, unit: Option<&str>, of: &Substance<'static>) -> Notation {
        let printed = unit.unwrap_or(self.unit());
        let (found, split) = self.dimension.find_unit(printed, of);
        let mut admitted = UNITS
            .iter()
            .filter(|unit| self.dimension.admits(unit.measure));
        let basis = split.basis.as_deref();
        // A pH without a unit is the same notation as one with it.
        let found = found.filter(|unit| unit.measure != Measure::One);
        Notation {
            unit: found.or_else(|| admitted.next()).unwrap_or(&UNITS[0]),
            basis: basis.and_then(|basis| self.dimension.basis_name(basis, of)),
            decimals: 0,
            shape: Shape::Plain,
        }
    }

    /// A single value; its decimals are counted in its text.
    fn stated<'t>(
        &self,
        (number, unit): Leading<'_>,
        digits: &str,
        written: impl Into<Written<'t>>,
        of: &Substance<'static>,
    ) -> Result<Stated, Problem> {
        let written = written.into();
        if !number.is_finite() {
            return Err(self.flawed(number::Flaw::NotFinite, written));
        }
        let value = self.resolve(number, unit, written, of)?;
        Ok(Stated {
            figure: Figure::Value(value),
            sd: None,
            notation: Notation {
                decimals: number::decimals(digits).min(significant_places(number, MOST_DIGITS)),
                ..self.notation(unit, of)
            },
        })
    }

    fn figure_of_text(
        &self,
        text: &str,
        of: &Substance<'static>,
        undetected: f64,
    ) -> Result<Stated, Problem> {
        let written = Written::Text(text);
        if let Some((value, around)) = PLUS_MINUS.iter().find_map(|sign| text.split_once(sign)) {
            return self.plus_minus(value, around, written, of);
        }
        let (rest, sd) = apart(text, DEVIATION);
        let (rest, average) = apart(rest, AVERAGE);
        let main = self.without_ph(rest);
        // Numbers behind the first may leave the unit out.
        let (mut stated, unit) = if let Some(said) = unmeasured(main) {
            self.not_detected(said, written, of, undetected)?
        } else {
            self.measured(main, written, of)?
        };
        let one = |text| self.one((text, unit), written, of);
        if let Some(average) = average {
            let average = one(average)?;
            let Figure::Between { average: place, .. } = &mut stated.figure else {
                return Err(self.average_of_what(written));
            };
            *place = Some(average.figure.middle());
            stated.notation.decimals = stated.notation.decimals.max(average.notation.decimals);
        }
        if let Some(sd) = sd {
            stated = stated.with_sd(one(sd)?);
        }
        stated.checked(|| written.to_string())
    }

    /// One number, in its own unit or in the other.
    fn one(
        &self,
        (text, other_unit): (&str, Option<&str>),
        written: Written<'_>,
        of: &Substance<'static>,
    ) -> Result<Stated, Problem> {
        let (number, unit) = self.figure_in(text, written)?;
        self.stated((number, unit.or(other_unit)), text, written, of)
    }

    /// A value, a range, or what either lies below, and its unit.
    fn measured<'t>(
        &self,
        main: &'t str,
        written: Written<'_>,
        of: &Substance<'static>,
    ) -> Result<(Stated, Option<&'t str>), Problem> {
        if after_word(main, AT_LEAST).is_some() {
            return Err(self.open_upwards(written));
        }
        let below = after_word(main, AT_MOST);
        let numbers = below.unwrap_or(main);
        let first = |(number, unit)| {
            let mut stated = self.stated((number, unit), numbers, written, of)?;
            if below.is_some() {
                stated.figure = Figure::Below(stated.figure.middle());
            }
            Ok::<_, Problem>(stated)
        };
        let Some(((low, low_unit), high)) = split_ends(numbers) else {
            let (number, unit) = self.figure_in(numbers, written)?;
            return Ok((first((number, unit))?, unit));
        };
        let unit = self.figure_in(high, written)?.1.or(low_unit);
        let low = first((low, low_unit.or(unit)))?;
        let high = self.one((high, unit), written, of)?;
        Ok((Stated::between(low, high, None), unit))
    }

    /// "5 ± 1 mg/L", "5 mg/L ± 1" or "5 mg/L ± 20 %": one value and its expanded uncertainty.
    fn plus_minus(
        &self,
        value: &str,
        around: &str,
        written: Written<'_>,
        of: &Substance<'static>,
    ) -> Result<Stated, Problem> {
        let one_value = || {
            let hint = "The sign ± goes between one value and its uncertainty: write \
                        \"5 ± 1 mg/L\". A range is written \"4 to 6 mg/L\".";
            self.problem(ErrorCode::WrongType, written, hint.to_owned())
        };
        let [value, around] =
            [self.without_ph(value), around].map(|text| text.trim_matches([' ', '(', ')']));
        let plain = |text: &str| text.starts_with(|c: char| c.is_ascii_digit() || c == '.');
        if !plain(value) || !plain(around) || split_ends(value).is_some() {
            return Err(one_value());
        }
        let (number, unit) = self.figure_in(value, written)?;
        let (half, half_unit) = self.figure_in(around, written)?;
        let share = half_unit.is_some_and(|unit| unit.trim() == "%");
        let unit = unit.or(half_unit.filter(|_| !share));
        let mut stated = self.stated((number, unit), value, written, of)?;
        let size = self.size(&stated.notation, of);
        let (sd, decimals) = if share {
            let half = stated.figure.middle().abs() * half / 100.0;
            if !half.is_finite() {
                return Err(self.flawed(number::Flaw::NotFinite, written));
            }
            (half, significant_places(half / size, 2))
        } else {
            let half = self.stated((half, half_unit.or(unit)), around, written, of)?;
            let same = half.notation.unit == stated.notation.unit;
            let own = significant_places(half.figure.middle() / size, 2);
            let decimals = if same { half.notation.decimals } else { own };
            (half.figure.middle(), decimals)
        };
        stated.sd = Some(sd / COVERAGE);
        stated.notation.decimals = stated.notation.decimals.max(decimals);
        stated.notation.shape = Shape::PlusMinus;
        Ok(stated)
    }

    /// "n.d." or "trace", with its limit or unit behind it.
    fn not_detected<'t>(
        &self,
        (shape, rest): (Shape, &'t str),
        written: Written<'_>,
        of: &Substance<'static>,
        undetected: f64,
    ) -> Result<(Stated, Option<&'t str>), Problem> {
        let rest = rest.trim_matches([' ', '(', ')', ',', ';', ':']);
        let limit = after_word(rest, AT_MOST).unwrap_or(rest).trim();
        if limit.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
            let (number, unit) = self.figure_in(limit, written)?;
            let mut stated = self.stated((number, unit), limit, written, of)?;
            stated.figure = Figure::Below(stated.figure.middle());
            if shape == Shape::NotDetected {
                stated.notation.shape = Shape::NotDetectedBelow;
            }
            return Ok((stated, unit));
        }
        let unit = (!limit.is_empty()).then_some(limit);
        // Nothing of it shows that the unit fits; a zero of it does.
        self.resolve(0.0, unit, written, of)?;
        let stated = Stated {
            figure: Figure::Below(undetected),
            sd: None,
            notation: Notation {
                shape,
                ..self.notation(unit, of)
            },
        };
        Ok((stated, unit))
    }

    fn open_upwards(&self, written: Written<'_>) -> Problem {
        let hint = format!(
            "Give the number that was measured, such as \"{}\", or leave the key out.",
            self.example
        );
        self.problem(ErrorCode::NotANumber, written, hint)
    }

    fn average_of_what(&self, written: Written<'_>) -> Problem {
        let hint = "An average goes with a range: write \"12 to 18 mg/L, average 15\".".to_owned();
        self.problem(ErrorCode::WrongType, written, hint)
    }
}

/// Whether a text says that nothing was measured, and what follows the word.
fn unmeasured(text: &str) -> Option<(Shape, &str)> {
    let shapes = [(Shape::NotDetected, NOT_DETECTED), (Shape::Trace, TRACE)];
    shapes.into_iter().find_map(|(shape, words)| {
        let rest = after_word(text, words)?;
        let ends = !rest.starts_with(|c: char| c.is_ascii_alphanumeric());
        ends.then_some((shape, rest))
    })
}

/// Splits off what follows a word such as "average", with or without brackets.
fn apart<'t>(text: &'t str, words: &[&str]) -> (&'t str, Option<&'t str>) {
    let lower = text.to_ascii_lowercase();
    for word in words {
        let Some(at) = lower.rfind(word).filter(|at| *at > 0) else {
            continue;
        };
        let (Some(head), Some(tail)) = (text.get(..at), text.get(at + word.len()..)) else {
            continue;
        };
        // "sd" must be a word of its own, not the end of one.
        if head.ends_with(|c: char| c.is_alphabetic()) {
            continue;
        }
        let marks = [' ', '(', ')', '[', ']', ',', ';', ':', '='];
        return (
            head.trim_end_matches([' ', '(', '[', ',', ';']),
            Some(tail.trim_matches(marks)),
        );
    }
    (text, None)
}

fn power_of_tenth(decimals: usize) -> f64 {
    (0..decimals).fold(1.0, |step, _| step / 10.0)
}
