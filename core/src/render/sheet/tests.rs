use std::fmt;

use askama::Template;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::error::ErrorCode;
use crate::json;
use crate::render::html::{INCOMPLETE, page};
use crate::render::order_of_work;
use crate::{EXAMPLES, Meter, Place, Plan, Severity, TargetState, Vessel};

/// The plan of a built-in day.
fn plan(day: usize) -> Plan {
    json::plan(EXAMPLES[day].1).expect("a plan")
}

fn document(plan: &Plan) -> Value {
    serde_json::to_value(plan).expect("JSON")
}

/// Code and path of each problem that a text is refused for.
fn refused(text: &str) -> Vec<(ErrorCode, String)> {
    let error = Plan::from_json(text).expect_err(text);
    assert_eq!(json::render_sheet(text), Err(error.clone()));
    let told = error.problems.into_iter().map(|problem| {
        assert!(
            !problem.found.is_empty() && !problem.expected.is_empty() && !problem.hint.is_empty()
        );
        (problem.code, problem.path)
    });
    told.collect()
}

/// What lies between the first mark and the next other one.
fn between<'h>(html: &'h str, from: &str, to: &str) -> &'h str {
    let (_, rest) = html.split_once(from).expect(from);
    rest.split_once(to).expect(to).0
}

/// The tags of a page, in their order.
fn tags(html: &str) -> Vec<&str> {
    let tags = html.split('<').skip(1);
    tags.map(|tag| tag.split('>').next().expect("a tag"))
        .collect()
}

/// A text of HTML as it is read. Only references to characters by their numbers begin with an
/// ampersand.
fn as_read(html: &str) -> Option<String> {
    let mut parts = html.split('&');
    let mut text = parts.next()?.to_owned();
    for part in parts {
        let (number, rest) = part.strip_prefix('#')?.split_once(';')?;
        text.push(char::from_u32(number.parse().ok()?)?);
        text.push_str(rest);
    }
    (!html.contains(['<', '>', '"', '\''])).then_some(text)
}

#[test]
fn a_plan_that_was_kept_prints_as_a_fresh_one() {
    for (key, day) in EXAMPLES {
        let plan = json::plan(day).expect(key);
        let read = Plan::from_json(&plan.to_json()).expect(key);
        assert_eq!(read, plan, "{key}");
        assert_eq!(read.to_json(), plan.to_json(), "{key}");
        assert_eq!(
            json::render_sheet(&plan.to_json()),
            Ok(plan.to_html()),
            "{key}"
        );
        for html in [plan.to_html(), plan.to_html_fragment()] {
            assert!(html.len() > 1000 && html.ends_with(">\n"), "{key}");
            assert!(!html.contains("{{") && !html.contains("{%"), "{key}");
        }
    }
}

/// By hand: each visit and each round has one row, with room for each brew in what is done or read
/// in each.
#[test]
fn each_visit_and_each_round_has_its_row() {
    let mut plan = plan(0);
    plan.brews = 3;
    let [first, second, ..] = plan.additions.as_mut_slice() else {
        panic!("two additions");
    };
    first.times = 1;
    second.times = 3;
    (first.vessel, second.vessel) = (Vessel::HotLiquorTank, Vessel::HotLiquorTank);
    (first.when, second.when) = ("cold".to_owned(), "cold".to_owned());
    second.why = String::new();
    plan.additions.truncate(2);
    let readings: Vec<_> = plan.readings.iter().collect();
    let tank = *readings
        .iter()
        .find(|one| one.place == Place::Tank)
        .expect("tank");
    let mash = *readings
        .iter()
        .find(|one| one.place == Place::Mash)
        .expect("mash");
    plan.readings = vec![tank.clone(), mash.clone()];
    let html = plan.to_html();

    let weigh = between(&html, "<table class=\"additions\">", "</table>");
    let [first, second] = plan.additions.as_slice() else {
        panic!("two additions");
    };
    assert_eq!(weigh.matches("colspan").count(), 1);
    assert!(weigh.contains(&format!("{}, ", first.vessel_label)) && weigh.contains(": cold</td>"));
    assert!(weigh.contains(&format!("<td>1</td><td>{}</td>", first.display)));
    assert!(weigh.contains(&format!("{} ({})</td>", first.how, first.why)));
    assert!(weigh.contains(&format!("<td>2 ☐ ☐</td><td>{}</td>", second.display)));
    assert!(weigh.contains(&format!("{}</td></tr>", second.how)));

    let read = between(&html, "<table class=\"readings\">", "</table>");
    let [tank, mash] = plan.readings.as_slice() else {
        panic!("two readings");
    };
    let row = |one: &str, blanks: &str| format!("<td>{one}{blanks}</td>");
    assert_eq!(read.matches("<tr>").count(), 3);
    assert!(read.contains(&row(&tank.display, "")));
    assert!(read.contains(&row(&mash.display, " ____ ____")));
    assert!(read.contains(&format!("<td>mash, {}</td>", mash.when)));
    assert!(html.contains(&order_of_work::totals(&plan)));
}

