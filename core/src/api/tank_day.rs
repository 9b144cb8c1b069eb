//! From a day of the tank to its ledger.

use crate::error::InputError;
use crate::json;
use crate::tank::{self, TankDay, TankLedger};

impl TankDay {
    /// Reads a `tank-day` document.
    ///
    /// # Errors
    /// Every problem of the document at once.
    pub fn from_json(text: &str) -> Result<TankDay, InputError> {
        json::read_tank_day(text)
    }

    /// Works the day through.
    ///
    /// # Errors
    /// Those of [`TankDay::check`]; where there are none, every line that cannot be done, each with
    /// its path. After one of them the day goes on with as much of it as is possible.
    pub fn ledger(&self) -> Result<TankLedger, InputError> {
        tank::ledger(self)
    }
}
