//! What both fits share: decision variables, and linear terms with a range each.
//!
//! A fit of a brew day and a fit of ions alone differ in their decision variables and their
//! targets, but a miss is the same in both. Targets become [`IonTarget`]s and these become
//! [`LinearTerm`]s in one place. Two strategies solve them:
//!
//! - [`super::day`]: strictly convex. Material has a price and a little curvature, so that every
//!   optimum is a single point: limits have multipliers that mean something, and neighbouring days
//!   have neighbouring plans.
//! - [`super::ions`]: lexicographic. Misses come first, then material, then the order of the salts,
//!   without any curvature that would shift an optimum: the result is exact, and comparable with
//!   proven optima. The proximal point method replaces the curvature.

use underlet_tables::parameters;

use super::target::{IonTarget, TargetQuantity};
use crate::component::Component;
use crate::math;
use crate::optimise::{Portion, Programme, ProgrammeError, Span, dot, stride};
use crate::recipe::{TargetKey, TargetRange};

/// Most nodes of the search of a document's fit: many times what a usual one takes, and still a
/// fraction of a second.
pub(crate) const NODE_LIMIT: u64 = 10_000;

/// A quantity that is linear in the decision variables, in units of its tolerance: a miss of 1
/// costs as much in one term as in another of the same weight.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct LinearTerm {
    /// Coefficient of each decision variable, then zeros as the solver pads its lists.
    padded: Vec<f64>,
    choices: usize,
    /// Low end.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// Weight of a miss.
    pub weight: f64,
}

impl LinearTerm {
    /// A term with these coefficients.
    pub(super) fn new(
        coefficients: impl Iterator<Item = f64>,
        [low, high]: [Option<f64>; 2],
        weight: f64,
    ) -> LinearTerm {
        let mut term = LinearTerm::default();
        term.write(coefficients, [low, high], weight);
        term
    }

    /// The same in the memory of a term before.
    pub(super) fn write(
        &mut self,
        coefficients: impl Iterator<Item = f64>,
        [low, high]: [Option<f64>; 2],
        weight: f64,
    ) {
        self.padded.clear();
        self.padded.extend(coefficients);
        self.choices = self.padded.len();
        self.padded.resize(stride(self.choices), 0.0);
        (self.low, self.high, self.weight) = (low, high, weight);
    }

    /// Coefficient of each decision variable.
    pub fn coefficients(&self) -> &[f64] {
        &self.padded[..self.choices]
    }

    /// The coefficients with zeros behind them.
    pub(super) fn padded(&self) -> &[f64] {
        &self.padded
    }

    /// Writes the term in other units of its variables.
    pub(super) fn rescale(&mut self, choices: &[Choice]) {
        for (a, choice) in self.padded.iter_mut().zip(choices) {
            *a *= choice.scale;
        }
    }

    /// Value at decision variables; further elements of `x` are ignored.
    pub fn at(&self, x: &[f64]) -> f64 {
        let count = self.choices.min(x.len());
        dot(&self.padded[..count], &x[..count])
    }

    /// Distance from the range, in tolerances.
    pub fn miss(&self, x: &[f64]) -> f64 {
        let value = self.at(x);
        let below = self.low.map_or(0.0, |low| math::at_least(low - value, 0.0));
        let above = self
            .high
            .map_or(0.0, |high| math::at_least(value - high, 0.0));
        below + above
    }

    /// Weight times the square of the miss.
    pub fn cost(&self, x: &[f64]) -> f64 {
        let miss = self.miss(x);
        self.weight * (miss * miss)
    }

    /// The target where it is a single point.
    pub(super) fn point(&self) -> Option<f64> {
        self.low.filter(|low| self.high == Some(*low))
    }

    /// Adds the term's rows to a programme that has a variable for its miss: low ≤ term + miss,
    /// term − miss ≤ high. Gives the rows of the two ends. `row` is memory for one row.
    pub(super) fn add_rows(
        &self,
        programme: &mut Programme,
        miss: usize,
        row: &mut [f64],
    ) -> Result<[Option<usize>; 2], ProgrammeError> {
        row.fill(0.0);
        row[..self.choices].copy_from_slice(self.coefficients());
        let mut rows = [None, None];
        if let Some(low) = self.low {
            row[miss] = 1.0;
            rows[0] = Some(programme.add_row(row, Span::at_least(low))?);
        }
        if let Some(high) = self.high {
            row[miss] = -1.0;
            rows[1] = Some(programme.add_row(row, Span::at_most(high))?);
        }
        Ok(rows)
    }
}

/// A decision variable: how far it may go, and how it is weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Choice {
    /// The caller's units (g, mL, a share) in one unit of the variable.
    pub scale: f64,
    /// Most of it, in the caller's units; infinite where nothing limits it.
    pub most: f64,
    /// Least of it, in the caller's units.
    pub least: f64,
    /// Step of the scale, in the caller's units; `None` where any amount can be weighed.
    pub step: Option<f64>,
    /// Smallest sensible amount, in the caller's units.
    pub min_dose: f64,
}

impl Choice {
    /// What the variable may be.
    pub fn span(&self) -> Span {
        Span::between(self.least / self.scale, self.most / self.scale)
    }

