//! What is wanted of a water, as straight lines in the amounts of salts and in the share of diluting water.

use super::question::IonQuestion;
use crate::math;

/// The wishes that count, as straight lines in the variables, in tolerances.
pub(super) struct Lines {
    /// Choices in each line: the salts, and the diluting water.
    choices: usize,
    /// Row by row.
    coefficients: Vec<f64>,
    pub(super) aims: Vec<Aim>,
}

/// Where a line is wanted.
pub(super) struct Aim {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) weight: f64,
}

impl Aim {
    pub(super) fn is_point(&self) -> bool {
        self.low == self.high
    }

    pub(super) fn miss(&self, value: f64) -> f64 {
        math::at_least(self.low - value, 0.0) + math::at_least(value - self.high, 0.0)
    }
}

impl Lines {
    /// The lines of a question, and the units of its choices, in each of which some line moves by one tolerance; one unit
    /// where none moves.
    pub(super) fn of(question: &IonQuestion) -> (Self, Vec<f64>) {
        let source = question.source.as_dose();
        let diluted = question
            .dilution
            .map(|dilution| dilution.liquor.as_dose().plus(&source.times(-1.0)));
        let salts = question.salts.iter().map(|salt| &salt.per_unit);
        let brought = salts.chain(&diluted);
        let choices = question.salts.len() + usize::from(diluted.is_some());
        let mut lines = Self {
            choices,
            coefficients: Vec::with_capacity(choices * question.wishes.len()),
            aims: Vec::with_capacity(question.wishes.len()),
        };
        for wish in question.wishes.iter().filter(|wish| wish.weight != 0.0) {
            let per_choice = brought
                .clone()
                .map(|dose| wish.of.of(dose) / wish.tolerance);
            lines.coefficients.extend(per_choice);
            let at_hand = wish.of.of(&source);
            lines.aims.push(Aim {
                low: (wish.low - at_hand) / wish.tolerance,
                high: (wish.high - at_hand) / wish.tolerance,
                weight: wish.weight,
            });
        }
        let mut scales = vec![0.0; choices];
        for row in lines.rows() {
            for (most, a) in scales.iter_mut().zip(row) {
                *most = math::at_least(a.abs(), *most);
            }
        }
        for scale in &mut scales {
            *scale = if *scale > 0.0 { 1.0 / *scale } else { 1.0 };
        }
        for index in 0..lines.aims.len() {
            let row = &mut lines.coefficients[index * choices..][..choices];
            for (a, scale) in row.iter_mut().zip(&scales) {
                *a *= scale;
            }
        }
        (lines, scales)
    }

    pub(super) fn rows(&self) -> impl Iterator<Item = &[f64]> {
        (0..self.aims.len()).map(|index| &self.coefficients[index * self.choices..][..self.choices])
    }

    /// Coefficients and aim of each.
    pub(super) fn iter(&self) -> impl Iterator<Item = (&[f64], &Aim)> {
        self.rows().zip(&self.aims)
    }

    pub(super) fn len(&self) -> usize {
        self.aims.len()
    }
}

/// Value of a line.
pub(super) fn at(row: &[f64], x: &[f64]) -> f64 {
    row.iter().zip(x).map(|(a, x)| a * x).sum()
}
