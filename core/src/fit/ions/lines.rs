//! What is wanted of a water, as straight lines in the amounts of salts and in the share of diluting water.

use super::question::IonQuestion;
use crate::math;
use crate::optimise::{dot, stride};

/// The wishes that count, as straight lines in the variables, in tolerances.
#[derive(Clone, Debug, Default)]
pub(super) struct Lines {
    /// Choices in each line: the salts, and the diluting water.
    choices: usize,
    /// Line by line, each with zeros behind it as the solver keeps its lists.
    coefficients: Vec<f64>,
    pub(super) aims: Vec<Aim>,
    /// Units of the caller per unit of a choice: some line moves by one tolerance.
    pub(super) scales: Vec<f64>,
}

/// Where a line is wanted.
#[derive(Clone, Debug)]
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
    /// Writes the lines of a question in the memory of those before. A choice that moves no line keeps its unit.
    pub(super) fn write(&mut self, question: &IonQuestion) {
        let source = question.source.as_dose();
        let diluted = question
            .dilution
            .map(|dilution| dilution.liquor.as_dose().plus(&source.times(-1.0)));
        let salts = question.salts.iter().map(|salt| &salt.per_unit);
        let brought = salts.chain(&diluted);
        self.choices = question.salts.len() + usize::from(diluted.is_some());
        self.coefficients.clear();
        self.aims.clear();
        self.scales.clear();
        self.scales.resize(self.choices, 0.0);
        for wish in question.wishes.iter().filter(|wish| wish.weight != 0.0) {
            let per_tolerance = 1.0 / wish.tolerance;
            let start = self.coefficients.len();
            self.coefficients.resize(start + stride(self.choices), 0.0);
            let row = self.coefficients[start..].iter_mut();
            for ((a, most), dose) in row.zip(&mut self.scales).zip(brought.clone()) {
                *a = wish.of.of(dose) * per_tolerance;
                *most = math::at_least(a.abs(), *most);
            }
            let at_hand = wish.of.of(&source);
            self.aims.push(Aim {
                low: (wish.low - at_hand) * per_tolerance,
                high: (wish.high - at_hand) * per_tolerance,
                weight: wish.weight,
            });
        }
        for scale in &mut self.scales {
            *scale = if *scale > 0.0 { 1.0 / *scale } else { 1.0 };
        }
        let stride = stride(self.choices).max(1);
        for row in self.coefficients.chunks_exact_mut(stride) {
            for (a, scale) in row.iter_mut().zip(&self.scales) {
                *a *= scale;
            }
        }
    }

    /// The lines with the zeros behind them.
    pub(super) fn padded(&self) -> impl Iterator<Item = &[f64]> {
        let stride = stride(self.choices);
        (0..self.len()).map(move |line| &self.coefficients[line * stride..][..stride])
    }

    pub(super) fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.padded().map(|row| &row[..self.choices])
    }

    /// Coefficients and aim of each.
    pub(super) fn iter(&self) -> impl Iterator<Item = (&[f64], &Aim)> {
        self.rows().zip(&self.aims)
    }

    pub(super) fn len(&self) -> usize {
        self.aims.len()
    }
}

/// Value of a line; what `x` has beyond the choices has no part in it.
pub(super) fn at(row: &[f64], x: &[f64]) -> f64 {
    dot(row, &x[..row.len()])
}
