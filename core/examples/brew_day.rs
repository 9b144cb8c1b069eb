//! The main job: a brew day in, a plan to weigh from out.
//!
//! ```text
//! cargo run --release --example brew_day                                    the built-in Ninefold Quay day
//! cargo run --release --example brew_day -- dark-mild-2.5hl                 another built-in day
//! cargo run --release --example brew_day -- my-day.json                     your own
//! cargo run --release --example brew_day -- my-day.json --json              the plan document
//! cargo run --release --example brew_day -- my-day.json --sheet sheet.html  a sheet to print
//! cargo run --release --example brew_day -- my-day.json --targets "mild"    with other targets
//! ```
//!
//! Bad input ends with exit code 2 and one line per problem on standard error.

use std::process::ExitCode;
use std::{env, fs};

use underlet::{BrewDay, EXAMPLES, targets_for};

const USAGE: &str = "usage: brew_day [DAY.json | built-in day] [--targets FAMILY] [--json] \
                     [--sheet OUT.html]\n\nPlans a brew day, the built-in one of Ninefold Quay \
                     where none is named, and prints the plan.\n--targets replaces its targets \
                     by those to begin with for a family of beers, such as \"pale lager\", and \
                     prints why they are what they are.\n--json prints the plan as a document; \
                     --sheet writes a sheet to print besides.";

/// What the command line asks for.
struct Arguments {
    day: Option<String>,
    as_json: bool,
    sheet: Option<String>,
    family: Option<String>,
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
    let mut day =
        BrewDay::from_json(&day_text(read.day.as_deref())?).map_err(|error| error.to_string())?;
    if let Some(family) = read.family {
        let begin = targets_for(&family).map_err(|error| error.to_string())?;
        eprintln!("{begin}");
        day.targets = begin.targets;
    }
    let plan = day.plan().map_err(|error| error.to_string())?;
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
        family: None,
    };
    let mut given = given.peekable();
    while let Some(argument) = given.next() {
        let mut next = |what: &str| {
            let value = given.next();
            value.ok_or_else(|| format!("{argument} needs {what}\n{USAGE}"))
        };
        match argument.as_str() {
            "--json" => read.as_json = true,
            "--sheet" => read.sheet = Some(next("a file name")?),
            "--targets" => read.family = Some(next("a family of beers")?),
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
