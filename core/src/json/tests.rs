//! Documents as brewers write them, whole and with mistakes.

use serde_json::{Value, json};

use super::*;
use crate::error::{ErrorCode, Problem};
use crate::quantity::{
    ALKALINITY, Amount, BareAmount, ION, LIQUOR_VOLUME, MALT_MASS, MASH_PH, Range, SCALE_STEP,
    Strength, Substance, TEMPERATURE,
};

const CALCIUM: Substance<'static> = Substance {
    formula: "Ca",
    molar_mass_g_per_mol: 40.078,
    charge: 2,
};
const KINDS: &[Name<'static>] = &[
    ("pale ale malt", &["pale ale"]),
    ("crystal malt", &["caramel malt"]),
    ("roasted barley", &[]),
];

#[derive(Debug, PartialEq)]
struct Day {
    name: String,
    volume_l: f64,
    sources: Vec<(String, Option<f64>, Option<f64>)>,
    grist: Vec<(usize, f64)>,
    mash_ph: Option<Range>,
    calcium: Option<Range>,
    step: Option<Amount>,
    strength: Option<Strength>,
    sealed: bool,
    holds_c: Vec<f64>,
}

/// A small document with every kind of key.
fn day(r: &mut ObjectReader<'_>) -> Option<Day> {
    r.version("underlet", 1);
    r.describe("name", "What the brew is called.");
    let name = r.text("name");
    let volume = r.quantity("volume", &LIQUOR_VOLUME);
    let sources = r.list("sources", 1, 4, |r| {
        let name = r.text("name");
        let calcium = r.optional_concentration("calcium", &ION, &CALCIUM);
        let alkalinity = r.optional_quantity("alkalinity", &ALKALINITY);
        Some((name?, calcium, alkalinity))
    });
    let grist = r.list("grist", 0, 12, |r| {
        let kind = r.choice("kind", KINDS);
        let mass = r.quantity("mass", &MALT_MASS);
        Some((kind?, mass?))
    });
    let targets = r.optional_object("targets", |r| {
        let ph = r.optional_range("mash_ph", &MASH_PH, &Substance::NONE);
        let calcium = r.optional_range("calcium", &ION, &CALCIUM);
        Some((ph, calcium))
    });
    let step = r.optional_amount("step", &SCALE_STEP, BareAmount::Grams);
    let strength = r.optional_strength("strength");
    let sealed = r.optional_flag("sealed").unwrap_or(false);
    let holds_c = r.quantities("holds", &TEMPERATURE, 0, 3);
    if sources.len() == 3 {
        r.problem(
            "sources",
            ErrorCode::Contradiction,
            "three sources",
            "two",
            "Drop one.",
        );
    }
    let (mash_ph, calcium) = targets.unwrap_or((None, None));
    Some(Day {
        name: name?,
        volume_l: volume?,
        sources,
        grist,
        mash_ph,
        calcium,
        step,
        strength,
        sealed,
        holds_c,
    })
}

fn problems(text: &str) -> Vec<Problem> {
    read(text, day).expect_err(text).problems
}

const WHOLE: &str = r#"{
    "underlet": 1, "name": "Quay bitter", "volume": "6.5 hL",
    "sources": [{"name": "mains", "calcium": "80.156 mg/L", "alkalinity": {"value": 50.043, "unit": "mg/L as CaCO3"}}, {"name": "rain", "calcium": null}],
    "grist": [{"kind": "Pale_Ale-Malt", "mass": 175}, {"kind": "caramel malt", "mass": "12 kg"}],
    "targets": {"mash_ph": [5.3, "5.5"], "calcium": {"low": "1 mmol/L", "prefer": {"value": "2", "unit": "mmol/L"}}},
    "step": "0.1 g", "strength": 80, "sealed": true, "holds": [65, "72 °C"]
}"#;

#[test]
fn a_whole_document_is_read() {
    let day = read(WHOLE, day).unwrap();
    // 1 mmol/L is 1/0.9982 mmol per kg of water (Wagner & Pruss 2002).
    let mmol = 1e-3 / 0.9982;
    let near = |read: Option<f64>, expected: f64| {
        approx::assert_relative_eq!(read.unwrap(), expected, max_relative = 1e-12);
    };
    assert_eq!((day.name.as_str(), day.volume_l), ("Quay bitter", 650.0));
    near(day.sources[0].1, 2.0 * mmol);
    near(day.sources[0].2, mmol);
    assert_eq!(day.sources[1], ("rain".to_owned(), None, None));
    assert_eq!(day.grist, [(0, 175.0), (1, 12.0)]);
    assert_eq!(
        day.mash_ph,
        Some(Range {
            low: Some(5.3),
            high: Some(5.5),
            prefer: None
        })
    );
    let calcium = day.calcium.unwrap();
    near(calcium.low, mmol);
    near(calcium.prefer, 2.0 * mmol);
    assert_eq!(calcium.high, None);
    assert_eq!(day.step, Some(Amount::Grams(0.1)));
    assert_eq!(day.strength, Some(Strength::MassPercent(80.0)));
    assert!(day.sealed);
    assert_eq!(day.holds_c, [65.0, 72.0]);
}

