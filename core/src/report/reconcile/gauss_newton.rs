//! Gauss-Newton under argmin: each step lays straight lines through the predictions and solves a convex programme, amounts at
//! least zero and electroneutrality exact; a step that would not lower the sum of squares is halved until it does.

use argmin::core::{
    ArgminError, Error, Executor, IterState, KV, Problem, Solver, State, TerminationReason,
};

use super::ReconcileError;
use super::model::{Model, Point};
use crate::aqueous::EquilibriumError;
use crate::convex::{Limit, Outcome, Programme, Side, Solution, Span, Start, Workspace};

/// A step that moves no unknown by more than this many of its own standard deviations (all others known) is the last.
const LAST_STEP: f64 = 1.0e-9;
/// A step so short is taken unasked: what it gains is lost in rounding.
const SHORT_STEP: f64 = 1.0e-5;
const STEPS: u64 = 60;
const HALVINGS: usize = 30;
/// Share of the promised gain that a step must keep (Nocedal & Wright 2006, eq. 3.4).
const KEPT_GAIN: f64 = 1.0e-4;

/// The measurements as straight lines about a point, each in its standard deviations.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    /// (value − prediction)/sd of each measurement.
    pub residuals: Vec<f64>,
    /// Slopes of the predictions per sd, one row per measurement.
    pub slopes: Vec<Vec<f64>>,
    /// Length of one step of each unknown: its standard deviation if all others were known.
    pub units: Vec<f64>,
}

impl Lines {
    fn about(model: &Model, x: &[f64]) -> Result<Lines, ReconcileError> {
        let residuals = residuals(model, x)?;
        let mut slopes = model.slopes(x)?;
        for (row, m) in slopes.iter_mut().zip(&model.measurements) {
            for slope in row {
                *slope /= m.sd;
            }
        }
        let units = (0..x.len())
            .map(|j| {
                let precision: f64 = column(&slopes, j).map(|slope| slope * slope).sum();
                1.0 / precision.sqrt()
            })
            .collect();
        Ok(Lines {
            residuals,
            slopes,
            units,
        })
    }

    /// The programme of a step, counted in `units`: half the sum of squares within the limits. Its one row is the charge.
    fn programme(&self, model: &Model, x: &[f64]) -> Result<Programme, ReconcileError> {
        let n = x.len();
        let scaled: Vec<Vec<f64>> = self
            .slopes
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

/// Where it ended: the water that fits best, and the programme about it.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub x: Point,
    pub lines: Lines,
    pub programme: Programme,
    /// Amounts that are zero because the measurements would have them below, by place, and how hard they press.
    pub pressed: Vec<(usize, f64)>,
    pub steps: u64,
}

/// The method as argmin drives it. The state carries the water and half the sum of squares.
struct GaussNewton {
    workspace: Workspace,
    failure: Option<ReconcileError>,
}

type WaterState = IterState<Point, (), (), (), (), f64>;

impl GaussNewton {
    /// The next water, its cost, and whether it is the last.
    fn step(&mut self, model: &Model, x: &Point) -> Result<(Point, f64, bool), ReconcileError> {
        let lines = Lines::about(model, x)?;
        let programme = lines.programme(model, x)?;
        let solution = solved(&mut self.workspace, &programme)?;
        let length = solution
            .x
            .iter()
            .fold(0.0, |most: f64, step| most.max(step.abs()));
        let before = cost(&lines.residuals);
        let gain = -solution.value;
        let mut share = 1.0;
        for _ in 0..HALVINGS {
            let moved = x.iter().zip(&solution.x).zip(&lines.units);
            let next = moved
                .map(|((x, step), unit)| x + share * step * unit)
                .collect();
            let next = model.settled(next);
            if let Ok(after) = residuals(model, &next) {
                let after = cost(&after);
                if length < SHORT_STEP || after <= before - KEPT_GAIN * share * gain {
                    return Ok((next, after, length < LAST_STEP));
                }
            }
            share /= 2.0;
        }
        Err(ReconcileError::NotConverged)
    }
}

impl<'m> Solver<&'m Model, WaterState> for GaussNewton {
    fn name(&self) -> &'static str {
        "Gauss-Newton over convex programmes"
    }

    fn next_iter(
        &mut self,
        problem: &mut Problem<&'m Model>,
        mut state: WaterState,
    ) -> Result<(WaterState, Option<KV>), Error> {
        let (Some(model), Some(x)) = (problem.problem, state.take_param()) else {
            return Err(missing());
        };
        let state = match self.step(model, &x) {
            Ok((next, cost, true)) => state
                .param(next)
                .cost(cost)
                .terminate_with(TerminationReason::SolverConverged),
            Ok((next, cost, false)) => state.param(next).cost(cost),
            Err(failure) => {
                let reason = failure.to_string();
                self.failure = Some(failure);
                state
                    .param(x)
                    .terminate_with(TerminationReason::SolverExit(reason))
            }
        };
        Ok((state, None))
    }
}

fn missing() -> Error {
    let text = "the measurements or the water to start from are missing".to_owned();
    ArgminError::NotInitialized { text }.into()
}

fn solved(workspace: &mut Workspace, programme: &Programme) -> Result<Solution, ReconcileError> {
    match workspace.solve(programme, Start::Cold) {
        Outcome::Optimal(solution) => Ok(solution),
        // No water without ions is in conflict with the limits, so only the numbers can be at fault.
        _ => Err(ReconcileError::NotConverged),
    }
}

/// The water that fits the measurements best.
pub(super) fn fitted(model: &Model) -> Result<Best, ReconcileError> {
    let method = GaussNewton {
        workspace: Workspace::new(),
        failure: None,
    };
    let start = model.start();
    residuals(model, &start)?;
    let run = Executor::new(model, method)
        .configure(|state: WaterState| state.param(start).max_iters(STEPS))
        .timer(false)
        .ctrlc(false)
        .run();
    let run = run.map_err(|_| ReconcileError::NotConverged)?;
    let (mut state, mut method) = (run.state, run.solver);
    if let Some(failure) = method.failure {
        return Err(failure);
    }
    let converged = state.get_termination_reason() == Some(&TerminationReason::SolverConverged);
    let x = state.take_param().filter(|_| converged);
    let x = x.ok_or(ReconcileError::NotConverged)?;
    let lines = Lines::about(model, &x)?;
    let programme = lines.programme(model, &x)?;
    let solution = solved(&mut method.workspace, &programme)?;
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
        steps: state.get_iter(),
    })
}
