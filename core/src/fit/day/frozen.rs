//! A brew day's problem at frozen ionic strengths, as a strictly convex programme.

use underlet_tables::parameters;

use crate::fit::day_terms::{DayTerms, dose_scale, limited};
use crate::fit::ionic_strengths::IonicStrengths;
use crate::fit::linear::{Choice, Constraint, LinearTerm, amounts, limit_choices};
use crate::fit::prices;
use crate::fit::problem::Problem;
use crate::fit::result::FitError;
use crate::math;
use crate::optimise::{Limit, Outcome, Programme, Solution, Span, Start, Trace, Workspace};

/// The programme of a problem at frozen ionic strengths: decision variables are shares of the
/// sources, then doses in mmol per kg of brewing liquor, then for each constraint its miss.
pub struct FrozenProblem<'a> {
    pub(super) problem: &'a Problem<'a>,
    pub(super) strengths: IonicStrengths,
    pub(super) constraints: Vec<Constraint>,
    preferences: Vec<LinearTerm>,
    pub(super) choices: Vec<Choice>,
    pub(super) programme: Programme,
    pub(super) workspace: Workspace,
    pub(super) rows: Rows,
}

/// Where a programme has its rows.
#[derive(Debug, Default)]
pub(super) struct Rows {
    /// Of each constraint, for its low and its high end.
    pub ends: Vec<[Option<usize>; 2]>,
    /// Stocks on hand, each with its row and with the dose, g or mL, that is one unit there.
    pub stocks: Vec<(usize, usize, f64)>,
    /// Hard limits, each with its row.
    pub limits: Vec<(usize, usize)>,
}

impl<'a> FrozenProblem<'a> {
    /// Writes the programme.
    ///
    /// # Errors
    /// When its numbers cannot be a programme.
    pub fn new(problem: &'a Problem<'a>, strengths: IonicStrengths) -> Result<Self, FitError> {
        let DayTerms {
            constraints,
            preferences,
        } = DayTerms::new(problem, strengths);
        let choices = choices(problem);
        let count = choices.len();
        let variables = count + constraints.len();
        let mut hessian = vec![0.0; variables * variables];
        let mut gradient: Vec<f64> = vec![0.0; variables];
        for (slope, price) in gradient.iter_mut().zip(prices_of(problem)) {
            *slope = price;
        }
        for j in 0..count {
            hessian[j * variables + j] = parameters::FIT_STRICTNESS.value;
        }
        for term in &preferences {
            let point = term.point().unwrap_or_default();
            for (j, a) in term.coefficients().iter().enumerate() {
                gradient[j] -= 2.0 * term.weight * point * a;
                for (k, b) in term.coefficients().iter().enumerate() {
                    hessian[j * variables + k] += 2.0 * term.weight * a * b;
                }
            }
        }
        for (index, constraint) in constraints.iter().enumerate() {
            let miss = count + index;
            hessian[miss * variables + miss] = 2.0 * constraint.term.weight;
        }
        let mut programme = Programme::new(hessian, gradient)?;
        let rows = limit(&mut programme, problem, &choices, &constraints)?;
        Ok(FrozenProblem {
            problem,
            strengths,
            constraints,
            preferences,
            choices,
            programme,
            workspace: Workspace::new(),
            rows,
        })
    }

    /// The certified optimum.
    ///
    /// # Errors
    /// When the solver ends any other way.
    pub fn solve(&mut self) -> Result<Solution, FitError> {
        self.solve_observed(None)
    }

    pub(super) fn solve_observed(&mut self, trace: Option<&Trace>) -> Result<Solution, FitError> {
        let programme = &self.programme;
        match self.workspace.solve_observed(programme, Start::Cold, trace) {
            Outcome::Optimal(solution) => Ok(solution),
            other => Err(self
                .infeasible(&other)
                .unwrap_or_else(|| FitError::NotSolved(Box::new(other)))),
        }
    }

    /// The hard limit that needs the least relief for a plan to exist, if a hard limit rules plans
    /// out.
    fn infeasible(&self, outcome: &Outcome) -> Option<FitError> {
        let Outcome::Infeasible(conflict) = outcome else {
            return None;
        };
        let mut found: Option<(usize, f64)> = None;
        for (part, relief) in conflict.reliefs() {
            let row = |(_, row): &&(usize, usize)| part.limit == Limit::Row(*row);
            if let Some((place, _)) = self.rows.limits.iter().find(row)
                && found.is_none_or(|(_, least)| relief < least)
            {
                found = Some((*place, relief));
            }
        }
        let (place, relief) = found?;
        let (of, most) = *self.problem.targets.limits.get(place)?;
        let least = most + relief * parameters::FIT_ION_TOLERANCE.value;
        Some(FitError::Infeasible { of, most, least })
    }

    /// The targets as linear terms in shares of the sources and scaled doses.
    pub fn constraints(&self) -> &[Constraint] {
        &self.constraints
    }

    /// Shares and doses of decision variables.
    pub fn amounts(&self, x: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let mut shares = amounts(&self.choices, x);
        let doses = shares.split_off(self.problem.sources.len().min(shares.len()));
        (shares, doses)
    }

    /// The ionic strengths that are frozen.
    pub(super) fn ionic_strengths(&self) -> IonicStrengths {
        self.strengths
    }

