//! The strategy: misses first, then material, then the order of the salts.

use super::problem::{Continuous, Distance, IonFitResult, IonProblem, Terms};
use super::programme::{
    Draft, MIN_PIVOT, MISS_REGULARISATION, with_misses, write_reduced_programme,
};
use super::proximal_point::{Regularised, ZERO, minimise};
use crate::fit::linear::amounts;
use crate::fit::result::FitError;
use crate::optimise::{
    Outcome, Programme, ProgrammeError, Relaxed, Solution, Span, Start, Trace, Workspace,
};

/// How much dearer each later salt is, as a part of its price: of two that do the same, the first
/// is taken.
pub(super) const ORDER: f64 = 1e-7;
/// A limit whose multiplier exceeds this part of the steepest slope fixes its amount.
const HOLDING: f64 = 1e-6;
/// What less material may cost of the objective, as a part of it: rounding.
const MATERIAL_TOLERANCE: f64 = 1e-12;

/// Memory kept from one fit to the next.
#[derive(Clone, Debug)]
pub(super) struct Memory {
    terms: Terms,
    draft: Draft,
    programme: Programme,
    workspace: Workspace,
}

impl Memory {
    pub fn new() -> Memory {
        Memory {
            terms: Terms::default(),
            draft: Draft::default(),
            programme: Programme::empty(),
            workspace: Workspace::new(),
        }
    }

    /// Writes the linear terms of a problem.
    pub fn write(&mut self, problem: &IonProblem) {
        self.terms.write(problem);
    }
}

/// The programme of a problem. Variables are the choices, then the miss of each term. Where all
/// targets are points at squared distances, and nothing is weighed, the misses are left out: their
/// squares are curvature.
pub(super) struct Fit<'a> {
    pub problem: &'a IonProblem,
    regularisation: f64,
    /// Whether the misses are left out.
    reduced: bool,
    pub terms: &'a Terms,
    draft: &'a mut Draft,
    pub programme: &'a mut Programme,
    pub workspace: &'a mut Workspace,
    /// Observer of the fit without steps of a scale.
    pub trace: Option<&'a Trace>,
}

impl<'a> Fit<'a> {
    pub fn new(
        problem: &'a IonProblem,
        regularisation: f64,
        memory: &'a mut Memory,
        trace: Option<&'a Trace>,
    ) -> Result<Self, FitError> {
        let Memory {
            terms,
            draft,
            programme,
            workspace,
        } = memory;
        workspace.clear();
        let reduced = problem.distance == Distance::Squared
            && !problem.is_weighed()
            && !terms.choices.is_empty()
            && terms.all().iter().all(|term| term.point().is_some());
        let regularisation = if reduced {
            write_reduced_programme(programme, draft, regularisation, terms)?
        } else {
            *programme = with_misses(problem.distance, regularisation, terms)?;
            regularisation
        };
        Ok(Self {
            problem,
            regularisation,
            reduced,
            terms,
            draft,
            programme,
            workspace,
            trace,
        })
    }

    pub fn solve(&mut self) -> Result<IonFitResult, FitError> {
        let (best, mut iterations) = self.continuous()?;
        let (dilution, amounts) = self.amounts(&best.x);
        let before_weighing = Continuous {
            dilution,
            amounts: amounts.clone(),
            objective: self.objective(&best.x),
            certificate: best.certificate,
        };
        if !self.problem.is_weighed() {
            return Ok(IonFitResult {
                dilution,
                amounts,
                objective: before_weighing.objective,
                before_weighing,
                gap: 0.0,
                nodes: 0,
                iterations,
            });
        }
        let weighed = self.weighed()?;
        iterations += weighed.iterations;
        let x = weighed.x.as_ref().ok_or(FitError::NotWeighed {
            nodes: weighed.nodes,
        })?;
        let (dilution, mut amounts) = self.amounts(x);
        for (amount, salt) in amounts.iter_mut().zip(&self.problem.salts) {
            if let Some(step) = salt.step {
                *amount = (*amount / step).round() * step;
            }
        }
        Ok(IonFitResult {
            dilution,
            amounts,
            objective: self.objective(x),
            before_weighing,
            gap: weighed.gap(),
            nodes: weighed.nodes,
            iterations,
        })
    }

    /// The share of diluting water, and the amounts of the salts in their units.
    fn amounts(&self, x: &[f64]) -> (f64, Vec<f64>) {
        let mut amounts = amounts(&self.terms.choices, x);
        let salts = self.problem.salts.len();
        let dilution = amounts.get(salts).copied().unwrap_or(0.0);
        amounts.truncate(salts);
        (dilution, amounts)
    }

    pub fn objective(&self, x: &[f64]) -> f64 {
        let terms = self.terms.all().iter();
        match self.problem.distance {
            Distance::Squared => terms.map(|term| term.cost(x)).sum(),
            Distance::Absolute => terms.map(|term| term.weight * term.miss(x)).sum(),
        }
    }

    /// The gradient of the misses.
    pub fn gradient_of_misses(&self) -> Vec<f64> {
        if self.reduced {
            return self.programme.gradient().to_vec();
        }
        let mut gradient = vec![0.0; self.terms.choices.len()];
        let misses = self.terms.all().iter();
        gradient.extend(misses.map(|term| match self.problem.distance {
            Distance::Squared => 0.0,
            Distance::Absolute => term.weight,
        }));
        gradient
    }

