//! Ions alone: which salts, and how much diluting water, bring a water to its ions. No vessel and no mash; the same
//! programme, solver and search as the whole brew day.
//!
//! What a line wants is a point or a range, and a miss costs its distance in tolerances, squared or plain. Of all
//! answers that miss equally little, the one with least material is given, and of those the one that prefers earlier
//! salts.

mod lines;
mod programme;
mod proximal_point;
mod question;

pub use question::{Continuous, Dilution, Distance, IonAnswer, IonQuestion, Quantity, Salt, Wish};

use self::lines::{Aim, Lines, at};
use self::programme::{Draft, with_misses, write_reduced_programme};
use self::proximal_point::{ZERO, minimise};
use super::answer::FitError;
use crate::math;
use crate::optimise::{
    Outcome, Portion, Programme, ProgrammeError, Regularisation, Relaxed, Solution, Span, Start,
    Trace, Weighed, Weighing, Workspace, weigh_from,
};

/// Curvature that makes the optimum a single point. It does not count: it is moved along until it changes nothing.
/// The smaller it is the sooner; where rounding does not bear it, the larger one is taken.
const REGULARISATIONS: [f64; 2] = [1e-8, 1e-6];
/// The same for misses that cost their plain distance.
const MISS_RIDGE: f64 = 1e-7;
/// Price of material in the search, as a part of a miss of one, for the most that a salt can bring; it does not
/// count either, but leads to little material first.
const TIE_BREAK: f64 = 1e-7;
/// The lure of what weighs nothing, beside that of the heaviest.
const MIN_TIE_BREAK: f64 = 1e-3;
/// How much dearer each later salt counts, as a part of its price: of two that do the same, the first is taken.
const ORDER: f64 = 1e-7;
/// The same of what handling a salt costs, where it does: more than what the search of a document takes for equal, while the
/// objective stays below 2.
const LATER: f64 = 1e-3;
/// No plan that is weighed uses a salt for more than so many tolerances of the ion it moves most.
const MOST: f64 = 1e4;
/// Curvature of misses that leaves no direction flatter than this fixes every amount it is of.
const MIN_PIVOT: f64 = 1e-5;
/// A limit that pushes by more than this part of the steepest slope holds its amount fast.
const PUSH: f64 = 1e-6;
/// What less material may cost of the objective, as a part of it: rounding.
const MATERIAL_TOLERANCE: f64 = 1e-12;

/// Answers a question about ions.
///
/// ```
/// use underlet::fit::{Distance, IonQuestion, Quantity, Salt, Wish, fit_ions};
/// use underlet::component::Component;
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
///
/// let gypsum = Preparation::usual("gypsum").unwrap();
/// let answer = fit_ions(&IonQuestion {
///     source: Liquor::default(),
///     dilution: None,
///     salts: vec![Salt { step: Some(0.1), ..Salt::plenty(gypsum.dose_per_unit()) }],
///     wishes: vec![Wish {
///         of: Quantity::Ion(Component::Calcium),
///         low: 0.0024,
///         high: 0.0026,
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
/// assert_eq!(answer.amounts, [4.0 * 0.1]);
/// assert_eq!(answer.gap, 0.0);
/// # Ok::<(), underlet::fit::FitError>(())
/// ```
///
/// Where many are asked, an [`IonFitter`] is sooner.
///
/// # Errors
/// When the numbers cannot be a programme (not finite, a reversed range, a tolerance of 0) or differ by more than
/// double precision can hold.
pub fn fit_ions(question: &IonQuestion) -> Result<IonAnswer, FitError> {
    IonFitter::new().fit(question)
}