/// The full kettle is corrected by what is read, so the sheet says by how much acid, and where an
/// acid is given there, its line says it.
#[test]
fn acid_for_the_kettle_is_on_the_sheet() {
    let mut plan = plan(0);
    let acid = plan.kettle.acid_for_a_tenth_display.clone();
    assert!(plan.to_html().contains(&acid));
    let mut given = plan.additions.first().expect("an addition").clone();
    given.vessel = Vessel::Kettle;
    given.reagent = "lactic acid".to_owned();
    plan.additions.push(given);
    assert!(!plan.to_html().contains(&acid));
}

/// A column for each meter that is read, in the order of the list, and an empty cell where a round
/// does not read it.
#[test]
fn each_meter_has_its_column() {
    let mut plan = plan(0);
    plan.readings
        .retain(|one| one.meter != Meter::Temperature && one.place >= Place::Mash);
    assert_eq!(
        order_of_work::meters(&plan).collect::<Vec<_>>(),
        [Meter::Ph, Meter::Conductivity]
    );
    for html in [plan.to_html(), plan.to_html_fragment()] {
        let read = between(&html, "<table class=\"readings\">", "</table>");
        let head = between(read, "<tr>", "</tr>");
        assert_eq!(
            head,
            "<th>where and when</th><th>pH, sample cooled to 20 °C</th><th>conductivity at 25 \
             °C</th>"
        );
        let mash = plan.readings.iter().find(|one| one.place == Place::Mash);
        let cells = format!("<td>{}</td><td></td></tr>", mash.expect("mash").display);
        assert!(read.contains(&cells), "{read}");
    }
}

#[test]
fn states_and_cautions_are_led_in() {
    let mut plan = plan(0);
    let line = plan.targets[0].clone();
    let caution = plan.cautions[0].clone();
    plan.targets.clear();
    for state in [
        TargetState::Met,
        TargetState::Below,
        TargetState::Above,
        TargetState::Free,
    ] {
        plan.targets.push(crate::plan::TargetLine {
            state,
            ..line.clone()
        });
    }
    plan.cautions.clear();
    for severity in [Severity::Danger, Severity::Care, Severity::Note] {
        plan.cautions.push(crate::plan::Caution {
            severity,
            text: "hot".to_owned(),
            ..caution.clone()
        });
    }
    let cautions =
        "<ul class=\"cautions\">\n<li>Danger: hot</li>\n<li>Care: hot</li>\n<li>hot</li>\n</ul>";
    for html in [plan.to_html(), plan.to_html_fragment()] {
        assert!(html.contains(cautions), "{html}");
        let ends: Vec<&str> = html.split(&line.display).skip(1).collect();
        let states = ["met<", "BELOW its range<", "ABOVE its range<", "free<"];
        assert_eq!(ends.len(), states.len());
        for (end, state) in ends.iter().zip(states) {
            let end = end.trim_start_matches("</td><td>").trim_start_matches(": ");
            assert!(end.starts_with(state), "{end}");
        }
    }
}

#[test]
fn what_is_not_drawn_and_what_is_not_added_is_not_shown() {
    let mut plan = plan(2);
    plan.additions.clear();
    plan.blend[0].share = 0.0;
    let html = plan.to_html();
    assert!(!html.contains(&format!("from {}", plan.blend[0].source)));
    assert!(html.contains(&format!("from {}", plan.blend[1].source)));
    for html in [html, plan.to_html_fragment()] {
        assert!(html.contains("<p>Nothing to add.</p>") && !html.contains("\"additions\""));
    }
}

/// No text of a plan is taken for markup, wherever it is.
#[test]
fn no_text_is_markup() {
    fn say(value: &mut Value, words: &str) {
        const KEYS: [&str; 12] = [
            "document",
            "vessel",
            "part",
            "place",
            "meter",
            "state",
            "severity",
            "unit",
            "code",
            "key",
            "cause",
            "measurement",
        ];
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    if !KEYS.contains(&key.as_str()) {
                        say(value, words);
                    }
                }
            }
            Value::Array(items) => items.iter_mut().for_each(|item| say(item, words)),
            Value::String(text) => words.clone_into(text),
            _ => {}
        }
    }
    for day in 0..EXAMPLES.len() {
        let [plain, script] = ["plain", "</td><script>alert(\"'&\")</script>"].map(|words| {
            let mut document = document(&plan(day));
            say(&mut document, words);
            let plan = Plan::from_json(&document.to_string()).expect("a plan");
            [plan.to_html(), plan.to_html_fragment()]
        });
        for (plain, script) in plain.iter().zip(&script) {
            assert!(plain.contains("plain") && !script.contains("<script"));
            assert_eq!(tags(plain), tags(script));
        }
    }
}

