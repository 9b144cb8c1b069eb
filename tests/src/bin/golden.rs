//! Rewrites the answers that the shared cases compare with, and the cases of the built-in days:
//! `cargo run -p underlet-tests --bin golden`. Read the difference before committing it.

use std::fs;
use std::process::ExitCode;

use underlet::brewday::EXAMPLES;
use underlet_tests::cases::{self, Case};

fn main() -> ExitCode {
    match run() {
        Ok(written) => {
            println!("{written} answers written");
            ExitCode::SUCCESS
        }
        Err(message) => {
            eprintln!("{message}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<usize, String> {
    for (key, day) in EXAMPLES {
        let case = Case {
            name: format!("the built-in day {key}"),
            source: "made up; the plan is the engine's own, kept to see that it changes only where it should".to_owned(),
            day: Some(serde_json::from_str(day).map_err(|error| format!("{key}: {error}"))?),
            day_text: None,
            report: None,
            readings: None,
            tank: None,
            fit: None,
            water_file: None,
            diagnosis_file: None,
            tank_file: None,
            fitted_file: None,
            problems: None,
            messages: None,
            plan_file: Some(format!("{key}.plan.json")),
        };
        let text =
            serde_json::to_string_pretty(&case).map_err(|error| format!("{key}: {error}"))?;
        write(&format!("{key}.json"), &(text + "\n"))?;
    }
    let mut written = 0;
    for (name, case) in cases::read_all()? {
        if let Some(file) = case.answer_file() {
            let answer = case.answer().map_err(|error| format!("{name}: {error}"))?;
            write(file, &answer)?;
            written += 1;
        }
    }
    Ok(written)
}

fn write(name: &str, text: &str) -> Result<(), String> {
    fs::write(cases::folder().join(name), text).map_err(|error| format!("{name}: {error}"))
}
