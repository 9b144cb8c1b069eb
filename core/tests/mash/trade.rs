//! The trade's own arithmetic, each rule marked as what it is.

use approx::assert_abs_diff_eq;
use underlet::liquor::Liquor;
use underlet::mash::{Chemistry, Malt, Mash, TitrationCurve};
use underlet::reagent::Preparation;
use underlet::uncertainty::Cause;
use underlet_tables::parameters;

/// meq/L in a German degree.
const MEQ_PER_DEGREE: f64 = 0.3566;

fn acid(key: &str, strength_percent: f64) -> Preparation {
    Preparation {
        strength_percent,
        ..Preparation::usual(key).expect("on the table")
    }
}

/// Protons that a unit of an acid gives at a pH, eq.
fn protons(acid: &Preparation, ph: f64) -> f64 {
    let chemistry = Chemistry::at(0.0);
    let dose = acid.dose_per_unit();
    let weak: f64 = dose
        .ions
        .iter()
        .filter(|(ion, _)| ion.is_weak_acid())
        .map(|(ion, amount)| amount * chemistry.charge_per_acid(ion, ph))
        .sum();
    weak - dose.alkalinity_eq
}

#[test]
fn a_millilitre_of_lactic_acid_takes_three_degrees_from_ten_litres() {
    // Trade rule (Hobbybrauer-Kompendium): 1 mL of 80 % takes 3 °dH of residual alkalinity from 10
    // L. Exact: 1.186 g/mL × 0.80 / 90.08 = 10.5 meq, 2.95 °dH, and 97 % of it at pH 5.4.
    let lactic = acid("lactic acid", 80.0);
    let degrees = 1000.0 * lactic.mol_per_unit() / 10.0 / MEQ_PER_DEGREE;
    assert_abs_diff_eq!(degrees, 2.95, epsilon = 0.01);
    assert_abs_diff_eq!(
        protons(&lactic, 5.4) / lactic.mol_per_unit(),
        0.972,
        epsilon = 0.003
    );
}

#[test]
fn protons_of_the_acids_at_mash_ph() {
    // Ideal, from pKa 3.86; 2.148 and 7.200; 3.127, 4.759, 6.397 (worked examples): 0.972, 1.015,
    // 1.902 at pH 5.4.
    for (key, expected) in [
        ("lactic acid", 0.972),
        ("phosphoric acid", 1.015),
        ("citric acid", 1.902),
        ("hydrochloric acid", 1.0),
        ("sulfuric acid", 2.0),
    ] {
        let acid = Preparation::usual(key).expect("on the table");
        // The table's constants are those of 20 °C, which is worth a thousandth or two.
        assert_abs_diff_eq!(
            protons(&acid, 5.4) / acid.mol_per_unit(),
            expected,
            epsilon = 0.005
        );
    }
}

#[test]
fn the_german_acid_table_lies_within_what_a_malt_and_its_wort_may_buffer() {
    // For a fall of 0.1 per 100 kg of malt in the mash: 53 mL of 37 % hydrochloric, 60 mL of 80 %
    // lactic, 17 mL of 98 % sulfuric acid; in wort 27, 30 and 9 mL. The three are one
    // buffering, 61 to 64 in a mash and about 32 in wort. Acidified pairs of mashes give 36 to 38
    // (Hosom 2018), titrations 35 to 47 (deLange, from memory): sources that conflict, so that all
    // of them must lie in the 95 % interval of every class that fills a mash. Density of 98 %
    // sulfuric acid: 1.836 kg/L (handbook; the table of this project ends below).
    let sulfuric_eq_per_ml = 1.836 * 0.98 / 98.08 * 2.0;
    let buffering = |hydrochloric_ml: f64, lactic_ml: f64, sulfuric_ml: f64| {
        [
            hydrochloric_ml * protons(&acid("hydrochloric acid", 37.0), 5.4),
            lactic_ml * protons(&acid("lactic acid", 80.0), 5.4),
            sulfuric_ml * sulfuric_eq_per_ml,
        ]
        .map(|eq| eq * 1000.0 / 100.0 / 0.1)
    };
    let mash = buffering(53.0, 60.0, 17.0);
    for mash in mash {
        assert_abs_diff_eq!(mash, 62.5, epsilon = 2.0);
    }
    let wort = buffering(27.0, 30.0, 9.0);
    for wort in wort {
        assert_abs_diff_eq!(wort, 32.0, epsilon = 1.5);
    }
    let prior = parameters::BASE_MALT_BUFFERING;
    let base = TitrationCurve::straight([5.7, 0.09], [prior.value, prior.sd].map(|meq| meq / 1e3));
    let classes = [
        "pilsner malt",
        "pale lager malt",
        "pale ale malt",
        "mild ale malt",
        "Vienna malt",
        "light Munich malt",
        "dark Munich malt",
    ];
    let classes = classes.map(|class| TitrationCurve::of_class(class).expect("a class"));
    for curve in classes.into_iter().chain([base]) {
        let [low, high] = curve.buffering_between(1.96).map(|eq| eq * 1000.0);
        for published in mash.into_iter().chain([35.0, 36.0, 38.0, 47.0]) {
            assert!(
                (low..high).contains(&published),
                "{published}: {low} to {high}"
            );
        }
        // No wider than that takes.
        assert!(low > 21.0 && high < 68.0, "{low} to {high}");
    }
    // Wort beside mash: the table's half lies in the share taken here.
    let share = parameters::WORT_BUFFER_SHARE;
    assert!((wort[0] / mash[0] - share.value).abs() <= share.sd);
}

#[test]
fn a_mash_falls_as_either_source_says_within_its_error_bar() {
    // The pH that is forecast: 100 kg of pilsner malt in distilled water with what the German acid
    // table gives for a fall of 0.1 (as above), and with 37 meq/(kg pH) for one of 0.2 (Hosom's
    // acidified pair). What the buffering leaves unsure holds both.
    let grist = [Malt::of_class("pilsner malt", 100.0).expect("a class")];
    for (name, strength_percent, ml, fall) in [
        ("lactic acid", 80.0, 60.0, 0.1),
        ("hydrochloric acid", 37.0, 53.0, 0.1),
        ("lactic acid", 80.0, 37.0 * 100.0 * 0.2 / (10.5 * 0.97), 0.2),
    ] {
        let acid = acid(name, strength_percent);
        let mash = Mash {
            grist: &grist,
            water_kg: 350.0,
            liquor: Liquor::default().dosed(&acid.dose_per_unit(), ml / 350.0),
        };
        let forecast = mash.forecast();
        let by_buffering = forecast
            .uncertainty_budget
            .iter()
            .find(|part| part.cause == Cause::MaltBuffering)
            .expect("a part");
        let expected = 5.75 - forecast.ph;
        println!(
            "{name}: −{expected:.3} ± {:.3}, published −{fall}",
            by_buffering.sd
        );
        assert!((expected - fall).abs() < 1.96 * by_buffering.sd, "{name}");
    }
}

#[test]
fn acidulated_malt_offsets_hard_water() {
    // 4 % of the grist offsets 10 °dH (Hobbybrauer-Kompendium): with 330 meq/kg that speaks of a
    // mash of 3.7 L/kg; 3.57 meq/L × 3.7.
    let sour = underlet::mash::Certificate {
        lactic_acid_percent: Some(3.0),
        ..Default::default()
    }
    .curve(None)
    .expect("a curve");
    let offset_meq = -0.04 * sour.acid_eq_per_kg(5.7) * 1000.0;
    assert_abs_diff_eq!(offset_meq, 10.0 * MEQ_PER_DEGREE * 3.7, epsilon = 0.4);
}
