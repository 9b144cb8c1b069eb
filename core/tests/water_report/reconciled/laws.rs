//! What holds for every reconciled water.

use approx::assert_relative_eq;
use proptest::prelude::*;
use underlet::Source;
use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::optimise::{TerminationReason, Trace};
use underlet::water_report::{
    Entry, Figure, Origin, ReconcileError, ReconciledLiquor, ReconciledWater, Subject, Unfinished,
    Unknown, WaterReport,
};

use super::{balanced_enough, entry, ion, report};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// Anything a report might say, sense or not.
fn any_report(dice: &mut Dice, bench: bool) -> WaterReport {
    let mut subjects: Vec<Subject> = Component::ALL.into_iter().map(Subject::Component).collect();
    subjects.extend([
        Subject::Bicarbonate,
        Subject::Carbonate,
        Subject::Alkalinity,
        Subject::PhenolphthaleinAlkalinity,
        Subject::Hardness,
        Subject::DissolvedSolids,
        Subject::Conductivity,
        Subject::FreeChlorine,
    ]);
    let mut entries: Vec<Entry> = dice
        .some_of(&subjects, if bench { 0.2 } else { 0.5 })
        .into_iter()
        .map(|subject| {
            let mut one = entry(*subject, dice.magnitude(0.01, 400.0));
            if matches!(subject, Subject::Bicarbonate | Subject::Carbonate) {
                one.figure = Figure::Value(dice.magnitude(1e-5, 6e-3));
            }
            let middle = one.figure.middle();
            let kind = dice.real(0.0, 1.0);
            if kind < 0.15 {
                one.figure = Figure::Below(middle);
            } else if kind < 0.3 {
                one.figure = Figure::Between {
                    low: 0.7 * middle,
                    high: 1.4 * middle,
                    average: None,
                };
            }
            one
        })
        .collect();
    if dice.chance(0.6) {
        entries.push(entry(Subject::Ph, dice.real(5.0, 10.0)));
    }
    WaterReport {
        age_days: dice.chance(0.5).then(|| dice.real(0.0, 900.0)),
        temperature_c: dice.chance(0.5).then(|| dice.real(1.0, 40.0)),
        entries,
        ..WaterReport::default()
    }
}

fn assert_sound(today: &ReconciledWater) {
    let liquor = &today.liquor;
    assert_eq!(liquor.alkalinity_eq_per_kg, liquor.ions.strong_charge());
    for (unknown, estimate) in &today.amounts {
        let ends = [estimate.value, estimate.sd, estimate.low, estimate.high];
        assert!(
            ends.iter().all(|end| end.is_finite()),
            "{unknown:?} {estimate:?}"
        );
        assert!(estimate.low <= estimate.high);
        if *unknown != Unknown::Alkalinity {
            assert!(estimate.value >= 0.0 && estimate.low >= 0.0, "{unknown:?}");
        }
        let variance = today.covariance(*unknown, *unknown);
        assert_relative_eq!(variance.sqrt(), estimate.sd, max_relative = 1e-12);
    }
    assert!((0.0..=1.0).contains(&today.p_value) && today.chi_square >= 0.0);
    let parts: f64 = today
        .measurements
        .iter()
        .map(|residual| {
            let m = residual.measurement;
            ((m.value - residual.predicted) / m.sd).powi(2)
        })
        .sum();
    assert_relative_eq!(parts, today.chi_square, max_relative = 1e-6, epsilon = 1e-9);
    let state = Aqueous::at(liquor.temperature_c)
        .closed(liquor)
        .expect("an equilibrium");
    assert_relative_eq!(state.ph, today.ph.value, max_relative = 1e-9);
}

/// Reports drawn with no regard to sense, their entries at odds by tens of standard deviations: a
/// sound water, or an error. The refused are those whose sum of squares, above a hundred,
/// is_nonlinear too much for Gauss-Newton's straight lines.
#[test]
fn whatever_a_random_report_says_the_answer_is_sound() {
    let count = trials(100, 500);
    let mut refused = 0;
    for seed in 0..count {
        let mut dice = Dice::new(seed);
        let written = any_report(&mut dice, false);
        let bench = any_report(&mut dice, true);
        match written.reconcile(&bench) {
            Ok(today) => {
                assert_sound(&today);
                // What the engine gives out, a brew day takes.
                let liquor = ReconciledLiquor::of(&written, &bench, &today);
                let source = Source::reconciled("well".to_owned(), &liquor, None);
                if let Err(error) = source {
                    panic!("seed {seed}: {error}");
                }
            }
            Err(ReconcileError::NothingMeasured) => {}
            Err(error) => {
                let refusal = matches!(error, ReconcileError::NotConverged(_));
                assert!(refusal, "seed {seed}: {error}");
                refused += 1;
            }
        }
    }
    assert!(50 * refused <= count, "{refused} of {count} refused");
}

