//! A batch that a tank, a tun or a kettle does not hold is refused, by sums worked by hand; one
//! that hardly fits is warned of. All are made up, in the brewhouse of the built-in day.

use serde_json::{Value, json};
use underlet::error::Problem;
use underlet::{BrewDay, CautionCode, EXAMPLES, Plan, json};

/// Densities of water, CRC Handbook (from memory): 0.97303 kg/L at 78 °C, 0.97542 at 74 °C, 0.95840
/// at 100 °C, 0.99821 at 20 °C.
const AT_78_C: f64 = 0.97303;
const AT_74_C: f64 = 0.97542;
const BOILING: f64 = 0.95840;
const COLD: f64 = 0.99821;

/// 1500 L in the tank at 78 °C, 560 L at 74 °C on 200 kg in the tun, 760 L of sparge at 78 °C; the
/// grains keep 1 L/kg.
fn day(capacity: (&str, f64), tank_c: f64) -> Value {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    let (key, litres) = capacity;
    day["brewhouse"] = json!({"name": "Ninefold Quay", key: litres});
    day["hot_liquor_tank"] = json!({"fill": 1500, "temperature": tank_c});
    day["grist"] = json!([{"malt": "pale ale malt", "mass": "200 kg"}]);
    day["mash"] = json!({"liquor": 560, "liquor_temperature": 74, "rest_temperature": 66});
    day["sparge"] = json!({"liquor": 760, "liquor_temperature": 78});
    day
}

fn planned(capacity: (&str, f64), tank_c: f64) -> Plan {
    let day = day(capacity, tank_c).to_string();
    json::plan(&day).unwrap_or_else(|error| panic!("{error}"))
}

fn refused(capacity: (&str, f64), tank_c: f64) -> Problem {
    let day = day(capacity, tank_c).to_string();
    let mut error = json::plan(&day).expect_err("too much");
    assert_eq!(error.problems.len(), 1, "{error}");
    error.problems.swap_remove(0)
}

fn is_nearly_full(plan: &Plan) -> bool {
    let mut cautions = plan.cautions.iter();
    cautions.any(|caution| caution.code == CautionCode::NearlyFull)
}

/// Filled cold, the tank swells to `1500 · 0.99821 / 0.97303` = 1539 L at 78 °C. The tun holds `560 +
/// 0.67 · 200` = 694 L. The kettle gets 1085.7 kg of water (`560 · 0.97542`, `760 · 0.97303`, less 200)
/// of the 1285.7 kg that were let in, 1133 L boiling. With them go 84 % of the extract, `0.78 · 200` kg:
/// at 0.62 L/kg 82 L.
#[test]
fn by_hand() {
    let swollen = 1500.0 * COLD / AT_78_C;
    let mash = 560.0 + 0.67 * 200.0;
    let liquor_kg = 560.0 * AT_74_C + 760.0 * AT_78_C;
    let wort_kg = liquor_kg - 200.0;
    let wort = wort_kg / BOILING + 0.62 * 0.78 * 200.0 * wort_kg / liquor_kg;
    assert!((wort - 1214.5).abs() < 1.0, "{wort}");
    for (key, tank_c, filled, path) in [
        ("tank_capacity", 20.0, swollen, "hot_liquor_tank.fill"),
        ("tank_capacity", 78.0, 1500.0, "hot_liquor_tank.fill"),
        ("tun_capacity", 78.0, mash, "mash.liquor"),
        ("kettle_capacity", 78.0, wort, "brewhouse.kettle_capacity"),
    ] {
        // A sight glass shows no thousandth.
        let problem = refused((key, filled * 0.998), tank_c);
        assert_eq!(problem.path, path);
        assert_eq!(problem.code, "overflow");
        assert!(problem.hint.contains("capacity"), "{problem}");
        assert!(
            is_nearly_full(&planned((key, filled * 1.002), tank_c)),
            "{key}"
        );
        assert!(
            is_nearly_full(&planned((key, filled / 0.951), tank_c)),
            "{key}"
        );
        assert!(
            !is_nearly_full(&planned((key, filled / 0.949), tank_c)),
            "{key}"
        );
    }
}

#[test]
fn a_recipe_scaled_up_no_longer_fits() {
    let mut day = day(("tun_capacity", 800.0), 78.0);
    assert!(json::plan(&day.to_string()).is_ok());
    // 1.2 times 694 L.
    day["recipe_scale"] = json!(1.2);
    let error = json::plan(&day.to_string()).expect_err("too much");
    let problem = &error.problems[0];
    assert_eq!(problem.path, "mash.liquor");
    assert!(problem.found.starts_with("8.328 hL"), "{problem}");
}

#[test]
fn capacities_come_back_as_written() {
    for key in ["tank_capacity", "tun_capacity", "kettle_capacity"] {
        let day = day((key, 2000.0), 78.0);
        let read = BrewDay::from_json(&day.to_string()).expect("a day");
        let text = read.to_json().expect("a sound day");
        let written: Value = serde_json::from_str(&text).expect("JSON");
        assert_eq!(written["brewhouse"][key], json!(2000.0), "{written}");
        let again = BrewDay::from_json(&text).expect("a day");
        assert_eq!(again.brewhouse, read.brewhouse);
    }
}
