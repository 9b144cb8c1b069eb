//! Reads a `readings` document: a brew day, and what the meters said on it.

use super::{Name, ObjectReader, brew_day};
use crate::document::{Attached, DocumentKind};
use crate::error::{Code, Problem};
use crate::quantity::{self, Quantity};
use crate::readings::Reading;
use crate::readings::diagnosis::{MeterReading, Probe, Sample};
use crate::recipe::{BrewDay, Meter, Place};

/// Most readings of a day.
const MOST_READINGS: usize = 60;
/// What each meter shows, in the order of [`Meter::ALL`].
const SHOWN: &[&Quantity] = &[
    &quantity::PH,
    &quantity::CONDUCTIVITY,
    &quantity::THERMOMETER,
];

pub(super) const fn name(key: &'static str) -> Name<'static> {
    (key, &[])
}

/// A brew day and what the meters said on it.
pub(super) struct CheckedDay {
    pub attached: Attached,
    pub day: BrewDay,
    pub readings: Vec<MeterReading>,
}

/// Reads the whole document.
pub(super) fn readings(document: &mut ObjectReader<'_>) -> Option<CheckedDay> {
    let attached = document.head(DocumentKind::Readings);
    document.describe("brew_day", "The brew day, a whole document of its own.");
    let day = document.object("brew_day", brew_day::brew_day);
    document.describe(
        "readings",
        "What the meters said: of a day of several brews, in one of them.",
    );
    let readings = document.list("readings", 1, MOST_READINGS, reading);
    Some(CheckedDay {
        attached,
        day: day?,
        readings,
    })
}

fn reading(of: &mut ObjectReader<'_>) -> Option<MeterReading> {
    of.describe("place", "Where a reading of this brew was taken.");
    let place = of.optional_choice("place", &Place::ALL.map(|place| name(place.key())));
    of.describe(
        "meter",
        "What was read: pH of a sample cooled to 20 °C, conductivity at 25 °C, or temperature.",
    );
    let meter = of.choice("meter", &Meter::ALL.map(|meter| name(meter.key())));
    of.describe(
        "known",
        "In place of a place: what a known water should read, such as a buffer, a conductivity \
         standard or melting ice.",
    );
    let known = of.optional_one_of("known", SHOWN, meter);
    of.describe("value", "What the meter said.");
    let value = of.one_of("value", SHOWN, meter);
    of.describe("probe", "Which probe; the usual one where it is left out.");
    let probes = [Probe::Usual, Probe::Second];
    let probe = of.optional_choice("probe", &probes.map(|probe| name(probe.key())));
    if of.has("place") == of.has("known") {
        let read = if of.has("place") { "both" } else { "neither" };
        of.problem(
            "",
            Code::Contradiction,
            format!("{read} of \"place\" and \"known\""),
            "one of the two",
            "Write \"place\": \"mash\" for a reading of the brew, \"known\": 7.00 for one in a \
             buffer.",
        );
    }
    let place = place.and_then(|index| Place::ALL.get(index).copied());
    Some(MeterReading {
        sample: place.map(Sample::Brew).or(known.map(Sample::Known))?,
        meter: *Meter::ALL.get(meter?)?,
        probe: probe.map_or(Some(Probe::Usual), |index| probes.get(index).copied())?,
        value: value?,
    })
}

/// A problem for each reading of something that the day does not predict.
pub(super) fn not_predicted(
    readings: &[MeterReading],
    predicted: &[Reading],
    meters: &[Meter],
) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (index, reading) in readings.iter().enumerate() {
        let Sample::Brew(place) = reading.sample else {
            continue;
        };
        let is_it = |one: &&Reading| (one.place, one.meter) == (place, reading.meter);
        if predicted.iter().find(is_it).is_none() {
            let hint = if meters.contains(&reading.meter) {
                "Leave it out, or check the brew day: its vessels say what can be read."
            } else {
                "Leave it out, or name its meter among the \"meters\" of the brewhouse."
            };
            let keys: Vec<&str> = predicted.iter().map(|one| one.what.as_str()).collect();
            problems.push(Problem {
                code: Code::Contradiction,
                path: format!("readings[{index}]"),
                found: format!("{}_{}", place.key(), reading.meter.key()),
                expected: format!("what this day predicts: {}", keys.join(", ")),
                hint: hint.to_owned(),
            });
        }
    }
    problems
}
