//! How well single faults of a brew day are found by its readings, and how often one is claimed where there is none, in a seeded
//! world where the truth is known.
//!
//! `cargo run --release -p underlet-tests --bin faulty_days -- [DAYS [SEED]]`, 2,000 by default; exits 1 where the right explanation is
//! first in fewer than 80 % of the detectable faults, or more than 3 % of the sound days raise an alarm.

use std::process::ExitCode;
use std::time::Instant;

use underlet_tests::faulty_days::{KINDS, NEEDED_LEAD, Tally, try_out};

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).map(|text| text.parse::<u64>());
    let (Ok(days), Ok(seed)) = (
        arguments.next().unwrap_or(Ok(2000)),
        arguments.next().unwrap_or(Ok(20_260_707)),
    ) else {
        eprintln!("usage: faulty_days [DAYS [SEED]], both whole numbers");
        return ExitCode::from(2);
    };
    let begun = Instant::now();
    let outcome = try_out(usize::try_from(days).unwrap_or(usize::MAX), seed);
    println!(
        "{days} days with one fault each; detectable: free of scatter, ahead of every other explanation by {NEEDED_LEAD} in ln"
    );
    println!(
        "{:28} {:>5} {:>11} {:>12} {:>14} {:>17}",
        "", "days", "detectable", "right first", "and claimed", "first of all days"
    );
    for (kind, tally) in KINDS.iter().zip(&outcome.kinds) {
        line(kind, tally);
    }
    let all = outcome.all();
    line("all", &all);
    println!("Not detectable, and why: what comes within reach free of scatter");
    for (rival, count) in &all.rivals {
        println!("  {count:5}  {rival}");
    }
    for (kind, tally) in KINDS.iter().zip(&outcome.kinds) {
        for (rival, count) in &tally.rivals {
            println!("         {count:5}  {kind}: {rival}");
        }
    }
    let alarms = percent(outcome.alarms, outcome.sound);
    println!(
        "{} days without a fault: one claimed on {alarms:.2} %",
        outcome.sound
    );
    println!("{:.1} s", begun.elapsed().as_secs_f64());
    let good = percent(all.first, all.detectable) >= 80.0 && alarms <= 3.0;
    ExitCode::from(u8::from(!good))
}

fn line(kind: &str, tally: &Tally) {
    println!(
        "{kind:28} {:5} {:9.1} % {:10.1} % {:12.1} % {:15.1} %",
        tally.days,
        percent(tally.detectable, tally.days),
        percent(tally.first, tally.detectable),
        percent(tally.claimed, tally.detectable),
        percent(tally.first_of_all, tally.days)
    );
}

fn percent(part: usize, whole: usize) -> f64 {
    100.0 * part as f64 / whole.max(1) as f64
}
