//! The dice of the core's tests, and throws that only these tests make.

#[path = "../../core/tests/common/dice.rs"]
mod common;

pub use common::{Dice, rounded};

impl Dice {
    /// Heads in so many of a hundred throws.
    pub fn heads(&mut self, percent: usize) -> bool {
        self.pick(100) < percent
    }

    /// A number between two powers of ten, each order of magnitude as likely as the next.
    pub fn between_powers(&mut self, low: f64, high: f64) -> f64 {
        10_f64.powf(self.real(low, high))
    }
}
