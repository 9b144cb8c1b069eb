//! Amounts that vary together.

use crate::math;

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

    fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.cells.chunks_exact(self.count.max(1))
    }

    /// Standard deviations of the amounts; a matrix typed by hand may have a negative variance,
    /// which is zero here.
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
    use super::Covariance;

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
