//! What holds for every row: keys, ranges, sources.

use std::collections::BTreeSet;
use underlet_tables as tables;

fn assert_unique<'a>(what: &str, keys: impl Iterator<Item = &'a str>) {
    let mut seen = BTreeSet::new();
    for key in keys {
        assert!(!key.is_empty() && key.trim() == key, "{what}: `{key}`");
        assert!(
            seen.insert(key.to_lowercase()),
            "{what}: `{key}` is there twice"
        );
    }
    assert!(!seen.is_empty(), "{what} is empty");
}

/// The source keys of all rows.
fn used_sources() -> BTreeSet<&'static str> {
    let mut fields: Vec<&'static str> = Vec::new();
    fields.extend(tables::ELEMENTS.iter().map(|row| row.source));
    fields.extend(tables::ACID_STEPS.iter().map(|row| row.source));
    fields.extend(tables::REAGENTS.iter().map(|row| row.source));
    fields.extend(tables::DENSITIES.iter().map(|row| row.source));
    fields.extend(tables::MALTS.iter().map(|row| row.source));
    fields.extend(tables::PARAMETERS.iter().map(|row| row.source));
    fields.extend(tables::EQUILIBRIA.iter().map(|row| row.source));
    fields.extend(tables::ACTIVITIES.iter().map(|row| row.source));
    fields.extend(tables::CONDUCTIVITIES.iter().map(|row| row.source));
    fields.extend(tables::LIMITS.iter().map(|row| row.source));
    fields.extend(tables::TASTES.iter().map(|row| row.source));
    fields.extend(tables::SPREADS.iter().map(|row| row.source));
    fields.extend(tables::DRINKING_WATERS.iter().map(|row| row.source));
    fields.extend(tables::BEER_FAMILIES.iter().map(|row| row.source));
    fields.extend(tables::TARGET_RULES.iter().map(|row| row.source));
    assert!(
        fields.iter().all(|field| !field.is_empty()),
        "a row has no source"
    );
    fields
        .iter()
        .flat_map(|field| field.split_whitespace())
        .collect()
}

#[test]
fn every_source_resolves_and_is_used() {
    let used = used_sources();
    for key in &used {
        assert!(
            tables::source(key).is_some(),
            "source `{key}` is not listed"
        );
    }
    for row in tables::SOURCES {
        assert!(used.contains(row.key), "source `{}` is not used", row.key);
    }
}

#[test]
fn every_source_says_how_far_it_was_checked() {
    assert_unique("sources", tables::SOURCES.iter().map(|row| row.key));
    for row in tables::SOURCES {
        assert!(
            ["read", "read at second hand", "from memory", "derived"].contains(&row.checked),
            "{}",
            row.key
        );
        assert!(
            row.reference.len() > 20,
            "{}: reference too short to find",
            row.key
        );
        // What has no source, or was remembered, must not pass for read.
        if row.reference.starts_with("Common practice") {
            assert_eq!(row.checked, "from memory", "{}", row.key);
        }
        if row.reference.contains("as remembered") || row.reference.contains("entered from memory")
        {
            assert_eq!(row.checked, "from memory", "{}", row.key);
        }
    }
}

#[test]
fn keys_are_unique() {
    assert_unique("elements", tables::ELEMENTS.iter().map(|row| row.symbol));
    assert_unique(
        "reagents",
        tables::REAGENTS
            .iter()
            .flat_map(|row| row.aliases.iter().copied().chain([row.key])),
    );
    assert_unique("malts", tables::MALTS.iter().map(|row| row.class));
    assert_unique("parameters", tables::PARAMETERS.iter().map(|row| row.name));
    assert_unique("equilibria", tables::EQUILIBRIA.iter().map(|row| row.key));
    assert_unique(
        "activities",
        tables::ACTIVITIES.iter().map(|row| row.species),
    );
    assert_unique(
        "conductivities",
        tables::CONDUCTIVITIES.iter().map(|row| row.species),
    );
    assert_unique(
        "components",
        tables::COMPONENTS
            .iter()
            .flat_map(|row| row.aliases.iter().copied().chain([row.key])),
    );
}

