//! Days that someone spoilt: random changes to the text of the built-in days. Whatever the change,
//! the engine answers with a sound plan or with problems; it never panics. The seed is fixed, so a
//! failure can be repeated.

use serde_json::Value;
use underlet::EXAMPLES;
use underlet::error::ErrorCode;
use underlet::json;
use underlet_tests::dice::Dice;
use underlet_tests::soundness::faults;
use underlet_tests::trials::trials;

/// Numbers that have broken programs before.
const ODD_NUMBERS: [&str; 22] = [
    "0",
    "-0.0",
    "-1",
    "1e-320",
    "1e-9",
    "0.1",
    "1",
    "3.7",
    "14",
    "55",
    "99.99",
    "100",
    "1000",
    "19999",
    "1e6",
    "1e15",
    "1e300",
    "1e999",
    "-1e999",
    "18446744073709551616",
    "NaN",
    "1,250",
];
const ODD_TEXTS: [&str; 14] = [
    "",
    " ",
    "NaN",
    "Infinity",
    "∞",
    "<5 mg/L",
    "5 bbl",
    "1e6 L",
    "1e-300 kg",
    "50-10 mg/L",
    "\u{0}",
    "\u{202e}x",
    "🍺",
    "-0 mg/L",
];

fn mutated(text: &str, dice: &mut Dice) -> String {
    match dice.pick(6) {
        0 => bytes_flipped(text, dice),
        1 => cut_and_joined(text, dice),
        2 | 3 => number_replaced(text, dice),
        _ => value_changed(text, dice),
    }
}

fn bytes_flipped(text: &str, dice: &mut Dice) -> String {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=dice.pick(4) {
        let at = dice.pick(bytes.len());
        bytes[at] ^= 1 << dice.pick(8);
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// A piece taken out, or put in twice.
fn cut_and_joined(text: &str, dice: &mut Dice) -> String {
    let bytes = text.as_bytes();
    let (a, b) = (dice.pick(bytes.len()), dice.pick(bytes.len()));
    String::from_utf8_lossy(&[&bytes[..a], &bytes[b..]].concat()).into_owned()
}

/// One run of digits replaced, inside a text with its unit or bare.
fn number_replaced(text: &str, dice: &mut Dice) -> String {
    let is_number = |c: char| c.is_ascii_digit() || c == '.';
    let starts: Vec<usize> = text
        .char_indices()
        .filter(|(at, c)| c.is_ascii_digit() && !text[..*at].ends_with(is_number))
        .map(|(at, _)| at)
        .collect();
    let start = starts[dice.pick(starts.len())];
    let end = text[start..]
        .find(|c| !is_number(c))
        .map_or(text.len(), |length| start + length);
    format!(
        "{}{}{}",
        &text[..start],
        dice.one_of(&ODD_NUMBERS),
        &text[end..]
    )
}

/// One value of the document dropped, exchanged, doubled or put in another's place.
fn value_changed(text: &str, dice: &mut Dice) -> String {
    let mut document: Value = serde_json::from_str(text).unwrap();
    let other = document.clone();
    for _ in 0..=dice.pick(2) {
        let replacement = match dice.pick(6) {
            0 => Value::Null,
            1 => Value::from(*dice.one_of(&ODD_TEXTS)),
            2 => {
                serde_json::from_str(dice.one_of::<&str>(&ODD_NUMBERS)).unwrap_or(Value::Bool(true))
            }
            3 => Value::Array(Vec::new()),
            _ => any_part(&other, dice).clone(),
        };
        let drop = dice.pick(3) == 0;
        change_somewhere(&mut document, replacement, drop, dice);
    }
    document.to_string()
}

fn any_part<'v>(value: &'v Value, dice: &mut Dice) -> &'v Value {
    let inner: Vec<&Value> = match value {
        Value::Array(items) => items.iter().collect(),
        Value::Object(entries) => entries.values().collect(),
        _ => return value,
    };
    if inner.is_empty() || dice.pick(4) == 0 {
        return value;
    }
    any_part(inner[dice.pick(inner.len())], dice)
}

fn change_somewhere(value: &mut Value, replacement: Value, drop: bool, dice: &mut Dice) {
    match value {
        Value::Object(entries) if !entries.is_empty() => {
            let key = entries
                .keys()
                .nth(dice.pick(entries.len()))
                .unwrap()
                .clone();
            if entries[&key].is_object() || entries[&key].is_array() && dice.pick(4) > 0 {
                change_somewhere(&mut entries[&key], replacement, drop, dice);
            } else if drop {
                entries.remove(&key);
            } else {
                entries[&key] = replacement;
            }
        }
        Value::Array(items) if !items.is_empty() => {
            let at = dice.pick(items.len());
            match (drop, dice.pick(4)) {
                (true, 0) => drop_item(items, at),
                (false, 0) => items.push(items[at].clone()),
                _ => change_somewhere(&mut items[at], replacement, drop, dice),
            }
        }
        other => *other = replacement,
    }
}

fn drop_item(items: &mut Vec<Value>, at: usize) {
    items.remove(at);
}

#[test]
fn a_day_spoilt_at_random_is_planned_or_refused() {
    let count = trials(2_000, 20_000);
    let mut dice = Dice(20_260_401);
    let (mut planned, mut refused) = (0, 0);
    for round in 0..count {
        let (_, day) = EXAMPLES[dice.pick(EXAMPLES.len())];
        let text = mutated(day, &mut dice);
        let outcome = std::panic::catch_unwind(|| json::plan(&text));
        match outcome.unwrap_or_else(|_| panic!("round {round} panics: {text}")) {
            Ok(plan) => {
                assert_eq!(faults(&plan), [""; 0], "round {round}: {text}");
                planned += 1;
            }
            Err(error) => {
                assert!(
                    !error.problems.is_empty(),
                    "round {round}: no problem reported: {text}"
                );
                for problem in &error.problems {
                    assert!(
                        ErrorCode::ALL.contains(&problem.code),
                        "round {round}: {problem}"
                    );
                    let parts = [&problem.found, &problem.expected, &problem.hint];
                    assert!(
                        parts.iter().all(|part| !part.trim().is_empty()),
                        "round {round}: {problem}\n{text}"
                    );
                }
                refused += 1;
            }
        }
    }
    // The mutations are of both kinds, so that both roads are walked.
    assert!(
        planned > count / 20 && refused > count / 4,
        "{planned} planned, {refused} refused"
    );
}
