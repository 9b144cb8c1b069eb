//! Published mashes and worts against the forecast, one line for each.
//!
//! The columns are those of a table of experiments: what was mashed and in how much of which water,
//! what was added, what was done, where a wort started and what was measured. A row is used where
//! the model knows what it needs; else the reason is reported. No parameter was fitted to such a
//! table, though some rest on the same reports (`sources.csv` says which), so this is no
//! independent trial.
//!
//! | kind | forecast |
//! |---|---|
//! | `mash`, `mash_kinetics` from 20 min on, `first_wort_no_sparge` | the mash, class priors |
//! | `congress_wort` | the class's own pH and the offset of Congress worts |
//! | `wort_dilution`, and a first wort that was thinned | wort thinned with liquor, cold and closed |
//! | `wort_boil`, `wort_boil_covered` | the fall in the boil by its hours and the pH before it |
//! | `wort_temperature` | the fall per kelvin |
//!
//! Mashes that differ by an acid are compared a second time, with the first of them read (`steps`).

mod model;
mod read;
mod steps;

pub use steps::{Expected, Pair, Steps};

use std::fmt;

use crate::equilibria::table::{Cells, rows};

/// Columns that must be there.
const COLUMNS: [&str; 10] = [
    "id",
    "kind",
    "grist_or_wort",
    "thickness_L_per_kg",
    "alkalinity_mEq_per_L",
    "addition",
    "process",
    "start_pH",
    "measured_pH",
    "pH_temperature_C",
];

/// Standard normal deviates that hold 80 % and 95 % between them.
const TWO_SIDED: [f64; 2] = [1.281_551_565_544_600_4, 1.959_963_984_540_054];

/// A pH with its standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Foretold {
    /// pH.
    pub ph: f64,
    /// Its standard deviation, the meter's and the reading's included.
    pub sd: f64,
}

/// A row that was used.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Its id and kind.
    pub id: String,
    /// Kind of experiment.
    pub kind: String,
    /// What was measured.
    pub measured: f64,
    /// What was predicted.
    pub predicted: Foretold,
}

impl Compared {
    /// Forecast less measurement.
    pub fn error(&self) -> f64 {
        self.predicted.ph - self.measured
    }

    /// Whether the measurement lies in the 80 and in the 95 % interval.
    pub fn inside(&self) -> [bool; 2] {
        TWO_SIDED.map(|deviates| self.error().abs() <= deviates * self.predicted.sd)
    }
}

/// What came of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// Rows that were used.
    pub compared: Vec<Compared>,
    /// Rows that cannot be modelled, with the reason.
    pub not_modelled: Vec<String>,
    /// Rows that cannot be read.
    pub unreadable: Vec<String>,
    /// Rows that differ by an acid: the change that was measured, beside what a correction
    /// predicts.
    pub steps: Steps,
}

/// Forecasts every row of a table.
///
/// # Errors
/// When it is no such table.
pub fn compare_all(csv: &str) -> Result<Comparison, String> {
    let (rows, score) = rows(csv, &COLUMNS)?;
    let all: Vec<&Cells> = rows.iter().map(|(_, cells)| cells).collect();
    let mut comparison = Comparison {
        unreadable: score.unreadable,
        steps: steps::steps(&all),
        ..Comparison::default()
    };
    for cells in &all {
        let (id, kind) = (cells.text("id").to_owned(), cells.text("kind").to_owned());
        let measured = match cells.number("measured_pH") {
            Ok(measured) => measured,
            Err(reason) => {
                comparison.unreadable.push(format!("{id}: {reason}"));
                continue;
            }
        };
        match model::predict(cells, &all) {
            Ok(predicted) => comparison.compared.push(Compared {
                id,
                kind,
                measured,
                predicted,
            }),
            Err(reason) => comparison
                .not_modelled
                .push(format!("{id} ({kind}): {reason}")),
        }
    }
    Ok(comparison)
}

impl Comparison {
    /// What was not compared at all.
    pub fn empty_tables(&self) -> Vec<&'static str> {
        let tables = [
            (self.compared.is_empty(), "no row was compared"),
            (
                self.steps.pairs.is_empty(),
                "no two rows differ by an acid alone",
            ),
        ];
        let empty = tables.into_iter().filter(|(is_empty, _)| *is_empty);
        empty.map(|(_, what)| what).collect()
    }

    /// Kinds in the order of the table.
    fn kinds(&self) -> Vec<&str> {
        let mut kinds: Vec<&str> = Vec::new();
        for row in &self.compared {
            if !kinds.contains(&row.kind.as_str()) {
                kinds.push(&row.kind);
            }
        }
        kinds
    }
}

/// Root mean square, bias and coverage of some rows in one line.
fn summary(name: &str, rows: &[&Compared]) -> String {
    let count = rows.len() as f64;
    let mean = |of: &dyn Fn(&Compared) -> f64| rows.iter().map(|row| of(row)).sum::<f64>() / count;
    let rms = mean(&|row| row.error() * row.error()).sqrt();
    let sd = mean(&|row| row.predicted.sd * row.predicted.sd).sqrt();
    let covered = [0, 1].map(|which| rows.iter().filter(|row| row.inside()[which]).count());
    format!(
        "{name}: {} rows, RMS {rms:.3} (stated {sd:.3}), bias {:+.3}, inside 80 %: {}, inside 95 \
         %: {}",
        rows.len(),
        mean(&Compared::error),
        covered[0],
        covered[1],
    )
}

impl fmt::Display for Comparison {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "id, kind: measured, forecast ± sd, inside 80 % and 95 %")?;
        for row in &self.compared {
            let [narrow, wide] = row.inside().map(|inside| if inside { "yes" } else { "NO" });
            writeln!(
                f,
                "{}, {}: {:.3}, {:.3} ± {:.3}, {narrow} {wide}",
                row.id, row.kind, row.measured, row.predicted.ph, row.predicted.sd
            )?;
        }
        for reason in &self.not_modelled {
            writeln!(f, "not modelled: {reason}")?;
        }
        for reason in &self.unreadable {
            writeln!(f, "cannot be read: {reason}")?;
        }
        for kind in self.kinds() {
            let rows: Vec<&Compared> = self
                .compared
                .iter()
                .filter(|row| row.kind == kind)
                .collect();
            writeln!(f, "{}", summary(kind, &rows))?;
        }
        if !self.compared.is_empty() {
            let all: Vec<&Compared> = self.compared.iter().collect();
            writeln!(f, "{}", summary("all", &all))?;
        }
        writeln!(
            f,
            "{} rows compared, {} not modelled, {} cannot be read. Rows of one series share malt, \
             meter and water: they are no independent witnesses.",
            self.compared.len(),
            self.not_modelled.len(),
            self.unreadable.len()
        )?;
        write!(f, "\n{}", self.steps)?;
        for what in self.empty_tables() {
            writeln!(f, "failure: {what}")?;
        }
        Ok(())
    }
}