    /// Ionic strengths of the liquors at decision variables.
    pub(super) fn strengths_at(&self, x: &[f64]) -> IonicStrengths {
        let (shares, doses) = self.amounts(x);
        let liquors = self.problem.liquors(&shares, &doses);
        IonicStrengths::of(&liquors, self.problem.targets.sparge_ph.as_ref())
    }

    /// How far the constraints shift at a point once they are written at the ionic strengths of its
    /// own liquors: the largest, in tolerances.
    pub(super) fn linearisation_error(&self, x: &[f64]) -> f64 {
        let own = DayTerms::new(self.problem, self.strengths_at(x)).constraints;
        let beyond = |term: &LinearTerm| term.at(x) - term.low.or(term.high).unwrap_or_default();
        let pairs = self.constraints.iter().zip(&own);
        pairs
            .map(|(frozen, own)| (beyond(&own.term) - beyond(&frozen.term)).abs())
            .fold(0.0, f64::max)
    }

    /// The objective at decision variables: weighted squared misses, those of preferred points, and
    /// a little for material.
    pub fn objective(&self, x: &[f64]) -> f64 {
        let x = &x[..self.choices.len().min(x.len())];
        let preferences: f64 = self.preferences.iter().map(|term| term.cost(x)).sum();
        let priced = x.iter().zip(prices_of(self.problem));
        let material: f64 = priced.map(|(x, price)| x * price).sum();
        let squares: f64 = x.iter().map(|x| x * x).sum();
        self.misses(x) + preferences + material + parameters::FIT_STRICTNESS.value / 2.0 * squares
    }

    /// Weighted squared misses of the targets at decision variables.
    pub(super) fn misses(&self, x: &[f64]) -> f64 {
        let x = &x[..self.choices.len().min(x.len())];
        let constraints = self.constraints.iter();
        constraints.map(|one| one.term.cost(x)).sum()
    }

    /// What the objective has beside the programme's value: the preferences at nothing.
    pub(super) fn constant(&self) -> f64 {
        self.preferences.iter().map(|term| term.cost(&[])).sum()
    }
}

/// Prices of the decision variables: of shares, the first source's for nothing, then of doses.
fn prices_of(problem: &Problem<'_>) -> impl Iterator<Item = f64> {
    let sources = (0..problem.sources.len()).map(|place| match place {
        0 => 0.0,
        _ => prices::per_blend(),
    });
    sources.chain(problem.doses.iter().map(|option| option.price))
}

/// Shares of the sources, then doses.
fn choices(problem: &Problem<'_>) -> Vec<Choice> {
    let blended = problem.waters.blended_kg();
    let most = |most: Option<f64>| most.map_or(f64::INFINITY, |most| math::at_least(most, 0.0));
    let shares = problem.sources.iter().map(|source| Choice {
        scale: 1.0,
        least: 0.0,
        most: most(source.max_amount_kg.map(|kg| kg / blended)),
        step: Some(problem.draw_step_kg / blended),
        min_dose: 0.0,
    });
    let doses = problem.doses.iter().enumerate();
    let doses = doses.map(|(index, option)| Choice {
        scale: dose_scale(problem, index),
        least: 0.0,
        most: most(option.most),
        step: Some(option.step),
        min_dose: option.min_dose,
    });
    shares.chain(doses).collect()
}

/// Puts all limits of a problem on a programme: the spans of its variables, the sum of the shares,
/// stocks, the ends of the targets with their misses, hard limits.
pub(super) fn limit(
    programme: &mut Programme,
    problem: &Problem<'_>,
    choices: &[Choice],
    constraints: &[Constraint],
) -> Result<Rows, FitError> {
    limit_choices(programme, choices)?;
    let sources = problem.sources.len();
    let mut rows = Rows::default();
    let mut row = vec![0.0; programme.variables()];
    row[..sources].fill(1.0);
    programme.add_row(&row, Span::exactly(1.0))?;
    for (stock, on_hand) in problem.stocks.iter().enumerate() {
        let Some(on_hand) = on_hand else { continue };
        row.fill(0.0);
        let doses = problem.doses.iter().zip(&choices[sources..]).enumerate();
        let taken = doses.filter(|(_, (option, _))| option.stock == stock);
        // In units of the first dose taken from it, so that the row is of order one.
        let Some(unit) = taken.clone().next().map(|(_, (_, choice))| choice.scale) else {
            continue;
        };
        for (index, (option, choice)) in taken {
            let times = problem.waters.times(option.vessel);
            row[sources + index] = times * choice.scale / unit;
        }
        let added = programme.add_row(&row, Span::at_most(on_hand / unit))?;
        rows.stocks.push((stock, added, unit));
    }
    for (index, constraint) in constraints.iter().enumerate() {
        let ends = constraint
            .term
            .add_rows(programme, choices.len() + index, &mut row)?;
        rows.ends.push(ends);
    }
    for (place, (of, most)) in problem.targets.limits.iter().enumerate() {
        row.fill(0.0);
        for (a, brought) in row.iter_mut().zip(limited(problem, *of)) {
            *a = brought / parameters::FIT_ION_TOLERANCE.value;
        }
        let most = most / parameters::FIT_ION_TOLERANCE.value;
        let added = programme.add_row(&row, Span::at_most(most))?;
        rows.limits.push((place, added));
    }
    Ok(rows)
}
