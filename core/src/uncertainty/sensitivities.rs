//! First-order spread: what each cause moves a result by.

use crate::math;
use crate::optimise::dot;

/// What one standard deviation of each of several independent causes moves a result by, in the
/// result's unit. Results that are compared have the same causes in the same order.
///
/// ```
/// use underlet::uncertainty::Sensitivities;
/// let ph: Sensitivities = [0.03, -0.04].into_iter().collect();
/// let alkalinity: Sensitivities = [-0.3, 0.0].into_iter().collect();
/// assert!((ph.sd() - 0.05).abs() < 1e-15);
/// assert!((ph.covariance(&alkalinity) + 0.009).abs() < 1e-15);
/// assert_eq!(ph.difference_sd(&ph), 0.0);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sensitivities(Vec<f64>);

impl Sensitivities {
    /// What each cause moves it by, in their order.
    pub fn as_slice(&self) -> &[f64] {
        &self.0
    }

    /// Standard deviation of the result.
    pub fn sd(&self) -> f64 {
        math::root_of_squares(&self.0)
    }

    /// Standard deviation of the difference to another result: causes that move both alike fall
    /// out.
    pub fn difference_sd(&self, other: &Sensitivities) -> f64 {
        let both = self.0.iter().zip(&other.0);
        math::root_of_squares(both.map(|(one, other)| one - other))
    }

    /// Covariance with another result.
    pub fn covariance(&self, other: &Sensitivities) -> f64 {
        dot(&self.0, &other.0)
    }
}

impl FromIterator<f64> for Sensitivities {
    fn from_iter<I: IntoIterator<Item = f64>>(moved: I) -> Sensitivities {
        Sensitivities(moved.into_iter().collect())
    }
}

impl Extend<f64> for Sensitivities {
    fn extend<I: IntoIterator<Item = f64>>(&mut self, moved: I) {
        self.0.extend(moved);
    }
}

/// Slope and curvature of a result over an error bar, from its values with a cause one standard
/// deviation below, at its middle and above: with a standard normal z it goes as `middle + slope z
/// + curvature z²`.
pub fn slope_and_curvature([below, middle, above]: [f64; 3]) -> [f64; 2] {
    [(above - below) / 2.0, (above + below) / 2.0 - middle]
}
