//! The answer to a brewing question: the best plan if the scale were infinitely fine, with its certificate, and the
//! plan that can be weighed.

use std::fmt;

use underlet_tables::parameters;

use super::linear::{Line, QuadraticPenalty, Strengths, dose_scale, held, lines};
use super::problem::Question;
use crate::math;
use crate::optimise::{
    Certificate, Limit, Outcome, Programme, ProgrammeError, Solution, Span, Start, Trace, Workspace,
};
use crate::recipe::LimitedQuantity;

/// Doses and draws, with what they reach.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
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
    /// Proof of that.
    pub certificate: Certificate,
    /// How much better another weighable plan could still be, each thing to weigh counted with its price, as a part
    /// of the objective: 0 where the search is complete.
    pub gap: f64,
    /// Nodes of that search.
    pub nodes: u64,
    /// Steps of the solver in all.
    pub iterations: u64,
    /// Limits that the plan before rounding misses or rests on, with what relief would bring.
    pub binding: Vec<Binding>,
    /// Ionic strengths that the fit was frozen at: those of the plan before rounding, once the two have settled.
    pub strengths: Strengths,
    /// How far the liquors as weighed, each at its own ionic strength, lie off the straight lines of the fit: the largest change, in
    /// tolerances.
    pub moved: f64,
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
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
    /// No plan that can be weighed was found among so many nodes of the search.
    NotWeighed {
        /// Nodes opened.
        nodes: u64,
    },
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
            FitError::NotSolved(end) if matches!(**end, Outcome::Infeasible(_)) => {
                f.write_str("stocks and sources cannot fill the vessels")
            }
            FitError::NotSolved(_) => {
                f.write_str("the amounts differ too much in size for a proven answer")
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

/// Most rounds in which ionic strengths are frozen, the question is solved and they are taken from its plan: enough for each of 300
/// random days.
const ROUNDS: usize = 12;
/// Difference between ionic strengths that no line can tell, mol/kg.
const SAME_STRENGTH: f64 = 1e-10;

/// Answers a question.
///
/// # Errors
/// When the programme cannot be set up or solved: amounts that differ by more than double precision can hold.
pub fn answer(question: &Question<'_>) -> Result<Answer, FitError> {
    answer_observed(question, None)
}

/// The same, watched: the trace gets a run of the solver for each round in which ionic strengths
/// are frozen. The last of them ends at the plan before rounding. The search for what can be
/// weighed, and what relief of a limit would bring, are not traced.
///
/// ```
/// use underlet::{BrewDay, EXAMPLES};
/// use underlet::optimise::{TerminationReason, Trace};
/// use underlet::fit::answer_traced;
///
/// let day = BrewDay::from_json(EXAMPLES[0].1)?;
/// let trace = Trace::new();
/// answer_traced(&day.question(), &trace)?;
/// for run in trace.runs() {
///     assert_eq!(run.solver, "dual active set");
///     assert_eq!(run.reason, Some(TerminationReason::SolverConverged));
///     assert!(run.costs.len() > 1);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// As [`answer`].
pub fn answer_traced(question: &Question<'_>, trace: &Trace) -> Result<Answer, FitError> {
    answer_observed(question, Some(trace))
}

fn answer_observed(question: &Question<'_>, trace: Option<&Trace>) -> Result<Answer, FitError> {
    let (mut model, best, iterations) = settled(question, trace)?;
    let binding = model.limits(&best);
    let (shares_before_rounding, doses_before_rounding) = model.amounts(&best.x);
    let objective_before_rounding = model.objective(&best.x);
    let rounded = model.rounded(&best.x);
    let (_, doses_rounded) = model.amounts(&rounded);
    let (x, weighed) = model.weighable()?;
    let (shares, doses) = model.amounts(&x);
    Ok(Answer {
        shares,
        doses,
        shares_before_rounding,
        doses_before_rounding,
        doses_rounded,
        objective: model.objective(&x),
        objective_rounded: model.objective(&rounded),
        objective_before_rounding,
        certificate: best.certificate,
        gap: weighed.gap(),
        nodes: weighed.nodes,
        iterations: iterations + weighed.iterations,
        binding,
        strengths: model.strengths,
        moved: model.moved(&x),
    })
}

/// Least objective of any plan, weighable or not.
///
/// # Errors
/// As [`answer`].
pub fn least_objective(question: &Question<'_>) -> Result<f64, FitError> {
    let (model, best, _) = settled(question, None)?;
    Ok(model.objective(&best.x))
}

/// Shares of the sources and doses of the best plan, before they are rounded to the scale.
///
/// # Errors
/// As [`answer`].
pub fn best_amounts(question: &Question<'_>) -> Result<(Vec<f64>, Vec<f64>), FitError> {
    let (model, best, _) = settled(question, None)?;
    Ok(model.amounts(&best.x))
}

/// The programme at the ionic strengths of its own optimum, that optimum, and the steps taken. The strengths are followed and never
/// aimed at: a salt is dosed for what it brings, and not to move activity coefficients.
fn settled<'a>(
    question: &'a Question<'a>,
    trace: Option<&Trace>,
) -> Result<(Model<'a>, Solution, u64), FitError> {
    let source = question.sources.first();
    let mut strengths =
        Strengths::alike(source.map_or(0.0, |source| source.liquor.ionic_strength_mol_per_kg()));
    let (mut iterations, mut rounds) = (0, 0);
    loop {
        let mut model = Model::new(question, strengths)?;
        let best = model.solve_observed(trace)?;
        iterations += best.iterations;
        rounds += 1;
        let own = model.strengths_at(&best.x);
        if own.off(strengths) <= SAME_STRENGTH || rounds == ROUNDS {
            return Ok((model, best, iterations));
        }
        strengths = own;
    }
}

