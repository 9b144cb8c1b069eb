//! What a day leaves in the tank, with the copies that make its error bars.

use super::contents::Contents;
use crate::component::Component;
use crate::liquor::{Dose, Liquor};
use crate::uncertainty::{Cause, Sensitivities};

/// A tank in which one cause was perturbed by its standard deviation from the first filling on: the
/// same way on every line and every day.
#[derive(Clone, Debug, PartialEq)]
pub struct Perturbed {
    /// The cause.
    pub cause: Cause,
    /// The tank as it then is.
    pub state: Contents,
}

/// Standard deviations after a line.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Bars {
    /// Alkalinity, eq/kg.
    pub alkalinity_eq_per_kg: f64,
    /// Calcium, mol/kg.
    pub calcium_mol_per_kg: f64,
    /// Inorganic carbon, mol/kg.
    pub carbon_mol_per_kg: f64,
    /// Volume as read, L.
    pub volume_l: f64,
    /// Scale since the tank was first filled, g.
    pub scale_g: f64,
}

/// What a day leaves in the tank for the next, error bars and all.
#[derive(Clone, Debug, PartialEq)]
pub struct Heel {
    state: Contents,
    perturbed: Vec<Perturbed>,
}

impl Heel {
    /// An empty, clean tank.
    pub const ZERO: Heel = Heel {
        state: Contents::EMPTY,
        perturbed: Vec::new(),
    };

    /// So many litres of a liquor that is known exactly, as read at its temperature.
    pub fn of(liquor: &Liquor, volume_l: f64) -> Heel {
        Heel::left(Contents::of(liquor, volume_l), Vec::new())
    }

    /// A tank as it was left, and as it would have been with each cause perturbed.
    pub fn left(state: Contents, perturbed: Vec<Perturbed>) -> Heel {
        Heel { state, perturbed }
    }

    /// The tank as it was left.
    pub fn state(&self) -> &Contents {
        &self.state
    }

    /// The tank as it would be with each cause perturbed.
    pub fn perturbed(&self) -> &[Perturbed] {
        &self.perturbed
    }

    /// What each cause moves in a kg of its water.
    pub fn moved(&self) -> Vec<Dose> {
        let liquor = self.state.liquor().as_dose();
        let of = |one: &Perturbed| one.state.liquor().as_dose().plus(&liquor.times(-1.0));
        self.perturbed.iter().map(of).collect()
    }

    /// Standard deviation of a figure of the tank.
    pub fn sd(&self, figure: impl Fn(&Contents) -> f64) -> f64 {
        let middle = figure(&self.state);
        let copies = self.perturbed.iter();
        let moved: Sensitivities = copies.map(|one| figure(&one.state) - middle).collect();
        moved.sd()
    }

    /// How far a figure of the tank moved since an earlier line, and the standard deviation of
    /// that.
    pub fn change_since(&self, before: &Heel, figure: impl Fn(&Contents) -> f64) -> [f64; 2] {
        let change = figure(&self.state) - figure(&before.state);
        let copies = before.perturbed.iter().zip(&self.perturbed);
        let moved =
            copies.map(|(before, after)| figure(&after.state) - figure(&before.state) - change);
        [change, moved.collect::<Sensitivities>().sd()]
    }

    /// Standard deviations of the usual figures.
    pub fn bars(&self) -> Bars {
        let calcium = |state: &Contents| state.liquor().ions.get(Component::Calcium);
        Bars {
            alkalinity_eq_per_kg: self.sd(|state| state.liquor().alkalinity_eq_per_kg),
            calcium_mol_per_kg: self.sd(calcium),
            carbon_mol_per_kg: self.sd(|state| state.liquor().carbon_mol_per_kg),
            volume_l: self.sd(Contents::volume_l),
            scale_g: self.sd(Contents::scale_g),
        }
    }

    /// Copies for the causes of a day, in its order; those of earlier causes come behind.
    pub(super) fn with_causes(mut self, causes: impl Iterator<Item = Cause>) -> Heel {
        let state = self.state;
        let mut perturbed = Vec::new();
        for cause in causes {
            let before = self.perturbed.iter().position(|one| one.cause == cause);
            perturbed.push(before.map_or(Perturbed { cause, state }, |place| {
                self.perturbed.remove(place)
            }));
        }
        perturbed.append(&mut self.perturbed);
        Heel { state, perturbed }
    }
}
