//! The program that plans a brew day with each water of a table, on an invented table
//! (`data/waters.csv`).

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use underlet_tests::waters::plan_all;

fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/waters.csv")
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_compare"))
        .args(arguments)
        .output()
        .expect("the program runs")
}

fn reported(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn each_row_is_planned_or_reported() {
    let tally = plan_all(&fs::read_to_string(table()).unwrap()).unwrap();
    assert_eq!(tally.failures, [""; 0]);
    // By hand, from the remarks of the table.
    assert_eq!(
        (tally.rows, tally.planned, tally.not_usable.len()),
        (11, 7, 4),
        "{tally}"
    );
    assert_eq!(tally.unused, ["Well", "Remark"]);
    for (row, part) in [
        ("row 6: ", "neither alkalinity nor bicarbonate"),
        ("row 7: ", "sources[0].calcium: found \"-70 mg/L\""),
        ("row 10: ", "CO3: -5 is negative"),
        ("row 11: ", "3 cells under 14 headings"),
    ] {
        assert!(
            tally
                .not_usable
                .iter()
                .any(|reported| reported.starts_with(row) && reported.contains(part)),
            "{row}{part}: {tally}"
        );
    }
    // Water of the harbour bore holds more magnesium, sodium and chloride than the day wants, and
    // nothing takes ions out.
    for range in ["magnesium above", "sodium above", "chloride above"] {
        assert!(
            tally.missed.get(range).is_some_and(|count| *count >= 1),
            "{range}: {tally}"
        );
    }
    assert!((1..tally.planned).contains(&tally.met), "{tally}");
}

#[test]
fn carbonate_counts_two_equivalents() {
    // 300 mg/L of bicarbonate and 30 of carbonate are 4.917 + 1.000 meq/L (molar masses 61.017 and
    // 60.008), 296.1 mg/L as CaCO3: the plan's water must be the same as with the alkalinity
    // reported.
    let planned = |csv: &str| plan_all(csv).unwrap().to_string();
    let apart = planned("Ca,Mg,Na,SO4,HCO3,CO3,pH\n4,1,180,25,300,30,9.1\n");
    let joined = planned("Ca,Mg,Na,SO4,Alk,CO3,pH\n4,1,180,25,296.1,30,9.1\n");
    assert!(apart.starts_with("1 rows: 1 planned"), "{apart}");
    assert_eq!(apart, joined);
}

#[test]
fn what_is_no_table_of_waters_is_refused() {
    for (csv, part) in [
        ("", "no column"),
        ("Ca,Mg\n1,2\n", "no column \"Alk\" or \"HCO3\""),
        ("Ca,Alk,Ca\n1,2,3\n", "column 3 is a second \"Ca\""),
    ] {
        let refused = plan_all(csv).unwrap_err();
        assert!(refused.contains(part), "{csv}: {refused}");
    }
}

#[test]
fn bad_cells_are_reported_and_never_crash() {
    for cell in [
        "NaN", "inf", "1e999", "-1", "1,5", "n.n.", "\u{0}", "🍺", "7 US bbl", "1e300", "5-6", "--",
    ] {
        let csv = format!("Ca,Alk,pH,CO3\n\"{cell}\",\"{cell}\",\"{cell}\",\"{cell}\"\n");
        let tally = plan_all(&csv).unwrap();
        assert_eq!(
            (tally.not_usable.len(), tally.failures.len()),
            (1, 0),
            "{cell}: {tally}"
        );
    }
}

#[test]
fn the_program_prints_the_tally_and_ends_with_0() {
    let path = table();
    let output = run(&["plan", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0), "{}", reported(&output));
    let printed = String::from_utf8(output.stdout).unwrap();
    let tally = plan_all(&fs::read_to_string(&path).unwrap()).unwrap();
    assert_eq!(printed, format!("{}\n{tally}\n", path.display()));
}

#[test]
fn bad_usage_and_unreadable_files_end_with_2() {
    for (arguments, part) in [
        (&[][..], "usage: compare plan"),
        (&["brew"], "unknown kind of file \"brew\""),
        (&["plan"], "plan needs a file"),
        (&["plan", "no-such-file.csv"], "no-such-file.csv"),
        (
            &["plan", concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml")],
            "no column",
        ),
    ] {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            reported(&output).contains(part),
            "{arguments:?}: {}",
            reported(&output)
        );
        assert!(output.stdout.is_empty(), "{arguments:?}");
    }
}
