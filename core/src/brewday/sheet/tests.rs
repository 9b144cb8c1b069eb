use proptest::prelude::*;
use serde_json::{Map, Value, json};

use super::template::{Scope, filled};
use super::{NOTEBOOK, SHEET, page, sheet, words_for_keys};
use crate::brewday::{EXAMPLES, Severity, State};
use crate::error::{Code, Problem};
use crate::json;

fn told(problem: Result<String, Problem>) -> (Code, String) {
    let problem = problem.expect_err("a problem");
    assert!(!problem.read.is_empty() && !problem.expected.is_empty() && !problem.mend.is_empty());
    (problem.code, problem.path)
}

/// A plan document of a built-in day.
fn plan(day: usize) -> Value {
    serde_json::to_value(json::plan(EXAMPLES[day].1).expect("a plan")).expect("JSON")
}

/// By hand: each mark, what it becomes, and blocks inside each other.
#[test]
fn a_template_is_filled() {
    let document = json!({
        "name": "Ebb & <flow>", "step": 3, "ph": 5.4, "empty": "", "none": [], "mash": {"ph": {"low": 5.25}},
        "words": {"state": {"met": "met", "above": "ABOVE"}}, "state": "above",
        "vessels": [{"vessel": "tun", "holds": "560 L"}, {"vessel": "tank", "holds": "15 hL"}],
        "additions": [
            {"vessel": "tank", "when": "cold", "what": "a"}, {"vessel": "tank", "when": "cold", "what": "b"},
            {"vessel": "tank", "when": "hot", "what": "c"}, {"vessel": "tun", "when": "hot", "what": "d"},
            {"vessel": "tank", "when": "cold", "what": "e", "parts": [{"part": "x"}, {"part": "y"}]},
        ],
    });
    let cases = [
        ("plain } {{ unclosed", "plain } {{ unclosed"),
        ("{{name}}, {{step}}", "Ebb &amp; &lt;flow&gt;, 3"),
        ("{{ph}} {{mash.ph.low}}", "5.40 5.25"),
        ("{{word state}}", "ABOVE"),
        (
            "{{if empty}}a{{else}}b{{end}}{{if none}}a{{else}}b{{end}}{{if name}}a{{end}}{{if additions}}a{{else}}b{{end}}",
            "bbaa",
        ),
        (
            "{{each none}}a{{else}}nothing{{end}}{{each none}}a{{end}}.",
            "nothing.",
        ),
        ("{{each additions}}{{what}}{{else}}nothing{{end}}", "abcde"),
        (
            "{{each vessels where vessel is state}}a{{else}}b{{end}}",
            "b",
        ),
        (
            "{{each additions}}{{each vessels where vessel is vessel}}{{holds}};{{end}}{{end}}",
            "15 hL;15 hL;15 hL;560 L;15 hL;",
        ),
        (
            "{{each additions by vessel when}}({{what}}: {{each these}}{{what}}{{end}}){{end}}",
            "(a: ab)(c: c)(d: d)(e: e)",
        ),
        (
            "{{each additions by vessel}}({{each these by when}}[{{each these}}{{what}}{{end}}]{{end}}){{end}}",
            "([ab][c])([d])([e])",
        ),
        // A run is seen from inside other lists, and a list of an item from the item.
        (
            "{{each additions by vessel}}{{each vessels}}<{{each these where vessel is vessel}}{{what}}{{end}}>{{end}} {{end}}",
            "<><abc> <d><> <><e> ",
        ),
    ];
    for (template, page) in cases {
        assert_eq!(
            filled(template, &document).expect(page),
            *page,
            "{template}"
        );
    }
    let template = "{{each additions by what}}{{if what}}{{each vessels where vessel is vessel}}.{{end}}{{end}}{{end}}";
    assert_eq!(filled(template, &document).expect("dots"), ".....");
    let parts = "{{each steps}}{{each parts}}{{part}}{{end}};{{end}}";
    let steps = json!({"steps": [{"parts": [{"part": "x"}, {"part": "y"}]}, {"parts": []}]});
    assert_eq!(filled(parts, &steps).expect("parts"), "xy;;");
}

