//! A day of the liquor tank as a document: the tank, what feeds it, what the last day left in it and the lines of work in their
//! order (`tank-day`); and the ledger that answers it (`tank-ledger`): after each line what stands in the tank and what left it, for each
//! draw the liquor in the shape that a source of a brew day takes, what to watch, and the heel for the next day.

mod answer;
mod day;
mod figures;
mod heel;
pub mod ledger;
mod watch;

pub use answer::{
    TankAmount, TankChlorine, TankDrawn, TankFigure, TankGone, TankLedger, TankLine, liquor_of,
};
pub(crate) use day::{MOST_LINES, MOST_SUPPLIES};
pub use day::{TankDay, TankSupply};
pub(crate) use heel::BESIDE;
pub use heel::{TankHeel, TankOff};
pub use watch::{TankFinding, TankFindingCode, TankNumber};
