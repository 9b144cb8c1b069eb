//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `question` is what is asked, `lines` writes it as straight lines, `answer` poses the programme, has it solved
//! ([`crate::optimise`]) and rounds it to the scale.

mod aim;
mod answer;
mod day;
mod dechlorination;
mod ions;
mod kettle;
mod linear;
mod mash_and_sparge;
mod problem;
mod solution;
mod steps;
mod uncertainty;

pub use answer::{
    ActiveConstraint, Answer, Binding, FitError, Model, answer, answer_traced, best_amounts,
    least_dilution, least_objective,
};
pub use day::problem_of;
pub use ions::{
    Continuous, Dilution, Distance, IonAnswer, IonFitter, IonQuestion, Quantity, Salt, Wish,
    fit_ions,
};
pub use linear::{Line, QuadraticPenalty, Strengths, Subject};
pub use problem::{DoseOption, Liquors, Question, SourceOption};
pub use solution::PlanError;

pub(crate) use aim::{Aimed, chances};
pub(crate) use day::{draw_step_l, max_dissolving};
pub(crate) use dechlorination::is_detectable;
pub(crate) use kettle::{DosedKettle, Kettle, KettleDose, has_kettle_acid};
pub(crate) use mash_and_sparge::MashAndSparge;
pub(crate) use solution::{Solution, solve};
pub(crate) use steps::{Purpose, Step};
pub(crate) use uncertainty::{
    BrewUncertainty, acid_sd_eq, alkalinity_sd_eq_per_kg, in_mash, sample_acidity,
};
