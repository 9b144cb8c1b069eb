//! Why numbers are no covariance.

use crate::error::{ErrorCode, Problem};
use crate::quantity::{self, Substance, significant};

/// Why a matrix is no covariance, by the places of its amounts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum CovarianceFlaw {
    /// A cell is NaN or an infinity.
    NotFinite,
    /// A variance is negative.
    NegativeVariance(usize),
    /// Two amounts have two covariances that differ.
    Asymmetric(usize, usize),
    /// Two amounts vary together by more than they vary.
    TooLarge(usize, usize),
    /// Some sum of the amounts would have a negative variance.
    Indefinite,
}

impl CovarianceFlaw {
    /// The problem, without a path, by the keys of the amounts and their covariances in (mmol/kg)².
    pub(crate) fn problem<'k>(
        self,
        key: impl Fn(usize) -> &'k str,
        covariance: impl Fn(usize, usize) -> f64,
    ) -> Problem {
        let product = |one, other| (covariance(one, one) * covariance(other, other)).sqrt();
        let covariance_of = |one, other| shown(covariance(one, other));
        let both = |one, other| format!("{} and {}", key(other), key(one));
        let (code, found, expected) = match self {
            CovarianceFlaw::NotFinite => {
                let check = quantity::COVARIANCE.check(f64::NAN, &Substance::NONE);
                if let Err(problem) = check {
                    return problem;
                }
                (
                    ErrorCode::NotFinite,
                    "NaN".to_owned(),
                    "a finite number".to_owned(),
                )
            }
            CovarianceFlaw::NegativeVariance(place) => (
                ErrorCode::OutOfRange,
                format!(
                    "a variance of {} (mmol/kg)² of {}",
                    covariance_of(place, place),
                    key(place)
                ),
                "a variance of 0 or more".to_owned(),
            ),
            CovarianceFlaw::Asymmetric(one, other) => (
                ErrorCode::Contradiction,
                format!(
                    "covariances of {} and {} (mmol/kg)² of {}",
                    covariance_of(one, other),
                    covariance_of(other, one),
                    both(one, other)
                ),
                "one covariance of each two amounts".to_owned(),
            ),
            CovarianceFlaw::TooLarge(one, other) => (
                ErrorCode::Contradiction,
                format!(
                    "a covariance of {} (mmol/kg)² of {}",
                    covariance_of(one, other),
                    both(one, other)
                ),
                format!(
                    "at most {}, the product of their standard deviations",
                    shown(product(one, other))
                ),
            ),
            CovarianceFlaw::Indefinite => (
                ErrorCode::Contradiction,
                "covariances by which some sum of the amounts has a negative variance".to_owned(),
                "a positive semidefinite matrix".to_owned(),
            ),
        };
        Problem {
            code,
            path: String::new(),
            found,
            expected,
            hint: "Take all variances and covariances as they were computed, with their digits."
                .to_owned(),
        }
    }
}

/// A number for people, however small.
fn shown(number: f64) -> String {
    if number == 0.0 || number.abs() >= 1e-6 {
        significant(number, 4)
    } else {
        format!("{number:.3e}")
    }
}
