//! Days that are possible and improbable: every amount anywhere within its limits, each order of
//! magnitude as likely as the next. Each is planned soundly or refused; very few are too
//! ill-proportioned to plan. The seed is fixed.

use serde_json::{Map, Value, json};
use underlet::error::ErrorCode;
use underlet::json;
use underlet_tests::dice::Dice;
use underlet_tests::soundness::faults;
use underlet_tests::trials::trials;

/// Days without a proven plan, of a thousand: the programme's numbers then span more than double
/// precision holds.
const MOST_WITHOUT_PLAN: usize = 10;

const IONS: [&str; 6] = [
    "calcium",
    "magnesium",
    "sodium",
    "chloride",
    "sulfate",
    "nitrate",
];
const REAGENTS: [&str; 13] = [
    "gypsum",
    "calcium chloride dihydrate",
    "epsom salt",
    "sodium chloride",
    "sodium bicarbonate",
    "chalk",
    "slaked lime",
    "lactic acid",
    "phosphoric acid",
    "hydrochloric acid",
    "sulfuric acid",
    "potassium metabisulfite",
    "citric acid",
];

/// Nothing, a trace far below any laboratory, or anything up to a power of ten.
fn amount(dice: &mut Dice, highest_power: f64) -> f64 {
    match dice.pick(4) {
        0 => 0.0,
        1 => dice.between_powers(-300.0, highest_power),
        _ => dice.between_powers(-2.0, highest_power),
    }
}

fn range(dice: &mut Dice, mut value: impl FnMut(&mut Dice) -> f64) -> Value {
    let (a, b) = (value(dice), value(dice));
    json!([a.min(b), a.max(b)])
}

fn source(name: usize, cold_l: f64, dice: &mut Dice) -> Value {
    let mut source = Map::new();
    source.insert("name".to_owned(), json!(format!("water {name}")));
    for ion in IONS {
        source.insert(ion.to_owned(), json!(amount(dice, 4.3)));
    }
    source.insert("alkalinity".to_owned(), json!(amount(dice, 3.3)));
    // The first can always be drawn.
    if name > 0 && dice.heads(50) {
        source.insert("max_amount".to_owned(), json!(cold_l * amount(dice, 1.0)));
    }
    Value::Object(source)
}

fn shelf(vessels: &[&str], dice: &mut Dice) -> Vec<Value> {
    let mut shelf = Vec::new();
    for reagent in REAGENTS {
        if dice.heads(40) {
            continue;
        }
        let mut item = json!({"reagent": reagent});
        if dice.heads(50) {
            item["step"] = json!(dice.between_powers(-6.0, 4.0));
        }
        if dice.heads(30) {
            item["stock"] = json!(amount(dice, 6.0));
        }
        if dice.heads(30) {
            item["min_dose"] = json!(amount(dice, 6.0));
        }
        if dice.heads(50) {
            item["vessels"] = json!(vessels);
        }
        shelf.push(item);
    }
    shelf
}

fn targets(dice: &mut Dice) -> Value {
    let mut targets = Map::new();
    for ion in IONS {
        if dice.heads(60) {
            targets.insert(ion.to_owned(), range(dice, |dice| amount(dice, 4.3)));
        }
    }
    if dice.heads(50) {
        targets.insert(
            "sulfate_to_chloride".to_owned(),
            range(dice, |dice| dice.between_powers(-3.0, 3.0)),
        );
    }
    if dice.heads(70) {
        targets.insert(
            "mash_ph".to_owned(),
            range(dice, |dice| dice.real(4.3, 6.8)),
        );
    }
    if dice.heads(50) {
        targets.insert(
            "sparge_alkalinity".to_owned(),
            range(dice, |dice| amount(dice, 3.3)),
        );
    }
    if dice.heads(40) {
        targets.insert(
            "sparge_ph".to_owned(),
            range(dice, |dice| dice.real(4.0, 11.0)),
        );
    }
    let mut weights = Map::new();
    for key in [
        "calcium",
        "sulfate",
        "sulfate_to_chloride",
        "mash_ph",
        "sparge_alkalinity",
        "sparge_ph",
    ] {
        if dice.heads(30) {
            weights.insert(key.to_owned(), json!(dice.between_powers(-6.0, 3.0)));
        }
    }
    targets.insert("weights".to_owned(), Value::Object(weights));
    Value::Object(targets)
}

fn day(dice: &mut Dice) -> Value {
    let mash_l = dice.between_powers(-1.0, 5.0);
    let sparge_l = mash_l * dice.between_powers(-1.0, 0.5);
    let mass_kg = mash_l / dice.between_powers(0.1, 1.2);
    let has_tank = dice.heads(70);
    let fill_l = (mash_l + sparge_l) * dice.between_powers(0.05, 0.5);
    let malt = if dice.heads(50) {
        json!({"malt": "pale ale malt", "mass": mass_kg})
    } else {
        json!({"mass": mass_kg, "ph_in_distilled_water": dice.real(4.1, 8.0),
            "buffering": dice.between_powers(0.0, 3.0)})
    };
    let vessels: &[&str] = if has_tank {
        &["hot_liquor_tank", "mash_tun", "sparge_liquor"]
    } else {
        &["mash_tun", "sparge_liquor"]
    };
    let sources: Vec<Value> = (0..=dice.pick(6))
        .map(|name| source(name, fill_l, dice))
        .collect();
    let mut day = json!({
        "underlet": 1,
        "name": "extreme",
        "sources": sources,
        "grist": [malt],
        "mash": {"liquor": mash_l, "liquor_temperature": dice.real(0.0, 85.0),
            "rest_temperature": dice.real(33.0, 81.0)},
        "sparge": {"liquor": sparge_l, "liquor_temperature": 100.0 * dice.real(0.0, 1.0)},
        "targets": targets(dice),
        "shelf": shelf(vessels, dice),
    });
    if has_tank {
        day["hot_liquor_tank"] =
            json!({"fill": fill_l, "temperature": 100.0 * dice.real(0.0, 1.0)});
    }
    day
}

#[test]
fn an_extreme_random_day_is_planned_or_refused() {
    let count = trials(500, 5_000);
    let mut dice = Dice(8_128);
    let (mut planned, mut without_plan) = (0, 0);
    for _ in 0..count {
        let text = day(&mut dice).to_string();
        match json::plan(&text) {
            Ok(plan) => {
                assert_eq!(faults(&plan), [""; 0], "{text}");
                planned += 1;
            }
            Err(error) => without_plan += usize::from(error.problems[0].code == ErrorCode::NoPlan),
        }
    }
    assert!(planned > count / 2, "only {planned} planned");
    assert!(
        without_plan * 1000 <= count * MOST_WITHOUT_PLAN,
        "{without_plan} of {count} days have no plan"
    );
}
