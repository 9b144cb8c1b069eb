//! Reads a `readings` document: a brew day, and what the meters said on it.

use underlet_tables::{REAGENTS, Reagent};

use super::shelf::required_amount;
use super::unplanned::Unplanned;
use super::{Name, ObjectReader, brew_day};
use crate::checker::{Count, Field};
use crate::document::{Attached, DocumentKind};
use crate::error::{ErrorCode, InputError, Problem};
use crate::quantity::{self, BareAmount, Quantity, Substance};
use crate::readings::Reading;
use crate::readings::correction::{BrewLog, GivenDose, PouredAcid, RunningsReading};
use crate::readings::diagnosis::{DiagnosisError, MeterReading, Probe, Sample};
use crate::recipe::{BrewDay, MOST_BREWS, Meter, Place, Vessel};

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
    pub log: BrewLog,
}

/// Reads the whole document.
pub(super) fn readings(document: &mut ObjectReader<'_>) -> Option<CheckedDay> {
    let attached = document.head(DocumentKind::Readings);
    document.describe("brew_day", "The brew day, a whole document of its own.");
    let day = document.object("brew_day", brew_day::brew_day);
    document.describe("readings", "What the meters said.");
    let brews = day.as_ref().map(|day| day.brews);
    let readings = document.list("readings", 1, MOST_READINGS, |of| reading(of, brews));
    document.describe(
        GIVEN,
        "What went into the mash after its first reading, in place of the rest that the plan has \
         for it; an empty list where nothing did. Left out, all went as planned.",
    );
    let is_given = document.has(GIVEN);
    let given = document.list(GIVEN, 0, MOST_READINGS, |of| given(of, day.as_ref()));
    document.describe(
        POURED,
        "Acid of which the liquor took another amount than the plan's, until its end point or so \
         far; left out, it took that.",
    );
    let poured = document.list(POURED, 0, MOST_READINGS, |of| poured(of, day.as_ref()));
    document.describe(
        RUNNINGS,
        "What was read of the runnings while the sparge ran, in the order in which they were read.",
    );
    let runnings = document.list(RUNNINGS, 0, MOST_READINGS, |of| runnings(of, brews));
    let is_sparged = day.as_ref().is_none_or(|day| day.sparge.is_some());
    if !runnings.is_empty() && !is_sparged {
        document.problem(
            RUNNINGS,
            ErrorCode::Contradiction,
            "runnings of a day without a sparge",
            "none: all that runs off is first wort",
            "Leave them out, or give the brew day its \"sparge\".",
        );
    }
    Some(CheckedDay {
        attached,
        day: day?,
        log: BrewLog {
            readings,
            given: is_given.then_some(given),
            poured,
            runnings,
        },
    })
}

/// What was read of the runnings.
const RUNNINGS: &str = "runnings";

/// A reading of the runnings.
fn runnings(of: &mut ObjectReader<'_>, brews: Option<usize>) -> Option<RunningsReading> {
    of.describe("ph", "pH of a sample of them, cooled to 20 °C.");
    let ph = of.quantity("ph", &quantity::MASH_PH);
    of.describe(
        "gravity",
        "Their extract, °P, or their specific gravity, such as \"1.010 SG\", of a cooled sample; a \
         bare number of 0.99 to 1.2 is a specific gravity.",
    );
    let gravity = of.quantity("gravity", &quantity::GRAVITY);
    of.describe(
        "collected",
        "What had run into the kettle by then: two readings of it tell how much more can run.",
    );
    let collected_l = of.optional_quantity("collected", &quantity::COLLECTED);
    let probe = probe(of);
    let brew = brew(of, Some(Sample::Brew(Place::Kettle)), brews);
    Some(RunningsReading {
        ph: ph?,
        extract_percent: gravity?,
        probe: probe?,
        brew: brew?,
        collected_l,
    })
}

/// What went into the mash since.
const GIVEN: &str = "given";
/// What the liquor took.
const POURED: &str = "poured";
/// How much of it.
const AMOUNT: Field = Field::new("amount", &quantity::STOCK);

/// An acid or base that went into a mash after it was read.
fn given(of: &mut ObjectReader<'_>, day: Option<&BrewDay>) -> Option<GivenDose> {
    of.describe(
        "reagent",
        "The reagent, one of the shelf that may go into the mash.",
    );
    let (reagent, amount) = reagent_and_amount(of);
    let minutes = minutes(of, true);
    let brew = brew(
        of,
        Some(Sample::Brew(Place::Mash)),
        day.map(|day| day.brews),
    );
    let (reagent, day) = (reagent?, day?);
    is_at_hand(of, day, reagent, Vessel::MashTun).then_some(())?;
    Some(GivenDose {
        brew: brew?,
        reagent: reagent.key.to_owned(),
        amount: amount?,
        minutes: minutes?,
    })
}