/// Every iteration is seen, and the reason for which it ended is that of the answer.
#[test]
fn a_reconciliation_that_is_watched_is_the_same() {
    let mut refused = 0;
    for seed in 0..500 {
        let mut dice = Dice::new(seed);
        let [written, bench] = [any_report(&mut dice, false), any_report(&mut dice, true)];
        let trace = Trace::new();
        let watched = written.reconcile_traced(&bench, &trace);
        assert_eq!(watched, written.reconcile(&bench), "seed {seed}");
        if watched == Err(ReconcileError::NothingMeasured) {
            assert!(trace.runs().is_empty());
            continue;
        }
        let [run] = trace.runs().try_into().expect("one run");
        let falls = |pair: &[f64]| pair[1] <= pair[0] + 1e-9 * (1.0 + pair[0]);
        assert!(run.costs.windows(2).all(falls), "seed {seed}: {run:?}");
        let reason = run.reason.expect("an end");
        match watched {
            Ok(today) => {
                assert_eq!(reason, TerminationReason::SolverConverged);
                assert_eq!(run.costs.len() as u64, 1 + today.iterations);
                let last = run.costs.last().expect("a cost");
                assert_relative_eq!(2.0 * last, today.chi_square, max_relative = 1e-12);
            }
            Err(ReconcileError::NotConverged(Unfinished::IterationLimit { .. })) => {
                assert_eq!(reason, TerminationReason::MaxItersReached);
                refused += 1;
            }
            Err(error) => {
                assert_eq!(reason, TerminationReason::SolverExit(error.to_string()));
                refused += 1;
            }
        }
    }
    assert!(refused > 0, "both ways to end");
}

#[test]
fn the_order_of_entries_does_not_matter() {
    for seed in 0..50 {
        let mut dice = Dice::new(seed);
        let [written, bench] = [any_report(&mut dice, false), any_report(&mut dice, true)];
        let turned = |water: &WaterReport| {
            let mut turned = water.clone();
            turned.entries.reverse();
            turned
        };
        let one = written.reconcile(&bench);
        let other = turned(&written).reconcile(&turned(&bench));
        match (one, other) {
            // To the last bit.
            (Ok(one), Ok(other)) => {
                assert_eq!(one.liquor, other.liquor);
                assert_eq!(one.amounts, other.amounts);
                assert_eq!(one.disagreement, other.disagreement);
            }
            (one, other) => assert_eq!(one.err(), other.err()),
        }
    }
}

/// The full report, whose every ion, alkalinity and pH is measured, each with an sd of its own.
fn stated(scale: f64) -> Vec<Entry> {
    let mut entries = balanced_enough();
    entries.extend([ion(Component::Fluoride, 0.3), ion(Component::Silica, 12.0)]);
    for one in &mut entries {
        let middle = one.figure.middle();
        one.figure = Figure::Value(scale * middle);
        one.sd = Some(scale * 0.04 * middle);
    }
    entries.push(entry(Subject::Ph, 7.4));
    entries
}

proptest! {
    #[test]
    fn waters_scale(scale in 0.05_f64..8.0) {
        // All amounts and their errors times a number: the answer likewise. pH only fixes the
        // carbon.
        let nothing = WaterReport::default();
        let one = report(stated(1.0)).reconcile(&nothing).expect("a water");
        let other = report(stated(scale)).reconcile(&nothing).expect("a water");
        for ((unknown, a), (_, b)) in one.amounts.iter().zip(&other.amounts) {
            if *unknown != Unknown::Carbon {
                // Activity at the end point of the titration moves fluoride's protons a little with
                // the ionic strength.
                prop_assert!((a.value * scale - b.value).abs() <= 1e-5 * b.value);
                prop_assert!((a.sd * scale - b.sd).abs() <= 1e-4 * b.sd);
            }
        }
    }

    #[test]
    fn another_measurement_never_makes_less_sure(
        place in 0_usize..11,
        share in 0.9_f64..1.1,
        sd in 0.005_f64..0.5,
    ) {
        let before = report(stated(1.0)).reconcile(&WaterReport::default()).expect("a water");
        let mut more = match place {
            10 => entry(Subject::Hardness, 211.0),
            place => stated(1.0)[place].clone(),
        };
        let middle = more.figure.middle();
        more.figure = Figure::Value(middle * share);
        more.sd = Some(middle * sd);
        let after = report(stated(1.0)).reconcile(&report(vec![more])).expect("a water");
        for ((unknown, a), (_, b)) in before.amounts.iter().zip(&after.amounts) {
            if *unknown != Unknown::Carbon {
                prop_assert!(b.sd <= a.sd * (1.0 + 1e-9), "{unknown:?}: {a:?} {b:?}");
                prop_assert!(b.high - b.low <= (a.high - a.low) * (1.0 + 1e-9));
            }
        }
    }
}

