//! What the meters of a brew day should show, and what it means if they do not.
//!
//! ```text
//! cargo run --example check_day
//! ```
//!
//! The built-in day of Ninefold Quay, with readings as they would be had the lactic acid been forgotten (made up, for the
//! demonstration): first without, then with a buffer to doubt the probe by.

use std::error::Error;

use underlet::brewday::check::MeterReading;
use underlet::brewday::{BrewDay, EXAMPLES, Meter, Place};

fn main() -> Result<(), Box<dyn Error>> {
    let day = BrewDay::from_json(EXAMPLES[0].1)?;
    let checks = day.checks()?;
    println!("What the meters should show");
    for reading in checks.readings() {
        println!("  {}, {}: {}", reading.label, reading.when, reading.display);
    }
    Ok(())
}