#[test]
fn every_mistake_is_told_with_its_place() {
    let reported: Vec<_> = problems(
        r#"{"underlet": 2, "volume": "10 bbl", "sources": [{"name": "mains", "calcium": -1}, {"nmae": "rain"}, 7],
            "grist": [{"kind": "crystall malt", "mass": "1 L"}], "targets": {"mash_ph": ["x", 9], "calcium": {"hihg": 1, "low": 50}},
            "step": {"value": "x"}, "strength": [], "sealed": "yes", "holds": [65, 101, null], "vollume": 3}"#,
    )
    .into_iter()
    .map(|problem| (problem.path, problem.code))
    .collect();
    let expected = [
        ("underlet", ErrorCode::WrongVersion),
        ("name", ErrorCode::MissingKey),
        ("volume", ErrorCode::WrongUnit),
        ("sources[0].calcium", ErrorCode::OutOfRange),
        ("sources[1].name", ErrorCode::MissingKey),
        ("sources[1].nmae", ErrorCode::UnknownKey),
        ("sources[2]", ErrorCode::WrongType),
        ("grist[0].kind", ErrorCode::UnknownName),
        ("grist[0].mass", ErrorCode::WrongUnit),
        ("targets.mash_ph[0]", ErrorCode::NotANumber),
        ("targets.mash_ph[1]", ErrorCode::OutOfRange),
        ("targets.calcium.hihg", ErrorCode::UnknownKey),
        ("step.value", ErrorCode::NotANumber),
        ("strength", ErrorCode::WrongType),
        ("sealed", ErrorCode::WrongType),
        ("holds[1]", ErrorCode::OutOfRange),
        ("holds[2]", ErrorCode::WrongType),
        ("vollume", ErrorCode::UnknownKey),
    ];
    assert_eq!(
        reported,
        expected.map(|(path, code)| (path.to_owned(), code))
    );
}

/// A document with one key exchanged or added.
fn with(key: &str, value: Value) -> String {
    let mut document: Value = serde_json::from_str(WHOLE).unwrap();
    document[key] = value;
    document.to_string()
}

