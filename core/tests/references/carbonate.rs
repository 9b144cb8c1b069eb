//! Pure water, carbonate and phosphate equilibria.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::aqueous::{Acidity, Aqueous};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::reagent::Preparation;

use super::closed_ph;

/// Pure water at a temperature.
fn water(temperature_c: f64) -> Liquor {
    Liquor {
        temperature_c,
        ..Liquor::default()
    }
}

/// Sodium with inorganic carbon, mol/kg.
fn soda(sodium: f64, carbon: f64, temperature_c: f64) -> Liquor {
    Liquor {
        ions: Composition::ZERO.with(Component::Sodium, sodium),
        alkalinity_eq_per_kg: sodium,
        carbon_mol_per_kg: carbon,
        temperature_c,
    }
}

/// The liquor once it stands under a partial pressure of carbon dioxide, given as its decimal
/// logarithm in atm.
fn under(liquor: Liquor, log_pressure: f64) -> Liquor {
    Aqueous::at(liquor.temperature_c)
        .open(&liquor, log_pressure)
        .expect("in equilibrium")
        .liquor
}

/// Shares of CO2, HCO3 and CO3 at a pH: the mean charge and its spread settle all three.
fn fractions(acidity: &Acidity, ph: f64) -> [f64; 3] {
    let mean = acidity.per_carbon(ph);
    let spread = acidity.per_carbon_slope(ph) / std::f64::consts::LN_10;
    let carbonate = (spread + mean * mean - mean) / 2.0;
    let bicarbonate = mean - 2.0 * carbonate;
    [1.0 - bicarbonate - carbonate, bicarbonate, carbonate]
}

#[test]
fn neutral_ph_of_water() {
    // Textbook values (from memory): 7.47, 7.00, 6.51, 6.13 at 0, 25, 60, 100 °C.
    for (celsius, ph) in [(0.0, 7.47), (25.0, 7.00), (60.0, 6.51), (100.0, 6.13)] {
        assert_abs_diff_eq!(closed_ph(&water(celsius)), ph, epsilon = 0.01);
    }
}

#[test]
fn water_in_equilibrium_with_air() {
    // Stumm & Morgan, Aquatic Chemistry (from memory): pH 5.66 at 10^-3.5 atm, 5.61 at 10^-3.4;
    // total carbon 0.0130 and 0.0160 mmol/kg (PHREEQC 3.8.6, wateq4f.dat).
    for (log_pressure, ph, carbon) in [(-3.5, 5.66, 1.30e-5), (-3.4, 5.61, 1.60e-5)] {
        let rain = under(water(25.0), log_pressure);
        assert_abs_diff_eq!(closed_ph(&rain), ph, epsilon = 0.01);
        assert_relative_eq!(rain.carbon_mol_per_kg, carbon, max_relative = 0.005);
    }
}

#[test]
fn water_under_an_atmosphere_of_carbon_dioxide() {
    // pH 3.91 (from memory), total carbon 34.2 mmol/kg (PHREEQC 3.8.6, wateq4f.dat); 1 %.
    let soda_water = under(water(25.0), 0.0);
    assert_abs_diff_eq!(closed_ph(&soda_water), 3.91, epsilon = 0.02);
    assert_relative_eq!(soda_water.carbon_mol_per_kg, 34.2e-3, max_relative = 0.01);
}

#[test]
fn a_millimole_of_sodium_bicarbonate() {
    // Closed pH 8.27; under 10^-3.4 atm pH 8.196 and 1.004 mmol/kg of carbon (PHREEQC 3.8.6, two
    // data sets agree).
    let closed = soda(1e-3, 1e-3, 25.0);
    assert_abs_diff_eq!(closed_ph(&closed), 8.27, epsilon = 0.01);
    let open = under(closed, -3.4);
    assert_abs_diff_eq!(closed_ph(&open), 8.196, epsilon = 0.01);
    assert_relative_eq!(open.carbon_mol_per_kg, 1.004e-3, max_relative = 0.002);
}

#[test]
fn a_millimole_of_sodium_carbonate() {
    // pH 10.52 (PHREEQC 3.8.6: 10.517 and 10.519 with two data sets).
    assert_abs_diff_eq!(closed_ph(&soda(2e-3, 1e-3, 25.0)), 10.52, epsilon = 0.02);
}

#[test]
fn carbonate_buffer_of_the_national_bureau_of_standards() {
    // NaHCO3 0.025 m + Na2CO3 0.025 m: 10.012 at 25 °C (Staples & Bates 1969, J. Res. NBS 73A,
    // abstract); the other temperatures from memory to three decimals, in agreement with a JIS
    // table to 0.01. Sodium pairs left out.
    for (celsius, ph) in [
        (0.0, 10.317),
        (10.0, 10.179),
        (20.0, 10.062),
        (25.0, 10.012),
        (30.0, 9.966),
        (40.0, 9.889),
        (50.0, 9.828),
    ] {
        assert_abs_diff_eq!(closed_ph(&soda(0.075, 0.05, celsius)), ph, epsilon = 0.02);
    }
}

