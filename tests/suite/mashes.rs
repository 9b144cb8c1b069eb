//! The program that compares mashes with their forecasts, on an invented table (`data/mashes.csv`).

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use underlet_tests::mashes::{Comparison, compare_all};

fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/mashes.csv")
}

fn comparison() -> Comparison {
    compare_all(&fs::read_to_string(table()).expect("the file is there")).expect("a table")
}

/// Forecast of a row.
fn predicted(id: &str) -> (f64, f64) {
    let comparison = comparison();
    let row = comparison.compared.iter().find(|row| row.id == id);
    let predicted = row.expect("it is compared").predicted;
    (predicted.ph, predicted.sd)
}

#[test]
fn forecasts_are_those_of_the_hand() {
    for (id, expected) in [
        // The class's own pH; 0.2 lower by 7.6 meq/kg against 38; a tenth of caramel malt by the
        // weights of their buffering: (0.9 · 38 · 5.75 + 0.1 · 47 · 4.95)/(0.9 · 38 + 0.1
        // · 47).
        ("A1", 5.75),
        ("A2", 5.55),
        ("A3", 5.653),
        ("B1", 5.5 - 46.0 * 0.0052),
        // Half an hour: −lg(10^−5.5 + 0.5e-6).
        ("B2", 5.436),
        ("C1", 5.85),
    ] {
        let (ph, sd) = predicted(id);
        assert!((ph - expected).abs() < 0.005, "{id}: {ph} {expected}");
        assert!(sd > 0.01 && sd < 0.15, "{id}: {sd}");
    }
}

#[test]
fn what_cannot_be_modelled_is_reported_with_a_reason() {
    let comparison = comparison();
    for (id, part) in [
        (
            "A4 ",
            "the addition \"a spoonful of vinegar\" is not understood",
        ),
        ("A5 ", "the alkalinity of the water is not reported"),
        ("A6 ", "5 min in"),
        ("D1 ", "fermentation"),
    ] {
        let reported = |reason: &&String| reason.starts_with(id) && reason.contains(part);
        assert!(
            comparison
                .not_modelled
                .iter()
                .any(|reason| reported(&reason)),
            "{id}: {comparison}"
        );
    }
    assert_eq!(
        comparison.unreadable,
        ["E1: measured_pH: expected a number, read \"n.d.\""]
    );
}

#[test]
fn intervals_hold_what_lies_in_them_and_nothing_else() {
    let comparison = comparison();
    let inside = |id: &str| {
        let row = comparison.compared.iter().find(|row| row.id == id);
        row.expect("it is compared").inside()
    };
    assert_eq!(inside("A1"), [true, true]);
    assert_eq!(inside("A7"), [false, false]);
    let text = comparison.to_string();
    assert!(
        text.contains("A7, mash_kinetics: 6.400, 5.750 ± "),
        "{text}"
    );
    assert!(text.contains("all: 7 rows, RMS 0.246 "), "{text}");
}

#[test]
fn the_program_ends_with_2_on_what_it_cannot_read() {
    let output = Command::new(env!("CARGO_BIN_EXE_compare"))
        .arg("mash")
        .arg(table())
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    let printed = String::from_utf8_lossy(&output.stdout);
    assert!(
        printed.contains("7 rows compared, 4 not modelled, 1 cannot be read"),
        "{printed}"
    );
    assert!(compare_all("Ca,Mg\n1,2\n").is_err());
}
