//! Damped Gauss–Newton as an argmin solver: the water that fits the measurements best.

use argmin::core::{
    ArgminError, Error, IterState, KV, Problem, Solver, State, TerminationReason, TerminationStatus,
};

use super::model::{Model, Point};
use super::{ReconcileError, Unfinished};
use crate::aqueous::EquilibriumError;
use crate::math;
use crate::optimise::{
    Limit, Outcome, Programme, Side, Solution, Span, Start, Trace, Workspace, execute, problem_of,
};

/// A step that moves no unknown by more than this many of its own standard deviations (all others
/// known) is the last.
const LAST_STEP: f64 = 1.0e-9;
/// A step that promises so small a share of the sum of squares is the last as well.
const LAST_GAIN: f64 = 1.0e-14;
/// A promise so small that breaking it is rounding: the water is the best there is.
const ROUNDING: f64 = 1.0e-9;
/// Most iterations.
const ITERATIONS: u64 = 200;
/// Most steps tried in one of them, each shorter than the one before.
const TRIALS: usize = 40;
/// Damping that a first refused step calls for, beside a curvature of one; below it there is none.
const LEAST_DAMPING: f64 = 1.0e-3;
/// How it rises with a refused step and falls with a good one.
const DAMPING_FACTORS: [f64; 2] = [8.0, 0.25];
/// Share of the promised gain that a step must keep (Nocedal & Wright 2006, eq. 3.4).
const KEPT_GAIN: f64 = 1.0e-4;

/// The measurements as straight lines about a water, each in its standard deviations: what argmin
/// calls residuals and Jacobian.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    /// (value − prediction)/sd of each measurement.
    pub residuals: Vec<f64>,
    /// Sensitivities of the predictions per sd, one row per measurement.
    pub sensitivities: Vec<Vec<f64>>,
    /// Length of one step of each unknown: its standard deviation if all others were known.
    pub units: Vec<f64>,
}

impl Lines {
    fn about(model: &Model, x: &[f64]) -> Result<Lines, ReconcileError> {
        let residuals = residuals(model, x)?;
        let mut sensitivities = model.sensitivities(x)?;
        for (row, m) in sensitivities.iter_mut().zip(&model.measurements) {
            for slope in row {
                *slope /= m.sd;
            }
        }
        let units = (0..x.len())
            .map(|j| {
                let precision: f64 = column(&sensitivities, j).map(|slope| slope * slope).sum();
                1.0 / precision.sqrt()
            })
            .collect();
        Ok(Lines {
            residuals,
            sensitivities,
            units,
        })
    }

    /// Half the sum of squares.
    fn cost(&self) -> f64 {
        cost(&self.residuals)
    }

    /// The programme of a step, counted in `units`: half the sum of squares within the limits. Its
    /// one row is the charge.
    fn programme(
        &self,
        model: &Model,
        x: &[f64],
        damping: f64,
    ) -> Result<Programme, ReconcileError> {
        let n = x.len();
        let scaled: Vec<Vec<f64>> = self
            .sensitivities
            .iter()
            .map(|row| {
                row.iter()
                    .zip(&self.units)
                    .map(|(s, unit)| s * unit)
                    .collect()
            })
            .collect();
        let mut hessian = vec![0.0; n * n];
        let mut gradient = vec![0.0; n];
        for (row, residual) in scaled.iter().zip(&self.residuals) {
            for ((line, slope), g) in hessian.chunks_exact_mut(n).zip(row).zip(&mut gradient) {
                *g -= slope * residual;
                for (h, other) in line.iter_mut().zip(row) {
                    *h += slope * other;
                }
            }
        }
        for h in hessian.iter_mut().step_by(n + 1) {
            *h += damping;
        }
        let mut programme = Programme::new(hessian, gradient)?;
        for (j, (unknown, (value, unit))) in model
            .unknowns
            .iter()
            .zip(x.iter().zip(&self.units))
            .enumerate()
        {
            if unknown.is_amount() {
                programme.set_bound(j, Span::at_least(-value / unit))?;
            }
        }
        let charge = model.charge();
        let row: Vec<f64> = charge
            .iter()
            .zip(&self.units)
            .map(|(z, unit)| z * unit)
            .collect();
        let size = row.iter().fold(0.0, |most: f64, a| most.max(a.abs()));
        let row: Vec<f64> = row.iter().map(|a| a / size).collect();
        let off: f64 = charge.iter().zip(x).map(|(z, value)| z * value).sum();
        programme.add_row(&row, Span::exactly(-off / size))?;
        Ok(programme)
    }
}

fn column(rows: &[Vec<f64>], j: usize) -> impl Iterator<Item = f64> + '_ {
    rows.iter().filter_map(move |row| row.get(j)).copied()
}

fn residuals(model: &Model, x: &[f64]) -> Result<Vec<f64>, EquilibriumError> {
    let predictions = model.predictions(x)?;
    let parts = model.measurements.iter().zip(predictions);
    Ok(parts
        .map(|(m, prediction)| (m.value - prediction) / m.sd)
        .collect())
}

