//! What salts and acids bring.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::aqueous::Acidity;
use underlet::component::Component;
use underlet::quantity::{ALKALINITY, CACO3_G_PER_EQ, HCO3_G_PER_EQ};
use underlet::reagent::Preparation;

fn at(key: &str, strength_percent: f64) -> Preparation {
    Preparation {
        strength_percent,
        ..Preparation::usual(key).expect("on the table")
    }
}

#[test]
fn ions_from_100_mg_of_salt() {
    // Exact by the atomic weights (IUPAC 2021): mg of each ion in 100 mg of the pure salt.
    let cases: [(&str, &[(Component, f64)]); 7] = [
        (
            "gypsum",
            &[(Component::Calcium, 23.279), (Component::Sulfate, 55.793)],
        ),
        (
            "calcium chloride dihydrate",
            &[(Component::Calcium, 27.262), (Component::Chloride, 48.229)],
        ),
        (
            "epsom salt",
            &[(Component::Magnesium, 9.861), (Component::Sulfate, 38.973)],
        ),
        (
            "magnesium chloride hexahydrate",
            &[
                (Component::Magnesium, 11.956),
                (Component::Chloride, 34.875),
            ],
        ),
        (
            "sodium chloride",
            &[(Component::Sodium, 39.339), (Component::Chloride, 60.661)],
        ),
        ("sodium bicarbonate", &[(Component::Sodium, 27.367)]),
        ("slaked lime", &[(Component::Calcium, 54.092)]),
    ];
    for (key, ions) in cases {
        let dose = at(key, 100.0).dose_per_unit().times(0.1);
        for (ion, milligrams) in ions {
            let brought = dose.ions.get(*ion) * ion.molar_mass_g_per_mol() * 1000.0;
            assert_abs_diff_eq!(brought, *milligrams, epsilon = 0.002);
        }
    }
    let soda = at("sodium bicarbonate", 100.0).dose_per_unit().times(0.1);
    assert_abs_diff_eq!(
        soda.carbon_mol * HCO3_G_PER_EQ * 1000.0,
        72.633,
        epsilon = 0.002
    );
    assert_abs_diff_eq!(soda.alkalinity_eq, soda.carbon_mol, epsilon = 1e-15);
}

#[test]
fn lime_and_soda_softening_by_stoichiometry() {
    // Exact by the atomic weights, as in textbooks of water softening: 37.04 mg Ca(OH)2 for 22 mg
    // CO2; per mg of alkalinity as CaCO3 0.7403 mg Ca(OH)2 or 1.0590 mg Na2CO3.
    let lime = at("slaked lime", 100.0);
    assert_relative_eq!(
        0.03704 * lime.mol_per_unit(),
        0.022 / 44.009,
        max_relative = 2e-4
    );
    for (key, grams) in [("slaked lime", 0.7403), ("sodium carbonate", 1.0590)] {
        let alkalinity = at(key, 100.0).dose_per_unit().times(grams).alkalinity_eq;
        assert_relative_eq!(alkalinity, 1.0 / CACO3_G_PER_EQ, max_relative = 1e-4);
    }
}

#[test]
fn dechlorinators_by_stoichiometry() {
    // Exact by the atomic weights: one sulfite or one ascorbate per Cl2 of 70.90 g/mol.
    for (key, milligrams, ion) in [
        ("sodium metabisulfite", 1.3406, Component::Sulfite),
        ("potassium metabisulfite", 1.5678, Component::Sulfite),
        ("ascorbic acid", 2.4841, Component::Ascorbate),
    ] {
        let dose = at(key, 100.0).dose_per_unit().times(milligrams);
        assert_relative_eq!(dose.ions.get(ion), 1.0 / 70.90, max_relative = 2e-4);
    }
}

#[test]
fn acid_for_a_litre_of_tenth_normal() {
    // Standard Methods prints 8.3 mL of concentrated HCl and 2.8 mL of concentrated H2SO4 (from
    // memory); 8.32 and 2.78 mL from the handbook densities of 37 and 96 % acid.
    for (key, strength, printed, exact) in [
        ("hydrochloric acid", 37.0, 8.3, 8.32),
        ("sulfuric acid", 96.0, 2.8, 2.78),
    ] {
        let millilitres = 0.1 / -at(key, strength).dose_per_unit().alkalinity_eq;
        assert_relative_eq!(millilitres, printed, max_relative = 0.01);
        assert_relative_eq!(millilitres, exact, max_relative = 0.002);
    }
}

