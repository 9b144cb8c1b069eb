//! The program that compares equilibria with files of references, on own small files
//! (`data/equilibria/`, made with PHREEQC; its README says how).

use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Output, Stdio};

use underlet_tests::equilibria::{compare_all, kinds};

const OF_LINES: [&str; 6] = [
    "speciation",
    "acidification",
    "heating",
    "mixing",
    "lime",
    "sparge",
];

fn path(kind: &str) -> PathBuf {
    let ending = if OF_LINES.contains(&kind) {
        "jsonl"
    } else {
        "csv"
    };
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("data/equilibria/{kind}.{ending}"))
}

fn text(kind: &str) -> String {
    fs::read_to_string(path(kind)).expect("the file is there")
}

/// Gives a text to the program on its standard input.
fn run(kind: &str, text: &str) -> (Option<i32>, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_compare"))
        .args([kind, "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut input = child.stdin.take().expect("it has an input");
    input.write_all(text.as_bytes()).expect("it reads");
    drop(input);
    let Output { status, stdout, .. } = child.wait_with_output().expect("it ends");
    (status.code(), String::from_utf8_lossy(&stdout).into_owned())
}

#[test]
fn every_kind_agrees_with_its_file() {
    for kind in kinds() {
        let output = Command::new(env!("CARGO_BIN_EXE_compare"))
            .arg(kind)
            .arg(path(kind))
            .output()
            .expect("the program runs");
        let printed = String::from_utf8_lossy(&output.stdout);
        assert_eq!(output.status.code(), Some(0), "{kind}: {printed}");
        assert!(printed.contains(", 0 failures"), "{kind}: {printed}");
    }
}

/// A result that is off by a little more than its tolerance is found, with the reference it stands
/// in.
#[test]
fn a_wrong_result_ends_with_1_and_is_reported() {
    for (kind, key, factor, of) in [
        ("speciation", "\"ionic_strength\": ", 1.0012, "speciation 1"),
        (
            "acidification",
            "\"mmol_acid_per_kg\": ",
            1.0105,
            "acidification 1",
        ),
        ("heating", "\"m_HCO3\": ", 0.9975, "heating 1 initial"),
        ("mixing", "\"pH\": ", 1.0005, "mixing 1"),
        (
            "lime",
            "\"caco3_precipitated_mmol\": ",
            0.99,
            "lime 1 calcite",
        ),
    ] {
        let text = text(kind);
        let results = text.find("\"out\": ").expect("it has results");
        let begin = results + text[results..].find(key).expect("it has the key") + key.len();
        let end = begin + text[begin..].find([',', '}']).expect("the number ends");
        let number: f64 = text[begin..end].parse().expect("it is a number");
        let spoilt = format!("{}{}{}", &text[..begin], number * factor, &text[end..]);
        let (code, printed) = run(kind, &spoilt);
        assert_eq!(code, Some(1), "{kind}: {printed}");
        let reported: Vec<&str> = printed
            .lines()
            .filter(|line| line.contains("FAILS"))
            .collect();
        assert_eq!(reported.len(), 1, "{kind}: {printed}");
        let name = key.trim_matches(['"', ':', ' ']);
        assert!(
            reported[0].starts_with(name)
                && reported[0].contains(of)
                && reported[0].contains("1 beyond"),
            "{kind}: {}",
            reported[0]
        );
    }
}

/// A need of 5 % more than the plan gives, and a pH that is too low.
#[test]
fn a_plan_with_another_sparge_is_reported() {
    let text = text("sparge");
    let first = text.lines().next().expect("a line");
    let mut line: serde_json::Value = serde_json::from_str(first).expect("JSON");
    line["needed_mmol_per_kg"] = (1.05 * line["needed_mmol_per_kg"].as_f64().unwrap()).into();
    line["planned_ph"] = 5.19.into();
    let (code, printed) = run("sparge", &line.to_string());
    assert_eq!(code, Some(1), "{printed}");
    for row in ["acid for the sparge", "forecast of its pH", "pH 5.2 to 6.5"] {
        let mut lines = printed.lines();
        assert!(
            lines.any(|line| line.starts_with(row) && line.contains("FAILS")),
            "{row}: {printed}"
        );
    }
    line["day"]["sparge"].take();
    let (code, printed) = run("sparge", &line.to_string());
    assert_eq!(code, Some(2), "{printed}");
}

#[test]
fn a_wrong_cell_of_a_table_ends_with_1_or_2() {
    let measured = text("conductivity");
    let (code, printed) = run("conductivity", &measured.replace(",1278", ",1378"));
    assert_eq!(code, Some(1), "{printed}");
    assert!(printed.contains("at most 3 %  FAILS"), "{printed}");
    let (code, printed) = run("conductivity", &measured.replace(",1278", ",much"));
    assert_eq!(code, Some(2), "{printed}");
    let reported = "row 1: ec20_measured_uS_cm: expected a number, read \"much\"";
    assert!(printed.contains(reported), "{printed}");

    let vectors = text("vectors");
    let (code, printed) = run(
        "vectors",
        &vectors.replace("measured pH 7.2 at this", "measured pH 7.205 at this"),
    );
    assert_eq!(code, Some(1), "{printed}");
    let (code, printed) = run(
        "vectors",
        &vectors.replace("measured pH 7.2 at this", "guessed at this"),
    );
    assert_eq!(code, Some(2), "{printed}");
    assert!(
        printed.contains("neither a measured pH nor a pressure"),
        "{printed}"
    );
    // Rows of other constant sets are left out, and none is left.
    let (code, printed) = run("vectors", &vectors.replace("suggested set", "another set"));
    assert_eq!(code, Some(2), "{printed}");
}

#[test]
fn a_line_that_cannot_be_read_is_reported_and_ends_with_2() {
    let water = "{\"temp_c\": 20, \"mg_l\": {\"Ca\": 40}, \"alk_mg_l_caco3\": 90, \"pH\": 7.5}";
    let with = |from: &str, to: &str| {
        format!("{{\"id\": \"own\", \"in\": {water}, \"out\": {{\"pH\": 7.5}}}}").replace(from, to)
    };
    for (line, part) in [
        ("{".to_owned(), "EOF"),
        (with("\"id\"", "\"name\""), "id is missing"),
        (with("\"out\"", "\"result\""), "out is missing"),
        (
            with("\"Ca\": 40", "\"Ca\": \"much\""),
            "in.mg_l.Ca: expected a number, read \"much\"",
        ),
        (
            with("\"Ca\": 40", "\"Ca\": -1"),
            "in.mg_l.Ca: expected 0 or more",
        ),
        (
            with("\"Ca\": 40", "\"Unobtainium\": 1"),
            "in.mg_l.Unobtainium: expected an ion",
        ),
        (with("\"temp_c\": 20, ", ""), "in.temp_c is missing"),
        (
            with(", \"pH\": 7.5}", "}"),
            "two of pH, alk_mg_l_caco3, dic_mmol and log_pco2",
        ),
        (
            with("\"out\": {\"pH\": 7.5}", "\"out\": {\"pH\": null}"),
            "out.pH: expected a number",
        ),
    ] {
        let good = with("own", "a good one");
        let (code, printed) = run("speciation", &format!("{good}\n\n{line}\n"));
        assert_eq!(code, Some(2), "{line}: {printed}");
        assert!(
            printed.contains("NOT READABLE: line 3"),
            "{line}: {printed}"
        );
        assert!(printed.contains(part), "{line}: {printed}");
        assert!(
            printed.contains("2 references, 1 not readable, 0 failures"),
            "{line}: {printed}"
        );
    }
}

#[test]
fn a_refused_case_is_a_failure() {
    // At pH 12 hydroxide alone is 200 times this alkalinity.
    let reference = "{\"id\": \"own\", \"in\": {\"temp_c\": 20, \"mg_l\": {}, \"alk_mg_l_caco3\": \
                     2, \"pH\": 12}, \"out\": {}}";
    let (code, printed) = run("speciation", reference);
    assert_eq!(code, Some(1), "{printed}");
    assert!(
        printed.contains("REFUSED: line 1 (own): pH 12 beside an alkalinity"),
        "{printed}"
    );
}

/// Phosphate without its metal pairs is another model: such a reference is reported, neither passed
/// nor failed.
#[test]
fn a_case_without_phosphate_pairs_is_set_aside() {
    let text = text("acidification");
    let with = text
        .lines()
        .find(|line| line.contains("\"H3PO4\""))
        .expect("a reference of phosphoric acid");
    let (code, printed) = run("acidification", with);
    assert_eq!(code, Some(0), "{printed}");
    assert!(!printed.contains("SET ASIDE"), "{printed}");
    for mark in ["\"H3PO4 no pairs\"", "\"H3PO4\", \"metal_pairs\": false"] {
        let (code, printed) = run("acidification", &with.replace("\"H3PO4\"", mark));
        assert_eq!(code, Some(0), "{printed}");
        assert!(printed.contains("SET ASIDE"), "{printed}");
    }
}

#[test]
fn what_holds_no_case_is_not_readable() {
    for kind in OF_LINES {
        let (code, printed) = run(kind, "\n");
        assert_eq!(code, Some(2), "{kind}");
        assert!(
            printed.contains("NOT READABLE: no reference"),
            "{kind}: {printed}"
        );
    }
    let refused = compare_all("vectors", "Ca,Mg\n1,2\n")
        .expect("a kind")
        .expect_err("no table of vectors");
    assert!(refused.contains("no column \"model\""), "{refused}");
    assert!(compare_all("brewing", "").is_none());
}
