//! Acid for the mash in two stages: so much at once that acid alone can finish the job once the
//! mash was read.

use super::problem::Problem;
use super::uncertainty::BrewUncertainty;
use crate::math;
use crate::recipe::{BrewDay, Meter, TargetRange, Vessel};

/// Below what a mash has more acid than it should: below its range, and where that is narrower than
/// a meter tells, a tenth below its middle. `None` where the range is open below.
pub(crate) fn too_low(range: &TargetRange) -> Option<f64> {
    const TENTH: f64 = 0.1;
    let low = range.low?;
    let below_middle = range.high.map(|high| (low + high) / 2.0 - TENTH);
    Some(below_middle.map_or(low, |below| below.min(low)))
}

/// Share of the acid for the mash that goes in before its first reading: all of it where nothing is
/// read, or where that is no risk.
pub(super) fn first_share(
    day: &BrewDay,
    problem: &Problem<'_>,
    [shares, doses]: [&[f64]; 2],
) -> f64 {
    let range = day.targets.mash_ph.as_ref();
    let Some(low) = range.and_then(too_low) else {
        return 1.0;
    };
    let gives_acid = problem.doses.iter().zip(doses).any(|(option, amount)| {
        *amount > 0.0 && option.vessel == Vessel::MashTun && option.preparation.is_acid()
    });
    if !gives_acid || !day.brewhouse.meters.contains(&Meter::Ph) {
        return 1.0;
    }
    let spare = |share: f64| {
        let given = problem.doses.iter().zip(doses).map(|(option, amount)| {
            let is_first = option.vessel == Vessel::MashTun && option.preparation.is_acid();
            if is_first { share * amount } else { *amount }
        });
        let given: Vec<f64> = given.collect();
        let mash = problem.mash(problem.liquors(shares, &given).mash);
        let unsure = BrewUncertainty::of(day, problem, shares, &given, &mash).doses;
        day.brewhouse.overshoot_risk - mash.probability_between(&unsure, None, Some(low))
    };
    if spare(1.0) >= 0.0 {
        return 1.0;
    }
    math::falling_root(spare, 0.0, 1.0).unwrap_or(0.0)
}
