//! Brewhouse, batch, brews and portions: what they leave alone, and what grows with them.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use underlet::error::ErrorCode;
use underlet::{BrewDay, Plan, Vessel};
use underlet_tables::ReagentKind;

use crate::common::draft::{Draft, Item};

/// Random days of every check.
const DAYS: std::ops::Range<u64> = 41_000..41_150;

fn read(document: &Value) -> BrewDay {
    let text = document.to_string();
    BrewDay::from_json(&text).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn plan(document: &Value) -> Plan {
    read(document)
        .plan()
        .unwrap_or_else(|error| panic!("{error}\n{document}"))
}

fn document(draft: &Draft) -> Value {
    serde_json::from_str(&draft.json()).expect("JSON")
}

/// The day with plenty of everything, so that nothing but amounts of the recipe and steps of the
/// scale decides.
fn with_plenty(mut draft: Draft) -> Draft {
    for source in &mut draft.sources {
        source.at_most = None;
    }
    for item in &mut draft.shelf {
        item.stock = None;
    }
    draft
}

/// Multiplies what is written in a key.
fn times(of: &mut Value, key: &str, by: f64) {
    if let Some(number) = of.get(key).and_then(Value::as_f64) {
        of[key] = json!(number * by);
    }
}

#[test]
fn the_usual_brewhouse_and_one_of_everything_change_nothing() {
    for seed in DAYS {
        let named = document(&Draft::random(seed));
        let mut reported = named.clone();
        reported["brewhouse"] = json!({
            "name": "Ninefold Quay", "grain_absorption": "1 L/kg", "tank_dead_volume": 0, "tun_dead_volume": "0 L",
            "kettle_dead_volume": 0, "scale_step": "1 g", "measure_step": 1, "meters": ["temperature", "ph", "conductivity"],
        });
        reported["recipe_scale"] = json!(1);
        reported["brews"] = json!(1);
        if reported.get("sparge").is_some() {
            reported["sparge"]["portions"] = json!(1);
        }
        let mut short = named.clone();
        short["brewhouse"] = json!({ "name": "Ninefold Quay" });
        assert_eq!(read(&reported), read(&named), "seed {seed}");
        assert_eq!(read(&short), read(&named), "seed {seed}");
    }
}

#[test]
fn a_batch_is_the_recipe_with_every_amount_multiplied() {
    for (seed, batch) in DAYS.zip([0.25, 2.0, 0.3, 7.0].into_iter().cycle()) {
        let mut recipe = document(&with_plenty(Draft::random(seed)));
        recipe["kettle"] = json!({ "boil": "75 min", "boil_off": recipe["mash"]["liquor"].as_f64().expect("litres") / 8.0 });
        // Dead volumes and rates of the plant do not grow.
        recipe["brewhouse"] = json!({ "grain_absorption": 0.8, "tun_dead_volume": 0.01, "kettle_dead_volume": 0.02, "boil_off": 0.5 });
        let mut by_hand = recipe.clone();
        recipe["recipe_scale"] = json!(batch);
        for (vessel, key) in [
            ("hot_liquor_tank", "fill"),
            ("mash", "liquor"),
            ("sparge", "liquor"),
            ("kettle", "boil_off"),
        ] {
            if by_hand.get(vessel).is_some() {
                times(&mut by_hand[vessel], key, batch);
            }
        }
        for malt in by_hand["grist"].as_array_mut().expect("malts") {
            times(malt, "mass", batch);
        }
        let mut reported = read(&recipe);
        reported.recipe_scale = 1.0;
        assert_eq!(reported, read(&by_hand), "seed {seed}");
    }
}

#[test]
fn doses_of_a_fine_scale_grow_with_the_batch() {
    const BATCH: f64 = 0.25;
    let mut compared = 0;
    for seed in DAYS.step_by(3) {
        let mut draft = with_plenty(Draft::random(seed));
        for item in &mut draft.shelf {
            // A ten-thousandth of a mash's usual dose.
            item.step = draft.mash.litres * 1e-5;
            item.min_dose = None;
        }
        let mut part = document(&draft);
        // One addition for each dose.
        part["brewhouse"] = json!({ "overshoot_risk": "100 %" });
        let whole = plan(&part);
        part["recipe_scale"] = json!(BATCH);
        let part = plan(&part);
        let best = [&part, &whole].map(|plan| plan.fit.objective_before_rounding);
        assert!(
            (best[0] - best[1]).abs() <= 1e-9 * (1.0 + best[1].abs()),
            "seed {seed}: {best:?}"
        );
        for of_whole in &whole.additions {
            let same = |one: &&underlet::Addition| {
                (one.vessel, &one.reagent) == (of_whole.vessel, &of_whole.reagent)
            };
            // Of reagents that do the same, one plan may weigh the one and the other plan the
            // other.
            let Some(of_part) = part.additions.iter().find(same) else {
                continue;
            };
            let off = (of_part.before_rounding - BATCH * of_whole.before_rounding).abs();
            assert!(
                off <= 1e-6 * of_whole.before_rounding + draft.mash.litres * 1e-7,
                "seed {seed}, {}: {} of {}",
                of_whole.reagent,
                of_part.before_rounding,
                of_whole.before_rounding
            );
            compared += 1;
        }
        let [best, of_part] = [&whole, &part].map(|plan| plan.fit.objective_before_rounding);
        assert!(
            (best - of_part).abs() <= 1e-9 * (1.0 + best),
            "seed {seed}: {best}, {of_part}"
        );
    }
    assert!(compared > 50, "{compared} doses");
}

/// The day brewed twice from one fill, or one blend: twice the liquor, nothing given to sparge
/// liquor that stands in the tank.
fn brewed_twice(draft: &Draft) -> (Draft, Value) {
    let mut draft = draft.clone();
    if draft.tank.is_some() {
        let without_sparge = |item: &mut Item| {
            let usual = || vec!["hot_liquor_tank", "mash_tun", "sparge_liquor"];
            let is_acid = item.reagent.kind == ReagentKind::Acid;
            let at = item.at.take().or_else(|| is_acid.then(usual));
            item.at = at.map(|mut at| {
                at.retain(|vessel| *vessel != "sparge_liquor");
                if at.is_empty() {
                    at.push("mash_tun");
                }
                at
            });
        };
        draft.shelf.iter_mut().for_each(without_sparge);
    }
    let mut twice = document(&draft);
    twice["brews"] = json!(2);
    if draft.tank.is_some() {
        times(&mut twice["hot_liquor_tank"], "fill", 2.0);
    }
    for source in twice["sources"].as_array_mut().expect("sources") {
        times(source, "max_amount", 2.0);
    }
    for item in twice["shelf"].as_array_mut().expect("items") {
        times(item, "stock", 2.0);
    }
    (draft, twice)
}

#[test]
fn two_brews_are_one_brew_twice() {
    let mut without_a_tank = 0;
    for seed in DAYS {
        let (draft, twice) = brewed_twice(&Draft::random(seed));
        let one = plan(&document(&draft));
        let two = plan(&twice);
        // Before rounding the tank's liquor is the same, and so is all that comes of it.
        let (best, doubled) = (
            one.fit.objective_before_rounding,
            two.fit.objective_before_rounding,
        );
        assert!(
            (best - doubled).abs() <= 1e-9 * (1.0 + best.abs()),
            "seed {seed}: {best} against {doubled}"
        );
        if draft.tank.is_some() {
            continue;
        }
        // Without a tank every dose is one of a brew, on the same scale: the plans are alike, but
        // for what is drawn.
        let given = |plan: &Plan| -> Vec<_> {
            let additions = plan.additions.iter();
            additions
                .map(|one| (one.vessel, one.reagent.clone(), one.amount))
                .collect()
        };
        if draft.sources.len() == 1 {
            without_a_tank += 1;
            assert_eq!(given(&one), given(&two), "seed {seed}");
            assert_eq!(one.mash, two.mash, "seed {seed}");
            assert_eq!(one.kettle, two.kettle, "seed {seed}");
        }
        let drawn = |plan: &Plan| plan.blend.iter().map(|part| part.volume_l).sum::<f64>();
        assert!(
            (drawn(&two) / drawn(&one) - 2.0).abs() < 1e-9,
            "seed {seed}"
        );
    }
    assert!(without_a_tank > 5, "{without_a_tank} days compared");
}

#[test]
fn all_brews_together_stay_within_the_stock() {
    let mut limited = 0;
    for seed in DAYS {
        let (draft, twice) = brewed_twice(&Draft::random(seed));
        let plan = plan(&twice);
        let mut taken: BTreeMap<&str, f64> = BTreeMap::new();
        for addition in &plan.additions {
            let times = if addition.vessel == Vessel::HotLiquorTank {
                1
            } else {
                2
            };
            assert_eq!(addition.times, times, "seed {seed}");
            assert_eq!(addition.when.contains("in each of 2 brews"), times == 2);
            *taken.entry(&addition.reagent).or_default() += times as f64 * addition.amount;
        }
        for item in &draft.shelf {
            if let Some((stock, taken)) = item.stock.zip(taken.get(item.reagent.key)) {
                limited += 1;
                assert!(
                    *taken <= 2.0 * stock * (1.0 + 1e-9),
                    "seed {seed}: {taken} of 2 x {stock}"
                );
            }
        }
    }
    assert!(limited > 20, "{limited} stocks");
}

#[test]
fn what_stays_behind_comes_off_the_kettle() {
    let mut compared = 0;
    for seed in DAYS.step_by(5) {
        let draft = Draft::random(seed);
        let litres = draft.filled_litres();
        let mut day = document(&draft);
        let usual = plan(&day);
        let dead = 0.01 * litres;
        day["brewhouse"] = json!({ "tun_dead_volume": dead, "kettle_dead_volume": dead });
        let kept = match BrewDay::from_json(&day.to_string()) {
            // A mash so thick, or a tank so full beyond its draws, that nothing would run off.
            Err(error) => {
                assert!(
                    error
                        .problems
                        .iter()
                        .all(|one| one.code == ErrorCode::Overdraw),
                    "{error}"
                );
                continue;
            }
            Ok(read) => read.plan().expect("a plan"),
        };
        // A litre of water weighs 0.958 kg when it boils and 1 kg when it is cold.
        let between = |kg: f64| kg > 0.958 * dead && kg < dead;
        assert!(
            between(usual.kettle.water_kg - kept.kettle.water_kg),
            "seed {seed}"
        );
        let after_boil = kept.kettle.water_kg - kept.kettle.boiled_off_kg;
        assert!(
            between(after_boil - kept.kettle.knocked_out_kg),
            "seed {seed}"
        );
        // What goes into the vessels, and the mash, do not change.
        assert_eq!(
            (&kept.additions, &kept.mash),
            (&usual.additions, &usual.mash),
            "seed {seed}"
        );
        compared += 1;
    }
    assert!(compared > 5, "{compared} days compared");
}

#[test]
fn only_meters_on_hand_are_predicted() {
    let mut day = document(&Draft::random(DAYS.start));
    let all = plan(&day).readings;
    day["brewhouse"] = json!({ "meters": ["temperature", "ph"] });
    let mut expected = all.clone();
    expected.retain(|one| one.unit != "µS/cm");
    assert!(expected.len() < all.len());
    assert_eq!(plan(&day).readings, expected);
    day["brewhouse"] = json!({ "meters": ["conductivity"] });
    let readings = plan(&day).readings;
    assert!(!readings.is_empty() && readings.iter().all(|one| one.unit == "µS/cm"));
}

#[test]
fn the_brewhouse_scale_replaces_steps_that_are_not_given() {
    let mut day = document(&Draft::random(DAYS.start));
    day["brewhouse"] = json!({ "scale_step": "5 g", "measure_step": "0.5 mL" });
    day["shelf"] = json!([
        {"reagent": "gypsum"}, {"reagent": "epsom salt", "step": "2 g"}, {"reagent": "lactic acid", "min_dose": "3 mL"}
    ]);
    let shelf: Vec<[f64; 2]> = read(&day)
        .shelf
        .iter()
        .map(|one| [one.step, one.min_dose])
        .collect();
    assert_eq!(shelf, [[5.0, 5.0], [2.0, 2.0], [0.5, 3.0]]);
}
