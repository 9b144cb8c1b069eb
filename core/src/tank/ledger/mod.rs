//! The liquor ledger: one tank through a day or several, line by line.
//!
//! Cold water in, water recovered hot from the wort cooler, reagents, heating, hours of standing
//! hot, draws to mash and sparge, and the heel that is left for the next brew. After each line the
//! ledger knows volume as read, mass, composition and temperature, and pH and saturation when
//! asked; and what left: steam, carbon dioxide, scale.
//!
//! Everything that is conserved (water, ions, alkalinity, carbon) is kept as an amount in the tank
//! and moved, never made: water in less water out, steam and draws is what is in the tank, and so
//! for every ion with its scale. Mixing is by mass and, for temperature, by enthalpy with one heat
//! capacity for water from 0 to 100 °C (it varies by 1 % there, CRC Handbook from memory, which is
//! less than 0.3 K in a blend). Reagents bring no heat, and the little water of a solution is not
//! counted.
//!
//! *Error bars*: beside the ledger run copies of it ([`Perturbed`]), in each of which one [`Cause`]
//! is perturbed by its standard deviation: a rate of the tank ([`Rates`]), or an independent
//! component of a supply's covariance. The differences are the sensitivities that make the bars,
//! and the covariance of what is drawn; a cause is perturbed on every line and every day alike,
//! which is what makes errors add up. Sensitivities alone could not be carried on from line to
//! line, because scale and carbon dioxide follow no straight line over a night of standing hot: so
//! the heel hands whole copies to the next day.
//!
//! Coarse: a tank is mixed through at every line, so there is no stratification; scale stays where
//! it formed and does not dissolve again when acid comes later; chlorine leaves only by what is
//! dosed against it; only calcite forms.
//!
//! ```
//! use underlet::tank::ledger::{Destination, Ledger, Line, Supply, Tank, Work};
//! use underlet::liquor::Liquor;
//!
//! let town = Supply::new("harbour main", Liquor { temperature_c: 12.0, ..Liquor::default() });
//! let mut ledger = Ledger::empty(Tank::new("hot-liquor tank", 1200.0, 40.0), vec![town])?;
//! ledger.enter(Line::new("fill", Work::Fill { supply: 0, volume_l: 1000.0 }))?;
//! ledger.enter(Line::new("timer", Work::Heat { to_c: 78.0, hours: 8.0 }))?;
//! ledger.enter(Line::new("strike", Work::Draw { volume_l: 400.0, to: Destination::Mash }))?;
//! let error = ledger.enter(Line::new("sparge", Work::Draw { volume_l: 700.0, to: Destination::Sparge }));
//! assert!(error.unwrap_err().to_string().contains("line 4, sparge"));
//! # Ok::<(), underlet::tank::ledger::LedgerError>(())
//! ```

mod advice;
mod check;
mod contents;
mod entry;
mod error;
pub(crate) mod fields;
mod heel;
mod line;
mod run;

pub use advice::{AcidFirst, acid_first};
pub(crate) use check::suits_tank;
pub use contents::Contents;
pub use entry::{Drawn, Entry};
pub use error::LedgerError;
pub(crate) use error::no_supply;
pub use heel::{Bars, Heel, Perturbed};
pub use line::{Destination, Line, Supply, Tank, Work, WorkCode};
pub use run::Ledger;

#[cfg(doc)]
use crate::{treatment::Rates, uncertainty::Cause};
