//! Errors of many references, quantity by quantity.

use std::collections::BTreeSet;
use std::fmt;

use super::Fault;

/// How far an answer may be from what is expected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// By this much, in the quantity's own unit.
    Absolute(f64),
    /// By this share of the expected value, per cent.
    Percent(f64),
    /// By this share of the expected value (per cent), or by this much where that is more.
    PercentOr(f64, f64),
    /// By any number: the error is given in per cent, and judged with others.
    Told,
}

impl Tolerance {
    fn allowed(self, expected: f64) -> f64 {
        match self {
            Tolerance::Absolute(absolute) => absolute,
            Tolerance::Percent(percent) => percent / 100.0 * expected.abs(),
            Tolerance::PercentOr(percent, absolute) => {
                (percent / 100.0 * expected.abs()).max(absolute)
            }
            Tolerance::Told => f64::MAX,
        }
    }

    /// The error as it is shown: in per cent where the tolerance is a share alone.
    fn shown(self, difference: f64, expected: f64) -> f64 {
        match self {
            Tolerance::Percent(_) | Tolerance::Told if difference > 0.0 => {
                100.0 * difference / expected.abs()
            }
            _ => difference,
        }
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Tolerance::Absolute(absolute) => write!(f, "{absolute}"),
            Tolerance::Percent(percent) => write!(f, "{percent} %"),
            Tolerance::PercentOr(percent, absolute) => write!(f, "{percent} % or {absolute}"),
            Tolerance::Told => f.write_str("reported"),
        }
    }
}

/// Errors of one quantity.
#[derive(Clone, Debug)]
pub struct Row {
    /// What is compared.
    pub quantity: String,
    /// How far it may be off.
    pub tolerance: Tolerance,
    /// How often it was compared.
    pub count: u32,
    /// How often it was too far off.
    pub beyond: u32,
    /// Largest error; in per cent where the tolerance is.
    pub largest: f64,
    sum_of_squares: f64,
    /// The largest error as a share of what is allowed (the error itself where any is), and where.
    worst: (f64, String),
}

impl Row {
    /// Root of the mean square error.
    pub fn rms(&self) -> f64 {
        (self.sum_of_squares / f64::from(self.count.max(1))).sqrt()
    }

    /// Where the error is the largest share of what is allowed.
    pub fn worst(&self) -> &str {
        &self.worst.1
    }
}

/// What is asked of all references together.
#[derive(Clone, Debug)]
pub struct Verdict {
    /// What was found and what is asked.
    pub words: String,
    /// Whether it is so.
    pub holds: bool,
}

/// What came of a file of references.
#[derive(Clone, Debug, Default)]
pub struct Score {
    /// Lines or rows.
    pub references: usize,
    /// Errors, in the order in which quantities were first met.
    pub rows: Vec<Row>,
    /// Lines that cannot be read, with the reason.
    pub unreadable: Vec<String>,
    /// References that the engine refuses, with the reason.
    pub refused: Vec<String>,
    /// References of another model, which the engine cannot be held to.
    pub set_aside: Vec<String>,
    /// What is asked of all together.
    pub verdicts: Vec<Verdict>,
    /// Keys of results that nothing is compared with.
    pub not_compared: BTreeSet<String>,
}

impl Score {
    /// Counts an answer. Anything that is not a number is beyond every tolerance.
    pub fn compare(
        &mut self,
        place: &str,
        quantity: &str,
        answer: f64,
        expected: f64,
        tolerance: Tolerance,
    ) {
        let difference = (answer - expected).abs();
        let allowed = tolerance.allowed(expected);
        let row = self.row(quantity, tolerance);
        row.count += 1;
        let within = difference <= allowed;
        row.beyond += u32::from(!within);
        let error = tolerance.shown(difference, expected);
        row.largest = if error <= row.largest {
            row.largest
        } else {
            error
        };
        row.sum_of_squares += error * error;
        let share = match tolerance {
            _ if difference == 0.0 => 0.0,
            Tolerance::Told => error,
            _ => difference / allowed,
        };
        // A share that is not a number is worse than any.
        if row.worst.1.is_empty() || share.is_nan() || share > row.worst.0 {
            row.worst = (share, place.to_owned());
        }
    }

    fn row(&mut self, quantity: &str, tolerance: Tolerance) -> &mut Row {
        let found = self
            .rows
            .iter()
            .position(|row| row.quantity == quantity && row.tolerance == tolerance);
        let index = found.unwrap_or_else(|| {
            self.rows.push(Row {
                quantity: quantity.to_owned(),
                tolerance,
                count: 0,
                beyond: 0,
                largest: 0.0,
                sum_of_squares: 0.0,
                worst: (0.0, String::new()),
            });
            self.rows.len() - 1
        });
        &mut self.rows[index]
    }

    /// Counts a reference that came to no comparison.
    pub fn fault(&mut self, place: &str, fault: Fault) {
        match fault {
            Fault::Unreadable(reason) => self.unreadable.push(format!("{place}: {reason}")),
            Fault::Refused(error) => self.refused.push(format!("{place}: {error}")),
            Fault::AnotherModel => self.set_aside.push(place.to_owned()),
        }
    }

    /// How many comparisons are beyond tolerance, references refused and verdicts that do not hold.
    pub fn failures(&self) -> usize {
        let beyond: u32 = self.rows.iter().map(|row| row.beyond).sum();
        let against = self.verdicts.iter().filter(|verdict| !verdict.holds);
        beyond as usize + self.refused.len() + against.count()
    }

    /// Whether every line could be read, and there was one.
    pub fn is_readable(&self) -> bool {
        self.unreadable.is_empty() && self.references > 0
    }
}

impl fmt::Display for Score {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "{:<26} {:>5} {:>10} {:>10}  {:<20} worst reference",
            "quantity", "n", "maximum", "RMS", "tolerance"
        )?;
        for row in &self.rows {
            let unit = match row.tolerance {
                Tolerance::Percent(_) | Tolerance::Told => "%",
                _ => " ",
            };
            let fails = match row.beyond {
                0 => String::new(),
                beyond => format!("  FAILS: {beyond} beyond tolerance"),
            };
            writeln!(
                f,
                "{:<26} {:>5} {:>9.2e}{unit} {:>9.2e}{unit} {:<20} {}{fails}",
                row.quantity,
                row.count,
                row.largest,
                row.rms(),
                row.tolerance.to_string(),
                row.worst()
            )?;
        }
        if !self.not_compared.is_empty() {
            let keys: Vec<&str> = self.not_compared.iter().map(String::as_str).collect();
            writeln!(f, "not compared: {}", keys.join(", "))?;
        }
        for verdict in &self.verdicts {
            let fails = if verdict.holds { "" } else { "  FAILS" };
            writeln!(f, "{}{fails}", verdict.words)?;
        }
        if !self.set_aside.is_empty() {
            let references = self.set_aside.join(", ");
            writeln!(
                f,
                "SET ASIDE, made without pairs that the engine has: {references}"
            )?;
        }
        for reason in &self.refused {
            writeln!(f, "REFUSED: {reason}")?;
        }
        for reason in &self.unreadable {
            writeln!(f, "NOT READABLE: {reason}")?;
        }
        if self.references == 0 {
            writeln!(f, "NOT READABLE: no reference")?;
        }
        writeln!(
            f,
            "{} references, {} not readable, {} failures",
            self.references,
            self.unreadable.len(),
            self.failures()
        )
    }
}
