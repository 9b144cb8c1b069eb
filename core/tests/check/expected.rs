//! What the meters should show.

use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::liquor::Liquor;
use underlet::readings::diagnosis::MeterReading;
use underlet::{BrewDay, EXAMPLES, Meter, Place};

use super::{as_expected, pale_ale};

/// The plan predicts a mash pH with its tolerance; the check readings take both as they are, and
/// what readings are compared with has the same error bar, though it is put together from other
/// parts.
#[test]
fn the_mash_ph_is_the_plans_own() {
    for (_, text) in EXAMPLES {
        let day = BrewDay::from_json(text).expect("a day");
        let plan = day.plan().expect("a plan");
        let checks = day.diagnostics().expect("checks");
        assert_eq!(checks.readings(), plan.readings);
        let mash = plan.readings.iter().find(|one| one.what == "mash_ph");
        let mash = mash.expect("a mash");
        assert_eq!(mash.expected, plan.mash.ph);
        assert_eq!(
            mash.tolerance,
            1.959_963_984_540_054 * plan.mash.sd.unwrap()
        );
        let read = [MeterReading::at(Place::Mash, Meter::Ph, plan.mash.ph)];
        let compared = checks.diagnose(&read).expect("readings").compared;
        assert!((compared[0].expected - plan.mash.ph).abs() < 1e-9);
        assert!(
            (compared[0].sd / plan.mash.sd.unwrap() - 1.0).abs() < 1e-9,
            "{compared:?}"
        );
    }
}

/// The kettle's pH is the plan's too. Its bar is a little wider: the plan lets the meter's error of
/// the mash shrink with the rest of it as the sparge thins the wort; a meter that reads the kettle
/// brings all of its own.
#[test]
fn the_kettle_ph_is_the_plans_own() {
    let plan = pale_ale().plan().expect("a plan");
    let kettle = plan.readings.last().expect("the kettle");
    assert_eq!(kettle.what, "kettle_ph");
    assert!((kettle.expected - plan.kettle.ph).abs() < 1e-12);
    let sd = kettle.tolerance / 1.959_963_984_540_054;
    assert!(
        sd >= plan.kettle.sd.unwrap() && sd < plan.kettle.sd.unwrap().hypot(0.046),
        "{sd}"
    );
}

/// By hand. A tank of 1000 L at 20 °C holds 998.2 kg. 100 g of gypsum (172.17 g/mol, 99 %) are
/// 0.575 mol, 0.5760 mmol/kg. The equivalent conductivities of calcium and sulfate at no dilution
/// are 59.5 and 80.0 S cm²/eq (CRC Handbook): 2 × 0.5760 × 0.99705 × (59.5 + 80.0) = 160.2 µS/cm at
/// most; at the ionic strength of a tap water (some 0.01) Onsager's two forces and the pairing
/// of CaSO4 take a quarter to a third of it.
#[test]
fn gypsum_raises_conductivity_by_its_ions() {
    let text = r#"{
        "underlet": 1, "name": "by hand", "brewhouse": "Ninefold Quay",
        "sources": [{ "name": "well", "calcium": 60, "sodium": 23, "chloride": 35.5, "alkalinity": "150 mg/L as CaCO3", "ph": 7.5 }],
        "hot_liquor_tank": { "fill": "1000 L", "temperature": "20 °C" },
        "grist": [{ "malt": "pale ale malt", "mass": "100 kg" }],
        "mash": { "liquor": "400 L", "liquor_temperature": "20 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "500 L", "liquor_temperature": "20 °C" },
        "targets": { "sulfate": { "low": 55, "high": 55 } },
        "shelf": [{ "reagent": "gypsum", "step": "100 g" }]
    }"#;
    let day = BrewDay::from_json(text).expect("a day");
    let plan = day.plan().expect("a plan");
    assert_eq!(plan.additions.len(), 1);
    assert_eq!(plan.additions[0].amount, 100.0);
    let of = |what: &str| {
        let mut readings = plan.readings.iter();
        readings
            .find(|one| one.what == what)
            .expect("predicted")
            .expected
    };
    let rise = of("tank_conductivity") - of("cold_liquor_conductivity");
    assert!(rise > 160.2 * 0.6 && rise < 160.2 * 0.8, "{rise}");
}

