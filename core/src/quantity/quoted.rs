//! What was read, shortened for a message.

const LONGEST: usize = 40;

/// A text in double quotes, on one line, of at most 40 characters.
pub(crate) fn quoted(text: &str) -> String {
    let mut short: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    format!("\"{short}\"")
}
