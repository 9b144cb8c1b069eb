//! Masses and equilibrium constants against published figures.

use underlet_tables as tables;

const KELVIN: f64 = 273.15;

fn log_k(key: &str, celsius: f64) -> f64 {
    let row = tables::equilibrium(key).expect("the constant exists");
    analytic(
        &row.analytic.expect("it has an analytic form"),
        celsius + KELVIN,
    )
}

fn analytic(a: &[f64; 6], kelvin: f64) -> f64 {
    a[0] + a[1] * kelvin
        + a[2] / kelvin
        + a[3] * kelvin.log10()
        + a[4] / kelvin.powi(2)
        + a[5] * kelvin.powi(2)
}

fn value(name: &str) -> f64 {
    tables::parameter(name).expect("the parameter exists").value
}

fn weight(symbol: &str) -> f64 {
    tables::element(symbol)
        .expect("the element exists")
        .weight_g_per_mol
}

#[test]
fn ions_from_100_mg_of_salt() {
    // Exact from the formulas and the abridged standard atomic weights of 2021 (Prohaska et al.
    // 2022), computed apart.
    for (salt, component, expected) in [
        ("gypsum", "calcium", 23.279),
        ("gypsum", "sulfate", 55.793),
        ("calcium chloride dihydrate", "calcium", 27.262),
        ("calcium chloride dihydrate", "chloride", 48.229),
        ("epsom salt", "magnesium", 9.861),
        ("epsom salt", "sulfate", 38.973),
        ("magnesium chloride hexahydrate", "magnesium", 11.956),
        ("magnesium chloride hexahydrate", "chloride", 34.875),
        ("sodium chloride", "sodium", 39.339),
        ("sodium chloride", "chloride", 60.661),
        ("sodium bicarbonate", "sodium", 27.367),
        ("slaked lime", "calcium", 54.092),
    ] {
        let reagent = tables::reagent(salt).expect("the salt exists");
        let amount = reagent
            .brings
            .iter()
            .find(|(key, _)| *key == component)
            .expect("it brings the ion")
            .1;
        let ion = tables::component(component)
            .expect("the ion exists")
            .molar_mass_g_per_mol;
        let found = 100.0 * amount * ion / reagent.molar_mass_g_per_mol;
        assert!(
            (found - expected).abs() < 0.001,
            "{salt}: {component} {found}"
        );
    }
    let bicarbonate = weight("H") + weight("C") + 3.0 * weight("O");
    let soda = tables::reagent("sodium bicarbonate").expect("the salt exists");
    let found = 100.0 * soda.carbon_mol_per_mol * bicarbonate / soda.molar_mass_g_per_mol;
    assert!((found - 72.633).abs() < 0.001, "{found}");
}

#[test]
fn molar_masses_of_reported_ions() {
    // CRC Handbook of Chemistry and Physics, molar masses of ions to two decimals (from memory).
    for (component, expected) in [
        ("ammonium", 18.04),
        ("sulfate", 96.06),
        ("nitrate", 62.00),
        ("nitrite", 46.01),
        ("lactate", 89.07),
        ("acetate", 59.04),
        ("phosphate", 94.97),
        ("sulfite", 80.06),
    ] {
        let found = tables::component(component)
            .expect("the component exists")
            .molar_mass_g_per_mol;
        assert!((found - expected).abs() < 0.006, "{component}: {found}");
    }
}

#[test]
fn chlorine_is_removed_by_the_published_masses() {
    // Stoichiometry per mg of Cl2: 1.3406 mg Na2S2O5, 1.5678 mg K2S2O5, 2.4841 mg ascorbic acid
    // (exact).
    let chlorine = 2.0 * weight("Cl");
    for (reagent, per_mole, expected) in [
        ("sodium metabisulfite", 2.0, 1.3406),
        ("potassium metabisulfite", 2.0, 1.5678),
        ("ascorbic acid", 1.0, 2.4841),
    ] {
        let row = tables::reagent(reagent).expect("the reagent exists");
        let reducing: f64 = row
            .brings
            .iter()
            .filter(|(key, _)| ["sulfite", "ascorbate"].contains(key))
            .map(|pair| pair.1)
            .sum();
        assert_eq!(reducing, per_mole, "{reagent}");
        let found = row.molar_mass_g_per_mol / reducing / chlorine;
        assert!((found - expected).abs() < 1e-4, "{reagent}: {found}");
    }
}

