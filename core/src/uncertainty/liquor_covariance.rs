//! The covariance of a liquor.

use super::Covariance;
use crate::checker::Checker;
use crate::component::Component;
use crate::liquor::Dose;

/// Covariance of a liquor: its ions and weak acids in the order of [`Component::ALL`], then
/// alkalinity, then inorganic carbon, in mol/kg and eq/kg.
#[derive(Clone, Debug, PartialEq)]
pub struct LiquorCovariance(Covariance);

impl Default for LiquorCovariance {
    /// A liquor that is known exactly.
    fn default() -> LiquorCovariance {
        LiquorCovariance(Covariance::zero(LiquorCovariance::COUNT))
    }
}

impl LiquorCovariance {
    /// How many amounts.
    pub const COUNT: usize = Component::COUNT + 2;
    /// Place of alkalinity.
    pub const ALKALINITY: usize = Component::COUNT;
    /// Place of inorganic carbon.
    pub const CARBON: usize = Component::COUNT + 1;

    /// From the covariance of every two places, mol²/kg².
    pub fn from_fn(of: impl Fn(usize, usize) -> f64) -> LiquorCovariance {
        let places = 0..Self::COUNT;
        let cells = places.clone().flat_map(|one| {
            let of = &of;
            places.clone().map(move |other| of(one, other))
        });
        LiquorCovariance(Covariance::of_rows(Self::COUNT, cells.collect()))
    }

    /// Covariance of two amounts by their places, mol²/kg².
    pub fn get(&self, one: usize, other: usize) -> f64 {
        self.0.get(one, other)
    }

    /// Whether it is a covariance.
    pub(crate) fn examine(&self, of: &mut Checker, key: &str) {
        let mut of_terms: Vec<f64> = (0..Self::COUNT)
            .map(|place| self.get(place, place))
            .collect();
        let by_charge = Component::ALL.into_iter().zip(&of_terms);
        let of_charges: f64 = by_charge
            .map(|(ion, variance)| ion.charge() * ion.charge() * variance.abs())
            .sum();
        // Alkalinity is the charge of the ions, whose variances may cancel in it.
        if let Some(of_alkalinity) = of_terms.get_mut(Self::ALKALINITY) {
            *of_alkalinity = of_alkalinity.abs() + of_charges;
        }
        for flaw in self.0.flaws(&of_terms) {
            let problem = flaw.problem(key_of, |one, other| 1e6 * self.get(one, other));
            of.at::<()>(key, Err(problem));
        }
    }

    /// Adds what two amounts vary together, mol²/kg²; each with its place and the charge by which
    /// it moves the alkalinity.
    pub fn add(&mut self, (one, z_one): (usize, f64), (other, z_other): (usize, f64), value: f64) {
        let rows = [(one, 1.0), (Self::ALKALINITY, z_one)];
        let columns = [(other, 1.0), (Self::ALKALINITY, z_other)];
        for (row, by_row) in rows {
            for (column, by_column) in columns {
                self.0.add(row, column, by_row * by_column * value);
            }
        }
    }

    /// Variance of a result whose derivatives to the amounts are given.
    pub fn variance(&self, derivatives: &[f64; Self::COUNT]) -> f64 {
        self.0.variance(derivatives)
    }

    /// Independent causes that together make it: what one standard deviation of each moves in a kg
    /// of the water; see [`Covariance::independent_components`].
    pub fn independent_components(&self) -> Vec<Dose> {
        let components = self.0.independent_components().into_iter();
        components.map(|moved| dose_of(&moved)).collect()
    }
}

/// Key of the amount at a place.
fn key_of(place: usize) -> &'static str {
    match Component::ALL.get(place) {
        Some(ion) => ion.key(),
        None if place == LiquorCovariance::ALKALINITY => "alkalinity",
        None => "inorganic_carbon",
    }
}

/// Amounts by their places as a dose.
fn dose_of(moved: &[f64]) -> Dose {
    let at = |place: usize| moved.get(place).copied().unwrap_or(0.0);
    let mut dose = Dose {
        alkalinity_eq: at(LiquorCovariance::ALKALINITY),
        carbon_mol: at(LiquorCovariance::CARBON),
        ..Dose::default()
    };
    for (ion, moved) in Component::ALL.into_iter().zip(moved) {
        dose.ions.set(ion, *moved);
    }
    dose
}
