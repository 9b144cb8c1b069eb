//! Why a plan is as it is: what limits it, why targets are missed, and the alternatives.

mod alternatives;
mod limits;
mod misses;
mod reasons;

use super::document::{Alternative, BindingLimit, Reason};
use super::evaluation::Evaluation;
use crate::fit::Solution;

/// The reasons of a plan.
pub(super) struct Explanation {
    pub limits: Vec<BindingLimit>,
    pub reasons: Vec<Reason>,
    pub alternatives: Vec<Alternative>,
}

impl Explanation {
    /// Explains a solution by its evaluation.
    pub fn of(solution: &Solution<'_>, evaluation: &Evaluation) -> Explanation {
        let limits = limits::limits(solution, evaluation);
        Explanation {
            reasons: reasons::reasons(solution, evaluation, &limits),
            alternatives: alternatives::alternatives(solution, evaluation),
            limits,
        }
    }
}
