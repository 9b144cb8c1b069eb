//! Compares the engine with files of reference results, and runs tables of waters through it.
//!
//! ```text
//! cargo run --release -p underlet-tests --bin compare -- WHAT FILE...
//!
//! plan WATERS.csv...              the first built-in day with each water
//! report-mistakes WATERS.csv...   each water as a report, and mistakes put into it
//! fits FILE.jsonl...              fits of ions against proven optima
//! mash EXPERIMENTS.csv...         published mashes against forecast and correction
//! KIND FILE...                    equilibria against reference results
//! ```
//!
//! with KIND one of those in [`underlet_tests::equilibria`]; `-` reads standard input.
//!
//! Exit code 0: no failure; 1: failures, each reported; 2: bad usage, or a file that cannot be read
//! as a whole.

use std::process::ExitCode;
use std::{env, fs, io};

use underlet_tests::{equilibria, fits, mashes, report_mistakes, waters};

/// How a run ended: with a number of failures, or with a file that holds what cannot be read.
enum Ended {
    Failures(usize),
    NotReadable,
}

fn main() -> ExitCode {
    match run(&env::args().skip(1).collect::<Vec<_>>()) {
        Ok(Ended::Failures(0)) => ExitCode::SUCCESS,
        Ok(Ended::Failures(_)) => ExitCode::FAILURE,
        Ok(Ended::NotReadable) => ExitCode::from(2),
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

/// Kinds that take tables of waters.
const TABLES: [&str; 4] = ["plan", "report-mistakes", "mash", "fits"];

fn usage() -> String {
    let kinds = equilibria::kinds().join("|");
    format!(
        "usage: compare plan WATERS.csv...\n       compare report-mistakes WATERS.csv...\n       \
         compare mash EXPERIMENTS.csv...\n       compare fits FILE.jsonl...\n       compare \
         {kinds} FILE..."
    )
}

/// Runs every file of one kind.
fn run(arguments: &[String]) -> Result<Ended, String> {
    let (kind, files) = arguments.split_first().ok_or_else(usage)?;
    if !TABLES.contains(&kind.as_str()) && !equilibria::kinds().contains(&kind.as_str()) {
        return Err(format!("unknown kind of file \"{kind}\"\n{}", usage()));
    }
    if files.is_empty() {
        return Err(format!("{kind} needs a file\n{}", usage()));
    }
    let mut failures = 0;
    let mut readable = true;
    for file in files {
        match one(kind, file)? {
            Ended::Failures(more) => failures += more,
            Ended::NotReadable => readable = false,
        }
    }
    Ok(if readable {
        Ended::Failures(failures)
    } else {
        Ended::NotReadable
    })
}

/// Runs one file and prints what came of it.
fn one(kind: &str, file: &str) -> Result<Ended, String> {
    let text = read(file).map_err(|error| format!("{file}: {error}"))?;
    let reported = |reason: String| format!("{file}: {reason}");
    if let Some(score) = equilibria::compare_all(kind, &text) {
        let score = score.map_err(reported)?;
        print!("{file}\n{score}");
        return Ok(if score.is_readable() {
            Ended::Failures(score.failures())
        } else {
            Ended::NotReadable
        });
    }
    if kind == "report-mistakes" {
        let outcome = report_mistakes::study(&text).map_err(reported)?;
        println!("{file}\n{outcome}");
        return Ok(Ended::Failures(outcome.findings.failures.len()));
    }
    if kind == "mash" {
        // How near a forecast comes is reported, not judged: a failure is a row that cannot be
        // read, or a table of which nothing was compared.
        let comparison = mashes::compare_all(&text).map_err(reported)?;
        print!("{file}\n{comparison}");
        return Ok(if comparison.unreadable.is_empty() {
            Ended::Failures(comparison.empty_tables().len())
        } else {
            Ended::NotReadable
        });
    }
    if kind == "fits" {
        let score = fits::compare_all(&text);
        print!("{file}\n{score}");
        return Ok(if score.is_readable() {
            Ended::Failures(score.failures())
        } else {
            Ended::NotReadable
        });
    }
    let tally = waters::plan_all(&text).map_err(reported)?;
    println!("{file}\n{tally}");
    Ok(Ended::Failures(tally.failures.len()))
}

fn read(file: &str) -> io::Result<String> {
    if file == "-" {
        io::read_to_string(io::stdin())
    } else {
        fs::read_to_string(file)
    }
}
