//! A small dense linear system, solved by elimination with row scaling and pivots.

use super::conditions::FREEDOMS;
use super::species::BALANCES;

/// Most unknowns: those of the balances, and the freedoms.
const UNKNOWNS: usize = BALANCES + FREEDOMS;
/// As many as most problems with minerals have.
const USUAL: usize = BALANCES + 1;

/// A system with room for any problem.
pub(super) struct System {
    size: usize,
    matrix: [[f64; UNKNOWNS]; UNKNOWNS],
    /// The right-hand side; the step, once eliminated.
    pub step: [f64; UNKNOWNS],
}

impl System {
    pub fn new(size: usize) -> System {
        let mut system = System {
            size: size.min(UNKNOWNS),
            matrix: [[0.0; UNKNOWNS]; UNKNOWNS],
            step: [0.0; UNKNOWNS],
        };
        for (place, row) in system.matrix.iter_mut().enumerate().skip(system.size) {
            row[place] = 1.0;
        }
        system
    }

    /// Sets the sensitivities and errors of the balances.
    pub fn set<const N: usize>(&mut self, sensitivities: &[[f64; N]; N], errors: &[f64; N]) {
        for (row, sensitivities) in self.matrix.iter_mut().zip(sensitivities) {
            row[..N].copy_from_slice(sensitivities);
        }
        self.step[..N].copy_from_slice(errors);
    }

    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.matrix[row][column] += value;
    }

    /// Solves for the step; false where the matrix is singular or not finite.
    pub fn eliminate(&mut self) -> bool {
        if self.size <= USUAL {
            self.eliminate_first::<USUAL>()
        } else {
            solve(&mut self.matrix, &mut self.step)
        }
    }

    fn eliminate_first<const M: usize>(&mut self) -> bool {
        let (mut matrix, mut step) = ([[0.0; M]; M], [0.0; M]);
        for (row, whole) in matrix.iter_mut().zip(&self.matrix) {
            row.copy_from_slice(&whole[..M]);
        }
        step.copy_from_slice(&self.step[..M]);
        let is_regular = solve(&mut matrix, &mut step);
        self.step[..M].copy_from_slice(&step);
        is_regular
    }
}

/// Turns the right-hand side into the solution; false where the matrix is singular or not finite.
pub(super) fn solve<const M: usize>(matrix: &mut [[f64; M]; M], right: &mut [f64; M]) -> bool {
    // Rows in units of their largest coefficient, so that pivots compare.
    for (row, right) in matrix.iter_mut().zip(right.iter_mut()) {
        let mut largest: f64 = 0.0;
        for value in row.iter() {
            let size = value.abs();
            largest = if size > largest { size } else { largest };
        }
        if !(largest.is_finite() && largest > 0.0) {
            return false;
        }
        let scale = 1.0 / largest;
        for value in row.iter_mut() {
            *value *= scale;
        }
        *right *= scale;
    }
    for column in 0..M {
        let mut pivot = column;
        for row in column + 1..M {
            if matrix[row][column].abs() > matrix[pivot][column].abs() {
                pivot = row;
            }
        }
        if matrix[pivot][column] == 0.0 {
            return false;
        }
        if pivot != column {
            matrix.swap(column, pivot);
            right.swap(column, pivot);
        }
        let (lead, over) = (matrix[column], right[column]);
        let inverse = 1.0 / lead[column];
        for row in column + 1..M {
            let factor = matrix[row][column] * inverse;
            for place in column + 1..M {
                matrix[row][place] -= factor * lead[place];
            }
            right[row] -= factor * over;
        }
        matrix[column][column] = inverse;
    }
    for row in (0..M).rev() {
        for column in row + 1..M {
            right[row] -= matrix[row][column] * right[column];
        }
        right[row] *= matrix[row][row];
    }
    right.iter().all(|value| value.is_finite())
}
