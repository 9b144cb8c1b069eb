//! Runs files of cases from outside through the engine.
//!
//! ```text
//! cargo run --release -p underlet-tests --bin cases -- plan WATERS.csv...   the first built-in day with each water
//! ```
//!
//! Exit code 0: no failure; 1: failures, each told; 2: bad usage, or a file that cannot be read.

use std::process::ExitCode;
use std::{env, fs};

use underlet_tests::waters;

const USAGE: &str = "usage: cases plan WATERS.csv...";

fn main() -> ExitCode {
    match run(&env::args().skip(1).collect::<Vec<_>>()) {
        Ok(0) => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

/// Runs one kind of cases; the number of failures.
fn run(arguments: &[String]) -> Result<usize, String> {
    match arguments.split_first() {
        Some((kind, files)) if kind == "plan" && !files.is_empty() => {
            files.iter().map(|file| plan(file)).sum()
        }
        Some((kind, _)) if kind == "plan" => Err(format!("plan needs a file\n{USAGE}")),
        Some((kind, _)) => Err(format!("unknown kind of cases \"{kind}\"\n{USAGE}")),
        None => Err(USAGE.to_owned()),
    }
}

fn plan(file: &str) -> Result<usize, String> {
    let text = fs::read_to_string(file).map_err(|error| format!("{file}: {error}"))?;
    let tally = waters::plan_all(&text).map_err(|error| format!("{file}: {error}"))?;
    println!("{file}\n{tally}");
    Ok(tally.failures.len())
}
