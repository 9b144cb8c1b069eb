//! The program that compares mashes with their forecasts, on an invented table (`data/mashes.csv`).

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use underlet_tests::dice::Dice;
use underlet_tests::mashes::{Comparison, Pair, compare_all};
use underlet_tests::reconciliation::world::normal;

fn table() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data/mashes.csv")
}

fn comparison() -> Comparison {
    compare_all(&fs::read_to_string(table()).expect("the file is there")).expect("a table")
}

/// Forecast of a row.
fn predicted(id: &str) -> (f64, f64) {
    let comparison = comparison();
    let row = comparison.compared.iter().find(|row| row.id == id);
    let predicted = row.expect("it is compared").predicted;
    (predicted.ph, predicted.sd)
}

#[test]
fn forecasts_are_those_of_the_hand() {
    for (id, expected) in [
        // The class's own pH; 0.2 lower by 7.6 meq/kg against 38; a tenth of caramel malt by the
        // weights of their buffering: (0.9 · 38 · 5.75 + 0.1 · 47 · 4.95)/(0.9 · 38 + 0.1
        // · 47).
        ("A1", 5.75),
        ("A2", 5.55),
        ("A3", 5.653),
        ("B1", 5.5 - 46.0 * 0.0052),
        // Half an hour: −lg(10^−5.5 + 0.5e-6).
        ("B2", 5.436),
        ("C1", 5.85),
        ("F1", 5.60),
        // 5.48 meq of acid on 0.5 kg of a malt of 38 meq/(kg pH).
        ("F2", 5.60 - 0.288),
    ] {
        let (ph, sd) = predicted(id);
        assert!((ph - expected).abs() < 0.005, "{id}: {ph} {expected}");
        assert!(sd > 0.01 && sd < 0.15, "{id}: {sd}");
    }
}

#[test]
fn what_cannot_be_modelled_is_reported_with_a_reason() {
    let comparison = comparison();
    for (id, part) in [
        (
            "A4 ",
            "the addition \"a spoonful of vinegar\" is not understood",
        ),
        ("A5 ", "the alkalinity of the water is not reported"),
        ("A6 ", "5 min in"),
        ("D1 ", "fermentation"),
    ] {
        let reported = |reason: &&String| reason.starts_with(id) && reason.contains(part);
        assert!(
            comparison
                .not_modelled
                .iter()
                .any(|reason| reported(&reason)),
            "{id}: {comparison}"
        );
    }
    assert_eq!(
        comparison.unreadable,
        ["E1: measured_pH: expected a number, read \"n.d.\""]
    );
}

#[test]
fn intervals_hold_what_lies_in_them_and_nothing_else() {
    let comparison = comparison();
    let inside = |id: &str| {
        let row = comparison.compared.iter().find(|row| row.id == id);
        row.expect("it is compared").inside()
    };
    assert_eq!(inside("A1"), [true, true]);
    assert_eq!(inside("A7"), [false, false]);
    let text = comparison.to_string();
    assert!(
        text.contains("A7, mash_kinetics: 6.400, 5.750 ± "),
        "{text}"
    );
    assert!(text.contains("all: 11 rows, RMS 0.235 "), "{text}");
}

/// The pair of two rows.
fn pair(first: &str, second: &str) -> Pair {
    let pairs = comparison().steps.pairs;
    let mut pairs = pairs.into_iter();
    let pair = pairs.find(|pair| pair.ids == [first, second]);
    pair.expect("they are a pair")
}

/// By hand: the buffering is known to 27 %, as a factor, so that half of all lots have less than
/// exp(−0.265² / 2) of its mean and acid takes 1.036 times as much off their pH. A lot varies by
/// 0.08, the probe is off by 0.044 and a sample scatters by 0.033, so that 0.68 of what a reading
/// lies above its forecast is the lot's, 0.20 the probe's, and both are in the second reading.
#[test]
fn the_change_after_a_first_reading_is_that_of_the_hand() {
    for (first, second, by_hand) in [
        // 5.75 + 0.88 · 0.01, less 7.6 meq/kg over 38.
        ("A1", "A2", 5.759 - 0.200 - 5.76),
        // 5.60 + 0.88 · 0.10; 5 mL hold 5 · 1.053 g · 0.10/98.0 g/mol = 5.37 mmol, which give 1.02
        // protons each: 10.96 meq/kg. Then 8 mL.
        ("F1", "F2", 5.688 - 1.036 * 0.288 - 5.70),
        ("F1", "F3", 5.688 - 1.036 * 0.461 - 5.70),
        // In the first mash its buffering, known to 27 %, moves 5.312 by 0.078, so that the mash
        // varies by 0.112 and its reading by 0.125. Of the 0.088 that it reads too high,
        // (0.08² + 0.288 · 0.461 · 0.27²)/0.125² = 1.03 is found again in the mash with more acid,
        // and 0.044²/0.125² = 0.12 in the probe.
        ("F2", "F3", 5.600 - 0.461 + (1.03 + 0.12) * 0.088 - 5.40),
    ] {
        let change = pair(first, second).after_reading.change;
        assert!(
            (change - by_hand).abs() < 0.02,
            "{first} {second}: {change} {by_hand}"
        );
    }
    assert!((pair("A1", "A2").forecast.change - -0.197).abs() < 0.002);
}

