//! The same figures are the same water, whichever document states them.

use approx::assert_relative_eq;
use serde_json::{Map, Value, json};
use underlet::component::Component;
use underlet::error::InputError;
use underlet::liquor::Liquor;
use underlet::tank::TankDay;
use underlet::water_report::WaterReport;
use underlet::{BrewDay, EXAMPLES, IonFit};

type Read = fn(&Value) -> Result<Liquor, InputError>;

/// Every document that a water is read from.
const READERS: [(&str, Read); 6] = [
    ("report", |water| {
        let mut report = named(water);
        report["underlet"] = json!(1);
        WaterReport::from_json(&report.to_string())?.liquor()
    }),
    ("figures in Rust", |water| {
        let Value::Object(figures) = water else {
            panic!("an object")
        };
        let text = |value: &Value| value.as_str().map_or(value.to_string(), str::to_owned);
        let figures: Vec<(&str, String)> = figures
            .iter()
            .filter(|(key, _)| *key != "temperature")
            .map(|(key, value)| (key.as_str(), text(value)))
            .collect();
        let figures: Vec<(&str, &str)> = figures
            .iter()
            .map(|(key, text)| (*key, text.as_str()))
            .collect();
        let temperature_c = water.get("temperature").and_then(Value::as_f64);
        WaterReport {
            temperature_c,
            ..WaterReport::parse("well", &figures)?
        }
        .liquor()
    }),
    ("source of a day", |water| {
        let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
        day["sources"] = json!([named(water)]);
        Ok(BrewDay::from_json(&day.to_string())?.sources[0].liquor)
    }),
    ("source of a fit", |water| Ok(fit(water)?.source.liquor)),
    ("dilution of a fit", |water| {
        Ok(fit(water)?.dilution.expect("a dilution").liquor)
    }),
    ("supply of a tank", |water| {
        let mut supply = named(water);
        let temperature = supply["temperature"].as_f64().unwrap_or(20.0);
        supply["inlet_temperature"] = json!(temperature);
        let day = json!({
            "underlet": 1, "name": "Monday", "tank": {"capacity": 1000}, "supplies": [supply],
            "lines": [{"work": "fill", "supply": "well", "volume": 500}],
        });
        Ok(TankDay::from_json(&day.to_string())?.supplies[0]
            .supply
            .liquor)
    }),
];

fn fit(water: &Value) -> Result<IonFit, InputError> {
    let mut other = named(water);
    other["name"] = json!("other");
    let fit = json!({
        "underlet": 1, "source": named(water), "dilution": other, "volume": 100,
        "targets": {"calcium": [50, 60]}, "shelf": [{"reagent": "gypsum"}],
    });
    IonFit::from_json(&fit.to_string())
}

fn named(water: &Value) -> Value {
    let mut named: Map<String, Value> = water.as_object().expect("an object").clone();
    named.insert("name".to_owned(), json!("well"));
    Value::Object(named)
}

/// A tank closes open charge with sodium or chloride; without them every reader must agree.
fn figures_of(liquor: &Liquor) -> Vec<f64> {
    let ions = Component::ALL
        .into_iter()
        .filter(|ion| ![Component::Sodium, Component::Chloride].contains(ion))
        .map(|ion| liquor.ions.get(ion));
    ions.chain([liquor.carbon_mol_per_kg, liquor.temperature_c])
        .collect()
}

