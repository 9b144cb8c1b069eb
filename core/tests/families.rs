//! Targets by family of beer: what the rules give, and the plans that come of them on three
//! invented waters.

use std::collections::BTreeSet;

use serde_json::{Value, json};
use underlet::reagent::AmountUnit;
use underlet::tables::{BEER_FAMILIES, LIMITS, TARGET_RULES};
use underlet::{
    Addition, BrewDay, Plan, TargetKey, TargetLine, TargetState, Targets, Vessel,
    json as documents, targets_for,
};

/// A grist for each family, kg: invented, in usual shares.
const GRISTS: [(&str, &[(&str, u32)]); 10] = [
    ("pale lager", &[("pilsner malt", 175), ("dextrin malt", 10)]),
    (
        "amber and dark lager",
        &[
            ("Vienna malt", 80),
            ("dark Munich malt", 95),
            ("caramel malt 80 to 120 EBC", 8),
        ],
    ),
    (
        "wheat beer",
        &[("pale wheat malt", 100), ("pilsner malt", 75)],
    ),
    (
        "pale ale",
        &[("pale ale malt", 170), ("caramel malt 40 to 80 EBC", 10)],
    ),
    (
        "hoppy pale ale",
        &[("pale ale malt", 185), ("pale wheat malt", 10)],
    ),
    (
        "hazy pale ale",
        &[
            ("pale ale malt", 130),
            ("flaked oats", 30),
            ("pale wheat malt", 30),
        ],
    ),
    (
        "amber and brown ale",
        &[
            ("pale ale malt", 150),
            ("caramel malt 80 to 120 EBC", 14),
            ("chocolate malt", 4),
        ],
    ),
    (
        "mild",
        &[
            ("mild ale malt", 120),
            ("caramel malt 120 to 180 EBC", 10),
            ("chocolate malt", 5),
        ],
    ),
    (
        "porter and stout",
        &[
            ("pale ale malt", 140),
            ("caramel malt 120 to 180 EBC", 10),
            ("chocolate malt", 8),
            ("roasted barley", 12),
        ],
    ),
    (
        "sour beer",
        &[("pilsner malt", 110), ("pale wheat malt", 60)],
    ),
];

/// Invented waters: soft, hard, and salty as near the sea; and pure water, of which there is less
/// than the day takes.
const WATERS: [&[&str]; 4] = [&["soft"], &["hard"], &["salty"], &["salty", "pure"]];

fn water(name: &str) -> Value {
    match name {
        "soft" => json!({
            "name": "spring", "calcium": 8, "magnesium": 1.5, "sodium": 5, "chloride": 6,
            "sulfate": 6, "alkalinity": 22, "ph": 7.0,
        }),
        "hard" => json!({
            "name": "well", "calcium": 128, "magnesium": 6, "sodium": 12, "potassium": 2,
            "chloride": 21, "sulfate": 34, "nitrate": 28, "alkalinity": 285, "ph": 7.2,
        }),
        "salty" => json!({
            "name": "quay well", "calcium": 60, "magnesium": 18, "sodium": 120, "chloride": 190,
            "sulfate": 55, "alkalinity": 160, "ph": 7.4,
        }),
        _ => json!({
            "name": "reverse osmosis", "calcium": 2, "magnesium": 0.5, "sodium": 6, "chloride": 6,
            "sulfate": 1, "alkalinity": 10, "ph": 6.3, "max_amount": "800 L",
        }),
    }
}

/// A day of 10 hL with the targets of a family, as documents state them.
fn day(family: &str, waters: &[&str]) -> Value {
    let targets = targets_for(family).expect("a family").to_json();
    let targets: Value = serde_json::from_str(&targets).expect("JSON");
    let grist = GRISTS.iter().find(|(name, _)| *name == family);
    let malt = |(malt, kg): &(&str, u32)| json!({"malt": malt, "mass": format!("{kg} kg")});
    let grist: Vec<Value> = grist.expect("a grist").1.iter().map(malt).collect();
    json!({
        "underlet": 1,
        "name": format!("{family}, {} water", waters.join(" and ")),
        "brewhouse": "Ninefold Quay",
        "sources": waters.iter().map(|name| water(name)).collect::<Vec<_>>(),
        "hot_liquor_tank": {"fill": "15 hL", "temperature": "78 °C"},
        "grist": grist,
        "mash": {"liquor": "580 L", "liquor_temperature": "73 °C", "rest_temperature": "66 °C"},
        "sparge": {"liquor": "720 L", "liquor_temperature": "77 °C"},
        "targets": targets["targets"],
        "shelf": [
            {"reagent": "gypsum", "step": "5 g"},
            {"reagent": "calcium chloride dihydrate", "step": "5 g"},
            {"reagent": "sodium chloride", "step": "5 g"},
            {"reagent": "sodium bicarbonate", "step": "5 g"},
            {"reagent": "lactic acid", "strength": "80 %", "step": "5 mL"},
            {"reagent": "phosphoric acid", "strength": "75 %", "step": "5 mL"},
        ],
    })
}

