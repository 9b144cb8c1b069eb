//! Chlorine and chloramine: Standard stoichiometry, exact from atomic weights.

use approx::assert_relative_eq;
use underlet::component::Component;
use underlet::liquor::Liquor;
use underlet::reagent::Preparation;
use underlet::treatment::{Chlorine, Dechlorination, carbon_filtered, dechlorinated};

use super::hard_well;

/// A mole of Cl2 weighs 70.90 g.
const CL2_G: f64 = 70.90;

/// The reagent pure, so that grams are grams of its formula.
fn pure(key: &str) -> Preparation {
    Preparation {
        strength_percent: 100.0,
        ..Preparation::usual(key).expect("on the shelf")
    }
}

fn treated(key: &str, free: f64, combined: f64) -> Dechlorination {
    let chlorine = Chlorine {
        free_mol_per_kg: free / CL2_G / 1000.0,
        combined_mol_per_kg: combined / CL2_G / 1000.0,
    };
    dechlorinated(&hard_well(), &chlorine, &pure(key)).expect("a dechlorinator")
}

fn gained(done: &Dechlorination, ion: Component) -> f64 {
    done.liquor.ions.get(ion) - hard_well().ions.get(ion)
}

#[test]
fn a_milligram_of_chlorine_needs_so_much() {
    // mg of reagent per mg of Cl2: Na2S2O5 190.095/(2 x 70.90) = 1.3406, K2S2O5 222.311/141.80 =
    // 1.5678, ascorbic acid 176.124/70.90 = 2.4841. Field figures that were read: 1.47 and 2.5.
    // The table's excess is 1.2.
    for (key, ratio) in [
        ("sodium metabisulfite", 1.3406),
        ("potassium metabisulfite", 1.5678),
        ("ascorbic acid", 2.4841),
    ] {
        for (free, combined) in [(1.0, 0.0), (0.0, 1.0), (0.4, 0.6)] {
            let done = treated(key, free, combined);
            assert_relative_eq!(1000.0 * done.least_g_per_kg, ratio, max_relative = 2e-4);
            assert_relative_eq!(
                1000.0 * done.dose_g_per_kg,
                1.2 * ratio,
                max_relative = 2e-4
            );
            assert_eq!(done.doubtful, key == "ascorbic acid" && combined > 0.0);
        }
    }
}

#[test]
fn a_milligram_of_chlorine_leaves_so_much() {
    // Sulfate 96.06/70.90 = 1.355 mg, chloride 0.5 mg from HOCl, 1.41 mg as CaCO3 of alkalinity (2
    // eq per mol of Cl2) from the amount that just suffices; the excess stays as bisulfite and
    // brings its sodium with it, one each, and no alkalinity is spent on it (it is counted as
    // alkalinity that sodium leaves: 0.2 eq per mol).
    let done = treated("sodium metabisulfite", 1.0, 0.0);
    let mol = 1.0 / CL2_G / 1000.0;
    assert_relative_eq!(
        gained(&done, Component::Sulfate) * 96.06e3,
        1.355,
        max_relative = 1e-3
    );
    assert_relative_eq!(
        gained(&done, Component::Chloride) * 35.45e3,
        0.5,
        max_relative = 1e-3
    );
    assert_relative_eq!(
        gained(&done, Component::Sulfite),
        0.2 * mol,
        max_relative = 1e-9
    );
    let spent = hard_well().alkalinity_eq_per_kg - done.liquor.alkalinity_eq_per_kg;
    assert_relative_eq!((spent + 0.2 * mol) * 50.043e3, 1.41, max_relative = 2e-3);
}

#[test]
fn a_milligram_of_chloramine_frees_its_ammonium() {
    // 18.039/70.90 = 0.2544 mg of NH4+ per mg of Cl2; 190.095/(2 x 51.476) = 1.847 mg of Na2S2O5
    // per mg of NH2Cl.
    let done = treated("sodium metabisulfite", 0.0, 1.0);
    assert_relative_eq!(
        gained(&done, Component::Ammonium) * 18.039e3,
        0.2544,
        max_relative = 1e-3
    );
    let of_chloramine = 1000.0 * done.least_g_per_kg * CL2_G / 51.476;
    assert_relative_eq!(of_chloramine, 1.847, max_relative = 1e-3);
}

#[test]
fn sulfur_sodium_and_charge_are_conserved() {
    let sodium_per_gram = 2.0 / pure("sodium metabisulfite").reagent.molar_mass_g_per_mol;
    for (free, combined) in [(0.0, 0.0), (0.7, 0.0), (0.0, 2.5), (1.5, 1.0)] {
        let done = treated("sodium metabisulfite", free, combined);
        let weighed = done.dose_g_per_kg * sodium_per_gram;
        assert_relative_eq!(
            gained(&done, Component::Sodium),
            weighed,
            max_relative = 1e-9,
            epsilon = 1e-18
        );
        let sulfur = gained(&done, Component::Sulfate) + gained(&done, Component::Sulfite);
        assert_relative_eq!(sulfur, weighed, max_relative = 1e-9, epsilon = 1e-18);
        let chlorine = (free + combined) / CL2_G / 1000.0;
        assert_relative_eq!(
            gained(&done, Component::Chloride),
            chlorine,
            max_relative = 1e-9,
            epsilon = 1e-18
        );
        let charge = done.liquor.ions.strong_charge() - done.liquor.alkalinity_eq_per_kg;
        assert!(charge.abs() < 1e-15, "{charge}");
    }
}

#[test]
fn carbon_turns_chlorine_into_chloride() {
    // The table: 2 % of free chlorine and 30 % of chloramine are left.
    let chlorine = Chlorine::from_mg_per_l(1.0, 1.0);
    let (clear, left) = carbon_filtered(&hard_well(), &chlorine).expect("amounts");
    assert_relative_eq!(left.free_mol_per_kg, 0.02 * chlorine.free_mol_per_kg);
    assert_relative_eq!(left.combined_mol_per_kg, 0.3 * chlorine.combined_mol_per_kg);
    let taken = chlorine.total_mol_per_kg() - left.total_mol_per_kg();
    assert_relative_eq!(
        clear.ions.get(Component::Chloride),
        0.001 + taken,
        max_relative = 1e-12
    );
    let charge = clear.ions.strong_charge() - clear.alkalinity_eq_per_kg;
    assert!(charge.abs() < 1e-15);
}

#[test]
fn a_salt_is_no_dechlorinator_and_a_negative_is_no_amount() {
    let chlorine = Chlorine::from_mg_per_l(1.0, 0.0);
    assert_eq!(
        dechlorinated(&Liquor::default(), &chlorine, &pure("gypsum")),
        None
    );
    let negative = Chlorine::from_mg_per_l(-1.0, 0.0);
    assert_eq!(
        dechlorinated(&Liquor::default(), &negative, &pure("ascorbic acid")),
        None
    );
    assert_eq!(carbon_filtered(&Liquor::default(), &negative), None);
}
