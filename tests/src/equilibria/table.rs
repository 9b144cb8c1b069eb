//! Rows of a CSV text, each cell under its heading.

use std::collections::HashMap;

use super::score::Score;

/// Cells of a row under their headings.
pub struct Cells(HashMap<String, String>);

impl Cells {
    /// Whether there is such a column.
    pub fn has(&self, column: &str) -> bool {
        self.0.contains_key(column)
    }

    /// What a cell holds; nothing where there is no such column.
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).map_or("", String::as_str)
    }

    /// The number in a cell.
    ///
    /// # Errors
    /// When it is none.
    pub fn number(&self, column: &str) -> Result<f64, String> {
        let cell = self.text(column);
        match cell.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(format!("{column}: expected a number, read \"{cell}\"")),
        }
    }

    /// The amount in a cell, 0 or more; an empty one and `n.d.` are none.
    ///
    /// # Errors
    /// When it is no amount.
    pub fn amount(&self, column: &str) -> Result<f64, String> {
        let cell = self.text(column);
        if cell.is_empty() || cell.eq_ignore_ascii_case("n.d.") {
            return Ok(0.0);
        }
        match self.number(column)? {
            amount if amount >= 0.0 => Ok(amount),
            _ => Err(format!("{column}: expected 0 or more, read \"{cell}\"")),
        }
    }
}

/// The rows of a text with their places, and a score that tells those that cannot be read.
///
/// # Errors
/// When a column is missing that must be there.
pub fn rows(csv: &str, columns: &[&str]) -> Result<(Vec<(String, Cells)>, Score), String> {
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(csv.trim_start_matches('\u{feff}').as_bytes());
    let header = reader.headers().map_err(|error| error.to_string())?;
    for column in columns {
        if !header.iter().any(|name| name == *column) {
            return Err(format!("no column \"{column}\": this is no such table"));
        }
    }
    let mut score = Score::default();
    let mut rows = Vec::new();
    for (index, record) in reader.deserialize().enumerate() {
        match record {
            Ok(cells) => rows.push((format!("row {}", index + 1), Cells(cells))),
            Err(error) => score.unreadable.push(error.to_string()),
        }
    }
    Ok((rows, score))
}
