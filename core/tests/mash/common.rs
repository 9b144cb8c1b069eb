//! Malts and waters that the tests share.

use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::mash::{Malt, Mash, TitrationCurve};

/// Malt of a class.
pub fn malt(class: &str, mass_kg: f64) -> Malt {
    Malt {
        name: class.to_owned(),
        mass_kg,
        curve: TitrationCurve::of_class(class).expect("a class"),
        is_class_prior: true,
    }
}

/// Water of an alkalinity in eq/kg with its carbon at pH 7.5, and calcium as chloride in mg/L.
pub fn water(alkalinity_eq_per_kg: f64, calcium_mg_per_l: f64) -> Liquor {
    let calcium = Component::Calcium.mol_per_kg(calcium_mg_per_l);
    Liquor {
        ions: Composition::ZERO
            .with(Component::Calcium, calcium)
            .with(Component::Chloride, 2.0 * calcium),
        alkalinity_eq_per_kg,
        // 1.08 mol of carbon per eq at pH 7.5 and 20 °C.
        carbon_mol_per_kg: 1.08 * alkalinity_eq_per_kg,
        temperature_c: 20.0,
    }
}

/// One kg of grist in so many kg of water.
pub fn ph(grist: &[Malt], kg_per_kg: f64, liquor: Liquor) -> f64 {
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    Mash {
        grist,
        water_kg: kg_per_kg * grist_kg,
        liquor,
    }
    .ph()
}
