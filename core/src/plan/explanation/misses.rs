//! How far a plan misses its targets, and how two plans differ in that.

use crate::aqueous::EquilibriumError;
use crate::fit::{MashAndSparge, Solution};
use crate::plan::document::{Change, TargetLine, TargetState};
use crate::plan::evaluation::Evaluation;
use crate::recipe::TargetKey;
use crate::words;

/// Unit of the difference between a chance and its confidence: no target has it.
const SHORT_IN: &str = "%";

/// How far a target or a confidence is missed.
pub(super) struct Miss {
    pub key: TargetKey,
    label: String,
    unit: String,
    pub by: Distance,
}

/// A distance from a target: negative below it, 0 where it is met.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Distance {
    By(f64),
    /// A ratio without chloride to compare with, above its range by no figure.
    WithoutChloride,
}

impl Distance {
    pub const MET: Distance = Distance::By(0.0);

    /// How far a target lies outside its range.
    pub fn of(line: &TargetLine) -> Distance {
        let Some(planned) = line.planned else {
            return match line.state {
                TargetState::Above => Distance::WithoutChloride,
                _ => Distance::MET,
            };
        };
        let end = match line.state {
            TargetState::Below => line.low,
            TargetState::Above => line.high,
            TargetState::Met | TargetState::Unknown | TargetState::Free => None,
        };
        Distance::By(end.map_or(0.0, |end| planned - end))
    }

    /// Its figure, where it has one.
    pub fn figure(self) -> Option<f64> {
        match self {
            Distance::By(by) => Some(by),
            Distance::WithoutChloride => None,
        }
    }

    /// Whether it is nearer than another; any figure is nearer than none.
    pub fn is_nearer_than(self, other: Distance) -> bool {
        match (self.figure(), other.figure()) {
            (Some(one), Some(other)) => one.abs() < other.abs(),
            (Some(_), None) => true,
            (None, _) => false,
        }
    }

    fn is_below(self) -> bool {
        self.figure().is_some_and(|by| by < 0.0)
    }

    fn in_words(self) -> String {
        match self {
            Distance::By(by) => words::number(by.abs()),
            Distance::WithoutChloride => "without chloride".to_owned(),
        }
    }
}

/// The misses of a plan: of the day's own ranges, and of its confidences where it gives some.
pub(super) fn misses(
    solution: &Solution<'_>,
    targets: &[TargetLine],
    chances: MashAndSparge<Option<f64>>,
) -> Vec<Miss> {
    let of_targets = targets.iter().map(|line| Miss {
        key: line.key,
        label: line.label.clone(),
        unit: line.unit.clone(),
        by: Distance::of(line),
    });
    let aimed = solution.aimed.iter().zip(chances.iter());
    let of_confidences = aimed.filter_map(|(aimed, chance)| {
        let (aimed, chance) = aimed.as_ref().zip(*chance)?;
        Some(Miss {
            key: aimed.confidence_key,
            label: format!("confidence of {}", aimed.name),
            unit: SHORT_IN.to_owned(),
            by: Distance::By(0.0 - aimed.short_by_percent(chance)),
        })
    });
    of_targets.chain(of_confidences).collect()
}

/// The same with other shares and doses.
///
/// # Errors
/// [`EquilibriumError`] where a liquor has no equilibrium then.
pub(super) fn misses_at(
    solution: &Solution<'_>,
    evaluation: &Evaluation,
    shares: &[f64],
    doses: &[f64],
) -> Result<Vec<Miss>, EquilibriumError> {
    let is_aimed = solution.aimed.iter().any(Option::is_some);
    let chances = is_aimed.then(|| Evaluation::chances_at(solution, shares, doses));
    let targets = evaluation.targets_at(solution, shares, doses)?;
    Ok(misses(solution, &targets, chances.unwrap_or_default()))
}

/// The misses in which two plans differ, to three digits.
pub(super) fn changes(before: &[Miss], after: &[Miss]) -> Vec<Change> {
    let pairs = before.iter().zip(after);
    let differ = pairs.filter(|(before, after)| {
        let (was, is) = (before.by, after.by);
        was.in_words() != is.in_words() || was.is_below() != is.is_below()
    });
    differ
        .map(|(before, after)| change(before, after))
        .collect()
}

fn change(before: &Miss, after: &Miss) -> Change {
    let (was, is) = (before.by, after.by);
    let side = match after.unit.as_str() {
        SHORT_IN => "short of the request",
        _ if is.is_below() => "below its range",
        _ => "above its range",
    };
    let end = format!("{} would end {} {}", after.label, is.in_words(), after.unit);
    let end = format!("{} {side}", end.trim_end());
    Change {
        key: after.key,
        unit: after.unit.clone(),
        missed_by: was.figure(),
        would_miss_by: is.figure(),
        display: match (was == Distance::MET, is == Distance::MET) {
            (_, true) => format!("{} would be met", after.label),
            (true, false) => end,
            (false, false) => format!("{end}, not {}", was.in_words()),
        },
    }
}

/// Whether a change brings a target nearer.
pub(super) fn is_nearer(change: &Change) -> bool {
    let distance = |by: Option<f64>| by.map_or(Distance::WithoutChloride, Distance::By);
    distance(change.would_miss_by).is_nearer_than(distance(change.missed_by))
}

/// The changes as one sentence.
pub(super) fn consequences(changes: &[Change], none: &str) -> String {
    let texts: Vec<&str> = changes
        .iter()
        .map(|change| change.display.as_str())
        .collect();
    words::or(texts.join("; "), none)
}
