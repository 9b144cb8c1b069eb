//! A report as it was written.

use crate::ion::Ion;

/// What an entry of a report states, with the canonical unit of its figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Subject {
    /// An ion, mol/kg.
    Ion(Ion),
    /// Bicarbonate, mol/kg.
    Bicarbonate,
    /// Carbonate, mol/kg.
    Carbonate,
    /// Total alkalinity (to methyl orange or pH 4.5), eq/kg.
    Alkalinity,
    /// Alkalinity to phenolphthalein (pH 8.3), eq/kg.
    PhenolphthaleinAlkalinity,
    /// Total hardness, equivalents of calcium and magnesium per kg.
    Hardness,
    /// Dissolved solids or dry residue, mg/L.
    DissolvedSolids,
    /// Electrical conductivity referred to 25 °C, µS/cm.
    Conductivity,
    /// pH at the sample's temperature.
    Ph,
    /// Free chlorine, mg/L as Cl₂.
    FreeChlorine,
    /// Total chlorine: free chlorine and chloramines, mg/L as Cl₂.
    TotalChlorine,
}

/// A figure of a report, in the canonical unit of its subject.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    /// One value.
    Value(f64),
    /// Less than this: "<0.5", or "n.d." with the detection limit.
    Below(f64),
    /// Least and greatest of a period, and its average where one is given.
    Between {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
        /// Average.
        average: Option<f64>,
    },
}

impl Figure {
    /// The best single guess: the value, half of a detection limit, the average or the middle of a range.
    pub fn middle(self) -> f64 {
        match self {
            Figure::Value(value) => value,
            Figure::Below(limit) => limit / 2.0,
            Figure::Between { low, high, average } => average.unwrap_or(f64::midpoint(low, high)),
        }
    }
}

/// One line of a report, or one reading of the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What is stated.
    pub subject: Subject,
    /// How much of it.
    pub figure: Figure,
    /// Standard deviation where the report or the brewer states one, in the unit of the figure.
    pub sd: Option<f64>,
}

/// A water report: what was written down about a water, not yet judged.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct WaterReport {
    /// Name of the water.
    pub name: String,
    /// How many days old the sample is, where known.
    pub age_days: Option<f64>,
    /// Sampling note.
    pub note: Option<String>,
    /// Temperature of the sample, °C, where known.
    pub temperature_c: Option<f64>,
    /// The entries, each subject at most once.
    pub entries: Vec<Entry>,
}

impl WaterReport {
    /// The entry of a subject.
    pub fn entry(&self, subject: Subject) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.subject == subject)
    }

    /// The best single guess of a subject, in its canonical unit.
    pub fn middle(&self, subject: Subject) -> Option<f64> {
        self.entry(subject).map(|entry| entry.figure.middle())
    }
}
