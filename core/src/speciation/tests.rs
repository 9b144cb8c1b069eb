use super::*;

fn well() -> Water {
    let mut ions_mg_per_l = [0.0; IONS.len()];
    for (ion, mg_per_l) in [
        (Component::Calcium, 70.0),
        (Component::Sulfate, 40.0),
        (Component::Silica, 12.0),
    ] {
        let place = IONS.iter().position(|known| *known == ion).unwrap();
        ions_mg_per_l[place] = mg_per_l;
    }
    Water {
        temperature_c: Some(12.0),
        ions_mg_per_l,
        alkalinity_mg_per_l_caco3: Some(150.0),
        ph: Some(7.4),
        ..Water::default()
    }
}

#[test]
fn every_pair_that_determines_a_water_gives_the_same_water() {
    let told = well().speciate().unwrap();
    let carbon = told.total_carbon_mg_per_l();
    let bare = Water {
        ph: None,
        alkalinity_mg_per_l_caco3: None,
        ..well()
    };
    let others = [
        Water {
            alkalinity_mg_per_l_caco3: Some(150.0),
            total_carbon_mg_per_l: Some(carbon),
            ..bare
        },
        Water {
            alkalinity_mg_per_l_caco3: Some(150.0),
            log10_pco2: told.log10_pco2(),
            ..bare
        },
        Water {
            ph: Some(7.4),
            total_carbon_mg_per_l: Some(carbon),
            ..bare
        },
    ];
    for other in others {
        let same = other.speciate().unwrap();
        assert!((same.state.ph - 7.4).abs() < 1e-9, "{other:?}");
        assert!((same.alkalinity_mg_per_l_caco3() - 150.0).abs() < 1e-6);
        assert!((same.total_carbon_mg_per_l() - carbon).abs() < 1e-6);
    }
}

#[test]
fn other_choices_are_refused() {
    let values = [Some(150.0), Some(7.4), Some(40.0), Some(-3.0)];
    let right = ["1100", "1010", "1001", "0110"];
    for choice in 0..16_u32 {
        let digits = format!("{choice:04b}");
        let mut given = digits
            .chars()
            .zip(values)
            .map(|(digit, value)| value.filter(|_| digit == '1'));
        let mut next = || given.next().flatten();
        let water = Water {
            alkalinity_mg_per_l_caco3: next(),
            ph: next(),
            total_carbon_mg_per_l: next(),
            log10_pco2: next(),
            ..Water::default()
        };
        match water.speciate() {
            Ok(_) => assert!(right.contains(&digits.as_str()), "{digits}"),
            Err(error) => {
                assert!(!right.contains(&digits.as_str()), "{digits} {error}");
                let [problem] = error.problems.as_slice() else {
                    panic!("{error}")
                };
                let few = choice.count_ones() < 2;
                let wanted = if few {
                    ErrorCode::MissingKey
                } else {
                    ErrorCode::Contradiction
                };
                assert_eq!(problem.code, wanted);
                // A value that is missing or one too many is named.
                let place = DETERMINING
                    .iter()
                    .position(|name| *name == problem.path)
                    .unwrap();
                assert_eq!(digits.as_bytes()[place] == b'1', !few, "{digits} {problem}");
            }
        }
    }
}

#[test]
fn all_problems_are_told_at_once() {
    let mut water = well();
    water.ions_mg_per_l[0] = f64::NAN;
    water.ions_mg_per_l[1] = -1.0;
    water.temperature_c = Some(120.0);
    water.ph = None;
    let error = water.speciate().unwrap_err();
    let told: Vec<_> = error
        .problems
        .iter()
        .map(|problem| (problem.path.as_str(), problem.code))
        .collect();
    assert_eq!(
        told,
        [
            ("temperature", ErrorCode::OutOfRange),
            ("calcium", ErrorCode::NotFinite),
            ("magnesium", ErrorCode::OutOfRange),
            ("ph", ErrorCode::MissingKey),
        ]
    );
}

#[test]
fn values_that_contradict_each_other_are_named() {
    let acid = Water {
        ph: Some(3.0),
        ..well()
    };
    let error = acid.speciate().unwrap_err();
    assert_eq!(error.problems[0].code, ErrorCode::Contradiction);
    assert_eq!(error.problems[0].path, "ph");
    let brine = Water {
        ph: Some(0.0),
        ..well()
    };
    assert_eq!(brine.speciate().unwrap_err().problems.len(), 1);
}

#[test]
fn slopes_are_in_the_units_of_the_arguments() {
    let sensitivities = well().speciate().unwrap().sensitivities();
    let of = |result: &str, argument: &str| {
        let (_, sensitivities) = sensitivities
            .iter()
            .find(|(name, _)| *name == result)
            .unwrap();
        sensitivities
            .iter()
            .find(|(name, _)| *name == argument)
            .unwrap()
            .1
    };
    let results = |water: Water| {
        let told = water.speciate().unwrap();
        let calcite = told.saturation_indices().next().unwrap().1;
        [told.total_carbon_mg_per_l(), calcite]
    };
    let step = |change: fn(&mut Water, f64), by: f64| {
        let [mut more, mut less] = [well(), well()];
        change(&mut more, by);
        change(&mut less, -by);
        let (more, less) = (results(more), results(less));
        [0, 1].map(|place| (more[place] - less[place]) / (2.0 * by))
    };
    let near = |argument: &str, [carbon, calcite]: [f64; 2]| {
        for (result, found) in [("total_carbon", carbon), ("calcite", calcite)] {
            let exact = of(result, argument);
            // What a central difference of these steps leaves out.
            assert!(
                (exact - found).abs() < 1e-5 * exact.abs(),
                "{result} {argument}: {exact} {found}"
            );
        }
    };
    near(
        "calcium",
        step(|water, by| water.ions_mg_per_l[0] += by, 0.1),
    );
    near(
        "alkalinity",
        step(
            |water, by| water.alkalinity_mg_per_l_caco3 = Some(150.0 + by),
            0.1,
        ),
    );
    near("ph", step(|water, by| water.ph = Some(7.4 + by), 1e-3));
    near(
        "temperature",
        step(|water, by| water.temperature_c = Some(12.0 + by), 0.02),
    );
}

#[test]
fn a_table_shows_what_the_words_say() {
    let told = well().speciate().unwrap();
    let html = told.to_html_fragment();
    assert_eq!(html.matches("<tr>").count(), html.matches("</tr>").count());
    for (name, _) in told.saturation_indices() {
        assert!(html.contains(name));
    }
    assert!(told.summary().starts_with("pH 7.40 at 12 °C"));
}
