//! Liquors, reagents and grists to draw from.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use underlet::component::{Component, Composition};
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::mash::{Malt, TitrationCurve};
use underlet::reagent::Preparation;
use underlet_tables::{MALTS, REAGENTS, ReagentKind};

/// So many cases, the same ones in every run.
pub fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(1953),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A water or wort-side liquor: up to 300 mg/L of an ion, 400 mg/L as CaCO3, a little of each weak
/// acid.
pub fn liquor() -> impl Strategy<Value = Liquor> {
    (
        proptest::collection::vec(0.0..300.0f64, Component::COUNT),
        0.0..400.0f64,
        0.9..1.5f64,
        0.0..100.0f64,
    )
        .prop_map(|(amounts, alkalinity, excess, temperature_c)| {
            let mut ions = Composition::ZERO;
            for (ion, mg_per_l) in Component::ALL.into_iter().zip(amounts) {
                let share = if ion.is_weak_acid() { 0.1 } else { 1.0 };
                ions.set(ion, ion.mol_per_kg(share * mg_per_l));
            }
            let alkalinity = alkalinity_eq_per_kg(alkalinity);
            Liquor {
                ions,
                alkalinity_eq_per_kg: alkalinity,
                carbon_mol_per_kg: alkalinity * excess,
                temperature_c,
            }
        })
}

/// A reagent at any strength it is sold or kept at.
pub fn preparation() -> impl Strategy<Value = Preparation> {
    (0..REAGENTS.len(), 0.0..=1.0f64).prop_map(|(index, share)| {
        let reagent = &REAGENTS[index];
        let [low, high] = reagent.strength_range_percent;
        Preparation {
            reagent,
            strength_percent: low + share * (high - low),
        }
    })
}

/// An acid at any strength.
pub fn acid() -> impl Strategy<Value = Preparation> {
    preparation().prop_filter("an acid", |preparation| {
        preparation.reagent.kind == ReagentKind::Acid
    })
}

/// A malt that buffers.
pub fn malt() -> impl Strategy<Value = Malt> {
    (0..MALTS.len(), 0.1..300.0f64).prop_filter_map("a malt that buffers", |(index, mass_kg)| {
        let row = &MALTS[index];
        row.ph_in_distilled_water?;
        Some(Malt {
            name: row.class.to_owned(),
            mass_kg,
            curve: TitrationCurve::of_class(row.class)?,
            is_class_prior: true,
        })
    })
}

/// One to five malts.
pub fn grist() -> impl Strategy<Value = Vec<Malt>> {
    proptest::collection::vec(malt(), 1..6)
}