    /// The gradient of the material: 1 for the salt of which a unit of its variable is most, each
    /// later salt dearer by `order`; water is free.
    pub fn gradient_of_material(&self, order: f64) -> Vec<f64> {
        let salts = &self.terms.choices[..self.problem.salts.len()];
        let heaviest = salts
            .iter()
            .fold(0.0, |most: f64, salt| most.max(salt.scale));
        let mut gradient = vec![0.0; self.programme.variables()];
        for (index, (price, salt)) in gradient.iter_mut().zip(salts).enumerate() {
            *price = salt.scale / heaviest * (1.0 + order * index as f64);
        }
        gradient
    }

    /// The certified optimum, with least material.
    fn continuous(&mut self) -> Result<(Solution, u64), FitError> {
        if self.regularisation == 0.0 {
            let outcome = self
                .workspace
                .solve_observed(self.programme, Start::Cold, self.trace);
            return match outcome {
                Outcome::Optimal(best) => {
                    let iterations = best.iterations;
                    Ok((best, iterations))
                }
                other => Err(FitError::NotSolved(Box::new(other))),
            };
        }
        let gradient = self.gradient_of_misses();
        let (_, mut iterations) = minimise(self, &gradient, Self::objective, self.trace)?;
        let mut best = match self.workspace.certify(self.programme) {
            Outcome::Optimal(solution) => solution,
            other => return Err(FitError::NotSolved(Box::new(other))),
        };
        iterations += best.iterations;
        if self.reduced && self.is_only(&best) {
            return Ok((best, iterations));
        }
        if let Some((sparing, more)) = self.with_least_material(&best)? {
            iterations += more;
            let least = self.objective(&best.x);
            if self.objective(&sparing) <= least + MATERIAL_TOLERANCE * least + ZERO {
                best.x = sparing;
            }
        }
        Ok((best, iterations))
    }

    /// The point with the least material at the same misses, and the steps taken. `None` where
    /// rounding leaves no such point: the optimum itself is then the result.
    fn with_least_material(
        &mut self,
        best: &Solution,
    ) -> Result<Option<(Vec<f64>, u64)>, FitError> {
        let spans = self.hold_misses(&best.x)?;
        let price = self.gradient_of_material(ORDER);
        let material = |_: &Self, x: &[f64]| price.iter().zip(x).map(|(price, x)| price * x).sum();
        let sparing = minimise(self, &price, material, self.trace);
        self.release_misses(&spans)?;
        match sparing {
            Ok(sparing) => Ok(Some(sparing)),
            Err(FitError::NotSolved(outcome))
                if matches!(*outcome, Outcome::IterationLimit { .. }) =>
            {
                Err(FitError::NotSolved(outcome))
            }
            Err(_) => Ok(None),
        }
    }

    /// Whether the optimum is unique: limits fix some amounts, and the curvature of the misses
    /// fixes the others.
    fn is_only(&mut self, best: &Solution) -> bool {
        let slopes = self.programme.gradient().iter();
        let steepest = slopes.fold(0.0, |most: f64, slope| most.max(slope.abs()));
        let multipliers = best.multipliers.bounds.iter().enumerate();
        let free: Vec<usize> = multipliers
            .filter(|(_, multiplier)| multiplier.abs() <= HOLDING * steepest)
            .map(|(variable, _)| variable)
            .collect();
        let Draft { matrix, factor, .. } = &mut *self.draft;
        self.programme.min_relative_pivot(&free, matrix, factor) > MIN_PIVOT
    }

    /// Fixes every term at its value; returns the spans of the misses before. A reduced programme
    /// is not used afterwards.
    pub fn hold_misses(&mut self, x: &[f64]) -> Result<Vec<Span>, ProgrammeError> {
        if self.reduced {
            for term in self.terms.all() {
                self.programme
                    .add_row(term.coefficients(), Span::exactly(term.at(x)))?;
            }
            return Ok(Vec::new());
        }
        let choices = self.terms.choices.len();
        let mut spans = Vec::with_capacity(self.terms.all().len());
        for (miss, x) in x.iter().enumerate().skip(choices) {
            spans.push(self.programme.spans()[miss]);
            self.programme.set_bound(miss, Span::exactly(*x))?;
        }
        Ok(spans)
    }

    pub fn release_misses(&mut self, spans: &[Span]) -> Result<(), ProgrammeError> {
        for (miss, span) in (self.terms.choices.len()..).zip(spans) {
            self.programme.set_bound(miss, *span)?;
        }
        Ok(())
    }
}

impl Regularised for Fit<'_> {
    fn regularisation(&self, variable: usize) -> f64 {
        match self.problem.distance {
            _ if variable < self.terms.choices.len() => self.regularisation,
            Distance::Absolute => MISS_REGULARISATION,
            Distance::Squared => 0.0,
        }
    }

    fn relax(&mut self, gradient: &[f64], rough: bool) -> Result<u64, FitError> {
        self.programme.set_gradient(gradient)?;
        let (relaxed, steps) = if rough {
            self.workspace.relax_roughly(self.programme)
        } else {
            self.workspace.relax(self.programme, f64::INFINITY)
        };
        if relaxed == Relaxed::Solved {
            Ok(steps)
        } else {
            let why = self.workspace.solve(self.programme, Start::Cold);
            Err(FitError::NotSolved(Box::new(why)))
        }
    }

    fn relaxed(&self) -> &[f64] {
        self.workspace.relaxed_x()
    }
}
