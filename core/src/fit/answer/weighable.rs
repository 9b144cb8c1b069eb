//! From the best plan to one that a scale can weigh: leave out what is not worth weighing, fix one amount after the
//! other to the step below or above, whichever lets the rest do better, then try single steps up and down. Not yet
//! proven best among weighable plans; the objective before rounding bounds what could still be gained.

use underlet_tables::parameters;

use super::Model;
use crate::convex::{Limit, Solution, Span};

/// Amounts nearer to a whole step than this need no trying.
const WHOLE: f64 = 1.0e-9;
/// Rounds of single steps.
const POLISHING_ROUNDS: usize = 8;

impl Model<'_> {
    /// Decision variables on whole steps, and the solver's iterations on the way.
    pub(super) fn weighable(&mut self, best: &Solution) -> (Vec<f64>, u64) {
        let (mut x, mut iterations) = self.leave_out_trifles(best);
        for variable in self.coarsest_first() {
            let Some(step) = self.step(variable).filter(|_| !self.is_left_out(variable)) else {
                continue;
            };
            let mut chosen: Option<(f64, Solution)> = None;
            for value in self.neighbours(variable, x[variable], step) {
                if self
                    .programme
                    .set_bound(variable, Span::exactly(value))
                    .is_err()
                {
                    continue;
                }
                let Ok(solution) = self.solve() else { continue };
                iterations += solution.iterations;
                if chosen
                    .as_ref()
                    .is_none_or(|(_, other)| solution.value < other.value)
                {
                    chosen = Some((value, solution));
                }
            }
            // Where neither neighbour is possible (a source that runs out) the amount stays as it is.
            let span = if let Some((value, solution)) = chosen {
                x = solution.x;
                x[variable] = value;
                Span::exactly(value)
            } else {
                Self::choice_span(self.question, &self.scales, variable)
            };
            if self.programme.set_bound(variable, span).is_err() {
                break;
            }
        }
        x.truncate(self.choices());
        self.polish(&mut x);
        (x, iterations)
    }

    /// Leaves out, smallest first, each dose that is worth less than the trouble of one more thing to weigh.
    fn leave_out_trifles(&mut self, best: &Solution) -> (Vec<f64>, u64) {
        let (mut x, mut value, mut iterations) = (best.x.clone(), best.value, 0);
        let mut doses: Vec<usize> = (self.question.sources.len()..self.choices()).collect();
        doses.sort_by(|a, b| x[*a].total_cmp(&x[*b]).then(a.cmp(b)));
        for variable in doses {
            if self
                .programme
                .set_bound(variable, Span::exactly(0.0))
                .is_err()
            {
                continue;
            }
            if x[variable] <= 0.0 {
                continue;
            }
            if let Ok(without) = self.solve()
                && without.value - value < parameters::FIT_HANDLING.value
            {
                iterations += without.iterations;
                (x, value) = (without.x, without.value);
                continue;
            }
            let span = Self::choice_span(self.question, &self.scales, variable);
            if self.programme.set_bound(variable, span).is_err() {
                break;
            }
        }
        (x, iterations)
    }

    /// Whether a dose was left out as a trifle.
    fn is_left_out(&self, variable: usize) -> bool {
        self.programme
            .span(Limit::Bound(variable))
            .is_some_and(|span| span.is_exact() && span.low == 0.0)
    }

    /// Draws of all sources but the first, then doses; of each the coarsest step first, so that finer ones make up for it.
    fn coarsest_first(&self) -> Vec<usize> {
        let sources = self.question.sources.len();
        let mut doses: Vec<usize> = (sources..self.choices()).collect();
        doses.sort_by(|a, b| {
            self.step(*b)
                .unwrap_or(0.0)
                .total_cmp(&self.step(*a).unwrap_or(0.0))
                .then(a.cmp(b))
        });
        (1..sources).chain(doses).collect()
    }

    /// Step of a decision variable; `None` for the first source, which makes up the rest.
    fn step(&self, variable: usize) -> Option<f64> {
        let sources = self.question.sources.len();
        if variable == 0 {
            None
        } else if variable < sources {
            Some(self.question.draw_step_kg / self.question.waters.blended_kg())
        } else {
            let index = variable - sources;
            Some(self.question.doses.get(index)?.step / self.scales.get(index)?)
        }
    }

    /// Smallest sensible amount of a decision variable, in its own unit.
    fn smallest(&self, variable: usize) -> f64 {
        let index = variable.checked_sub(self.question.sources.len());
        index
            .and_then(|index| {
                Some(self.question.doses.get(index)?.smallest / self.scales.get(index)?)
            })
            .unwrap_or(0.0)
    }

    /// [`Self::whole_steps`] that do not overstep what dissolves or what a source can give.
    fn neighbours(&self, variable: usize, amount: f64, step: f64) -> Vec<f64> {
        let within = Self::choice_span(self.question, &self.scales, variable);
        let mut steps = self.whole_steps(variable, amount, step);
        steps.retain(|value| *value <= within.high);
        steps
    }

    /// Whole steps below and above an amount; nothing or the smallest sensible dose where it is less than that.
    fn whole_steps(&self, variable: usize, amount: f64, step: f64) -> Vec<f64> {
        let steps = amount / step;
        let nearest = steps.round();
        if (steps - nearest).abs() < WHOLE * nearest.max(1.0)
            && self.is_sensible(variable, nearest * step)
        {
            return vec![nearest * step];
        }
        let least = (self.smallest(variable) / step - WHOLE).ceil() * step;
        let below = steps.floor() * step;
        let above = steps.ceil() * step;
        if self.is_sensible(variable, below) {
            vec![below, if above >= least { above } else { least }]
        } else {
            vec![0.0, if above > least { above } else { least }]
        }
    }

    /// Nothing, or at least the smallest sensible dose.
    fn is_sensible(&self, variable: usize, amount: f64) -> bool {
        amount <= 0.0 || amount >= self.smallest(variable) * (1.0 - WHOLE)
    }

    /// Takes single steps up and down as long as one of them helps.
    fn polish(&self, x: &mut [f64]) {
        let mut objective = self.objective_with_handling(x);
        for _ in 0..POLISHING_ROUNDS {
            let before = objective;
            for variable in self.question.sources.len()..self.choices() {
                let Some(step) = self.step(variable) else {
                    continue;
                };
                let here = x[variable];
                for there in [
                    (here / step - 1.0).round() * step,
                    (here / step + 1.0).round() * step,
                ] {
                    if !self.is_allowed(x, variable, there) {
                        continue;
                    }
                    let was = std::mem::replace(&mut x[variable], there);
                    let tried = self.objective_with_handling(x);
                    if tried < objective {
                        objective = tried;
                    } else {
                        x[variable] = was;
                    }
                }
            }
            if objective >= before {
                break;
            }
        }
    }

    /// The objective and the trouble of each thing to weigh.
    fn objective_with_handling(&self, x: &[f64]) -> f64 {
        let items = x
            .iter()
            .skip(self.question.sources.len())
            .filter(|amount| **amount > 0.0)
            .count();
        self.objective(x) + parameters::FIT_HANDLING.value * items as f64
    }

    /// Whether a dose may be this much beside the others: sensible, within its own limit and its stock.
    fn is_allowed(&self, x: &[f64], variable: usize, amount: f64) -> bool {
        let sources = self.question.sources.len();
        let Some(option) = variable
            .checked_sub(sources)
            .and_then(|index| self.question.doses.get(index))
        else {
            return false;
        };
        let within = Self::choice_span(self.question, &self.scales, variable);
        let left = self
            .question
            .stocks
            .get(option.stock)
            .copied()
            .flatten()
            .is_none_or(|on_hand| {
                let taken: f64 = self
                    .question
                    .doses
                    .iter()
                    .enumerate()
                    .filter(|(_, other)| other.stock == option.stock)
                    .map(|(index, _)| {
                        let other = sources + index;
                        self.scales[index] * if other == variable { amount } else { x[other] }
                    })
                    .sum();
                taken <= on_hand * (1.0 + WHOLE)
            });
        amount >= within.low && amount <= within.high && self.is_sensible(variable, amount) && left
    }
}