#[test]
#[rustfmt::skip]
fn single_mistakes_are_explained() {
    // Path, code and a part of what is said. By hand: what a brewer should read.
    let many: Vec<Value> = (0..13).map(|_| json!({"kind": "roasted barley", "mass": 1})).collect();
    let three: Vec<Value> = (0..3).map(|_| json!({"name": "mains"})).collect();
    for (key, value, path, code, part) in [
        ("underlet", Value::Null, "underlet", ErrorCode::WrongVersion, "Write \"underlet\": 1."),
        ("underlet", json!("1"), "underlet", ErrorCode::WrongVersion, "\"1\""),
        ("underlet", json!(1.5), "underlet", ErrorCode::WrongVersion, "format version 1"),
        ("name", Value::Null, "name", ErrorCode::MissingKey, "Write \"name\""),
        ("name", json!(7), "name", ErrorCode::WrongType, "expected text"),
        ("name", json!("  "), "name", ErrorCode::OutOfRange, "1 to 400 characters"),
        ("name", json!("x".repeat(401)), "name", ErrorCode::OutOfRange, "401 characters"),
        ("volume", Value::Null, "volume", ErrorCode::MissingKey, "liquor volume from 0.01 to 1000000 L"),
        ("volume", json!([]), "volume", ErrorCode::WrongType, "an empty list"),
        ("volume", json!(true), "volume", ErrorCode::WrongType, "found true"),
        ("volume", json!("NaN"), "volume", ErrorCode::NotFinite, "\"NaN\""),
        ("volume", json!({"value": 5, "unit": "gal"}), "volume", ErrorCode::WrongUnit, "imp gal"),
        ("volume", json!({"value": 5, "unit": 3}), "volume.unit", ErrorCode::WrongType, "\"unit\": \"text\""),
        ("volume", json!({"value": true}), "volume.value", ErrorCode::WrongType, "\"value\": number"),
        ("volume", json!({"unit": "L"}), "volume.value", ErrorCode::MissingKey, "nothing"),
        ("volume", json!({"value": 5, "units": "L"}), "volume.units", ErrorCode::UnknownKey, "the key \"units\""),
        ("volume", json!({"value": "5 L"}), "volume.value", ErrorCode::NotANumber, "\"5 L\""),
        ("volume", json!({"value": "-inf"}), "volume.value", ErrorCode::NotFinite, "\"-inf\""),
        ("volume", json!("y".repeat(500)), "volume", ErrorCode::NotANumber, "yyyy…\""),
        ("sources", json!([]), "sources", ErrorCode::EmptyList, "a list of 1 to 4 objects"),
        ("sources", Value::Null, "sources", ErrorCode::MissingKey, "Write \"sources\": [{…}]."),
        ("sources", json!({"name": "mains"}), "sources", ErrorCode::WrongType, "an object"),
        ("sources", Value::Array(three), "sources", ErrorCode::Contradiction, "Drop one."),
        ("grist", Value::Array(many), "grist", ErrorCode::TooMany, "Keep at most 12."),
        ("grist", json!([{"kind": "carmel malt", "mass": 1}]), "grist[0].kind", ErrorCode::UnknownName, "Did you mean \"crystal malt\"?"),
        ("grist", json!([{"kind": "zzz", "mass": 1}]), "grist[0].kind", ErrorCode::UnknownName, "one of: pale ale malt, crystal malt, roasted barley"),
        ("grist", json!([{"kind": 1, "mass": 1}]), "grist[0].kind", ErrorCode::WrongType, "one of"),
        ("targets", json!([]), "targets", ErrorCode::WrongType, "an object"),
        ("targets", json!({"mash_ph": [5.3]}), "targets.mash_ph", ErrorCode::WrongType, "[low, high]"),
        ("targets", json!({"mash_ph": {}}), "targets.mash_ph", ErrorCode::WrongType, "\"low\""),
        ("targets", json!({"mash_ph": {"low": "x"}}), "targets.mash_ph.low", ErrorCode::NotANumber, "Begin"),
        ("targets", json!({"mash_ph": {"low": 5.3, "high": 5.5, "prefer": 5.6}}), "targets.mash_ph", ErrorCode::Contradiction, "preferred"),
        ("targets", json!({"mash_ph": "5.3-9"}), "targets.mash_ph", ErrorCode::OutOfRange, "from 4 to 8"),
        ("targets", json!({"mash_ph": [5.3, "x"]}), "targets.mash_ph[1]", ErrorCode::NotANumber, "\"x\""),
        ("targets", json!({"mash_ph": [null, null]}), "targets.mash_ph", ErrorCode::WrongType, "a list of 2"),
        ("targets", json!({"mash_ph": [5.5, 5.3]}), "targets.mash_ph", ErrorCode::RangeReversed, "found 5.5 to 5.3"),
        ("targets", json!({"mash_ph": true}), "targets.mash_ph", ErrorCode::WrongType, "a range"),
        ("targets", json!({"mashph": 5.4}), "targets.mashph", ErrorCode::UnknownKey, "Did you mean \"mash_ph\"?"),
        ("sealed", json!(1), "sealed", ErrorCode::WrongType, "true or false"),
        ("strength", json!("1 N"), "strength", ErrorCode::WrongUnit, "Normality"),
        ("holds", json!([1, 2, 3, 4]), "holds", ErrorCode::TooMany, "a list of 0 to 3"),
        ("zzz", json!(1), "zzz", ErrorCode::UnknownKey, "use one of: underlet, name, volume"),
        ("a\nb.c", json!(1), "a b.c", ErrorCode::UnknownKey, "\"a b.c\""),
    ] {
        let reported = problems(&with(key, value.clone()));
        assert_eq!(reported.len(), 1, "{key}: {value}: {reported:?}");
        let said = reported[0].to_string();
        assert_eq!((reported[0].path.as_str(), reported[0].code), (path, code), "{said}");
        assert!(said.contains(part), "{said}\nlacks: {part}");
    }
}

#[test]
fn open_and_single_ranges_are_read() {
    for (value, expected) in [
        (
            json!("5.3 to 5.5"),
            Range {
                low: Some(5.3),
                high: Some(5.5),
                prefer: None,
            },
        ),
        (
            json!([null, 5.5]),
            Range {
                low: None,
                high: Some(5.5),
                prefer: None,
            },
        ),
        (
            json!({"low": 5.3}),
            Range {
                low: Some(5.3),
                high: None,
                prefer: None,
            },
        ),
        (
            json!({"prefer": 5.4}),
            Range {
                low: None,
                high: None,
                prefer: Some(5.4),
            },
        ),
        (json!({"value": 5.4}), Range::point(5.4)),
        (json!(5.4), Range::point(5.4)),
    ] {
        let read = read(&with("targets", json!({"mash_ph": value})), day).unwrap();
        assert_eq!(read.mash_ph, Some(expected));
    }
}

