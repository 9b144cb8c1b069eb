//! A day of the liquor tank as a document: the tank, what feeds it, what the last day left in it
//! and the lines of work in their order (`tank-day`); and the ledger of it
//! (`tank-ledger`): after each line what the tank holds and what left it, for each
//! draw the liquor in the shape that a source of a brew day takes, what to watch, and the heel for
//! the next day.

mod chlorine;
mod day;
mod document;
mod figures;
mod heel;
pub mod ledger;
mod liquor;
mod watch;

pub use chlorine::TankChlorine;
pub(crate) use day::{MOST_LINES, MOST_SUPPLIES};
pub use day::{TankDay, TankSupply};
pub(crate) use document::ledger;
pub use document::{TankAmount, TankDrawn, TankFigure, TankLedger, TankLine, TankLosses};
pub use heel::{TankHeel, TankPerturbation};
pub use liquor::liquor_of;
pub use watch::{TankFinding, TankFindingCode, TankNumber};
