//! Why a plan is as it is: what limits it, why targets are missed, and the alternatives, softening
//! of a hard water among them.

mod alternatives;
mod limits;
mod misses;
mod reasons;
mod softening;
mod water;

use super::codes::ReasonCode;
use super::document::{Alternative, BindingLimit, Reason};
use super::evaluation::Evaluation;
use crate::fit::{PlanError, Solution};
use softening::Softening;

/// The reasons of a plan.
pub(super) struct Explanation {
    pub limits: Vec<BindingLimit>,
    pub reasons: Vec<Reason>,
    pub alternatives: Vec<Alternative>,
}

impl Explanation {
    /// Explains a solution by its evaluation. A part of the explanation that cannot be computed
    /// leaves the plan valid: a reason says which part, and why.
    pub fn of(solution: &Solution<'_>, evaluation: &Evaluation) -> Explanation {
        let (limits, no_limits) = or_reason("limits", limits::limits(solution, evaluation));
        let softening = Softening::of(solution, &evaluation.targets);
        let (softening, no_softening) =
            or_reason("softening", softening.map_err(PlanError::Equilibrium));
        let softening = softening.as_ref();
        let found = reasons::reasons(solution, evaluation, &limits, softening);
        let (mut reasons, no_reasons) = or_reason("reasons", found);
        let (alternatives, failed) = alternatives::alternatives(solution, evaluation, softening);
        reasons.extend(no_limits);
        reasons.extend(no_softening);
        reasons.extend(no_reasons);
        reasons.extend(failed);
        Explanation {
            limits,
            reasons,
            alternatives,
        }
    }
}

/// A part of the explanation, or the reason why it is missing.
fn or_reason<Part: Default>(
    subject: &str,
    part: Result<Part, PlanError>,
) -> (Part, Option<Reason>) {
    match part {
        Ok(part) => (part, None),
        Err(error) => {
            let what = format!("The {subject} of this plan");
            (Part::default(), Some(not_computed(subject, &what, &error)))
        }
    }
}

/// The reason for a part of the explanation that is missing.
fn not_computed(subject: &str, what: &str, error: &PlanError) -> Reason {
    Reason {
        code: ReasonCode::NotComputed,
        subject: subject.to_owned(),
        text: format!("{what} could not be computed: {error}."),
    }
}
