//! Against hand arithmetic and SciPy.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use serde::Deserialize;
use underlet::component::Component;
use underlet::liquor::mg_per_l_caco3;
use underlet::water_report::{Entry, Figure, Origin, Subject, Unknown, WaterReport};

use super::{balanced_enough, entry, report};

#[derive(Deserialize)]
struct Written {
    age_days: Option<f64>,
    temperature_c: f64,
    entries: Vec<(String, f64, Option<f64>)>,
}

#[derive(Deserialize)]
struct Reference {
    report: Written,
    bench: Written,
    amounts: std::collections::BTreeMap<String, f64>,
}

impl Written {
    fn read(&self) -> WaterReport {
        let entries = self.entries.iter().map(|(key, figure, sd)| {
            let subject = match key.as_str() {
                "alkalinity" => Subject::Alkalinity,
                "hardness" => Subject::Hardness,
                "dissolved_solids" => Subject::DissolvedSolids,
                "conductivity" => Subject::Conductivity,
                "ph" => Subject::Ph,
                key => Subject::Component(key.parse().expect(key)),
            };
            let unit = entry(subject, 1.0).figure.middle();
            Entry {
                sd: sd.map(|sd| sd * unit),
                ..entry(subject, *figure)
            }
        });
        WaterReport {
            age_days: self.age_days,
            temperature_c: Some(self.temperature_c),
            entries: entries.collect(),
            ..WaterReport::default()
        }
    }
}

/// `scipy.jsonl`: questions and answers of `scipy.optimize.least_squares`, written by
/// `tests/peers/reconcile.py`; its first line names version and seed.
#[test]
fn amounts_are_those_of_a_general_purpose_solver() {
    let lines: Vec<&str> = include_str!("scipy.jsonl").lines().collect();
    assert!(lines[0].contains("SciPy") && lines.len() > 4);
    for (place, line) in lines[1..].iter().enumerate() {
        let reference: Reference = serde_json::from_str(line).expect("a reference");
        let today = reference
            .report
            .read()
            .reconcile(&reference.bench.read())
            .expect("a water");
        for (key, theirs) in &reference.amounts {
            let unknown = match key.as_str() {
                "carbon" => Unknown::Carbon,
                key => Unknown::Component(key.parse().expect(key)),
            };
            let ours = today.amount(unknown).expect("solved for");
            let size = ours.value.max(ours.sd);
            assert!(
                (ours.value - theirs).abs() <= 1e-6 * size,
                "reference {place}, {key}: {ours:?} against {theirs}"
            );
        }
    }
}

#[test]
fn a_report_alone_is_made_neutral_in_proportion_to_variances() {
    // With the charge balance as the only check: x = y − S·z·(zᵀy)/(zᵀSz), the textbook's best
    // linear unbiased estimate, and chi-square = (zᵀy)²/(zᵀSz) (Narasimhan & Jordache 2000, ch.
    // 3 and 7). Ion balance of the worked example: −1.27 %.
    let entries = balanced_enough();
    let parts: Vec<(f64, f64, f64)> = entries
        .iter()
        .map(|entry| {
            let value = entry.figure.middle();
            let charge = match entry.subject {
                Subject::Component(ion) => ion.charge(),
                _ => -1.0,
            };
            let sd = underlet::water_report::Method::Laboratory
                .sd(entry.subject, value)
                .expect("measured");
            (charge, value, sd * sd)
        })
        .collect();
    let off: f64 = parts.iter().map(|(z, y, _)| z * y).sum();
    let size: f64 = parts.iter().map(|(z, y, _)| z.abs() * y).sum();
    assert_abs_diff_eq!(100.0 * off / size, -1.27, epsilon = 0.01);
    // What nobody measured takes part as well: fluoride, by what is usual.
    let (fluoride, fluoride_sd) = (
        Component::Fluoride.mol_per_kg(0.2),
        Component::Fluoride.mol_per_kg(0.2),
    );
    let off = off - fluoride;
    let variance: f64 =
        parts.iter().map(|(z, _, v)| z * z * v).sum::<f64>() + fluoride_sd * fluoride_sd;
    let today = report(entries.clone())
        .reconcile(&WaterReport::default())
        .expect("a water");
    for (entry, (z, y, v)) in entries.iter().zip(&parts) {
        let expected = y - v * z * off / variance;
        let unknown = match entry.subject {
            Subject::Component(ion) => Unknown::Component(ion),
            _ => Unknown::Alkalinity,
        };
        let found = today.amount(unknown).expect("solved for");
        // Fluoride holds a few per cent of its protons at the end point of the titration: 0.01 % of
        // the alkalinity.
        assert_relative_eq!(found.value, expected, max_relative = 2e-4);
        let sd = (v - v * v * z * z / variance).sqrt();
        assert_relative_eq!(found.sd, sd, max_relative = 2e-3);
    }
    assert_eq!(today.degrees_of_freedom, 1);
    assert_relative_eq!(today.chi_square, off * off / variance, max_relative = 2e-2);
    // One check cannot tell one from another: all are suspect alike.
    let worst = today.disagreement.expect("a check");
    assert_eq!(worst.suspects.len(), 8);
    for (_, probability) in worst.suspects {
        assert_relative_eq!(probability, 0.125, max_relative = 1e-3);
    }
}