#[test]
#[rustfmt::skip]
fn what_is_not_json_is_explained() {
    // By hand; line and column count from 1, RFC 8259 says what JSON is.
    for (text, code, part) in [
        ("", ErrorCode::JsonSyntax, "Begin with {"),
        (" \n ", ErrorCode::JsonSyntax, "an empty text"),
        ("{\"a\": NaN}", ErrorCode::JsonSyntax, "JSON has no NaN"),
        ("{\"a\": Infinity}", ErrorCode::JsonSyntax, "JSON has no NaN or Infinity"),
        ("{\"a\": -Infinity}", ErrorCode::JsonSyntax, "JSON has no NaN or Infinity"),
        ("{\"a\": [1, 2,]}", ErrorCode::JsonSyntax, "Take away the comma"),
        ("{\"a\": 1,}", ErrorCode::JsonSyntax, "Take away the comma"),
        ("{\"a\": 1,\n}", ErrorCode::JsonSyntax, "Take away the comma"),
        ("{'a': 1}", ErrorCode::JsonSyntax, "double quotes, not single"),
        ("{\"a\": 'x'}", ErrorCode::JsonSyntax, "double quotes, not single"),
        ("{“a”: 1}", ErrorCode::JsonSyntax, "straight double quotes"),
        ("{\"a\": 1 // note\n}", ErrorCode::JsonSyntax, "no comments"),
        ("{ /* note */ \"a\": 1}", ErrorCode::JsonSyntax, "no comments"),
        ("# note\n{\"a\": 1}", ErrorCode::JsonSyntax, "no comments"),
        ("{\"a\": 1e999}", ErrorCode::JsonSyntax, "larger than any number"),
        ("{\"a\": 1", ErrorCode::JsonSyntax, "ends too early"),
        ("{\"a\": \"x", ErrorCode::JsonSyntax, "ends too early"),
        ("{\"a\": \"x\ny\"}", ErrorCode::JsonSyntax, "Close the quote"),
        ("{\"a\": \"\\d\"}", ErrorCode::JsonSyntax, "backslash"),
        ("{a: 1}", ErrorCode::JsonSyntax, "every key in double quotes"),
        ("{\"a\" 1}", ErrorCode::JsonSyntax, "colon"),
        ("{\"a\": 1 \"b\": 2}", ErrorCode::JsonSyntax, "comma between"),
        ("{\"a\": 1} x", ErrorCode::JsonSyntax, "Nothing may follow"),
        ("{\"a\": 01}", ErrorCode::JsonSyntax, "no leading plus"),
        ("{\"a\": +1}", ErrorCode::JsonSyntax, "no leading plus"),
        ("{\"a\": .5}", ErrorCode::JsonSyntax, "no leading plus"),
        ("{\"a\": True}", ErrorCode::JsonSyntax, "lower case"),
        ("{\"a\": None}", ErrorCode::JsonSyntax, "lower case"),
        ("{\"a\": \"\\ud800\"}", ErrorCode::JsonSyntax, "escape"),
        ("{\n  \"ä\": ?\n}", ErrorCode::JsonSyntax, "\"?\" at line 2, column"),
        ("[1]", ErrorCode::WrongType, "a list of 1"),
        ("3", ErrorCode::WrongType, "an object"),
    ] {
        let reported = problems(text);
        assert_eq!((reported.len(), reported[0].code), (1, code), "{text}: {reported:?}");
        assert!(reported[0].to_string().contains(part), "{text}: {}\nlacks: {part}", reported[0]);
    }
}

#[test]
fn keys_given_twice_are_told() {
    let text = r#"{"underlet": 1, "name": "a", "volume": 5, "volume": 6, "sources": [{"name": "a"}, {"name": "b", "name": "c"}]}"#;
    let reported: Vec<_> = problems(text)
        .into_iter()
        .map(|problem| (problem.path, problem.code))
        .collect();
    assert_eq!(
        reported,
        [
            ("volume", ErrorCode::Duplicate),
            ("sources[1].name", ErrorCode::Duplicate)
        ]
        .map(|(path, code)| (path.to_owned(), code))
    );
}

