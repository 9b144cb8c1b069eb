//! How honest the reconciled waters' error bars are, and how well a measurement that is off is
//! found, in a seeded world where the truth is known.
//!
//! `cargo run --release -p underlet-tests --bin reconciliation -- [WATERS [SEED]]`, 2,000 by
//! default; exits 1 where a coverage lies outside 93 to 97 %. Only the bench alone, without a
//! report, is let pass: its ions are what is usual, cut off at zero, and some of its intervals are
//! a little wider than they need be (up to 98 %).

use std::process::ExitCode;
use std::time::Instant;

use underlet_tests::reconciliation::{CLASSES, Scenario, coverage, detection};

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).map(|text| text.parse::<u64>());
    let (Ok(waters), Ok(seed)) = (
        arguments.next().unwrap_or(Ok(2000)),
        arguments.next().unwrap_or(Ok(20_260_401)),
    ) else {
        eprintln!("usage: reconciliation [WATERS [SEED]], both whole numbers");
        return ExitCode::from(2);
    };
    let waters = usize::try_from(waters).unwrap_or(usize::MAX);
    let mut astray = false;
    for scenario in Scenario::all() {
        let begun = Instant::now();
        let found = coverage(&scenario, waters, seed);
        let each = begun.elapsed().as_secs_f64() / waters as f64;
        println!("{} ({:.0} µs each)", scenario.name, each * 1.0e6);
        for (name, tally) in &found.quantities {
            let percent = tally.percent();
            let mark = if (93.0..=97.0).contains(&percent) {
                ""
            } else {
                "  <-"
            };
            println!("    {name:13} {percent:5.1} %{mark}");
            let wide = scenario.report.is_empty() && percent > 97.0 && percent <= 98.5;
            astray |= !(mark.is_empty() || wide);
        }
        let beyond = 100.0 * found.beyond_chi_square as f64 / waters as f64;
        println!("    chi-square beyond 5 %: {beyond:.1} %");
        println!("    one measurement off by five standard deviations, by redundancy:");
        for (end, class) in CLASSES.iter().zip(detection(&scenario, waters, seed + 1)) {
            let percent = |count: usize| 100.0 * count as f64 / class.all.max(1) as f64;
            println!(
                "      up to {end:4}: {:5} trials, named {:5.1} %, suspected {:5.1} % (of {:.1} \
                 suspects), alarm {:5.1} %",
                class.all,
                percent(class.named),
                percent(class.suspected),
                class.suspects as f64 / class.all.max(1) as f64,
                percent(class.alarmed)
            );
        }
    }
    ExitCode::from(u8::from(astray))
}
