//! A line that was worked out.

use super::heel::{Bars, Heel};
use super::line::{Destination, Line};
use crate::liquor::{Dose, Liquor};
use crate::treatment::Chlorine;

/// Liquor that was drawn.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Drawn {
    /// Where to.
    pub to: Destination,
    /// Water in it, kg.
    pub water_kg: f64,
    /// What it is.
    pub liquor: Liquor,
    /// Its chlorine.
    pub chlorine: Chlorine,
    /// What each cause moves in a kg of its water.
    pub moved: Vec<Dose>,
}

/// A line and what it led to.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Entry {
    /// The line as it was entered.
    pub line: Line,
    /// The tank before it.
    pub before: Heel,
    /// The tank after it.
    pub after: Heel,
    /// What was drawn, if it is a draw.
    pub drawn: Option<Drawn>,
}

impl Entry {
    /// Scale that formed on this line, g.
    pub fn scale_g(&self) -> f64 {
        self.after.state().scale_g() - self.before.state().scale_g()
    }

    /// Standard deviations of the tank after it.
    pub fn bars(&self) -> Bars {
        self.after.bars()
    }
}
