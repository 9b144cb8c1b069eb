//! The document of a fit of ions: sums done by hand, and small shelves against trying everything.
//!
//! Atomic weights: IUPAC 2021 (Prohaska et al. 2022, *Pure and Applied Chemistry* 94:573-600): Ca
//! 40.078, S 32.06, O 15.999, H 1.008, Cl 35.45, Na 22.990, C 12.011. 1000 L at 20 °C are taken as
//! reports count: a gram in them is a mg/L.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::fit::{
    Dilution, Distance, IonFitter, IonProblem, IonTarget, Salt, TargetQuantity, fit_ions as result,
};
use underlet::json::fit_ions;
use underlet::liquor::Liquor;
use underlet::reagent::{AmountUnit, Preparation};
use underlet::{FittedIons, IonFit, TargetState};

use crate::common::dice::Dice;

/// mg/L of calcium, sodium, chloride and sulfate.
type Water = [f64; 4];

const KEYS: [&str; 4] = ["calcium", "sodium", "chloride", "sulfate"];
/// What a gram in 1000 L brings of each, at 100 %: CaSO4·2H2O 172.164, CaCl2·2H2O 147.008, NaCl
/// 58.44 g/mol.
const SALTS: [(&str, Water); 3] = [
    ("gypsum", [40.078 / 172.164, 0.0, 0.0, 96.056 / 172.164]),
    (
        "calcium chloride dihydrate",
        [40.078 / 147.008, 0.0, 70.9 / 147.008, 0.0],
    ),
    ("sodium chloride", [0.0, 22.99 / 58.44, 35.45 / 58.44, 0.0]),
];

fn solve(fit: &Value) -> FittedIons {
    fit_ions(&fit.to_string()).unwrap_or_else(|error| panic!("{error}: {fit}"))
}

fn planned(solve: &FittedIons, key: &str) -> f64 {
    let line = solve.water.iter().find(|line| line.key == key);
    line.expect(key).planned.expect(key)
}

#[test]
fn one_salt_by_hand() {
    let fit = |at: &str, salt: &str| {
        solve(&json!({
            "underlet": 1, "source": {"name": "pure", "alkalinity": 0}, "volume": "1000 L",
            "targets": {at: {"low": 50, "high": 50}}, "shelf": [{"reagent": salt, "strength": "100 %"}]
        }))
    };
    // 50 g of calcium are 50 · 172.164 / 40.078 = 214.79 g of gypsum: 215 g, 50.05 mg/L.
    let gypsum = fit("calcium", "gypsum");
    assert_eq!(
        (gypsum.salts[0].amount, gypsum.salts[0].unit),
        (215.0, AmountUnit::Gram)
    );
    let before = gypsum.salts[0].before_weighing;
    // The density of water is known to five digits here.
    assert!((before - 214.79).abs() < 0.02, "{before}");
    assert!((planned(&gypsum, "calcium") - 50.05).abs() < 0.002);
    assert_eq!(gypsum.salts[0].why, "calcium +50 mg/L, sulfate +120 mg/L");
    // CaCO3 has 50.043 g/eq: 50 mg/L of it are 84.006 · 50 / 50.043 = 83.93 g of NaHCO3, weighed 84
    // g.
    let soda = fit("alkalinity", "sodium bicarbonate");
    assert_eq!(soda.salts[0].amount, 84.0);
    assert!((planned(&soda, "alkalinity") - 50.0 * 84.0 / 83.934).abs() < 0.005);
    assert!(soda.meets_every_range && soda.fit.gap == 0.0);
}

