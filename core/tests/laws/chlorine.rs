//! Chlorine of the sources in a plan, by stoichiometry: reactions and excess are those of
//! `treatment/chlorine.rs` in these tests.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use serde_json::{Value, json};
use underlet::readings::diagnosis::Fault;
use underlet::{BrewDay, Plan, Vessel};

/// A brew with this on its shelf, of a water with free and total chlorine in mg/L.
fn day(shelf: &Value, free: f64, total: f64) -> Value {
    json!({
        "underlet": 1, "name": "Slack tide",
        "sources": [{
            "name": "main", "calcium": "60 mg/L", "chloride": "30 mg/L", "sulfate": "40 mg/L",
            "alkalinity": "120 mg/L as CaCO3", "free_chlorine": free, "total_chlorine": total
        }],
        "hot_liquor_tank": {"fill": "1500 L", "temperature": "78 °C"},
        "grist": [{"malt": "pale ale malt", "mass": "190 kg"}],
        "mash": {"liquor": "560 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C"},
        "sparge": {"liquor": "760 L", "liquor_temperature": "78 °C"},
        "targets": {"sulfate": "0-500 mg/L", "chloride": "0-500 mg/L", "sparge_alkalinity": "0-500 mg/L as CaCO3"},
        "shelf": shelf
    })
}

fn plan(day: &Value) -> Plan {
    let day = BrewDay::from_json(&day.to_string()).expect("a day");
    day.plan().expect("a plan")
}

fn gained(plan: &Plan, key: &str) -> f64 {
    let mut lines = plan.targets.iter();
    let line = lines.find(|line| line.key == key).expect("asked for");
    line.planned.unwrap() - line.source.unwrap()
}

fn says(plan: &Plan, code: &str) -> bool {
    plan.cautions.iter().any(|caution| caution.code == code)
}

#[test]
fn chlorine_is_taken_out_of_the_tank_first_of_all() {
    let shelf = json!([
        {"reagent": "gypsum", "step": "5 g"},
        {"reagent": "potassium metabisulfite", "step": "0.5 g"}
    ]);
    let mut asked = day(&shelf, 0.3, 0.8);
    asked["targets"]["calcium"] = json!("100-200 mg/L");
    let plan = plan(&asked);
    let first = &plan.additions[0];
    assert_eq!(first.reagent, "potassium metabisulfite");
    assert_eq!((first.step, first.vessel), (1, Vessel::HotLiquorTank));
    assert_eq!(plan.additions[1].step, 2);
    // 0.8 mg/L of chlorine at 0.9982 kg/L; 222.31 g of K2S2O5 for two mol of Cl2, 141.80 g; of 96
    // %; 1.2 times that; in 1500 L of 78 °C, 0.97306 kg/L (IAPWS-95).
    let grams = 0.8 / 0.9982 * 222.31 / 141.80 / 0.96 * 1.2 * 1500.0 * 0.97306 / 1000.0;
    assert_relative_eq!(first.before_rounding, grams, max_relative = 1e-3);
    assert_eq!(first.amount, 2.5);
    assert!(says(&plan, "sulfite") && !says(&plan, "chlorine_left"));
}

#[test]
fn what_is_left_of_it_counts() {
    let shelf = json!([{"reagent": "potassium metabisulfite", "step": "0.01 g"}]);
    let plan = plan(&day(&shelf, 0.3, 0.8));
    // A mol of chlorine leaves one of sulfate and one of chloride, out of chloramine as well, and
    // with a mol of potassium from the salt takes 2 eq of alkalinity; out of chloramine 1 eq,
    // for the ammonium that it makes. The excess of 0.2 mol of bisulfite takes and gives next
    // to nothing at the end point: less than 0.1 eq.
    assert_abs_diff_eq!(
        gained(&plan, "chloride"),
        0.8 / 70.90 * 35.45,
        epsilon = 0.005
    );
    assert_abs_diff_eq!(
        gained(&plan, "sulfate"),
        0.8 / 70.90 * 96.06,
        epsilon = 0.01
    );
    let mol_per_l = 0.8 / 70.90;
    let alkalinity = gained(&plan, "sparge_alkalinity") / 50.04;
    let expected = -(2.0 * 0.3 + 0.5) / 0.8 * mol_per_l;
    assert_abs_diff_eq!(alkalinity, expected, epsilon = 0.1 * mol_per_l);
}

