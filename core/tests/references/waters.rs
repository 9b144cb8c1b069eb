//! Hardness, ion balance and residual alkalinity of water reports.
//!
//! The sizes of the hardness degrees (DIN 38409-6, °Clark, gpg) and of the alkalinity units are
//! tested where they are read: `quantity::tests::hardness_degrees_agree_with_each_other`.

use super::closed_ph;
use approx::assert_abs_diff_eq;
use underlet::component::{Component, Composition};
use underlet::liquor::{IonBalance, Liquor, mg_per_l_caco3};
use underlet::quantity::{ALKALINITY, HARDNESS, ION};

/// Ions written as in a report, with an alkalinity.
fn water(ions: &[(Component, &str)], alkalinity: &str) -> Liquor {
    let mut composition = Composition::ZERO;
    for (ion, written) in ions {
        let amount = ION.read_of(*written, &ion.substance()).expect("readable");
        composition.set(*ion, amount);
    }
    Liquor {
        ions: composition,
        alkalinity_eq_per_kg: ALKALINITY.read(alkalinity).expect("readable"),
        ..Liquor::default()
    }
}

#[test]
fn total_hardness_of_standard_methods_2340_b() {
    // Standard Methods 2340 B: 2.497 Ca + 4.118 Mg in mg/L as CaCO3 (factors from memory, exact by
    // atomic weights).
    let report = water(
        &[
            (Component::Calcium, "80 mg/L"),
            (Component::Magnesium, "30 mg/L"),
        ],
        "0",
    );
    let hardness = mg_per_l_caco3(2.0 * report.hardness_mol_per_kg());
    assert_abs_diff_eq!(hardness, 2.497 * 80.0 + 4.118 * 30.0, epsilon = 0.1);
    let read = HARDNESS.read("323.32 mg/L as CaCO3").expect("readable");
    assert_abs_diff_eq!(2.0 * report.hardness_mol_per_kg(), read, epsilon = 1e-7);
}

#[test]
fn a_hardness_of_200_mg_per_litre_is_two_millimole() {
    // 200 / 100.086 = 1.9983 mmol/L, exact by the atomic weights (IUPAC 2021); equivalents are
    // twice that.
    let equivalents = HARDNESS.read("200 mg/L as CaCO3").expect("readable");
    assert_abs_diff_eq!(equivalents * 0.9982 / 2.0, 1.9983e-3, epsilon = 1e-7);
}

fn balance_with_sulfate(sulfate: &str) -> IonBalance {
    let ions = [
        (Component::Calcium, "55 mg/L"),
        (Component::Magnesium, "18 mg/L"),
        (Component::Sodium, "23 mg/L"),
        (Component::Potassium, "3.9 mg/L"),
        (Component::Sulfate, sulfate),
        (Component::Chloride, "35.45 mg/L"),
        (Component::Nitrate, "6.2 mg/L"),
    ];
    water(&ions, "190 mg/L as HCO3").charge_balance()
}

#[test]
fn an_analysis_that_standard_methods_1030_e_accepts() {
    // Sums exact by the atomic weights; acceptance bands of Standard Methods 1030 E (from memory).
    let balance = balance_with_sulfate("60 mg/L");
    assert_abs_diff_eq!(balance.cations_eq_per_kg * 998.2, 5.326, epsilon = 1e-3);
    assert_abs_diff_eq!(balance.anions_eq_per_kg * 998.2, 5.463, epsilon = 1e-3);
    assert_abs_diff_eq!(balance.error_percent(), -1.27, epsilon = 0.01);
    assert!(balance.is_acceptable());
}

#[test]
fn an_analysis_that_standard_methods_1030_e_rejects() {
    let balance = balance_with_sulfate("90 mg/L");
    assert_abs_diff_eq!(balance.anions_eq_per_kg * 998.2, 6.088, epsilon = 1e-3);
    assert_abs_diff_eq!(balance.error_percent(), -6.67, epsilon = 0.01);
    assert!(!balance.is_acceptable());
}

#[test]
fn residual_alkalinity_of_kolbach_1953() {
    // Kolbach 1953, Monatsschrift für Brauerei: RA = alkalinity − (Ca + Mg/2)/3.5 in equivalents
    // (from memory; a MEBAK method carries it). 5.0 − (6.0 + 0.25)/3.5 = 3.2143 meq/L = 9.013
    // °dH = 160.9 mg/L as CaCO3.
    let liquor = water(
        &[
            (Component::Calcium, "6 meq/L"),
            (Component::Magnesium, "0.5 meq/L"),
        ],
        "5 meq/L",
    );
    let residual = liquor.residual_alkalinity_eq_per_kg();
    for (written, digit) in [
        ("3.2143 meq/L", 1e-7),
        ("9.013 °dH", 1e-6),
        ("160.9 mg/L as CaCO3", 1e-6),
    ] {
        let read = ALKALINITY.read(written).expect("readable");
        assert_abs_diff_eq!(residual, read, epsilon = digit);
    }
}

#[test]
fn diluting_halves_the_ions_but_not_the_ph() {
    // Exact: alkalinity and carbon are conserved, pH is not. A hard alkaline water with as much
    // pure water.
    let hard = Liquor {
        carbon_mol_per_kg: 5.306e-3,
        temperature_c: 20.0,
        ..water(&[(Component::Calcium, "120 mg/L")], "5 meq/L")
    };
    let pure = Liquor {
        temperature_c: 20.0,
        ..Liquor::default()
    };
    let half = Liquor::blend(&[(1.0, &hard), (1.0, &pure)]).expect("masses");
    assert_eq!(2.0 * half.alkalinity_eq_per_kg, hard.alkalinity_eq_per_kg);
    assert_eq!(2.0 * half.carbon_mol_per_kg, hard.carbon_mol_per_kg);
    let (before, after, mean) = (
        closed_ph(&hard),
        closed_ph(&half),
        (closed_ph(&hard) + closed_ph(&pure)) / 2.0,
    );
    // Ratio of alkalinity to carbon stays, so does the pH but for ionic strength; the mean of the
    // two would be wrong.
    assert!(
        (after - before).abs() < 0.05 && (after - mean).abs() > 0.1,
        "{before} {after} {mean}"
    );
}
