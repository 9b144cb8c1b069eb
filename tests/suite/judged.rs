//! The judged days: the plan of each says what a brewer would have it say.

use underlet::tables::source;
use underlet_tests::judged::{Expectation, all};
use underlet_tests::{soundness, wording};

#[test]
fn plans_are_what_a_brewer_would_do() {
    let mut misses = Vec::new();
    for (name, judged) in all() {
        let answer = judged.answer();
        let of_day = judged.misses(&answer);
        misses.extend(of_day.into_iter().map(|miss| format!("{name}: {miss}")));
        for faults in [soundness::faults, wording::faults] {
            let faults = answer.plan().map(faults).unwrap_or_default();
            misses.extend(faults.into_iter().map(|fault| format!("{name}: {fault}")));
        }
    }
    assert!(misses.is_empty(), "{}", misses.join("\n"));
}

#[test]
fn each_day_is_judged() {
    let days = all();
    for (name, judged) in &days {
        assert!(!judged.sources.is_empty(), "{name}: no source");
        for key in &judged.sources {
            assert!(source(key).is_some(), "{name}: no source {key}");
        }
        assert!(!judged.judgement.is_empty(), "{name}: no judgement");
        assert!(!judged.must.is_empty(), "{name}: nothing must hold");
        assert!(!judged.must_not.is_empty(), "{name}: nothing must not");
    }
    assert!(days.len() >= 30, "only {} days", days.len());
}

/// A slip in an expectation is no expectation that happens to hold.
#[test]
fn what_cannot_be_checked_fails() {
    let parsed = |text: &str| serde_json::from_str::<Expectation>(text);
    for slip in [
        r#"{"dose": {"kind": "acid", "vesel": "mash_tun"}}"#,
        r#"{"dose": {"kind": "acid", "vessel": "bucket"}}"#,
        r#"{"says": "acid", "warns": "acid"}"#,
        r#"{"sayz": "acid"}"#,
    ] {
        assert!(parsed(slip).is_err(), "{slip}");
    }
    let (_, mut judged) = all().swap_remove(0);
    let slips = [
        r#"{"caution": "acid_in_water"}"#,
        r#"{"reason": "because"}"#,
        r#"{"alternative": "none"}"#,
        r#"{"met": "calcum"}"#,
        r#"{"is": ["/mash/phh", 5.4]}"#,
        r#"{"dose": {"reagent": "gipsum"}}"#,
        r#"{"dose": {"kind": "acid", "at_least": 10}}"#,
        r#"{"dose": {"reagent": "gypsum", "at_least": 10, "unit": "mL"}}"#,
        r#"{"any": [{"caution": "acid_in_water"}]}"#,
    ];
    let slips: Vec<Expectation> = slips.iter().map(|slip| parsed(slip).unwrap()).collect();
    judged.must.clone_from(&slips);
    judged.must_not.clone_from(&slips);
    let misses = judged.misses(&judged.answer());
    assert_eq!(misses.len(), 2 * slips.len(), "{misses:#?}");
}
