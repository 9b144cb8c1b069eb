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

const USAGE: &str = "usage: brew_day [DAY.json | built-in day] [--json] [--sheet OUT.html]";

/// What the command line asks for.
struct Wish {
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
    let wish = wish(env::args().skip(1))?;
    let text = day_text(wish.day.as_deref())?;
    let plan = json::plan(&text).map_err(|error| error.to_string())?;
    if let Some(path) = wish.sheet {
        fs::write(&path, plan.to_html()).map_err(|error| format!("{path}: {error}"))?;
        eprintln!("sheet written to {path}");
    }
    println!(
        "{}",
        if wish.as_json {
            plan.to_json()
        } else {
            plan.to_text()
        }
    );
    Ok(())
}

fn wish(arguments: impl Iterator<Item = String>) -> Result<Wish, String> {
    let mut wish = Wish {
        day: None,
        as_json: false,
        sheet: None,
    };
    let mut arguments = arguments.peekable();
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--json" => wish.as_json = true,
            "--sheet" => {
                let file = arguments
                    .next()
                    .ok_or_else(|| format!("--sheet needs a file name\n{USAGE}"))?;
                wish.sheet = Some(file);
            }
            option if option.starts_with('-') => {
                return Err(format!("unknown option {option}\n{USAGE}"));
            }
            _ if wish.day.is_some() => return Err(format!("one day at a time\n{USAGE}")),
            _ => wish.day = Some(argument),
        }
    }
    Ok(wish)
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
