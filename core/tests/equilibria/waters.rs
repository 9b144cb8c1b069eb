//! Solutions of the tests.

use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

/// A solution of these ions, mol/kg, its alkalinity being what they leave room for.
pub fn solution(ions: &[(Component, f64)], carbon_mol_per_kg: f64) -> Liquor {
    let mut composition = Composition::ZERO;
    for (ion, amount) in ions {
        composition.set(*ion, composition.get(*ion) + amount);
    }
    Liquor {
        ions: composition,
        alkalinity_eq_per_kg: composition.strong_charge(),
        carbon_mol_per_kg,
        temperature_c: 25.0,
    }
}

/// A salt of a cation and an anion, each so many mol/kg.
pub fn salt(cation: Component, of_cation: f64, anion: Component, of_anion: f64) -> Liquor {
    solution(&[(cation, of_cation), (anion, of_anion)], 0.0)
}

/// Sodium with inorganic carbon, mol/kg.
pub fn soda(sodium: f64, carbon: f64) -> Liquor {
    solution(&[(Component::Sodium, sodium)], carbon)
}
