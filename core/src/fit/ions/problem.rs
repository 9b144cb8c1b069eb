//! The problem of a fit of ions, and its result.

use crate::fit::linear::{Choice, LinearTerm};
use crate::fit::target::IonTarget;
use crate::liquor::{Dose, Liquor};
use crate::math;
use crate::optimise::{Certificate, Part, ProgrammeError};

/// A salt that may go in. Its unit (g, mg, mL …) is the caller's: amounts are in that unit per kg
/// of water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Salt {
    /// What a unit brings.
    pub per_unit: Dose,
    /// Most that may go in; `None` where nothing limits it (in a search, ten thousand tolerances
    /// of an ion do).
    pub most: Option<f64>,
    /// Step of the scale; `None` where any amount can be weighed.
    pub step: Option<f64>,
    /// Smallest sensible amount other than nothing; 0 where any is.
    pub min_dose: f64,
    /// What a unit costs in the search for what can be weighed, beside a miss of one; 0 or more.
    pub price: f64,
}

impl Salt {
    /// Without limit, in any amount.
    pub fn plenty(per_unit: Dose) -> Self {
        Self {
            per_unit,
            most: None,
            step: None,
            min_dose: 0.0,
            price: 0.0,
        }
    }
}

/// Water to dilute with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dilution {
    /// Its composition.
    pub liquor: Liquor,
    /// Least share of it, 0 to 1.
    pub least: f64,
    /// Largest share of it, 0 to 1. The same as the least where the share is given.
    pub most: f64,
}

/// How a miss counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Distance {
    /// Weight times the square of the distance in tolerances.
    Squared,
    /// Weight times the distance in tolerances.
    Absolute,
}

/// The problem: (1 − d)·source + d·dilution + Σ amount·salt is to come near the targets.
#[derive(Clone, Debug, PartialEq)]
pub struct IonProblem {
    /// The water at hand.
    pub source: Liquor,
    /// Water to dilute it with.
    pub dilution: Option<Dilution>,
    /// Salts on the shelf, the preferred ones first.
    pub salts: Vec<Salt>,
    /// The targets.
    pub targets: Vec<IonTarget>,
    /// How a miss counts.
    pub distance: Distance,
    /// Most different salts; `None` for as many as there are.
    pub max_salts: Option<usize>,
    /// What one more salt costs in the search for what can be weighed, beside a miss of one; 0 or
    /// more. Without it, and without the salts' own prices, material decides between plans
    /// that miss nothing, and nothing else. Each later salt costs a thousandth more than the
    /// one before it.
    pub handling: f64,
    /// Plans that can be weighed are as good as each other where their objectives differ by no
    /// more than this, or this part of them where they are above 1; 0 for none.
    pub indifference: f64,
    /// Most nodes of the search for a plan that can be weighed.
    pub node_limit: u64,
}

/// The result of a fit of ions.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct IonFitResult {
    /// Share of the diluting water.
    pub dilution: f64,
    /// Amount of each salt, in its unit per kg of water.
    pub amounts: Vec<f64>,
    /// Weighted sum of the misses.
    pub objective: f64,
    /// The same if any amount of any number of salts could be weighed.
    pub before_weighing: Continuous,
    /// How much better another plan could still be, as a part of the objective; 0 when the search
    /// is complete.
    pub gap: f64,
    /// Nodes of the search; 0 where nothing had to be searched.
    pub nodes: u64,
    /// Steps of the solver.
    pub iterations: u64,
}

/// The best amounts of a scale without steps.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Continuous {
    /// Share of the diluting water.
    pub dilution: f64,
    /// Amount of each salt, in its unit per kg of water.
    pub amounts: Vec<f64>,
    /// Weighted sum of the misses: nothing can be below it.
    pub objective: f64,
    /// Proof of it.
    pub certificate: Certificate,
}