#[test]
fn molarity_of_acids_as_sold() {
    // mol/L from the density tables of Perry's handbook and, for lactic acid, of makers' data
    // sheets; tolerance of the densities 0.5 %.
    for (key, strength, molarity) in [
        ("lactic acid", 88.0, 11.75),
        ("lactic acid", 80.0, 10.52),
        ("phosphoric acid", 85.0, 14.65),
        ("phosphoric acid", 75.0, 12.08),
        ("phosphoric acid", 10.0, 1.075),
        ("hydrochloric acid", 37.0, 12.01),
        ("sulfuric acid", 96.0, 17.97),
    ] {
        let preparation = at(key, strength);
        assert_relative_eq!(
            1000.0 * preparation.mol_per_unit(),
            molarity,
            max_relative = 0.005
        );
        let back = Preparation::of_molarity(preparation.reagent, molarity).expect("a strength");
        assert_relative_eq!(back.strength_percent, strength, max_relative = 0.005);
    }
}

#[test]
fn protons_given_at_ph_5_4() {
    // Exact from the pKa at 25 °C: lactic 3.86; phosphoric 2.148, 7.200; citric 3.127, 4.759, 6.397
    // (ideal).
    let acids = Acidity::at(25.0, 0.0);
    for (ion, protons) in [
        (Component::Lactate, 0.972),
        (Component::Phosphate, 1.015),
        (Component::Citrate, 1.902),
    ] {
        assert_abs_diff_eq!(acids.per_acid(ion, 5.4), protons, epsilon = 0.002);
    }
    for (key, protons) in [("hydrochloric acid", 1.0), ("sulfuric acid", 2.0)] {
        let acid = Preparation::usual(key).expect("on the table");
        assert_relative_eq!(
            -acid.dose_per_unit().alkalinity_eq,
            protons * acid.mol_per_unit(),
            max_relative = 1e-12
        );
    }
}

#[test]
fn acid_arithmetic_of_the_trade() {
    // German water texts: 1 mL of 80 % lactic acid takes about 3 °dH from 10 L; 3.3 mL/hL (80 %) or
    // 7.3 mL/hL (40 %) take 1 °dH. 88 % acid has 11.8 meq/mL.
    let lactic = |strength: f64| at("lactic acid", strength).mol_per_unit();
    let degree = ALKALINITY.read("1 °dH").expect("readable") * 0.9982;
    assert_abs_diff_eq!(lactic(80.0) / 10.0 / degree, 3.0, epsilon = 0.1);
    assert_relative_eq!(100.0 * degree / (lactic(80.0)), 3.3, max_relative = 0.03);
    assert_relative_eq!(100.0 * degree / (lactic(40.0)), 7.3, max_relative = 0.03);
    assert_relative_eq!(1000.0 * lactic(88.0), 11.8, max_relative = 0.005);
}

#[test]
fn three_acids_of_one_table_give_the_same_protons() {
    // A German table for 0.1 pH in a mash of 100 kg: 53 mL HCl 37 %, 60 mL lactic acid 80 %, 17 mL
    // H2SO4 98 %; the doses are rounded to 2 digits, so they agree to 4 %.
    let acids = Acidity::at(20.0, 0.0);
    let protons = |key: &str, strength: f64, millilitres: f64| {
        let dose = at(key, strength).dose_per_unit().times(millilitres);
        acids.of_acids(&dose.ions, 5.4) - dose.alkalinity_eq
    };
    let hydrochloric = protons("hydrochloric acid", 37.0, 53.0);
    let lactic = protons("lactic acid", 80.0, 60.0);
    let sulfuric = protons("sulfuric acid", 98.0, 17.0);
    assert_relative_eq!(lactic, hydrochloric, max_relative = 0.04);
    assert_relative_eq!(sulfuric, hydrochloric, max_relative = 0.04);
}