/// A day without a tank, with metabisulfite on a fine scale.
fn without_a_tank() -> Value {
    let shelf = json!([{"reagent": "sodium metabisulfite", "step": "0.01 g"}]);
    let mut asked = day(&shelf, 1.0, 1.0);
    asked
        .as_object_mut()
        .expect("a day")
        .remove("hot_liquor_tank");
    asked
}

#[test]
fn without_a_tank_it_goes_into_both_liquors() {
    let asked = without_a_tank();
    let both = plan(&asked).additions;
    let vessels: Vec<Vessel> = both.iter().map(|addition| addition.vessel).collect();
    assert_eq!(vessels, [Vessel::MashTun, Vessel::SpargeLiquor]);
    // By mass of water: 560 L at 74 °C, 0.97550 kg/L, and 760 L at 78 °C, 0.97306 kg/L (IAPWS-95).
    let ratio = both[1].before_rounding / both[0].before_rounding;
    assert_relative_eq!(
        ratio,
        760.0 * 0.97306 / (560.0 * 0.97550),
        max_relative = 1e-4
    );
    assert_eq!(both[0].step + 1, both[1].step);
}

#[test]
fn each_of_two_brews_wants_its_own_dose() {
    let mut asked = without_a_tank();
    let one: Vec<f64> = plan(&asked)
        .additions
        .iter()
        .map(|dose| dose.amount)
        .collect();
    asked["brews"] = json!(2);
    let two = plan(&asked).additions;
    assert!(two.iter().map(|dose| dose.amount).eq(one.iter().copied()));
    assert!(
        two.iter()
            .all(|dose| dose.times == 2 && dose.when.ends_with(", in each of 2 brews"))
    );
    // The stock must last for both.
    let once: f64 = one.iter().sum();
    for (stock, is_left) in [(2.0 * once + 0.001, false), (2.0 * once - 0.001, true)] {
        asked["shelf"][0]["stock"] = json!(stock);
        assert_eq!(says(&plan(&asked), "chlorine_left"), is_left);
    }
}

#[test]
fn chlorine_that_nothing_takes_out_is_reported() {
    let sulfite = |more: Value| {
        let mut item = json!({"reagent": "sodium metabisulfite", "step": "1 g"});
        let more = more.as_object().expect("keys").clone();
        item.as_object_mut().expect("an item").extend(more);
        json!([item])
    };
    let enough = plan(&day(&sulfite(json!({"stock": "5 g"})), 0.5, 0.5));
    assert!(!says(&enough, "chlorine_left") && enough.additions.len() == 1);
    for shelf in [
        json!([]),
        sulfite(json!({"stock": "1 g"})),
        sulfite(json!({"vessels": ["mash_tun"]})),
    ] {
        let plan = plan(&day(&shelf, 0.5, 0.5));
        assert!(says(&plan, "chlorine_left"), "{shelf}");
        assert!(plan.additions.is_empty(), "{shelf}");
    }
    let none = plan(&day(&json!([]), 0.0, 0.0));
    assert!(!says(&none, "chlorine_left"));
}

#[test]
fn ascorbic_acid_is_doubted_beside_chloramine() {
    let shelf = json!([{"reagent": "ascorbic acid", "step": "1 g"}]);
    assert!(says(&plan(&day(&shelf, 0.1, 0.5)), "chloramine_stays"));
    assert!(!says(&plan(&day(&shelf, 0.5, 0.5)), "chloramine_stays"));
}

