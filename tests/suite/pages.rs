//! The page of each document: its example is accepted.

use std::fs;
use std::path::Path;

use serde_json::Value;

/// The one JSON example of a page.
fn example(page: &str) -> Value {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/src/json/pages");
    let text = fs::read_to_string(folder.join(page)).expect("a page");
    let examples: Vec<&str> = text.split("```json\n").skip(1).collect();
    let [example] = examples.as_slice() else {
        panic!("{page}: {} examples", examples.len());
    };
    let (example, _) = example.split_once("```").expect("an end");
    serde_json::from_str(example).expect("JSON")
}

#[test]
fn the_example_of_each_page_is_answered() {
    let text = |page: &str| example(page).to_string();
    let plan = underlet::json::plan(&text("brew-day.md")).expect("a plan");
    assert!(!plan.additions.is_empty());
    let ledger = underlet::json::tank(&text("tank-day.md")).expect("a ledger");
    let drawn = ledger.lines.iter().filter(|line| line.drawn.is_some());
    assert_eq!(drawn.count(), 5);
    let water = underlet::json::water(&text("water-report.md")).expect("a water");
    assert!(
        water
            .findings
            .iter()
            .any(|one| one.code.as_str() == "report_old")
    );
    let fitted = underlet::json::fit_ions(&text("ion-fit.md")).expect("a fit");
    assert!(fitted.meets_every_range);
    let state = underlet::json::equilibrium(&text("equilibrium.md")).expect("an equilibrium");
    assert!((state.ph - 7.3).abs() < 1e-9);
}

#[test]
fn the_readings_of_their_page_are_diagnosed() {
    let document = example("readings.md");
    let diagnosis = underlet::json::diagnose(&document.to_string()).expect("a diagnosis");
    assert_eq!(diagnosis.compared.len(), 3);
}