#[test]
fn texts_too_long_or_too_deep_are_refused() {
    assert_eq!(
        problems(&" ".repeat(MAX_BYTES + 1))[0].code,
        ErrorCode::TooMany
    );
    for (open, depth) in [
        ("[", MAX_DEPTH + 1),
        ("{\"a\":", MAX_DEPTH + 1),
        ("[", 100_000),
    ] {
        assert_eq!(
            problems(&open.repeat(depth))[0].code,
            ErrorCode::TooMany,
            "{open} {depth} times"
        );
    }
    let nested = format!("{}{}", "[".repeat(MAX_DEPTH), "]".repeat(MAX_DEPTH));
    assert!(parse(&nested).is_ok());
}

#[test]
fn a_flood_of_problems_is_cut_off_and_counted() {
    let keys: Vec<_> = (0..5000).map(|i| format!("\"key{i}\": 1")).collect();
    let reported = problems(&format!("{{{}}}", keys.join(",")));
    // 5000 unknown keys, and the version, name, volume and sources that are missing, of which 100
    // are reported.
    assert_eq!(reported.len(), 101);
    assert_eq!(reported[100].found, "4904 more problems");
}

#[test]
fn a_mark_of_byte_order_is_passed_over() {
    assert!(read(&format!("\u{feff}{WHOLE}"), day).is_ok());
}

#[test]
fn the_schema_tells_what_the_reader_asks() {
    let schema = schema("brew day", day);
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert_eq!(
        schema["required"],
        json!(["underlet", "name", "volume", "sources"])
    );
    assert_eq!(schema["additionalProperties"], false);
    let keys: Vec<_> = schema["properties"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    assert_eq!(
        keys,
        [
            "grist", "holds", "name", "sealed", "sources", "step", "strength", "targets",
            "underlet", "volume"
        ]
    );
    assert_eq!(
        schema["properties"]["name"]["description"],
        "What the brew is called."
    );
    assert_eq!(
        schema["properties"]["volume"]["$ref"],
        "#/$defs/liquor_volume"
    );
    assert_eq!(
        schema["properties"]["sources"]["items"]["required"],
        json!(["name"])
    );
    let volume = &schema["$defs"]["liquor_volume"]["anyOf"][0];
    assert_eq!(
        (&volume["minimum"], &volume["maximum"]),
        (&json!(0.01), &json!(1e6))
    );
    assert_every_reference_leads_somewhere(&schema, &schema["$defs"]);
}

fn assert_every_reference_leads_somewhere(value: &Value, definitions: &Value) {
    match value {
        Value::Array(items) => items
            .iter()
            .for_each(|item| assert_every_reference_leads_somewhere(item, definitions)),
        Value::Object(object) => {
            if let Some(name) = object.get("$ref").and_then(Value::as_str) {
                assert!(
                    definitions
                        .get(name.trim_start_matches("#/$defs/"))
                        .is_some(),
                    "{name}"
                );
            }
            object
                .values()
                .for_each(|inner| assert_every_reference_leads_somewhere(inner, definitions));
        }
        _ => {}
    }
}

mod properties {
    use super::*;
    use proptest::prelude::*;

    fn anything() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<f64>().prop_map(Value::from),
            (-10..1000i32).prop_map(Value::from),
            "[0-9.,<–-]{0,6} ?(mg/L|L|kg|bbl|°C)?".prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 32, 6, |inner| {
            let key = prop_oneof![
                "(underlet|name|volume|sources|grist|kind|mass|targets|mash_ph|calcium|low|high|prefer|value|unit|step|holds)",
                any::<String>(),
            ];
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..5).prop_map(Value::from),
                prop::collection::btree_map(key, inner, 0..6).prop_map(|map| map.into_iter().collect()),
            ]
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn any_text_is_read_or_refused(text in prop_oneof![any::<String>(), "[{}\\[\\]\",:0-9a-zäN'/ \n-]{0,40}"]) {
            if let Err(error) = read(&text, day) {
                prop_assert!(!error.problems.is_empty());
            }
        }

        #[test]
        fn any_json_is_read_or_refused(mut document in anything(), swap in 0..12usize, value in anything()) {
            let keys = ["underlet", "name", "volume", "sources", "grist", "targets", "step", "strength", "sealed", "holds"];
            // Either anything at all, or the whole document with one key exchanged.
            if let Some(key) = keys.get(swap) {
                document = serde_json::from_str(WHOLE).unwrap();
                document[*key] = value;
            }
            match read(&document.to_string(), day) {
                Ok(day) => prop_assert!(day.volume_l > 0.0 && day.volume_l <= 1e6),
                Err(error) => prop_assert!(!error.problems.is_empty()),
            }
        }
    }
}
