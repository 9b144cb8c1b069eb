//! What every hour of standing hot keeps, for any water and any tank.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use underlet::aqueous::{Aqueous, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::treatment::{AfterHold, Holding, Rates, hold};

use super::hold::{calcium, holding};

/// A ramp or hours in two parts, and whole: calcite, carbon dioxide and water that is left.
fn whole_and_cut(water: &Liquor, line: &Holding, rates: &Rates, share: f64) -> [[f64; 3]; 2] {
    let whole = hold(water, line, rates).expect("a liquor");
    let middle_c = line.from_c + share * (line.to_c - line.from_c);
    let early = holding(line.from_c, middle_c, share * line.hours);
    let late = holding(middle_c, line.to_c, line.hours - early.hours);
    let first = hold(water, &early, rates).expect("a liquor");
    let second = hold(&first.liquor, &late, rates).expect("a liquor");
    let both = |of: fn(&AfterHold) -> f64| of(&first) + of(&second) * first.water_share;
    [
        [
            whole.calcite_mol,
            whole.carbon_dioxide_mol,
            whole.water_share,
        ],
        [
            both(|after| after.calcite_mol),
            both(|after| after.carbon_dioxide_mol),
            first.water_share * second.water_share,
        ],
    ]
}

/// From soft to hard, from acid to pH 10 and beyond, salty as the sea in places: mmol/kg.
fn any_water() -> impl Strategy<Value = Liquor> {
    let calcium = prop_oneof![Just(0.0), 0.0..0.1, 0.1..12.0];
    let sodium = prop_oneof![0.0..5.0, 100.0..500.0];
    let alkalinity = prop_oneof![Just(0.0), -1.0..6.0];
    let carbon = prop_oneof![Just(0.0), 0.0..0.1, 0.1..8.0];
    (calcium, 0.0..50.0, sodium, alkalinity, carbon).prop_map(
        |(calcium, magnesium, sodium, alkalinity, carbon): (f64, f64, f64, f64, f64)| {
            let ions = Composition::ZERO
                .with(Component::Calcium, calcium / 1000.0)
                .with(
                    Component::Magnesium,
                    if sodium > 10.0 {
                        magnesium / 1000.0
                    } else {
                        0.0
                    },
                )
                .with(Component::Sodium, sodium / 1000.0);
            let charge = ions.strong_charge() - alkalinity / 1000.0;
            Liquor {
                // What is missing of anions is chloride.
                ions: ions.with(Component::Chloride, charge.max(0.0)),
                alkalinity_eq_per_kg: alkalinity / 1000.0,
                carbon_mol_per_kg: carbon / 1000.0,
                ..Liquor::default()
            }
        },
    )
}

fn any_rates() -> impl Strategy<Value = Rates> {
    let area = prop_oneof![Just(0.0), 0.0..60.0, 60.0..2000.0];
    let film = prop_oneof![Just(None), (0.02..3.0).prop_map(Some)];
    (area, film, 0.0..0.01).prop_map(|(scale_area_cm2_per_l, film_mm, evaporation_per_hour)| {
        Rates {
            scale_area_cm2_per_l,
            film_mm,
            evaporation_per_hour,
        }
    })
}

fn any_holding() -> impl Strategy<Value = Holding> {
    let ends = prop_oneof![
        (0.0..100.0, 0.0..100.0),
        (0.0..100.0).prop_map(|celsius| (celsius, celsius))
    ];
    (ends, 0.0..48.0).prop_map(|((from_c, to_c), hours)| holding(from_c, to_c, hours))
}