/// The liquor as drawn shows what its equilibrium shows, by the room that PHREEQC and handbooks
/// hold: nothing is added here.
#[test]
fn liquor_as_drawn_is_the_source_itself() {
    let day = pale_ale();
    let source: Liquor = day.sources[0].liquor;
    let state = Aqueous::at(20.0).closed(&source).expect("a water");
    let expected = day.plan().expect("a plan").readings;
    assert_eq!(expected[0].what, "cold_liquor_ph");
    assert_eq!(expected[0].expected, state.ph);
    assert!((expected[0].expected - 7.3).abs() < 1e-9, "as reported");
    assert_eq!(expected[1].what, "cold_liquor_conductivity");
    assert_eq!(expected[1].expected, state.conductivity_25c_us_per_cm());
    assert!(source.ions.get(Component::Calcium) > 0.0);
}

/// Temperatures by hand: a vessel is set to 1 K, a sound thermometer is good to 0.5 K and repeats
/// to 0.2 K, so the bar is 1.95996 × √(1 + 0.25 + 0.04) = 2.226 K.
#[test]
fn temperatures_are_those_of_the_day() {
    let expected = pale_ale().plan().expect("a plan").readings;
    let temperatures: Vec<(&str, f64)> = expected
        .iter()
        .filter(|one| one.unit == "°C")
        .map(|one| (one.what.as_str(), one.expected))
        .collect();
    let wanted = [
        ("tank_temperature", 78.0),
        ("mash_liquor_temperature", 74.0),
        ("mash_temperature", 66.0),
        ("sparge_liquor_temperature", 78.0),
    ];
    assert_eq!(temperatures, wanted);
    let tank = expected.iter().find(|one| one.what == "tank_temperature");
    assert!((tank.expect("a tank").tolerance - 2.226).abs() < 5e-4);
}

/// A day without a tank has no tank reading, and all that is predicted can be read.
#[test]
fn only_vessels_of_the_day_are_predicted() {
    let day = BrewDay::from_json(EXAMPLES[1].1).expect("a day");
    assert!(day.tank.is_none());
    let checks = day.diagnostics().expect("checks");
    let keys: Vec<&str> = checks
        .readings()
        .iter()
        .map(|one| one.what.as_str())
        .collect();
    assert!(!keys.iter().any(|key| key.starts_with("tank")), "{keys:?}");
    assert_eq!(as_expected(&checks).len(), checks.readings().len());
}

/// Text, notebook and sheet show every reading of the plan, where and by which meter, in the order
/// of work, and what it means if it is not as expected; there is room to write each in.
#[test]
fn every_face_of_a_plan_shows_every_reading() {
    for (_, text) in EXAMPLES {
        let plan = BrewDay::from_json(text)
            .expect("a day")
            .plan()
            .expect("a plan");
        let (text, sheet) = (plan.to_text(), plan.to_html());
        let faces = [text.as_str(), &sheet, &plan.to_html_fragment()];
        let places: Vec<Place> = plan.readings.iter().map(|one| one.place).collect();
        assert!(places.is_sorted(), "{places:?}");
        assert_eq!(text.matches("read: ______").count(), plan.readings.len());
        for reading in &plan.readings {
            assert_eq!(reading.unit, reading.meter.unit());
            for face in faces {
                let round = format!("{}, {}", reading.place.label(), reading.when);
                let at = face.find(&round).expect("where and when");
                assert!(face[at..].contains(&reading.display), "{}", reading.what);
            }
            let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
            // Doses by reading say what to do about a first reading of the mash.
            let correction = plan.mash.correction.as_ref();
            let doses = correction.filter(|one| one.place == reading.place);
            if let Some(doses) = doses.filter(|_| reading.what == "mash_first_ph") {
                assert!(text.contains("still due") && text.contains(&doses.name));
                assert!(sheet.contains(&doses.display), "{}", doses.display);
            } else {
                let is_said = words(&text).contains(&reading.otherwise);
                assert!(is_said, "{}", reading.what);
                assert!(sheet.contains(&reading.otherwise), "{}", reading.what);
            }
        }
    }
}

/// Totals by hand: the pale ale takes acid at two places, and its liquor is all that is drawn.
#[test]
fn totals_are_sums_over_the_brew() {
    let plan = pale_ale().plan().expect("a plan");
    let text = plan.to_text();
    let total = text.split("In all: ").nth(1).expect("totals");
    let total: String = total
        .split("Water before and after")
        .next()
        .expect("the end")
        .into();
    let total = total.split_whitespace().collect::<Vec<_>>().join(" ");
    for addition in &plan.additions {
        assert!(total.contains(&addition.name), "{total}");
    }
    let litres: f64 = plan.blend.iter().map(|part| part.volume_l).sum();
    assert!(
        total.starts_with(&format!("liquor {litres:.0} L at 20 °C")),
        "{total}"
    );
}
