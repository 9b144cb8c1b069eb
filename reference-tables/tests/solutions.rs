//! Densities and solubilities against figures of other origin.

use underlet_tables as tables;

fn density(reagent: &str, percent: f64) -> f64 {
    tables::densities(reagent)
        .find(|row| row.mass_percent == percent)
        .expect("the strength is tabulated")
        .kg_per_l
}

fn moles_per_litre(reagent: &str, percent: f64) -> f64 {
    let mass = tables::reagent(reagent)
        .expect("the reagent exists")
        .molar_mass_g_per_mol;
    density(reagent, percent) * percent * 10.0 / mass
}

#[test]
fn densities_rise_with_strength() {
    for reagent in tables::REAGENTS.iter().filter(|row| row.liquid) {
        let rows: Vec<_> = tables::densities(reagent.key).collect();
        assert!(
            rows.first().is_some_and(|row| row.kg_per_l > 0.9982),
            "{} is lighter than water",
            reagent.key
        );
        for pair in rows.windows(2) {
            assert!(
                pair[0].mass_percent < pair[1].mass_percent,
                "{}",
                reagent.key
            );
            // Sulfuric acid is densest near 98 % (CRC Handbook), so that strength there cannot be
            // told by density.
            if reagent.key != "sulfuric acid" || pair[1].mass_percent <= 98.0 {
                assert!(
                    pair[0].kg_per_l < pair[1].kg_per_l,
                    "{} at {} %",
                    reagent.key,
                    pair[1].mass_percent
                );
            }
        }
        let [low, high] = reagent.strength_range_percent;
        assert!(
            rows.first().is_some_and(|row| row.mass_percent <= low),
            "{}",
            reagent.key
        );
        assert!(
            rows.last().is_some_and(|row| row.mass_percent >= high),
            "{}",
            reagent.key
        );
    }
}

#[test]
fn densities_agree_with_the_model_of_laliberte_and_cooper() {
    // Laliberte and Cooper 2004, J. Chem. Eng. Data 49, 1141, parameters of 2009, evaluated at 20
    // °C inside its fitted range (the check column of densities.csv).
    let tolerances = [
        ("sulfuric acid", 0.0021),
        ("hydrochloric acid", 0.001),
        ("phosphoric acid", 0.003),
        ("calcium chloride solution", 0.003),
    ];
    let mut reader =
        csv::Reader::from_path(concat!(env!("CARGO_MANIFEST_DIR"), "/data/densities.csv"))
            .expect("the file can be read");
    let mut compared = 0;
    for record in reader.records() {
        let record = record.expect("the row can be read");
        let (reagent, check) = (&record[0], &record[3]);
        if check.is_empty() {
            continue;
        }
        let tolerance = tolerances
            .iter()
            .find(|(key, _)| *key == reagent)
            .expect("the reagent has a tolerance")
            .1;
        let percent: f64 = record[1].parse().expect("a number");
        let check: f64 = check.parse().expect("a number");
        let difference = density(reagent, percent) - check;
        assert!(
            difference.abs() <= tolerance + 1e-9,
            "{reagent} at {percent} %: {difference}"
        );
        compared += 1;
    }
    assert!(compared > 50, "only {compared} densities compared");
}

#[test]
fn concentrations_of_stock_acids() {
    // Computed by hand from density, strength and molar mass of independent tables (CIAAW 2021
    // weights).
    for (reagent, percent, expected) in [
        ("lactic acid", 88.0, 11.75),
        ("lactic acid", 80.0, 10.52),
        ("phosphoric acid", 85.0, 14.65),
        ("phosphoric acid", 75.0, 12.08),
        ("phosphoric acid", 10.0, 1.075),
        ("hydrochloric acid", 37.0, 12.01),
        ("sulfuric acid", 96.0, 35.94 / 2.0),
    ] {
        let found = moles_per_litre(reagent, percent);
        assert!(
            (found / expected - 1.0).abs() < 0.005,
            "{reagent} {percent} %: {found}"
        );
    }
    // Standard Methods for the Examination of Water and Wastewater, preparation of 0.1 N acids
    // (from memory): 8.3 mL of concentrated HCl and 2.8 mL of concentrated H2SO4 per litre.
    assert!((100.0 / moles_per_litre("hydrochloric acid", 37.0) / 8.3 - 1.0).abs() < 0.01);
    assert!((50.0 / moles_per_litre("sulfuric acid", 96.0) / 2.8 - 1.0).abs() < 0.01);
}

#[test]
fn solubility_of_a_hydrate_holds_the_anhydrous_salt_of_the_handbook() {
    // Mass percent of anhydrous solute in the saturated solution: magnesium sulfate 25.1 % at 20 °C
    // and 35.9 % at 80 °C (CRC Handbook, Aqueous solubility of inorganic compounds, from
    // memory); calcium chloride 74.5 and 147.0 g per 100 g of water at 20 and 80 °C (handbook
    // table as reproduced on the web).
    let per_cent = |grams_per_100_g: f64| 100.0 * grams_per_100_g / (100.0 + grams_per_100_g);
    for (hydrate, anhydrous_mass, expected) in [
        ("epsom salt", 120.361, [Some(25.1), Some(35.9)]),
        (
            "calcium chloride dihydrate",
            110.978,
            [Some(per_cent(74.5)), Some(per_cent(147.0))],
        ),
        (
            "calcium chloride hexahydrate",
            110.978,
            [Some(per_cent(74.5)), None],
        ),
        (
            "calcium chloride anhydrous",
            110.978,
            [Some(per_cent(74.5)), Some(per_cent(147.0))],
        ),
    ] {
        let row = tables::reagent(hydrate).expect("the reagent exists");
        for (solubility, expected) in [row.solubility_20c_g_per_kg, row.solubility_80c_g_per_kg]
            .iter()
            .zip(expected)
        {
            let found = solubility.map(|grams| {
                let anhydrous = grams * anhydrous_mass / row.molar_mass_g_per_mol;
                100.0 * anhydrous / (1000.0 + grams)
            });
            match (found, expected) {
                (Some(found), Some(expected)) => {
                    assert!((found - expected).abs() < 0.05, "{hydrate}: {found} %");
                }
                (found, expected) => assert_eq!(found, expected, "{hydrate}"),
            }
        }
    }
}

#[test]
fn lime_and_gypsum_dissolve_as_published() {
    // Gypsum 15.2 mmol/kg at 25 °C, 4.5 % realistic uncertainty (Marshall and Slusher 1966; Lebedev
    // and Kosorukov 2017); lime 22.6 mmol/kg at 20 °C, computed with the constants of Ball and
    // Nordstrom 1991.
    let moles = |key: &str| {
        let row = tables::reagent(key).expect("the reagent exists");
        row.solubility_20c_g_per_kg.expect("it has a solubility") / row.molar_mass_g_per_mol
    };
    assert!((moles("gypsum") / 0.0152 - 1.0).abs() < 0.045);
    assert!((moles("slaked lime") / 0.0226 - 1.0).abs() < 0.02);
}
