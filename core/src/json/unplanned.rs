//! Why a day or a fit has no plan, as the problem of its document.

use crate::aqueous::EquilibriumError;
use crate::error::{ErrorCode, InputError, Problem};
use crate::fit::{FitError, PlanError};
use crate::optimise::Outcome;
use crate::quantity::significant;

/// What was to be planned: its name for people, where it lies in the document, and where its hard
/// limits do.
#[derive(Clone, Copy, Debug)]
pub(super) struct Unplanned {
    pub what: &'static str,
    pub path: &'static str,
    pub limits: &'static str,
}

impl Unplanned {
    /// A `brew-day` document.
    pub const DAY: Unplanned = Unplanned {
        what: "day",
        path: "",
        limits: "targets.limits",
    };
    /// The brew day of a `readings` document.
    pub const DAY_THAT_WAS_READ: Unplanned = Unplanned {
        what: "day",
        path: "brew_day",
        limits: "brew_day.targets.limits",
    };
    /// An `ion-fit` document. It has no hard limits.
    pub const FIT: Unplanned = Unplanned {
        what: "fit",
        path: "",
        limits: "targets",
    };

    /// The problems of the document.
    pub fn because(self, error: &PlanError) -> InputError {
        match error {
            PlanError::Input(error) => error.clone().within(self.path),
            PlanError::Fit(error) => self.fit(error).into(),
            PlanError::Equilibrium(error) => self.equilibrium(error).into(),
        }
    }

    fn fit(self, error: &FitError) -> Problem {
        let what = self.what;
        let (found, expected, hint) = match error {
            FitError::Infeasible { of, most, least } => {
                let digits = |mg_per_l: f64| significant(mg_per_l, 4);
                return Problem {
                    code: ErrorCode::Contradiction,
                    path: self.limits.to_owned(),
                    found: format!("{} of {} mg/L at most", of.key(), digits(*most)),
                    // Rounded up, so that it would do.
                    expected: format!("at least {} mg/L", digits(least * 1.0005)),
                    hint: "Raise that limit, or add a purer source.".to_owned(),
                };
            }
            FitError::NotSolved(outcome) if matches!(**outcome, Outcome::Infeasible(_)) => (
                format!("a {what} whose sources and stocks cannot fill the vessels"),
                "sources and stocks that suffice",
                "Raise a \"max_amount\" or a \"stock\", or draw less.",
            ),
            FitError::Programme(_) | FitError::NotSolved(_) => (
                format!("a {what} whose amounts lie too far apart in size"),
                "amounts of a like size",
                "Look for one amount, range or weight far larger or smaller than the others.",
            ),
            FitError::NotConverged { rounds, change } => (
                format!(
                    "a {what} whose doses and ionic strengths do not converge: after {rounds} \
                     rounds still off by {change:.1e}"
                ),
                "doses that stay the same at the ionic strength which they cause",
                "Change a weight, a range or an amount a little, and plan again.",
            ),
            FitError::NotWeighed { nodes } => (
                format!("a {what} without a plan in whole steps among {nodes} that were tried"),
                "a plan that can be weighed",
                "Write a finer \"step\", shorten the shelf, or raise a stock or a hard limit.",
            ),
        };
        Problem {
            code: ErrorCode::NoPlan,
            path: self.path.to_owned(),
            found,
            expected: expected.to_owned(),
            hint: hint.to_owned(),
        }
    }

    fn equilibrium(self, error: &EquilibriumError) -> Problem {
        Problem {
            code: ErrorCode::NoEquilibrium,
            path: self.path.to_owned(),
            found: format!("a {} with a liquor without equilibrium: {error}", self.what),
            expected: "liquors at equilibrium".to_owned(),
            hint: "Look for a source or a dose with far more dissolved than liquor can hold."
                .to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::component::Component;
    use crate::recipe::LimitedQuantity;

    /// Each kind of error has its own words, and only numbers out of proportion are advised to be
    /// looked for.
    #[test]
    fn each_error_has_its_own_sentence() {
        let trouble = Outcome::NumericalTrouble {
            iterations: 9,
            certificate: None,
        };
        let errors: [(PlanError, &str, &str); 5] = [
            (
                FitError::Infeasible {
                    of: LimitedQuantity::Component(Component::Sodium),
                    most: 10.0,
                    least: 20.0,
                }
                .into(),
                "brew_day.targets.limits",
                "found sodium of 10 mg/L at most; expected at least 20.01 mg/L. Raise that limit",
            ),
            (
                FitError::NotSolved(Box::new(trouble)).into(),
                "brew_day",
                "Look for one amount, range or weight far larger or smaller than the others",
            ),
            (
                FitError::NotConverged {
                    rounds: 30,
                    change: 0.0123,
                }
                .into(),
                "brew_day",
                "after 30 rounds still off by 1.2e-2; expected doses that stay the same",
            ),
            (
                FitError::NotWeighed { nodes: 10_000 }.into(),
                "brew_day",
                "without a plan in whole steps among 10000 that were tried",
            ),
            (
                EquilibriumError::TooConcentrated.into(),
                "brew_day",
                "a liquor too concentrated for the model of activity coefficients",
            ),
        ];
        for (error, path, words) in errors {
            let said = Unplanned::DAY_THAT_WAS_READ.because(&error);
            let [problem] = said.problems.as_slice() else {
                panic!("{error}: one problem")
            };
            assert_eq!(problem.path, path, "{error}");
            assert!(problem.to_string().contains(words), "{problem}");
        }
    }
}