#[test]
fn lookups_find_every_row_and_nothing_else() {
    for row in tables::COMPONENTS {
        assert_eq!(tables::component(row.key), Some(row));
    }
    for row in tables::REAGENTS {
        assert_eq!(tables::reagent(row.key), Some(row));
    }
    for row in tables::MALTS {
        assert_eq!(tables::malt(row.class), Some(row));
    }
    for row in tables::PARAMETERS {
        assert_eq!(tables::parameter(row.name), Some(row));
    }
    for row in tables::EQUILIBRIA {
        assert_eq!(tables::equilibrium(row.key), Some(row));
    }
    for row in tables::ACTIVITIES {
        assert_eq!(tables::activity(row.species), Some(row));
    }
    for row in tables::CONDUCTIVITIES {
        assert_eq!(tables::conductivity(row.species), Some(row));
    }
    for row in tables::ELEMENTS {
        assert_eq!(tables::element(row.symbol), Some(row));
    }
    assert_eq!(
        tables::reagent("Gypsum"),
        None,
        "case-folding is the engine's business"
    );
    assert_eq!(tables::component("Ca"), None, "so are aliases");
    assert_eq!(tables::parameter(""), None);
}

#[test]
fn components_stand_in_the_order_the_engine_counts_them() {
    let order: Vec<_> = tables::COMPONENTS.iter().map(|row| row.key).collect();
    assert_eq!(
        order,
        [
            "calcium",
            "magnesium",
            "sodium",
            "potassium",
            "ammonium",
            "iron",
            "manganese",
            "chloride",
            "sulfate",
            "nitrate",
            "nitrite",
            "fluoride",
            "lactate",
            "acetate",
            "citrate",
            "malate",
            "tartrate",
            "phosphate",
            "sulfite",
            "ascorbate",
            "silica",
        ]
    );
    for row in tables::COMPONENTS {
        assert_eq!(
            row.charge != 0,
            row.kind == tables::ComponentKind::Strong,
            "{}",
            row.key
        );
        // Silicic acid's two steps stand among the equilibria, with the set they were measured in.
        let steps = if row.key == "silica" {
            ["silicic_1", "silicic_2"]
                .into_iter()
                .filter_map(tables::equilibrium)
                .count()
        } else {
            tables::acid_steps(row.key).count()
        };
        assert_eq!(
            steps > 0,
            row.kind == tables::ComponentKind::WeakAcid,
            "{}",
            row.key
        );
    }
}

#[test]
fn acid_steps_run_from_the_first_proton_and_weaken() {
    for component in tables::COMPONENTS {
        let steps: Vec<_> = tables::acid_steps(component.key).collect();
        for (index, step) in steps.iter().enumerate() {
            assert_eq!(usize::from(step.step), index + 1, "{}", component.key);
        }
        assert!(
            steps
                .windows(2)
                .all(|pair| pair[0].pka_25c < pair[1].pka_25c),
            "{}",
            component.key
        );
    }
}

#[test]
fn reagents_are_sensible() {
    for row in tables::REAGENTS {
        let [low, high] = row.strength_range_percent;
        assert!(
            0.0 < low && low <= row.usual_strength_percent && row.usual_strength_percent <= high,
            "{}",
            row.key
        );
        assert!(high <= 100.0, "{}", row.key);
        assert!(
            row.handling.len() > 10 && row.handling.ends_with('.'),
            "{}",
            row.key
        );
        assert_eq!(row.key, row.key.to_lowercase(), "keys are lower case");
        assert_eq!(
            row.liquid,
            tables::densities(row.key).count() > 0,
            "{}",
            row.key
        );
        let [share, sd] = row.effective_in_mash;
        let dissolves = row.key != "chalk";
        assert_eq!(dissolves, share == 1.0 && sd == 0.0, "{}", row.key);
        for solubility in [row.solubility_20c_g_per_kg, row.solubility_80c_g_per_kg]
            .into_iter()
            .flatten()
        {
            assert!(solubility > 0.0 && solubility < 10_000.0, "{}", row.key);
        }
        for (component, amount) in row.brings {
            assert!(
                tables::component(component).is_some() && *amount > 0.0,
                "{}",
                row.key
            );
        }
    }
}

