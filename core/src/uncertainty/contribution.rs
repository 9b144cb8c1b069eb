//! The uncertainty budget: how much of a result's standard deviation each cause makes.

use super::Cause;
use crate::math;

/// What a cause contributes to the uncertainty of a result.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Contribution {
    /// The cause.
    pub cause: Cause,
    /// Standard deviation of the result by this cause alone, in the result's unit.
    pub sd: f64,
}

impl Contribution {
    /// Its share of the variance of a result with this standard deviation, 0 to 1.
    pub fn share(&self, of_sd: f64) -> f64 {
        self.sd * self.sd / (of_sd * of_sd)
    }
}

/// The budget of a result, largest contribution first. Parts that follow each other under one cause
/// are independent of each other and make one contribution; a cause that moves nothing makes none.
///
/// ```
/// use underlet::uncertainty::{Cause, budget};
/// let parts = [(Cause::Meter, 0.02), (Cause::MaltLots, 0.03), (Cause::MaltLots, -0.04)];
/// let budget = budget(parts);
/// assert_eq!(budget[0].cause, Cause::MaltLots);
/// assert!((budget[0].sd - 0.05).abs() < 1e-15);
/// assert!((budget[1].share(0.04) - 0.25).abs() < 1e-12);
/// ```
pub fn budget(parts: impl IntoIterator<Item = (Cause, f64)>) -> Vec<Contribution> {
    let parts: Vec<(Cause, f64)> = parts.into_iter().collect();
    let mut budget: Vec<Contribution> = parts
        .chunk_by(|(one, _), (other, _)| one == other)
        .filter_map(|of_one| {
            let (cause, _) = of_one.first()?;
            Some(Contribution {
                cause: cause.clone(),
                sd: math::root_of_squares(of_one.iter().map(|(_, moved)| moved)),
            })
        })
        .filter(|contribution| contribution.sd > 0.0)
        .collect();
    budget.sort_by(|one, other| other.sd.total_cmp(&one.sd));
    budget
}
