//! The bench of a `water-report` document, and what the water document says of today and of
//! mistakes.

use crate::common::dice::Dice;
use crate::common::trials::trials;
use approx::assert_relative_eq;
use serde_json::{Value, json};
use underlet::json;
use underlet::water_report::{MistakeKind, Origin, Subject, Water, WaterReport};

fn document(report: &Value) -> WaterReport {
    let mut text = json!({"underlet": 1, "name": "well"});
    let parts = report.as_object().expect("an object");
    text.as_object_mut()
        .expect("an object")
        .extend(parts.clone());
    WaterReport::from_json(&text.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

fn bench(readings: &Value) -> WaterReport {
    *document(&json!({ "bench": readings }))
        .bench
        .expect("a bench")
}

/// Value and standard deviation of a bench's only entry, in the default unit of its subject.
fn only(readings: &Value) -> (Subject, f64, f64) {
    let bench = bench(readings);
    let [entry] = bench.entries.as_slice() else {
        panic!("one entry: {bench:?}");
    };
    let number = |canonical| entry.subject.in_default_unit(canonical);
    let sd = entry.sd.map_or(0.0, number);
    (entry.subject, number(entry.figure.middle()), sd)
}

fn water(report: &Value) -> Water {
    Water::of(&document(report))
}

#[test]
fn titrations_by_hand() {
    // Standard Methods 2320 B and 2340 C (from memory): mL·N·50 000 over mL of sample, mL of 0.01
    // mol/L EDTA·1000 over mL of sample, in mg/L as CaCO3; their 50 000 and 1000 are rounded
    // from 50 043 and 1000.9.
    let (subject, alkalinity, sd) = only(
        &json!({"alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "18.4 mL"}}),
    );
    assert_eq!(subject, Subject::Alkalinity);
    assert_relative_eq!(alkalinity, 184.0, max_relative = 1e-3);
    // A drop of 0.05 mL is 0.5 mg/L; 1 % of the strength 1.84, 0.5 % of the sample 0.92.
    let by_hand = (0.25_f64 + 1.84 * 1.84 + 0.92 * 0.92).sqrt();
    assert_relative_eq!(sd, by_hand, max_relative = 2e-3);
    let (subject, hardness, _) = only(
        &json!({"hardness_titration": {"sample": 50, "edta": "10 mmol/L", "used": "16.2 mL"}}),
    );
    assert_eq!(subject, Subject::Hardness);
    assert_relative_eq!(hardness, 324.0, max_relative = 1.1e-3);
    // 14 drops of 1 °dH, 17.85 mg/L as CaCO3: between 13 and 14 of them.
    let (_, counted, _) = only(&json!({"hardness_drops": {"drops": 14, "per_drop": "1 °dH"}}));
    assert_relative_eq!(counted, 13.5 * 17.848, max_relative = 1e-4);
    let (subject, counted, _) = only(&json!({"alkalinity_drops": {"drops": 9, "per_drop": 20}}));
    assert_eq!(subject, Subject::Alkalinity);
    assert_relative_eq!(counted, 170.0, max_relative = 1e-12);
}

#[test]
fn gran_by_hand() {
    // 100 mL of 2.4 meq/L without carbonate, 0.02 eq/L acid: equivalence at 12 mL; the acid beyond
    // it is 0.02·(V − 12)/(100 + V) eq/L, and 2.4 meq/L are 2.4·50.043 mg/L as CaCO3.
    let readings: Vec<Value> = [13.5, 14.0, 15.0, 16.0, 17.0]
        .iter()
        .map(|volume: &f64| {
            let ph = -(0.02 * (volume - 12.0) / (100.0 + volume)).log10();
            json!({"used": volume, "ph": ph})
        })
        .collect();
    let (_, alkalinity, sd) = only(
        &json!({"gran_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "readings": readings}}),
    );
    assert_relative_eq!(alkalinity, 2.4 * 50.0435, max_relative = 1e-5);
    // The plot is exact, so what is left is strength and sample.
    let by_hand = (0.01_f64 * 0.01 + 0.005 * 0.005).sqrt() * alkalinity;
    assert_relative_eq!(sd, by_hand, max_relative = 1e-6);
}

#[test]
fn a_bench_is_written_back() {
    let report = document(&json!({
        "calcium": "80 mg/L",
        "bench": {
            "temperature": "11 °C",
            "alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "18.4 mL"},
            "conductivity": {"value": 520, "sd": 5},
            "ph": "7.60",
        },
    }));
    let again = WaterReport::from_json(&report.to_json()).expect("a document");
    let (one, other) = (
        report.bench.expect("a bench"),
        again.bench.expect("a bench"),
    );
    assert_eq!(one.temperature_c, other.temperature_c);
    assert_eq!(one.entries.len(), other.entries.len());
    for (one, other) in one.entries.iter().zip(&other.entries) {
        assert_eq!(one.subject, other.subject);
        let (figures, sds) = (
            [one.figure.middle(), other.figure.middle()],
            [one.sd, other.sd].map(Option::unwrap_or_default),
        );
        assert_relative_eq!(figures[0], figures[1], max_relative = 1e-9);
        assert_relative_eq!(sds[0], sds[1], max_relative = 1e-9);
    }
}

#[test]
fn the_document_says_what_the_reconciliation_says() {
    let reported = json!({
        "calcium": "80 mg/L", "magnesium": "10 mg/L", "chloride": "40 mg/L", "sulfate": "60 mg/L",
        "alkalinity": "190 mg/L as CaCO3",
        "bench": {"temperature": "12 °C", "alkalinity": "160 mg/L as CaCO3", "ph": 7.5},
    });
    let report = document(&reported);
    let today = report
        .reconcile(report.bench.as_deref().expect("a bench"))
        .expect("a water");
    let shown = Water::of(&report).reconciled.expect("today's water");
    let of = |key: &str| {
        let mut estimates = shown.estimates.iter();
        estimates
            .find(|estimate| estimate.key == key)
            .expect("one")
            .clone()
    };
    let calcium = of("calcium");
    let ion = underlet::component::Component::Calcium;
    let liquor = ion.mg_per_l(today.liquor.ions.get(ion));
    assert_relative_eq!(calcium.value, liquor, max_relative = 1e-9);
    assert!(calcium.is_measured && calcium.interval_95[0] < calcium.value);
    assert!(!of("sodium").is_measured);
    assert_relative_eq!(of("ph").value, today.ph.value, max_relative = 1e-9);
    assert_relative_eq!(
        of("alkalinity").sd,
        Subject::Alkalinity.in_default_unit(today.titrated_alkalinity_eq_per_kg.sd),
        max_relative = 1e-9
    );
    assert_eq!(shown.temperature_c, 12.0);
    assert_relative_eq!(shown.chi_square, today.chi_square, max_relative = 1e-9);
    assert_eq!(shown.measurements.len(), today.measurements.len());
    let worst = shown.disagreement.expect("a worst");
    let measured = shown.measurements.iter();
    let most = measured
        .filter(|one| one.origin != Origin::Usual)
        .filter_map(|one| one.standardised)
        .fold(0.0, |most: f64, one| most.max(one.abs()));
    assert_relative_eq!(worst.standardised.abs(), most, max_relative = 1e-9);
}

#[test]
fn a_bench_that_is_five_deviations_off_is_named() {
    let water = water(&json!({
        "sampled": "2026-03-30", "today": "2026-03-31",
        "calcium": "80 mg/L", "magnesium": "10 mg/L", "sodium": "18 mg/L", "chloride": "40 mg/L", "sulfate": "60 mg/L",
        "alkalinity": "170 mg/L as CaCO3", "conductivity": "520 µS/cm", "ph": 7.5,
        "bench": {"alkalinity": {"value": 260, "unit": "mg/L as CaCO3", "sd": 4}},
    }));
    let today = water.reconciled.expect("today's water");
    let worst = today.disagreement.expect("a worst");
    assert_eq!((worst.origin, &*worst.key), (Origin::Bench, "alkalinity"));
    assert!(worst.probability < 0.01);
    assert!(
        today.text.contains("alkalinity at the bench"),
        "{}",
        today.text
    );
}

#[test]
fn what_cannot_be_computed_is_reported() {
    let nothing = water(&json!({"ph": 7.2}));
    assert_eq!(nothing.reconciled, None);
    let words = nothing.reconciliation_error.expect("words");
    assert!(
        words.contains("neither the report nor the bench"),
        "{words}"
    );
    assert_eq!(water(&json!({"calcium": 80})).reconciliation_error, None);
}

#[test]
fn a_bench_lacks_no_ions_but_its_chlorine_is_reported() {
    let water =
        water(&json!({"calcium": 80, "bench": {"free_chlorine": "0.3 mg/L", "conductivity": 500}}));
    let codes: Vec<_> = water
        .bench
        .expect("a bench")
        .findings
        .iter()
        .map(|f| f.code.as_str())
        .collect();
    assert_eq!(codes, ["chlorine_to_remove"]);
}

/// A balanced water whose sulfate, 240 mg/L, stands there as sulfur: 80.
fn mistaken(sulfate: &str) -> Value {
    json!({
        "calcium": "120 mg/L", "magnesium": "20 mg/L", "sodium": "38 mg/L", "chloride": "50 mg/L", "sulfate": sulfate,
        "alkalinity": "150 mg/L as CaCO3",
    })
}

#[test]
fn a_mistaken_basis_is_proposed_with_its_evidence() {
    let water = water(&mistaken("80 mg/L"));
    let first = water.mistakes.first().expect("a proposal");
    assert_eq!(first.kind, MistakeKind::SulfurReadAsSulfate);
    // Molar masses: 96.056 over 32.06.
    let change = &first.changes[0];
    assert_eq!((&*change.key, change.read), ("sulfate", 80.0));
    assert_relative_eq!(change.undone, 80.0 * 96.056 / 32.06, max_relative = 1e-4);
    assert!(first.balance_undone_percent.abs() < 2.0 && first.balance_percent > 15.0);
    assert!(
        first
            .text
            .starts_with("Sulfate as S, read as SO4? Then sulfate 240 mg/L instead of 80"),
        "{}",
        first.text
    );
    // Posterior odds are the product of what the checks say and what was believed before.
    let evidence: f64 = first
        .evidence
        .iter()
        .map(|gain| gain.times_likelier)
        .product();
    assert!(evidence > first.odds && first.odds > 1.0);
    // Nothing is changed: today's sulfate still is what was written, as far as the others let it
    // be.
    assert_eq!(
        water
            .entries
            .iter()
            .find(|e| e.key == "sulfate")
            .expect("one")
            .value,
        80.0
    );
}

#[test]
fn a_unit_that_is_written_out_is_not_doubted() {
    // As S it is 240 mg/L of sulfate, and balances.
    assert_eq!(water(&mistaken("80 mg/L as S")).mistakes, []);
    // Moles have no basis; equivalents are no milligrams, degrees neither.
    for sulfate in ["0.83 mmol/L", "1.67 meq/L"] {
        let kinds: Vec<_> = water(&mistaken(sulfate))
            .mistakes
            .iter()
            .map(|m| m.kind)
            .collect();
        assert!(
            !kinds.contains(&MistakeKind::SulfurReadAsSulfate),
            "{sulfate}: {kinds:?}"
        );
        assert!(
            !kinds.contains(&MistakeKind::MilliequivalentsReadAsMilligrams),
            "{sulfate}: {kinds:?}"
        );
    }
    let degrees = water(
        &json!({"calcium": "100 mg/L", "magnesium": "20 mg/L", "sodium": 10, "chloride": 20, "sulfate": 40, "hardness": "2 °dH", "alkalinity": "1 °dKH"}),
    );
    let kinds: Vec<_> = degrees.mistakes.iter().map(|m| m.kind).collect();
    assert!(
        !kinds.contains(&MistakeKind::GermanDegreesReadAsMilligrams),
        "{kinds:?}"
    );
}

#[test]
fn the_answer_is_the_same_bytes_again() {
    let text = json!({"underlet": 1, "name": "well", "calcium": 80, "bench": {"ph": 7.5, "alkalinity": 150}}).to_string();
    let once = json::water(&text).expect("a water").to_json();
    assert_eq!(json::water(&text).expect("a water").to_json(), once);
    assert!(once.contains("\"reconciled\":{"));
}

/// Every number of a document is one: what is no number JSON writes as null, which only optional
/// keys may be.
fn assert_numbers(value: &Value, path: &str) {
    const MAY_BE_NULL: [&str; 14] = [
        "id",
        "note",
        "sampled",
        "age_days",
        "temperature_c",
        "low",
        "high",
        "below",
        "sd",
        "meq_per_l",
        "bench",
        "reconciled",
        "reconciliation_error",
        "disagreement",
    ];
    match value {
        Value::Object(parts) => {
            for (key, part) in parts {
                let may_be_null = MAY_BE_NULL.contains(&key.as_str())
                    || ["standardised", "conductivity_25c_us_per_cm"].contains(&key.as_str());
                assert!(!part.is_null() || may_be_null, "{path}.{key}");
                assert_numbers(part, &format!("{path}.{key}"));
            }
        }
        Value::Array(items) => {
            for item in items {
                assert!(!item.is_null(), "{path}");
                assert_numbers(item, path);
            }
        }
        _ => {}
    }
}

#[test]
fn whatever_is_read_at_random_the_answer_is_numbers() {
    let mut dice = Dice::new(11);
    let keys: Vec<Subject> = Subject::all().collect();
    let count = trials(40, 150);
    let mut reported = 0;
    for _ in 0..count {
        let mut parts = |probability: f64, of: &dyn Fn(Subject) -> bool| {
            let mut written = serde_json::Map::new();
            for subject in keys.iter().filter(|subject| of(**subject)) {
                if dice.chance(probability) {
                    let high = subject.quantity().high;
                    let number = match dice.pick(4) {
                        0 => json!(0),
                        1 => json!(format!("<{}", dice.magnitude(1e-3, high))),
                        2 => {
                            json!({"value": dice.magnitude(1e-6, high), "sd": dice.magnitude(1e-6, high)})
                        }
                        _ => json!(dice.magnitude(1e-3, high)),
                    };
                    written.insert(subject.key().to_owned(), number);
                }
            }
            written
        };
        let mut report = parts(0.4, &|_| true);
        let at_bench = |subject| {
            !matches!(
                subject,
                Subject::Component(_)
                    | Subject::Bicarbonate
                    | Subject::Carbonate
                    | Subject::DissolvedSolids
            )
        };
        report.insert("bench".to_owned(), Value::Object(parts(0.4, &at_bench)));
        report.insert("underlet".to_owned(), json!(1));
        report.insert("name".to_owned(), json!("any"));
        let text = Value::Object(report).to_string();
        let water = match json::water(&text) {
            Ok(water) => water,
            Err(error) => panic!("{error}\n{text}"),
        };
        let document: Value = serde_json::from_str(&water.to_json()).expect("JSON");
        assert_numbers(&document, &text);
        assert_ne!(
            water.reconciled.is_some(),
            water.reconciliation_error.is_some()
        );
        reported += usize::from(water.reconciled.is_some());
    }
    assert!(
        3 * reported > count,
        "only {reported} of {count} were reconciled"
    );
}
