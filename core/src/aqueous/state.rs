//! A liquor at equilibrium: the result of every problem.

use super::conditions::{FREEDOMS, Freedom};
use super::saturation::{Mineral, Solids};
use super::species::{COUNT, SPECIES};
use crate::component::Component;
use crate::liquor::Liquor;

/// Ions that form no pairs, by their names in the table.
pub(super) const FREE: [(Component, &str); 5] = [
    (Component::Chloride, "Cl-"),
    (Component::Nitrate, "NO3-"),
    (Component::Nitrite, "NO2-"),
    (Component::Iron, "Fe+2"),
    (Component::Manganese, "Mn+2"),
];

/// A liquor at equilibrium.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Equilibrium {
    /// The liquor as it is now: its totals, with what precipitated, left or was dosed taken into
    /// account.
    pub liquor: Liquor,
    /// pH on the activity scale, at the liquor's temperature.
    pub ph: f64,
    /// Ionic strength, mol/kg.
    pub ionic_strength_mol_per_kg: f64,
    /// Activity of water.
    pub water_activity: f64,
    /// Largest relative error of a balance.
    pub residual: f64,
    /// Newton steps taken.
    pub iterations: u32,
    /// log10 of the partial pressure of carbon dioxide it would be in balance with, atm; minus
    /// infinity without carbon.
    pub log10_pco2: f64,
    /// Extents of the freedoms, in the order of the problem.
    pub(super) extents: [f64; FREEDOMS],
    /// Molality of each species.
    pub(super) molality: [f64; COUNT],
    /// Activities and constants that saturation indices are made of.
    pub(super) solids: Solids,
    /// The freedoms of the problem, in its order.
    pub(super) freedoms: [Option<Freedom>; FREEDOMS],
}

impl Equilibrium {
    /// Molality of a species by its formula, such as `HCO3-` or `CaSO4`; zero where it is absent or
    /// unknown.
    pub fn molality(&self, species: &str) -> f64 {
        SPECIES
            .iter()
            .position(|row| row.name == species)
            .and_then(|index| self.molality.get(index))
            .copied()
            .unwrap_or(0.0)
    }

    /// Formula and molality of every species that is there, ions without pairs last.
    pub fn species(&self) -> impl Iterator<Item = (&'static str, f64)> + '_ {
        let unpaired = FREE
            .iter()
            .map(|(ion, name)| (*name, self.liquor.ions.get(*ion)));
        let names = SPECIES.iter().map(|row| row.name);
        names
            .zip(self.molality)
            .chain(unpaired)
            .filter(|(_, molality)| *molality > 0.0)
    }

    /// Saturation index of a mineral, log10 of ion activity product over constant; minus infinity
    /// where one of its ions is absent.
    pub fn saturation_index(&self, mineral: Mineral) -> f64 {
        self.solids.saturation_index(mineral)
    }
}
