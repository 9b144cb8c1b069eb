//! What is uncertain, and how it spreads through a result: one scheme for every forecast.
//!
//! A [`Cause`] is one thing that is not known exactly, with a standard deviation of its own; causes
//! are independent of each other. What one standard deviation of a cause moves a result by is the
//! result's sensitivity to it. From there on all is sums of squares, first order:
//!
//! | to find | use |
//! |---|---|
//! | the uncertainty of a result | [`Sensitivities::sd`] |
//! | the covariance of two results | [`Sensitivities::covariance`] |
//! | where the uncertainty comes from | [`budget`], a list of [`Contribution`]s |
//! | the variance of a sum of correlated amounts | [`Covariance::variance`] |
//! | independent causes of a covariance | [`Covariance::independent_components`] |
//! | the same of a liquor | [`LiquorCovariance`] |
//!
//! Who uses it: the reconciled water is the source of a [`LiquorCovariance`]; a brew day blends
//! those of its sources; the mash forecast and its budget, the check readings and their covariance,
//! and the tank's error bars spread causes with it.
//!
//! # Where first order is not enough
//! - *Readings* take the sensitivity over the whole error bar and the curvature beside it
//!   ([`slope_and_curvature`]); a curvature is a component of its own.
//! - *Chances* (`mash/chance`) need the shape of a distribution and not its width alone: products
//!   of two causes, and the carbon dioxide that is flat between all and nothing. They take the
//!   cumulants of the same effects that make the forecast's budget.
//! - *The tank* carries whole copies of itself, each with one cause perturbed
//!   ([`crate::tank::ledger::Perturbed`]): what is perturbed is so on every line and every day
//!   alike, and scale and carbon dioxide do not follow a straight line over a night of standing
//!   hot. Differences of the copies are the sensitivities.

mod budget_cause;
mod cause;
mod contribution;
mod covariance;
mod flaw;
mod liquor_covariance;
mod sensitivities;

pub use budget_cause::UncertaintyCause;
pub use cause::Cause;
pub use contribution::{Contribution, budget};
pub use covariance::Covariance;
pub(crate) use flaw::CovarianceFlaw;
pub use liquor_covariance::LiquorCovariance;
pub use sensitivities::{Sensitivities, slope_and_curvature};