#[test]
fn malts_stay_within_what_malt_can_be() {
    for row in tables::MALTS {
        assert!(row.colour_ebc[0] < row.colour_ebc[1], "{}", row.class);
        assert!(["low", "medium"].contains(&row.confidence), "{}", row.class);
        let Some(ph) = row.ph_in_distilled_water else {
            assert_eq!(row.buffering_meq_per_kg_ph, 0.0, "{}", row.class);
            continue;
        };
        assert!((3.3..=6.3).contains(&ph), "{}", row.class);
        assert!((0.02..=0.35).contains(&row.ph_sd), "{}", row.class);
        assert!(
            row.buffering_sd > 0.0 && row.buffering_sd < row.buffering_meq_per_kg_ph,
            "{}",
            row.class
        );
    }
    // Darker caramel malts are more acid and buffer more (Troester 2009; Hansen and Geurts 2015,
    // MBAA).
    let caramel: Vec<_> = tables::MALTS
        .iter()
        .filter(|row| row.class.starts_with("caramel malt"))
        .collect();
    assert!(caramel.len() > 5);
    for pair in caramel.windows(2) {
        assert!(pair[0].colour_ebc[1] <= pair[1].colour_ebc[0]);
        assert!(pair[0].ph_in_distilled_water > pair[1].ph_in_distilled_water);
        assert!(pair[0].buffering_meq_per_kg_ph < pair[1].buffering_meq_per_kg_ph);
    }
}

#[test]
fn acidulated_malt_carries_the_lactic_acid_it_is_sold_with() {
    // German brewing compendium, entry on acidulated malt: 2 to 4 % lactic acid by mass. Its acid
    // down to pH 5.7 must lie between those of 2 and 4 %, 222 to 444 mmol/kg.
    let malt = tables::malt("acidulated malt").expect("the class exists");
    let ph = malt.ph_in_distilled_water.expect("it has a pH");
    let acid_meq_per_kg = malt.buffering_meq_per_kg_ph * (5.7 - ph);
    let lactic_acid = tables::reagent("lactic acid").expect("the reagent exists");
    let per_percent = 1e4 / lactic_acid.molar_mass_g_per_mol;
    assert!(
        (2.0 * per_percent..=4.0 * per_percent).contains(&acid_meq_per_kg),
        "{acid_meq_per_kg}"
    );
}

#[test]
fn parameters_carry_a_spread_and_a_meaning() {
    for row in tables::PARAMETERS {
        assert!(row.value.is_finite() && row.sd >= 0.0, "{}", row.name);
        // A spread of logarithms has no unit in common with the value: beyond 2, two waters of
        // three would differ fiftyfold.
        let is_logarithmic = row.meaning.ends_with("sd of its logarithm");
        let widest = if is_logarithmic { 2.0 } else { row.value.abs() };
        assert!(
            row.sd <= widest,
            "{}: the spread is wider than the value",
            row.name
        );
        assert!(
            row.meaning.len() > 10 && !row.unit.is_empty(),
            "{}",
            row.name
        );
        let snake = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        assert!(row.name.chars().all(snake), "{}", row.name);
    }
    for pair in [
        ["mash_ph_low", "mash_ph_high"],
        ["knocked_out_ph_low", "knocked_out_ph_high"],
        ["sparge_ph_low", "sparge_ph_high"],
        ["ion_balance_low_end", "ion_balance_middle_end"],
        ["ion_balance_middle_share", "ion_balance_high_share"],
    ] {
        let [low, high] =
            pair.map(|name| tables::parameter(name).expect("the parameter exists").value);
        assert!(low < high, "{pair:?}");
    }
}

#[test]
fn drinking_waters_have_room_for_every_limit() {
    for row in tables::DRINKING_WATERS {
        assert_eq!(tables::drinking_water(row.subject), Some(row));
        assert!(row.low < row.high, "{}", row.subject);
        assert!(row.detection_limit < row.high, "{}", row.subject);
    }
    assert_unique(
        "drinking waters",
        tables::DRINKING_WATERS.iter().map(|row| row.subject),
    );
    // What an authority allows must not count as impossible.
    for limit in tables::LIMITS {
        if let Some(row) = tables::drinking_water(limit.quantity) {
            assert!(limit.high <= row.high, "{}", limit.quantity);
        }
    }
}

