//! Reads this morning's bench: readings as meters and kits show them, and titrations from their
//! volumes.

use super::ObjectReader;
use crate::error::ErrorCode;
use crate::quantity::{self, Quantity};
use crate::water_report::titration::{
    Measured, Reading, TitrationError, alkalinity_eq_per_kg, drop_count, gran_equivalence_ml,
    hardness_eq_per_kg,
};
use crate::water_report::{Subject, WaterReport};

/// What can be read at once.
const READ: [Subject; 7] = [
    Subject::Alkalinity,
    Subject::PhenolphthaleinAlkalinity,
    Subject::Hardness,
    Subject::Conductivity,
    Subject::Ph,
    Subject::FreeChlorine,
    Subject::TotalChlorine,
];

/// A measurement by its parts: key, what it measures, what it is, and how it is read.
type Way = (
    &'static str,
    Subject,
    &'static str,
    fn(&mut ObjectReader<'_>) -> Option<Measured>,
);

const WAYS: [Way; 5] = [
    (
        "alkalinity_titration",
        Subject::Alkalinity,
        "Alkalinity from acid to pH 4.5 or methyl orange.",
        |of| titration(of, "acid", ACID, alkalinity_eq_per_kg),
    ),
    (
        "gran_titration",
        Subject::Alkalinity,
        "Alkalinity by Gran's method, from pH readings past the end point.",
        gran,
    ),
    (
        "alkalinity_drops",
        Subject::Alkalinity,
        "Alkalinity from the drops of a kit.",
        |of| drops(of, Subject::Alkalinity),
    ),
    (
        "hardness_titration",
        Subject::Hardness,
        "Total hardness from EDTA.",
        |of| titration(of, "edta", "Strength of the EDTA.", hardness_eq_per_kg),
    ),
    (
        "hardness_drops",
        Subject::Hardness,
        "Total hardness from the drops of a kit.",
        |of| drops(of, Subject::Hardness),
    ),
];

const ACID: &str = "Strength of the acid, counted in the hydrogen it gives: 0.02 mol/L of \
                    hydrochloric acid or 0.01 mol/L of sulfuric acid is 0.02.";
/// Most readings of one titration.
const MOST_READINGS: usize = 60;

/// Reads the bench. Each thing is measured once; nothing where a measurement cannot be read.
pub(super) fn bench(of: &mut ObjectReader<'_>) -> Option<WaterReport> {
    of.describe("temperature", "Temperature of the water this morning.");
    let temperature_c = of.optional_quantity("temperature", &quantity::TEMPERATURE);
    let mut entries = Vec::new();
    let mut given: Vec<(&str, Subject)> = Vec::new();
    for subject in READ {
        entries.extend(of.optional_entry(subject));
        if of.has(subject.key()) {
            given.push((subject.key(), subject));
        }
    }
    for (key, subject, text, read) in WAYS {
        of.describe(key, text);
        let measured = of.optional_object(key, read);
        let measured = measured.filter(|measured| is_possible(of, key, subject, *measured));
        entries.extend(measured.map(|measured| measured.entry(subject)));
        if !of.has(key) {
            continue;
        }
        if let Some((other, _)) = given.iter().find(|(_, of)| *of == subject) {
            of.problem(
                key,
                ErrorCode::Duplicate,
                format!("\"{key}\" beside \"{other}\""),
                format!("one measurement of {}", subject.label()),
                "Keep the more reliable one.",
            );
        }
        given.push((key, subject));
    }
    entries.sort_by_key(|entry| entry.subject);
    (entries.len() == given.len()).then(|| WaterReport {
        temperature_c,
        entries,
        ..WaterReport::default()
    })
}

/// Whether a titration gives what a water can have.
fn is_possible(
    of: &mut ObjectReader<'_>,
    key: &'static str,
    subject: Subject,
    measured: Measured,
) -> bool {
    let quantity = subject.quantity();
    let possible = subject.in_default_unit(measured.value) <= quantity.high;
    if !possible {
        of.problem(
            key,
            ErrorCode::OutOfRange,
            format!("{} from these figures", quantity.write(measured.value)),
            quantity.expectation(),
            "Check the volumes, the strength and their units.",
        );
    }
    possible
}

fn described(
    of: &mut ObjectReader<'_>,
    key: &'static str,
    text: &'static str,
    quantity: &'static Quantity,
) -> Option<f64> {
    of.describe(key, text);
    of.quantity(key, quantity)
}

fn sample_ml(of: &mut ObjectReader<'_>) -> Option<Measured> {
    described(
        of,
        "sample",
        "Volume of the sample.",
        &quantity::SAMPLE_VOLUME,
    )
    .map(Measured::sample_ml)
}

fn titration(
    of: &mut ObjectReader<'_>,
    titrant: &'static str,
    text: &'static str,
    result: fn(Measured, Measured, Measured) -> Result<Measured, TitrationError>,
) -> Option<Measured> {
    let sample = sample_ml(of);
    let strength = described(of, titrant, text, &quantity::TITRANT_STRENGTH);
    let used = described(
        of,
        "used",
        "Volume that it took.",
        &quantity::TITRANT_VOLUME,
    );
    result(
        Measured::strength(strength?),
        Measured::titrated_ml(used?),
        sample?,
    )
    .ok()
}

fn gran(of: &mut ObjectReader<'_>) -> Option<Measured> {
    let sample = sample_ml(of);
    let acid = described(of, "acid", ACID, &quantity::TITRANT_STRENGTH);
    of.describe(
        "readings",
        "pH after each addition; those from about pH 4 down count.",
    );
    let readings = of.list("readings", 1, MOST_READINGS, |reading| {
        let volume_ml = described(
            reading,
            "used",
            "Acid added so far.",
            &quantity::TITRANT_VOLUME,
        );
        let ph = described(reading, "ph", "pH there.", &quantity::PH);
        Some(Reading {
            volume_ml: volume_ml?,
            ph: ph?,
        })
    });
    let (sample, acid) = (sample?, acid?);
    // A reading that could not be read has its own problem.
    if readings.is_empty() || readings.len() < of.length("readings") {
        return None;
    }
    let found = gran_equivalence_ml(&readings, sample.value);
    if let Err(error) = &found {
        of.problem(
            "readings",
            ErrorCode::Contradiction,
            error.to_string(),
            "readings past the end point, in which the pH falls as acid goes in",
            "Add acid beyond the end point in small steps, and write the acid so far beside each \
             pH.",
        );
    }
    alkalinity_eq_per_kg(Measured::strength(acid), found.ok()?, sample).ok()
}

fn drops(of: &mut ObjectReader<'_>, subject: Subject) -> Option<Measured> {
    let count = described(
        of,
        "drops",
        "Drops until the colour changed, the last one counted.",
        &quantity::DROPS,
    );
    let per_drop = described(of, "per_drop", "What one drop equals.", subject.quantity());
    let count = count?;
    // Between 0 and 200, so that nothing is lost.
    let whole = (0..=u8::MAX).find(|whole| f64::from(*whole) == count);
    if whole.is_none() {
        of.problem(
            "drops",
            ErrorCode::OutOfRange,
            count.to_string(),
            "a whole number of drops",
            "Count whole drops: \"drops\": 9.",
        );
    }
    let (whole, per_drop) = (whole?, per_drop?);
    let measured = drop_count(subject, u32::from(whole), per_drop);
    if measured.is_none() {
        of.problem(
            "per_drop",
            ErrorCode::OutOfRange,
            subject.quantity().write(per_drop),
            "more than nothing",
            "The kit's leaflet says what a drop equals.",
        );
    }
    measured
}