/// The programme of a question: decision variables are shares of the sources, then doses in mmol per kg of brewing
/// liquor, then for each line its miss.
pub struct Model<'a> {
    question: &'a Question<'a>,
    strengths: Strengths,
    lines: Vec<Line>,
    penalties: Vec<QuadraticPenalty>,
    scales: Vec<f64>,
    programme: Programme,
    workspace: Workspace,
    /// For each line the rows of its low and high end.
    rows: Vec<[Option<usize>; 2]>,
    /// Stocks on hand, each with its row and with the dose, g or mL, that counts as one there.
    stock_rows: Vec<(usize, usize, f64)>,
    /// Hard limits, each with its row.
    limit_rows: Vec<(usize, usize)>,
}

/// Rows of the lines, low and high end of each, of the stocks, and of the hard limits.
type Rows = (
    Vec<[Option<usize>; 2]>,
    Vec<(usize, usize, f64)>,
    Vec<(usize, usize)>,
);

impl<'a> Model<'a> {
    /// Writes the programme at frozen ionic strengths.
    ///
    /// # Errors
    /// When its numbers cannot be a programme.
    pub fn new(question: &'a Question<'a>, strengths: Strengths) -> Result<Self, FitError> {
        let (lines, penalties) = lines(question, strengths);
        let scales: Vec<f64> = (0..question.doses.len())
            .map(|index| dose_scale(question, index))
            .collect();
        let choices = question.sources.len() + scales.len();
        let variables = choices + lines.len();

        let mut hessian = vec![0.0; variables * variables];
        let mut gradient: Vec<f64> = vec![0.0; variables];
        for j in 0..choices {
            hessian[j * variables + j] = parameters::FIT_STRICTNESS.value;
            gradient[j] = if j == 0 {
                0.0
            } else {
                parameters::FIT_MATERIAL.value
            };
        }
        for pull in &penalties {
            for (j, a) in pull.coefficients.iter().enumerate() {
                gradient[j] -= 2.0 * pull.weight * pull.towards * a;
                for (k, b) in pull.coefficients.iter().enumerate() {
                    hessian[j * variables + k] += 2.0 * pull.weight * a * b;
                }
            }
        }
        for (index, line) in lines.iter().enumerate() {
            let slack = choices + index;
            hessian[slack * variables + slack] = 2.0 * line.weight;
        }
        let mut programme = Programme::new(hessian, gradient)?;
        for j in 0..choices {
            programme.set_bound(j, Self::choice_span(question, &scales, j))?;
        }
        let (rows, stock_rows, limit_rows) =
            Self::add_rows(&mut programme, question, &lines, &scales)?;
        let workspace = Workspace::new();
        Ok(Model {
            question,
            strengths,
            lines,
            penalties,
            scales,
            programme,
            workspace,
            rows,
            stock_rows,
            limit_rows,
        })
    }

