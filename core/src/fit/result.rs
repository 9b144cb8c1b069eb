//! The result of a fit, or why there is none.

use std::fmt;

use super::ionic_strengths::IonicStrengths;
use super::linear::Subject;
use crate::optimise::{Certificate, Outcome, ProgrammeError};
use crate::recipe::LimitedQuantity;
#[cfg(doc)]
use crate::{fit::Problem, recipe::Targets};

/// A limit that can bind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ActiveConstraint {
    /// The low end of a target's range.
    Low(Subject),
    /// The high end.
    High(Subject),
    /// A hard limit on the liquor, by its place in [`Targets::limits`].
    Limit(usize),
    /// A stock on hand, by its place in [`Problem::stocks`].
    Stock(usize),
    /// What dissolves of a dose, by its place in [`Problem::doses`].
    Dissolving(usize),
    /// What can be drawn of a source, by its place in [`Problem::sources`].
    Source(usize),
}

impl ActiveConstraint {
    /// The target it is an end of, if it is one.
    pub fn target(self) -> Option<Subject> {
        match self {
            ActiveConstraint::Low(subject) | ActiveConstraint::High(subject) => Some(subject),
            _ => None,
        }
    }
}

/// A limit that the best plan, before it is rounded to the scale, rests on or misses.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct BindingConstraint {
    /// Which one.
    pub constraint: ActiveConstraint,
    /// Its multiplier: objective per tolerance of a target, per mmol/kg of brewing liquor of a
    /// reagent, per whole blend.
    pub multiplier: f64,
    /// One unit of relief: 1 mg/L, 0.1 of a ratio, 0.01 pH, a step of the scale in g or mL, a step
    /// of a draw in kg.
    pub relief: f64,
    /// What that unit is worth by the multiplier, in the objective's unit.
    pub worth: f64,
    /// The best plan with that unit of relief; `None` where it has no certified optimum.
    pub relieved: Option<Relieved>,
}

/// The best plan with one unit of relief, before it is rounded to the scale.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Relieved {
    /// Share of each source.
    pub shares: Vec<f64>,
    /// Dose of each option, g or mL.
    pub doses: Vec<f64>,
}

/// Doses and draws, with what they reach.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct FitResult {
    /// Share of each source, by mass, as drawn.
    pub shares: Vec<f64>,
    /// Dose of each option in whole steps, g or mL.
    pub doses: Vec<f64>,
    /// Shares before they were rounded to the scale.
    pub shares_before_rounding: Vec<f64>,
    /// Doses before they were rounded to the scale.
    pub doses_before_rounding: Vec<f64>,
    /// The same, each on the nearest step of its scale.
    pub doses_rounded: Vec<f64>,
    /// Objective of the doses and shares as weighed.
    pub objective: f64,
    /// Objective of the doses rounded one by one: what the search for a better plan is worth.
    pub objective_rounded: f64,
    /// Least objective of any plan, weighable or not.
    pub objective_before_rounding: f64,
    /// Weighted squared misses of the targets in it, those of preferred points left out.
    pub misses_before_rounding: f64,
    /// Proof of that.
    pub certificate: Certificate,
    /// How much better another weighable plan could still be, each thing to weigh counted with its
    /// price, as a part of the objective: 0 where the search is complete.
    pub gap: f64,
    /// Nodes of that search.
    pub nodes: u64,
    /// Steps of the solver in all.
    pub iterations: u64,
    /// Limits that the plan before rounding misses or rests on, with what relief would bring.
    pub binding: Vec<BindingConstraint>,
    /// Ionic strengths that the fit was frozen at: those of the plan before rounding.
    pub ionic_strengths: IonicStrengths,
    /// How far the liquors as weighed, each at its own ionic strength, are from the linear terms
    /// of the fit: the largest change, in tolerances.
    pub linearisation_error: f64,
}

/// Why there is no result.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FitError {
    /// The programme could not be set up.
    Programme(ProgrammeError),
    /// No plan keeps a hard limit.
    Infeasible {
        /// What it is on.
        of: LimitedQuantity,
        /// The limit, mg/L.
        most: f64,
        /// What it would have to be at least, mg/L, if it alone gave way.
        least: f64,
    },
    /// The solver ended without a certified optimum.
    NotSolved(Box<Outcome>),
    /// Iterations that freeze ionic strengths and take them anew from their optimum did not
    /// converge.
    NotConverged {
        /// How many there were.
        rounds: usize,
        /// How far the last one still moved what was to converge: ionic strengths, mol/kg, or a
        /// share.
        change: f64,
    },
    /// No plan that can be weighed was found among so many nodes of the search.
    NotWeighed {
        /// Nodes opened.
        nodes: u64,
    },
}

impl FitError {
    /// Whether no plan exists, rather than none being found.
    pub fn is_infeasible(&self) -> bool {
        match self {
            FitError::Infeasible { .. } => true,
            FitError::NotSolved(end) => matches!(**end, Outcome::Infeasible(_)),
            _ => false,
        }
    }
}

impl fmt::Display for FitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FitError::Programme(error) => write!(f, "{error}"),
            FitError::Infeasible { of, most, least } => {
                write!(
                    f,
                    "{} of {most} mg/L at most, and at least {least}",
                    of.key()
                )
            }
            FitError::NotSolved(_) if self.is_infeasible() => {
                f.write_str("stocks and sources cannot fill the vessels")
            }
            FitError::NotSolved(_) => {
                f.write_str("the amounts differ too much in size for a proven optimum")
            }
            FitError::NotConverged { rounds, change } => {
                write!(
                    f,
                    "no convergence in {rounds} rounds: still off by {change}"
                )
            }
            FitError::NotWeighed { nodes } => {
                write!(f, "no plan that can be weighed was found in {nodes} nodes")
            }
        }
    }
}

impl std::error::Error for FitError {}

impl From<ProgrammeError> for FitError {
    fn from(error: ProgrammeError) -> Self {
        FitError::Programme(error)
    }
}