#[test]
fn dilution_and_ratio_by_hand() {
    let fit = json!({
        "underlet": 1, "volume": "1000 L",
        "source": {"name": "well", "chloride": 100, "sulfate": 40, "calcium": 73.2, "alkalinity": 0},
        "dilution": {"name": "pure", "alkalinity": 0},
        "targets": {"chloride": {"low": 25, "high": 25}, "sulfate_to_chloride": "at least 2"},
        "shelf": [{"reagent": "gypsum", "strength": "100 %", "step": "0.1 g"}]
    });
    // A quarter of 100 mg/L: 250 L of the well. Sulfate is 10 mg/L then, and 40 more are 71.69 g of
    // gypsum.
    let result = solve(&fit);
    assert!((result.blend[0].share - 0.25).abs() < 1e-4);
    assert!((result.blend[1].volume_l - 750.0).abs() < 0.1);
    assert!((result.salts[0].amount - 71.7).abs() < 0.11);
    assert!(result.meets_every_range && result.fit.gap == 0.0);
    // At most 600 L of the pure water leave 40 mg/L of chloride, 1.5 tolerances of 10 mg/L too
    // much.
    let mut less = fit.clone();
    less["dilution"]["max_amount"] = json!("600 L");
    let result = solve(&less);
    assert!((planned(&result, "chloride") - 40.0).abs() < 1e-6);
    assert!((result.fit.objective_before_weighing - 2.25).abs() < 1e-6);
    assert_eq!(result.summary, "Not met: chloride.");
    // No more than 100 L of the well: at least nine tenths of the other.
    let mut least = fit;
    least["source"]["max_amount"] = json!("100 L");
    let result = solve(&least);
    assert!((result.blend[1].share - 0.9).abs() < 1e-9);
}

/// Without chloride the ratio has no figure; sulfate is then above any end of it that is wanted
/// below, and above none that is wanted over. What the document says agrees with the objective of
/// the fit.
#[test]
fn a_ratio_without_chloride_is_met_as_the_fit_says() {
    let fit = |targets: Value| {
        solve(&json!({
            "underlet": 1, "volume": "1000 L", "source": {"name": "pure", "alkalinity": 0}, "targets": targets,
            "shelf": [{"reagent": "gypsum", "step": "1 g"}]
        }))
    };
    let ratio = |solve: &FittedIons| {
        let line = solve
            .water
            .iter()
            .find(|line| line.key == "sulfate_to_chloride");
        let line = line.expect("asked for").clone();
        let text = serde_json::to_value(&line).expect("JSON");
        assert!(
            text["planned"].is_null() && text["source"].is_null(),
            "{text}"
        );
        line
    };
    let met = fit(json!({"sulfate": [100, 120], "sulfate_to_chloride": "at least 2"}));
    assert!(met.meets_every_range && met.fit.objective < 1e-3, "{met:?}");
    assert_eq!(
        ratio(&met).display,
        "no chloride → no chloride, wanted at least 2"
    );
    assert_eq!(ratio(&met).state, TargetState::Met);
    // Sulfate 50 misses by 5 tolerances to either side: 25 and 25.
    let above = fit(json!({"sulfate": [100, 120], "sulfate_to_chloride": "at most 1"}));
    assert!((above.fit.objective - 50.0).abs() < 0.01, "{above:?}");
    assert_eq!(above.summary, "Not met: sulfate, sulfate to chloride.");
    assert_eq!(ratio(&above).state, TargetState::Above);
    let nothing = fit(json!({"sulfate_to_chloride": [1, 2]}));
    assert!(
        nothing.meets_every_range && nothing.salts.is_empty(),
        "{nothing:?}"
    );
    let text = fit(json!({})).to_json();
    assert!(!text.contains("-0.0"), "{text}");
}

#[test]
fn stock_solubility_and_hot_volume_by_hand() {
    let fit = |volume: f64, temperature: f64, stock: Option<f64>| {
        solve(&json!({
            "underlet": 1, "source": {"name": "pure", "alkalinity": 0}, "volume": volume, "temperature": temperature,
            "targets": {"calcium": "at least 800 mg/L"},
            "shelf": [{"reagent": "gypsum", "strength": "100 %", "step": "0.1 g", "stock": stock}]
        }))
    };
    assert_eq!(fit(1000.0, 20.0, Some(30.0)).salts[0].amount, 30.0);
    // Gypsum dissolves to 2.05 g of CaSO4 per kg at 20 °C (reagents.csv): 2.59 g of the dihydrate,
    // 604 mg/L of calcium.
    let cold = fit(1000.0, 20.0, None);
    let most = planned(&cold, "calcium");
    assert!(
        (most - 2.05 * 40.078 / 136.134 * 998.2).abs() < 3.0,
        "{most}"
    );
    let line = cold.water.iter().find(|line| line.key == "calcium");
    assert_eq!(line.map(|line| line.state), Some(TargetState::Below));
    // 1000 L at 80 °C are 971.8 kg (Wagner & Pruss 2002).
    assert!((fit(1000.0, 80.0, None).water_kg - 971.8).abs() < 0.1);
}