    /// What one decision variable may be.
    fn choice_span(question: &Question<'_>, scales: &[f64], variable: usize) -> Span {
        let sources = question.sources.len();
        let most = if let Some(source) = question.sources.get(variable) {
            source
                .max_amount_kg
                .map(|most| most / question.waters.blended_kg())
        } else {
            let index = variable.saturating_sub(sources);
            question
                .doses
                .get(index)
                .and_then(|option| option.most)
                .zip(scales.get(index))
                .map(|(most, scale)| most / scale)
        };
        most.map_or(Span::at_least(0.0), |most| {
            Span::between(0.0, math::at_least(most, 0.0))
        })
    }

    fn add_rows(
        programme: &mut Programme,
        question: &Question<'_>,
        lines: &[Line],
        scales: &[f64],
    ) -> Result<Rows, FitError> {
        let sources = question.sources.len();
        let choices = sources + scales.len();
        let mut row = vec![0.0; programme.variables()];
        row[..sources].fill(1.0);
        programme.add_row(&row, Span::exactly(1.0))?;
        let mut stock_rows = Vec::new();
        for (stock, on_hand) in question.stocks.iter().enumerate() {
            let Some(on_hand) = on_hand else { continue };
            row.fill(0.0);
            // In units of the first dose taken from it, so that the row is of order one.
            let Some(unit) = question
                .doses
                .iter()
                .position(|option| option.stock == stock)
                .map(|first| scales[first])
            else {
                continue;
            };
            for (index, option) in question
                .doses
                .iter()
                .enumerate()
                .filter(|(_, option)| option.stock == stock)
            {
                let times = question.waters.times(option.vessel);
                row[sources + index] = times * scales[index] / unit;
            }
            let added = programme.add_row(&row, Span::at_most(on_hand / unit))?;
            stock_rows.push((stock, added, unit));
        }
        let mut rows = Vec::with_capacity(lines.len());
        for (index, line) in lines.iter().enumerate() {
            row.fill(0.0);
            row[..choices].copy_from_slice(&line.coefficients);
            let mut ends = [None, None];
            if let Some(low) = line.low {
                row[choices + index] = 1.0;
                ends[0] = Some(programme.add_row(&row, Span::at_least(low))?);
            }
            if let Some(high) = line.high {
                row[choices + index] = -1.0;
                ends[1] = Some(programme.add_row(&row, Span::at_most(high))?);
            }
            rows.push(ends);
        }
        let mut limit_rows = Vec::new();
        for (place, (of, most)) in question.targets.limits.iter().enumerate() {
            row.fill(0.0);
            for (a, brought) in row.iter_mut().zip(held(question, *of)) {
                *a = brought / parameters::FIT_ION_TOLERANCE.value;
            }
            let most = most / parameters::FIT_ION_TOLERANCE.value;
            limit_rows.push((place, programme.add_row(&row, Span::at_most(most))?));
        }
        Ok((rows, stock_rows, limit_rows))
    }

    /// The certified optimum.
    ///
    /// # Errors
    /// When the solver ends any other way.
    pub fn solve(&mut self) -> Result<Solution, FitError> {
        self.solve_observed(None)
    }

