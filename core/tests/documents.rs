//! What all documents share: kinds, schemas, the head, and what users attach.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use underlet::error::{ErrorCode, InputError};
use underlet::plan::FittedIons;
use underlet::readings::diagnosis::DiagnosisDocument;
use underlet::speciation::EquilibriumDocument;
use underlet::tank::TankLedger;
use underlet::water_report::Water;
use underlet::{DocumentKind, EXAMPLES, Plan, json};

/// Each kind that people write, a document of it, and the kind of its answer.
fn inputs() -> [(DocumentKind, Value, DocumentKind); 6] {
    let day: Value = serde_json::from_str(EXAMPLES[0].1).unwrap();
    let well = json!({"name": "well", "calcium": 110, "alkalinity": 260, "ph": 7.3});
    let mut supply = well.clone();
    supply["inlet_temperature"] = json!("12 °C");
    [
        (DocumentKind::BrewDay, day.clone(), DocumentKind::Plan),
        (
            DocumentKind::WaterReport,
            json!({"underlet": 1, "name": "well", "calcium": "80 mg/L", "bench": {"ph": "7.4"}}),
            DocumentKind::Water,
        ),
        (
            DocumentKind::Readings,
            json!({
                "underlet": 1, "brew_day": day,
                "readings": [{"place": "mash", "meter": "ph", "value": "pH 5.42"}],
            }),
            DocumentKind::Diagnosis,
        ),
        (
            DocumentKind::TankDay,
            json!({
                "underlet": 1, "name": "Monday", "tank": {"capacity": "12 hL"}, "supplies": [supply],
                "lines": [
                    {"work": "fill", "supply": "well", "volume": "10 hL"},
                    {"work": "heat", "temperature": "78 °C", "duration": "3 h"},
                    {"work": "draw", "volume": "400 L", "to": "mash"},
                ],
            }),
            DocumentKind::TankLedger,
        ),
        (
            DocumentKind::IonFit,
            json!({
                "underlet": 1, "source": well, "volume": "1000 L", "targets": {"sulfate": "at least 60 mg/L"},
                "shelf": [{"reagent": "gypsum"}],
            }),
            DocumentKind::FittedIons,
        ),
        (
            DocumentKind::EquilibriumInput,
            json!({"calcium": "110 mg/L", "alkalinity": "14.6 °dH", "ph": 7.3}),
            DocumentKind::Equilibrium,
        ),
    ]
}

fn answer(kind: DocumentKind, document: &Value) -> Result<String, InputError> {
    let text = document.to_string();
    match kind {
        DocumentKind::BrewDay => json::plan(&text).map(|answer| answer.to_json()),
        DocumentKind::WaterReport => json::water(&text).map(|answer| answer.to_json()),
        DocumentKind::Readings => json::diagnose(&text).map(|answer| answer.to_json()),
        DocumentKind::TankDay => json::tank(&text).map(|answer| answer.to_json()),
        DocumentKind::IonFit => json::fit_ions(&text).map(|answer| answer.to_json()),
        DocumentKind::EquilibriumInput => json::equilibrium(&text).map(|answer| answer.to_json()),
        other => panic!("{other} is an answer"),
    }
}

/// An answer read into its type and written again.
fn written_again(kind: DocumentKind, text: &str) -> Result<String, InputError> {
    match kind {
        DocumentKind::Plan => Plan::from_json(text).map(|read| read.to_json()),
        DocumentKind::Water => Water::from_json(text).map(|read| read.to_json()),
        DocumentKind::Diagnosis => DiagnosisDocument::from_json(text).map(|read| read.to_json()),
        DocumentKind::TankLedger => TankLedger::from_json(text).map(|read| read.to_json()),
        DocumentKind::FittedIons => FittedIons::from_json(text).map(|read| read.to_json()),
        DocumentKind::Equilibrium => {
            EquilibriumDocument::from_json(text).map(|read| read.to_json())
        }
        other => panic!("{other} is no answer"),
    }
}

