//! The least dilution that brings every range within reach.

use underlet_tables::parameters;

use super::{FitError, Model};
use crate::fit::linear::Strengths;
use crate::fit::problem::{Question, SourceOption};
use crate::liquor::Liquor;
use crate::optimise::{Outcome, Programme, Span, Start};

/// Rounds in which ionic strengths are frozen anew: a share is told in per cents.
const ROUNDS: usize = 3;

/// The least share of pure water in the blend with which every range can be met on an infinitely fine scale; `None` where no
/// share lets it. Pure water is drawn beside the sources of the question. A range that even alone cannot be met is left out.
///
/// # Errors
/// When the programme cannot be set up, or ends without an answer.
pub fn least_dilution(question: &Question<'_>) -> Result<Option<f64>, FitError> {
    let mut question = question.clone();
    let pure = question.sources.len();
    question.sources.push(SourceOption {
        liquor: Liquor::default(),
        max_amount_kg: None,
    });
    let (mut strengths, mut least) = (Strengths::alike(0.0), None);
    for _ in 0..ROUNDS {
        let mut model = Model::new(&question, strengths)?;
        let Some(x) = model.least_of(pure)? else {
            return Ok(None);
        };
        strengths = model.strengths_at(&x);
        least = x.get(pure).copied();
    }
    Ok(least)
}

impl Model<'_> {
    /// The point with least of one decision variable at which nothing is missed that can be met alone. A programme of its
    /// own: no pull and no price of material may outweigh the one thing that counts. `None` where there is no such point.
    ///
    /// # Errors
    /// When the programme cannot be set up, or ends without an answer.
    pub fn least_of(&mut self, variable: usize) -> Result<Option<Vec<f64>>, FitError> {
        let n = self.programme.variables();
        let choices = self.choices();
        let mut hessian = vec![0.0; n * n];
        let mut price = vec![0.0; n];
        for j in 0..n {
            hessian[j * n + j] = parameters::FIT_STRICTNESS.value;
            price[j] = if j == variable { 1.0 } else { 0.0 };
        }
        let mut programme = Programme::new(hessian, price)?;
        for j in 0..choices {
            programme.set_bound(j, Self::choice_span(self.question, &self.scales, j))?;
        }
        Self::add_rows(&mut programme, self.question, &self.lines, &self.scales)?;
        let mut spans = Vec::new();
        for miss in choices..n {
            programme.set_bound(miss, Span::exactly(0.0))?;
            let alone = self.point(&programme)?;
            programme.set_bound(miss, Span::FREE)?;
            let span = alone.map_or(Span::FREE, |_| Span::exactly(0.0));
            spans.push((miss, span));
        }
        for (miss, span) in spans {
            programme.set_bound(miss, span)?;
        }
        self.point(&programme)
    }

    /// The optimum of a programme of this model; `None` where no point keeps its limits.
    fn point(&mut self, programme: &Programme) -> Result<Option<Vec<f64>>, FitError> {
        match self.workspace.solve(programme, Start::Cold) {
            Outcome::Optimal(solution) => Ok(Some(solution.x)),
            Outcome::Infeasible(_) => Ok(None),
            other => Err(FitError::NotSolved(Box::new(other))),
        }
    }
}