#[test]
fn two_readings_of_one_thing_meet_by_their_weights() {
    // The weighted mean of the textbook: hardness 200 ± 10 and 180 ± 5 mg/L meet at 184, ±
    // 10·5/√125.
    let read = |figure: f64, sd: f64| Entry {
        sd: Some(underlet::liquor::alkalinity_eq_per_kg(sd)),
        ..entry(Subject::Hardness, figure)
    };
    let today = report(vec![read(200.0, 10.0)])
        .reconcile(&report(vec![read(180.0, 5.0)]))
        .expect("a water");
    let hardness = today.hardness_eq_per_kg;
    // What is usual of calcium and magnesium penalties a little: ± 113 mg/L against ± 4.5.
    assert_abs_diff_eq!(mg_per_l_caco3(hardness.value), 184.0, epsilon = 0.3);
    assert_abs_diff_eq!(
        mg_per_l_caco3(hardness.sd),
        50.0 / 125.0_f64.sqrt(),
        epsilon = 0.01
    );
    let readings: Vec<_> = today
        .measurements
        .iter()
        .filter(|residual| residual.measurement.origin != Origin::Usual)
        .collect();
    // Residuals of two: (200 − 180)/√125 for both, less by what is usual, so neither can be called
    // the wrong one.
    for residual in readings {
        let z = residual.standardised.expect("checked").abs();
        assert_relative_eq!(z, 20.0 / 125.0_f64.sqrt(), max_relative = 0.03);
    }
}

#[test]
fn missing_sodium_follows_from_the_balance() {
    let mut entries = balanced_enough();
    entries.retain(|entry| entry.subject != Subject::Component(Component::Sodium));
    // Make sodium 2 mmol/kg the one that is missing: chloride up by 1.137 meq/L from the worked
    // example's deficit of 0.137.
    for entry in &mut entries {
        if entry.subject == Subject::Component(Component::Chloride) {
            entry.figure = Figure::Value(entry.figure.middle() + 0.000_863);
        }
    }
    let today = report(entries)
        .reconcile(&WaterReport::default())
        .expect("a water");
    let sodium = today
        .amount(Unknown::Component(Component::Sodium))
        .expect("usual");
    assert!(sodium.low < 0.002 && 0.002 < sodium.high);
    // By balance alone: the root of the sum of all variances, 0.15 mmol/kg; what is usual (1.1 ±
    // 1.1) hardly helps.
    assert!((1.0e-4..2.5e-4).contains(&sodium.sd), "{sodium:?}");
    assert_abs_diff_eq!(sodium.value, 0.002, epsilon = 1.0e-4);
}