#[test]
fn ideal_carbonate_fractions() {
    // Exact from pK1 6.352 and pK2 10.329 (Plummer & Busenberg 1982) with activity coefficients of
    // one; the last digit of the pK shows in the fifth decimal.
    let ideal = Acidity::at(25.0, 0.0);
    for (ph, expected) in [
        (5.4, [0.899_53, 0.100_47, 0.000_001_2]),
        (7.5, [0.066_31, 0.932_31, 0.001_38]),
        (8.3, [0.011_04, 0.979_79, 0.009_17]),
    ] {
        for (share, expected) in fractions(&ideal, ph).into_iter().zip(expected) {
            assert_abs_diff_eq!(share, expected, epsilon = 3e-5);
        }
    }
}

#[test]
fn speciation_with_activities() {
    // 1 mmol/kg carbon at pH 7.5, sodium balancing, 25 °C: CO2 0.0642, HCO3 0.934, CO3 0.0015
    // mmol/kg, alkalinity 0.9377 meq/kg, log pCO2 −2.725 (PHREEQC 3.8.6, two data sets agree);
    // 0.5 %.
    let alkalinity = 0.9377e-3;
    let state = Aqueous::at(25.0)
        .with_ph(&soda(alkalinity, 0.0, 25.0), 7.5)
        .expect("in equilibrium");
    assert_relative_eq!(state.molality("CO2"), 0.0642e-3, max_relative = 0.005);
    assert_relative_eq!(state.molality("HCO3-"), 0.934e-3, max_relative = 0.005);
    assert_abs_diff_eq!(state.molality("CO3-2"), 0.0015e-3, epsilon = 5e-8);
    assert_relative_eq!(state.liquor.carbon_mol_per_kg, 1e-3, max_relative = 0.005);
    assert_abs_diff_eq!(state.log10_pco2, -2.725, epsilon = 0.002);
    let open = under(soda(alkalinity, 0.0, 25.0), -2.725);
    assert_relative_eq!(open.carbon_mol_per_kg, 1e-3, max_relative = 0.005);
}

#[test]
fn acid_removes_alkalinity() {
    // Exact from pK1 6.352, ideal, closed: to pH 6.0 69.2 %, to 5.4 89.95 %, to 4.3 99.1 % of the
    // bicarbonate.
    let ideal = Acidity::at(25.0, 0.0);
    for (ph, removed) in [(6.0, 0.692), (5.4, 0.8995), (4.3, 0.991)] {
        let left = ideal.per_carbon(ph);
        assert_abs_diff_eq!(1.0 - left, removed, epsilon = 5e-4);
    }
}

#[test]
fn acid_for_a_hard_alkaline_water() {
    // 4.442 of 5.0 meq/kg are to be neutralised with HCl to reach pH 5.4 at 20 °C, closed (PHREEQC
    // 3.8.6, wateq4f.dat less the sodium carbonate pairs; pH 7.5 before, 5.306 mmol/kg carbon).
    let ions = [
        (Component::Calcium, 3.0e-3),
        (Component::Magnesium, 0.25e-3),
        (Component::Sodium, 0.65e-3),
        (Component::Potassium, 0.08e-3),
        (Component::Sulfate, 0.45e-3),
        (Component::Chloride, 1.33e-3),
    ];
    let hard = Liquor {
        ions: ions
            .into_iter()
            .fold(Composition::ZERO, |all, (ion, amount)| {
                all.with(ion, amount)
            }),
        alkalinity_eq_per_kg: 5.0e-3,
        carbon_mol_per_kg: 5.306e-3,
        temperature_c: 20.0,
    };
    let acid = Preparation::usual("hydrochloric acid").expect("on the table");
    let per_equivalent = acid.dose_per_unit().times(1.0 / acid.mol_per_unit());
    let (_, needed) = Aqueous::at(20.0)
        .dosed_to_ph(&hard, &per_equivalent, 5.4, None)
        .expect("in reach");
    assert_relative_eq!(needed, 4.442e-3, max_relative = 0.002);
}

#[test]
fn phosphate_buffer_of_the_national_bureau_of_standards() {
    // 0.025 m KH2PO4 + 0.025 m Na2HPO4: pH 6.865 at 25 °C (Bates 1962).
    let ions = Composition::ZERO
        .with(Component::Potassium, 0.025)
        .with(Component::Sodium, 0.05)
        .with(Component::Phosphate, 0.05);
    let buffer = Liquor {
        ions,
        alkalinity_eq_per_kg: ions.strong_charge(),
        temperature_c: 25.0,
        ..Liquor::default()
    };
    assert_abs_diff_eq!(closed_ph(&buffer), 6.865, epsilon = 0.02);
}