/// Half the sum of squares.
fn cost(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r * r).sum::<f64>() / 2.0
}

/// Where the iterations converged: the water that fits best, and the programme about it.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub x: Point,
    pub lines: Lines,
    pub programme: Programme,
    /// Amounts that are zero because the measurements would have them below, by place, and how
    /// hard they press.
    pub pressed: Vec<(usize, f64)>,
    pub iterations: u64,
}

/// What argmin carries from one iteration to the next: a water, half its sum of squares, and the
/// straight lines about it in the place of the Jacobian.
type WaterState = IterState<Point, (), Lines, (), (), f64>;

/// # Gauss–Newton method
///
/// Minimises ½·Σ rᵢ², rᵢ = (measured − predicted)/sd, over waters x whose amounts are not negative
/// and whose charges balance. Each iteration puts tangents in the place of the predictions and
/// minimises
///
/// ½·|r − J·s|² + ½·µ·|s|²,
///
/// J being the predictions' derivatives, over all steps s that leave x + s within these limits: a
/// convex quadratic programme. A step that does not lower the sum of squares as its tangents
/// promise is tried again, shorter, with a greater damping µ (Levenberg–Marquardt); good steps take
/// the damping back to zero.
///
/// ## Termination
///
/// | argmin's reason | what comes of it |
/// |---|---|
/// | `SolverConverged`: the step was tiny, or promised next to nothing | [`Best`] |
/// | `SolverExit`: no step lowers the sum, or a water has no equilibrium | [`ReconcileError`] |
/// | `MaxItersReached` | [`Unfinished::IterationLimit`] |
///
/// ## Reference
///
/// Nocedal & Wright (2006), *Numerical Optimization*, 2nd edition, chapter 10.3.
struct GaussNewton {
    workspace: Workspace,
    damping: f64,
    end: Option<Result<(), ReconcileError>>,
}

impl GaussNewton {
    fn new() -> Self {
        Self {
            workspace: Workspace::new(),
            damping: 0.0,
            end: None,
        }
    }

    /// The next water, and whether it is the last.
    fn step(
        &mut self,
        model: &Model,
        x: &Point,
        lines: &Lines,
    ) -> Result<(Point, bool), ReconcileError> {
        let before = lines.cost();
        for _ in 0..TRIALS {
            let programme = lines.programme(model, x, self.damping)?;
            let solution = solved(&mut self.workspace, &programme)?;
            let steps = || solution.x.iter().zip(&lines.units);
            let length = solution
                .x
                .iter()
                .fold(0.0, |most: f64, step| most.max(step.abs()));
            let moved = x
                .iter()
                .zip(steps())
                .map(|(x, (step, unit))| x + step * unit);
            let next = model.feasible(moved.collect());
            let gain = -solution.value;
            let beside = |share: f64| gain <= share * (1.0 + before);
            let after = residuals(model, &next).map_or(f64::INFINITY, |after| cost(&after));
            if after <= before - KEPT_GAIN * gain {
                self.damping = less(self.damping);
                return Ok((next, length < LAST_STEP || beside(LAST_GAIN)));
            }
            if length < LAST_STEP || beside(ROUNDING) {
                // The sum of squares can no longer tell: the step's straight lines can.
                let level = after <= before + LAST_GAIN * (1.0 + before);
                return Ok((if level { next } else { x.clone() }, true));
            }
            self.damping = math::at_least(self.damping * DAMPING_FACTORS[0], LEAST_DAMPING);
        }
        Err(Unfinished::NoDescent.into())
    }

    /// The state at a water, or the end where the water has no equilibrium.
    fn at(&mut self, model: &Model, x: Point, state: WaterState) -> WaterState {
        match Lines::about(model, &x) {
            Ok(lines) => state.cost(lines.cost()).param(x).jacobian(lines),
            Err(error) => {
                self.end = Some(Err(error));
                state
            }
        }
    }
}

impl<'m> Solver<&'m Model, WaterState> for GaussNewton {
    fn name(&self) -> &'static str {
        "Gauss–Newton"
    }

    fn init(
        &mut self,
        problem: &mut Problem<&'m Model>,
        mut state: WaterState,
    ) -> Result<(WaterState, Option<KV>), Error> {
        (self.damping, self.end) = (0.0, None);
        let x = state.take_param().ok_or_else(no_water)?;
        Ok((self.at(problem_of(problem)?, x, state), None))
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<&'m Model>,
        state: WaterState,
    ) -> Result<(WaterState, Option<KV>), Error> {
        let model = problem_of(problem)?;
        let x = state.get_param().ok_or_else(no_water)?;
        let lines = state.get_jacobian().ok_or_else(no_water)?;
        match self.step(model, x, lines) {
            Ok((next, is_last)) => {
                self.end = is_last.then_some(Ok(()));
                Ok((self.at(model, next, state), None))
            }
            Err(error) => {
                self.end = Some(Err(error));
                Ok((state, None))
            }
        }
    }

    fn terminate(&mut self, _: &WaterState) -> TerminationStatus {
        TerminationStatus::Terminated(match &self.end {
            None => return TerminationStatus::NotTerminated,
            Some(Ok(())) => TerminationReason::SolverConverged,
            Some(Err(error)) => TerminationReason::SolverExit(error.to_string()),
        })
    }
}

