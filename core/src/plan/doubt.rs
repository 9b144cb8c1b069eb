//! Figures of a plan that cannot be relied on: they lie outside what the models were checked for,
//! or count on a salt that does not dissolve. A target inside its range by such a figure is not
//! met.

use super::document::{TargetLine, TargetState};
use crate::component::Component;
use crate::fit::{Excess, Full, Solution, is_beyond_models, liquor_in};
use crate::mash::is_checked_ph;
use crate::recipe::{TargetKey, Vessel};

/// Why the pH of the mash has no error bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum MashDoubt {
    /// It lies outside the pH of the mashes that the forecast was compared with.
    Ph,
    /// The mash liquor holds more than the forecast was checked for.
    Liquor,
}

/// Which figures of a plan cannot be relied on.
pub(crate) struct Doubts {
    /// The mash pH, and all that follows from it.
    pub mash_ph: Option<MashDoubt>,
    /// pH and alkalinity of the sparge liquor.
    pub sparge: bool,
    /// Vessels in which gypsum does not dissolve, or that hold more than the models were checked
    /// for.
    pub excesses: Vec<Full>,
}

impl Doubts {
    pub fn of(solution: &Solution<'_>) -> Doubts {
        let (day, fitted) = (solution.day, &solution.fitted);
        let mut excesses = Vec::new();
        for vessel in Vessel::ALL {
            let (shares, doses) = (&fitted.shares, &fitted.doses);
            let liquor = liquor_in(&solution.problem, vessel, shares, doses);
            let temperature_c = day.temperature_c(vessel);
            let is_in = |of: &Excess| liquor.is_some_and(|liquor| of.is_in(&liquor, temperature_c));
            let found = Excess::ALL.into_iter().filter(is_in);
            excesses.extend(found.map(|of| Full { vessel, of }));
        }
        let mash_ph = if !is_checked_ph(solution.forecast.ph) {
            Some(MashDoubt::Ph)
        } else if is_beyond_models(&solution.liquors.mash) {
            Some(MashDoubt::Liquor)
        } else {
            None
        };
        Doubts {
            mash_ph,
            sparge: is_beyond_models(&solution.liquors.sparge),
            excesses,
        }
    }

    /// Whether the pH of the kettle cannot be relied on.
    pub fn kettle_ph(&self, solution: &Solution<'_>) -> bool {
        self.mash_ph.is_some() || (self.sparge && solution.day.sparge.is_some())
    }

    /// Marks each target that is inside its range by a figure in doubt.
    pub fn mark(&self, solution: &Solution<'_>, lines: &mut [TargetLine]) {
        let is_undissolved = self.excesses.iter().any(|full| full.of == Excess::Gypsum);
        mark_undissolved(lines, is_undissolved);
        mark(lines, |key| match key {
            TargetKey::MashPh => self.mash_ph.is_some(),
            TargetKey::SpargeAlkalinity | TargetKey::SpargePh => self.sparge,
            TargetKey::KettlePh => self.kettle_ph(solution),
            _ => false,
        });
    }
}

/// Marks the targets that gypsum is part of, where it does not dissolve.
pub(super) fn mark_undissolved(lines: &mut [TargetLine], is_undissolved: bool) {
    let of_gypsum = [Component::Calcium, Component::Sulfate].map(TargetKey::Component);
    mark(lines, |key| {
        is_undissolved && (of_gypsum.contains(&key) || key == TargetKey::SulfateToChloride)
    });
}

fn mark(lines: &mut [TargetLine], is_doubtful: impl Fn(TargetKey) -> bool) {
    let met = lines
        .iter_mut()
        .filter(|line| line.state == TargetState::Met);
    for line in met.filter(|line| is_doubtful(line.key)) {
        line.state = TargetState::Unknown;
    }
}
