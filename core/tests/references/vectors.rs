//! Dilute waters against a speciation program.
//!
//! Expected figures were computed with PHREEQC 3.8.6 (Parkhurst & Appelo 2013) and its wateq4f.dat
//! less the two pairs of sodium with carbonate: water at pH 7.5 and 10 °C, then warmed closed, or
//! brought to 10^-3.4 atm of carbon dioxide without precipitation. The same set of constants, so
//! the same answer: 0.002 in pH, 0.1 % of carbon.

use underlet::aqueous::{Aqueous, Equilibrium};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

/// mmol/kg of Ca, Mg, Na, K, SO4, Cl; alkalinity in meq/kg.
struct Water {
    ions: [f64; 6],
    alkalinity: f64,
}

const SOFT: Water = Water {
    ions: [0.2, 0.08, 0.3, 0.03, 0.1, 0.29],
    alkalinity: 0.4,
};
const MODERATE: Water = Water {
    ions: [1.25, 0.33, 0.87, 0.05, 0.5, 1.08],
    alkalinity: 2.0,
};
const HARD: Water = Water {
    ions: [3.0, 0.25, 0.65, 0.08, 0.45, 1.33],
    alkalinity: 5.0,
};

/// What a row says of pH and carbon in mmol/kg.
struct Row {
    water: &'static Water,
    celsius: f64,
    ph: f64,
    carbon: f64,
}

const fn row(water: &'static Water, celsius: f64, ph: f64, carbon: f64) -> Row {
    Row {
        water,
        celsius,
        ph,
        carbon,
    }
}

impl Water {
    /// At 10 °C and pH 7.5.
    fn liquor(&self) -> Liquor {
        let names = [
            Component::Calcium,
            Component::Magnesium,
            Component::Sodium,
            Component::Potassium,
            Component::Sulfate,
            Component::Chloride,
        ];
        let liquor = Liquor {
            ions: names
                .into_iter()
                .zip(self.ions)
                .fold(Composition::ZERO, |all, (ion, mmol)| {
                    all.with(ion, mmol / 1000.0)
                }),
            alkalinity_eq_per_kg: self.alkalinity / 1000.0,
            temperature_c: 10.0,
            ..Liquor::default()
        };
        Aqueous::at(10.0)
            .with_ph(&liquor, 7.5)
            .expect("consistent")
            .liquor
    }
}

fn check(row: &Row, state: &Equilibrium) {
    let carbon = state.liquor.carbon_mol_per_kg * 1000.0;
    assert!(
        (state.ph - row.ph).abs() <= 0.002,
        "{} {}",
        state.ph,
        row.ph
    );
    assert!(
        (carbon / row.carbon - 1.0).abs() <= 0.001,
        "{carbon} {}",
        row.carbon
    );
}

#[test]
fn waters_warmed_in_a_closed_tank() {
    for row in [
        row(&SOFT, 25.0, 7.384_60, 0.434_55),
        row(&SOFT, 65.0, 7.291_93, 0.434_55),
        row(&MODERATE, 25.0, 7.382_87, 2.162_08),
        row(&MODERATE, 65.0, 7.290_71, 2.162_08),
        row(&HARD, 25.0, 7.379_57, 5.385_23),
        row(&HARD, 65.0, 7.269_39, 5.385_23),
    ] {
        let state = Aqueous::at(row.celsius).closed(&row.water.liquor());
        check(&row, &state.expect("in equilibrium"));
    }
}

#[test]
fn waters_open_to_air() {
    for row in [
        row(&SOFT, 25.0, 7.799_21, 0.411_19),
        row(&SOFT, 65.0, 8.064_53, 0.384_33),
        row(&MODERATE, 25.0, 8.450_15, 1.943_19),
        row(&MODERATE, 65.0, 8.637_90, 1.706_12),
        row(&HARD, 25.0, 8.777_88, 4.550_21),
        row(&HARD, 65.0, 8.882_48, 3.768_33),
    ] {
        let state = Aqueous::at(row.celsius).open(&row.water.liquor(), -3.4);
        check(&row, &state.expect("in equilibrium"));
    }
}