struct Fails;

impl fmt::Display for Fails {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Err(fmt::Error)
    }
}

#[derive(Template)]
#[template(source = "weigh {{ amount }} of it", ext = "html")]
struct Failing {
    amount: Fails,
}

#[test]
fn an_incomplete_page_says_so() {
    assert_eq!(
        page(&Failing { amount: Fails }),
        format!("weigh {INCOMPLETE}")
    );
}

/// Every key of a plan is asked for: without it there is no sheet, and the message names it.
#[test]
fn a_key_that_is_missing_is_named() {
    fn keys(value: &Value, pointer: &str, path: &str, found: &mut Vec<[String; 2]>) {
        match value {
            Value::Object(fields) => {
                for (key, value) in fields {
                    let point = if path.is_empty() { "" } else { "." };
                    let [pointer, path] =
                        [format!("{pointer}/{key}"), format!("{path}{point}{key}")];
                    keys(value, &pointer, &path, found);
                    found.push([pointer, path]);
                }
            }
            Value::Array(items) => {
                for (place, value) in items.iter().enumerate() {
                    let (pointer, path) =
                        (format!("{pointer}/{place}"), format!("{path}[{place}]"));
                    keys(value, &pointer, &path, found);
                }
            }
            _ => {}
        }
    }
    let whole = document(&plan(0));
    let mut found = Vec::new();
    keys(&whole, "", "", &mut found);
    assert!(found.len() > 300, "{}", found.len());
    for [pointer, path] in found {
        let (parent, key) = pointer.rsplit_once('/').expect("a key");
        let mut broken = whole.clone();
        let object = broken.pointer_mut(parent).expect("an object");
        object.as_object_mut().expect("an object").remove(key);
        let code = match key {
            "underlet" => ErrorCode::WrongVersion,
            _ => ErrorCode::MissingKey,
        };
        assert_eq!(refused(&broken.to_string()), [(code, path)], "{pointer}");
    }
}

#[test]
fn other_documents_are_no_plans() {
    use ErrorCode::{Duplicate, JsonSyntax, MissingKey, WrongDocument, WrongType, WrongVersion};
    let one = |code, path: &str| (code, path.to_owned());
    let whole = plan(0).to_json();
    assert_eq!(refused(EXAMPLES[0].1), [one(MissingKey, "document")]);
    assert_eq!(refused("{}"), [one(MissingKey, "document")]);
    assert_eq!(refused("[]"), [one(WrongType, "")]);
    assert_eq!(refused(""), [one(JsonSyntax, "")]);
    let tag = "\"document\":\"plan\"";
    let other = whole.replacen(tag, "\"document\":\"water\"", 1);
    assert_eq!(refused(&other), [one(WrongDocument, "document")]);
    for (text, read) in [
        (EXAMPLES[0].1, "a document without \"document\""),
        (&other, "a \"water\" document"),
    ] {
        let problem = Plan::from_json(text).expect_err(text).problems.remove(0);
        assert_eq!(
            (&*problem.found, &*problem.expected),
            (read, "a \"plan\" document")
        );
    }
    let newer = whole.replacen("\"underlet\":1", "\"underlet\":2", 1);
    assert_eq!(refused(&newer), [one(WrongVersion, "underlet")]);
    let twice = whole.replacen("\"name\":", "\"name\":\"a\",\"name\":", 1);
    assert_eq!(refused(&twice), [one(Duplicate, "name")]);
}

