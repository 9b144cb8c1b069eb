//! How well single faults of a brew day are found by its readings, and how often one is claimed
//! where there is none, in a seeded world where the truth is known.
//!
//! `cargo run --release -p underlet-tests --bin faulty_days -- [DAYS [SEED]]`, 2,000 by default;
//! exits 1 where the right explanation is first in fewer than 80 % of the detectable faults, more
//! than 2 % of the sound days raise an alarm, or the intervals of 95 % hold less than 93 or more
//! than 97 % of the readings of pH somewhere (of 500 days or more; of fewer, chance is wider).

use std::process::ExitCode;
use std::time::Instant;

use underlet::Place;
use underlet_tests::faulty_days::{FaultyDay, KINDS, Outcome, Side, try_out};

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
        "{days} days with one fault each. Detectable: free of all scatter, twenty to one against \
         every other explanation."
    );
    println!(
        "of all days, %:               days  detectable  right first  named  another named alone"
    );
    for (kind, name) in KINDS.iter().enumerate() {
        line(&outcome, name, |day| day.kind == kind);
    }
    line(&outcome, "all", |_| true);
    println!("of the detectable, %:");
    for (kind, name) in KINDS.iter().enumerate() {
        line(&outcome, name, |day| {
            day.is_detectable() && day.kind == kind
        });
    }
    line(&outcome, "all", FaultyDay::is_detectable);
    println!("by the lead that is foreseen (ln):");
    for pair in LEADS.windows(2) {
        let within = |day: &FaultyDay| day.lead >= pair[0] && day.lead < pair[1];
        line(&outcome, &format!("{} to {}", pair[0], pair[1]), within);
    }
    println!("Not detectable, and what stands in the way:");
    for (kind, name) in KINDS.iter().enumerate() {
        for rival in rivals(&outcome) {
            let is_such =
                |day: &&FaultyDay| !day.is_detectable() && day.kind == kind && day.rival == rival;
            let count = outcome.faulty.iter().filter(is_such).count();
            if count > 0 {
                println!("  {name:28} {count:5}  {rival}");
            }
        }
    }
    println!(
        "{} days without a fault: one claimed on {:.2} %, doubt on {:.2} %; chi-square beyond 5 % \
         on {:.1} %; readings off by {:.3} of their standard deviation (root mean square)",
        outcome.sound,
        outcome.alarms_percent(),
        100.0 * outcome.doubts as f64 / outcome.sound.max(1) as f64,
        100.0 * outcome.beyond as f64 / outcome.sound.max(1) as f64,
        (outcome.squares / outcome.readings.max(1) as f64).sqrt()
    );
    println!("of the readings of pH on these, % below, inside and above their intervals of 95 %:");
    for place in PLACES {
        let of = |side| outcome.interval_percent(Some(place), side);
        let (below, inside, above) = (of(Side::Below), of(Side::Inside), of(Side::Above));
        println!(
            "  {:28} {below:4.1} {inside:5.1} {above:4.1}",
            place.label()
        );
    }
    for (what, sides) in [
        ("volumes to an end point", &outcome.of_end_point),
        ("readings once it was poured to", &outcome.once_poured),
    ] {
        let of = |side: Side| side.percent(sides.iter().copied());
        let (below, inside, above) = (of(Side::Below), of(Side::Inside), of(Side::Above));
        let count = sides.len();
        println!("of {count} {what}, %: {below:.1} {inside:.1} {above:.1}");
    }
    println!("{:.1} s", begun.elapsed().as_secs_f64());
    let first = outcome.percent(FaultyDay::is_detectable, |day| day.is_first);
    let is_off = |place: &Place| {
        let inside = outcome.interval_percent(Some(*place), Side::Inside);
        !(93.0..=97.0).contains(&inside)
    };
    let are_off = days >= 500 && PLACES.iter().any(is_off);
    let fails = first < 80.0 || outcome.alarms_percent() > 2.0 || are_off;
    ExitCode::from(u8::from(fails))
}

/// Where pH is read.
const PLACES: [Place; 6] = [
    Place::ColdLiquor,
    Place::Tank,
    Place::MashLiquor,
    Place::Mash,
    Place::SpargeLiquor,
    Place::Kettle,
];
/// Ends of classes of foreseen leads; 3 is nearly the lead of what is detectable.
const LEADS: [f64; 7] = [-100.0, -2.0, 0.0, 1.5, 3.0, 6.0, 1000.0];

fn rivals(outcome: &Outcome) -> Vec<&'static str> {
    let mut rivals: Vec<&str> = outcome.faulty.iter().map(|day| day.rival).collect();
    rivals.sort_unstable();
    rivals.dedup();
    rivals
}

fn line(outcome: &Outcome, name: &str, of: impl Fn(&FaultyDay) -> bool) {
    let days = outcome.faulty.iter().filter(|day| of(day)).count();
    println!(
        "  {name:28} {days:4} {:11.1} {:12.1} {:6.1} {:20.1}",
        outcome.percent(&of, FaultyDay::is_detectable),
        outcome.percent(&of, |day| day.is_first),
        outcome.percent(&of, |day| day.is_named),
        outcome.percent(&of, |day| day.is_misnamed),
    );
}