/// What is missing is named with its path; an item's text is never that of what lies around it.
#[test]
fn what_is_missing_is_named() {
    let document = json!({
        "name": "brew", "text": null, "state": "odd", "words": {"state": {"met": "met"}},
        "items": [{"name": "a", "key": 1}, {"key": 1}, {"name": ["c"]}, 7], "object": {"a": 1},
    });
    let cases = [
        ("{{nme}}", Code::MissingKey, "nme"),
        ("{{text}}", Code::MissingKey, "text"),
        ("{{object}}", Code::WrongType, "object"),
        ("{{object.b.c}}", Code::MissingKey, "object.b.c"),
        (
            "{{each items}}{{name}}{{end}}",
            Code::MissingKey,
            "items[1].name",
        ),
        (
            "{{each items by key}}{{each these}}{{name}}{{end}}{{end}}",
            Code::MissingKey,
            "items[1].name",
        ),
        (
            "{{each items where key is name}}{{end}}",
            Code::MissingKey,
            "items[2].key",
        ),
        (
            "{{each items where key is nme}}{{end}}",
            Code::MissingKey,
            "nme",
        ),
        (
            "{{each items}}{{if key}}{{end}}{{end}}",
            Code::MissingKey,
            "items[2].key",
        ),
        ("{{each object}}{{end}}", Code::WrongType, "object"),
        ("{{each itms}}{{end}}", Code::MissingKey, "itms"),
        ("{{each these}}{{end}}", Code::MissingKey, "these"),
        ("{{word state}}", Code::UnknownName, "state"),
        ("{{word name}}", Code::MissingKey, "words.name"),
    ];
    for (template, code, path) in cases {
        assert_eq!(
            told(filled(template, &document)),
            (code, path.to_owned()),
            "{template}"
        );
    }
    let scope = Scope::of(&document);
    for path in ["name", "object.b", "object"] {
        assert!(scope.amount(path).is_err(), "{path}");
    }
    for (amount, good) in [
        ("-1", false),
        ("0", true),
        ("1e12", true),
        ("1.1e12", false),
    ] {
        let document: Value = serde_json::from_str(&format!("{{\"a\": {amount}}}")).expect("JSON");
        assert_eq!(Scope::of(&document).amount("a").is_ok(), good, "{amount}");
    }
}

/// The document and the plan print the same, and no mark is left.
#[test]
fn a_plan_document_prints_as_its_plan() {
    for (key, day) in EXAMPLES {
        let plan = json::plan(day).expect(key);
        let printed = plan.to_sheet();
        assert_eq!(json::sheet(&plan.to_json()).as_ref(), Ok(&printed), "{key}");
        for html in [printed, plan.to_html_fragment()] {
            assert!(
                html.len() > 1000 && !html.contains("{{") && !html.contains("}}"),
                "{key}"
            );
        }
    }
}

/// Every value that the sheet shows is asked for: without it there is no sheet, and the message names it.
#[test]
fn a_key_that_is_missing_is_named_and_nothing_is_printed() {
    fn keys(value: &Value, path: &str, found: &mut Vec<String>) {
        let inner: Vec<(String, &Value)> = match value {
            Value::Object(keys) => keys
                .iter()
                .map(|(key, value)| (format!("{path}/{key}"), value))
                .collect(),
            Value::Array(items) => items
                .iter()
                .enumerate()
                .map(|(index, value)| (format!("{path}/{index}"), value))
                .collect(),
            _ => Vec::new(),
        };
        for (path, value) in inner {
            if path
                .rsplit('/')
                .next()
                .is_some_and(|key| key.parse::<usize>().is_err())
            {
                found.push(path.clone());
            }
            keys(value, &path, found);
        }
    }
    let whole = plan(0);
    let mut found = Vec::new();
    keys(&whole, "", &mut found);
    let mut refused = 0;
    let printed = sheet(whole.clone()).expect("a sheet");
    for pointer in &found {
        let (parent, key) = pointer.rsplit_once('/').expect("a key");
        let mut broken = whole.clone();
        broken
            .pointer_mut(parent)
            .and_then(Value::as_object_mut)
            .expect("an object")
            .remove(key);
        match sheet(broken) {
            // By what it is grouped, the one at the end of a run is told from the next only where both have it.
            Ok(html) => assert!(
                html == printed || ["vessel", "meter", "place", "when"].contains(&key),
                "{pointer}"
            ),
            Err(problem) => {
                let path =
                    pointer
                        .trim_start_matches('/')
                        .split('/')
                        .fold(String::new(), |path, key| match key.parse::<usize>() {
                            Ok(index) => format!("{path}[{index}]"),
                            Err(_) if path.is_empty() => key.to_owned(),
                            Err(_) => format!("{path}.{key}"),
                        });
                assert_eq!((problem.code, problem.path), (Code::MissingKey, path));
                refused += 1;
            }
        }
    }
    assert!(refused > 100, "{refused} of {}", found.len());
}

/// Every state and severity has its word; places and meters are those of the engine's lists.
#[test]
fn every_key_has_a_word() {
    let words = words_for_keys();
    let states = [State::Met, State::Below, State::Above, State::Free].map(serde_json::to_value);
    let severities = [Severity::Danger, Severity::Care, Severity::Note].map(serde_json::to_value);
    let keyed = [
        ("state", Vec::from(states)),
        ("severity", Vec::from(severities)),
    ];
    for (list, keys) in keyed {
        let count = keys.len();
        for key in keys {
            let key = key.expect("JSON");
            assert!(
                words[list][key.as_str().expect("text")].is_string(),
                "{list} {key}"
            );
        }
        assert_eq!(words[list].as_object().map(Map::len), Some(count));
    }
}

