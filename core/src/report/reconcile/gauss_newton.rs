//! Gauss-Newton: each step lays straight lines through the predictions and solves a convex programme, amounts at
//! least zero and electroneutrality exact. A step that does not lower the sum of squares as promised is taken shorter, by Levenberg
//! and Marquardt's damping (Nocedal & Wright 2006, ch. 10.3).

use super::ReconcileError;
use super::model::{Model, Point};
use crate::aqueous::EquilibriumError;
use crate::convex::{Limit, Outcome, Programme, Side, Solution, Span, Start, Workspace};
use crate::math;

/// A step that moves no unknown by more than this many of its own standard deviations (all others known) is the last.
const LAST_STEP: f64 = 1.0e-9;
/// A step that promises so small a share of the sum of squares is the last as well.
const LAST_GAIN: f64 = 1.0e-14;
/// A promise so small that breaking it is rounding: the water is the best there is.
const ROUNDING: f64 = 1.0e-9;
const STEPS: u64 = 200;
const TRIALS: usize = 40;
/// Damping that a first refused step calls for, beside a curvature of one; below it there is none.
const LEAST_DAMPING: f64 = 1.0e-3;
/// How it rises with a refused step and falls with a good one.
const DAMPING_FACTORS: [f64; 2] = [8.0, 0.25];
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
    fn programme(
        &self,
        model: &Model,
        x: &[f64],
        damping: f64,
    ) -> Result<Programme, ReconcileError> {
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

/// The method's memory. Its steps are taken by a plain loop, as the quadratic solver's are: argmin's executor would bring
/// clocks, counters and logs that a browser loads for nothing.
struct GaussNewton {
    workspace: Workspace,
    damping: f64,
}

impl GaussNewton {
    /// The next water, and whether it is the last.
    fn step(&mut self, model: &Model, x: &Point) -> Result<(Point, bool), ReconcileError> {
        let lines = Lines::about(model, x)?;
        let before = cost(&lines.residuals);
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
            let next = model.settled(moved.collect());
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
        Err(ReconcileError::NotConverged)
    }
}

/// The damping after a step that was good.
fn less(damping: f64) -> f64 {
    let less = damping * DAMPING_FACTORS[1];
    if less < LEAST_DAMPING { 0.0 } else { less }
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
    let mut method = GaussNewton {
        workspace: Workspace::new(),
        damping: 0.0,
    };
    let mut x = model.start();
    let mut steps = 0;
    let mut is_last = false;
    while !is_last {
        if steps == STEPS {
            return Err(ReconcileError::NotConverged);
        }
        (x, is_last) = method.step(model, &x)?;
        steps += 1;
    }
    let lines = Lines::about(model, &x)?;
    let programme = lines.programme(model, &x, 0.0)?;
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
        steps,
    })
}
