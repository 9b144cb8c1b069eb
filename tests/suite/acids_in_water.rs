//! What acids and salts leave in the water of the built-in and of the judged days, by hand: from
//! what the plan weighs and measures out, a label's strength, a handbook's density and molar masses.
//!
//! Densities at 20 °C, CRC Handbook, Concentrative properties of aqueous solutions, and Perry's
//! handbook (from memory): lactic acid 80 %, 1.185 kg/L; phosphoric acid 75 %, 1.579 kg/L. Molar
//! masses from the atomic weights of IUPAC 2021, abridged: H 1.008, C 12.011, O 15.999, Na 22.990,
//! P 30.974, S 32.06, Cl 35.45, K 39.098.

use underlet::recipe::{EXAMPLES, Vessel};
use underlet::{BrewDay, Plan, json};
use underlet_tests::judged;

/// g/mol of the acid as bought, and of its anion with all protons gone.
const LACTIC: [f64; 2] = [
    3.0 * 12.011 + 6.0 * 1.008 + 3.0 * 15.999,
    3.0 * 12.011 + 5.0 * 1.008 + 3.0 * 15.999,
];
const PHOSPHORIC: [f64; 2] = [3.0 * 1.008 + 30.974 + 4.0 * 15.999, 30.974 + 4.0 * 15.999];
const CITRIC: [f64; 2] = [
    6.0 * 12.011 + 8.0 * 1.008 + 7.0 * 15.999,
    6.0 * 12.011 + 5.0 * 1.008 + 7.0 * 15.999,
];
/// g/mol of salts, and of the sodium in them.
const TABLE_SALT: [f64; 2] = [22.990 + 35.45, 22.990];
const BAKING_SODA: [f64; 2] = [22.990 + 1.008 + 12.011 + 3.0 * 15.999, 22.990];
const SODIUM_METABISULFITE: [f64; 2] = [2.0 * 22.990 + 2.0 * 32.06 + 5.0 * 15.999, 2.0 * 22.990];

/// mg of something in a unit (mL or g) of a reagent, by its name with strength; `None` of what
/// brings none of it.
fn mg_per_unit(key: &str, name: &str) -> Option<f64> {
    let mg = |grams: f64, [whole, part]: [f64; 2]| 1000.0 * grams * part / whole;
    match (key, name) {
        // 1 mL · 1.185 g/mL · 80 % = 0.948 g of acid, of which 89.07 of 90.08 g are lactate.
        ("lactate", "lactic acid 80 %") => Some(mg(1.185 * 0.80, LACTIC)),
        // 1 mL · 1.579 g/mL · 75 % = 1.184 g of acid, of which 94.97 of 97.99 g are phosphate.
        ("phosphate", "phosphoric acid 75 %") => Some(mg(1.579 * 0.75, PHOSPHORIC)),
        // 1 g · 99.5 % of acid, of which 189.10 of 192.12 g are citrate.
        ("citrate", "citric acid, anhydrous") => Some(mg(0.995, CITRIC)),
        ("sodium", "sodium chloride (table salt)") => Some(mg(0.995, TABLE_SALT)),
        ("sodium", "sodium bicarbonate (baking soda)") => Some(mg(0.995, BAKING_SODA)),
        ("sodium", "sodium metabisulfite") => Some(mg(0.96, SODIUM_METABISULFITE)),
        _ => None,
    }
}

/// Water in a vessel, kg, from the plan's volumes and temperatures.
fn water_kg(plan: &Plan, vessel: Vessel) -> f64 {
    let mut vessels = plan.vessels.iter();
    let held = vessels.find(|held| held.vessel == vessel);
    held.map_or(0.0, |held| held.water_kg)
}

/// Brewing liquor of a brew that is reached by a dose into a vessel, as a share of it, over the
/// water that the dose is spread in.
fn spread_per_kg(plan: &Plan, vessel: Vessel) -> f64 {
    let mash = water_kg(plan, Vessel::MashTun);
    let sparge = water_kg(plan, Vessel::SpargeLiquor);
    let tank = water_kg(plan, Vessel::HotLiquorTank);
    let all = mash + sparge;
    match vessel {
        // Mash and sparge are both drawn from it.
        Vessel::HotLiquorTank => 1.0 / tank,
        Vessel::MashTun | Vessel::MashLiquor => (mash / all) / mash,
        // What is left in the tank once the mash is drawn, of which the sparge is a part.
        Vessel::SpargeLiquor if tank > 0.0 => (sparge / all) / (tank - mash),
        Vessel::SpargeLiquor => (sparge / all) / sparge,
        Vessel::Kettle => 1.0 / plan.kettle.water_kg,
    }
}

