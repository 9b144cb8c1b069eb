//! The cases, as Python and JavaScript run them. Each names its own source.

use std::collections::BTreeSet;
use std::fs;

use underlet::EXAMPLES;
use underlet::error::ErrorCode;
use underlet::json;
use underlet_tests::cases::{Kind, Problem, answered, files, folder, named, refused};
use underlet_tests::soundness::faults;

#[test]
fn bad_documents_are_refused_with_the_right_words() {
    let refused = refused();
    for case in &refused {
        let error = case.answer().expect_err(&case.to_string());
        let problems: Vec<Problem> = error
            .problems
            .iter()
            .map(|problem| Problem {
                code: problem.code.to_string(),
                path: problem.path.clone(),
            })
            .collect();
        assert_eq!(problems, case.content.problems, "{case}");
        let messages: Vec<String> = error.problems.iter().map(ToString::to_string).collect();
        assert_eq!(messages, case.content.messages, "{case}");
    }
    assert!(refused.len() >= 100, "only {} refused", refused.len());
}

#[test]
fn good_documents_are_answered_byte_for_byte() {
    let answered = answered();
    for case in &answered {
        let answer = case.answer();
        let answer = answer.unwrap_or_else(|error| panic!("{case}: {error}"));
        assert!(
            answer == case.kept_answer(),
            "{case}: the answer is not the kept one; if it should differ, run `cargo run -p \
             underlet-tests --bin golden`"
        );
    }
    for (kind, least) in [
        (Kind::BrewDay, 20),
        (Kind::WaterReport, 5),
        (Kind::Readings, 5),
        (Kind::TankDay, 5),
        (Kind::IonFit, 2),
        (Kind::Equilibrium, 5),
    ] {
        let count = answered.iter().filter(|case| case.kind == kind).count();
        assert!(count >= least, "only {count} cases of {kind:?}");
    }
}

#[test]
fn plans_are_sound() {
    for case in answered() {
        if case.kind == Kind::BrewDay {
            let plan = json::plan(&case.text()).expect("a plan");
            assert_eq!(faults(&plan), [""; 0], "{case}");
            // JSON is written on one line, so that two blanks in a row can only be a slip in a
            // text.
            assert!(!plan.to_json().contains("  "), "{case}: doubled blanks");
        }
    }
}

#[test]
fn each_case_is_whole() {
    for case in answered() {
        assert!(case.content.document.is_some(), "{case}: no document");
        assert!(case.content.problems.is_empty(), "{case}: problems");
    }
    for case in refused() {
        let messages = case.content.messages.len();
        assert!(messages > 0, "{case}: no message");
        assert_eq!(case.content.problems.len(), messages, "{case}: messages");
    }
    for case in answered().into_iter().chain(refused()) {
        let content = &case.content;
        assert!(!content.name.is_empty(), "{case}: no name");
        assert!(!content.source.is_empty(), "{case}: no source");
    }
}

/// Nothing lies where no test would find it.
#[test]
fn every_file_is_a_case_or_its_answer() {
    let mut known: BTreeSet<_> = refused().into_iter().map(|case| case.path).collect();
    for case in answered() {
        known.extend([case.answer_path(), case.path]);
    }
    let mut there = BTreeSet::new();
    let mut folders = vec![folder()];
    while let Some(folder) = folders.pop() {
        for path in files(&folder) {
            if path.is_dir() {
                folders.push(path);
            } else {
                there.insert(path);
            }
        }
    }
    assert_eq!(there, known);
}

#[test]
fn the_built_in_days_are_cases() {
    for (key, day) in EXAMPLES {
        let day: serde_json::Value = serde_json::from_str(day).unwrap();
        let case = named(Kind::BrewDay, key);
        assert_eq!(case.content.document, Some(day), "{key}: run golden");
    }
}

#[test]
fn every_error_code_has_a_case() {
    let found: BTreeSet<String> = refused()
        .into_iter()
        .flat_map(|case| case.content.problems)
        .map(|problem| problem.code)
        .collect();
    let listed = ErrorCode::ALL.iter().map(|code| code.as_str().to_owned());
    assert_eq!(found, listed.collect());
}

/// The largest usual search, which the benches time: ten salts that may go into tank and tun, 1 g
/// steps, at most four of them. Each ends with a proof.
#[test]
fn ten_salts_at_two_points_are_proven() {
    let days = files(&folder().join("../../core/benches/ten-salts"));
    assert_eq!(days.len(), 4);
    for path in days {
        let plan = json::plan(&fs::read_to_string(&path).unwrap()).expect("a plan");
        let plan: serde_json::Value = serde_json::from_str(&plan.to_json()).unwrap();
        assert_eq!(plan["fit"]["gap"], 0.0, "{}", path.display());
    }
}