/// Other documents, other versions and no documents are refused by name.
#[test]
fn what_is_no_plan_is_refused() {
    let whole = json::plan(EXAMPLES[0].1).expect("a plan").to_json();
    let refused = |text: &str| {
        let error = json::sheet(text).expect_err(text);
        error
            .problems
            .into_iter()
            .map(|problem| (problem.code, problem.path))
            .collect::<Vec<_>>()
    };
    let one = |code, path: &str| vec![(code, path.to_owned())];
    assert_eq!(refused(EXAMPLES[0].1), one(Code::MissingKey, "document"));
    assert_eq!(
        refused("{}"),
        [
            one(Code::WrongVersion, "underlet"),
            one(Code::MissingKey, "document")
        ]
        .concat()
    );
    assert_eq!(refused("[]"), one(Code::WrongType, ""));
    assert_eq!(refused(""), one(Code::JsonSyntax, ""));
    for (from, to, code, path) in [
        (
            "\"document\":\"plan\"",
            "\"document\":\"water\"",
            Code::UnknownName,
            "document",
        ),
        (
            "\"underlet\":1",
            "\"underlet\":2",
            Code::WrongVersion,
            "underlet",
        ),
        (
            "\"name\":",
            "\"name\":\"a\",\"name\":",
            Code::Duplicate,
            "name",
        ),
        (
            "\"place\":\"mash\"",
            "\"place\":\"attic\"",
            Code::UnknownName,
            "",
        ),
        (
            "\"meter\":\"ph\"",
            "\"meter\":\"dip stick\"",
            Code::UnknownName,
            "readings[0].meter",
        ),
        (
            "\"amount\":",
            "\"amount\":-",
            Code::OutOfRange,
            "additions[0].amount",
        ),
    ] {
        let text = whole.replacen(from, to, 1);
        assert_ne!(text, whole, "{from}");
        let told = refused(&text);
        assert_eq!(told[0].0, code, "{from}");
        assert!(told[0].1.ends_with(path) && told.len() == 1, "{told:?}");
    }
}

/// Any JSON value, small.
fn any_value() -> impl Strategy<Value = Value> {
    let keys = "name|display|when|vessel|step|these|words|a";
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 40, 6, move |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            prop::collection::hash_map(keys, inner, 0..6)
                .prop_map(|keys| Value::Object(keys.into_iter().collect())),
        ]
    })
}

/// Puts a value somewhere into a document, so many levels deep.
fn replace(place: &mut Value, deep: usize, at: prop::sample::Index, with: &Value) {
    match place {
        Value::Object(keys) if deep > 0 && !keys.is_empty() => {
            let chosen = at.index(keys.len());
            let (_, inner) = keys.iter_mut().nth(chosen).expect("one of them");
            replace(inner, deep - 1, at, with);
        }
        Value::Array(items) if deep > 0 && !items.is_empty() => {
            replace(at.get_mut(items.as_mut_slice()), deep - 1, at, with);
        }
        _ => place.clone_from(with),
    }
}

/// Text without what could end a text of HTML or an attribute; a reference is all that begins with an ampersand.
fn is_escaped(html: &str) -> bool {
    let ampersands = html.split('&').skip(1);
    let mut rest = ampersands.map(|rest| {
        ["amp;", "lt;", "gt;", "quot;", "#39;"]
            .iter()
            .any(|name| rest.starts_with(name))
    });
    !html.contains(['<', '>', '"', '\'']) && rest.all(|known| known)
}

proptest! {
    /// Nothing escapes unescaped, and what was escaped reads as it was written (HTML, the five characters of its references).
    #[test]
    fn every_text_is_escaped(text in ".{0,40}|[<>&\"']{0,12}") {
        let page = filled("{{a}}{{each b}}{{c}}{{end}}", &json!({"a": text, "b": [{"c": text}]})).expect("a page");
        prop_assert!(is_escaped(&page), "{page}");
        let read = page.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&");
        prop_assert_eq!(read, text.repeat(2));
    }

    /// Whatever stands anywhere in a plan: a page, or a word of what is wrong; never a panic.
    #[test]
    fn any_document_is_printed_or_refused(day in 0..3_usize, at in any::<prop::sample::Index>(), with in any_value(), deep in 1..4_usize) {
        let mut document = plan(day);
        replace(&mut document, deep, at, &with);
        for template in [SHEET, NOTEBOOK] {
            for document in [&document, &with] {
                if let Err(problem) = page(template, document.clone()) {
                    prop_assert!(!problem.expected.is_empty());
                }
            }
        }
    }

    /// A template too may be anything that is not nested without end.
    #[test]
    fn any_template_is_filled_or_refused(marks in prop::collection::vec("[a-z ]{0,4}|\\{\\{(each|if|else|end|word|these|by|where|is|a| ){1,6}\\}\\}|\\{\\{|\\}\\}", 0..12), with in any_value()) {
        let document = json!({"a": with, "words": {"a": {}}});
        let _ = filled(&marks.concat(), &document);
    }
}