#[test]
fn analytic_forms_give_the_tabulated_constant_and_enthalpy_at_25_c() {
    let kelvin = 25.0 + KELVIN;
    let mut compared = 0;
    for row in tables::EQUILIBRIA {
        let Some(a) = row.analytic else { continue };
        assert!(
            (analytic(&a, kelvin) - row.log_k_25c).abs() < 1e-4,
            "{}",
            row.key
        );
        // The database's own enthalpy of KSO4- (calorimetric) differs from the slope of its
        // analytic form, which wins.
        let tolerance = if row.key == "potassium_sulfate_pair" {
            3.5
        } else {
            1.0
        };
        // The slope of the analytic form is the enthalpy by van 't Hoff's law.
        if let Some(printed) = row.delta_h_kj_per_mol {
            let slope =
                (analytic(&a, kelvin + 0.5) - analytic(&a, kelvin - 0.5)) * std::f64::consts::LN_10;
            let enthalpy = value("gas_constant") * kelvin * kelvin * slope / 1000.0;
            assert!(
                (enthalpy - printed).abs() < tolerance,
                "{}: {enthalpy} against {printed}",
                row.key
            );
        }
        compared += 1;
    }
    assert!(compared > 12, "only {compared} constants compared");
}

#[test]
fn harned_robinson_forms_give_the_tabulated_pka() {
    let mut compared = 0;
    for step in tables::ACID_STEPS {
        let Some([a1, a2, a3]) = step.harned_robinson else {
            continue;
        };
        let kelvin = 25.0 + KELVIN;
        let pka = a1 / kelvin - a2 + a3 * kelvin;
        // Robinson and Stokes 1959 print lactic acid 3.862 beside a form that gives 3.860.
        assert!(
            (pka - step.pka_25c).abs() < 0.0025,
            "{} {}: {pka}",
            step.component,
            step.step
        );
        compared += 1;
    }
    assert!(compared >= 6, "only {compared} steps compared");
}

#[test]
fn phosphate_agrees_with_the_geochemical_set() {
    // Nordstrom et al. 1990 through wateq4f.dat: PO4-3 + H+ 12.346, PO4-3 + 2 H+ 19.553, at 25 °C.
    let steps: Vec<_> = tables::acid_steps("phosphate")
        .map(|step| step.pka_25c)
        .collect();
    assert!((steps[1] - (19.553 - 12.346)).abs() < 0.02);
    assert!((steps[2] - 12.346).abs() < 0.02);
}

#[test]
fn calcite_constant_of_plummer_and_busenberg() {
    // Plummer and Busenberg 1982, Geochim. Cosmochim. Acta 46, 1011, evaluated apart.
    for (celsius, expected) in [
        (0.0, -8.381),
        (10.0, -8.411),
        (25.0, -8.480),
        (50.0, -8.663),
        (80.0, -8.989),
        (100.0, -9.267),
    ] {
        let found = log_k("calcite", celsius);
        assert!((found - expected).abs() < 0.001, "{celsius} °C: {found}");
    }
    assert!(
        log_k("aragonite", 25.0) > log_k("calcite", 25.0),
        "aragonite is the more soluble"
    );
}

#[test]
fn neutral_water_and_the_gypsum_transition() {
    // Neutral pH: textbook values 7.47, 7.00, 6.51, 6.13 (from memory).
    for (celsius, expected) in [(0.0, 7.47), (25.0, 7.00), (60.0, 6.51), (100.0, 6.13)] {
        let found = -log_k("water", celsius) / 2.0;
        assert!((found - expected).abs() < 0.02, "{celsius} °C: {found}");
    }
    // The constants of wateq4f.dat cross at 57.9 °C with the activity of water 1; Hardie 1967, Am.
    // Mineral. 52, found 58 ± 2 °C.
    let excess = |celsius| log_k("gypsum", celsius) - log_k("anhydrite", celsius);
    assert!(
        excess(57.4) < 0.0 && excess(58.4) > 0.0,
        "{} {}",
        excess(57.4),
        excess(58.4)
    );
}

/// Density of water at saturation, g/cm3: Wagner and Pruss 2002, eq. 2.6.
fn water_density(celsius: f64) -> f64 {
    let theta = 1.0 - (celsius + KELVIN) / value("water_critical_temperature");
    let exponents = [1.0, 2.0, 5.0, 16.0, 43.0, 110.0];
    let sum: f64 = (1..)
        .zip(exponents)
        .map(|(i, e)| value(&format!("wagner_pruss_b{i}")) * theta.powf(e / 3.0))
        .sum();
    value("water_critical_density") * (1.0 + sum) / 1000.0
}

