//! From the best amounts to those that a scale can weigh.

use super::lexicographic::{Fit, ORDER};
use super::problem::Distance;
use super::proximal_point::{Regularised, ZERO};
use crate::fit::result::FitError;
use crate::optimise::{
    Portion, ProgrammeError, Regularisation, Span, Weighed, Weighing, weigh_from,
};

/// Slope for the most that a salt can bring, as a part of a miss of one: of plans that are as good,
/// the search meets those with little material first. It does not count.
const TIE_BREAK: f64 = 1e-7;
/// The slope of what weighs nothing, beside that of the heaviest.
const MIN_TIE_BREAK: f64 = 1e-3;
/// How much dearer it is to handle each later salt, as a part of the price: more than what the
/// search of a document takes for equal, while the objective stays below 2.
const HANDLING_ORDER: f64 = 1e-3;
/// No plan that is weighed uses a salt for more than so many tolerances of the ion it moves most.
const MAX_TOLERANCES: f64 = 1e4;
/// What an objective may differ by through rounding when it is turned into spans.
const ROUNDING: f64 = 1e-6;

impl Fit<'_> {
    /// The best plan that can be weighed; where it misses nothing, the one with least material.
    pub(super) fn weighed(&mut self) -> Result<Weighed, FitError> {
        let portions = self.portions();
        let is_priced = self.problem.is_priced();
        let choices = &self.terms.choices;
        let mut gradient = self.gradient_of_misses();
        let salts = self.problem.salts.iter().zip(choices);
        for (slope, (salt, choice)) in gradient.iter_mut().zip(salts) {
            *slope += salt.price * choice.scale;
        }
        let mut regularisation = Vec::new();
        // Where material has its price, no tie-break is needed, and what the regularisation adds
        // may count as well.
        if !is_priced {
            regularisation = self.curvatures();
            let material = self.gradient_of_material(0.0);
            for (part, price) in regularisation[..choices.len()].iter_mut().zip(material) {
                part.slope = TIE_BREAK * (price + MIN_TIE_BREAK);
            }
        }
        for (slope, part) in gradient.iter_mut().zip(&regularisation) {
            *slope += part.slope;
        }
        self.programme.set_gradient(&gradient)?;
        self.narrow()?;
        let mut weighing = Weighing {
            portions: &portions,
            most_items: self.problem.max_salts,
            regularisation: &regularisation,
            constant: 0.0,
            least: 0.0,
            indifference: self.problem.indifference,
            node_limit: self.problem.node_limit,
        };
        let found = weigh_from(self.programme, &weighing, self.workspace)?;
        let hit = !is_priced && found.x.as_ref().is_some_and(|x| self.objective(x) <= ZERO);
        if !hit || found.nodes >= weighing.node_limit {
            return Ok(found);
        }
        let nothing = vec![0.0; self.programme.variables()];
        let spans = self.hold_misses(&nothing)?;
        self.programme
            .set_gradient(&self.gradient_of_material(ORDER))?;
        let curvatures = self.curvatures();
        weighing.regularisation = &curvatures;
        weighing.node_limit -= found.nodes;
        let sparing = weigh_from(self.programme, &weighing, self.workspace)?;
        self.release_misses(&spans)?;
        Ok(Weighed {
            x: sparing.x.or(found.x),
            nodes: found.nodes + sparing.nodes,
            iterations: found.iterations + sparing.iterations,
            ..found
        })
    }

    /// The curvatures that do not count, by variable.
    fn curvatures(&self) -> Vec<Regularisation> {
        let variables = 0..self.programme.variables();
        variables
            .map(|variable| Regularisation {
                slope: 0.0,
                curvature: self.regularisation(variable),
            })
            .collect()
    }

    /// Narrows spans to what a plan can be that beats no salt at all: the search bounds are the
    /// tighter.
    fn narrow(&mut self) -> Result<(), ProgrammeError> {
        let choices = self.terms.choices.len();
        let spans = &self.programme.spans()[..choices];
        let mut highs: Vec<f64> = spans
            .iter()
            .map(|span| span.high.min(MAX_TOLERANCES))
            .collect();
        let nothing: Vec<f64> = spans.iter().map(|span| span.low).collect();
        let worst = self.objective(&nothing) * (1.0 + ROUNDING) + ROUNDING;
        for (variable, term) in (choices..).zip(self.terms.all()) {
            let share = worst / term.weight;
            let miss = match self.problem.distance {
                Distance::Squared => share.sqrt(),
                Distance::Absolute => share,
            };
            if self.programme.spans()[variable].low == 0.0 {
                self.programme
                    .set_bound(variable, Span::between(0.0, miss))?;
            }
            let row = term.coefficients();
            let least: f64 = row.iter().zip(&highs).map(|(a, x)| (a * x).min(0.0)).sum();
            for (a, high) in row.iter().zip(&mut highs) {
                if let Some(end) = term.high.filter(|_| *a > 0.0) {
                    *high = high.min((end + miss - least) / a);
                }
            }
        }
        for (j, high) in highs.iter().enumerate() {
            let low = self.programme.spans()[j].low;
            self.programme
                .set_bound(j, Span::between(low, high.max(low)))?;
        }
        Ok(())
    }

    fn portions(&self) -> Vec<Portion> {
        let salts = self.terms.choices[..self.problem.salts.len()].iter();
        salts
            .enumerate()
            .map(|(variable, choice)| {
                let price = self.problem.handling * (1.0 + HANDLING_ORDER * variable as f64);
                choice.portion(variable, Some(variable), price)
            })
            .collect()
    }
}