/// Calcium 100 mg/L by either of two salts: the lighter one is taken, whichever stands first,
/// before weighing and after. 100 g of calcium are 366.8 g of the chloride, 370.5 g at 99 %, and
/// 429.6 g of gypsum.
#[test]
fn of_plans_alike_the_lightest_is_weighed() {
    let shelf = ["gypsum", "calcium chloride dihydrate"];
    for [one, other] in [shelf, [shelf[1], shelf[0]]] {
        let salt = |reagent| json!({"reagent": reagent, "strength": "99 %", "step": "0.1 g"});
        let result = solve(&json!({
            "underlet": 1, "volume": "1000 L", "source": {"name": "pure", "alkalinity": 0},
            "targets": {"calcium": {"low": 100, "high": 100}}, "shelf": [salt(one), salt(other)]
        }));
        let [salt] = result.salts.as_slice() else {
            panic!("{result:?}");
        };
        assert_eq!(salt.reagent, shelf[1]);
        assert!((salt.amount - 370.5).abs() < 0.2, "{salt:?}");
        assert!((salt.before_weighing - salt.amount).abs() < 0.1, "{salt:?}");
    }
}

/// Of three tubs of one salt the first is taken.
#[test]
fn of_salts_alike_the_first_on_the_shelf_is_weighed() {
    let mut dice = Dice::new(11);
    for round in 0..40 {
        let (calcium, chloride) = (dice.real(0.5, 120.0), dice.real(0.5, 120.0));
        let day = json!({
            "underlet": 1, "volume": "1000 L", "source": {"name": "pure", "alkalinity": 0},
            "targets": {"calcium": {"low": calcium, "high": calcium}, "chloride": {"high": chloride}},
            "shelf": [{"reagent": "gypsum", "step": "0.1 g"}, {"reagent": "calcium chloride dihydrate", "step": "0.1 g"}]
        });
        let fit = IonFit::from_json(&day.to_string()).expect("a fit");
        let mut problem = fit.problem();
        let [gypsum, chloride] = [problem.salts[0], problem.salts[1]];
        problem.salts = vec![gypsum, chloride, gypsum, chloride, gypsum, chloride];
        problem.max_salts = [None, Some(2), Some(1)][round % 3];
        let result = result(&problem).expect("an result");
        assert!(result.objective < 1.0 && result.gap == 0.0, "{result:?}");
        let amounts = &result.amounts;
        assert!(
            amounts[2..].iter().all(|later| *later == 0.0),
            "{calcium} {chloride:?} {amounts:?}"
        );
    }
}

/// A fitter answers as if nothing had been asked before, to the bit: points and ranges, squared and
/// plain, weighed or not, diluted or not, of every number of salts; and after problems refused
/// before anything was written, while it was, and after.
#[test]
fn what_a_fitter_was_asked_before_leaves_no_trace() {
    let mut dice = Dice::new(20_261_126);
    let mut fitter = IonFitter::new();
    let mut refused = 0;
    for _ in 0..400 {
        let problem = asked(&mut dice);
        let (kept, fresh) = (fitter.solve(&problem), result(&problem));
        refused += usize::from(fresh.is_err());
        assert_eq!(kept, fresh, "{problem:?}");
    }
    assert!((40..160).contains(&refused), "{refused}");
}

/// What is no number is reported as such, whichever programme it would have been part of.
#[test]
fn a_salt_that_is_no_number_is_refused() {
    let mut dice = Dice::new(3);
    let mut problem = asked(&mut dice);
    problem.salts[0]
        .per_unit
        .ions
        .set(Component::Calcium, f64::NAN);
    problem.salts.truncate(1);
    (problem.salts[0].most, problem.salts[0].step) = (Some(1.0), None);
    (problem.dilution, problem.max_salts) = (None, None);
    for target in &mut problem.targets {
        *target = IonTarget {
            of: target.of,
            low: Some(0.001),
            high: Some(0.001),
            tolerance: 0.0002,
            weight: 1.0,
        };
    }
    for distance in [Distance::Squared, Distance::Absolute] {
        problem.distance = distance;
        let error = result(&problem).expect_err("no number");
        assert!(
            error.to_string().ends_with("a number is not finite"),
            "{error}"
        );
    }
}

