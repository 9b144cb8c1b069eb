//! Mixing, diluting and dosing liquor.

use approx::assert_relative_eq;
use proptest::prelude::*;
use underlet::aqueous::{Aqueous, Gas};
use underlet::component::Component;
use underlet::liquor::Liquor;
use underlet::reagent::Preparation;
use underlet::tables::ReagentKind;

use super::strategies::{acid, cases, liquor, preparation};

#[test]
fn figures_of_a_well_by_hand() {
    // Standard Methods 2340 B: 2.497 Ca + 4.118 Mg. Kolbach 1953: alkalinity less calcium/3.5 and
    // magnesium/7 in equivalents, so 252 - 112·2.497/3.5 - 9·4.118/7 as CaCO3.
    let well = Liquor::builder()
        .calcium_mg_l(112.0)
        .magnesium_mg_l(9.0)
        .alkalinity_mg_l_caco3(252.0)
        .ph(7.3)
        .build()
        .expect("a water");
    assert_relative_eq!(
        well.component_mg_l(Component::Calcium),
        112.0,
        max_relative = 1e-12
    );
    assert_relative_eq!(well.hardness_mg_l_caco3(), 316.73, max_relative = 1e-4);
    assert_relative_eq!(
        well.residual_alkalinity_mg_l_caco3(),
        166.80,
        max_relative = 1e-4
    );
    // 100 (Σcations - Σanions)/(Σcations + Σanions), Standard Methods 1030 E: (316.73 -
    // 252)/(316.73 + 252).
    let error = well.charge_balance().error_percent();
    assert_relative_eq!(error, 11.38, max_relative = 1e-3);
    for share in [-0.1, 1.1, f64::NAN] {
        assert_eq!(
            well.mix(&well, share).expect_err("no share").problems[0].path,
            "share"
        );
    }
    // Acid lowers a pH; a salt that moves no proton leads to none.
    let of = |reagent| Preparation::usual(reagent).expect("on the table");
    assert!(well.dose_to_ph(&of("lactic acid"), 9.0).is_err());
    assert!(well.dose_to_ph(&of("sodium chloride"), 5.0).is_err());
    for amount in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(
            well.titrate(&of("lactic acid"), &[0.1, amount]).is_err(),
            "{amount}"
        );
    }
    assert!(well.dose_to_ph(&of("lactic acid"), f64::NAN).is_err());
    let ph = well
        .equilibrium(20.0, Gas::Closed)
        .expect("an equilibrium")
        .ph;
    assert_relative_eq!(ph, 7.3, max_relative = 1e-9);
}

/// Everything a liquor holds, as a list.
fn contents(liquor: &Liquor) -> Vec<f64> {
    liquor
        .ions
        .iter()
        .map(|(_, amount)| amount)
        .chain([
            liquor.alkalinity_eq_per_kg,
            liquor.carbon_mol_per_kg,
            liquor.temperature_c,
        ])
        .collect()
}

fn near(one: &Liquor, other: &Liquor) -> Result<(), TestCaseError> {
    for (one, other) in contents(one).into_iter().zip(contents(other)) {
        prop_assert!(
            (one - other).abs() <= 1e-13 * (one.abs() + other.abs()),
            "{one} {other}"
        );
    }
    Ok(())
}

fn mix(parts: &[(f64, &Liquor)]) -> Liquor {
    Liquor::blend(parts).expect("masses")
}

/// Cations less anions, eq/kg.
fn imbalance(liquor: &Liquor) -> f64 {
    let balance = liquor.charge_balance();
    balance.cations_eq_per_kg - balance.anions_eq_per_kg
}

fn closed_ph(liquor: &Liquor) -> f64 {
    Aqueous::at(liquor.temperature_c)
        .closed(liquor)
        .expect("in equilibrium")
        .ph
}

