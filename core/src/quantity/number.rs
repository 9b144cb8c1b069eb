//! The number at the beginning of a text, as people write it: decimal point or comma, spaces
//! between thousands.

/// Why no number could be taken from the beginning of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Flaw {
    /// There is none.
    Missing,
    /// NaN, an infinity, or larger than a number can be.
    NotFinite,
    /// "1,250": a thousand, or one and a quarter?
    Comma,
}

/// Splits a text into its leading number and what follows.
pub(super) fn leading(text: &str) -> Result<(f64, &str), Flaw> {
    let (plain, rest) = plain(text)?;
    let number = decimal(&plain).ok_or(Flaw::NotFinite)?;
    Ok((number + 0.0, rest.trim()))
}

/// Most decimals that are kept: more than any analysis has.
const MOST_DECIMALS: i32 = 15;

/// How many decimals the leading number of a text has, its power of ten computed in: 2 for "12.50
/// mg/L", 4 for "1.5e-3".
pub(super) fn decimals(text: &str) -> usize {
    let Ok((plain, _)) = plain(text) else {
        return 0;
    };
    let (mantissa, power) = plain.split_once('e').unwrap_or((&plain, "0"));
    let behind = mantissa
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let behind = i32::try_from(behind).unwrap_or(MOST_DECIMALS);
    let places = behind.saturating_sub(power.parse().unwrap_or(0));
    usize::try_from(places.clamp(0, MOST_DECIMALS)).unwrap_or(0)
}

/// The leading number of a text in plain spelling, and what follows.
fn plain(text: &str) -> Result<(String, &str), Flaw> {
    let text = text.trim();
    let negative = text.strip_prefix(['-', '−']);
    let unsigned = negative.or_else(|| text.strip_prefix('+')).unwrap_or(text);
    if names_no_finite_number(unsigned) {
        return Err(Flaw::NotFinite);
    }
    let mut plain = String::with_capacity(24);
    if negative.is_some() {
        plain.push('-');
    }
    let (whole, grouped, rest) = whole_part(unsigned);
    whole.for_each(|digits| plain.push_str(digits));
    let rest = fraction(rest, &mut plain, grouped)?;
    if !plain.contains(|c: char| c.is_ascii_digit()) {
        return Err(Flaw::Missing);
    }
    let rest = exponent(rest, &mut plain);
    Ok((plain, rest))
}

/// The finite number nearest to plain decimal digits, with or without a point and an exponent.
pub(super) fn decimal(digits: &str) -> Option<f64> {
    digits
        .parse()
        .ok()
        .filter(|number: &f64| number.is_finite())
}

fn names_no_finite_number(text: &str) -> bool {
    let end = text
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(text.len());
    let (word, _) = text.split_at(end);
    text.starts_with('∞')
        || ["nan", "inf", "infinity"]
            .iter()
            .any(|name| word.eq_ignore_ascii_case(name))
}

fn is_thousands_space(c: char) -> bool {
    matches!(c, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}')
}

fn digits(text: &str) -> (&str, &str) {
    text.split_at(
        text.find(|c: char| !c.is_ascii_digit())
            .unwrap_or(text.len()),
    )
}

/// The digits before the decimal sign, whether they were grouped by spaces, and what follows.
fn whole_part(text: &str) -> (impl Iterator<Item = &str>, bool, &str) {
    let (first, mut rest) = digits(text);
    let written = text;
    let mut grouped = false;
    if (1..=3).contains(&first.len()) {
        while let Some((group, after)) = rest.strip_prefix(is_thousands_space).map(digits) {
            if group.len() != 3 {
                break;
            }
            grouped = true;
            rest = after;
        }
    }
    let (whole, _) = written.split_at(written.len() - rest.len());
    (whole.split(is_thousands_space), grouped, rest)
}

/// The decimal sign and the digits behind it.
fn fraction<'t>(text: &'t str, plain: &mut String, grouped: bool) -> Result<&'t str, Flaw> {
    let Some(after) = text.strip_prefix(['.', ',']) else {
        return Ok(text);
    };
    let (decimals, rest) = digits(after);
    let comma = text.starts_with(',');
    // A group of thousands never begins with a lone zero, so "0,125" can only be a decimal comma.
    let may_be_thousands =
        comma && decimals.len() == 3 && !grouped && !matches!(plain.as_str(), "0" | "-0");
    let second_sign = rest
        .strip_prefix(['.', ','])
        .is_some_and(|more| more.starts_with(|c: char| c.is_ascii_digit()));
    if may_be_thousands || second_sign {
        return Err(Flaw::Comma);
    }
    if comma && decimals.is_empty() {
        return Ok(text);
    }
    if !decimals.is_empty() {
        plain.push('.');
        plain.push_str(decimals);
    }
    Ok(rest)
}

/// A power of ten such as "e-3"; an `e` without digits belongs to the unit.
fn exponent<'t>(text: &'t str, plain: &mut String) -> &'t str {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return text;
    };
    let unsigned = after.strip_prefix(['+', '-']).unwrap_or(after);
    let (power, rest) = digits(unsigned);
    if power.is_empty() {
        return text;
    }
    plain.push('e');
    if after.starts_with('-') {
        plain.push('-');
    }
    plain.push_str(power);
    rest
}
