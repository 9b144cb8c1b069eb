//! Titrations on the bench.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::mash::{BenchPoint, TitrationCurve, TitrationError, titrated};
use underlet_tables::parameters;

use crate::common::dice::Dice;

/// Readings of a curve at pH.
fn readings(curve: &TitrationCurve, at_ph: &[f64]) -> Vec<BenchPoint> {
    at_ph
        .iter()
        .map(|&ph| BenchPoint {
            acid_eq_per_kg: curve.acid_eq_per_kg(ph),
            ph,
        })
        .collect()
}

fn bent() -> TitrationCurve {
    TitrationCurve::straight([5.72, 0.0], [0.036, 0.0]).bent(0.004, [4.6, 6.6])
}

#[test]
fn exact_readings_give_their_curve_back() {
    let at = [6.3, 5.9, 5.7, 5.4, 5.1, 4.8];
    let fitted = titrated(&readings(&bent(), &at)).expect("a curve").curve;
    assert_abs_diff_eq!(fitted.distilled_water_ph, 5.72, epsilon = 1e-9);
    assert_relative_eq!(fitted.buffering_eq_per_kg_ph, 0.036, max_relative = 1e-9);
    assert_relative_eq!(fitted.curvature_eq_per_kg_ph2, 0.004, max_relative = 1e-7);
    let line = TitrationCurve::straight([5.65, 0.0], [0.041, 0.0]);
    let fitted = titrated(&readings(&line, &at)).expect("a curve").curve;
    assert_abs_diff_eq!(fitted.distilled_water_ph, 5.65, epsilon = 1e-9);
    assert_eq!(fitted.curvature_eq_per_kg_ph2, 0.0);
    // Two readings make a line; the law has no scatter to tell then.
    let two = titrated(&readings(&line, &[5.6, 5.2])).expect("a curve");
    assert_abs_diff_eq!(two.curve.distilled_water_ph, 5.65, epsilon = 1e-9);
    assert_eq!(two.scatter_ph, None);
}

#[test]
fn burette_and_sample_give_equivalents() {
    // 5.00 mL of 0.1 mol/L into 25 g: 20 meq/kg.
    let point = BenchPoint::of_volume(5.0, 0.1, 25.0, 5.3);
    assert_relative_eq!(point.acid_eq_per_kg, 0.020, max_relative = 1e-12);
}

#[test]
fn stated_errors_are_those_of_repeated_titrations() {
    // 4000 titrations of one bent malt with readings that scatter by 0.014: the curves scatter as
    // each says of itself, once what a bench says of a mash at all (0.02 and 8 %, the same in
    // all of them) is taken off.
    let mut dice = Dice::new(11);
    let scatter = parameters::BENCH_PH_REPEAT_SD.value;
    let at = [6.4, 6.1, 5.8, 5.6, 5.3, 5.0, 4.8];
    let truth = bent();
    let (mut own, mut acid, mut told_own, mut told_acid) = (0.0, 0.0, 0.0, 0.0);
    let rounds = 4000;
    for _ in 0..rounds {
        let mut points = readings(&truth, &at);
        for point in &mut points {
            point.ph += scatter * normal(&mut dice);
        }
        let curve = titrated(&points).expect("a curve").curve;
        own += (curve.distilled_water_ph - truth.distilled_water_ph).powi(2);
        acid += (curve.acid_eq_per_kg(5.2) - truth.acid_eq_per_kg(5.2)).powi(2);
        let common = parameters::MALT_PH_MEASURED_SD.value;
        told_own += curve.distilled_water_ph_sd.powi(2) - common.powi(2);
        let [lot, rest] = curve.acid_sd(5.2);
        let relative = parameters::MALT_BUFFERING_MEASURED_RELATIVE_SD.value;
        let per_own = curve.acid_derivatives(5.2)[0];
        told_acid += lot.powi(2) + rest.powi(2)
            - (common * per_own).powi(2)
            - (relative * curve.acid_eq_per_kg(5.2)).powi(2);
    }
    println!(
        "own pH {:.5} reported {:.5}; acid {:.6} reported {:.6} eq/kg",
        (own / f64::from(rounds)).sqrt(),
        (told_own / f64::from(rounds)).sqrt(),
        (acid / f64::from(rounds)).sqrt(),
        (told_acid / f64::from(rounds)).sqrt()
    );
    // A reading's scatter is never taken below the operator's own, so what is reported is a little
    // more.
    for (seen, reported) in [(own, told_own), (acid, told_acid)] {
        let ratio = (reported / seen).sqrt();
        assert!((0.95..1.3).contains(&ratio), "{ratio}");
    }
}

fn normal(dice: &mut Dice) -> f64 {
    // Sum of twelve uniforms: near enough to a normal for a variance.
    (0..12).map(|_| dice.real(0.0, 1.0)).sum::<f64>() - 6.0
}

#[test]
fn nonsense_is_refused_in_words() {
    let point = |acid_eq_per_kg: f64, ph: f64| BenchPoint { acid_eq_per_kg, ph };
    let refused = |points: &[BenchPoint]| titrated(points).expect_err("no curve");
    assert_eq!(refused(&[]), TitrationError::TooFew);
    assert_eq!(refused(&[point(0.0, 5.7)]), TitrationError::TooFew);
    assert_eq!(
        refused(&[point(0.0, 5.7), point(f64::NAN, 5.2)]),
        TitrationError::NotAReading { index: 1 }
    );
    assert_eq!(
        refused(&[point(0.0, 57.0), point(0.01, 5.2)]),
        TitrationError::NotAReading { index: 0 }
    );
    assert!(matches!(
        refused(&[point(0.0, 5.7), point(0.01, 5.6)]),
        TitrationError::TooNarrow { .. }
    ));
    // Acid and base exchanged.
    assert_eq!(
        refused(&[point(0.0, 5.7), point(-0.01, 5.4), point(-0.02, 5.1)]),
        TitrationError::WrongWay
    );
    // A reading of another malt among them.
    assert!(matches!(
        refused(&[
            point(0.0, 5.7),
            point(0.01, 5.0),
            point(0.02, 5.4),
            point(0.03, 4.9)
        ]),
        TitrationError::Scattered { .. }
    ));
    // Every reading far down the curve.
    assert_eq!(
        refused(&[point(0.04, 4.7), point(0.05, 4.4), point(0.06, 4.2)]),
        TitrationError::FarFromOwnPh
    );
    assert_eq!(
        TitrationError::NotAReading { index: 1 }.to_string(),
        "reading 2 is no pH of a mash"
    );
}