fn no_water() -> Error {
    let text = "Gauss–Newton starts from a water: set `param`".to_owned();
    ArgminError::NotInitialized { text }.into()
}

/// The damping after a step that was good.
fn less(damping: f64) -> f64 {
    let less = damping * DAMPING_FACTORS[1];
    if less < LEAST_DAMPING { 0.0 } else { less }
}

fn solved(workspace: &mut Workspace, programme: &Programme) -> Result<Solution, ReconcileError> {
    match workspace.solve(programme, Start::Cold) {
        Outcome::Optimal(solution) => Ok(solution),
        // No water without ions is in conflict with the limits, so only the numbers can be at
        // fault.
        _ => Err(Unfinished::StepNotSolved.into()),
    }
}

/// The water that fits the measurements best.
///
/// # Errors
/// Where the iterations end any other way than converged.
pub(super) fn best(model: &Model, trace: Option<&Trace>) -> Result<Best, ReconcileError> {
    best_within(ITERATIONS, model, trace)
}

fn best_within(
    iterations: u64,
    model: &Model,
    trace: Option<&Trace>,
) -> Result<Best, ReconcileError> {
    let state = WaterState::new().param(model.start()).max_iters(iterations);
    let Some((mut solver, state)) = execute(model, GaussNewton::new(), state, trace) else {
        return Err(Unfinished::StepNotSolved.into());
    };
    let iterations = state.iter;
    let (x, lines) = match (solver.end, state.param, state.jacobian) {
        (Some(Ok(())), Some(x), Some(lines)) => (x, lines),
        (Some(Err(error)), _, _) => return Err(error),
        _ => return Err(Unfinished::IterationLimit { iterations }.into()),
    };
    let programme = lines.programme(model, &x, 0.0)?;
    let solution = solved(&mut solver.workspace, &programme)?;
    let pressed = solution
        .active
        .iter()
        .filter_map(|active| match (active.limit, active.side) {
            (Limit::Bound(j), Side::Low) => Some((j, active.weight)),
            _ => None,
        })
        .filter(|(_, weight)| *weight > 0.0)
        .collect();
    Ok(Best {
        x,
        lines,
        programme,
        pressed,
        iterations,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::component::Component;
    use crate::liquor::alkalinity_eq_per_kg;
    use crate::water_report::entry::{Entry, Figure, Subject, WaterReport};
    use crate::water_report::reconcile::measurements::Gathered;

    /// Conductivity and pH are nonlinear, so that it takes several iterations.
    fn model() -> Model {
        let entry = |subject, value| Entry::new(subject, Figure::Value(value));
        let ion =
            |ion: Component, mg_per_l| entry(Subject::Component(ion), ion.mol_per_kg(mg_per_l));
        let report = WaterReport {
            entries: vec![
                ion(Component::Calcium, 80.0),
                ion(Component::Chloride, 40.0),
                entry(Subject::Alkalinity, alkalinity_eq_per_kg(190.0)),
                entry(Subject::Conductivity, 700.0),
                entry(Subject::Ph, 7.4),
            ],
            ..WaterReport::default()
        };
        let gathered = Gathered::of(&report, &WaterReport::default()).completed();
        Model::new(gathered.measurements, 20.0, 12.0)
    }

    #[test]
    fn a_limit_on_iterations_is_answered_as_such() {
        let model = model();
        let best = best(&model, None).expect("a water");
        assert!(best.iterations > 2);
        let enough = best_within(best.iterations, &model, None).expect("a water");
        assert_eq!((enough.x, enough.iterations), (best.x, best.iterations));
        for iterations in 0..best.iterations {
            let limit = Unfinished::IterationLimit { iterations };
            let end = best_within(iterations, &model, None).map(|best| best.x);
            assert_eq!(end, Err(ReconcileError::NotConverged(limit)));
        }
    }

    /// At the best water the sum of squares has no slope but along the charge balance, and on what
    /// is zero.
    #[test]
    fn the_sum_of_squares_is_level_where_it_converges() {
        let model = model();
        let best = best(&model, None).expect("a water");
        let charge = model.charge();
        let sensitivities: Vec<f64> = (0..best.x.len())
            .map(|j| {
                let rows = best.lines.sensitivities.iter().zip(&best.lines.residuals);
                rows.map(|(row, residual)| -row[j] * residual).sum()
            })
            .collect();
        let free = |j: &usize| best.x[*j] > 0.0 && charge[*j] != 0.0;
        let pushes: Vec<f64> = (0..charge.len())
            .filter(free)
            .map(|j| sensitivities[j] / charge[j])
            .collect();
        let size = pushes
            .iter()
            .fold(0.0, |most: f64, push| most.max(push.abs()));
        assert!(pushes.len() >= 3, "{pushes:?}");
        for pair in pushes.windows(2) {
            assert!((pair[0] - pair[1]).abs() <= 1e-6 * size, "{pushes:?}");
        }
    }
}
