//! A lot's own numbers.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::mash::{Certificate, CertificateError, TitrationCurve};
use underlet_tables::{MALTS, Malt, parameters};

fn row(class: &str) -> &'static Malt {
    MALTS
        .iter()
        .find(|row| row.class == class)
        .expect("a class")
}

#[test]
fn a_congress_wort_reads_above_the_mash() {
    // 0.05 to 0.15 above a mash of 3 to 4 L/kg, from the gravity series of Kolbach & Esser 1958.
    let certificate = Certificate {
        congress_ph: Some(5.85),
        ..Certificate::default()
    };
    let curve = certificate
        .curve(Some(row("pilsner malt")))
        .expect("a curve");
    assert_abs_diff_eq!(curve.distilled_water_ph, 5.75, epsilon = 1e-12);
    let (measured, offset) = (
        parameters::MALT_PH_MEASURED_SD.value,
        parameters::CONGRESS_PH_OFFSET.sd,
    );
    assert_relative_eq!(
        curve.distilled_water_ph_sd,
        measured.hypot(offset),
        max_relative = 1e-12
    );
    // Narrower than the class knows it, and wider than a distilled-water mash would say.
    assert!(
        curve.distilled_water_ph_sd < row("pilsner malt").ph_sd
            && curve.distilled_water_ph_sd > measured
    );
}

#[test]
fn a_titrated_acidity_is_what_the_curve_takes() {
    // 44 meq/kg to pH 5.7 of a caramel malt of pH 4.8: 49 meq/(kg pH), as the class has it
    // (reference notes on malts).
    let certificate = Certificate {
        acidity: Some([0.044, 5.7]),
        ..Certificate::default()
    };
    let curve = certificate
        .curve(Some(row("caramel malt 120 to 180 EBC")))
        .expect("a curve");
    assert_relative_eq!(curve.acid_eq_per_kg(5.7), -0.044, max_relative = 1e-12);
    assert_relative_eq!(curve.buffering_eq_per_kg_ph, 0.0489, max_relative = 1e-3);
    // At the end of the titration only the titration's own error is left, 6 %, however unsure the
    // malt's pH is.
    let [lot, rest] = curve.acid_sd(5.7);
    assert_relative_eq!(lot.hypot(rest), 0.06 * 0.044, max_relative = 1e-9);
    assert_abs_diff_eq!(lot, 0.0, epsilon = 1e-12);
    let near = Certificate {
        ph_in_distilled_water: Some(5.6),
        acidity: Some([0.044, 5.7]),
        ..Certificate::default()
    };
    assert_eq!(near.curve(None), Err(CertificateError::AcidityTooNear));
    assert_eq!(
        Certificate::default().curve(None),
        Err(CertificateError::NotEnough)
    );
}

#[test]
fn acidulated_malt_by_its_lactic_acid() {
    // German brewing compendium: 2 to 4 % lactic acid, pH 3.4 to 3.5 in distilled water. Lactic
    // acid on pilsner malt gives both that pH and, at 3 %, the titratable acidity of the class,
    // 330 meq/kg to pH 5.7: two figures from one.
    let of = |percent: f64| {
        Certificate {
            lactic_acid_percent: Some(percent),
            ..Certificate::default()
        }
        .curve(None)
        .expect("a curve")
    };
    let curve = of(3.0);
    assert_abs_diff_eq!(curve.distilled_water_ph, 3.45, epsilon = 0.05);
    assert_abs_diff_eq!(curve.acid_eq_per_kg(5.7), -0.330, epsilon = 0.01);
    assert_abs_diff_eq!(
        curve.acid_eq_per_kg(curve.distilled_water_ph),
        0.0,
        epsilon = 1e-12
    );
    // 222 to 444 mmol/kg, of which 97 % is given at pH 5.4 (pKa 3.86); the malt beneath takes 13
    // meq/kg.
    for (percent, mmol) in [(2.0, 222.0), (4.0, 444.0)] {
        assert_abs_diff_eq!(
            of(percent).acid_eq_per_kg(5.4) * 1000.0,
            0.972 * -mmol + 38.0 * 0.35,
            epsilon = 1.0
        );
    }
    // 5 % of the lactic acid is all that is unsure.
    let [lot, rest] = curve.acid_sd(5.4);
    assert_relative_eq!(lot.hypot(rest), 0.05 * 0.972 * 0.333, max_relative = 0.02);
    // It takes more acid at every lower pH, far outside of what was matched as well.
    for percent in [0.0, 0.05, 0.5, 1.0, 3.0, 10.0, 50.0, 100.0] {
        let curve = of(percent);
        let acids = (10..130).map(|tenths| curve.acid_eq_per_kg(f64::from(tenths) / 10.0));
        let acids: Vec<f64> = acids.collect();
        assert!(
            acids.windows(2).all(|pair| pair[0] > pair[1]),
            "{percent} %: {curve:?}"
        );
    }
}

#[test]
fn the_colour_of_a_caramel_malt_finds_its_place_between_the_bands() {
    let of =
        |colour_ebc: f64| TitrationCurve::of_colour(row("caramel malt 80 to 120 EBC"), colour_ebc);
    // The middle of a band is the band's own; darker is more acid throughout.
    assert_abs_diff_eq!(
        of((80.0_f64 * 120.0).sqrt()).distilled_water_ph,
        4.95,
        epsilon = 1e-12
    );
    let colours = [5.0, 10.0, 50.0, 100.0, 150.0, 300.0, 400.0, 900.0];
    assert!(
        colours
            .windows(2)
            .all(|pair| of(pair[0]).distilled_water_ph >= of(pair[1]).distilled_water_ph)
    );
    assert_abs_diff_eq!(of(900.0).distilled_water_ph, 4.55, epsilon = 1e-12);
    assert_abs_diff_eq!(of(0.0).distilled_water_ph, 5.45, epsilon = 1e-12);
    // Roasted malts differ little over a wide range of colour (Troester 2009): the class stands.
    let black = row("black malt");
    assert_eq!(
        TitrationCurve::of_colour(black, 1300.0),
        TitrationCurve::of_row(black)
    );
}
