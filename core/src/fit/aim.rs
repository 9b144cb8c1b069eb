//! Mash and sparge pH aimed inside their ranges, so that they land there with the day's
//! confidence.

use super::day::solve;
use super::mash_and_sparge::MashAndSparge;
use super::problem::Problem;
use super::result::{ActiveConstraint, FitError, FitResult};
use super::uncertainty::BrewUncertainty;
use crate::mash::Aim;
use crate::math;
use crate::recipe::{BrewDay, TargetKey, TargetRange};
use crate::words;

/// Most times that a day is solved again with the aim that the plan before requires: one or two are
/// usual, since the error bar hardly depends on the plan.
const ROUNDS: usize = 4;
/// Difference between two aims that no meter shows.
const SAME_PH: f64 = 0.002;

/// How a pH was aimed.
pub(crate) struct Aimed {
    /// Key of the target.
    pub key: TargetKey,
    /// Key of its confidence among what a plan can miss.
    pub confidence_key: TargetKey,
    /// What it is called.
    pub name: &'static str,
    /// The target range of the day.
    range: TargetRange,
    /// The confidence of the day, 0 to 1.
    pub confidence: f64,
    /// The range that the fit was given.
    pub aim: Aim,
    /// False where the aim still moved when the last plan was made.
    pub has_converged: bool,
}

/// Ranges that a reading can land in. A single target value has no chance worth stating: no pH is
/// met to the last digit.
pub(crate) fn ph_ranges(day: &BrewDay) -> MashAndSparge<Option<TargetRange>> {
    let ranges = MashAndSparge {
        mash: day.targets.mash_ph,
        sparge: day.sparge.and(day.targets.sparge_ph),
    };
    ranges.map(|range| range.filter(|range| range.low != range.high))
}

/// Chances that mash and sparge liquor land in the ranges of the day, with these shares and doses.
pub(crate) fn chances(
    day: &BrewDay,
    problem: &Problem<'_>,
    [shares, doses]: [&[f64]; 2],
    uncertainty: &BrewUncertainty,
) -> MashAndSparge<Option<f64>> {
    let liquors = problem.liquors(shares, doses);
    let ranges = ph_ranges(day);
    let mash = ranges.mash.map(|range| {
        let mash = problem.mash(liquors.mash);
        mash.probability_between(&uncertainty.doses, range.low, range.high)
    });
    let sparge = ranges.sparge.map(|range| {
        let sparge = uncertainty.sparge(problem, doses, liquors.sparge, &range);
        sparge.probability()
    });
    MashAndSparge { mash, sparge }
}

/// Solves the problem of a day. Where the day gives a confidence, the range of pH for the fit is
/// narrowed as far as the forecast of its own plan requires: it remains a pair of linear
/// constraints.
pub(super) fn solve_aimed(
    day: &BrewDay,
    problem: &mut Problem<'_>,
) -> Result<(FitResult, MashAndSparge<Option<Aimed>>), FitError> {
    let ranges = ph_ranges(day);
    let mash = ranges.mash.zip(day.mash_ph_confidence);
    let sparge = ranges.sparge.zip(day.sparge_ph_confidence);
    let mut aimed = MashAndSparge {
        mash: mash.map(|target| {
            Aimed::new(
                [TargetKey::MashPh, TargetKey::Confidence],
                "mash pH",
                target,
            )
        }),
        sparge: sparge.map(|target| {
            Aimed::new(
                [TargetKey::SpargePh, TargetKey::SpargeConfidence],
                "sparge pH",
                target,
            )
        }),
    };
    let mut round = 0;
    loop {
        let found = solve(problem)?;
        let aims = required_aims(day, problem, &found, &aimed);
        for (aimed, aim) in pairs(&mut aimed, &aims) {
            aimed.has_converged = round > 0 && is_same(aim, aimed.aim.low, aimed.aim.high);
        }
        let has_converged = aimed.iter().flatten().all(|aimed| aimed.has_converged);
        if has_converged || round == ROUNDS {
            return Ok((found, aimed));
        }
        for (aimed, aim) in pairs(&mut aimed, &aims) {
            aimed.aim = *aim;
        }
        let targets = &mut problem.targets;
        let ranges = [&mut targets.mash_ph, &mut targets.sparge_ph];
        for (range, aimed) in ranges.into_iter().zip(aimed.iter()) {
            *range = aimed.as_ref().map(Aimed::narrowed).or(*range);
        }
        round += 1;
    }
}