impl IonProblem {
    /// Finds what the programme does not: a target may be in two rows, or in none.
    pub(super) fn check(&self) -> Result<(), ProgrammeError> {
        let prices = self.salts.iter().map(|salt| salt.price);
        if prices
            .chain([self.handling])
            .any(|price| !price.is_finite() || price < 0.0)
        {
            let part = Part::Gradient;
            return Err(ProgrammeError::NotFinite { part });
        }
        for (index, target) in self.targets.iter().enumerate() {
            let part = Part::Row(index);
            if let (Some(low), Some(high)) = (target.low, target.high)
                && low > high
            {
                return Err(ProgrammeError::Reversed { part, low, high });
            }
            let mut ends = [target.low, target.high].into_iter().flatten();
            let is_measured = target.tolerance.is_normal() && target.tolerance > 0.0;
            let is_weighted = target.weight.is_finite() && target.weight >= 0.0;
            if !(ends.all(f64::is_finite) && is_measured && is_weighted) {
                return Err(ProgrammeError::NotFinite { part });
            }
        }
        Ok(())
    }

    /// The liquor of a share of diluting water and amounts of the salts.
    pub(crate) fn liquor(&self, share: f64, amounts: &[f64]) -> Liquor {
        let diluting = self.dilution.map_or(self.source, |water| water.liquor);
        let blend = Liquor::blend(&[(1.0 - share, &self.source), (share, &diluting)]);
        let salts = self.salts.iter().zip(amounts);
        salts.fold(blend.unwrap_or(self.source), |liquor, (salt, amount)| {
            liquor.dosed(&salt.per_unit, *amount)
        })
    }

    /// Whether salts and their handling cost something in the search.
    pub(super) fn is_priced(&self) -> bool {
        self.handling > 0.0 || self.salts.iter().any(|salt| salt.price > 0.0)
    }

    /// The salts, then the share of diluting water.
    fn choices(&self) -> impl Iterator<Item = Choice> {
        let salts = self.salts.iter().map(|salt| Choice {
            scale: 1.0,
            least: 0.0,
            most: salt.most.unwrap_or(f64::INFINITY),
            step: salt.step,
            min_dose: salt.min_dose,
        });
        let shares = self.dilution.iter().map(|dilution| Choice {
            scale: 1.0,
            least: dilution.least,
            most: dilution.most,
            step: None,
            min_dose: 0.0,
        });
        salts.chain(shares)
    }

    pub(super) fn is_weighed(&self) -> bool {
        let steps = self
            .salts
            .iter()
            .any(|salt| salt.step.is_some() || salt.min_dose > 0.0);
        steps || self.max_salts.is_some_and(|most| most < self.salts.len())
    }
}

/// The linear terms of a problem: choices are the salts, then the share of diluting water, each in
/// units that move some term by one tolerance. Targets without weight are left out.
#[derive(Clone, Debug, Default)]
pub(super) struct Terms {
    pub choices: Vec<Choice>,
    /// The terms, then memory of those of problems before.
    written: Vec<LinearTerm>,
    count: usize,
}

impl Terms {
    /// Writes the terms of a problem in the memory of those before. A choice that moves no term
    /// keeps its unit.
    pub fn write(&mut self, problem: &IonProblem) {
        let source = problem.source.as_dose();
        let diluted = problem
            .dilution
            .map(|dilution| dilution.liquor.as_dose().plus(&source.times(-1.0)));
        let salts = problem.salts.iter().map(|salt| &salt.per_unit);
        let brought = salts.chain(&diluted);
        self.choices.clear();
        self.choices.extend(problem.choices());
        self.count = 0;
        for target in problem.targets.iter().filter(|target| target.weight != 0.0) {
            let per_tolerance = 1.0 / target.tolerance;
            let coefficients = brought
                .clone()
                .map(|dose| target.of.of(dose) * per_tolerance);
            let at_hand = target.of.of(&source);
            let ends =
                [target.low, target.high].map(|end| end.map(|end| (end - at_hand) * per_tolerance));
            if self.count == self.written.len() {
                self.written.push(LinearTerm::default());
            }
            self.written[self.count].write(coefficients, ends, target.weight);
            self.count += 1;
        }
        for (j, choice) in self.choices.iter_mut().enumerate() {
            let steepest = self.written[..self.count].iter().fold(0.0, |most, term| {
                math::at_least(term.coefficients()[j].abs(), most)
            });
            choice.scale = if steepest > 0.0 { 1.0 / steepest } else { 1.0 };
        }
        for term in &mut self.written[..self.count] {
            term.rescale(&self.choices);
        }
    }

    pub fn all(&self) -> &[LinearTerm] {
        &self.written[..self.count]
    }
}
