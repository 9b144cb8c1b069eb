//! Tables of water analyses as water reports: findings about them, and how well mistakes put into
//! the sound ones are found.

mod experiment;
mod findings;
pub mod injection;
mod reported;
pub mod table;

use std::fmt;

pub use experiment::{Experiment, Mode};
pub use findings::Findings;
pub use table::{Row, Table};

/// All that came of one table.
#[derive(Debug)]
pub struct Outcome {
    /// Columns that were not used.
    pub unused: Vec<String>,
    /// What is odd in the rows as they stand.
    pub findings: Findings,
    /// What came of the mistakes.
    pub experiment: Experiment,
}

/// Reads every row of a CSV text and makes the experiment with those that balance.
///
/// # Errors
/// When the text is no table of waters at all.
pub fn study(csv: &str) -> Result<Outcome, String> {
    let table = Table::read(csv)?;
    Ok(Outcome {
        findings: Findings::of(&table.rows),
        experiment: Experiment::with(&table.rows),
        unused: table.unused,
    })
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.unused.is_empty() {
            writeln!(f, "columns not used: {}", self.unused.join(", "))?;
        }
        write!(f, "{}\n{}", self.findings, self.experiment)
    }
}
