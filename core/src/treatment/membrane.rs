//! Reverse osmosis: what passes the membrane.

use underlet_tables::parameters;

use crate::aqueous::{Aqueous, EquilibriumError};
use crate::component::{Component, Composition};
use crate::liquor::Liquor;

/// Shares that pass a membrane, 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passage {
    /// Singly charged ions, bicarbonate and weak acids.
    pub single: f64,
    /// Doubly charged ions.
    pub double: f64,
}

impl Passage {
    /// A membrane in use of which nothing else is known.
    pub fn usual() -> Passage {
        Passage {
            single: parameters::MEMBRANE_PASSAGE_SINGLE.value,
            double: parameters::MEMBRANE_PASSAGE_DOUBLE.value,
        }
    }

    fn of(&self, ion: Component) -> f64 {
        if ion.charge().abs() > 1.0 {
            self.double
        } else {
            self.single
        }
    }
}

/// What comes through a membrane. Ions pass by their shares, and the side that would pass more
/// charge is held back until both sides are even: a membrane lets no net charge through, even where
/// the report does not balance. Dissolved carbon dioxide passes whole, so the permeate is sour
/// until it has been aired.
///
/// # Errors
/// [`EquilibriumError`] where the liquor has no equilibrium, or a share is not one.
pub fn permeate(liquor: &Liquor, passage: &Passage) -> Result<Liquor, EquilibriumError> {
    let share = |share: f64| (0.0..=1.0).contains(&share);
    if !(share(passage.single) && share(passage.double)) {
        return Err(EquilibriumError::NotAnAmount);
    }
    let feed = Aqueous::at(liquor.temperature_c).closed(liquor)?;
    let mut through = Composition::ZERO;
    for (ion, amount) in liquor.ions.iter() {
        through.set(ion, amount * passage.of(ion));
    }
    let alkalinity = liquor.alkalinity_eq_per_kg * passage.single;
    let sides = Liquor {
        ions: through,
        alkalinity_eq_per_kg: alkalinity,
        ..*liquor
    };
    let sums = sides.charge_balance();
    let even = sums.cations_eq_per_kg.min(sums.anions_eq_per_kg);
    let keeps = |sum: f64| if sum > 0.0 { even / sum } else { 1.0 };
    let (cations, anions) = (keeps(sums.cations_eq_per_kg), keeps(sums.anions_eq_per_kg));
    for (ion, amount) in sides.ions.iter() {
        let factor = if ion.charge() > 0.0 { cations } else { anions };
        through.set(ion, amount * factor);
    }
    let gas = feed.molality("CO2").min(liquor.carbon_mol_per_kg);
    let ionic = liquor.carbon_mol_per_kg - gas;
    Ok(Liquor {
        ions: through,
        // What the strong ions leave room for: the same figure, without the rounding of two sums.
        alkalinity_eq_per_kg: through.strong_charge(),
        carbon_mol_per_kg: gas + ionic * passage.single * anions,
        temperature_c: liquor.temperature_c,
    })
}