#[test]
fn limits_are_sensible() {
    let mut seen = BTreeSet::new();
    for row in tables::LIMITS {
        assert!(
            seen.insert((row.quantity, row.authority, row.status)),
            "{} {} twice",
            row.quantity,
            row.authority
        );
        assert!(
            row.low.is_none_or(|low| low < row.high) && row.high > 0.0,
            "{}",
            row.quantity
        );
        assert_eq!(
            row.unit.is_empty(),
            row.quantity == "ph",
            "{}",
            row.quantity
        );
    }
    // 40 CFR 141 prints 10 mg/L as N for nitrate and 1 mg/L as N for nitrite: 44.3 and 3.28 mg/L of
    // the ion.
    let high = |quantity, authority| {
        let row = tables::LIMITS
            .iter()
            .find(|row| row.quantity == quantity && row.authority == authority);
        row.expect("the limit exists").high
    };
    assert!((high("nitrate", "US") - 44.3).abs() < 0.05);
    assert!((high("nitrite", "US") - 3.28).abs() < 0.01);
    assert_eq!(high("nitrate", "EU"), 50.0);
}

#[test]
fn every_component_has_a_spread_by_every_method_for_ions() {
    for component in tables::COMPONENTS {
        for method in ["laboratory", "bench", "drops", "strip"] {
            let row = tables::spread(component.key, method).expect(component.key);
            assert!([component.key, "ion"].contains(&row.quantity));
        }
    }
    for quantity in [
        "alkalinity",
        "hardness",
        "dissolved_solids",
        "conductivity",
        "ph",
    ] {
        assert!(tables::spread(quantity, "laboratory").is_some());
        assert!(tables::spread(quantity, "bench").is_some());
    }
    assert_eq!(tables::spread("nothing", "laboratory"), None);
    assert_eq!(tables::drinking_water("nothing"), None);
}

#[test]
fn the_usual_water_is_nearly_neutral() {
    // Cations and anions of the middles must agree within a fifth, or the priors would pull every
    // water to one side.
    let usual = |key: &str| {
        let water = tables::drinking_water(key).expect(key);
        let [middle, _] = water.usual.expect(key);
        middle
    };
    let charge = |key: &str| {
        let row = tables::component(key).expect(key);
        f64::from(row.charge) * usual(key) / row.molar_mass_g_per_mol
    };
    let cations: f64 = ["calcium", "magnesium", "sodium", "potassium"]
        .map(charge)
        .iter()
        .sum();
    let anions: f64 = ["chloride", "sulfate", "nitrate", "fluoride"]
        .map(charge)
        .iter()
        .sum();
    let alkalinity = usual("alkalinity") / 50.04;
    let difference = (cations + anions - alkalinity) / cations;
    assert!(difference.abs() < 0.2, "{difference}");
}

#[test]
fn tastes_are_of_components() {
    assert_unique("tastes", tables::TASTES.iter().map(|row| row.component));
    for row in tables::TASTES {
        assert_eq!(tables::taste(row.component), Some(row));
        assert!(tables::component(row.component).is_some());
        assert!(row.mg_per_l > 0.0 && !row.taste.is_empty());
        assert!(
            row.missed_mg_per_l
                .is_none_or(|missed| missed > row.mg_per_l)
        );
    }
    // Beer holds hundreds of mg/L of phosphate, and nobody states a threshold.
    assert_eq!(tables::taste("phosphate"), None);
}

#[test]
fn judged_tastes_of_acids_have_as_many_equivalents_as_lactate() {
    let milliequivalents = |key: &str, protons: f64| {
        let row = tables::taste(key).expect(key);
        let component = tables::component(key).expect(key);
        protons * row.mg_per_l / component.molar_mass_g_per_mol
    };
    // 400 mg/L of lactate at 89.07 g/mol.
    let lactate = milliequivalents("lactate", 1.0);
    assert!((lactate - 4.49).abs() < 0.01, "{lactate}");
    for (key, protons) in [("citrate", 3.0), ("malate", 2.0), ("tartrate", 2.0)] {
        let other = milliequivalents(key, protons);
        assert!((other - lactate).abs() < 0.1, "{key}: {other}");
    }
}

/// Zinc salts bring their anion beside the zinc, which no component counts.
#[test]
fn zinc_salts_bring_their_anion() {
    let brings = |key: &str| tables::reagent(key).expect(key).brings;
    assert_eq!(brings("zinc sulfate heptahydrate"), [("sulfate", 1.0)]);
    assert_eq!(brings("zinc chloride"), [("chloride", 2.0)]);
}
