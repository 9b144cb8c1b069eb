//! The main job: a brew day in, a plan to weigh from out.
//!
//! ```text
//! cargo run --release --example brew_day                                    the built-in Ninefold Quay day
//! cargo run --release --example brew_day -- dark-mild-2.5hl                 another built-in day
//! cargo run --release --example brew_day -- my-day.json                     your own
//! cargo run --release --example brew_day -- my-day.json --json              the plan document
//! cargo run --release --example brew_day -- my-day.json --sheet sheet.html  a sheet to print
//! ```
//!
//! Bad input ends with exit code 2 and one line per problem on standard error.

use std::process::ExitCode;
use std::{env, fs};

use underlet::EXAMPLES;
use underlet::json;

const USAGE: &str = "usage: brew_day [DAY.json | built-in day] [--json] [--sheet \
                     OUT.html]\n\nPlans a brew day, the built-in one of Ninefold Quay where none \
                     is named, and prints the plan.\n--json prints it as a document; --sheet \
                     writes a sheet to print besides.";

/// What the command line asks for.
struct Arguments {
    day: Option<String>,
    as_json: bool,
    sheet: Option<String>,
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<(), String> {
    if env::args().skip(1).any(|argument| argument == "--help") {
        println!("{USAGE}");
        return Ok(());
    }
    let read = arguments(env::args().skip(1))?;
    let text = day_text(read.day.as_deref())?;
    let plan = json::plan(&text).map_err(|error| error.to_string())?;
    if let Some(path) = read.sheet {
        fs::write(&path, plan.to_html()).map_err(|error| format!("{path}: {error}"))?;
        eprintln!("sheet written to {path}");
    }
    println!(
        "{}",
        if read.as_json {
            plan.to_json()
        } else {
            plan.to_text()
        }
    );
    Ok(())
}

fn arguments(given: impl Iterator<Item = String>) -> Result<Arguments, String> {
    let mut read = Arguments {
        day: None,
        as_json: false,
        sheet: None,
    };
    let mut given = given.peekable();
    while let Some(argument) = given.next() {
        match argument.as_str() {
            "--json" => read.as_json = true,
            "--sheet" => {
                let file = given
                    .next()
                    .ok_or_else(|| format!("--sheet needs a file name\n{USAGE}"))?;
                read.sheet = Some(file);
            }
            option if option.starts_with('-') => {
                return Err(format!("unknown option {option}\n{USAGE}"));
            }
            _ if read.day.is_some() => return Err(format!("one day at a time\n{USAGE}")),
            _ => read.day = Some(argument),
        }
    }
    Ok(read)
}

/// The text of a built-in day, by name, or of a file.
fn day_text(day: Option<&str>) -> Result<String, String> {
    let built_in = |name: &str| {
        EXAMPLES
            .iter()
            .find(|(key, _)| *key == name)
            .map(|(_, text)| (*text).to_owned())
    };
    match day {
        None => Ok(EXAMPLES[0].1.to_owned()),
        Some(name) => built_in(name).map_or_else(
            || {
                let known: Vec<&str> = EXAMPLES.iter().map(|(key, _)| *key).collect();
                fs::read_to_string(name).map_err(|error| {
                    format!("{name}: {error}; built-in days are {}", known.join(", "))
                })
            },
            Ok,
        ),
    }
}
