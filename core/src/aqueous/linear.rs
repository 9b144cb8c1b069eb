//! A small dense linear system, solved by elimination with row scaling and pivots.

use super::equilibrium::FREEDOMS;
use super::species::LIGANDS;

/// Most unknowns: ligands, ionic strength, freedoms.
pub(super) const UNKNOWNS: usize = LIGANDS + 1 + FREEDOMS;
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
        System { size: size.min(ROOM), matrix: [[0.0; ROOM]; ROOM], step: [0.0; ROOM], error: 0.0 }
    }

    pub fn clear(&mut self) {
        let size = self.size;
        for row in &mut self.matrix[..size] {
            row[..size].fill(0.0);
        }
    }

    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.matrix[row & MASK][column & MASK] += value;
    }

    /// Adds a multiple of a row of slopes.
    pub fn add_row(&mut self, row: usize, times: f64, slopes: &[f64]) {
        for (value, slope) in self.matrix[row & MASK].iter_mut().zip(slopes) {
            *value += times * slope;
        }
    }

    /// Sets the error of a balance and the size it is measured by.
    pub fn balance(&mut self, row: usize, error: f64, size: f64) {
        self.step[row & MASK] = -error;
        let relative = if size > 0.0 { error.abs() / size } else { error.abs() };
        // A balance that is not a number must not pass as closed.
        self.error = if relative <= self.error { self.error } else { relative };
    }

    /// Gauss elimination; false where the matrix is singular or not finite.
    pub fn eliminate(&mut self) -> bool {
        let size = self.size;
        if !self.scale_rows() {
            return false;
        }
        for column in 0..size {
            let mut pivot = column;
            for row in column + 1..size {
                if self.matrix[row & MASK][column & MASK].abs() > self.matrix[pivot & MASK][column & MASK].abs() {
                    pivot = row;
                }
            }
            if self.matrix[pivot & MASK][column & MASK] == 0.0 {
                return false;
            }
            self.matrix.swap(column, pivot);
            self.step.swap(column, pivot);
            let lead = self.matrix[column & MASK];
            let (over, inverse) = (self.step[column & MASK], 1.0 / lead[column & MASK]);
            for row in column + 1..size {
                let factor = self.matrix[row & MASK][column & MASK] * inverse;
                if factor != 0.0 {
                    let target = &mut self.matrix[row & MASK];
                    for (value, above) in target[column..size].iter_mut().zip(&lead[column..size]) {
                        *value -= factor * above;
                    }
                    self.step[row & MASK] -= factor * over;
                }
            }
        }
        for row in (0..size).rev() {
            let line = &self.matrix[row & MASK];
            let mut left = self.step[row & MASK];
            for column in row + 1..size {
                left -= line[column & MASK] * self.step[column & MASK];
            }
            self.step[row & MASK] = left / line[row & MASK];
        }
        self.step[..size].iter().all(|value| value.is_finite())
    }

    fn scale_rows(&mut self) -> bool {
        let size = self.size;
        for (row, step) in self.matrix[..size].iter_mut().zip(&mut self.step) {
            let largest = row[..size].iter().fold(0.0_f64, |largest, value| largest.max(value.abs()));
            if !(largest.is_finite() && largest > 0.0) {
                return false;
            }
            let scale = 1.0 / largest;
            for value in &mut row[..size] {
                *value *= scale;
            }
            *step *= scale;
        }
        true
    }
}