/// Memory kept from one fit of ions to the next, for where many are asked: the answers are those of [`fit_ions`], to the bit,
/// and come sooner.
///
/// ```
/// use underlet::fit::{Distance, IonFitter, IonQuestion, Quantity, Salt, Wish};
/// use underlet::component::Component;
/// use underlet::liquor::Liquor;
/// use underlet::reagent::Preparation;
///
/// let gypsum = Preparation::usual("gypsum").unwrap();
/// let mut question = IonQuestion {
///     source: Liquor::default(),
///     dilution: None,
///     salts: vec![Salt::plenty(gypsum.dose_per_unit())],
///     wishes: Vec::new(),
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
///     let of = Quantity::Ion(Component::Calcium);
///     question.wishes = vec![Wish { of, low: calcium, high: calcium, tolerance: 0.0001, weight: 1.0 }];
///     grams.push(fitter.fit(&question)?.amounts[0]);
/// }
/// assert!((grams[1] - 2.0 * grams[0]).abs() < 1e-9);
/// # Ok::<(), underlet::fit::FitError>(())
/// ```
#[derive(Clone, Debug)]
pub struct IonFitter {
    lines: Lines,
    draft: Draft,
    programme: Programme,
    workspace: Workspace,
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
            lines: Lines::default(),
            draft: Draft::default(),
            programme: Programme::empty(),
            workspace: Workspace::new(),
        }
    }

    /// Answers a question, whatever was asked before.
    ///
    /// # Errors
    /// As [`fit_ions`].
    pub fn fit(&mut self, question: &IonQuestion) -> Result<IonAnswer, FitError> {
        self.fit_observed(question, None)
    }

    /// The same, watched: the trace gets a run of the active-set method where the optimum is a
    /// single point, else a run of the proximal point method, whose cost is the objective, and a
    /// second one where among the optima the one with least material is sought. The search for what
    /// can be weighed is not traced.
    ///
    /// # Errors
    /// As [`fit_ions`].
    pub fn fit_traced(
        &mut self,
        question: &IonQuestion,
        trace: &Trace,
    ) -> Result<IonAnswer, FitError> {
        self.fit_observed(question, Some(trace))
    }

    fn fit_observed(
        &mut self,
        question: &IonQuestion,
        trace: Option<&Trace>,
    ) -> Result<IonAnswer, FitError> {
        question.check()?;
        self.lines.write(question);
        let [small, large] = REGULARISATIONS;
        self.with_ridge(question, small, trace)
            .or_else(|_| self.with_ridge(question, large, trace))
    }

    fn with_ridge(
        &mut self,
        question: &IonQuestion,
        ridge: f64,
        trace: Option<&Trace>,
    ) -> Result<IonAnswer, FitError> {
        let mut fit = Fit::new(question, ridge, self, trace)?;
        fit.answer()
    }
}

/// The programme of a question. Variables are the salts, then the share of diluting water, each in units that move
/// some line by one tolerance; then the miss of each line. Where all lines want points at squared distances, and
/// nothing is weighed, the misses are left out: their squares are curvature.
struct Fit<'a> {
    question: &'a IonQuestion,
    ridge: f64,
    /// Whether the misses are left out.
    reduced: bool,
    lines: &'a Lines,
    draft: &'a mut Draft,
    programme: &'a mut Programme,
    workspace: &'a mut Workspace,
    /// Who watches the fit without steps of a scale.
    trace: Option<&'a Trace>,
}

impl<'a> Fit<'a> {
    fn new(
        question: &'a IonQuestion,
        ridge: f64,
        memory: &'a mut IonFitter,
        trace: Option<&'a Trace>,
    ) -> Result<Self, FitError> {
        let IonFitter {
            lines,
            draft,
            programme,
            workspace,
        } = memory;
        workspace.remove();
        let reduced = question.distance == Distance::Squared
            && !question.is_weighed()
            && !lines.scales.is_empty()
            && lines.aims.iter().all(Aim::is_point);
        let ridge = if reduced {
            write_reduced_programme(programme, draft, question, ridge, lines)?
        } else {
            *programme = with_misses(question, ridge, lines)?;
            ridge
        };
        Ok(Self {
            question,
            ridge,
            reduced,
            lines,
            draft,
            programme,
            workspace,
            trace,
        })
    }

