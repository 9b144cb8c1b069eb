//! Reads a `readings` document: a brew day, and what the meters said on it.

use super::unplanned::Unplanned;
use super::{Name, ObjectReader, brew_day};
use crate::checker::Count;
use crate::document::{Attached, DocumentKind};
use crate::error::{ErrorCode, InputError, Problem};
use crate::quantity::{Quantity, Substance};
use crate::readings::Reading;
use crate::readings::diagnosis::{DiagnosisError, MeterReading, Probe, Sample};
use crate::recipe::{BrewDay, MOST_BREWS, Meter, Place};

/// Most readings of a day.
const MOST_READINGS: usize = 60;
/// Of which brew a reading is.
const BREW: Count = Count::new("brew", [1, MOST_BREWS]);
/// What each meter shows, in the order of [`Meter::ALL`].
const SHOWN: &[&Quantity] = &{
    let [ph, conductivity, temperature] = Meter::ALL;
    [
        ph.quantity(),
        conductivity.quantity(),
        temperature.quantity(),
    ]
};

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
    document.describe("readings", "What the meters said.");
    let brews = day.as_ref().map(|day| day.brews);
    let readings = document.list("readings", 1, MOST_READINGS, |of| reading(of, brews));
    Some(CheckedDay {
        attached,
        day: day?,
        readings,
    })
}

/// A reading of a day of so many brews, as far as that is known.
fn reading(of: &mut ObjectReader<'_>, brews: Option<usize>) -> Option<MeterReading> {
    of.describe("place", "Where a reading of a brew was taken.");
    let place = of.optional_choice("place", &Place::ALL.map(|place| name(place.key())));
    of.describe(
        "meter",
        "What was read: pH of a sample cooled to 20 °C, conductivity at 25 °C, or temperature.",
    );
    let meter = of.choice("meter", &Meter::ALL.map(|meter| name(meter.key())));
    of.describe(
        "known",
        "In place of a place: what a reference sample should read, such as a buffer, a \
         conductivity standard or melting ice.",
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
            ErrorCode::Contradiction,
            format!("{read} of \"place\" and \"known\""),
            "one of the two",
            "Write \"place\": \"mash\" for a reading of the brew, \"known\": 7.00 for one in a \
             buffer.",
        );
    }
    let place = place.and_then(|index| Place::ALL.get(index).copied());
    let sample = place.map(Sample::Brew).or(known.map(Sample::Known));
    let brew = brew(of, sample, brews);
    Some(MeterReading {
        sample: sample?,
        meter: *Meter::ALL.get(meter?)?,
        probe: probe.map_or(Some(Probe::Usual), |index| probes.get(index).copied())?,
        brew: brew?,
        value: value?,
    })
}

/// Of which brew a reading is, the first where it is left out.
fn brew(of: &mut ObjectReader<'_>, sample: Option<Sample>, brews: Option<usize>) -> Option<usize> {
    of.describe(
        BREW.key,
        "Of a day of several brews, which of them was read, counted from 1; the first where it is \
         left out. What all brews share (liquor as drawn, hot-liquor tank) and reference samples \
         take none.",
    );
    let Some(brew) = of.count(BREW) else {
        return (!of.has(BREW.key)).then_some(1);
    };
    let Some((expected, hint)) = no_such_brew(brew, sample?, brews) else {
        return Some(brew);
    };
    let found = format!("brew {brew}");
    of.problem(BREW.key, ErrorCode::Contradiction, found, expected, hint);
    None
}

/// What is expected in place of the number of a brew that a reading cannot be of, and what to do.
fn no_such_brew(
    brew: usize,
    sample: Sample,
    brews: Option<usize>,
) -> Option<(String, &'static str)> {
    let shared = match sample {
        Sample::Known(_) => Some("a reference sample is of no brew".to_owned()),
        Sample::Brew(place) if place.is_shared() => {
            Some(format!("all brews share the {}", place.label()))
        }
        Sample::Brew(_) => None,
    };
    match (shared, brews) {
        (Some(shared), _) => Some((format!("no number: {shared}"), "Leave \"brew\" out.")),
        (None, Some(1)) if brew > 1 => Some((
            "brew 1, the only one of this day".to_owned(),
            "Leave \"brew\" out, or write \"brews\" in the brew day.",
        )),
        (None, Some(brews)) if brew > brews => Some((
            format!("a brew of this day, from 1 to {brews}"),
            "Correct it, or \"brews\" in the brew day.",
        )),
        _ => None,
    }
}

