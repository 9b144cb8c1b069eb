//! Writes the kept answers of `tests/cases` anew, and the cases of the built-in days:
//! `cargo run -p underlet-tests --bin golden`. Read the difference before committing it.

use std::fs;
use std::path::Path;
use std::process::ExitCode;

use underlet::EXAMPLES;
use underlet_tests::cases::{Content, Kind, answered, folder};

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
    let brew_days = folder().join(Kind::BrewDay.folder());
    for (key, day) in EXAMPLES {
        let case = Content {
            name: format!("the built-in day {key}"),
            source: "made up; the plan is the engine's own, kept to see that it changes only \
                     where it should"
                .to_owned(),
            document: Some(serde_json::from_str(day).map_err(|error| format!("{key}: {error}"))?),
            text: None,
            problems: Vec::new(),
            messages: Vec::new(),
        };
        let text = serde_json::to_string_pretty(&case);
        let text = text.map_err(|error| format!("{key}: {error}"))?;
        write(&brew_days.join(format!("{key}.json")), &(text + "\n"))?;
    }
    let cases = answered();
    for case in &cases {
        let answer = case.answer().map_err(|error| format!("{case}: {error}"))?;
        write(&case.answer_path(), &answer)?;
    }
    Ok(cases.len())
}

fn write(path: &Path, text: &str) -> Result<(), String> {
    fs::write(path, text).map_err(|error| format!("{}: {error}", path.display()))
}