/// What is no mass makes no blend; what a sum has rounded does.
#[test]
fn only_masses_make_a_blend() {
    let liquor = Liquor::builder().alkalinity_mg_l_caco3(252.0);
    let liquor = liquor.build().expect("a liquor");
    for mass in [-1.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let parts = [(2.0, &liquor), (mass, &liquor)];
        assert_eq!(Liquor::blend(&parts), None, "{mass}");
    }
    assert!(Liquor::blend(&[(1.0, &liquor), (-1e-16, &liquor)]).is_some());
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn mixing_conserves_everything(a in liquor(), b in liquor(), c in liquor(), m in proptest::array::uniform3(0.01..1e4f64)) {
        let mixed = mix(&[(m[0], &a), (m[1], &b), (m[2], &c)]);
        let total = m[0] + m[1] + m[2];
        let parts = contents(&a).into_iter().zip(contents(&b)).zip(contents(&c));
        for (((a, b), c), mixed) in parts.zip(contents(&mixed)) {
            let held = m[0] * a + m[1] * b + m[2] * c;
            prop_assert!((total * mixed - held).abs() <= 1e-12 * held.abs());
        }
    }

    #[test]
    fn mixing_knows_no_order(a in liquor(), b in liquor(), c in liquor(), m in proptest::array::uniform3(0.01..1e4f64)) {
        let all = mix(&[(m[0], &a), (m[1], &b), (m[2], &c)]);
        near(&all, &mix(&[(m[2], &c), (m[0], &a), (m[1], &b)]))?;
        near(&all, &mix(&[(m[0] + m[1], &mix(&[(m[0], &a), (m[1], &b)])), (m[2], &c)]))?;
        near(&all, &mix(&[(m[0], &a), (m[1] + m[2], &mix(&[(m[1], &b), (m[2], &c)]))]))?;
    }

    #[test]
    fn mixing_a_liquor_with_itself_changes_nothing(a in liquor(), m in 0.01..1e4f64, n in 0.01..1e4f64) {
        let mixed = mix(&[(m, &a), (n, &a)]);
        near(&a, &mixed)?;
        prop_assert!((closed_ph(&a) - closed_ph(&mixed)).abs() < 1e-10);
    }

    #[test]
    fn dilution_by_as_much_water_halves_everything_dissolved(a in liquor(), m in 0.01..1e4f64) {
        let water = Liquor { temperature_c: a.temperature_c, ..Liquor::default() };
        let half = mix(&[(m, &a), (m, &water)]);
        for ion in Component::ALL {
            prop_assert_eq!(2.0 * half.ions.get(ion), a.ions.get(ion));
        }
        prop_assert_eq!(2.0 * half.alkalinity_eq_per_kg, a.alkalinity_eq_per_kg);
        prop_assert_eq!(2.0 * half.carbon_mol_per_kg, a.carbon_mol_per_kg);
    }

    #[test]
    fn dosing_keeps_the_charge_balance(a in liquor(), reagent in preparation(), amount in 0.0..5.0f64) {
        let dosed = a.dosed(&reagent.dose_per_unit(), amount);
        let size = dosed.ions.charge_squared() + a.ions.charge_squared();
        prop_assert!((imbalance(&dosed) - imbalance(&a)).abs() <= 1e-13 * size);
    }

    #[test]
    fn dosing_conserves_mass(a in liquor(), reagent in preparation(), first in 0.0..5.0f64, second in 0.0..5.0f64) {
        let dose = reagent.dose_per_unit();
        near(&a.dosed(&dose, first + second), &a.dosed(&dose, first).dosed(&dose, second))?;
        // Zinc is no component, and what comes with it is counted in the kettle alone.
        let is_zinc = reagent.reagent.kind == ReagentKind::Zinc;
        let brings = reagent.reagent.brings.iter().filter(|_| !is_zinc);
        for &(key, count) in brings {
            let ion = key.parse::<Component>().expect("known");
            let brought = a.dosed(&dose, first).ions.get(ion) - a.ions.get(ion);
            let weighed = first * reagent.mol_per_unit() * count;
            prop_assert!((brought - weighed).abs() <= 1e-13 * (weighed + a.ions.get(ion)));
        }
        // What is dissolved never weighs more than what was weighed out, but for the water that a
        // metabisulfite takes up to become sulfite, and the oxygen that reports count with
        // phosphorus.
        let grams = if reagent.reagent.liquid { reagent.density_kg_per_l().expect("liquid") } else { 1.0 };
        let ions: f64 = dose.ions.iter().map(|(ion, mol)| mol * ion.molar_mass_g_per_mol()).sum();
        let hydration = dose.ions.get(Component::Sulfite) * 18.02;
        prop_assert!(ions - hydration <= grams * reagent.strength_percent / 100.0 * (1.0 + 1e-3));
    }

    #[test]
    fn more_acid_never_raises_the_ph_of_closed_liquor(a in liquor(), acid in acid(), amount in 0.0..1.0f64, more in 0.0..1.0f64) {
        let dose = acid.dose_per_unit();
        let (some, much) = (a.dosed(&dose, amount), a.dosed(&dose, amount + more));
        prop_assert!(closed_ph(&some) <= closed_ph(&a) + 1e-10);
        prop_assert!(closed_ph(&much) <= closed_ph(&some) + 1e-10);
    }

    #[test]
    fn two_waters_mix_alike_from_either_side(a in liquor(), b in liquor(), share in 0.0..=1.0f64) {
        let mixed = a.mix(&b, share).expect("a share");
        near(&mixed, &b.mix(&a, 1.0 - share).expect("a share"))?;
        near(&a.mix(&b, 0.0).expect("a share"), &a)?;
        near(&mixed, &mix(&[(1.0 - share, &a), (share, &b)]))?;
    }

    #[test]
    fn a_dose_to_a_ph_is_found_again(a in liquor(), acid in acid(), amount in 1e-3..0.5f64) {
        let steps = [0.0, amount];
        let curve = a.titrate(&acid, &steps).expect("in equilibrium");
        prop_assert!(curve[1].ph < curve[0].ph);
        let found = a.dose_to_ph(&acid, curve[1].ph).expect("within reach");
        prop_assert!((found - amount).abs() <= 1e-6 * amount, "{} for {}", found, amount);
        prop_assert!(a.dose_to_ph(&acid, curve[0].ph + 0.1).is_err());
    }

    #[test]
    fn more_alkalinity_never_lowers_the_ph_of_closed_liquor(a in liquor(), more in 0.0..0.01f64) {
        let base = Liquor { alkalinity_eq_per_kg: a.alkalinity_eq_per_kg + more, ..a };
        prop_assert!(closed_ph(&base) >= closed_ph(&a) - 1e-10);
    }
}
