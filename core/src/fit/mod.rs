//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `problem` is what is asked of a brew day, `ions` of liquor alone. `linear` writes both as linear terms with a range each;
//! `day` and `ions` solve them ([`crate::optimise`]) and round to the scale. `prices` has what material and work cost in both.

mod aim;
mod day;
mod day_terms;
mod dechlorination;
mod ions;
mod kettle;
mod linear;
pub(crate) mod prices;
mod problem;
mod result;
mod solution;
mod uncertainty;

pub use day::{
    ActiveConstraint, BindingConstraint, FrozenProblem, best_amounts, binding_constraints,
    least_dilution, least_objective, least_of, solve, solve_traced,
};
pub use day_terms::IonicStrengths;
pub use ions::{
    Continuous, Dilution, Distance, IonFitResult, IonFitter, IonProblem, IonTarget, Quantity, Salt,
    fit_ions,
};
pub use linear::{Constraint, LinearTerm, Subject};
pub use problem::{DoseOption, Liquors, Problem, SourceOption, Waters};
pub use result::{FitError, FitResult};
pub use solution::PlanError;

pub(crate) use aim::{Aimed, Both};
pub(crate) use dechlorination::{Dose as DechlorinationDose, shows};
pub(crate) use kettle::{Given, InKettle};
pub(crate) use linear::{NODE_LIMIT, ion_targets};
pub(crate) use solution::{Settled, WaterPh, draw_step_l};
pub(crate) use uncertainty::{
    Unsure, acid_sd_eq, alkalinity_sd_eq_per_kg, in_mash, sample_acidity,
};
