//! Answers batches of questions of speciation and acidification, and says how long a question
//! takes.
//!
//! Standard input: references as in the files of `references` (one JSON object a line; results in
//! them are not looked at), a batch ending with an empty line. Standard output: for each reference
//! of the batch one line with `id`, `pH`, `ionic_strength` and, where an acid is asked for,
//! `mmol_acid_per_kg`; then one line with `seconds_per_question` and `questions` asked.
//!
//! The time is that of the engine alone, constants at each question's temperature included, reading
//! and writing left out: all of the batch again and again for at least [`SHORTEST`].
//!
//! Exit code 0: every reference was answered; 2: one could not be read or was refused.

use std::hint::black_box;
use std::io::{self, BufRead, Write};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use underlet::aqueous::Equilibrium;
use underlet_tests::equilibria::{Acidification, Fault, Node, Water};

/// How long a batch is asked at least.
const SHORTEST: Duration = Duration::from_millis(200);

enum Problem {
    Speciation(Box<Water>),
    Acidification(Box<Acidification>),
}

impl Problem {
    fn read(reference: &Value) -> Result<Problem, String> {
        let node = Node::root(reference);
        Ok(if node.find("acid").is_some() {
            Problem::Acidification(Box::new(Acidification::read(&node)?))
        } else {
            Problem::Speciation(Box::new(Water::read(&node.need("in")?)?))
        })
    }

    /// The state, and the dose in mol/kg.
    fn answer(&self) -> Result<(Equilibrium, Option<f64>), Fault> {
        match self {
            Problem::Speciation(water) => Ok((water.equilibrium()?, None)),
            Problem::Acidification(question) => {
                let (_, after, amount) = question.answer()?;
                Ok((after, Some(amount)))
            }
        }
    }
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
    let references: Vec<Value> = lines
        .iter()
        .map(|line| serde_json::from_str(line).map_err(|error| format!("{error}: {line}")))
        .collect::<Result<_, _>>()?;
    let questions: Vec<Problem> = references
        .iter()
        .map(Problem::read)
        .collect::<Result<_, _>>()?;
    let mut out = io::BufWriter::new(io::stdout().lock());
    for (reference, question) in references.iter().zip(&questions) {
        let id = &reference["id"];
        let (state, dose) = question
            .answer()
            .map_err(|fault| format!("{id}: {fault:?}"))?;
        let reported = json!({
            "id": id,
            "pH": state.ph,
            "ionic_strength": state.ionic_strength_mol_per_kg,
            "mmol_acid_per_kg": dose.map(|amount| amount * 1000.0),
        });
        writeln!(out, "{reported}").map_err(|error| error.to_string())?;
    }
    let (seconds, asked) = timed(&questions);
    let reported = json!({ "seconds_per_question": seconds, "questions": asked });
    writeln!(out, "{reported}")
        .and_then(|()| out.flush())
        .map_err(|error| error.to_string())
}

/// Seconds per question, and how many were asked.
fn timed(questions: &[Problem]) -> (f64, usize) {
    let start = Instant::now();
    let mut asked = 0;
    while asked == 0 || start.elapsed() < SHORTEST {
        for question in questions {
            let _ = black_box(black_box(question).answer());
        }
        asked += questions.len();
        if questions.is_empty() {
            break;
        }
    }
    (start.elapsed().as_secs_f64() / asked.max(1) as f64, asked)
}
