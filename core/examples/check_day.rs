//! What the meters of a brew day should show, and what it means if they do not.
//!
//! ```text
//! cargo run --example check_day
//! cargo run --example check_day -- READINGS.json
//! ```
//!
//! With a `readings` document its answer: each reading, the verdict, and what mash and kettle
//! still need, and whether the runnings may run on.
//! Without one the built-in day of Ninefold Quay, with made-up readings of a tank that stayed at
//! the pH of the well: first alone, when a probe that is off explains them too, then with the
//! buffer that clears the probe.

use std::error::Error;

use underlet::readings::diagnosis::MeterReading;
use underlet::{BrewDay, EXAMPLES, Meter, Place};

fn main() -> Result<(), Box<dyn Error>> {
    if let Some(path) = std::env::args().nth(1) {
        return answer(&std::fs::read_to_string(path)?);
    }
    let day = BrewDay::from_json(EXAMPLES[0].1)?;
    let checks = day.diagnostics()?;
    println!("What the meters should show");
    for reading in checks.readings() {
        println!("  {}, {}: {}", reading.label, reading.when, reading.display);
    }

    let mut read = vec![MeterReading::at(Place::Mash, Meter::Ph, 5.85)];
    println!("\nThe mash alone\n{}", checks.diagnose(&read)?);

    read.push(MeterReading::known(Meter::Ph, 7.0, 7.03));
    println!("And a buffer of 7.00\n{}", checks.diagnose(&read)?);

    read.push(MeterReading::at(Place::Tank, Meter::Ph, 7.4));
    println!("And the tank\n{}", checks.diagnose(&read)?);
    Ok(())
}

fn answer(document: &str) -> Result<(), Box<dyn Error>> {
    let diagnosis = underlet::json::diagnose(document)?;
    for one in &diagnosis.compared {
        println!("{}", one.text);
    }
    println!("{}", diagnosis.sentence);
    for text in &diagnosis.to_do {
        println!("{text}");
    }
    Ok(())
}