fn asked(dice: &mut Dice) -> IonProblem {
    let salts = (0..=dice.pick(9)).map(|_| {
        let reagents = [
            "gypsum",
            "calcium chloride dihydrate",
            "epsom salt",
            "sodium chloride",
            "sodium bicarbonate",
        ];
        let preparation = Preparation::usual(reagents[dice.pick(5)]).expect("a reagent");
        Salt {
            // One salt in forty may go in less than not at all.
            most: if dice.pick(40) == 0 {
                Some(-1.0)
            } else {
                Some(dice.real(0.1, 2.0))
            },
            ..Salt::plenty(preparation.dose_per_unit())
        }
    });
    let mut salts: Vec<Salt> = salts.collect();
    if dice.pick(4) == 0 {
        salts[0].step = Some(0.05);
    }
    let is_point = dice.pick(2) == 0;
    let ions = [
        Component::Calcium,
        Component::Magnesium,
        Component::Sodium,
        Component::Chloride,
        Component::Sulfate,
    ];
    let targets = ions.map(|ion| {
        let low = [dice.real(0.0, 0.004), f64::INFINITY][usize::from(dice.pick(100) == 0)];
        IonTarget {
            of: TargetQuantity::Component(ion),
            low: Some(low),
            high: Some(if is_point { low } else { low + 0.0005 }),
            tolerance: if dice.pick(100) == 0 { 0.0 } else { 0.0002 },
            weight: [0.0, 1.0, 3.0][dice.pick(3)],
        }
    });
    IonProblem {
        source: Liquor::default(),
        dilution: (dice.pick(3) == 0).then(|| Dilution {
            liquor: Liquor::default(),
            least: 0.0,
            most: dice.real(0.2, 1.0),
        }),
        max_salts: (dice.pick(4) == 0).then_some(2),
        salts,
        targets: targets.to_vec(),
        distance: [Distance::Squared, Distance::Absolute][dice.pick(2)],
        handling: 0.0,
        indifference: 0.0,
        node_limit: 2000,
    }
}

/// The price of salts beside a miss of one: 0.002 for each, and 0.01 for a gram per kg.
fn price(grams: impl Iterator<Item = f64>) -> f64 {
    let used = grams.filter(|grams| *grams > 0.0);
    used.map(|grams| 0.002 + 0.01 * grams / 998.2).sum()
}

/// Weight times squared distance in tolerances of 10 mg/L, written out.
fn cost(water: &Water, targets: &Value) -> f64 {
    let mut cost = 0.0;
    for (key, value) in KEYS.iter().zip(water) {
        let range = &targets[*key];
        let weight = targets["weights"][*key].as_f64().unwrap_or(1.0);
        let miss = |low: f64, high: f64| ((low - value).max(0.0) + (value - high).max(0.0)) / 10.0;
        if let (Some(low), Some(high)) = (range["low"].as_f64(), range["high"].as_f64()) {
            cost += weight * miss(low, high).powi(2);
        }
        if let Some(prefer) = range["prefer"].as_f64() {
            cost += 0.01 * weight * miss(prefer, prefer).powi(2);
        }
    }
    // Sulfate against so many times the chloride, in tolerances of sulfate.
    let [_, _, chloride, sulfate] = water;
    let ratio = &targets["sulfate_to_chloride"];
    if let (Some(low), Some(high)) = (ratio["low"].as_f64(), ratio["high"].as_f64()) {
        let below = (low * chloride - sulfate).max(0.0) / 10.0;
        let above = (sulfate - high * chloride).max(0.0) / 10.0;
        cost += below.powi(2) + above.powi(2);
    }
    cost
}

fn drawn(dice: &mut Dice) -> (Water, Value, usize) {
    let source = [0; 4].map(|_| dice.real(0.0, 40.0).round());
    let mut targets = json!({"weights": {"calcium": dice.real(0.5, 3.0).round()}});
    for key in KEYS {
        let low = dice.real(0.0, 100.0).round();
        let width = [0.0, 10.0, 30.0][dice.pick(3)];
        targets[key] = match dice.pick(3) {
            0 => Value::Null,
            1 => json!({"low": low, "high": low + width}),
            _ => json!({"low": low, "high": low + width, "prefer": low + width / 2.0}),
        };
    }
    if dice.pick(2) == 0 {
        let low = dice.real(0.3, 2.0);
        targets["sulfate_to_chloride"] = json!({"low": low, "high": 1.3 * low});
    }
    (source, targets, 1 + dice.pick(3))
}