/// The problems of readings that cannot be diagnosed: of something that the day does not predict,
/// or that no meter shows.
pub(super) fn refused(
    readings: &[MeterReading],
    predicted: &[Reading],
    meters: &[Meter],
) -> Vec<Problem> {
    let mut problems = Vec::new();
    for (index, reading) in readings.iter().enumerate() {
        let path = format!("readings[{index}]");
        let quantity = reading.meter.quantity();
        let mut shown = |key: &str, value: f64| {
            if let Err(problem) = quantity.check(value, &Substance::NONE) {
                let path = format!("{path}.{key}");
                problems.push(Problem { path, ..problem });
            }
        };
        if let Sample::Known(stated) = reading.sample {
            shown("known", stated);
        }
        shown("value", reading.value);
        problems.extend(not_predicted(path, reading, predicted, meters));
    }
    problems
}

fn not_predicted(
    path: String,
    reading: &MeterReading,
    predicted: &[Reading],
    meters: &[Meter],
) -> Option<Problem> {
    let Sample::Brew(place) = reading.sample else {
        return None;
    };
    let mut lines = predicted.iter();
    if lines.any(|one| (one.place, one.meter) == (place, reading.meter)) {
        return None;
    }
    let hint = if meters.contains(&reading.meter) {
        "Leave it out, or check the brew day: its vessels say what can be read."
    } else {
        "Leave it out, or name its meter among the \"meters\" of the brewhouse."
    };
    let keys: Vec<&str> = predicted.iter().map(|one| one.what.as_str()).collect();
    Some(Problem {
        code: ErrorCode::Contradiction,
        path,
        found: format!("{}_{}", place.key(), reading.meter.key()),
        expected: format!("what this day predicts: {}", keys.join(", ")),
        hint: hint.to_owned(),
    })
}

/// The problem that an error of the diagnosis is in the document.
pub(super) fn no_diagnosis(error: &DiagnosisError, unplanned: Unplanned) -> InputError {
    let of_reading = |reading: &usize| format!("readings[{reading}]");
    let (code, path, expected, hint) = match error {
        DiagnosisError::Plan(error) => return unplanned.because(error),
        DiagnosisError::NotPredicted { reading, .. } => (
            ErrorCode::Contradiction,
            of_reading(reading),
            "a reading that this day predicts",
            "Correct this reading, or leave it out.",
        ),
        DiagnosisError::NoSuchBrew { reading, .. } => (
            ErrorCode::Contradiction,
            of_reading(reading),
            "a brew of this day",
            "Correct its brew, or leave it out.",
        ),
        DiagnosisError::NotAReading { reading } => (
            ErrorCode::OutOfRange,
            of_reading(reading),
            "a value that its meter can show",
            "Correct this reading, or leave it out.",
        ),
        DiagnosisError::NotComparable => (
            ErrorCode::NoPlan,
            "readings".to_owned(),
            "error bars of a like size",
            "Look for one amount of the day far larger or smaller than the others.",
        ),
    };
    let problem = Problem {
        code,
        path,
        found: error.to_string(),
        expected: expected.to_owned(),
        hint: hint.to_owned(),
    };
    problem.into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::diagnosed;
    use crate::recipe::EXAMPLES;

    /// The reader refuses what no meter shows; should one still come through, the error names it.
    #[test]
    fn a_reading_that_no_meter_shows_is_named() {
        let (_, text) = EXAMPLES[0];
        let day = BrewDay::from_json(text).expect("a built-in day");
        let readings = vec![
            MeterReading::at(Place::Mash, Meter::Ph, f64::NAN),
            MeterReading::known(Meter::Conductivity, 150_000.0, 1413.0),
        ];
        let attached = Attached::default();
        let error = diagnosed(CheckedDay {
            attached,
            day,
            readings,
        })
        .expect_err("no readings");
        let found: Vec<(ErrorCode, &str)> = error
            .problems
            .iter()
            .map(|problem| (problem.code, problem.path.as_str()))
            .collect();
        assert_eq!(
            found,
            [
                (ErrorCode::NotFinite, "readings[0].value"),
                (ErrorCode::OutOfRange, "readings[1].known")
            ]
        );
    }

    #[test]
    fn every_error_of_a_diagnosis_is_a_problem_of_the_document() {
        let errors = [
            DiagnosisError::NotAReading { reading: 3 },
            DiagnosisError::NoSuchBrew {
                reading: 3,
                brew: 3,
                brews: 2,
            },
            DiagnosisError::NotPredicted {
                reading: 3,
                place: Place::Tank,
                meter: Meter::Ph,
            },
        ];
        for error in errors {
            let said = no_diagnosis(&error, Unplanned::DAY_THAT_WAS_READ);
            let paths: Vec<&str> = said.problems.iter().map(|one| one.path.as_str()).collect();
            assert_eq!(paths, ["readings[3]"], "{error}");
        }
    }
}
