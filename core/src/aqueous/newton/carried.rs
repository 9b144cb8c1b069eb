//! A metal or an acid family of a liquor, during the iterations.

use crate::aqueous::species::{BALANCES, CARRIERS};
use crate::component::Component;

/// A metal or acid family that is there.
#[derive(Clone, Copy, Default)]
pub(super) struct Carried {
    /// Its place in the list of carriers.
    pub carrier: usize,
    pub total: f64,
    /// What is there of it now: total and what the freedoms moved.
    pub present: f64,
    pub activity: f64,
    /// What its species count in each balance.
    pub counted: [f64; BALANCES],
    /// How its activity falls, in logarithms, as each ligand takes it up and as the ionic strength
    /// rises.
    pub taken_up: [f64; BALANCES],
}

impl Carried {
    pub fn ion(&self) -> Component {
        CARRIERS[self.carrier].ion
    }
}
