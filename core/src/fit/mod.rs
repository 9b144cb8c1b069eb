//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `question` is what is asked, `lines` writes it as straight lines, `answer` poses the convex programme, solves it and
//! rounds it to the scale. The programme itself (`problem`), its solver and the certificate know nothing of brewing.

mod active_set;
mod answer;
mod certificate;
mod factor;
mod ions;
mod limit;
mod lines;
mod outcome;
mod problem;
mod question;
mod solver;
mod weigh;

pub use answer::{Answer, FitError, Model, answer};
pub use certificate::Certificate;
pub use ions::{
    Continuous, Dilution, Distance, IonAnswer, IonQuestion, Quantity, Salt, Wish, fit_ions,
};
pub use limit::{Limit, Side, Span};
pub use lines::{Line, Pull, Subject};
pub use outcome::{ActiveLimit, Conflict, Multipliers, Outcome, Solution};
pub use problem::{Part, Programme, ProgrammeError};
pub use question::{DoseOption, Liquors, Question, SourceOption, Targets, Vessel, Wanted, Waters};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
pub use weigh::{Portion, Uncounted, Weighed, Weighing, weigh};
