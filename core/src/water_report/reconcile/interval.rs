//! Where 95 of 100 truths lie.

use crate::math::{self, NoRoot};

/// Share of the truths that an interval holds.
pub(super) const CONFIDENCE: f64 = 0.95;
/// A search for a place in a tail goes this many standard deviations out; nothing is left there.
const FAR: f64 = 10.0;

/// A quantity with its standard deviation and 95 % interval, all in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Estimate {
    /// The value that fits the measurements best.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Low end of the interval that holds the truth in 95 of 100 cases; never below zero for what
    /// cannot be.
    pub low: f64,
    /// High end.
    pub high: f64,
}

impl Estimate {
    /// Symmetrical about its value.
    pub(super) fn normal(value: f64, sd: f64) -> Estimate {
        let reach = standard_reach(CONFIDENCE) * sd;
        Estimate {
            value,
            sd,
            low: value - reach,
            high: value + reach,
        }
    }

    /// The same for what cannot be negative.
    pub(super) fn amount(value: f64, sd: f64) -> Estimate {
        let normal = Estimate::normal(value, sd);
        Estimate {
            low: math::at_least(normal.low, 0.0),
            high: math::at_least(normal.high, 0.0),
            ..normal
        }
    }
}

/// How many standard deviations to either side hold this share of a normal distribution.
fn standard_reach(share: f64) -> f64 {
    // Nothing that a double can tell lies beyond.
    math::falling_root(|k| 2.0 * above(k) - (1.0 - share), 0.0, FAR)
        .unwrap_or_else(NoRoot::nearer_end)
}

/// Share of a standard normal above a place.
fn above(place: f64) -> f64 {
    math::normal_below(-place)
}

/// What is known of an amount apart from its being at least zero: a normal distribution, and
/// perhaps a limit it is below.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Belief {
    pub mean: f64,
    pub sd: f64,
    pub below: Option<f64>,
}

impl Belief {
    /// The shortest interval that holds 95 % of the belief from zero up; one that reaches down to
    /// zero where zero is as likely as its high end, or where the amount is only known to be
    /// below a limit.
    pub fn interval(&self) -> [f64; 2] {
        let Belief { mean, sd, below } = *self;
        if let Some(limit) = below {
            return [0.0, self.upper(limit)];
        }
        let reach = standard_reach(CONFIDENCE * above(-mean / sd)) * sd;
        if mean >= reach {
            [mean - reach, mean + reach]
        } else {
            [0.0, self.upper(f64::INFINITY)]
        }
    }

    /// What 95 % of the belief between zero and a limit lie below.
    fn upper(&self, limit: f64) -> f64 {
        let Belief { mean, sd, .. } = *self;
        let (bottom, top) = (-mean / sd, (limit - mean) / sd);
        let all = above(bottom);
        let beyond = if limit.is_finite() { above(top) } else { 0.0 };
        if all <= beyond {
            // Next to nothing is known but the limit; or the belief is so far below zero that only
            // its edge is left.
            return if limit.is_finite() {
                CONFIDENCE * limit
            } else {
                -math::ln(1.0 - CONFIDENCE) * sd / bottom
            };
        }
        let wanted = (1.0 - CONFIDENCE) + CONFIDENCE * beyond / all;
        let end = if limit.is_finite() {
            top.min(bottom + 2.0 * FAR)
        } else {
            bottom + 2.0 * FAR
        };
        // The share wanted lies between those above the two ends; only rounding puts it beyond one.
        let place = math::falling_root(|t| above(t) / all - wanted, bottom, end)
            .unwrap_or_else(NoRoot::nearer_end);
        math::at_least(mean + place * sd, 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    fn interval(mean: f64, sd: f64, below: Option<f64>) -> [f64; 2] {
        Belief { mean, sd, below }.interval()
    }

    #[test]
    fn far_from_zero_it_is_the_usual_one() {
        let [low, high] = interval(100.0, 1.0, None);
        // Abramowitz & Stegun 1964, table 26.1: 1.959964.
        assert_abs_diff_eq!(low, 100.0 - 1.959_964, epsilon = 1e-6);
        assert_abs_diff_eq!(high, 100.0 + 1.959_964, epsilon = 1e-6);
    }

    #[test]
    fn near_zero_it_holds_95_percent_of_what_is_left() {
        for mean in [-30.0, -3.0, -1.0, 0.0, 0.5, 1.0, 1.9, 2.0, 3.0] {
            let [low, high] = interval(mean, 1.0, None);
            let held = (above(low - mean) - above(high - mean)) / above(-mean);
            assert_abs_diff_eq!(held, 0.95, epsilon = 1e-9);
            assert!(low >= 0.0 && (low == 0.0 || (mean - low) - (high - mean) < 1e-9));
        }
        // A half-normal: 1.959964 again. So far below that erfc is nothing: an exponential with
        // 45/sd, 95 % below ln 20/45.
        assert_abs_diff_eq!(interval(0.0, 1.0, None)[1], 1.959_964, epsilon = 1e-6);
        assert_abs_diff_eq!(
            interval(-45.0, 1.0, None)[1],
            20.0_f64.ln() / 45.0,
            epsilon = 1e-9
        );
    }

    #[test]
    fn below_a_limit_it_is_95_percent_of_it_where_nothing_else_is_known() {
        assert_abs_diff_eq!(interval(3.0, 1e9, Some(2.0))[1], 1.9, epsilon = 1e-6);
        assert_abs_diff_eq!(interval(3.0, 1e4, Some(2.0))[1], 1.9, epsilon = 1e-4);
        // What else is known may say less, never more than the limit.
        assert!(interval(0.2, 0.1, Some(2.0))[1] < 0.5);
        assert!(interval(9.0, 0.1, Some(2.0))[1] <= 2.0);
    }
}
