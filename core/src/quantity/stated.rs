//! Figures as laboratories state them: a value, "<0.5 mg/L", "n.d.", "12-18 mg/L, average 15", "180
//! mg/L (sd 5)", "180 ± 10 mg/L"; with how they were written, so that they can be written back the same, or in
//! another unit.

use super::range::Range;
use super::units::Unit;
use super::{ErrorCode, Measure, Problem};

/// A figure of a report, in the canonical unit of its quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Figure {
    /// One value.
    Value(f64),
    /// Less than this: "<0.5", or "n.d." or "trace" with the detection limit.
    Below(f64),
    /// Least and greatest of a period, and its average where one is given. Of "<1 to 5" the least
    /// is taken as 1.
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
    /// The best single guess: the value, half of a detection limit, the average or the middle of a
    /// range.
    pub fn middle(self) -> f64 {
        match self {
            Figure::Value(value) => value,
            Figure::Below(limit) => limit / 2.0,
            Figure::Between { low, high, average } => average.unwrap_or(f64::midpoint(low, high)),
        }
    }

    /// How far the true value may lie from the [`Self::middle`] by what is stated alone: nothing
    /// for a value or an average, half a detection limit, half the width of a range without
    /// average.
    pub fn slack(self) -> f64 {
        match self {
            Figure::Value(_)
            | Figure::Between {
                average: Some(_), ..
            } => 0.0,
            Figure::Below(limit) => limit / 2.0,
            Figure::Between { low, high, .. } => (high - low) / 2.0,
        }
    }

    /// Every number of it times a factor.
    #[must_use]
    pub fn times(self, factor: f64) -> Figure {
        match self {
            Figure::Value(value) => Figure::Value(value * factor),
            Figure::Below(limit) => Figure::Below(limit * factor),
            Figure::Between { low, high, average } => Figure::Between {
                low: low * factor,
                high: high * factor,
                average: average.map(|average| average * factor),
            },
        }
    }
}

/// How a figure was written: unit, basis, decimals and shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Notation {
    pub(super) unit: &'static Unit,
    /// What the mass is counted as, where that was written.
    pub(super) basis: Option<&'static str>,
    pub(super) decimals: usize,
    pub(super) shape: Shape,
}

/// What the words around the numbers say beyond the figure itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Shape {
    /// Nothing.
    Plain,
    /// "n.d.", without a limit.
    NotDetected,
    /// "trace", without a limit.
    Trace,
    /// "n.d. (<0.5)".
    NotDetectedBelow,
    /// "<1 to 5": the low end is a detection limit.
    FromBelow,
    /// "5 ± 1": an expanded uncertainty behind the sign.
    PlusMinus,
}

impl Notation {
    /// Whether it says "not detected" or "trace" without a limit, so that the limit is an
    /// assumption.
    pub fn assumes_limit(&self) -> bool {
        matches!(self.shape, Shape::NotDetected | Shape::Trace)
    }

    /// Whether it is a mass in a volume, such as mg/L.
    pub(crate) fn is_mass(&self) -> bool {
        self.unit.measure == Measure::MassPerLitre
    }

    /// Whether it counts equivalents by name, not in degrees of hardness.
    pub(crate) fn is_equivalents(&self) -> bool {
        self.unit.measure == Measure::EquivalentPerLitre && self.unit.name.ends_with("eq/L")
    }

    /// Whether it is a mass concentration that does not say what the mass is counted as.
    pub fn leaves_basis_open(&self) -> bool {
        self.basis.is_none() && self.is_mass()
    }

    /// What the mass is counted as, such as `N`, where that was written.
    pub fn basis(&self) -> Option<&'static str> {
        self.basis
    }

    /// Unit and basis as printed: "mg/L as N"; empty for pH.
    pub fn unit(&self) -> String {
        match (self.unit.measure, self.basis) {
            (Measure::Ph, _) => String::new(),
            (_, None) => self.unit.name.to_owned(),
            (_, Some(basis)) => format!("{} as {basis}", self.unit.name),
        }
    }
}

/// A figure with its standard deviation, where one is stated, and its notation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stated {
    /// The figure, canonical.
    pub figure: Figure,
    /// Standard deviation, canonical.
    pub sd: Option<f64>,
    /// How it was written.
    pub notation: Notation,
}

/// Decimals that a range keeps beyond those of its numbers when its two ends have different units.
const BETWEEN_UNITS: usize = 3;

impl Stated {
    /// A range from two values, and their average.
    pub(crate) fn between(low: Stated, high: Stated, average: Option<Stated>) -> Stated {
        let mut notation = high.notation;
        if low.notation.unit != notation.unit {
            notation.decimals = low.notation.decimals + BETWEEN_UNITS;
        }
        if low.notation.shape == Shape::Plain && matches!(low.figure, Figure::Below(_)) {
            notation.shape = Shape::FromBelow;
        }
        let ends = [Some(low), Some(high), average];
        let decimals = ends.iter().flatten().map(|end| end.notation.decimals);
        notation.decimals = decimals.fold(notation.decimals, usize::max);
        let end = |of: Stated| match of.figure {
            Figure::Below(limit) => limit,
            other => other.middle(),
        };
        Stated {
            figure: Figure::Between {
                low: end(low),
                high: end(high),
                average: average.map(end),
            },
            sd: None,
            notation,
        }
    }

    /// With a standard deviation that was stated beside it.
    pub(crate) fn with_sd(mut self, sd: Stated) -> Stated {
        self.sd = Some(sd.figure.middle());
        self.notation.decimals = self.notation.decimals.max(sd.notation.decimals);
        self
    }

    /// The same, if a range has its low end first and its average between the ends.
    pub(crate) fn checked(self, read: impl FnOnce() -> String) -> Result<Stated, Problem> {
        if let Figure::Between { low, high, average } = self.figure {
            let range = Range {
                low: Some(low),
                high: Some(high),
                prefer: average,
            };
            range.checked(read).map_err(|problem| match problem.code {
                ErrorCode::Contradiction => Problem {
                    expected: "an average between the two ends".to_owned(),
                    hint: "Check the three numbers and their units.".to_owned(),
                    ..problem
                },
                _ => problem,
            })?;
        }
        Ok(self)
    }
}