#[test]
fn what_a_user_attaches_comes_back_with_the_answer() {
    let own = json!({"recipe_scale": [7, 0.1, null, 1e300, u64::MAX], "note": {"x-y": true}});
    for (kind, mut document, answered) in inputs() {
        let plain = answer(kind, &document).unwrap();
        let plain: Value = serde_json::from_str(&plain).unwrap();
        assert_eq!((&plain["id"], &plain["note"]), (&json!(null), &json!(null)));
        document["document"] = json!(kind.as_str());
        document["id"] = json!("brew 2026-031");
        document["note"] = json!("tap by the door");
        document["x-own"] = own.clone();
        document["x-"] = json!(-1);
        let text = answer(kind, &document).unwrap_or_else(|error| panic!("{kind}: {error}"));
        let written: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(written["underlet"], 1);
        assert_eq!(written["engine"], env!("CARGO_PKG_VERSION"));
        assert_eq!(written["document"], answered.as_str());
        let mut expected = plain.clone();
        for key in ["id", "note", "x-own", "x-"] {
            expected[key] = document[key].clone();
        }
        assert_eq!(written, expected, "{kind}: the answer itself is the same");
        // To the byte, so that nothing is lost on the way.
        assert_eq!(
            written_again(answered, &text),
            Ok(text.clone()),
            "{answered}"
        );
        assert_eq!(json::validate(answered, &text), Ok(()));
    }
}

#[test]
fn what_users_attach_has_a_form() {
    for (kind, document, _) in inputs() {
        for (key, value, code) in [
            ("id", json!(7), ErrorCode::WrongType),
            ("note", json!(" "), ErrorCode::OutOfRange),
            ("own", json!(1), ErrorCode::UnknownKey),
            ("X-own", json!(1), ErrorCode::UnknownKey),
        ] {
            let mut document = document.clone();
            document[key] = value;
            let error = json::validate(kind, &document.to_string()).unwrap_err();
            let found: Vec<_> = error
                .problems
                .iter()
                .map(|one| (one.path.as_str(), one.code))
                .collect();
            assert_eq!(found, [(key, code)], "{kind}");
        }
    }
    let [(kind, mut day, _), ..] = inputs();
    day["sources"][0]["x-own"] = json!(1);
    let error = json::validate(kind, &day.to_string()).unwrap_err();
    assert_eq!(
        error.problems[0].path, "sources[0].x-own",
        "attached to documents alone"
    );
}

#[test]
fn no_attached_value_takes_a_key_of_the_engine() {
    let mut day = underlet::BrewDay::from_json(EXAMPLES[0].1).unwrap();
    for key in ["document", "format", "note", "X-own", ""] {
        let problem = day.attached.insert(key, json!(1)).unwrap_err();
        assert_eq!(
            (problem.code, problem.path.as_str()),
            (ErrorCode::UnknownKey, key)
        );
        assert!(problem.hint.contains(&format!("x-{key}")), "{problem}");
    }
    day.attached.insert("x-own", json!({"gyle": 1204})).unwrap();
    assert_eq!(day.attached.extra()["x-own"]["gyle"], 1204);
    let plan = day.plan().unwrap().to_json();
    assert_eq!(plan.matches("\"document\":").count(), 1);
    assert_eq!(Plan::from_json(&plan).unwrap().head.attached, day.attached);
}

#[test]
fn a_document_of_another_kind_is_refused_in_one_sentence() {
    let mut documents = Vec::new();
    for (kind, mut document, answered) in inputs() {
        documents.push((answered, answer(kind, &document).unwrap()));
        document["document"] = json!(kind.as_str());
        documents.push((kind, document.to_string()));
    }
    assert_eq!(documents.len(), DocumentKind::ALL.len());
    for expected in DocumentKind::ALL {
        for (kind, text) in &documents {
            let checked = json::validate(*expected, text);
            if kind == expected {
                assert_eq!(checked, Ok(()), "{kind}");
                continue;
            }
            let error = checked.unwrap_err();
            let [problem] = error.problems.as_slice() else {
                panic!("{kind} as {expected}: {error}");
            };
            assert_eq!(
                (problem.code, problem.path.as_str()),
                (ErrorCode::WrongDocument, "document")
            );
            assert_eq!(problem.found, format!("a \"{kind}\" document"));
            assert_eq!(problem.expected, format!("a \"{expected}\" document"));
        }
    }
}