/// Each pH that is aimed, with its new aim.
fn pairs<'p>(
    aimed: &'p mut MashAndSparge<Option<Aimed>>,
    aims: &'p MashAndSparge<Option<Aim>>,
) -> impl Iterator<Item = (&'p mut Aimed, &'p Aim)> {
    let pairs = aimed.iter_mut().zip(aims.iter());
    pairs.filter_map(|(aimed, aim)| aimed.as_mut().zip(aim.as_ref()))
}

/// Where each aimed pH should be forecast, given the uncertainty of a plan.
fn required_aims(
    day: &BrewDay,
    problem: &Problem<'_>,
    found: &FitResult,
    aimed: &MashAndSparge<Option<Aimed>>,
) -> MashAndSparge<Option<Aim>> {
    if aimed.iter().all(Option::is_none) {
        return MashAndSparge::default();
    }
    let (shares, doses) = (&found.shares, &found.doses);
    let liquors = problem.liquors(shares, doses);
    let mash = problem.mash(liquors.mash);
    let uncertainty = BrewUncertainty::of(day, problem, shares, doses, &mash);
    MashAndSparge {
        mash: aimed.mash.as_ref().map(|aimed| {
            let range = [aimed.range.low, aimed.range.high];
            mash.aim(&uncertainty.doses, range, aimed.confidence)
        }),
        sparge: aimed.sparge.as_ref().map(|aimed| {
            let sparge = uncertainty.sparge(problem, doses, liquors.sparge, &aimed.range);
            sparge.aim(aimed.confidence)
        }),
    }
}

fn is_same(aim: &Aim, low: Option<f64>, high: Option<f64>) -> bool {
    is_same_end(aim.low, low) && is_same_end(aim.high, high)
}

fn is_same_end(one: Option<f64>, other: Option<f64>) -> bool {
    one.zip(other)
        .is_none_or(|(one, other)| (one - other).abs() <= SAME_PH)
}

impl Aimed {
    /// A pH with its range and confidence, aimed at the whole range as long as no plan is known.
    fn new(
        [key, confidence_key]: [TargetKey; 2],
        name: &'static str,
        (range, confidence): (TargetRange, f64),
    ) -> Aimed {
        Aimed {
            key,
            confidence_key,
            name,
            range,
            confidence,
            aim: Aim {
                low: range.low,
                high: range.high,
                best: 1.0,
            },
            has_converged: false,
        }
    }

    /// The range that the fit is given.
    fn narrowed(&self) -> TargetRange {
        let Aim { low, high, .. } = self.aim;
        let inside = |ph: f64| ph.max(low.unwrap_or(ph)).min(high.unwrap_or(ph));
        TargetRange {
            low,
            high,
            prefer: self.range.prefer.map(inside),
            ..self.range
        }
    }

    /// The confidence of the day, %.
    pub fn percent(&self) -> f64 {
        words::tidy(self.confidence * 100.0)
    }

    /// How far a chance falls short of the confidence, in whole per cents: as they are shown, or a
    /// plan would say that 90 % is less than 90 %.
    pub fn short_by_percent(&self, chance: f64) -> f64 {
        let whole = |share: f64| (share * 100.0).round();
        math::at_least(whole(self.confidence) - whole(chance), 0.0)
    }

    /// Whether the range for the fit is narrower than that of the day.
    pub fn is_narrowed(&self) -> bool {
        !is_same(&self.aim, self.range.low, self.range.high)
    }

    /// Whether an active end differs from that end of the day's range.
    pub fn moves_end(&self, active: ActiveConstraint) -> bool {
        match active {
            ActiveConstraint::Low(_) => !is_same_end(self.aim.low, self.range.low),
            ActiveConstraint::High(_) => !is_same_end(self.aim.high, self.range.high),
            _ => false,
        }
    }
}
