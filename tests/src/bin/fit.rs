//! Answers batches of fits of ions, and says how long one takes.
//!
//! Standard input: references as in the files of `references fits` (one JSON object a line; results
//! in them are not looked at), a batch ending with an empty line. Standard output: for each
//! reference of the batch one line with `id`, `objective`, `dilution`, `amounts_mg_l`, `gap` and
//! `nodes`; then one line with `seconds_per_question` and `problems` asked.
//!
//! The time is that of the engine alone, from the problem to the answer, reading and writing left
//! out: all of the batch again and again for at least [`SHORTEST`], by one fitter that keeps its
//! memory.
//!
//! Exit code 0: every reference was answered; 2: one could not be read or was refused.

use std::hint::black_box;
use std::io::{self, BufRead, Write};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use serde_json::json;
use underlet::fit::IonFitter;
use underlet_tests::fits::ReferenceFit;

/// How long a batch is asked at least.
const SHORTEST: Duration = Duration::from_millis(200);

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
    let mut batch = Vec::new();
    for line in io::stdin().lock().lines() {
        let line = line.map_err(|error| error.to_string())?;
        if line.trim().is_empty() {
            answer(&batch)?;
            batch.clear();
        } else {
            batch.push(line);
        }
    }
    if batch.is_empty() {
        Ok(())
    } else {
        answer(&batch)
    }
}

/// Answers a batch and times it.
fn answer(lines: &[String]) -> Result<(), String> {
    let references: Vec<ReferenceFit> = lines
        .iter()
        .map(|line| {
            let reference =
                serde_json::from_str(line).map_err(|error| format!("{error}: {line}"))?;
            ReferenceFit::read(&reference)
        })
        .collect::<Result<_, _>>()?;
    let mut fitter = IonFitter::new();
    let mut out = io::BufWriter::new(io::stdout().lock());
    for reference in &references {
        let answer = fitter.solve(&reference.problem);
        let answer = answer.map_err(|error| format!("{}: {error}", reference.id))?;
        let reported = json!({
            "id": reference.id,
            "objective": answer.objective,
            "dilution": answer.dilution,
            "amounts_mg_l": answer.amounts,
            "gap": answer.gap,
            "nodes": answer.nodes,
        });
        writeln!(out, "{reported}").map_err(|error| error.to_string())?;
    }
    let (seconds, asked) = timed(&references, &mut fitter);
    let reported = json!({ "seconds_per_question": seconds, "problems": asked });
    writeln!(out, "{reported}")
        .and_then(|()| out.flush())
        .map_err(|error| error.to_string())
}

/// Seconds per problem, and how many were asked.
fn timed(references: &[ReferenceFit], fitter: &mut IonFitter) -> (f64, usize) {
    let start = Instant::now();
    let mut asked = 0;
    while asked == 0 || start.elapsed() < SHORTEST {
        for reference in references {
            let _ = black_box(fitter.solve(black_box(&reference.problem)));
        }
        asked += references.len();
        if references.is_empty() {
            break;
        }
    }
    (start.elapsed().as_secs_f64() / asked.max(1) as f64, asked)
}