#[test]
fn a_total_below_the_free_is_a_contradiction() {
    let error = BrewDay::from_json(&day(&json!([]), 0.5, 0.4).to_string()).expect_err("no day");
    let [problem] = error.problems.as_slice() else {
        panic!("{error}");
    };
    assert_eq!(problem.path, "sources[0].total_chlorine");
    assert_eq!(problem.code.as_str(), "contradiction");
}

#[test]
fn only_chlorine_that_is_drawn_matters() {
    let mut asked = day(&json!([]), 0.5, 0.5);
    let main = asked["sources"][0].clone();
    asked["sources"] = json!([{"name": "osmosis", "alkalinity": 10}, main]);
    let plan = plan(&asked);
    assert_eq!(plan.blend[1].share, 0.0);
    assert!(!says(&plan, "chlorine_left"));
}

#[test]
fn a_scale_too_coarse_weighs_nothing() {
    // 1.2 g are asked for: 2 g are less than twice that, 5 g are not.
    for (step, left) in [("2 g", false), ("5 g", true)] {
        let shelf = json!([{"reagent": "sodium metabisulfite", "step": step}]);
        let plan = plan(&day(&shelf, 0.5, 0.5));
        assert_eq!(says(&plan, "chlorine_left"), left, "{step}");
        assert_eq!(plan.additions.is_empty(), left, "{step}");
    }
}

#[test]
fn what_is_quick_with_chloramine_comes_first() {
    let shelf = json!([
        {"reagent": "ascorbic acid", "step": "0.1 g"},
        {"reagent": "sodium metabisulfite", "step": "0.1 g"}
    ]);
    let by = |free, total| plan(&day(&shelf, free, total)).additions[0].reagent.clone();
    assert_eq!(by(0.1, 0.5), "sodium metabisulfite");
    assert_eq!(by(0.5, 0.5), "ascorbic acid");
}

#[test]
fn readings_and_diagnoses_know_what_went_in_first() {
    let shelf = json!([
        {"reagent": "gypsum", "step": "5 g"},
        {"reagent": "lactic acid", "step": "5 mL"},
        {"reagent": "potassium metabisulfite", "step": "0.5 g"}
    ]);
    let mut asked = day(&shelf, 3.0, 3.0);
    asked["targets"] = json!({"calcium": "100-200 mg/L", "mash_ph": "5.3-5.4"});
    let read = BrewDay::from_json(&asked.to_string()).expect("a day");
    let plan = read.plan().expect("a plan");
    assert!(plan.additions.len() >= 3);
    // Every slip is with an addition of the plan, by its number.
    let checks = read.diagnostics().expect("readings");
    for fault in checks.faults() {
        if let Fault::Addition { step, name, .. } = fault {
            let place = usize::try_from(*step).expect("small") - 1;
            assert_eq!(&plan.additions[place].name, name);
        }
    }
    // Liquor as drawn is the water as it was reported: its conductivity is that of the same water
    // without chlorine.
    let cold = |plan: &Plan| {
        let mut readings = plan.readings.iter();
        let cold = readings.find(|reading| reading.what == "cold_liquor_conductivity");
        cold.expect("there is one").expected
    };
    let without = day(&json!([]), 0.0, 0.0);
    assert_abs_diff_eq!(cold(&plan), cold(&self::plan(&without)), epsilon = 1e-9);
}

#[test]
fn a_total_alone_is_taken_as_chloramine_and_reported() {
    let mut asked = day(&json!([]), 0.5, 0.5);
    asked["sources"][0]
        .as_object_mut()
        .expect("a source")
        .remove("free_chlorine");
    let reported = |plan: &Plan| {
        plan.assumptions
            .iter()
            .any(|text| text.contains("taken as chloramine"))
    };
    assert!(reported(&plan(&asked)));
    assert!(!reported(&plan(&day(&json!([]), 0.5, 0.5))));
}
