//! How liquor is held, and what becomes of it.

use crate::component::{Component, Composition};
use crate::liquor::{Dose, Liquor};

/// How liquor is heated, cooled or held: from one temperature to another in so many hours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Holding {
    /// Temperature at the start, °C.
    pub from_c: f64,
    /// Temperature at the end, °C; the same for liquor that is held.
    pub to_c: f64,
    /// Hours.
    pub hours: f64,
}

/// What became of liquor that was held. Amounts are per kg of water at the start.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct AfterHold {
    /// The liquor at the end, per kg of the water that is left.
    pub liquor: Liquor,
    /// Share of the water that is left.
    pub water_share: f64,
    /// Carbon dioxide that left for the air, mol; negative where it came in.
    pub carbon_dioxide_mol: f64,
    /// Calcite that came down, mol.
    pub calcite_mol: f64,
}

/// A mole of calcite taken out of liquor.
pub(in crate::treatment) fn calcite_removed() -> Dose {
    let ions = Composition::ZERO.with(Component::Calcium, -1.0);
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: -1.0,
    }
}

/// A liquor's amounts in a share of its water.
pub(in crate::treatment) fn of_water(liquor: &Liquor, share: f64) -> Liquor {
    let nothing = Liquor {
        temperature_c: liquor.temperature_c,
        ..Liquor::default()
    };
    nothing.dosed(&liquor.as_dose(), 1.0 / share)
}