#[test]
fn the_version_of_an_equilibrium_is_read_where_it_is_stated() {
    let water =
        |version: u32| json!({"underlet": version, "alkalinity": 180, "ph": 7.4}).to_string();
    assert!(json::equilibrium(&water(1)).is_ok());
    let error = json::equilibrium(&water(2)).unwrap_err();
    assert_eq!(error.problems[0].code, ErrorCode::WrongVersion);
}

#[test]
fn every_schema_has_a_name_and_describes_every_property() {
    let mut schemas: Vec<(&str, Value)> = DocumentKind::ALL
        .iter()
        .map(|kind| (kind.as_str(), json::schema_of(*kind)))
        .collect();
    schemas.push(("input-error", json::input_error_schema()));
    let mut ids = BTreeSet::new();
    for (name, schema) in &schemas {
        assert_eq!(
            schema["$schema"],
            "https://json-schema.org/draft/2020-12/schema"
        );
        assert_eq!(schema["$id"], format!("urn:underlet:schema:{name}:1"));
        assert_eq!(schema["title"], *name);
        assert!(ids.insert(schema["$id"].to_string()));
        let mut properties = 0;
        describes(schema, schema, name, &mut properties);
        assert!(properties > 1, "{name}: {properties}");
    }
}

/// Every property of an object says what it is, no object has other keys, and every reference leads
/// somewhere.
fn describes(schema: &Value, whole: &Value, path: &str, properties: &mut usize) {
    match schema {
        Value::Array(items) => {
            for (place, item) in items.iter().enumerate() {
                describes(item, whole, &format!("{path}[{place}]"), properties);
            }
        }
        Value::Object(keys) => {
            if let Some(Value::String(reference)) = keys.get("$ref") {
                let pointer = reference.trim_start_matches('#');
                assert!(whole.pointer(pointer).is_some(), "{path}: {reference}");
            }
            let own = keys.get("properties").and_then(Value::as_object);
            if let Some(own) = own.filter(|_| keys.get("type") == Some(&json!("object"))) {
                assert_eq!(keys["additionalProperties"], false, "{path}");
                for (key, property) in own {
                    let text = property["description"].as_str().unwrap_or_default();
                    assert!(
                        text.ends_with(['.', ')', '?', '"']),
                        "{path}.{key}: {text:?}"
                    );
                    *properties += 1;
                }
            }
            for (key, value) in keys {
                describes(value, whole, &format!("{path}.{key}"), properties);
            }
        }
        _ => {}
    }
}

/// What a schema of an answer requires is what the engine writes.
#[test]
fn answers_have_the_keys_of_their_schemas() {
    for (kind, document, answered) in inputs() {
        let written: Value = serde_json::from_str(&answer(kind, &document).unwrap()).unwrap();
        let schema = json::schema_of(answered);
        let required = schema["required"].as_array().unwrap().iter();
        let required: BTreeSet<&str> = required.filter_map(Value::as_str).collect();
        let keys = written.as_object().unwrap().keys();
        assert_eq!(
            keys.map(String::as_str).collect::<BTreeSet<_>>(),
            required,
            "{answered}"
        );
    }
}

#[test]
fn codes_are_listed_with_what_they_mean() {
    let codes: Value = serde_json::from_str(&json::codes()).unwrap();
    let lists = codes.as_object().unwrap();
    for list in [
        "error",
        "document",
        "reason",
        "caution",
        "target",
        "uncertainty_cause",
    ] {
        assert!(lists.contains_key(list), "{list}");
    }
    for (list, codes) in lists {
        let codes = codes.as_object().unwrap();
        assert!(codes.len() > 1, "{list}");
        for (code, meaning) in codes {
            let meaning = meaning.as_str().unwrap();
            assert!(
                !code.is_empty() && meaning.ends_with('.'),
                "{list}: {code}: {meaning}"
            );
        }
    }
    assert_eq!(
        codes["error"].as_object().unwrap().len(),
        ErrorCode::ALL.len()
    );
}
