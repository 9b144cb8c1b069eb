//! Slaked lime.

use approx::assert_relative_eq;
use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::liquor::Liquor;
use underlet::reagent::Preparation;
use underlet::treatment::{lime_for_least_calcium, limed, split_for_alkalinity};

use super::hard_well;

fn pure_lime() -> Preparation {
    Preparation {
        strength_percent: 100.0,
        ..Preparation::usual("slaked lime").expect("on the shelf")
    }
}

#[test]
fn lime_takes_free_carbon_dioxide_and_half_the_bicarbonate() {
    // PHREEQC's speciation of this water (12 °C, pH 7.3): 5.8261 mmol/kg of carbon for 5.2 meq/kg.
    // Textbook rule: free CO2 and half of the bicarbonate; both together near 0.626 + 2.6 =
    // 3.23 mmol/kg, 74.09 g/mol; carbonate and its pair shift that by a per cent or two.
    let done = lime_for_least_calcium(&hard_well(), &pure_lime()).expect("limes");
    assert_relative_eq!(done.lime_g_per_kg / 0.074_09, 3.23, max_relative = 0.02);
    // Nothing is lost: calcium of well and lime is in the liquor or in the sludge.
    let given = 0.00275 + done.lime_g_per_kg / 74.092;
    let found = done.liquor.ions.get(Component::Calcium) + done.calcite_mol_per_kg;
    assert_relative_eq!(found, given, max_relative = 1e-5);
}

#[test]
fn that_dose_is_near_the_least_calcium() {
    let best = lime_for_least_calcium(&hard_well(), &pure_lime()).expect("limes");
    let calcium = |factor: f64| {
        let done = limed(&hard_well(), &pure_lime(), best.lime_g_per_kg * factor).expect("limes");
        done.liquor.ions.get(Component::Calcium)
    };
    assert!(calcium(1.0) < calcium(0.8) && calcium(1.0) < calcium(1.2));
}

/// Lime softening in the cold leaves 30 to 40 mg/L as CaCO3 (textbooks of water treatment, from
/// memory), where equilibrium leaves less; what stays is calcite, so charge and calcium agree.
#[test]
fn practice_leaves_more_than_equilibrium() {
    let done = lime_for_least_calcium(&hard_well(), &pure_lime()).expect("limes");
    let clear = done.in_practice();
    assert!((30.0..=40.0).contains(&clear.alkalinity_mg_l_caco3()));
    assert!(done.liquor.alkalinity_mg_l_caco3() < 30.0);
    let more = |of: fn(&Liquor) -> f64| of(&clear) - of(&done.liquor);
    let calcium = more(|liquor| liquor.ions.get(Component::Calcium));
    assert_relative_eq!(more(|one| one.alkalinity_eq_per_kg), 2.0 * calcium);
    assert_relative_eq!(more(|one| one.carbon_mol_per_kg), calcium);
    // Without lime nothing came down that could stay: soft water is as it was.
    let none = limed(&hard_well(), &pure_lime(), 0.0).expect("limes");
    assert_eq!(none.in_practice(), none.liquor);
}

#[test]
fn a_split_meets_the_target_alkalinity() {
    let well = hard_well();
    let split = split_for_alkalinity(&well, &pure_lime(), 0.002)
        .expect("limes")
        .expect("between the two");
    assert_relative_eq!(
        split.liquor.alkalinity_eq_per_kg,
        0.002,
        max_relative = 1e-12
    );
    // By hand: share = (5.2 - 2.0)/(5.2 - alkalinity of the limed part).
    let low = 1000.0 * split.limed.liquor.alkalinity_eq_per_kg;
    assert_relative_eq!(split.share, 3.2 / (5.2 - low), max_relative = 1e-9);
    assert!(split.surplus_calcite_mol_per_kg >= 0.0);
    for beyond in [0.006, -0.001] {
        let none = split_for_alkalinity(&well, &pure_lime(), beyond).expect("limes");
        assert_eq!(none, None);
    }
}

#[test]
fn lime_to_a_ph_is_the_dose_that_gives_that_ph() {
    let lime = pure_lime();
    let grams = hard_well().dose_to_ph(&lime, 9.0).expect("reached");
    let dosed = hard_well().dosed(&lime.dose_per_unit(), grams);
    let ph = Aqueous::at(20.0).closed(&dosed).expect("an equilibrium").ph;
    assert_relative_eq!(ph, 9.0, max_relative = 1e-9);
    assert!(limed(&Liquor::default(), &lime, f64::NAN).is_err());
    assert!(limed(&Liquor::default(), &lime, -1.0).is_err());
}