    fn answer(&mut self) -> Result<IonAnswer, FitError> {
        let (best, mut iterations) = self.continuous()?;
        let (dilution, amounts) = self.amounts(&best.x);
        let before_weighing = Continuous {
            dilution,
            amounts: amounts.clone(),
            objective: self.objective(&best.x),
            certificate: best.certificate,
        };
        if !self.question.is_weighed() {
            return Ok(IonAnswer {
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
        for (amount, salt) in amounts.iter_mut().zip(&self.question.salts) {
            if let Some(step) = salt.step {
                *amount = (*amount / step).round() * step;
            }
        }
        Ok(IonAnswer {
            dilution,
            amounts,
            objective: self.objective(x),
            before_weighing,
            gap: weighed.gap(),
            nodes: weighed.nodes,
            iterations,
        })
    }

    /// Shares and amounts in the caller's units.
    fn amounts(&self, x: &[f64]) -> (f64, Vec<f64>) {
        let mut amounts: Vec<f64> = x
            .iter()
            .zip(&self.lines.scales)
            .map(|(x, scale)| math::at_least(x * scale, 0.0))
            .collect();
        let salts = self.question.salts.len();
        let dilution = amounts.get(salts).copied().unwrap_or(0.0);
        amounts.truncate(salts);
        (dilution, amounts)
    }

    fn objective(&self, x: &[f64]) -> f64 {
        let costs = self.lines.iter().map(|(row, aim)| {
            let miss = aim.miss(at(row, x));
            aim.weight
                * match self.question.distance {
                    Distance::Squared => miss * miss,
                    Distance::Absolute => miss,
                }
        });
        costs.sum()
    }

    /// Solves the programme with a gradient, from where the last solve ended, and without a certificate; a rough optimum is
    /// not refined.
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

    /// The curvature of a variable that does not count.
    fn ridge(&self, variable: usize) -> f64 {
        match self.question.distance {
            _ if variable < self.lines.scales.len() => self.ridge,
            Distance::Absolute => MISS_RIDGE,
            Distance::Squared => 0.0,
        }
    }

    /// The gradient of the misses.
    fn gradient_of_misses(&self) -> Vec<f64> {
        if self.reduced {
            return self.programme.gradient().to_vec();
        }
        let mut gradient = vec![0.0; self.lines.scales.len()];
        gradient.extend(
            self.lines
                .aims
                .iter()
                .map(|aim| match self.question.distance {
                    Distance::Squared => 0.0,
                    Distance::Absolute => aim.weight,
                }),
        );
        gradient
    }

    /// The gradient of the material: 1 for the salt of which a unit of its variable is most, each later salt dearer by
    /// `order`; water is free.
    fn gradient_of_material(&self, order: f64) -> Vec<f64> {
        let salts = self.question.salts.len();
        let heaviest = self.lines.scales[..salts]
            .iter()
            .fold(0.0, |a: f64, b| a.max(*b));
        let mut gradient = vec![0.0; self.programme.variables()];
        for (index, (price, scale)) in gradient
            .iter_mut()
            .zip(&self.lines.scales[..salts])
            .enumerate()
        {
            *price = scale / heaviest * (1.0 + order * index as f64);
        }
        gradient
    }

    /// The certified optimum, with least material.
    fn continuous(&mut self) -> Result<(Solution, u64), FitError> {
        if self.ridge == 0.0 {
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
        let (_, mut iterations) = minimise(self, &gradient, Self::objective)?;
        let mut best = match self.workspace.certify(self.programme) {
            Outcome::Optimal(solution) => solution,
            other => return Err(FitError::NotSolved(Box::new(other))),
        };
        iterations += best.iterations;
        if self.reduced && self.is_only(&best) {
            return Ok((best, iterations));
        }
        // Misses held where they are, as little material as possible.
        let spans = self.hold_misses(&best.x)?;
        let price = self.gradient_of_material(ORDER);
        let material = |_: &Self, x: &[f64]| price.iter().zip(x).map(|(price, x)| price * x).sum();
        let sparing = minimise(self, &price, material);
        self.let_misses_go(&spans)?;
        match sparing {
            Ok((sparing, more)) => {
                iterations += more;
                let least = self.objective(&best.x);
                if self.objective(&sparing) <= least + MATERIAL_TOLERANCE * least + ZERO {
                    best.x = sparing;
                }
            }
            Err(FitError::NotSolved(outcome))
                if matches!(*outcome, Outcome::IterationLimit { .. }) =>
            {
                return Err(FitError::NotSolved(outcome));
            }
            // Rounding may leave no point that keeps the misses that were held: the optimum does.
            Err(_) => {}
        }
        Ok((best, iterations))
    }

    /// Whether no other amounts miss as little: limits push on some, and the curvature of the misses is firm in the others.
    fn is_only(&mut self, best: &Solution) -> bool {
        let slopes = self.programme.gradient().iter();
        let steepest = slopes.fold(0.0, |most: f64, slope| most.max(slope.abs()));
        let pushes = best.multipliers.bounds.iter().enumerate();
        let free: Vec<usize> = pushes
            .filter(|(_, push)| push.abs() <= PUSH * steepest)
            .map(|(variable, _)| variable)
            .collect();
        let Draft { matrix, factor, .. } = &mut *self.draft;
        self.programme.min_relative_pivot(&free, matrix, factor) > MIN_PIVOT
    }

    /// ActiveConstraint every line where it is; gives the spans of the misses as they were. A reduced programme is then done with.
    fn hold_misses(&mut self, x: &[f64]) -> Result<Vec<Span>, ProgrammeError> {
        if self.reduced {
            for row in self.lines.rows() {
                self.programme.add_row(row, Span::exactly(at(row, x)))?;
            }
            return Ok(Vec::new());
        }
        let choices = self.lines.scales.len();
        let mut spans = Vec::with_capacity(self.lines.len());
        for (miss, x) in x.iter().enumerate().skip(choices) {
            spans.push(self.programme.spans()[miss]);
            self.programme.set_bound(miss, Span::exactly(*x))?;
        }
        Ok(spans)
    }

    fn let_misses_go(&mut self, spans: &[Span]) -> Result<(), ProgrammeError> {
        for (index, span) in spans.iter().enumerate() {
            self.programme
                .set_bound(self.lines.scales.len() + index, *span)?;
        }
        Ok(())
    }

    /// The best plan that can be weighed; where it misses nothing, the one with least material.
    fn weighed(&mut self) -> Result<Weighed, FitError> {
        let portions = self.portions();
        let is_priced = self.question.is_priced();
        let material = self.gradient_of_material(0.0);
        let mut gradient = self.gradient_of_misses();
        let mut regularisation = Vec::with_capacity(gradient.len());
        for (j, (salt, scale)) in self
            .question
            .salts
            .iter()
            .zip(&self.lines.scales)
            .enumerate()
        {
            gradient[j] += salt.price * scale;
        }
        // Where material has its price, nothing need lure, and what the ridge adds may count as well.
        for j in 0..if is_priced { 0 } else { gradient.len() } {
            let slope = if j < self.lines.scales.len() {
                TIE_BREAK * (material[j] + MIN_TIE_BREAK)
            } else {
                0.0
            };
            gradient[j] += slope;
            regularisation.push(Regularisation {
                slope,
                curvature: self.ridge(j),
            });
        }
        self.programme.set_gradient(&gradient)?;
        self.narrow()?;
        let mut weighing = Weighing {
            portions: &portions,
            most_items: self.question.max_salts,
            regularisation: &regularisation,
            constant: 0.0,
            least: 0.0,
            indifference: self.question.indifference,
            node_limit: self.question.node_limit,
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
        let regularisation: Vec<Regularisation> = (0..nothing.len())
            .map(|j| Regularisation {
                slope: 0.0,
                curvature: self.ridge(j),
            })
            .collect();
        weighing.regularisation = &regularisation;
        weighing.node_limit -= found.nodes;
        let sparing = weigh_from(self.programme, &weighing, self.workspace)?;
        self.let_misses_go(&spans)?;
        Ok(Weighed {
            x: sparing.x.or(found.x),
            nodes: found.nodes + sparing.nodes,
            iterations: found.iterations + sparing.iterations,
            value: found.value,
            bound: found.bound,
            tie: found.tie,
        })
    }

    /// Narrows spans to what a plan can be that beats no salt at all: the search bounds are the tighter.
    fn narrow(&mut self) -> Result<(), ProgrammeError> {
        let choices = self.lines.scales.len();
        let mut highs: Vec<f64> = self.programme.spans()[..choices]
            .iter()
            .map(|span| span.high.min(MOST))
            .collect();
        let mut nothing: Vec<f64> = self.programme.spans()[..choices]
            .iter()
            .map(|span| span.low)
            .collect();
        nothing.resize(self.programme.variables(), 0.0);
        let worst = self.objective(&nothing) * (1.0 + 1e-6) + 1e-6;
        for (index, (row, aim)) in self.lines.iter().enumerate() {
            let share = worst / aim.weight;
            let miss = match self.question.distance {
                Distance::Squared => share.sqrt(),
                Distance::Absolute => share,
            };
            if self.programme.spans()[choices + index].low == 0.0 {
                self.programme
                    .set_bound(choices + index, Span::between(0.0, miss))?;
            }
            let least: f64 = row.iter().zip(&highs).map(|(a, x)| (a * x).min(0.0)).sum();
            for (a, high) in row.iter().zip(&mut highs) {
                if *a > 0.0 {
                    *high = high.min((aim.high + miss - least) / a);
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
        let salts = self
            .question
            .salts
            .iter()
            .zip(&self.lines.scales)
            .enumerate();
        salts
            .map(|(variable, (salt, scale))| Portion {
                variable,
                step: salt.step.map(|step| step / scale),
                min_dose: salt.min_dose / scale,
                item: Some(variable),
                price: self.question.handling * (1.0 + LATER * variable as f64),
            })
            .collect()
    }
}
