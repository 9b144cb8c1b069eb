//! The inverse of the curvature where limits hold variables fast: of a least-squares programme, the
//! covariance.

use super::limit::Limit;
use super::padded::{add_scaled, dot, length};
use super::programme::Programme;

/// A normal of which less than this is independent of those before it depends on them.
const DEPENDENT: f64 = 1e-10;

impl Programme {
    /// How far the optimum moves with the gradient while some limits are held: the matrix
    /// Z·(ZᵀHZ)⁻¹·Zᵀ, row-major, Z spanning the moves that the held limits leave free; H⁻¹
    /// without any. Where ½xᵀHx + gᵀx is half a weighted sum of squares with unit errors, this
    /// is the covariance of x. Limits that do not exist are passed over.
    pub fn inverse_curvature(&self, held: &[Limit]) -> Vec<f64> {
        let n = self.variables();
        // In y = Lᵀx the curvature is the identity; an orthonormal basis of the held normals is
        // taken out of it.
        let mut basis: Vec<Vec<f64>> = Vec::new();
        for index in held.iter().filter_map(|limit| self.index(*limit)) {
            let mut normal = self.normal(index).to_vec();
            take_out(&basis, &mut normal);
            // Twice is enough (Parlett 1980, The Symmetric Eigenvalue Problem, 6-9).
            take_out(&basis, &mut normal);
            let size = length(&normal);
            if size > DEPENDENT {
                for v in &mut normal {
                    *v /= size;
                }
                basis.push(normal);
            }
        }
        let columns: Vec<Vec<f64>> = (0..n)
            .map(|j| {
                let size = self.norm(j);
                let mut column: Vec<f64> = self.normal(j).iter().map(|v| v * size).collect();
                take_out(&basis, &mut column);
                column
            })
            .collect();
        columns
            .iter()
            .flat_map(|a| columns.iter().map(|b| dot(a, b)))
            .collect()
    }
}

fn take_out(basis: &[Vec<f64>], vector: &mut [f64]) {
    for direction in basis {
        let part = dot(direction, vector);
        add_scaled(vector, -part, direction);
    }
}

#[cfg(test)]
mod tests {
    use super::super::Span;
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn inverse_by_hand() {
        // [[2, 1], [1, 2]] has the inverse [[2, −1], [−1, 2]]/3. With x + y held, moves along (1,
        // −1): (1, −1)(1, −1)ᵀ/2.
        let mut programme = Programme::new(vec![2.0, 1.0, 1.0, 2.0], vec![0.0; 2]).expect("valid");
        let sum = programme
            .add_row(&[1.0, 1.0], Span::exactly(1.0))
            .expect("valid");
        let third = 1.0 / 3.0;
        let cases = [
            (vec![], [2.0 * third, -third, -third, 2.0 * third]),
            (vec![Limit::Row(sum)], [0.5, -0.5, -0.5, 0.5]),
            (vec![Limit::Bound(0)], [0.0, 0.0, 0.0, 0.5]),
            (vec![Limit::Bound(0), Limit::Row(sum)], [0.0; 4]),
            (
                vec![Limit::Row(sum), Limit::Row(sum), Limit::Row(9)],
                [0.5, -0.5, -0.5, 0.5],
            ),
        ];
        for (held, expected) in cases {
            for (found, wanted) in programme.inverse_curvature(&held).iter().zip(expected) {
                assert_relative_eq!(*found, wanted, epsilon = 1e-14);
            }
        }
    }
}
