//! A small square matrix in triangular factors, for systems with its transpose.

/// Scaled lower and upper triangles with the order of their rows. Of `N` places the first `size`
/// are in use.
#[derive(Clone, Debug)]
pub(super) struct Factors<const N: usize> {
    size: usize,
    /// Upper triangle with the diagonal, and below it the factors of elimination.
    triangles: [[f64; N]; N],
    /// What each row and each column was multiplied by.
    rows: [f64; N],
    columns: [f64; N],
    order: [usize; N],
}

impl<const N: usize> Factors<N> {
    /// None where the matrix is singular or not finite.
    pub fn of(mut matrix: [[f64; N]; N], size: usize) -> Option<Factors<N>> {
        let size = size.min(N);
        let (mut rows, mut columns) = ([1.0; N], [1.0; N]);
        // Columns, then rows, in units of their largest coefficient, so that pivots compare.
        // Without the columns the balance of a trace would lead where its own unknown does
        // not, and what the trace does to the others would be lost beside that.
        for (place, column) in columns[..size].iter_mut().enumerate() {
            *column = to_one(matrix[..size].iter().map(|row| row[place]))?;
            for row in &mut matrix[..size] {
                row[place] *= *column;
            }
        }
        for (row, scale) in matrix[..size].iter_mut().zip(&mut rows) {
            *scale = to_one(row[..size].iter().copied())?;
            for value in &mut row[..size] {
                *value *= *scale;
            }
        }
        let mut order: [usize; N] = std::array::from_fn(|place| place);
        for column in 0..size {
            let mut pivot = column;
            for row in column + 1..size {
                if matrix[row][column].abs() > matrix[pivot][column].abs() {
                    pivot = row;
                }
            }
            matrix.swap(column, pivot);
            order.swap(column, pivot);
            let lead = matrix[column];
            let is_regular = lead[column].abs() > SINGULAR;
            if !is_regular {
                return None;
            }
            for row in &mut matrix[column + 1..size] {
                let factor = row[column] / lead[column];
                row[column] = factor;
                for place in column + 1..size {
                    row[place] -= factor * lead[place];
                }
            }
        }
        Some(Factors {
            size,
            triangles: matrix,
            rows,
            columns,
            order,
        })
    }

    /// The weights of the rows that sum to a right-hand side: the transpose's solution.
    pub fn solve_transposed(&self, mut right: [f64; N]) -> [f64; N] {
        for column in 0..self.size {
            right[column] *= self.columns[column];
            for row in 0..column {
                right[column] -= self.triangles[row][column] * right[row];
            }
            right[column] /= self.triangles[column][column];
        }
        for column in (0..self.size).rev() {
            for row in column + 1..self.size {
                right[column] -= self.triangles[row][column] * right[row];
            }
        }
        let mut weights = [0.0; N];
        for (value, row) in right[..self.size].iter().zip(self.order) {
            weights[row] = value * self.rows[row];
        }
        weights
    }
}

/// What makes the largest of these one; none where that is zero or not finite.
fn to_one(values: impl Iterator<Item = f64>) -> Option<f64> {
    let largest = values.fold(0.0_f64, |most, value| most.max(value.abs()));
    (largest.is_finite() && largest > 0.0).then(|| 1.0 / largest)
}

/// A pivot of a scaled matrix below which it is treated as singular.
const SINGULAR: f64 = 1.0e-300;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weights_of_rows_sum_to_the_right_hand_side() {
        let matrix = [
            [0.0, 2.0, 1.0, 9.0],
            [1e9, 3e9, -1e9, 9.0],
            [4.0, 1.0, 5.0, 9.0],
            [9.0; 4],
        ];
        let weights = Factors::of(matrix, 3)
            .expect("regular")
            .solve_transposed([1.0, 2.0, 3.0, 0.0]);
        for (column, wanted) in [1.0, 2.0, 3.0].into_iter().enumerate() {
            let sum: f64 = (0..3).map(|row| weights[row] * matrix[row][column]).sum();
            assert!((sum - wanted).abs() < 1e-12, "{sum} for {wanted}");
        }
        assert!(Factors::of([[1.0, 2.0], [2.0, 4.0]], 2).is_none());
    }
}