    fn solve_observed(&mut self, trace: Option<&Trace>) -> Result<Solution, FitError> {
        let programme = &self.programme;
        match self.workspace.solve_observed(programme, Start::Cold, trace) {
            Outcome::Optimal(solution) => Ok(solution),
            other => Err(self
                .infeasible(&other)
                .unwrap_or_else(|| FitError::NotSolved(Box::new(other)))),
        }
    }

    /// The hard limit that would have to give way least for a plan, if one is in the way.
    fn infeasible(&self, outcome: &Outcome) -> Option<FitError> {
        let Outcome::Infeasible(conflict) = outcome else {
            return None;
        };
        let mut found: Option<(usize, f64)> = None;
        for (part, relief) in conflict.reliefs() {
            let row = |(_, row): &&(usize, usize)| part.limit == Limit::Row(*row);
            if let Some((place, _)) = self.limit_rows.iter().find(row)
                && found.is_none_or(|(_, least)| relief < least)
            {
                found = Some((*place, relief));
            }
        }
        let (place, relief) = found?;
        let (of, most) = *self.question.targets.limits.get(place)?;
        let least = most + relief * parameters::FIT_ION_TOLERANCE.value;
        Some(FitError::Infeasible { of, most, least })
    }

    /// What the programme is about, as straight lines in shares of the sources and scaled doses.
    pub fn lines(&self) -> &[Line] {
        &self.lines
    }

    /// Number of decision variables, misses left out.
    fn choices(&self) -> usize {
        self.question.sources.len() + self.scales.len()
    }

    /// Shares and doses of decision variables.
    pub fn amounts(&self, x: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let (shares, doses) = x.split_at(self.question.sources.len().min(x.len()));
        let doses = doses
            .iter()
            .zip(&self.scales)
            .map(|(x, scale)| math::at_least(x * scale, 0.0))
            .collect();
        (
            shares
                .iter()
                .map(|share| math::at_least(*share, 0.0))
                .collect(),
            doses,
        )
    }

    /// Ionic strengths of the liquors at decision variables.
    fn strengths_at(&self, x: &[f64]) -> Strengths {
        let (shares, doses) = self.amounts(x);
        Strengths::of(&self.question.liquors(&shares, &doses))
    }

    /// How far the lines shift at a point once they are drawn at the ionic strengths of its own liquors: the largest, in tolerances.
    fn moved(&self, x: &[f64]) -> f64 {
        let (own, _) = lines(self.question, self.strengths_at(x));
        let beyond = |line: &Line| line.at(x) - line.low.or(line.high).unwrap_or_default();
        let lines = self.lines.iter().zip(&own);
        lines
            .map(|(line, own)| (beyond(own) - beyond(line)).abs())
            .fold(0.0, f64::max)
    }

    /// The objective at decision variables: weighted squared misses, gentle penalties, and a little for material.
    pub fn objective(&self, x: &[f64]) -> f64 {
        let x = &x[..self.choices().min(x.len())];
        let misses: f64 = self
            .lines
            .iter()
            .map(|line| line.weight * line.miss(x) * line.miss(x))
            .sum();
        let penalties: f64 = self
            .penalties
            .iter()
            .map(|pull| {
                let value: f64 = pull.coefficients.iter().zip(x).map(|(a, x)| a * x).sum();
                pull.weight * (value - pull.towards) * (value - pull.towards)
            })
            .sum();
        let material: f64 = x.iter().skip(1).sum();
        let squares: f64 = x.iter().map(|x| x * x).sum();
        misses
            + penalties
            + parameters::FIT_MATERIAL.value * material
            + parameters::FIT_STRICTNESS.value / 2.0 * squares
    }

    /// What the objective has beside the programme's value: the penalties at nothing.
    fn constant(&self) -> f64 {
        let penalties = self.penalties.iter();
        penalties
            .map(|pull| pull.weight * pull.towards * pull.towards)
            .sum()
    }
}

/// Relief below this is rounding: a thousandth of the price of one mmol/kg of material.
const BINDING: f64 = 1.0e-6;

mod dilution;
mod limits;
mod weighable;

pub use dilution::least_dilution;
pub use limits::{ActiveConstraint, Binding};
