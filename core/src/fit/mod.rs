//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `question` is what is asked, `lines` writes it as straight lines, `answer` poses the programme, has it solved
//! ([`crate::optimise`]) and rounds it to the scale.

mod aim;
mod answer;
mod dechlorination;
mod ions;
mod kettle;
mod linear;
mod problem;
mod solution;
mod uncertainty;

pub use answer::{
    ActiveConstraint, Answer, Binding, FitError, Model, answer, answer_traced, best_amounts,
    least_dilution, least_objective,
};
pub use ions::{
    Continuous, Dilution, Distance, IonAnswer, IonFitter, IonQuestion, Quantity, Salt, Wish,
    fit_ions,
};
pub use linear::{Line, QuadraticPenalty, Strengths, Subject};
pub use problem::{DoseOption, Liquors, Question, SourceOption, Waters};
pub use solution::PlanError;

pub(crate) use aim::{Aimed, Both};
pub(crate) use dechlorination::{Dose as DechlorinationDose, shows};
pub(crate) use kettle::{Given, InKettle};
pub(crate) use solution::{Settled, WaterPh, draw_step_l};
pub(crate) use uncertainty::{
    Unsure, acid_sd_eq, alkalinity_sd_eq_per_kg, in_mash, sample_acidity,
};
