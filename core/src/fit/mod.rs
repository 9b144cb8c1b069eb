//! The fit: which doses and which blend suit the beer best, proven.
//!
//! `question` is what is asked, `lines` writes it as straight lines, `answer` poses the convex programme, solves it and
//! rounds it to the scale. The programme itself (`problem`), its solver and the certificate know nothing of brewing.

mod answer;
mod certificate;
mod factor;
mod lines;
mod outcome;
mod problem;
mod question;
mod solver;

pub use answer::{Answer, FitError, Model, answer};
pub use certificate::Certificate;
pub use lines::{Line, Pull, Subject};
pub use outcome::{ActiveLimit, Conflict, Multipliers, Outcome, Solution};
pub use problem::{Limit, Part, Programme, ProgrammeError, Side, Span};
pub use question::{DoseOption, Liquors, Question, SourceOption, Targets, Vessel, Wanted, Waters};
pub use solver::{DualActiveSet, DualState, Start, Workspace, solve};
