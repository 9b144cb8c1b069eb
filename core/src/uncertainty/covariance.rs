//! Amounts that vary together.

use super::flaw::CovarianceFlaw;
use crate::math;
use crate::optimise::Cholesky;

/// Covariance of several amounts, each by its place, in the products of their units.
#[derive(Clone, Debug, PartialEq)]
pub struct Covariance {
    count: usize,
    /// Row by row.
    cells: Vec<f64>,
}

/// Share of a variance that rounding may leave of one that depends on others: sums of some twenty
/// squares, and what differences of charges take away.
const ROUNDING: f64 = 1e-9;

/// How far a correlation may be from one that can be: documents carry ten digits of each of some
/// twenty times twenty numbers, and a program between may keep fewer.
const CORRELATION_ROUNDING: f64 = 1e-6;
/// Part of the greatest variance below which another is as good as none: then what rounding leaves
/// of a variance that should be zero, some 1e-15 of the greatest, is no flaw.
const NEGLIGIBLE: f64 = 1e-9;

impl Covariance {
    /// So many amounts, all of them known exactly.
    pub fn zero(count: usize) -> Covariance {
        Covariance {
            count,
            cells: vec![0.0; count * count],
        }
    }

    /// From its rows, one after another; cells that are missing are zero.
    pub fn of_rows(count: usize, mut cells: Vec<f64>) -> Covariance {
        cells.resize(count * count, 0.0);
        Covariance { count, cells }
    }

    /// Covariance of two amounts; zero for a place beyond the last.
    pub fn get(&self, one: usize, other: usize) -> f64 {
        let mut row = self.rows().nth(one).unwrap_or_default().iter();
        row.nth(other).copied().unwrap_or(0.0)
    }

    /// Adds to one cell; nothing for a place beyond the last.
    pub(super) fn add(&mut self, one: usize, other: usize, value: f64) {
        let row = self.cells.chunks_exact_mut(self.count.max(1)).nth(one);
        if let Some(cell) = row.and_then(|row| row.get_mut(other)) {
            *cell += value;
        }
    }

    /// Whether every cell is a finite number.
    pub fn is_finite(&self) -> bool {
        self.cells.iter().all(|cell| cell.is_finite())
    }

    /// Why it is no covariance: every cell at fault, or that all of them together are. `of_terms`
    /// are the variances of the amounts, or of the terms that an amount is the sum of: where they
    /// cancel, rounding is left.
    pub(super) fn flaws(&self, of_terms: &[f64]) -> Vec<CovarianceFlaw> {
        if !self.is_finite() {
            return vec![CovarianceFlaw::NotFinite];
        }
        let greatest = of_terms.iter().copied().fold(0.0, math::at_least);
        let scales: Vec<f64> = of_terms
            .iter()
            .map(|variance| math::at_least(*variance, NEGLIGIBLE * greatest))
            .collect();
        // The most that a variance can be, rounding included; none where it is negative.
        let most = |place: usize, scale: &f64| {
            let most = self.get(place, place) + CORRELATION_ROUNDING * scale;
            (most >= 0.0).then_some(most)
        };
        let mut flaws = Vec::new();
        for (one, scale) in scales.iter().enumerate() {
            let variance = most(one, scale);
            if variance.is_none() {
                flaws.push(CovarianceFlaw::NegativeVariance(one));
            }
            for (other, other_scale) in scales.iter().enumerate().take(one) {
                let (cell, mirrored) = (self.get(one, other), self.get(other, one));
                let product = variance.zip(most(other, other_scale));
                let rounding = CORRELATION_ROUNDING * (scale * other_scale).sqrt();
                if (cell - mirrored).abs() > rounding {
                    flaws.push(CovarianceFlaw::Asymmetric(one, other));
                } else if product.is_some_and(|(one, other)| cell.abs() > (one * other).sqrt()) {
                    flaws.push(CovarianceFlaw::TooLarge(one, other));
                }
            }
        }
        if flaws.is_empty() && !self.is_semidefinite(&scales) {
            flaws.push(CovarianceFlaw::Indefinite);
        }
        flaws
    }

    /// The same where no amount is a sum of others.
    pub(crate) fn flaws_of_plain(&self) -> Vec<CovarianceFlaw> {
        let variances: Vec<f64> = (0..self.count)
            .map(|place| self.get(place, place))
            .collect();
        self.flaws(&variances)
    }

    /// Whether no sum of the amounts has a negative variance beyond rounding: the correlations have
    /// a Cholesky factor once that is added to each variance.
    fn is_semidefinite(&self, scales: &[f64]) -> bool {
        let per_unit: Vec<f64> = scales
            .iter()
            .map(|scale| {
                if *scale > 0.0 {
                    1.0 / scale.sqrt()
                } else {
                    0.0
                }
            })
            .collect();
        let mut correlations = Vec::with_capacity(self.cells.len());
        for (place, (row, by_row)) in self.rows().zip(&per_unit).enumerate() {
            for (other, (cell, by_column)) in row.iter().zip(&per_unit).enumerate() {
                let rounding = if place == other {
                    CORRELATION_ROUNDING
                } else {
                    0.0
                };
                correlations.push(cell * by_row * by_column + rounding);
            }
        }
        Cholesky::of(&correlations, self.count).is_ok()
    }

    fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.cells.chunks_exact(self.count.max(1))
    }

    /// Standard deviations of the amounts; a negative variance counts as zero.
    pub fn sds(&self) -> impl Iterator<Item = f64> {
        let variances = self.cells.iter().step_by(self.count + 1);
        variances.map(|variance| math::at_least(*variance, 0.0).sqrt())
    }

    /// Covariance of each amount with a result, whose derivatives to the amounts are given.
    pub fn with(&self, derivatives: &[f64]) -> Vec<f64> {
        let product = |row: &[f64]| row.iter().zip(derivatives).map(|(v, d)| v * d).sum();
        self.rows().map(product).collect()
    }

    /// Variance of a result whose derivatives to the amounts are given; rounding never makes it
    /// negative.
    pub fn variance(&self, derivatives: &[f64]) -> f64 {
        let sum = derivatives.iter().zip(self.with(derivatives));
        math::at_least(sum.map(|(derivative, with)| derivative * with).sum(), 0.0)
    }

    /// Independent causes that together make the covariance: what one standard deviation of each
    /// moves the amounts by. They are the columns of its Cholesky factor; amounts that follow from
    /// those before them, as alkalinity does, add none. A matrix typed by hand may be no
    /// covariance: no component moves an amount by more than its standard deviation.
    pub fn independent_components(&self) -> Vec<Vec<f64>> {
        let sds: Vec<f64> = self.sds().collect();
        let mut rest = self.clone();
        let mut components = Vec::new();
        for (place, sd) in sds.iter().enumerate() {
            let left = rest.get(place, place);
            if left <= ROUNDING * sd * sd {
                continue;
            }
            let row = rest.rows().nth(place).unwrap_or_default();
            let component: Vec<f64> = row
                .iter()
                .zip(&sds)
                .map(|(cell, sd)| within(cell / left.sqrt(), *sd))
                .collect();
            let products = component
                .iter()
                .flat_map(|by_row| component.iter().map(move |by_column| by_row * by_column));
            for (cell, product) in rest.cells.iter_mut().zip(products) {
                *cell -= product;
            }
            components.push(component);
        }
        components
    }
}

/// The number, or the nearer of minus and plus a limit.
fn within(value: f64, limit: f64) -> f64 {
    -math::at_least(-math::at_least(value, -limit), -limit)
}

#[cfg(test)]
mod tests {
    use super::{Covariance, CovarianceFlaw};

    /// Correlations of one third are possible of three amounts, of minus one half just so, and of
    /// minus two thirds not: their sum would have the variance 3 - 4.
    #[test]
    fn correlations_that_cannot_be_are_found() {
        let equal = |correlation: f64| {
            let cells = (0..9).map(|cell| if cell % 4 == 0 { 1.0 } else { correlation });
            Covariance::of_rows(3, cells.collect())
        };
        let variances = [1.0; 3];
        for correlation in [0.0, 1.0 / 3.0, 1.0, -0.5, -0.500_000_1] {
            assert_eq!(equal(correlation).flaws(&variances), [], "{correlation}");
        }
        for correlation in [-0.501, -2.0 / 3.0, -1.0] {
            let flaws = equal(correlation).flaws(&variances);
            assert_eq!(flaws, [CovarianceFlaw::Indefinite], "{correlation}");
        }
        let flaws = equal(1.1).flaws(&variances);
        let pairs = [(1, 0), (2, 0), (2, 1)];
        assert_eq!(
            flaws,
            pairs.map(|(one, other)| CovarianceFlaw::TooLarge(one, other))
        );
        let mut lopsided = equal(0.1);
        lopsided.add(0, 2, 0.2);
        lopsided.add(1, 1, -3.0);
        assert_eq!(
            lopsided.flaws(&variances),
            [
                CovarianceFlaw::NegativeVariance(1),
                CovarianceFlaw::Asymmetric(2, 0)
            ]
        );
        // What is known for certain varies with nothing.
        let mut certain = equal(0.1);
        certain.add(1, 1, -1.0);
        assert_eq!(
            certain.flaws(&[1.0, 0.0, 1.0]),
            [
                CovarianceFlaw::TooLarge(1, 0),
                CovarianceFlaw::TooLarge(2, 1)
            ]
        );
    }

    #[test]
    fn independent_components_make_the_covariance() {
        // A third amount that is the sum of the first two has no component of its own.
        let rows = vec![4.0, 1.0, 5.0, 1.0, 9.0, 10.0, 5.0, 10.0, 15.0];
        let covariance = Covariance::of_rows(3, rows);
        let components = covariance.independent_components();
        assert_eq!(components.len(), 2);
        for one in 0..3 {
            for other in 0..3 {
                let sum: f64 = components.iter().map(|c| c[one] * c[other]).sum();
                assert!((sum - covariance.get(one, other)).abs() < 1e-12);
            }
        }
        assert!((covariance.variance(&[1.0, 1.0, -1.0])).abs() < 1e-12);
        assert_eq!(covariance.with(&[0.0, 1.0, 0.0]), [1.0, 9.0, 10.0]);
    }
}
