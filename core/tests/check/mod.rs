//! Check readings: what is expected, by the plan and by hand; what is made of readings, by hand and
//! by brute force; laws over random days; errors.

mod brews;
mod errors;
mod expected;
mod laws;
mod reconciled;
mod worked;

use underlet::readings::diagnosis::{Diagnostics, MeterReading};
use underlet::{BrewDay, EXAMPLES, Meter, Place};

/// The built-in pale ale of Ninefold Quay.
fn pale_ale() -> BrewDay {
    BrewDay::from_json(EXAMPLES[0].1).expect("a day")
}

const PLACES: [Place; 6] = [
    Place::ColdLiquor,
    Place::Tank,
    Place::MashLiquor,
    Place::Mash,
    Place::SpargeLiquor,
    Place::Kettle,
];

/// Everything that a day predicts, read as it should be.
fn as_expected(checks: &Diagnostics) -> Vec<MeterReading> {
    let everything = PLACES
        .iter()
        .flat_map(|place| Meter::ALL.map(|meter| MeterReading::at(*place, meter, 0.0)));
    everything
        .filter_map(|reading| {
            let shown = checks.shown(None, &[reading])?;
            Some(MeterReading {
                value: *shown.first()?,
                ..reading
            })
        })
        .collect()
}
