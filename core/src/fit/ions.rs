//! Ions alone: which salts, and how much diluting water, bring a water to its ions. No vessel and
//! no mash; the same linear terms, solver and search as the whole brew day, by another strategy
//! ([`super::linear`] says why).
//!
//! A target is a point or a range, and a miss costs its distance in tolerances, squared or plain.
//! Of all results that miss equally little, the one with least material is given, and of those the
//! one that prefers earlier salts.

mod lexicographic;
mod problem;
mod programme;
mod proximal_point;
mod weighing;

pub use problem::{Continuous, Dilution, Distance, IonFitResult, IonProblem, Salt};

use self::lexicographic::{Fit, Memory};
use super::result::FitError;
use crate::optimise::Trace;

/// Curvature that makes the optimum a single point. It does not count: it is moved along until it
/// changes nothing. The smaller it is the sooner; where rounding does not bear it, the larger one
/// is taken.
const REGULARISATIONS: [f64; 2] = [1e-8, 1e-6];

/// Solves a problem of ions.
///
/// ```
/// use underlet::fit::{Distance, IonProblem, TargetQuantity, Salt, IonTarget, fit_ions};
/// use underlet::component::Component;
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
///
/// let gypsum = Preparation::usual("gypsum").unwrap();
/// let result = fit_ions(&IonProblem {
///     source: Liquor::default(),
///     dilution: None,
///     salts: vec![Salt { step: Some(0.1), ..Salt::plenty(gypsum.dose_per_unit()) }],
///     targets: vec![IonTarget {
///         of: TargetQuantity::Component(Component::Calcium),
///         low: Some(0.0024),
///         high: Some(0.0026),
///         tolerance: 0.0001,
///         weight: 1.0,
///     }],
///     distance: Distance::Squared,
///     max_salts: None,
///     handling: 0.0,
///     indifference: 0.0,
///     node_limit: 1000,
/// })?;
/// // 0.42 g of 99 % gypsum bring 0.0024 mol of calcium: four steps of 0.1 g come nearer than five.
/// assert_eq!(result.amounts, [4.0 * 0.1]);
/// assert_eq!(result.gap, 0.0);
/// # Ok::<(), underlet::fit::FitError>(())
/// ```
///
/// Where many are solved, an [`IonFitter`] is faster.
///
/// # Errors
/// When the numbers cannot be a programme (not finite, a reversed range, a tolerance of 0) or
/// differ by more than double precision can hold.
pub fn fit_ions(problem: &IonProblem) -> Result<IonFitResult, FitError> {
    IonFitter::new().solve(problem)
}

/// Memory kept from one fit of ions to the next, for where many are solved: the results are those
/// of [`fit_ions`], to the bit, and come sooner.
///
/// ```
/// use underlet::fit::{Distance, IonFitter, IonProblem, TargetQuantity, Salt, IonTarget};
/// use underlet::component::Component;
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
///
/// let gypsum = Preparation::usual("gypsum").unwrap();
/// let mut problem = IonProblem {
///     source: Liquor::default(),
///     dilution: None,
///     salts: vec![Salt::plenty(gypsum.dose_per_unit())],
///     targets: Vec::new(),
///     distance: Distance::Squared,
///     max_salts: None,
///     handling: 0.0,
///     indifference: 0.0,
///     node_limit: 1000,
/// };
/// let mut fitter = IonFitter::new();
/// // Twice the calcium takes twice the salt, mol and g per kg of water.
/// let mut grams = Vec::new();
/// for calcium in [0.001, 0.002] {
///     let of = TargetQuantity::Component(Component::Calcium);
///     problem.targets = vec![IonTarget { of, low: Some(calcium), high: Some(calcium), tolerance: 0.0001, weight: 1.0 }];
///     grams.push(fitter.solve(&problem)?.amounts[0]);
/// }
/// assert!((grams[1] - 2.0 * grams[0]).abs() < 1e-9);
/// # Ok::<(), underlet::fit::FitError>(())
/// ```
#[derive(Clone, Debug)]
pub struct IonFitter {
    memory: Memory,
}

impl Default for IonFitter {
    fn default() -> Self {
        Self::new()
    }
}

impl IonFitter {
    /// Without any memory yet.
    pub fn new() -> Self {
        Self {
            memory: Memory::new(),
        }
    }

    /// Solves a problem, whatever was solved before.
    ///
    /// # Errors
    /// As [`fit_ions`].
    pub fn solve(&mut self, problem: &IonProblem) -> Result<IonFitResult, FitError> {
        self.solve_observed(problem, None)
    }

    /// The same, watched: the trace gets a run of the active-set method where the optimum is a
    /// single point, else a run of the proximal point method, whose cost is the objective, and a
    /// second one where among the optima the one with least material is sought. The search for what
    /// can be weighed is not traced.
    ///
    /// # Errors
    /// As [`fit_ions`].
    #[doc(hidden)]
    pub fn solve_traced(
        &mut self,
        problem: &IonProblem,
        trace: &Trace,
    ) -> Result<IonFitResult, FitError> {
        self.solve_observed(problem, Some(trace))
    }

    fn solve_observed(
        &mut self,
        problem: &IonProblem,
        trace: Option<&Trace>,
    ) -> Result<IonFitResult, FitError> {
        problem.check()?;
        self.memory.write(problem);
        let [small, large] = REGULARISATIONS;
        self.with_regularisation(problem, small, trace)
            .or_else(|_| self.with_regularisation(problem, large, trace))
    }

    fn with_regularisation(
        &mut self,
        problem: &IonProblem,
        regularisation: f64,
        trace: Option<&Trace>,
    ) -> Result<IonFitResult, FitError> {
        let mut fit = Fit::new(problem, regularisation, &mut self.memory, trace)?;
        fit.solve()
    }
}
