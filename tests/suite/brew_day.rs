//! The main job as a user runs it: the example program, its options and its exit codes.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

use underlet::EXAMPLES;
use underlet::json;
use underlet_tests::cases::{Kind, named, refused};

/// The example program, built anew by the cargo that runs this test, which says where it lies.
fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        let profile = if cfg!(debug_assertions) {
            "dev"
        } else {
            "release"
        };
        let built = Command::new(env!("CARGO"))
            .args([
                "build",
                "--quiet",
                "--locked",
                "--package",
                "underlet",
                "--example",
                "brew_day",
            ])
            .args(["--profile", profile, "--message-format", "json"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .expect("cargo runs");
        assert!(
            built.status.success(),
            "{}",
            String::from_utf8_lossy(&built.stderr)
        );
        let messages = String::from_utf8(built.stdout).unwrap();
        messages
            .lines()
            .filter_map(|line| serde_json::from_str::<serde_json::Value>(line).ok())
            .filter(|message| message["target"]["name"] == "brew_day")
            .find_map(|message| message["executable"].as_str().map(PathBuf::from))
            .expect("cargo names the program")
    })
}

fn run(arguments: &[&str]) -> Output {
    Command::new(program())
        .args(arguments)
        .output()
        .expect("the program runs")
}

/// A file of this test's own, in the folder that cargo gives to tests.
fn file(name: &str, text: &str) -> String {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

fn reported(output: &Output) -> &str {
    std::str::from_utf8(&output.stderr).unwrap()
}

fn printed(output: &Output) -> &str {
    std::str::from_utf8(&output.stdout).unwrap()
}

/// The program refuses: exit code 2, nothing printed, an error reported.
fn refusal(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(
        output.status.code(),
        Some(2),
        "{arguments:?}: {}",
        reported(&output)
    );
    assert_eq!(printed(&output), "", "{arguments:?}");
    reported(&output).to_owned()
}

#[test]
fn without_arguments_the_first_built_in_day_is_planned() {
    let output = run(&[]);
    assert!(output.status.success(), "{}", reported(&output));
    assert_eq!(reported(&output), "");
    assert_eq!(printed(&output), printed(&run(&[EXAMPLES[0].0])));
}

#[test]
fn each_built_in_day_is_planned_by_name_and_from_a_file() {
    for (key, day) in EXAMPLES {
        let by_name = run(&[key]);
        assert!(by_name.status.success(), "{key}: {}", reported(&by_name));
        assert_eq!(
            printed(&by_name).trim_end(),
            json::plan(day).unwrap().to_text().trim_end(),
            "{key}"
        );
        assert!(
            printed(&by_name)
                .lines()
                .all(|line| line.chars().count() <= 100),
            "{key}: wider than 100 columns"
        );
        let from_file = run(&[&file(&format!("{key}.json"), day)]);
        assert_eq!(printed(&from_file), printed(&by_name), "{key}");
    }
}

#[test]
fn json_is_the_golden_plan() {
    for (key, _) in EXAMPLES {
        let golden = named(Kind::BrewDay, key).kept_answer();
        assert_eq!(printed(&run(&[key, "--json"])), golden + "\n", "{key}");
    }
}

#[test]
fn a_sheet_is_written() {
    let sheet = file("sheet.html", "");
    let output = run(&["--sheet", &sheet]);
    assert!(output.status.success(), "{}", reported(&output));
    assert_eq!(reported(&output), format!("sheet written to {sheet}\n"));
    let html = fs::read_to_string(&sheet).unwrap();
    assert_eq!(html, json::plan(EXAMPLES[0].1).unwrap().to_html());
    assert!(html.starts_with("<!doctype html>") && html.ends_with("</html>\n"));
}

#[test]
fn bad_days_end_with_2_and_one_line_for_each_problem() {
    for name in [
        "refused/brew-day/several.json",
        "refused/brew-day/json-trailing-comma.json",
        "refused/brew-day/unit-barrel.json",
    ] {
        let mut cases = refused().into_iter();
        let case = cases.find(|case| case.to_string() == name).expect(name);
        let day = file("bad-day.json", &case.text());
        let lines: Vec<String> = refusal(&[&day]).lines().map(str::to_owned).collect();
        assert_eq!(lines, case.content.messages, "{name}");
    }
}

#[test]
fn bad_usage_ends_with_2_and_the_usage() {
    for (arguments, part) in [
        (&["--frobnicate"][..], "unknown option --frobnicate"),
        (&["--sheet"], "--sheet needs a file name"),
        (&["pale-ale-10hl", "pale-lager-ro"], "one day at a time"),
    ] {
        let reported = refusal(arguments);
        assert!(
            reported.contains(part) && reported.contains("usage: brew_day"),
            "{arguments:?}: {reported}"
        );
    }
}

#[test]
fn files_that_cannot_be_read_or_written_end_with_2() {
    let reported = refusal(&["no-such-day.json"]);
    assert!(
        reported.contains("no-such-day.json")
            && reported.contains("built-in days are pale-ale-10hl"),
        "{reported}"
    );
    let nowhere = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("no-such-folder")
        .join("sheet.html");
    let reported = refusal(&["--sheet", nowhere.to_str().unwrap()]);
    assert!(reported.contains("no-such-folder"), "{reported}");
}
