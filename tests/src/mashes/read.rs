//! Cells as people fill them in: a number with a remark, a recipe in words.

/// The first number in a text.
pub fn first_number(text: &str) -> Option<f64> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let rest = &text[start..];
    let end = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let number = rest[..end].trim_end_matches('.');
    // A minus counts where nothing but a blank or a bracket stands before it.
    let before = &text[..start];
    let negative = before.ends_with('-')
        && !before
            .trim_end_matches('-')
            .ends_with(|c: char| c.is_alphanumeric());
    number
        .parse()
        .ok()
        .map(|number: f64| if negative { -number } else { number })
}

/// The number that stands right before a word, such as 60 in "60 min 67 C" before "min".
pub fn number_before(text: &str, word: &str) -> Option<f64> {
    numbers_before(text, word).first().copied()
}

/// Every number that stands right before a word, added up.
pub fn sum_before(text: &str, word: &str) -> Option<f64> {
    let numbers = numbers_before(text, word);
    (!numbers.is_empty()).then(|| numbers.iter().sum())
}

/// Every number that stands right before a word.
pub fn numbers_before(text: &str, word: &str) -> Vec<f64> {
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || ",;()".contains(c))
        .filter(|part| !part.is_empty())
        .collect();
    words
        .windows(2)
        .filter(|pair| pair[1] == word)
        .filter_map(|pair| pair[0].parse().ok())
        .collect()
}

/// An amount that may be given in words: "distilled" is none, "low, unstated (about 2)" is 2.
pub fn amount(text: &str) -> Option<f64> {
    if text == "distilled" {
        return Some(0.0);
    }
    if text.contains("unstated") {
        let at = text.find("about")?;
        return first_number(&text[at..]);
    }
    first_number(text)
}

/// Half the range in brackets, such as 0.09 in "0.73 (0.64-0.82; …)".
pub fn half_range(text: &str) -> Option<f64> {
    let inside = text.split_once('(')?.1;
    let (low, high) = inside.split_once('-')?;
    let (low, high) = (first_number(low)?, first_number(high)?);
    (high > low).then_some((high - low) / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_in_words() {
        assert_eq!(first_number("about 3.4 mL of 10 %"), Some(3.4));
        assert_eq!(first_number("-0.5"), Some(-0.5));
        assert_eq!(first_number("two-row"), None);
        assert_eq!(amount("low, unstated (about 0.7)"), Some(0.7));
        assert_eq!(amount("low, unstated"), None);
        assert_eq!(amount("distilled"), Some(0.0));
        assert_eq!(half_range("0.73 (0.5-1.0; range)"), Some(0.25));
        assert_eq!(
            number_before("100% malt, 420 g in 1.372 L", "L"),
            Some(1.372)
        );
        assert_eq!(
            sum_before("10 min open + 40 min covered boil", "min"),
            Some(50.0)
        );
        assert_eq!(
            numbers_before("30 min 38 C then 60 min 67 C; pH at end", "C"),
            [38.0, 67.0]
        );
        assert_eq!(sum_before("none", "min"), None);
    }
}