    /// As something that is weighed, taken from an item, at a price for using it.
    pub fn portion(&self, variable: usize, item: Option<usize>, price: f64) -> Portion {
        Portion {
            variable,
            step: self.step.map(|step| step / self.scale),
            min_dose: self.min_dose / self.scale,
            item,
            price,
        }
    }
}

/// Amounts of decision variables, in the caller's units. What lies below zero by rounding is none.
pub(super) fn amounts(choices: &[Choice], x: &[f64]) -> Vec<f64> {
    let amounts = x.iter().zip(choices);
    amounts
        .map(|(x, choice)| math::at_least(x * choice.scale, 0.0))
        .collect()
}

/// Limits the decision variables of a programme to their spans.
pub(super) fn limit_choices(
    programme: &mut Programme,
    choices: &[Choice],
) -> Result<(), ProgrammeError> {
    for (variable, choice) in choices.iter().enumerate() {
        programme.set_bound(variable, choice.span())?;
    }
    Ok(())
}

/// What a constraint is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// An ion over all the brewing liquor.
    Component(Component),
    /// Alkalinity of a liquor that is fitted alone.
    Alkalinity,
    /// Sulfate against the low end of its ratio to chloride.
    RatioLow,
    /// Sulfate against the high end of its ratio to chloride.
    RatioHigh,
    /// Mash pH against its low end.
    MashPhLow,
    /// Mash pH against its high end.
    MashPhHigh,
    /// Alkalinity of the sparge liquor.
    SpargeAlkalinity,
    /// pH of the sparge liquor against its low end.
    SpargePhLow,
    /// pH of the sparge liquor against its high end.
    SpargePhHigh,
}

impl Subject {
    /// Key of the target that it belongs to.
    pub fn key(self) -> TargetKey {
        match self {
            Subject::Component(ion) => TargetKey::Component(ion),
            Subject::RatioLow | Subject::RatioHigh => TargetKey::SulfateToChloride,
            Subject::MashPhLow | Subject::MashPhHigh => TargetKey::MashPh,
            Subject::Alkalinity => TargetKey::Alkalinity,
            Subject::SpargeAlkalinity => TargetKey::SpargeAlkalinity,
            Subject::SpargePhLow | Subject::SpargePhHigh => TargetKey::SpargePh,
        }
    }
}

/// A target's end or range as a linear term.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Constraint {
    /// What it is about.
    pub subject: Subject,
    /// The term.
    pub term: LinearTerm,
}

/// Weight of a preferred point beside that of its range.
pub(super) fn preference_weight(range: &TargetRange) -> f64 {
    range.weight * parameters::FIT_PULL.value
}

/// The targets for the ions and the alkalinity of a water: each with its subject, and a preferred
/// point, without one, after its range.
pub(crate) fn ion_targets(
    ions: &[(Component, TargetRange)],
    alkalinity: Option<&TargetRange>,
    sulfate_to_chloride: Option<&TargetRange>,
) -> Vec<(Option<Subject>, IonTarget)> {
    let mut targets = Vec::new();
    for (ion, range) in ions {
        let of = TargetQuantity::Component(*ion);
        add_range(&mut targets, Subject::Component(*ion), of, range);
    }
    if let Some(range) = alkalinity {
        let of = TargetQuantity::Alkalinity;
        add_range(&mut targets, Subject::Alkalinity, of, range);
    }
    if let Some(range) = sulfate_to_chloride {
        add_ratio(&mut targets, range);
    }
    targets
}

/// Adds a range of a quantity, and its preferred point.
fn add_range(
    targets: &mut Vec<(Option<Subject>, IonTarget)>,
    subject: Subject,
    of: TargetQuantity,
    range: &TargetRange,
) {
    let target = |[low, high]: [Option<f64>; 2], weight| IonTarget {
        of,
        low,
        high,
        tolerance: of.tolerance(),
        weight,
    };
    let ends = target([range.low, range.high], range.weight);
    let point = target([range.prefer; 2], preference_weight(range));
    let both = [(Some(subject), ends), (None, point)];
    targets.extend(both.into_iter().filter(|(_, target)| target.has_ends()));
}

/// Adds the range of the ratio of sulfate to chloride, by mass. It is linear only end by end:
/// sulfate beyond so many times the chloride.
fn add_ratio(targets: &mut Vec<(Option<Subject>, IonTarget)>, range: &TargetRange) {
    let [ion, other] = [Component::Sulfate, Component::Chloride];
    let of_ion = TargetQuantity::Component;
    let mut add = |subject, ratio: Option<f64>, [low, high]: [Option<f64>; 2], weight| {
        if let Some(ratio) = ratio {
            let times = ratio * of_ion(ion).tolerance() / of_ion(other).tolerance();
            let of = TargetQuantity::Beyond { ion, times, other };
            let tolerance = of.tolerance();
            let target = IonTarget {
                of,
                low,
                high,
                tolerance,
                weight,
            };
            targets.push((subject, target));
        }
    };
    let (at_least, at_most) = ([Some(0.0), None], [None, Some(0.0)]);
    let (low, high) = (Some(Subject::RatioLow), Some(Subject::RatioHigh));
    add(low, range.low, at_least, range.weight);
    add(high, range.high, at_most, range.weight);
    add(None, range.prefer, [Some(0.0); 2], preference_weight(range));
}
