//! Any day that can be read makes sense, and none does once a number of it is none.

use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use serde_json::{Value, json};
use underlet::fit::PlanError;
use underlet::{BrewDay, EXAMPLES};

use crate::common::draft::Draft;

/// Numbers of a day that must be finite and not negative, each with its path.
type Number = (&'static str, fn(&mut BrewDay) -> &mut f64);

const NUMBERS: &[Number] = &[
    ("brewhouse.grain_absorption", |day| {
        &mut day.brewhouse.grain_absorption_l_per_kg
    }),
    ("brewhouse.tank_dead_volume", |day| {
        &mut day.brewhouse.tank_dead_l
    }),
    ("brewhouse.tun_dead_volume", |day| {
        &mut day.brewhouse.tun_dead_l
    }),
    ("brewhouse.kettle_dead_volume", |day| {
        &mut day.brewhouse.kettle_dead_l
    }),
    ("brewhouse.boil_off", |day| {
        day.brewhouse.boil_off_l_per_h.get_or_insert(1.0)
    }),
    ("brewhouse.scale_step", |day| {
        &mut day.brewhouse.scale_step_g
    }),
    ("brewhouse.measure_step", |day| {
        &mut day.brewhouse.measure_step_ml
    }),
    ("recipe_scale", |day| &mut day.recipe_scale),
    ("sources[0].alkalinity", |day| {
        &mut day.sources[0].liquor.alkalinity_eq_per_kg
    }),
    ("sources[0].inorganic_carbon", |day| {
        &mut day.sources[0].liquor.carbon_mol_per_kg
    }),
    ("sources[0].temperature", |day| {
        &mut day.sources[0].liquor.temperature_c
    }),
    ("sources[0].free_chlorine", |day| {
        &mut day.sources[0].chlorine.free_mol_per_kg
    }),
    ("sources[0].max_amount", |day| {
        day.sources[0].max_amount_l.get_or_insert(1e6)
    }),
    ("hot_liquor_tank.fill", |day| {
        &mut day.tank.as_mut().expect("a tank").volume_l
    }),
    ("hot_liquor_tank.temperature", |day| {
        &mut day.tank.as_mut().expect("a tank").temperature_c
    }),
    ("grist[0].mass", |day| &mut day.grist[0].mass_kg),
    ("grist[2].ph_in_distilled_water", |day| {
        &mut day.grist[2].curve.distilled_water_ph
    }),
    ("grist[2].ph_sd", |day| {
        &mut day.grist[2].curve.distilled_water_ph_sd
    }),
    ("grist[2].buffering", |day| {
        &mut day.grist[2].curve.buffering_eq_per_kg_ph
    }),
    ("grist[2].buffering_sd", |day| {
        &mut day.grist[2].curve.buffering_sd
    }),
    ("grist[2].titration", |day| {
        &mut day.grist[2].curve.curvature_sd
    }),
    ("mash.liquor", |day| &mut day.mash.volume_l),
    ("mash.liquor_temperature", |day| &mut day.mash.temperature_c),
    ("mash.rest_temperature", |day| &mut day.rest_temperature_c),
    ("sparge.liquor", |day| {
        &mut day.sparge.as_mut().expect("a sparge").volume_l
    }),
    ("sparge.liquor_temperature", |day| {
        &mut day.sparge.as_mut().expect("a sparge").temperature_c
    }),
    ("kettle.boil", |day| day.kettle.boil_h.get_or_insert(1.0)),
    ("kettle.boil_off", |day| {
        day.kettle.boil_off_l.get_or_insert(1.0)
    }),
    ("kettle.zinc", |day| {
        day.kettle.zinc_mol_per_kg.get_or_insert(1e-6)
    }),
    ("targets.calcium.low", |day| low(&mut day.targets.ions[0].1)),
    ("targets.weights.calcium", |day| {
        &mut day.targets.ions[0].1.weight
    }),
    ("targets.mash_ph.low", |day| {
        low(day.targets.mash_ph.as_mut().expect("a target"))
    }),
    ("targets.confidence.mash_ph", |day| {
        day.mash_ph_confidence.get_or_insert(0.8)
    }),
    ("shelf[0].strength", |day| {
        &mut day.shelf[0].preparation.strength_percent
    }),
    ("shelf[0].step", |day| &mut day.shelf[0].step),
    ("shelf[0].min_dose", |day| &mut day.shelf[0].min_dose),
    ("shelf[0].stock", |day| {
        day.shelf[0].stock.get_or_insert(1.0)
    }),
];

/// Figures of a lot, each with its limits.
const KEYS: [(&str, [f64; 2]); 9] = [
    ("ph_in_distilled_water", [2.0, 8.0]),
    ("congress_ph", [2.0, 8.0]),
    ("ph_sd", [0.0, 2.0]),
    ("buffering", [0.0, 1000.0]),
    ("buffering_sd", [0.0, 1000.0]),
    ("acidity", [0.0, 10_000.0]),
    ("acidity_to_ph", [2.0, 10.0]),
    ("lactic_acid", [0.01, 20.0]),
    ("colour", [0.0, 2000.0]),
];

fn low(wanted: &mut underlet::TargetRange) -> &mut f64 {
    wanted.low.as_mut().expect("a low end")
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        rng_seed: RngSeed::Fixed(18),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_random_day_that_reads_makes_sense(seed in any::<u64>()) {
        for draft in [Draft::random(seed), Draft::extreme(seed)] {
            if let Ok(day) = BrewDay::from_json(&draft.json()) {
                prop_assert_eq!(day.check(), Ok(()), "{}", draft.json());
            }
        }
    }

    #[test]
    fn a_random_malt_that_reads_makes_sense(
        figures in proptest::collection::vec((0..KEYS.len(), 0.0..1.0_f64), 0..6),
        class in proptest::option::of(0..underlet_tables::MALTS.len()),
    ) {
        let mut malt = json!({"mass": 30});
        for (key, share) in figures {
            let (key, [low, high]) = KEYS[key];
            malt[key] = json!(low + share * (high - low));
        }
        if let Some(class) = class {
            malt["malt"] = json!(underlet_tables::MALTS[class].class);
        }
        let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
        day["grist"][1] = malt;
        if let Ok(day) = BrewDay::from_json(&day.to_string()) {
            prop_assert_eq!(day.check(), Ok(()), "{:?}", day.grist[1]);
        }
    }

    #[test]
    fn a_number_that_is_none_is_named_and_never_planned(
        place in 0..NUMBERS.len(),
        bad in prop_oneof![
            Just(f64::NAN),
            Just(f64::INFINITY),
            Just(f64::NEG_INFINITY),
            -1e9..-1e-3,
        ],
    ) {
        let mut day = BrewDay::from_json(EXAMPLES[0].1).expect("a day");
        let (path, number) = NUMBERS[place];
        *number(&mut day) = bad;
        let error = day.check().expect_err(path);
        prop_assert!(error.problems.iter().any(|problem| problem.path == path), "{path}: {error}");
        prop_assert_eq!(day.plan().map(|_| ()), Err(PlanError::Input(error)));
    }
}

#[test]
fn an_example_makes_sense_however_it_is_written() {
    for (name, text) in EXAMPLES {
        let day = BrewDay::from_json(text).expect(name);
        assert_eq!(day.check(), Ok(()), "{name}");
    }
}
