//! Worked examples of the standards.

use underlet::component::Component;
use underlet::liquor::{alkalinity_eq_per_kg, mg_per_l_caco3};
use underlet::water_report::{AlkalinityParts, Entry, Figure, Subject, WaterReport};

#[test]
fn alkalinity_relationships() {
    // Standard Methods 2320, table of alkalinity relationships: phenolphthalein and total
    // alkalinity give hydroxide, carbonate and bicarbonate, mg/L as CaCO3. (0, 80) and (50, 80)
    // read in manufacturers' reproductions, the others by the table's rules.
    for ([p, t], expected) in [
        ([0.0, 80.0], [0.0, 0.0, 80.0]),
        ([20.0, 50.0], [0.0, 40.0, 10.0]),
        ([25.0, 50.0], [0.0, 50.0, 0.0]),
        ([50.0, 80.0], [20.0, 60.0, 0.0]),
        ([60.0, 60.0], [60.0, 0.0, 0.0]),
    ] {
        let parts = AlkalinityParts::of(alkalinity_eq_per_kg(p), alkalinity_eq_per_kg(t)).unwrap();
        let read = [
            parts.hydroxide_eq_per_kg,
            parts.carbonate_eq_per_kg,
            parts.bicarbonate_eq_per_kg,
        ]
        .map(mg_per_l_caco3);
        for (read, expected) in read.into_iter().zip(expected) {
            assert!(
                (read - expected).abs() < 1e-9,
                "({p}, {t}): {read} for {expected}"
            );
        }
    }
    assert_eq!(AlkalinityParts::of(2e-3, 1e-3), None);
    assert_eq!(AlkalinityParts::of(f64::NAN, 1e-3), None);
    assert_eq!(AlkalinityParts::of(-1e-3, 1e-3), None);
}

fn report(text: &str) -> WaterReport {
    WaterReport::from_json(text).unwrap()
}

#[test]
fn total_hardness() {
    // Standard Methods 2340 B: 2.497 Ca + 4.118 Mg; 80 and 30 mg/L make 323.3 mg/L as CaCO3.
    let report = report(r#"{"underlet": 1, "name": "example", "calcium": 80, "magnesium": 30}"#);
    let hardness = mg_per_l_caco3(report.derived().hardness_eq_per_kg);
    assert!((hardness - 323.32).abs() < 0.1, "{hardness}");
}

#[test]
fn ion_balance_accepted_and_rejected() {
    // Standard Methods 1030 E (bands from memory): −1.27 % is accepted at an anion sum of 5.463
    // meq/L, −6.67 % is not.
    let water = |sulfate: f64| {
        let text = format!(
            r#"{{"underlet": 1, "name": "example", "calcium": 55, "magnesium": 18, "sodium": 23, "potassium": 3.9,
                "bicarbonate": 190, "sulfate": {sulfate}, "chloride": 35.45, "nitrate": 6.2}}"#
        );
        report(&text).derived().balance
    };
    let accepted = water(60.0);
    assert!((accepted.error_percent() + 1.27).abs() < 0.01);
    assert!(accepted.is_acceptable());
    let rejected = water(90.0);
    assert!((rejected.error_percent() + 6.67).abs() < 0.01);
    assert!(!rejected.is_acceptable());
}

#[test]
fn the_plain_liquor_follows_its_rules() {
    // Hardness of 4 meq/L: three quarters of it calcium (the table's share), or the rest of what is
    // stated.
    let calcium_and_magnesium = |text: &str| {
        let liquor = report(text).liquor().expect("a water");
        [Component::Calcium, Component::Magnesium].map(|ion| liquor.ions.get(ion) * 0.9982e3)
    };
    for (more, expected) in [
        ("", [1.5, 0.5]),
        (r#", "calcium": "1.2 mmol/L""#, [1.2, 0.8]),
        (r#", "magnesium": "0.2 mmol/L""#, [1.8, 0.2]),
        (r#", "calcium": "3 mmol/L""#, [3.0, 0.0]),
    ] {
        let text = format!(
            r#"{{"underlet": 1, "name": "example", "hardness": "2 mmol/L", "alkalinity": "3 meq/L"{more}}}"#
        );
        for (read, expected) in calcium_and_magnesium(&text).into_iter().zip(expected) {
            assert!((read - expected).abs() < 1e-9, "{text}: {read}");
        }
    }
    // Carbonate counts twice; carbon from the pH: at 7.5 a few per cent more than the alkalinity.
    let liquor =
        report(r#"{"underlet": 1, "name": "example", "sodium": "4 meq/L", "bicarbonate": "3 mmol/L", "carbonate": "0.5 mmol/L"}"#)
            .liquor()
            .expect("a water");
    let alkalinity = liquor.alkalinity_eq_per_kg;
    assert!((alkalinity * 0.9982e3 - 4.0).abs() < 1e-9);
    assert!((1.02..1.15).contains(&(liquor.carbon_mol_per_kg / alkalinity)));
    // Phosphate holds one equivalent a mole at the end point, which comes on top of what the
    // burette reads (pK 2.1 and 7.2).
    let acid = report(
        r#"{"underlet": 1, "name": "example", "alkalinity": "2 meq/L", "phosphate": "0.1 mmol/L"}"#,
    )
    .liquor()
    .expect("a water");
    assert!((acid.alkalinity_eq_per_kg * 0.9982e3 - 2.1).abs() < 0.002);
}

#[test]
fn what_makes_no_water_is_refused() {
    for (figures, expected) in [
        (&[][..], "alkalinity missing_key"),
        (
            &[("alkalinity", "200"), ("bicarbonate", "100")],
            "bicarbonate contradiction",
        ),
        (&[("alkalinity", "200"), ("ph", "4")], "ph contradiction"),
        (&[("alkalinity", "10"), ("ph", "11.5")], "ph contradiction"),
    ] {
        let report = WaterReport::parse("example", figures).expect("figures");
        let error = report.liquor().expect_err("no water");
        let [problem] = error.problems.as_slice() else {
            panic!("{error}")
        };
        assert_eq!(format!("{} {}", problem.path, problem.code), expected);
    }
    let endless = Entry::new(Subject::Hardness, Figure::Value(f64::NAN));
    let report = WaterReport {
        entries: vec![endless],
        ..WaterReport::default()
    };
    let error = report.liquor().expect_err("no water");
    let paths: Vec<&str> = error.problems.iter().map(|of| of.path.as_str()).collect();
    assert_eq!(paths, ["hardness", "alkalinity"]);
}