#[test]
fn nothing_on_a_small_shelf_is_better() {
    const STEP: f64 = 12.0;
    const MOST: usize = 14;
    let mut dice = Dice::new(20_261_125);
    for _ in 0..60 {
        let (source, targets, max_salts) = drawn(&mut dice);
        let shelf: Vec<Value> = SALTS
            .iter()
            .map(|(salt, _)| {
                json!({"reagent": salt, "strength": "100 %", "step": STEP, "stock": STEP * MOST as f64})
            })
            .collect();
        let [calcium, sodium, chloride, sulfate] = source;
        let result = solve(&json!({
            "underlet": 1, "volume": "1000 L", "targets": targets, "shelf": shelf, "max_salts": max_salts,
            "source": {"name": "well", "calcium": calcium, "sodium": sodium, "chloride": chloride, "sulfate": sulfate,
                       "alkalinity": 100}
        }));
        let mut least = f64::INFINITY;
        for steps in 0..(MOST + 1).pow(3) {
            let steps = [
                steps % (MOST + 1),
                steps / (MOST + 1) % (MOST + 1),
                steps / (MOST + 1).pow(2),
            ];
            if steps.iter().filter(|steps| **steps > 0).count() > max_salts {
                continue;
            }
            let mut water = source;
            for (steps, (_, brings)) in steps.iter().zip(SALTS) {
                for (value, brings) in water.iter_mut().zip(brings) {
                    *value += *steps as f64 * STEP * brings;
                }
            }
            let grams = steps.map(|steps| steps as f64 * STEP);
            least = least.min(cost(&water, &targets) + price(grams.into_iter()));
        }
        // Atomic weights of more digits than the engine's, or fewer, move an objective by some 1e-4
        // of itself.
        let objective = result.fit.objective;
        let weighed = result.salts.iter().map(|salt| salt.amount);
        let value = objective + price(weighed);
        let slack = 3e-4 * least + 2e-4;
        assert!((value - least).abs() <= slack, "{value} {least}: {targets}");
        assert!(result.salts.len() <= max_salts);
        assert_eq!(result.fit.gap, 0.0);
        // The same sum, by what the document itself says of the water.
        let reported = KEYS.map(|key| {
            let line = result.water.iter().find(|line| line.key == key);
            line.and_then(|line| line.planned).unwrap_or(0.0)
        });
        assert!((cost(&reported, &targets) - objective).abs() <= 1e-6 * objective + 1e-6);
        let met = result
            .water
            .iter()
            .all(|line| !matches!(line.state, TargetState::Below | TargetState::Above));
        assert_eq!(result.meets_every_range, met);
    }
}

#[test]
fn ten_salts_and_four_at_most_are_proven() {
    let salts = [
        "gypsum",
        "calcium chloride dihydrate",
        "epsom salt",
        "magnesium chloride hexahydrate",
        "sodium chloride",
        "potassium chloride",
        "sodium bicarbonate",
        "sodium sulfate",
        "potassium bicarbonate",
        "slaked lime",
    ];
    let mut dice = Dice::new(7);
    for _ in 0..20 {
        let mut ion = |most: f64| dice.real(0.0, most).round();
        let result = solve(&json!({
            "underlet": 1, "volume": "1280 L", "temperature": "15 °C", "max_salts": 4,
            "source": {"name": "well", "calcium": ion(60.0), "magnesium": ion(10.0), "sodium": ion(20.0),
                       "chloride": ion(40.0), "sulfate": ion(40.0), "alkalinity": ion(150.0)},
            "targets": {"calcium": {"low": ion(120.0), "high": 120}, "magnesium": {"low": ion(15.0), "high": 15},
                        "chloride": {"low": ion(90.0), "high": 90}, "sulfate": {"low": ion(180.0), "high": 180},
                        "sodium": {"high": 40}, "alkalinity": {"low": ion(80.0), "high": 90}},
            "shelf": salts.map(|salt| json!({"reagent": salt, "step": "1 g"}))
        }));
        assert_eq!(result.fit.gap, 0.0, "{result:#?}");
        assert!(result.fit.objective_before_weighing <= result.fit.objective + 1e-9);
        assert!(result.fit.certificate.gap <= 1e-9);
    }
}
