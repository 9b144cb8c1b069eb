//! The certificate: five numbers, each computed anew from the solution and the programme as given,
//! that say how far the solution is from fulfilling the conditions of an optimum
//! (Karush-Kuhn-Tucker; for a convex programme they are sufficient: Nocedal & Wright 2006,
//! *Numerical Optimization*, ch. 12 and 16).

use schemars::JsonSchema;
use serde::Serialize;

use super::multipliers::Multipliers;
use super::programme::Programme;

/// How far a solution is from the conditions of an optimum. All five are ratios: an error divided
/// by the size of the terms it is made of, in which every variable counts as x̄ = max(1, |x|), at
/// least one unit. So 10⁻⁹ means: right to the ninth digit, or to a billionth of a unit of each
/// variable.
///
/// The multiplier λ of a limit is positive where the low end pushes up, negative where the high end
/// pushes down, so that at an optimum H·x + g = Σ λ·a.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Certificate {
    /// Greatest overstepping of a limit, by max(|end|, Σ|a|·x̄) of that limit.
    pub primal_infeasibility: f64,
    /// Greatest push |λ·a| from an end that does not exist, by the size of the stationarity sum of
    /// the variable.
    pub dual_infeasibility: f64,
    /// Greatest |H·x + g − Σλ·a| of a variable, by max(|g|, Σ|H|·x̄, Σ|λ·a|) of that variable.
    pub stationarity: f64,
    /// Greatest |λ|·(distance to the end that pushes), by the size of the objective.
    pub complementarity: f64,
    /// |primal value − dual value|, by the size of the objective ½·x̄ᵀ|H|·x̄ + |g|ᵀx̄. The dual value is
    /// −½·xᵀH·x + Σ λ·end (Dorn 1960, *Quarterly of Applied Mathematics* 18:155-162).
    pub gap: f64,
}

impl Certificate {
    /// What the solver requires of a solution before it calls it optimal.
    pub const TOLERANCE: f64 = 1e-9;

    /// Judges any point and multipliers, wherever they come from. Lists that are too short count as
    /// zeros.
    pub fn of(programme: &Programme, x: &[f64], multipliers: &Multipliers) -> Self {
        let n = programme.variables();
        if x.len() == n {
            return Examination::new(programme, x).run(multipliers);
        }
        let mut point = x.to_vec();
        point.resize(n, 0.0);
        Examination::new(programme, &point).run(multipliers)
    }

    /// Whether all five numbers are at most `tolerance`. NaN never holds.
    pub fn holds(&self, tolerance: f64) -> bool {
        self.worst() <= tolerance
    }

    /// The greatest of the five; NaN if any of them is.
    pub fn worst(&self) -> f64 {
        let numbers = [
            self.primal_infeasibility,
            self.dual_infeasibility,
            self.stationarity,
            self.complementarity,
            self.gap,
        ];
        numbers.into_iter().fold(0.0, worse)
    }
}

/// The greater of two errors, where NaN is worse than any number.
fn worse(a: f64, b: f64) -> f64 {
    if a.is_nan() || a >= b { a } else { b }
}

/// An error by the size of its terms; terms of size zero allow no error.
fn ratio(error: f64, size: f64) -> f64 {
    if error == 0.0 { 0.0 } else { error / size }
}

struct Examination<'p> {
    programme: &'p Programme,
    x: &'p [f64],
    variables: Vec<Balance>,
    /// Size of the objective.
    objective: f64,
    /// xᵀH·x + gᵀx, then less Σλ·end: the gap.
    gap: f64,
}

/// What is summed up of a variable.
#[derive(Clone, Copy)]
struct Balance {
    /// x̄ = max(1, |x|).
    reach: f64,
    /// H·x + g − Σλ·a.
    residual: f64,
    /// Size of H·x and g.
    size: f64,
    /// Σ|λ·a|.
    pushes: f64,
    /// Those of it from ends that do not exist.
    unfounded: f64,
}

impl Balance {
    /// Takes in a limit that pushes, λ·a being its part of the sum.
    fn push(&mut self, part: f64, founded: bool) {
        self.residual -= part;
        self.pushes += part.abs();
        if !founded {
            self.unfounded += part.abs();
        }
    }
}

impl<'p> Examination<'p> {
    fn new(programme: &'p Programme, x: &'p [f64]) -> Self {
        let reach = |v: &f64| v.abs().max(1.0);
        let mut variables = Vec::with_capacity(x.len());
        let (mut objective, mut gap) = (0.0, 0.0);
        for ((row, g), xi) in programme.hessian().zip(programme.gradient()).zip(x) {
            let slope: f64 = row.iter().zip(x).map(|(h, v)| h * v).sum();
            let terms = row.iter().zip(x).map(|(h, v)| h.abs() * reach(v));
            let terms: f64 = terms.sum();
            objective += (0.5 * terms + g.abs()) * reach(xi);
            gap += (slope + g) * xi;
            variables.push(Balance {
                reach: reach(xi),
                residual: slope + g,
                size: terms.max(g.abs()),
                pushes: 0.0,
                unfounded: 0.0,
            });
        }
        Self {
            programme,
            x,
            variables,
            objective,
            gap,
        }
    }

    fn run(mut self, multipliers: &Multipliers) -> Certificate {
        let programme = self.programme;
        let mut primal_infeasibility = 0.0;
        let mut complementarity = 0.0;
        for (index, span) in programme.spans().iter().enumerate() {
            let activity = programme.activity(index, self.x);
            let reach = match programme.coefficients(index) {
                Ok(row) => {
                    let parts = row.iter().zip(&self.variables);
                    parts.map(|(a, variable)| a.abs() * variable.reach).sum()
                }
                Err(variable) => self.variables[variable].reach,
            };
            for (end, overstep) in [
                (span.low, span.low - activity),
                (span.high, activity - span.high),
            ] {
                if end.is_finite() {
                    let overstepped = ratio(worse(overstep, 0.0), worse(end.abs(), reach));
                    primal_infeasibility = worse(primal_infeasibility, overstepped);
                }
            }
            let lambda = multipliers.get(programme.limit(index));
            if lambda == 0.0 {
                continue;
            }
            let end = if lambda > 0.0 { span.low } else { span.high };
            match programme.coefficients(index) {
                Ok(row) => {
                    for (variable, a) in self.variables.iter_mut().zip(row) {
                        variable.push(lambda * a, end.is_finite());
                    }
                }
                Err(variable) => self.variables[variable].push(lambda, end.is_finite()),
            }
            if end.is_finite() {
                let slack = lambda.abs() * (activity - end).abs();
                complementarity = worse(complementarity, ratio(slack, self.objective));
                self.gap -= lambda * end;
            }
        }
        let (mut stationarity, mut dual_infeasibility) = (0.0, 0.0);
        for variable in &self.variables {
            let size = worse(variable.size, variable.pushes);
            stationarity = worse(stationarity, ratio(variable.residual.abs(), size));
            dual_infeasibility = worse(dual_infeasibility, ratio(variable.unfounded, size));
        }
        let gap = ratio(self.gap.abs(), self.objective);
        Certificate {
            primal_infeasibility,
            dual_infeasibility,
            stationarity,
            complementarity,
            gap,
        }
    }
}
