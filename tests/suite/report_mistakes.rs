//! The program that looks at waters as reports and puts mistakes into them, on invented waters
//! (`data/report-mistakes.csv`).

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use underlet_tests::report_mistakes::{Mode, Outcome, study};

fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/report-mistakes.csv")
}

fn outcome() -> Outcome {
    study(&fs::read_to_string(table()).unwrap()).unwrap()
}

#[test]
fn every_row_is_read_and_unusual_ones_are_reported() {
    let findings = outcome().findings;
    assert_eq!(findings.failures, [""; 0]);
    // By hand, from the remarks of the table.
    assert_eq!(findings.rows, 15);
    for (kind, row, part) in [
        ("negative", "row 11: ", "Ca: \"-82\""),
        ("not a number", "row 11: ", "K: \"lots\""),
        ("not finite", "row 14: ", "Hardness: \"inf\""),
        ("a major ion is not reported", "row 12: ", "Na, SO4, Ca, Mg"),
        (
            "cells and headings differ",
            "row 15: ",
            "3 cells under 16 headings",
        ),
        ("pH unusual for drinking water", "row 14: ", "pH 99"),
        (
            "ion balance beyond Standard Methods 1030 E",
            "row 10: ",
            "+23",
        ),
        (
            "a usual mistake may have been made",
            "row 10: ",
            "SulfurReadAsSulfate",
        ),
    ] {
        let reported = findings
            .kinds
            .get(kind)
            .unwrap_or_else(|| panic!("{kind}: {findings}"));
        assert!(
            reported
                .iter()
                .any(|words| words.starts_with(row) && words.contains(part)),
            "{kind}, {row}{part}: {findings}"
        );
    }
}

#[test]
fn mistakes_put_into_sound_rows_are_found() {
    let outcome = outcome();
    let experiment = &outcome.experiment;
    assert_eq!(experiment.sound, 9, "rows whose remark says that they fit");
    assert_eq!(experiment.stated, [1, 0]);
    let goals = experiment.goals();
    assert_eq!(goals.len(), 11);
    for goal in goals {
        assert!(
            goal.is_reached(),
            "{}: {:.3}\n{experiment}",
            goal.what,
            goal.reached
        );
    }
    // The guess that knows the balance alone is worse: otherwise all else would be for nothing.
    let [nearest, alone] = [Mode::Nearest, Mode::Alone].map(|mode| experiment.pooled(true, mode));
    assert!(
        nearest.trials > 100 && alone.first > nearest.first + nearest.trials / 20,
        "{experiment}"
    );
}

#[test]
fn the_program_ends_well_and_tells_its_columns() {
    let output = Command::new(env!("CARGO_BIN_EXE_compare"))
        .args(["report-mistakes", &table().to_string_lossy()])
        .output()
        .expect("the program runs");
    assert!(output.status.success(), "{output:?}");
    let reported = String::from_utf8_lossy(&output.stdout);
    assert!(
        reported.contains("columns not used: Well, Remark"),
        "{reported}"
    );
    assert!(
        reported.contains("What cannot be seen, and why"),
        "{reported}"
    );
}

#[test]
fn a_table_without_a_known_column_is_refused() {
    assert!(study("a,b\n1,2\n").unwrap_err().contains("no column"));
}