/// Every family on every water.
fn plans() -> impl Iterator<Item = (&'static str, &'static [&'static str], Plan)> {
    let days = GRISTS.iter().flat_map(|(family, _)| {
        let on = |waters| (*family, waters);
        WATERS.into_iter().map(on)
    });
    days.map(|(family, waters)| {
        let plan = documents::plan(&day(family, waters).to_string()).expect("a plan");
        (family, waters, plan)
    })
}

/// The acids of the shelf are measured out, all else is weighed.
fn is_liquid(dose: &Addition) -> bool {
    dose.unit == AmountUnit::Millilitre
}

/// What a plan doses of a reagent, in its unit.
fn dosed(plan: &Plan, reagent: &str) -> f64 {
    let doses = plan.additions.iter().filter(|dose| dose.reagent == reagent);
    doses.map(|dose| dose.amount).sum()
}

/// The ends of all ranges, with the target of each.
fn ends(of: &Targets) -> Vec<(TargetKey, f64)> {
    let ions = of
        .ions
        .iter()
        .map(|(ion, range)| (TargetKey::Component(*ion), Some(*range)));
    let others = [
        (TargetKey::SulfateToChloride, of.sulfate_to_chloride),
        (TargetKey::MashPh, of.mash_ph),
        (TargetKey::SpargeAlkalinity, of.sparge_alkalinity),
    ];
    let ranges = ions.chain(others);
    let ranges = ranges.filter_map(|(key, range)| Some((key, range?)));
    let ends = ranges.flat_map(|(key, range)| [range.low, range.high].map(|end| Some((key, end?))));
    ends.flatten().collect()
}

#[test]
fn each_family_is_a_brew_day() {
    assert_eq!(BEER_FAMILIES.len(), GRISTS.len());
    for (family, _) in GRISTS {
        let read = BrewDay::from_json(&day(family, WATERS[0]).to_string()).expect("a day");
        // The same numbers in Rust, but for what units round.
        let built = targets_for(family).expect("a family");
        for (of_text, of_rule) in ends(&read.targets).into_iter().zip(ends(&built.targets)) {
            assert_eq!(of_text.0, of_rule.0, "{family}");
            let apart = (of_text.1 - of_rule.1).abs();
            assert!(
                apart <= 1e-12 * of_rule.1,
                "{family}: {of_text:?} {of_rule:?}"
            );
        }
        assert_eq!(
            ends(&read.targets).len(),
            ends(&built.targets).len(),
            "{family}"
        );
        let ruled: BTreeSet<TargetKey> = built.rules.iter().map(|rule| rule.target).collect();
        assert_eq!(ruled.len(), built.rules.len(), "{family}: two rules");
        for needed in ["calcium", "chloride", "sulfate", "mash_ph"] {
            assert!(ruled.contains(&needed.parse().expect("a key")), "{family}");
        }
    }
}

#[test]
fn each_rule_has_a_reason_and_sources_and_is_used() {
    for row in TARGET_RULES {
        assert!(row.why.ends_with('.') && row.why.len() > 30, "{}", row.why);
        assert!(
            BEER_FAMILIES.iter().any(|family| row.applies(family)),
            "{} {} is for no beer",
            row.target,
            row.applies_to
        );
    }
    for family in BEER_FAMILIES {
        for rule in targets_for(family.name).expect("a family").rules {
            let named = TARGET_RULES.iter().find(|row| row.why == rule.why);
            let keys = named.expect("its row").source.split_whitespace();
            assert_eq!(rule.sources.len(), keys.count(), "{}", rule.why);
        }
    }
}

/// Limits for drinking water, of `limits.csv`; advice for people on a diet is none.
#[test]
fn no_target_is_beyond_drinking_water() {
    let limits = LIMITS.iter().filter(|limit| limit.status != "advisory");
    let mut compared = 0;
    for limit in limits {
        let rules = TARGET_RULES
            .iter()
            .filter(|rule| rule.target == limit.quantity);
        for rule in rules {
            compared += 1;
            assert!(rule.high.expect("a high end") <= limit.high, "{rule:?}");
        }
    }
    assert!(compared >= 15, "{compared} were compared");
}

#[test]
fn an_unknown_family_is_refused_with_the_list() {
    let error = targets_for("soft drink").expect_err("no family");
    let [problem] = error.problems.as_slice() else {
        panic!("{error}")
    };
    assert_eq!(problem.code.as_str(), "unknown_name");
    assert_eq!(
        (problem.path.as_str(), problem.found.as_str()),
        ("family", "\"soft drink\"")
    );
    for family in BEER_FAMILIES {
        assert!(problem.expected.contains(family.name), "{problem}");
    }
    let error = targets_for("pale larger").expect_err("no family");
    assert_eq!(error.problems[0].hint, "Did you mean \"pale lager\"?");
    let found = targets_for("Porter_and_Stout").expect("case and marks do not matter");
    assert_eq!(found.family.name, "porter and stout");
}

/// What a brewer would accept, by common practice: the mash in its range, salts beneath a gram in
/// a litre of liquor, never acid and base in one plan, and on water that cannot be thinned only
/// what it brings itself out of range.
#[test]
fn a_brewer_would_brew_each_plan() {
    for (family, waters, plan) in plans() {
        let name = format!("{family} on {waters:?}");
        let litres: f64 = plan.blend.iter().map(|part| part.volume_l).sum();
        let grams = |dose: &&Addition| !is_liquid(dose);
        let salts = plan.additions.iter().filter(grams);
        let salts: f64 = salts.map(|dose| dose.amount).sum();
        assert!(salts / litres < 0.5, "{name}: {salts} g in {litres} L");
        let acids = plan.additions.iter().any(is_liquid);
        let based = dosed(&plan, "sodium bicarbonate") > 0.0;
        assert!(!(acids && based), "{name}: acid and base");
        for target in &plan.targets {
            let key = target.key.as_str();
            let is_its_own = waters == ["salty"] && is_of_water(target);
            assert!(
                target.state == TargetState::Met || is_its_own || is_a_hair_below(target),
                "{name}: {key} {:?}",
                target.planned
            );
        }
    }
}

/// Sodium or chloride that the water brings and no dose has raised.
fn is_of_water(target: &TargetLine) -> bool {
    let of_salt = ["sodium", "chloride"].contains(&target.key.as_str());
    of_salt && target.state == TargetState::Above && target.planned == target.source
}

/// Less below its range than one step of the scale makes: 5 g of calcium chloride in the liquor of
/// the day are 1 mg/L of calcium.
fn is_a_hair_below(target: &TargetLine) -> bool {
    let short = |planned| target.low.is_some_and(|low| low - planned < 1.0);
    target.state == TargetState::Below && target.unit == "mg/L" && target.planned.is_some_and(short)
}

#[test]
fn each_water_is_treated_as_brewers_treat_it() {
    for (family, waters, plan) in plans() {
        let name = format!("{family} on {waters:?}");
        let acid_in = |vessel| {
            let doses = plan.additions.iter().filter(|dose| is_liquid(dose));
            doses.filter(|dose| dose.vessel == vessel).count()
        };
        match *waters {
            // Soft water lacks calcium, and its alkalinity needs no acid in tank or sparge.
            ["soft"] => {
                let calcium = dosed(&plan, "gypsum") + dosed(&plan, "calcium chloride dihydrate");
                assert!((150.0..600.0).contains(&calcium), "{name}: {calcium} g");
                assert_eq!(acid_in(Vessel::HotLiquorTank), 0, "{name}");
                assert_eq!(acid_in(Vessel::SpargeLiquor), 0, "{name}");
            }
            // Hard water has calcium enough, and takes acid before the sparge.
            ["hard"] => {
                let before = acid_in(Vessel::HotLiquorTank) + acid_in(Vessel::SpargeLiquor);
                assert!(before > 0, "{name}");
                assert!(dosed(&plan, "calcium chloride dihydrate") < 100.0, "{name}");
            }
            // Salty water gets no chloride and no sodium on top.
            ["salty"] => {
                assert_eq!(dosed(&plan, "calcium chloride dihydrate"), 0.0, "{name}");
                assert_eq!(dosed(&plan, "sodium chloride"), 0.0, "{name}");
            }
            _ => {
                let pure = plan
                    .blend
                    .iter()
                    .find(|part| part.source == "reverse osmosis");
                assert!(pure.expect("it is used").share > 0.1, "{name}");
                assert_eq!(dosed(&plan, "sodium chloride"), 0.0, "{name}");
            }
        }
        let gypsum = dosed(&plan, "gypsum");
        match family {
            "hoppy pale ale" => assert!(gypsum >= 150.0, "{name}: {gypsum} g of gypsum"),
            "mild" | "porter and stout" => assert!(gypsum < 50.0, "{name}: {gypsum} g of gypsum"),
            _ => {}
        }
    }
}

/// Dark malt does part of what acid does for pale beer, on every water.
#[test]
fn dark_beer_takes_less_acid_than_pale() {
    let acid = |family| {
        let of = plans().filter(move |(of, ..)| *of == family);
        let acids =
            of.map(|(_, _, plan)| dosed(&plan, "phosphoric acid") + dosed(&plan, "lactic acid"));
        acids.collect::<Vec<_>>()
    };
    for (dark, pale) in acid("porter and stout").into_iter().zip(acid("pale lager")) {
        assert!(dark < pale, "{dark} mL against {pale} mL");
    }
}
