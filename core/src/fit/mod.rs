//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `problem` is the problem of a brew day, `ions` that of a liquor alone. `linear` writes both as
//! linear terms with a range each; `day` and `ions` solve them with [`crate::optimise`] and round
//! to the scale. `prices` has the prices of material and work.
//!
//! A brew day can be solved to three depths, each of which includes the one before: [`optimum`]
//! before rounding, [`solve`] as weighed and with binding constraints, `solve_day` with the aim of
//! pH, dechlorination and the kettle.

mod aim;
mod day;
mod day_terms;
mod dechlorination;
mod ionic_strengths;
mod ions;
mod kettle;
mod linear;
mod mash_and_sparge;
mod opposed;
mod prices;
mod problem;
mod problem_of_day;
mod problem_of_ions;
mod result;
mod solution;
mod steps;
mod target;
mod two_stages;
mod uncertainty;
mod uptake;

pub use day::{
    FrozenProblem, Optimum, binding_constraints, least_dilution, least_of, optimum, solve,
    solve_traced,
};
pub use ionic_strengths::IonicStrengths;
pub use ions::{
    Continuous, Dilution, Distance, IonFitResult, IonFitter, IonProblem, Salt, fit_ions,
};
pub use linear::{Constraint, LinearTerm, Subject};
pub use problem::{DoseOption, Liquors, Problem, SourceOption};
pub use problem_of_day::problem_of;
pub use problem_of_ions::problem_of_ions;
pub use result::{ActiveConstraint, BindingConstraint, FitError, FitResult, Relieved};
pub use solution::PlanError;
pub use target::{IonTarget, TargetQuantity};

pub(crate) use aim::{Aimed, chances};
pub(crate) use dechlorination::is_detectable;
pub(crate) use kettle::{DosedKettle, Kettle, KettleDose, has_kettle_acid, zinc_per_kg};
pub(crate) use mash_and_sparge::MashAndSparge;
pub(crate) use opposed::{are_opposed, is_solved_apart};
pub(crate) use problem_of_day::{draw_step_l, max_dissolving};
pub(crate) use problem_of_ions::water_kg_of;
pub(crate) use solution::{Solution, solve_day};
pub use steps::AcidPart;
pub(crate) use steps::{Purpose, Step, first_part};
pub(crate) use two_stages::too_low;
pub(crate) use uncertainty::{
    BrewUncertainty, acid_sd_eq, alkalinity_sd_eq_per_kg, in_mash, sample_acidity,
};
pub(crate) use uptake::{Excess, Full, fit_ions_taken_up, is_beyond_models, liquor_in};
