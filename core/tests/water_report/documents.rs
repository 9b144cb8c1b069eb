//! `water-report` documents: every form of a figure, all problems at once, and back.

use proptest::prelude::*;
use serde_json::{Value, json};
use underlet::DocumentKind;
use underlet::water_report::{Entry, Figure, Subject, WaterReport};

fn read(key: &str, value: &Value) -> Result<Entry, Vec<(String, String)>> {
    let text = json!({"underlet": 1, "name": "well", key: value}).to_string();
    WaterReport::from_json(&text)
        .map(|report| report.entries[0].clone())
        .map_err(|error| {
            let reported = error.problems.into_iter();
            reported
                .map(|problem| (problem.code.to_string(), problem.path))
                .collect()
        })
}

#[test]
fn every_form_of_a_figure() {
    for (value, written) in [
        (json!(12), "12 mg/L"),
        (json!(12.5), "12.5 mg/L"),
        (json!("12.50"), "12.50 mg/L"),
        (json!("<0.5 mg/L"), "<0.5 mg/L"),
        (json!({"value": 12, "unit": "mg/L as N"}), "12 mg/L as N"),
        (
            json!({"value": "12.0", "unit": "mg/L", "sd": 0.5}),
            "12.0 mg/L (sd 0.5)",
        ),
        (json!({"value": "<0.5", "unit": "mg/L"}), "<0.5 mg/L"),
        (json!({"value": "n.d.", "unit": "mg/L", "sd": null}), "n.d."),
        (
            json!({"low": 12, "high": 18, "unit": "mg/L"}),
            "12 to 18 mg/L",
        ),
        (
            json!({"low": "12 mg/L", "high": "18 mg/L", "average": 15}),
            "12 to 18 mg/L, average 15",
        ),
        (
            json!({"low": "<1", "high": 18, "value": 4.5, "unit": "mg/L"}),
            "<1.0 to 18.0 mg/L, average 4.5",
        ),
    ] {
        assert_eq!(
            read("nitrate", &value).map(|entry| entry.write()),
            Ok(written.to_owned()),
            "{value}"
        );
    }
    let entry = read("total_chlorine", &json!({"value": 0.3, "sd": 0.1})).unwrap();
    // Chlorine is kept in mg/L.
    assert!((entry.figure.middle() - 0.3).abs() < 1e-12);
    assert!((entry.sd.unwrap() - 0.1).abs() < 1e-12);
}

#[test]
fn what_cannot_be_read_is_reported_with_its_place() {
    for (value, reported) in [
        (json!("plenty"), [("not_a_number", "nitrate")].as_slice()),
        (json!(true), &[("wrong_type", "nitrate")]),
        (json!([12, 18]), &[("wrong_type", "nitrate")]),
        (json!({}), &[("missing_key", "nitrate")]),
        (json!({"low": 12}), &[("missing_key", "nitrate")]),
        (
            json!({"value": 1, "low": 12, "high": 18, "average": 15}),
            &[("missing_key", "nitrate")],
        ),
        (
            json!({"low": 18, "high": 12}),
            &[("range_reversed", "nitrate")],
        ),
        (
            json!({"low": 12, "high": 18, "average": 20}),
            &[("contradiction", "nitrate")],
        ),
        (
            json!({"value": 12, "unit": "firkins"}),
            &[("wrong_unit", "nitrate.value")],
        ),
        (
            json!({"value": 12, "unit": 3}),
            &[("wrong_type", "nitrate.unit")],
        ),
        (
            json!({"value": 12, "sd": "<1"}),
            &[("wrong_type", "nitrate.sd")],
        ),
        (
            json!({"low": true, "high": "12-18"}),
            &[
                ("wrong_type", "nitrate.low"),
                ("wrong_type", "nitrate.high"),
            ],
        ),
        (
            json!({"valu": 12, "value": -3}),
            &[
                ("unknown_key", "nitrate.valu"),
                ("out_of_range", "nitrate.value"),
            ],
        ),
    ] {
        let problems = read("nitrate", &value).unwrap_err();
        let problems: Vec<_> = problems
            .iter()
            .map(|(code, path)| (code.as_str(), path.as_str()))
            .collect();
        assert_eq!(problems, reported, "{value}");
    }
}

#[test]
fn days_give_an_age() {
    let report = |sampled: Value, today: Value| {
        let text = json!({"underlet": 1, "name": "well", "sampled": sampled, "today": today});
        WaterReport::from_json(&text.to_string())
    };
    let age = |sampled, today| report(sampled, today).unwrap().age_days;
    // 2024 has a leap day: 366 days.
    assert_eq!(age(json!("2024-01-01"), json!("2025-01-01")), Some(366.0));
    assert_eq!(age(json!("2024-01-01"), Value::Null), None);
    assert_eq!(age(json!("2025-01-02"), json!("2025-01-01")), None);
    let error = report(json!("2025-02-30"), json!(20_250_101)).unwrap_err();
    let reported: Vec<_> = error
        .problems
        .iter()
        .map(|problem| (problem.code.as_str(), problem.path.as_str()))
        .collect();
    assert_eq!(
        reported,
        [("not_a_date", "sampled"), ("wrong_type", "today")]
    );
}

#[test]
fn the_schema_is_drawn_by_the_reader() {
    let schema = underlet::json::schema_of(DocumentKind::WaterReport);
    let properties = schema["properties"].as_object().unwrap();
    for subject in Subject::all() {
        assert!(properties.contains_key(subject.key()), "{subject:?}");
    }
    assert_eq!(schema["required"], json!(["underlet", "name"]));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// A whole report, figures in all shapes, comes back from its own document the same.
    #[test]
    fn a_report_comes_back_the_same(amounts in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..5, 100_u32..900), 1..20)) {
        let subjects: Vec<Subject> = Subject::all().collect();
        let mut document = json!({"underlet": 1, "name": "well", "note": "tap", "sampled": "2025-05-02", "temperature": 11.5});
        for (which, shape, tenths) in amounts {
            let subject = subjects[which.index(subjects.len())];
            let number = f64::from(tenths) / 100.0;
            document[subject.key()] = match shape {
                0 => json!(number),
                1 => json!(format!("<{number}")),
                2 => json!("n.d."),
                3 => json!({"low": number, "high": number + 1.25, "average": number + 0.5}),
                _ => json!({"value": number, "sd": 0.25}),
            };
        }
        let report = WaterReport::from_json(&document.to_string()).unwrap();
        let back = WaterReport::from_json(&report.to_json()).unwrap();
        prop_assert_eq!(back.to_json(), report.to_json());
        prop_assert_eq!(back.entries.len(), report.entries.len());
        for (was, is) in report.entries.iter().zip(&back.entries) {
            prop_assert_eq!(was.notation, is.notation);
            let (was, is) = (was.figure, is.figure);
            prop_assert!((was.middle() - is.middle()).abs() <= 1e-12 * was.middle());
            prop_assert_eq!(matches!(was, Figure::Below(_)), matches!(is, Figure::Below(_)));
        }
        // Whatever is odd about it is reported without fail, and in finite numbers.
        let water = underlet::water_report::Water::of(&report).to_json();
        prop_assert!(!water.contains("NaN") && !water.contains("\"value\":null"));
    }
}