/// mg/L of the liquor as a whole that additions bring of something, a kg of water being 1.0018 L.
fn brought(plan: &Plan, key: &str) -> f64 {
    let additions = plan.additions.iter().filter_map(|given| {
        let mg = given.amount * mg_per_unit(key, &given.name)?;
        Some(mg * spread_per_kg(plan, given.vessel) * 0.9982)
    });
    additions.sum()
}

/// What the sources hold of something, by what the day says of them, mg/L.
fn in_sources(day: &BrewDay, plan: &Plan, key: &str) -> f64 {
    let parts = plan.blend.iter().map(|part| {
        let mut sources = day.sources.iter();
        let source = sources.find(|source| source.name == part.source).unwrap();
        let mut ions = source.liquor.ions.iter();
        let held = ions.find(|(ion, _)| ion.key() == key);
        let held = held.map_or(0.0, |(ion, amount)| ion.mg_per_l(amount));
        part.share * held
    });
    parts.sum()
}

/// Compares a plan with the sums; how much acid it has.
fn compared(name: &str, text: &str, plan: &Plan) -> usize {
    let day = BrewDay::from_json(text).unwrap();
    let mut found = 0;
    for key in ["lactate", "phosphate", "citrate", "sodium"] {
        let expected = in_sources(&day, plan, key) + brought(plan, key);
        let mut lines = plan.dissolved.iter();
        let line = lines.find(|line| line.key == key);
        let planned = line.map_or(0.0, |line| line.planned_mg_l);
        // The fourth digit of a density, and what metabisulfite leaves on two vessels.
        assert!(
            (planned - expected).abs() <= 0.002 * expected + 0.02,
            "{name}: {key} {planned}, by hand {expected}\n{plan}"
        );
        if brought(plan, key) > 0.0 && key != "sodium" {
            found += 1;
            let line = line.unwrap();
            assert!(line.listed, "{name}: {line:?}");
            assert!(plan.to_text().contains(&format!("{key}, from")), "{plan}");
        }
    }
    found
}

#[test]
fn built_in_days() {
    let mut found = 0;
    for (name, text) in EXAMPLES {
        let plan = json::plan(text).unwrap();
        found += compared(name, text, &plan);
    }
    assert!(found >= 2, "acid in {found} plans only");
}

#[test]
fn judged_days() {
    let mut found = 0;
    for (name, judged) in judged::all() {
        let text = judged.day.to_string();
        if let Ok(plan) = json::plan(&text) {
            for given in &plan.additions {
                let is_known = ["lactate", "phosphate", "citrate"]
                    .iter()
                    .any(|key| mg_per_unit(key, &given.name).is_some());
                let has_anion = ["lactic", "phosphoric", "citric"]
                    .iter()
                    .any(|acid| given.reagent.starts_with(acid));
                assert_eq!(is_known, has_anion, "{name}: no sum for {}", given.name);
            }
            found += compared(&name, &text, &plan);
        }
    }
    assert!(found >= 20, "acid in {found} plans only");
}

/// The first built-in day in figures: 1 mL of phosphoric acid is 1.579 · 0.75 = 1.184 g, of which
/// 1.184 · 94.97 / 97.99 = 1.148 g are phosphate. In the tank it meets 1500 L at 78 °C, 1459.5 kg (CRC
/// Handbook, from memory: 0.9730 kg/L), and makes 1148 / 1459.5 · 0.9982 = 0.785 mg/L. In the mash its
/// part of all the liquor counts, 560 L at 74 °C and 760 L at 78 °C, 1285.7 kg: 0.891 mg/L.
#[test]
fn the_sum_of_one_day_in_figures() {
    let plan = json::plan(EXAMPLES[0].1).unwrap();
    let millilitres = |vessel: Vessel| {
        let given = plan.additions.iter();
        let given = given.filter(|one| one.reagent == "phosphoric acid" && one.vessel == vessel);
        given.map(|one| one.amount).sum::<f64>()
    };
    let [tank, mash] = [Vessel::HotLiquorTank, Vessel::MashTun].map(millilitres);
    assert!(tank > 300.0 && mash > 50.0, "{plan}");
    let expected = 0.785 * tank + 0.891 * mash;
    let phosphate = plan.dissolved.iter().find(|line| line.key == "phosphate");
    let planned = phosphate.unwrap().planned_mg_l;
    assert!(
        (planned - expected).abs() < 1.0,
        "{planned}, by hand {expected}"
    );
    let text = format!("phosphate, from phosphoric acid +{planned:.0} mg/L: no taste limit known");
    assert!(plan.to_text().contains(&text), "{plan}");
}