/// What no plan can hold, each by its path.
#[test]
fn what_a_plan_cannot_hold_is_named() {
    use ErrorCode::{MissingKey, OutOfRange, UnknownKey, UnknownName, WrongType};
    let whole = document(&plan(0));
    for (pointer, value, code, path) in [
        ("/brews", json!(1e12), WrongType, "brews"),
        ("/brews", json!(1_000_000_000_000_u64), OutOfRange, "brews"),
        ("/brews", json!(0), OutOfRange, "brews"),
        ("/brews", json!(7), OutOfRange, "brews"),
        ("/brews", json!(-1), WrongType, "brews"),
        ("/brews", json!(1.5), WrongType, "brews"),
        (
            "/vessels/1/portions",
            json!(21),
            OutOfRange,
            "vessels[1].portions",
        ),
        ("/vessels/0/times", json!(7), OutOfRange, "vessels[0].times"),
        (
            "/additions/0/times",
            json!(u64::MAX),
            OutOfRange,
            "additions[0].times",
        ),
        (
            "/additions/0/step",
            json!(1_u64 << 32),
            OutOfRange,
            "additions[0].step",
        ),
        (
            "/additions/0/amount",
            json!(-1),
            OutOfRange,
            "additions[0].amount",
        ),
        (
            "/additions/0/amount",
            json!(1.1e15),
            OutOfRange,
            "additions[0].amount",
        ),
        (
            "/additions/0/amount",
            json!(null),
            MissingKey,
            "additions[0].amount",
        ),
        (
            "/additions/0/unit",
            json!("oz"),
            UnknownName,
            "additions[0].unit",
        ),
        ("/additions/0/how", json!(7), WrongType, "additions[0].how"),
        ("/additions/0", json!([]), WrongType, "additions[0]"),
        ("/additions", json!({}), WrongType, "additions"),
        (
            "/blend/0/volume_l",
            json!(-1e-3),
            OutOfRange,
            "blend[0].volume_l",
        ),
        ("/blend/0/share", json!(-0.1), OutOfRange, "blend[0].share"),
        (
            "/mash/ph_untreated",
            json!(-1e300),
            OutOfRange,
            "mash.ph_untreated",
        ),
        (
            "/mash/interval_95",
            json!([5.1, 5.2, 5.3]),
            WrongType,
            "mash.interval_95",
        ),
        (
            "/mash/interval_95",
            json!([5.1, "5.2"]),
            WrongType,
            "mash.interval_95[1]",
        ),
        (
            "/mash/curve/3/ph",
            json!(false),
            WrongType,
            "mash.curve[3].ph",
        ),
        (
            "/meets_every_range",
            json!("yes"),
            WrongType,
            "meets_every_range",
        ),
        (
            "/readings/0/place",
            json!("attic"),
            UnknownName,
            "readings[0].place",
        ),
        (
            "/readings/0/meter",
            json!(1),
            WrongType,
            "readings[0].meter",
        ),
        (
            "/targets/1/state",
            json!("fine"),
            UnknownName,
            "targets[1].state",
        ),
        ("/sparge/note", json!("new"), UnknownKey, "sparge.note"),
        ("/grade", json!("new"), UnknownKey, "grade"),
        ("/note", json!(7), WrongType, "note"),
    ] {
        let (parent, key) = pointer.rsplit_once('/').expect("a key");
        let mut broken = whole.clone();
        match broken.pointer_mut(parent).expect(pointer) {
            Value::Object(fields) => {
                fields.insert(key.to_owned(), value);
            }
            list => list[key.parse::<usize>().expect(pointer)] = value,
        }
        let told = refused(&broken.to_string());
        assert_eq!(told, [(code, path.to_owned())], "{pointer}");
    }
}

/// As JavaScript writes numbers, without the point of whole ones.
#[test]
fn whole_numbers_may_stand_without_a_point() {
    let plan = plan(0);
    let text = plan.to_json().replace(".0,", ",").replace(".0}", "}");
    assert_ne!(text, plan.to_json());
    assert_eq!(Plan::from_json(&text), Ok(plan));
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

proptest! {
    /// Nothing is taken for markup, and every text reads as it was written.
    #[test]
    fn every_text_reads_as_it_was_written(text in ".{0,40}|[<>&\"']{0,12}") {
        let mut plan = plan(0);
        plan.name.clone_from(&text);
        let html = plan.to_html();
        prop_assert_eq!(as_read(between(&html, "<h1>", "</h1>")), Some(text));
    }

    /// Whatever stands anywhere in a plan: a page, or a word of what is wrong; never a panic.
    #[test]
    fn any_document_is_printed_or_refused(
        day in 0..3_usize,
        at in any::<prop::sample::Index>(),
        with in any_value(),
        deep in 1..4_usize,
    ) {
        let mut document = document(&plan(day));
        replace(&mut document, deep, at, &with);
        for document in [document, with] {
            match Plan::from_json(&document.to_string()) {
                Ok(plan) => {
                    prop_assert!(plan.to_html().ends_with("</html>\n"));
                    prop_assert!(plan.to_text().len() > 1000);
                }
                Err(error) => {
                    prop_assert!(error.problems.iter().all(|one| !one.expected.is_empty()));
                }
            }
        }
    }
}
