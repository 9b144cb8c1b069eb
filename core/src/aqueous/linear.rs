//! A small dense linear system, solved by elimination with row scaling and pivots.

use super::equilibrium::FREEDOMS;
use super::species::BALANCES;

/// Most unknowns: those of the balances, and the freedoms.
const UNKNOWNS: usize = BALANCES + FREEDOMS;
/// Room for them: a power of two, so that a masked index needs no check.
const ROOM: usize = 16;
const MASK: usize = ROOM - 1;
const _: () = assert!(UNKNOWNS <= ROOM);

pub(super) struct System {
    size: usize,
    matrix: [[f64; ROOM]; ROOM],
    /// Minus the error of each balance; the step, once eliminated.
    pub step: [f64; ROOM],
    /// Largest relative error of a balance.
    pub error: f64,
}

impl System {
    pub fn new(size: usize) -> System {
        System {
            size: size.min(ROOM),
            matrix: [[0.0; ROOM]; ROOM],
            step: [0.0; ROOM],
            error: 0.0,
        }
    }

    /// Starts anew with the slopes of the balances; the rest of rows and columns at zero.
    pub fn set<const N: usize>(&mut self, slopes: &[[f64; N]; N]) {
        let size = self.size;
        for row in &mut self.matrix[..size] {
            row[..size].fill(0.0);
        }
        for (row, slopes) in self.matrix.iter_mut().zip(slopes) {
            for (value, slope) in row.iter_mut().zip(slopes) {
                *value = *slope;
            }
        }
    }

    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.matrix[row & MASK][column & MASK] += value;
    }

    /// Sets the error of a balance and the size it is measured by.
    pub fn balance(&mut self, row: usize, error: f64, size: f64) {
        self.step[row & MASK] = -error;
        let relative = if size > 0.0 {
            error.abs() / size
        } else {
            error.abs()
        };
        // A balance that is not a number must not pass as closed.
        self.error = if relative <= self.error {
            self.error
        } else {
            relative
        };
    }

    /// Solves for the step by elimination; false where the matrix is singular or not finite.
    pub fn eliminate(&mut self) -> bool {
        // The sizes that nearly every question has are unrolled by the compiler.
        match self.size {
            4 => self.eliminate_in::<4>(),
            5 => self.eliminate_in::<5>(),
            _ => self.eliminate_in::<ROOM>(),
        }
    }

    fn eliminate_in<const M: usize>(&mut self) -> bool {
        let mut matrix = [[0.0; M]; M];
        let mut step = [0.0; M];
        for (place, (row, right)) in matrix.iter_mut().zip(&mut step).enumerate() {
            if place >= self.size {
                row[place] = 1.0;
                continue;
            }
            row.copy_from_slice(&self.matrix[place][..M]);
            // Rows in units of their largest coefficient, so that pivots compare.
            let largest = row
                .iter()
                .fold(0.0_f64, |largest, value| largest.max(value.abs()));
            if !(largest.is_finite() && largest > 0.0) {
                return false;
            }
            let scale = 1.0 / largest;
            for value in row.iter_mut() {
                *value *= scale;
            }
            *right = self.step[place] * scale;
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
            matrix.swap(column, pivot);
            step.swap(column, pivot);
            let (lead, over) = (matrix[column], step[column]);
            let inverse = 1.0 / lead[column];
            for row in column + 1..M {
                let factor = matrix[row][column] * inverse;
                for place in column + 1..M {
                    matrix[row][place] -= factor * lead[place];
                }
                step[row] -= factor * over;
            }
        }
        for row in (0..M).rev() {
            for column in row + 1..M {
                step[row] -= matrix[row][column] * step[column];
            }
            step[row] /= matrix[row][row];
        }
        self.step[..M].copy_from_slice(&step);
        step.iter().all(|value| value.is_finite())
    }
}
