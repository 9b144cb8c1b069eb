//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `question` is what is asked, `lines` writes it as straight lines, `answer` poses the programme, has it solved
//! ([`crate::convex`]) and rounds it to the scale.

mod answer;
mod ions;
mod lines;
mod question;

pub use answer::{
    Answer, Binding, FitError, Holds, Model, answer, answer_traced, best_amounts, least_dilution,
    least_objective,
};
pub use ions::{
    Continuous, Dilution, Distance, IonAnswer, IonFitter, IonQuestion, Quantity, Salt, Wish,
    fit_ions,
};
pub use lines::{Line, Pull, Strengths, Subject};
pub use question::{
    DoseOption, Held, Liquors, Question, SourceOption, Targets, Vessel, Wanted, Waters,
};