/// What integration may leave over, mol/kg: a millionth of the calcium and carbon that were there.
/// Besides a millionth of the change itself, which gas taken up by bare water can exceed.
fn over(water: &Liquor) -> f64 {
    1e-6 * (calcium(water) + water.carbon_mol_per_kg) + 1e-11
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1000,
        rng_seed: RngSeed::Fixed(1953),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn standing_loses_and_makes_nothing(
        water in any_water(), line in any_holding(), rates in any_rates(),
    ) {
        let end = hold(&water, &line, &rates).expect("a liquor");
        let left = |per_kg: f64| per_kg * end.water_share;
        let near = |one: f64, other: f64| {
            (one - other).abs() <= 1e-12 * (one.abs() + other.abs()).max(1e-3)
        };
        for (ion, amount) in water.ions.iter() {
            let precipitated = if ion == Component::Calcium { end.calcite_mol } else { 0.0 };
            prop_assert!(near(left(end.liquor.ions.get(ion)) + precipitated, amount), "{ion:?}");
        }
        let alkalinity = left(end.liquor.alkalinity_eq_per_kg) + 2.0 * end.calcite_mol;
        prop_assert!(near(alkalinity, water.alkalinity_eq_per_kg));
        let carbon = left(end.liquor.carbon_mol_per_kg) + end.calcite_mol + end.carbon_dioxide_mol;
        prop_assert!(near(carbon, water.carbon_mol_per_kg));
        prop_assert!(end.calcite_mol >= 0.0);
        prop_assert!(calcium(&end.liquor) >= 0.0 && end.liquor.carbon_mol_per_kg >= 0.0);
        prop_assert!(end.water_share > 0.0 && end.water_share <= 1.0);
        if rates.film_mm.is_none() {
            prop_assert_eq!((end.carbon_dioxide_mol, end.water_share), (0.0, 1.0));
        }
    }

    #[test]
    fn calcite_never_passes_equilibrium(
        water in any_water(), celsius in 0.0..100.0f64, hours in 0.0..48.0f64, rates in any_rates(),
    ) {
        // At one temperature and shut, so that equilibrium stays where it is: water below
        // saturation drops nothing, and other water no more than brings it there.
        let shut = Rates { film_mm: None, ..rates };
        let calcite = [(Mineral::Calcite, 0.0)];
        let end = Aqueous::at(celsius).precipitated(&water, &calcite, None);
        let most = end.expect("a liquor").1[0];
        let end = hold(&water, &holding(celsius, celsius, hours), &shut).expect("a liquor");
        let precipitated = end.calcite_mol;
        prop_assert!(precipitated <= most * (1.0 + 1e-6) + over(&water), "{precipitated} {most}");
    }

    #[test]
    fn more_hours_or_area_never_leave_more_calcium(
        water in any_water(), line in any_holding(), rates in any_rates(), more in 1.0..10.0f64,
    ) {
        let held = |rates: &Rates| hold(&water, &line, rates).expect("a liquor");
        let precipitated = |rates: &Rates| held(rates).calcite_mol;
        let less = precipitated(&rates) * (1.0 - 1e-6) - over(&water);
        let scale_area_cm2_per_l = more * rates.scale_area_cm2_per_l;
        let more_area = precipitated(&Rates { scale_area_cm2_per_l, ..rates });
        prop_assert!(more_area >= less, "{more_area} {less}");
        let on = holding(line.to_c, line.to_c, more);
        let first = hold(&water, &line, &rates).expect("a liquor");
        let then = hold(&first.liquor, &on, &rates).expect("a liquor");
        prop_assert!(then.calcite_mol >= 0.0);
    }

    #[test]
    fn hours_and_ramps_in_two_are_the_same(
        water in any_water(), line in any_holding(), rates in any_rates(), share in 0.0..1.0f64,
    ) {
        let [whole, cut] = whole_and_cut(&water, &line, &rates, share);
        for (whole, cut) in whole.into_iter().zip(cut) {
            prop_assert!((whole - cut).abs() <= 1e-6 * whole.abs() + over(&water), "{whole} {cut}");
        }
    }

    #[test]
    fn no_time_changes_nothing(
        water in any_water(), celsius in 0.0..100.0f64, rates in any_rates(),
    ) {
        let end = hold(&water, &holding(20.0, celsius, 0.0), &rates).expect("a liquor");
        prop_assert_eq!(end.liquor, Liquor { temperature_c: celsius, ..water });
        let moved = (end.calcite_mol, end.carbon_dioxide_mol, end.water_share);
        prop_assert_eq!(moved, (0.0, 0.0, 1.0));
    }
}