/// Between which 95 % of second readings lie, low and high, by draws of lot, buffering, probe and
/// samples, each weighed by how likely it makes the first reading. `falls` are what the acid in the
/// first and in the second mash takes off a malt of usual buffering, pH.
fn drawn(own_ph: f64, first: f64, falls: [f64; 2]) -> [f64; 2] {
    const DRAWS: usize = 100_000;
    let dice = &mut Dice(5);
    // Buffering is a factor, as likely half as large as twice; acid is as much by its mean.
    let log_sd = (1.0_f64 + (10.5_f64 / 38.0).powi(2)).ln().sqrt();
    let mut readings: Vec<(f64, f64)> = (0..DRAWS)
        .map(|_| {
            let lot = own_ph + 0.08 * normal(dice);
            let per_buffering = (log_sd * normal(dice) + log_sd * log_sd / 2.0).exp();
            let off = 0.0438 * normal(dice);
            let [mash, later] = falls.map(|fall| lot - fall * per_buffering);
            let deviates = (first - mash - off) / 0.0331;
            let second = later + off + 0.0331 * normal(dice);
            (second, (-deviates * deviates / 2.0).exp())
        })
        .collect();
    readings.sort_by(|one, other| one.0.total_cmp(&other.0));
    let all: f64 = readings.iter().map(|(_, weight)| weight).sum();
    [0.025, 0.975].map(|share| {
        let mut below = 0.0;
        let end = readings.iter().find(|(_, weight)| {
            below += weight;
            below >= share * all
        });
        end.expect("shares below one").0
    })
}

/// The correction expands the skewness that the buffering, a factor, brings to the first term: its
/// low end lies up to 0.1 lower than that of draws.
#[test]
fn the_interval_holds_what_draws_hold() {
    for (first, second, [low, high]) in [
        ("A1", "A2", drawn(5.75, 5.76, [0.0, 0.2])),
        ("F1", "F2", drawn(5.6, 5.7, [0.0, 0.288])),
        ("F1", "F3", drawn(5.6, 5.7, [0.0, 0.461])),
        ("F2", "F3", drawn(5.6, 5.4, [0.288, 0.461])),
    ] {
        let stated = pair(first, second).after_reading.interval_95;
        let beyond = [low - stated[0], stated[1] - high];
        assert!(
            (-0.01..0.1).contains(&beyond[0]) && (-0.03..0.05).contains(&beyond[1]),
            "{first} {second}: {stated:?}, drawn {low} to {high}"
        );
    }
}

#[test]
fn pairs_are_inside_or_not_and_what_is_no_pair_is_reported() {
    let steps = comparison().steps;
    let inside = |first: &str, second: &str| {
        let pair = pair(first, second);
        [&pair.after_reading, &pair.forecast].map(|expected| pair.is_inside(expected))
    };
    assert_eq!(inside("A1", "A2"), [true, true]);
    assert_eq!(inside("F1", "F2"), [true, true]);
    assert_eq!(inside("F1", "F3"), [false, false]);
    assert_eq!(inside("F2", "F3"), [false, false]);
    assert_eq!((steps.pairs.len(), steps.pairs_of_mashes), (4, 4));
    for (id, part) in [
        ("A3", "no mash of the same malt"),
        ("A6", "5 min in"),
        ("B2", "how much is not reported"),
        (
            "F4",
            "F2, which differs by an acid, had other rests or other times",
        ),
    ] {
        let mut reasons = steps.not_paired.iter();
        let is_told = |(reason, ids): &(String, Vec<String>)| {
            reason.contains(part) && ids.iter().any(|one| one == id)
        };
        assert!(reasons.any(is_told), "{id}: {steps}");
    }
}

/// A comparison that compared nothing is a failure.
#[test]
fn a_table_without_pairs_fails() {
    let text = fs::read_to_string(table()).expect("the file is there");
    let lines = |keep: fn(&str) -> bool| -> Comparison {
        let kept: Vec<&str> = text.lines().filter(|line| keep(line)).collect();
        compare_all(&kept.join("\n")).expect("a table")
    };
    assert!(comparison().empty_tables().is_empty());
    let without_pairs = lines(|line| line.starts_with("id,") || line.starts_with("A1,"));
    assert_eq!(without_pairs.empty_tables().len(), 1, "{without_pairs}");
    let empty = lines(|line| line.starts_with("id,"));
    assert_eq!(empty.empty_tables().len(), 2, "{empty}");
    assert!(empty.to_string().contains("failure: no row was compared"));
}

#[test]
fn the_program_ends_with_2_on_what_it_cannot_read() {
    let output = Command::new(env!("CARGO_BIN_EXE_compare"))
        .arg("mash")
        .arg(table())
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    let printed = String::from_utf8_lossy(&output.stdout);
    assert!(
        printed.contains("11 rows compared, 4 not modelled, 1 cannot be read"),
        "{printed}"
    );
    assert!(compare_all("Ca,Mg\n1,2\n").is_err());
}