/// Dielectric constant of water at 1 bar: Bradley and Pitzer 1979.
fn dielectric_constant(celsius: f64) -> f64 {
    let kelvin = celsius + KELVIN;
    let u = |i: u8| value(&format!("bradley_pitzer_u{i}"));
    let at_1000_bar = u(1) * (u(2) * kelvin + u(3) * kelvin * kelvin).exp();
    let c = u(4) + u(5) / (u(6) + kelvin);
    let b = u(7) + u(8) / kelvin + u(9) * kelvin;
    at_1000_bar + c * ((b + 1.0) / (b + 1000.0)).ln()
}

#[test]
fn water_properties() {
    // Wagner and Pruss 2002 (IAPWS-95 saturated liquid); the dielectric constants are Bradley and
    // Pitzer's own.
    for (celsius, density) in [
        (0.0, 0.9998),
        (20.0, 0.9982),
        (25.0, 0.9970),
        (80.0, 0.9718),
        (100.0, 0.9584),
    ] {
        let found = water_density(celsius);
        assert!((found - density).abs() < 0.00006, "{celsius} °C: {found}");
    }
    for (celsius, dielectric) in [(0.0, 87.857), (25.0, 78.384), (80.0, 60.843)] {
        let found = dielectric_constant(celsius);
        assert!((found - dielectric).abs() < 0.01, "{celsius} °C: {found}");
    }
    // Debye-Hückel slopes at 25 °C: 0.51 and 0.33 per angstrom in every textbook (Robinson and
    // Stokes 1959: 0.5115 and 0.3291 on the molar scale with the older dielectric constant).
    let (rho, eps_t) = (water_density(25.0), dielectric_constant(25.0) * 298.15);
    let a = value("debye_huckel_a_factor") * rho.sqrt() / eps_t.powf(1.5);
    let b = value("debye_huckel_b_factor") * rho.sqrt() / eps_t.sqrt();
    assert!(
        (a - 0.5100).abs() < 0.0005 && (b - 0.3285).abs() < 0.0005,
        "{a} {b}"
    );
}

#[test]
fn conductivities_of_single_salts() {
    // CRC Handbook, electrical conductivity of aqueous solutions, 25 °C, uS/cm; concentrations in
    // eq/L.
    let conductance = |species: &str, equivalents: f64, ionic_strength: f64| {
        let row = tables::conductivity(species).expect("the ion exists");
        let z = f64::from(row.charge.abs());
        let root = ionic_strength.sqrt() / (1.0 + ionic_strength.sqrt());
        let fall = value("onsager_relaxation") * z * z * row.limiting_s_cm2_per_eq
            + value("onsager_electrophoresis") * z;
        1000.0 * equivalents * (row.limiting_s_cm2_per_eq - fall * root)
    };
    for (cation, anion, equivalents, ionic_strength, expected, tolerance) in [
        ("K+", "Cl-", 0.001, 0.001, 146.9, 0.005),
        ("K+", "Cl-", 0.01, 0.01, 1412.0, 0.005),
        ("Na+", "Cl-", 0.01, 0.01, 1184.5, 0.005),
        ("Ca+2", "Cl-", 0.01, 0.015, 1203.0, 0.03),
        ("Mg+2", "Cl-", 0.01, 0.015, 1144.9, 0.03),
        ("Na+", "SO4-2", 0.01, 0.015, 1123.8, 0.03),
    ] {
        let found = conductance(cation, equivalents, ionic_strength)
            + conductance(anion, equivalents, ionic_strength);
        assert!(
            (found / expected - 1.0).abs() < tolerance,
            "{cation} {anion}: {found} against {expected}"
        );
    }
}

#[test]
fn residual_alkalinity_of_kolbach() {
    // Kolbach 1953: RA = alkalinity - (Ca + Mg/2)/3.5; alkalinity 5.0, Ca 6.0, Mg 0.5 meq/L give
    // 3.2143 meq/L.
    let classical = 5.0
        - 6.0 / value("residual_alkalinity_calcium_divisor")
        - 0.5 / value("residual_alkalinity_magnesium_divisor");
    assert!((classical - 3.2143).abs() < 5e-5, "{classical}");
    let by_protons = 5.0
        - 6.0 * value("calcium_protons_per_equivalent")
        - 0.5 * value("magnesium_protons_per_equivalent");
    assert!((by_protons - classical).abs() < 1e-12);
}