/// An acid that was poured into liquor.
fn poured(of: &mut ObjectReader<'_>, day: Option<&BrewDay>) -> Option<PouredAcid> {
    of.describe(
        "vessel",
        "Where it was poured; into the liquor of every brew alike where each has its own.",
    );
    let vessels = [
        Vessel::HotLiquorTank,
        Vessel::MashLiquor,
        Vessel::SpargeLiquor,
    ];
    let vessel = of.choice("vessel", &vessels.map(|vessel| name(vessel.key())));
    of.describe(
        "reagent",
        "The acid, one of the shelf that may go into this vessel.",
    );
    let (reagent, amount) = reagent_and_amount(of);
    let vessel = vessels.get(vessel?)?;
    let (reagent, day) = (reagent?, day?);
    is_at_hand(of, day, reagent, *vessel).then_some(())?;
    Some(PouredAcid {
        vessel: *vessel,
        reagent: reagent.key.to_owned(),
        amount: amount?,
    })
}

/// A reagent, and how much of it.
fn reagent_and_amount(of: &mut ObjectReader<'_>) -> (Option<&'static Reagent>, Option<f64>) {
    let names: Vec<Name<'static>> = REAGENTS.iter().map(|row| (row.key, row.aliases)).collect();
    let reagent = of.choice("reagent", &names);
    let reagent = reagent.and_then(|index| REAGENTS.get(index));
    of.describe(AMOUNT.key, "How much of it.");
    let bare = if reagent.is_some_and(|row| row.liquid) {
        BareAmount::Millilitres
    } else {
        BareAmount::Grams
    };
    (reagent, required_amount(of, AMOUNT, reagent, bare))
}

/// Whether the shelf has a reagent for a vessel; a problem where it has not.
fn is_at_hand(of: &mut ObjectReader<'_>, day: &BrewDay, reagent: &Reagent, vessel: Vessel) -> bool {
    let is_at_hand = day.shelf.iter().any(|shelved| {
        shelved.preparation.reagent.key == reagent.key && shelved.vessels.contains(&vessel)
    });
    if !is_at_hand {
        let key = vessel.key();
        of.problem(
            "reagent",
            ErrorCode::Contradiction,
            reagent.key,
            format!(
                "a reagent of the shelf that may go into the {}",
                vessel.label()
            ),
            format!(
                "Add it to the \"shelf\" of the brew day, with \"{key}\" among its \"vessels\"."
            ),
        );
    }
    is_at_hand
}

/// Minutes after mashing in.
fn minutes(of: &mut ObjectReader<'_>, is_required: bool) -> Option<f64> {
    const KEY: &str = "after_mashing_in";
    of.describe(KEY, "How long after the grist was mashed in.");
    let hours = if is_required {
        of.quantity(KEY, &quantity::TIME_IN_MASH)
    } else {
        of.optional_quantity(KEY, &quantity::TIME_IN_MASH)
    };
    hours.map(|hours| 60.0 * hours)
}

/// Temperature of a sample of wort whose pH was read; nothing where it was cooled.
fn sample_temperature(of: &mut ObjectReader<'_>, sample: Option<Sample>) -> Option<f64> {
    const KEY: &str = "sample_temperature";
    of.describe(
        KEY,
        "Temperature of the sample of a mash or a wort whose pH was read; cooled to 20 °C where \
         it is left out.",
    );
    let celsius = of.optional_quantity(KEY, &quantity::TEMPERATURE)?;
    let is_wort = matches!(sample, Some(Sample::Brew(place)) if place.is_wort());
    if !is_wort {
        of.problem(
            KEY,
            ErrorCode::Contradiction,
            format!("{celsius} °C"),
            "none: only a mash and a wort are known hot",
            "Leave it out, and cool samples of liquor to 20 °C.",
        );
    }
    Some(celsius)
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
    let probe = probe(of);
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
    let minutes = minutes(of, false);
    let sample_temperature_c = sample_temperature(of, sample);
    Some(MeterReading {
        sample: sample?,
        meter: *Meter::ALL.get(meter?)?,
        probe: probe?,
        brew: brew?,
        minutes,
        sample_temperature_c,
        value: value?,
    })
}

/// Which probe was used, the usual one where it is left out.
fn probe(of: &mut ObjectReader<'_>) -> Option<Probe> {
    of.describe("probe", "Which probe; the usual one where it is left out.");
    let probes = [Probe::Usual, Probe::Second];
    let probe = of.optional_choice("probe", &probes.map(|probe| name(probe.key())));
    probe.map_or(Some(Probe::Usual), |index| probes.get(index).copied())
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
            log: BrewLog::of(readings),
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
