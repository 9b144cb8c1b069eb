//! The end of the steps: the optimum is refined in the programme's own numbers and certified.

use super::super::certificate::Certificate;
use super::super::limit::Limit;
use super::super::multipliers::Multipliers;
use super::super::outcome::{ActiveLimit, Conflict, Outcome, Solution};
use super::super::padded::{NonzeroRange, add_padded, add_scaled, length};
use super::super::programme::Programme;
use super::{ActiveSet, End, KEPT, Working};

/// A correction below this part of y ends the refinement.
const FULL_PRECISION: f64 = 8.0 * f64::EPSILON;

/// Passes of iterative refinement; each wins several digits, so more than three show
/// ill-conditioning instead.
const REFINEMENTS: usize = 3;

impl ActiveSet {
    /// Refines, and looks again in the programme's own numbers. False where that leaves more to do.
    pub(super) fn is_refined_optimum(&mut self, programme: &Programme, precision: f64) -> bool {
        self.refine(programme, precision);
        // Multipliers are parts of y and share its rounding, even where each of them is nothing but
        // rounding: the limit let go for it would only come back.
        let strongest = self
            .working
            .iter()
            .fold(self.reach, |most: f64, w| most.max(w.multiplier.abs()));
        if let Some(position) = self.strongest_pull(KEPT * self.patience * strongest) {
            self.release(position);
            self.recompute();
            return false;
        }
        self.entering = self.most_broken_at_x(programme);
        self.entering.is_none()
    }

    /// Nothing is broken: refine and certify.
    pub(in crate::optimise) fn conclude(&mut self, programme: &Programme) -> Option<End> {
        if !self.is_refined_optimum(programme, FULL_PRECISION) {
            // Limits that ill-conditioned numbers take in and release by turns are treated as kept
            // at last: the certificate judges.
            self.patience *= 2.0;
            return None;
        }
        let multipliers = self.multipliers(programme);
        let certificate = Certificate::of(programme, self.x(), &multipliers);
        let finite = certificate.worst().is_finite() && programme.value(self.x()).is_finite();
        Some(if finite && certificate.holds(Certificate::TOLERANCE) {
            End::Optimal(multipliers, certificate)
        } else {
            End::Trouble(finite.then_some(certificate))
        })
    }

    /// Newton's correction of x and the multipliers with residuals taken from the programme as
    /// given, so that the roundings of all steps before leave no trace. It ends with a
    /// correction below `precision` beside y.
    fn refine(&mut self, programme: &Programme, precision: f64) {
        let rank = self.factor.rank();
        self.take_x(programme);
        for _ in 0..REFINEMENTS {
            self.residual(programme);
            programme.solve_lower(&self.turned, &mut self.step);
            let whole = NonzeroRange::of(&self.step);
            self.factor.project(&self.step, whole, &mut self.turned);
            for (w, limit) in self.fall.iter_mut().zip(&self.working) {
                let end = programme.spans()[limit.index].end(limit.side);
                let missing = end - programme.activity(limit.index, &self.x);
                *w = limit.side.sign() * missing * programme.scale(limit.index);
            }
            self.factor.solve_lower(&mut self.fall);
            for (w, t) in self.fall.iter_mut().zip(&self.turned).skip(rank) {
                *w = -t;
            }
            self.factor.expand(&self.fall, &mut self.step);
            let correction = length(&self.step);
            add_padded(&mut self.y, 1.0, &self.step);
            programme.add_solve_upper(&self.step, &mut self.x);
            add_scaled(&mut self.fall[..rank], 1.0, &self.turned[..rank]);
            self.factor.solve_upper(&mut self.fall);
            for (limit, change) in self.working.iter_mut().zip(&self.fall) {
                limit.multiplier += change;
            }
            if correction <= precision * length(&self.y) {
                break;
            }
        }
        self.reach = length(&self.y);
        self.put_on_bounds(programme);
    }

    /// x from y, with the roundings of all steps.
    pub(super) fn take_x(&mut self, programme: &Programme) {
        self.x.fill(0.0);
        programme.add_solve_upper(&self.y, &mut self.x);
    }

    /// Variables whose bounds are at work stand on them, to the bit.
    pub(super) fn put_on_bounds(&mut self, programme: &Programme) {
        for limit in &self.working {
            if let Limit::Bound(variable) = programme.limit(limit.index) {
                self.x[variable] = programme.spans()[limit.index].end(limit.side);
            }
        }
    }

    /// `turned ← H·x + g − Σ λ·a`.
    fn residual(&mut self, programme: &Programme) {
        let rows = programme.curvature();
        for ((r, (row, nonzero)), g) in self.turned.iter_mut().zip(rows).zip(programme.gradient()) {
            *r = nonzero.dot(row, &self.x) + g;
        }
        for limit in &self.working {
            let lambda = limit.side.sign() * limit.multiplier * programme.scale(limit.index);
            programme.add_normal(limit.index, -lambda, &mut self.turned);
        }
    }

    /// The multipliers in the programme's own units; a pull within rounding is none.
    fn multipliers(&self, programme: &Programme) -> Multipliers {
        let n = programme.variables();
        let mut all = vec![0.0; programme.limit_count()];
        for limit in &self.working {
            all[limit.index] = signed_multiplier(programme, limit);
        }
        let rows = all.split_off(n);
        Multipliers { bounds: all, rows }
    }

    /// The outcome of a run that ended so after so many iterations.
    pub(in crate::optimise) fn outcome(
        &self,
        programme: &Programme,
        end: End,
        iterations: u64,
    ) -> Outcome {
        match end {
            End::Optimal(multipliers, certificate) => Outcome::Optimal(Solution {
                value: programme.value(self.x()),
                active: active_limits(programme, &self.working),
                x: self.x().to_vec(),
                multipliers,
                certificate,
                iterations,
            }),
            End::Infeasible(conflict) => Outcome::Infeasible(Conflict {
                iterations,
                ..conflict
            }),
            End::Trouble(certificate) => Outcome::NumericalTrouble {
                iterations,
                certificate,
            },
        }
    }
}

/// Positive where the low end pushes, negative where the high end does.
fn signed_multiplier(programme: &Programme, limit: &Working) -> f64 {
    let pushes = limit.multiplier > 0.0 || programme.spans()[limit.index].is_exact();
    if pushes {
        limit.side.sign() * limit.multiplier * programme.scale(limit.index)
    } else {
        0.0
    }
}

fn active_limits(programme: &Programme, working: &[Working]) -> Vec<ActiveLimit> {
    let mut active: Vec<ActiveLimit> = working
        .iter()
        .map(|limit| {
            let weight = signed_multiplier(programme, limit);
            let pushes_back = weight * limit.side.sign() < 0.0;
            ActiveLimit {
                limit: programme.limit(limit.index),
                side: if pushes_back {
                    limit.side.opposite()
                } else {
                    limit.side
                },
                weight: weight.abs(),
            }
        })
        .collect();
    active.sort_unstable_by_key(|part| part.limit);
    active
}