/// Waters in one notation, and the liquor they are: mg/L of an ion, and alkalinity in mg/L as
/// CaCO3.
fn waters() -> [(Value, Component, f64, f64); 8] {
    let with = |more: Value| {
        let mut water = json!({"sodium": 12, "alkalinity": "252 mg/L as CaCO3", "ph": 7.3});
        for (key, value) in more.as_object().expect("an object") {
            water[key] = value.clone();
        }
        water
    };
    [
        // Half of a detection limit, the middle of a range, its average.
        (
            with(json!({"nitrate": "<0.5"})),
            Component::Nitrate,
            0.25,
            252.0,
        ),
        (
            with(json!({"sulfate": "12–18 mg/L"})),
            Component::Sulfate,
            15.0,
            252.0,
        ),
        (
            with(json!({"sulfate": "12 to 18 mg/L, average 14"})),
            Component::Sulfate,
            14.0,
            252.0,
        ),
        (
            with(json!({"silica": "12 mg/L"})),
            Component::Silica,
            12.0,
            252.0,
        ),
        (
            with(json!({"phosphate": "2 mg/L"})),
            Component::Phosphate,
            2.0,
            252.0,
        ),
        // 10 °dH are 178.5 mg/L as CaCO3, three quarters of them calcium (the table's share): 53.6
        // mg/L.
        (
            with(json!({"hardness": "10 °dH", "conductivity": "600 µS/cm", "temperature": 12})),
            Component::Calcium,
            53.6,
            252.0,
        ),
        (
            with(json!({"alkalinity": "200-240"})),
            Component::Sodium,
            12.0,
            220.0,
        ),
        // 61.017 mg/L of bicarbonate are 50.04 as CaCO3.
        (
            json!({"sodium": 12, "bicarbonate": "61.017 mg/L", "dissolved_solids": "90 mg/L"}),
            Component::Sodium,
            12.0,
            50.04,
        ),
    ]
}

#[test]
fn the_same_figures_are_the_same_water_everywhere() {
    for (water, ion, mg_per_l, alkalinity) in waters() {
        let expected = (READERS[0].1)(&water).expect("a water");
        assert_relative_eq!(expected.component_mg_l(ion), mg_per_l, max_relative = 1e-3);
        let titrated = underlet::aqueous::titrated_alkalinity_eq_per_kg(&expected);
        let titrated = underlet::liquor::mg_per_l_caco3(titrated);
        assert_relative_eq!(titrated, alkalinity, max_relative = 1e-3);
        for (name, read) in READERS {
            let liquor = read(&water).unwrap_or_else(|error| panic!("{name}: {error}"));
            for (read, expected) in figures_of(&liquor).into_iter().zip(figures_of(&expected)) {
                assert!(
                    (read - expected).abs() <= 1e-12 * expected.abs(),
                    "{name}, {water}: {read} for {expected}"
                );
            }
        }
        let answer = underlet::json::equilibrium(&water.to_string());
        match answer {
            Ok(answer) => {
                assert_relative_eq!(answer.alkalinity, alkalinity, max_relative = 1e-3);
                assert_relative_eq!(
                    answer.total_carbon,
                    1000.0 * expected.carbon_mol_per_kg * 12.011 * 0.9982,
                    max_relative = 1e-4
                );
            }
            // A report without a pH assumes one; a question of equilibrium does not.
            Err(error) => assert_eq!(error.problems[0].path, "ph", "{error}"),
        }
    }
}

#[test]
fn the_same_figures_are_refused_everywhere() {
    let sound = json!({"sodium": 12, "alkalinity": 252, "ph": 7.3});
    for (key, value, code) in [
        ("calcium", json!("-3 mg/L"), "out_of_range"),
        ("silica", json!("12 °C"), "wrong_unit"),
        ("hardness", json!(">12 °dH"), "not_a_number"),
        ("sulfate", json!("18-12 mg/L"), "range_reversed"),
        ("conductivity", json!("NaN"), "not_finite"),
        ("bicarbonate", json!("100 mg/L"), "contradiction"),
        ("ph", json!("15"), "out_of_range"),
    ] {
        let mut water = sound.clone();
        water[key] = value;
        let of_equilibrium: (&str, Read) = ("equilibrium", |water| {
            underlet::json::equilibrium(&water.to_string()).map(|_| Liquor::default())
        });
        for (name, read) in READERS.into_iter().chain([of_equilibrium]) {
            let error = read(&water).expect_err(name);
            let problem = &error.problems[0];
            assert!(problem.path.ends_with(key), "{name}: {error}");
            assert_eq!(problem.code.as_str(), code, "{name}: {error}");
        }
    }
}
