//! Where a mash ends that is read and corrected, beside what was stated of it, in a seeded world
//! where the truth is known.
//!
//! `cargo run --release -p underlet-tests --bin corrected_days -- [DAYS [SEED]]`, 5,000 by default;
//! exits 1 where a stated chance is off by more than two points (of fewer days, chance is wider).

use std::process::ExitCode;
use std::time::Instant;

use underlet_tests::corrected_days::{Stated, shares, try_out};

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1).map(|text| text.parse::<u64>());
    let (Ok(days), Ok(seed)) = (
        arguments.next().unwrap_or(Ok(5000)),
        arguments.next().unwrap_or(Ok(20_261_130)),
    ) else {
        eprintln!("usage: corrected_days [DAYS [SEED]], both whole numbers");
        return ExitCode::from(2);
    };
    let begun = Instant::now();
    let all = try_out(usize::try_from(days).unwrap_or(usize::MAX), seed);
    println!("% of {days} days             stated  inside  within 0.1  below the range");
    let stages: [(&str, Vec<Stated>); 5] = [
        (
            "as planned, all at once",
            all.iter().map(|day| day.as_planned).collect(),
        ),
        (
            "once corrected, foreseen",
            all.iter().filter_map(|day| day.foreseen).collect(),
        ),
        (
            "read and corrected once",
            all.iter().map(|day| day.corrected[0]).collect(),
        ),
        (
            "once, its liquor read too",
            all.iter().map(|day| day.with_liquor).collect(),
        ),
        (
            "read and corrected twice",
            all.iter().map(|day| day.corrected[1]).collect(),
        ),
    ];
    let mut is_off = false;
    for (name, stages) in &stages {
        let of = shares(stages.iter());
        println!(
            "  {name:26} {:6.1} {:7.1} {:11.1} {:16.1}",
            of.stated, of.inside, of.within_a_tenth, of.below
        );
        is_off |= (of.stated - of.inside).abs() > 2.0;
    }
    let doses: usize = all.iter().map(|day| day.doses).sum();
    println!(
        "{:.2} doses a day after a reading; {:.1} s",
        doses as f64 / all.len().max(1) as f64,
        begun.elapsed().as_secs_f64()
    );
    ExitCode::from(u8::from(is_off))
}
