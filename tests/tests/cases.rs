//! The shared cases, as Python and JavaScript run them. Each names its own source.

use std::collections::BTreeSet;
use std::fs;

use underlet::brewday::EXAMPLES;
use underlet::error::Code;
use underlet::json;
use underlet_tests::cases::{ANSWERS, Told, folder, read_all};
use underlet_tests::soundness::faults;

#[test]
fn bad_days_are_refused_with_the_right_words() {
    let mut refused = 0;
    for (file, case) in read_all().unwrap() {
        let Some(expected) = &case.problems else {
            continue;
        };
        let error = case.answer().expect_err(&file);
        let told: Vec<Told> = error
            .problems
            .iter()
            .map(|problem| Told {
                code: problem.code.to_string(),
                path: problem.path.clone(),
            })
            .collect();
        assert_eq!(&told, expected, "{file}");
        let messages: Vec<String> = error.problems.iter().map(ToString::to_string).collect();
        assert_eq!(Some(messages), case.messages, "{file}");
        refused += 1;
    }
    assert!(refused >= 100, "only {refused} cases of bad input");
}

#[test]
fn good_days_are_planned_byte_for_byte() {
    for (file, case) in read_all().unwrap() {
        let Some(plan_file) = &case.plan_file else {
            continue;
        };
        let plan =
            json::plan(&case.text().unwrap()).unwrap_or_else(|error| panic!("{file}: {error}"));
        assert_eq!(faults(&plan), [""; 0], "{file}");
        // The JSON stands on one line, so that two blanks in a row can only be a slip in a text.
        assert!(!plan.to_json().contains("  "), "{file}: doubled blanks");
        let golden = fs::read_to_string(folder().join(plan_file)).unwrap();
        assert!(
            plan.to_json() == golden,
            "{file}: the plan is not {plan_file}; if it should differ, run `cargo run -p underlet-tests --bin golden`"
        );
    }
}

#[test]
fn every_other_document_is_answered_byte_for_byte() {
    let mut answered = [0; 4];
    for (file, case) in read_all().unwrap() {
        let files = [
            &case.water_file,
            &case.diagnosis_file,
            &case.tank_file,
            &case.fitted_file,
        ];
        for (count, golden_file) in answered.iter_mut().zip(files) {
            let Some(golden_file) = golden_file else {
                continue;
            };
            let answer = case
                .answer()
                .unwrap_or_else(|error| panic!("{file}: {error}"));
            let golden = fs::read_to_string(folder().join(golden_file)).unwrap();
            assert!(
                answer == golden,
                "{file}: the answer is not {golden_file}; if it should differ, run `cargo run -p underlet-tests --bin golden`"
            );
            *count += 1;
        }
    }
    let [waters, diagnoses, tanks, fits] = answered;
    assert!(waters >= 3, "only {waters} cases of water reports");
    assert!(diagnoses >= 3, "only {diagnoses} cases of readings");
    assert!(tanks >= 3, "only {tanks} cases of days of the tank");
    assert!(fits >= 2, "only {fits} cases of fits of ions");
}

#[test]
fn each_case_is_whole() {
    for (file, case) in read_all().unwrap() {
        assert!(!case.name.is_empty() && !case.source.is_empty(), "{file}");
        assert!(case.text().is_ok(), "{file}");
        assert_ne!(
            case.problems.is_some(),
            case.answer_file().is_some(),
            "{file}: problems or an answer"
        );
        assert_eq!(
            case.problems.is_some(),
            case.messages.is_some(),
            "{file}: problems and their words"
        );
    }
}

#[test]
fn every_answer_belongs_to_a_case() {
    let wanted: BTreeSet<String> = read_all()
        .unwrap()
        .into_iter()
        .filter_map(|(_, case)| case.answer_file().map(str::to_owned))
        .collect();
    let there: BTreeSet<String> = fs::read_dir(folder())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| ANSWERS.iter().any(|ending| name.ends_with(ending)))
        .collect();
    assert_eq!(there, wanted);
}

#[test]
fn the_built_in_days_are_cases() {
    for (key, day) in EXAMPLES {
        let day: serde_json::Value = serde_json::from_str(day).unwrap();
        let (_, case) = read_all()
            .unwrap()
            .into_iter()
            .find(|(file, _)| *file == format!("{key}.json"))
            .expect(key);
        assert_eq!(case.day, Some(day), "{key}: run the program golden");
    }
}

#[test]
fn every_code_has_a_case() {
    let told: BTreeSet<String> = read_all()
        .unwrap()
        .into_iter()
        .flat_map(|(_, case)| case.problems.unwrap_or_default())
        .map(|problem| problem.code)
        .collect();
    for code in Code::ALL {
        assert!(told.contains(code.as_str()), "no case for {code}");
    }
    assert_eq!(
        told.len(),
        Code::ALL.len(),
        "a case has a code that is not in the list: {told:?}"
    );
}