#[test]
fn an_amount_that_would_be_negative_is_nothing_and_its_interval_begins_there() {
    // More anions than cations can pay for without sodium, potassium: both are pressed to nothing.
    let entries = vec![
        ion(Component::Calcium, 70.0),
        ion(Component::Magnesium, 20.0),
        ion(Component::Chloride, 20.0),
        ion(Component::Sulfate, 30.0),
        ion(Component::Nitrate, 2.0),
        entry(Subject::Alkalinity, 150.0),
    ];
    let today = report(entries)
        .reconcile(&WaterReport::default())
        .expect("a water");
    let sodium = today
        .amount(Unknown::Component(Component::Sodium))
        .expect("usual");
    assert_eq!((sodium.value, sodium.low), (0.0, 0.0));
    assert!(sodium.high > 0.0 && sodium.high < 1.96 * sodium.sd);
    assert_sound(&today);
}

#[test]
fn below_detection_is_anywhere_below_it() {
    let mut entries = balanced_enough();
    let limit = Component::Nitrite.mol_per_kg(0.05);
    entries.push(Entry {
        figure: Figure::Below(limit),
        ..ion(Component::Nitrite, 0.0)
    });
    let today = report(entries)
        .reconcile(&WaterReport::default())
        .expect("a water");
    let nitrite = today
        .amount(Unknown::Component(Component::Nitrite))
        .expect("reported");
    assert_relative_eq!(nitrite.value, limit / 2.0, max_relative = 1e-2);
    assert_eq!(nitrite.low, 0.0);
    // Uniform: 95 % of it lies below 95 % of the limit.
    assert_relative_eq!(nitrite.high, 0.95 * limit, max_relative = 1e-2);
}

#[test]
fn what_is_said_twice_counts_once() {
    let nothing = WaterReport::default();
    let plain = report(balanced_enough())
        .reconcile(&nothing)
        .expect("a water");
    let mut repeated = balanced_enough();
    // 2.497·55 + 4.118·18 = 211.46 mg/L, as calculated from the two; bicarbonate beside the
    // alkalinity; chlorine.
    repeated.push(entry(Subject::Hardness, 211.46));
    repeated.push(entry(Subject::Bicarbonate, 0.0031));
    repeated.push(entry(Subject::FreeChlorine, 0.3));
    let same = report(repeated).reconcile(&nothing).expect("a water");
    assert_eq!(plain.amounts, same.amounts);
    let expected = [
        Subject::Hardness,
        Subject::Bicarbonate,
        Subject::FreeChlorine,
    ];
    assert_eq!(
        same.unused,
        expected.map(|subject| (Origin::Report, subject))
    );
    // A hardness that says something else is a measurement.
    let mut other = balanced_enough();
    other.push(entry(Subject::Hardness, 230.0));
    let other = report(other).reconcile(&nothing).expect("a water");
    assert!(other.unused.is_empty());
    assert!(other.hardness_eq_per_kg.sd < plain.hardness_eq_per_kg.sd);
}

#[test]
fn bicarbonate_and_carbonate_are_one_titration() {
    // Standard Methods 2320: total alkalinity = bicarbonate + carbonate in equivalents.
    let in_forms = |bicarbonate: f64, carbonate: f64| {
        let mut entries = balanced_enough();
        entries.retain(|one| one.subject != Subject::Alkalinity);
        entries.push(entry(Subject::Bicarbonate, bicarbonate));
        entries.push(entry(Subject::Carbonate, carbonate));
        report(entries)
            .reconcile(&WaterReport::default())
            .expect("a water")
    };
    let forms = in_forms(0.0029, 0.0001);
    let whole = in_forms(0.0031, 0.0);
    assert_relative_eq!(
        forms.liquor.alkalinity_eq_per_kg,
        whole.liquor.alkalinity_eq_per_kg,
        max_relative = 1e-3
    );
    assert!(forms.unused.is_empty());
}

#[test]
fn nothing_measured_is_an_error() {
    let nothing = WaterReport::default();
    assert_eq!(
        nothing.reconcile(&nothing),
        Err(ReconcileError::NothingMeasured)
    );
    let only_ph = report(vec![
        entry(Subject::Ph, 7.0),
        entry(Subject::TotalChlorine, 0.2),
    ]);
    assert_eq!(
        only_ph.reconcile(&nothing),
        Err(ReconcileError::NothingMeasured)
    );
    let nonsense = report(vec![entry(Subject::Hardness, f64::NAN)]);
    assert_eq!(
        nothing.reconcile(&nonsense),
        Err(ReconcileError::NothingMeasured)
    );
}
