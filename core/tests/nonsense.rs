//! Days that make no sense, and days that do and are out of practice: each is answered, and nothing
//! impossible is met. All are made up, in the brewhouse of the built-in day.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::error::InputError;
use underlet::fit::Problem;
use underlet::liquor::Liquor;
use underlet::{BrewDay, EXAMPLES, Plan, Severity, TargetState, json};

use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// mol/kg: the strongest solutions that the engine was compared with (`checked-solutions`).
const MOST_IONIC_STRENGTH: f64 = 0.1;

/// What a day has otherwise than the built-in one.
type Change = fn(&mut Value);

fn pale_ale(change: impl FnOnce(&mut Value)) -> Value {
    let mut day = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    change(&mut day);
    day
}

fn planned(change: impl FnOnce(&mut Value)) -> Plan {
    let day = pale_ale(change);
    let plan = json::plan(&day.to_string()).unwrap_or_else(|error| panic!("{error}"));
    assert_sound(&plan, &day.to_string());
    plan
}

fn refused(change: impl FnOnce(&mut Value)) -> InputError {
    json::plan(&pale_ale(change).to_string()).expect_err("no plan makes sense")
}

fn says(plan: &Plan, code: &str) -> bool {
    plan.cautions.iter().any(|one| one.code == *code)
}

/// The sentence of a caution.
fn said<'p>(plan: &'p Plan, code: &str) -> &'p str {
    let caution = plan.cautions.iter().find(|one| one.code == *code);
    &caution.unwrap_or_else(|| panic!("no {code}: {plan}")).text
}

fn state(plan: &Plan, key: &str) -> TargetState {
    let line = plan.targets.iter().find(|line| line.key.as_str() == key);
    line.expect("a target").state
}

/// Every figure is a number, and no mash pH beyond those that were measured has an error bar.
fn assert_sound(plan: &Plan, text: &str) {
    let words = plan.to_text() + &plan.to_html();
    for odd in ["NaN", " inf", "-inf"] {
        assert!(!words.contains(odd), "{odd}: {text}");
    }
    let is_checked = (4.5..=6.5).contains(&plan.mash.ph);
    if let Some(sd) = plan.mash.sd {
        assert!(is_checked && sd < 2.0, "{sd}: {text}");
    } else {
        assert!(says(plan, "mash_ph_not_known"), "{text}");
        assert_eq!(plan.mash.probability_in_range, None);
        let mash_ph = plan
            .targets
            .iter()
            .find(|line| line.key.as_str() == "mash_ph");
        assert!(
            mash_ph.is_none_or(|line| line.state != TargetState::Met),
            "{text}"
        );
    }
    let has_unknown = plan
        .targets
        .iter()
        .any(|line| line.state == TargetState::Unknown);
    assert!(!(plan.meets_every_range && has_unknown), "{text}");
}

/// 500 mg/L of chloride and a ratio of 100 took 71.8 kg of Epsom salt in 560 L before anything
/// limited it, and met every range at a mash pH of 1.
#[test]
fn a_ratio_of_100_is_not_met() {
    for in_tank in [false, true] {
        let plan = planned(|day| {
            if !in_tank {
                day.as_object_mut().unwrap().remove("hot_liquor_tank");
            }
            day["sources"][0]["chloride"] = json!(500);
            day["targets"] = json!({"sulfate_to_chloride": 100});
        });
        assert!(!plan.meets_every_range);
        assert_eq!(state(&plan, "sulfate_to_chloride"), TargetState::Below);
        let grams: f64 = plan.additions.iter().map(|one| one.amount).sum();
        // Nobody weighs a gram for it: it is left aside, and said.
        assert_eq!(grams, 0.0, "{plan}");
        let reason = plan.reasons.iter().find(|one| one.code == "out_of_reach");
        let text = &reason.expect("a reason").text;
        assert!(text.contains("50000 mg/L"), "{text}");
        assert!(!says(&plan, "liquor_too_concentrated"), "{plan}");
    }
}

/// A brine alone is refused; blended with a purer water it is a source like others.
#[test]
fn a_brine_is_no_brewing_water() {
    let error = refused(|day| day["sources"][0]["chloride"] = json!(20_000));
    let [problem] = error.problems.as_slice() else {
        panic!("{error}");
    };
    assert_eq!(
        (problem.code.as_str(), problem.path.as_str()),
        ("out_of_range", "sources")
    );
    assert!(problem.found.contains("g/L of table salt"), "{error}");
    let plan = planned(|day| {
        let mut brine = day["sources"][0].clone();
        brine["name"] = json!("brine");
        brine["chloride"] = json!(20_000);
        day["sources"].as_array_mut().unwrap().push(brine);
    });
    let drawn = plan.blend.iter().find(|part| part.source == "brine");
    assert!(drawn.is_none_or(|part| part.share < 0.01), "{plan}");
}

#[test]
fn no_ion_is_met_beyond_what_a_liquor_takes_up() {
    for (targets, reagent, vessel) in [
        (
            json!({"chloride": 20_000}),
            "calcium chloride dihydrate",
            "hot_liquor_tank",
        ),
        (json!({"sulfate": 20_000}), "sulfuric acid", "mash_tun"),
        (json!({"sulfate": 20_000}), "epsom salt", "kettle"),
        (json!({"sodium": 20_000}), "sodium bicarbonate", "mash_tun"),
        (
            json!({"calcium": "900-1000", "sulfate": "2000-2400"}),
            "gypsum",
            "mash_tun",
        ),
        (
            json!({"calcium": "900-1000", "sulfate": "2000-2400"}),
            "gypsum",
            "sparge_liquor",
        ),
    ] {
        let plan = planned(|day| {
            day["targets"] = targets;
            day["shelf"] = json!([{"reagent": reagent, "vessels": [vessel]}]);
        });
        assert!(!plan.meets_every_range, "{reagent}: {plan}");
        let is_limited = plan.limits.iter().any(|limit| limit.subject == reagent);
        assert!(
            is_limited || says(&plan, "takes_up_no_more"),
            "{reagent}: {plan}"
        );
        let reasons = plan.reasons.iter();
        let mut codes = reasons.map(|reason| reason.code.to_string());
        assert!(
            codes.any(|code| code == "stock_or_solubility"),
            "{reagent}: {plan}"
        );
    }
}

/// Calcium 300 and sulfate 800 mg/L are hard, and dissolve: 2.05 g of calcium sulfate per kg
/// (`gypsum-solubility`) hold 604 mg of calcium and 1447 of sulfate.
#[test]
fn a_hard_liquor_that_dissolves_is_met() {
    let plan = planned(|day| {
        day["targets"] = json!({"calcium": "300-350", "sulfate": "700-900"});
    });
    assert!(plan.meets_every_range, "{plan}");
    assert!(!says(&plan, "takes_up_no_more") && !says(&plan, "gypsum_undissolved"));
}

/// Water that cannot be: 1500 mg/L of calcium beside 5000 of sulfate come down as gypsum.
#[test]
fn ions_that_do_not_dissolve_are_not_met() {
    let plan = planned(|day| {
        let source = &mut day["sources"][0];
        (source["calcium"], source["sulfate"]) = (json!(800), json!(2500));
        day["targets"] = json!({"calcium": "at least 700", "sulfate": "at least 2000"});
    });
    for key in ["calcium", "sulfate"] {
        assert_eq!(state(&plan, key), TargetState::Unknown, "{plan}");
    }
    assert!(
        plan.summary.contains("Not known: calcium, sulfate."),
        "{}",
        plan.summary
    );
    assert!(says(&plan, "gypsum_undissolved") && !plan.meets_every_range);
}

#[test]
fn a_mash_ph_that_nobody_measured_has_no_error_bar() {
    let alkaline = planned(|day| {
        day["sources"][0]["alkalinity"] = json!(2000);
        day["shelf"] = json!([]);
        day["targets"] = json!({"mash_ph": "5.3-8", "kettle_ph": "4.5-7"});
        day["kettle"] = json!({"boil": "60 min"});
    });
    assert!(alkaline.mash.ph > 6.5);
    assert_eq!(state(&alkaline, "mash_ph"), TargetState::Unknown);
    assert_eq!((alkaline.mash.sd, alkaline.kettle.sd), (None, None));
    assert!(alkaline.mash.uncertainty_budget.is_empty() && alkaline.mash.interval_95.is_none());
    assert!(alkaline.to_text().contains("not known, above 6.5"));
    let of_mash = |what: &str| alkaline.readings.iter().any(|one| one.what == what);
    assert!(!of_mash("mash_ph") && !of_mash("kettle_ph") && of_mash("tank_ph"));
}

#[test]
fn what_no_mash_can_be_is_refused() {
    let cases: [(&str, &str, Change); 7] = [
        ("out_of_range", "targets.mash_ph", |day| {
            day["targets"]["mash_ph"] = json!("4-4.3");
        }),
        ("out_of_range", "targets.mash_ph", |day| {
            day["targets"]["mash_ph"] = json!("at least 6.6");
        }),
        ("out_of_range", "targets.sparge_ph", |day| {
            day["targets"]["sparge_ph"] = json!("3-4");
        }),
        ("out_of_range", "mash.rest_temperature", |day| {
            day["mash"]["rest_temperature"] = json!("20 °C");
        }),
        ("out_of_range", "mash.rest_temperature", |day| {
            day["mash"]["rest_temperature"] = json!("95 °C");
        }),
        ("contradiction", "mash.liquor_temperature", |day| {
            day["mash"]["liquor_temperature"] = json!("98 °C");
        }),
        ("contradiction", "grist", |day| {
            day["grist"] = json!([{"malt": "acidulated malt", "mass": "200 kg"}]);
        }),
    ];
    for (code, path, change) in cases {
        let error = refused(change);
        let found: Vec<_> = error
            .problems
            .iter()
            .map(|problem| (problem.code.as_str(), problem.path.as_str()))
            .collect();
        assert_eq!(found, [(code, path)], "{error}");
    }
}

#[test]
fn what_is_out_of_practice_is_said() {
    let cases: [(&str, Change, &str); 9] = [
        (
            "strike_misses_rest",
            |day| day["mash"]["liquor_temperature"] = json!("68 °C"),
            "gives about 61.5 °C, not 66 °C: strike at 73.2 °C",
        ),
        (
            "rest_temperature_unusual",
            |day| day["mash"]["rest_temperature"] = json!("50 °C"),
            "usually at 60 to 72 °C",
        ),
        (
            "sparge_temperature_unusual",
            |day| day["sparge"]["liquor_temperature"] = json!("95 °C"),
            "tannins",
        ),
        (
            "sparge_temperature_unusual",
            |day| day["sparge"]["liquor_temperature"] = json!("20 °C"),
            "extract",
        ),
        (
            "tank_colder_than_draw",
            |day| day["hot_liquor_tank"]["temperature"] = json!("55 °C"),
            "stated at 55 °C, colder than the mash liquor of 74 °C",
        ),
        (
            "source_drawn_hot",
            |day| day["sources"][0]["temperature"] = json!("78 °C"),
            "litres at 20 °C",
        ),
        (
            "mash_ph_target_unusual",
            |day| day["targets"]["mash_ph"] = json!("4.7-5.2"),
            "A mash pH of 4.70",
        ),
        (
            "much_acidulated_malt",
            |day| day["grist"][1] = json!({"malt": "acidulated malt", "mass": "20 kg"}),
            "9.52 % of the grist",
        ),
        (
            "sparge_overdosed",
            |day| day["targets"]["sparge_ph"] = json!({"low": 4.6, "high": 5.3, "prefer": 4.7}),
            "below 5.2",
        ),
    ];
    let usual = planned(|_| {});
    for (code, change, words) in cases {
        assert!(!says(&usual, code), "{code} of a usual day: {usual}");
        let plan = planned(change);
        assert!(said(&plan, code).contains(words), "{code}: {plan}");
        let caution = plan.cautions.iter().find(|one| one.code == *code);
        assert!(caution.is_some_and(|one| one.severity != Severity::Danger));
    }
}

/// A tank that is filled cold, dosed and heated is what the plan itself tells a brewer to do.
#[test]
fn a_tank_filled_cold_is_usual() {
    let plan = planned(|day| day["hot_liquor_tank"]["temperature"] = json!("12 °C"));
    let mut cautions = plan.cautions.iter();
    let note = cautions.find(|one| one.code == "tank_colder_than_draw");
    let note = note.expect("how it is taken");
    assert_eq!(note.severity, Severity::Note);
    assert!(note.text.contains("filled and dosed cold"), "{}", note.text);
    // What the tank shows once it is heated is not the temperature of its fill.
    let mut readings = plan.readings.iter();
    assert!(!readings.any(|one| one.what == "tank_temperature"));
}

/// Who takes out as much acidulated malt as is advised mashes near the low end of the range.
#[test]
fn acidulated_malt_to_take_out_is_said() {
    let with = |kg: f64| {
        planned(|day| {
            day["sources"][0]["alkalinity"] = json!(20);
            day["grist"][1] = json!({"malt": "acidulated malt", "mass": kg});
        })
    };
    let plan = with(30.0);
    let low = 5.3;
    assert!(plan.mash.ph < low - 0.2, "{plan}");
    let mut reasons = plan.reasons.iter();
    let reason = reasons.find(|one| one.code == "no_base").expect("a reason");
    let (_, advice) = reason.text.split_once("take about ").expect("an advice");
    let (kg, _) = advice.split_once(" kg less").expect("a mass");
    let less = with(30.0 - kg.parse::<f64>().expect("a number"));
    assert!((less.mash.ph - low).abs() < 0.05, "{} {kg}", less.mash.ph);
}

#[test]
fn acid_on_top_of_acidulated_malt_is_said() {
    let with = |acidulated: &str, shelf: Value| {
        planned(|day| {
            day["grist"][1] = json!({"malt": "acidulated malt", "mass": acidulated});
            day["shelf"] = shelf;
        })
    };
    let acid = json!([{"reagent": "lactic acid"}]);
    assert!(says(&with("8 kg", acid.clone()), "acid_on_acidulated_malt"));
    assert!(!says(&with("8 kg", json!([])), "acid_on_acidulated_malt"));
    assert!(!says(&with("3 kg", acid), "acid_on_acidulated_malt"));
}

/// What a fit of ions alone asks for in vain.
#[test]
fn ions_alone_are_not_met_beyond_what_a_liquor_takes_up() {
    let fit = |targets: Value, shelf: Value| {
        let document = json!({
            "underlet": 1,
            "source": {"name": "rain", "alkalinity": 0, "ph": 5.6, "chloride": 500, "sodium": 324},
            "volume": "1000 L",
            "targets": targets,
            "shelf": shelf,
        });
        json::fit_ions(&document.to_string()).unwrap_or_else(|error| panic!("{error}"))
    };
    let salts =
        json!([{"reagent": "epsom salt"}, {"reagent": "gypsum"}, {"reagent": "sodium sulfate"}]);
    for targets in [
        json!({"sulfate_to_chloride": 100}),
        json!({"sulfate": 20_000}),
    ] {
        let fitted = fit(targets, salts.clone());
        assert!(!fitted.meets_every_range, "{}", fitted.summary);
        let kilograms: f64 = fitted.salts.iter().map(|salt| salt.amount).sum::<f64>() / 1000.0;
        assert!((1.0..10.0).contains(&kilograms), "{kilograms}");
        assert!(
            fitted
                .cautions
                .iter()
                .any(|one| one.code == "takes_up_no_more")
        );
    }
    let gypsum = json!([{"reagent": "calcium chloride dihydrate"}, {"reagent": "sodium sulfate"}]);
    let fitted = fit(json!({"calcium": 1000, "sulfate": 3000}), gypsum);
    assert!(!fitted.meets_every_range, "{}", fitted.summary);
    assert!(
        fitted
            .cautions
            .iter()
            .any(|one| one.code == "takes_up_no_more")
    );
    let of = |key: &str| {
        let mut water = fitted.water.iter();
        let line = water.find(|line| line.key.as_str() == key).expect("a line");
        line.planned.expect("a figure")
    };
    // Solubility product of gypsum at 20 °C with activities of so strong a water, at the most.
    assert!(
        of("calcium") / 40.08 * of("sulfate") / 96.06 < 600.0,
        "mmol²/L²"
    );
}

/// Whatever is asked for, no salt goes in beyond what was checked, and what is met has dissolved.
#[test]
fn nothing_impossible_is_met_on_random_days() {
    let dice = &mut Dice::new(71_800);
    let mut held_back = 0;
    for seed in 0..trials(80, 1500) {
        let mut draft = Draft::random(seed);
        let factor = dice.magnitude(1.0, 1000.0);
        for range in draft
            .targets
            .iter_mut()
            .filter(|range| !range.key.contains("ph"))
        {
            let times = |end: Option<f64>| end.map(|end| (end * factor).min(900.0));
            (range.low, range.high) = (times(range.low), times(range.high));
            range.prefer = None;
        }
        let text = draft.json();
        let Ok(plan) = json::plan(&text) else {
            continue;
        };
        assert_sound(&plan, &text);
        let day = BrewDay::from_json(&text).expect("a day");
        let problem = day.problem();
        let shares: Vec<f64> = plan.blend.iter().map(|part| part.share).collect();
        let none = vec![0.0; problem.doses.len()];
        let doses: Vec<f64> = problem
            .doses
            .iter()
            .map(|option| given(&plan, option))
            .collect();
        held_back += u32::from(says(&plan, "takes_up_no_more"));
        for (before, after) in liquors(&problem, &shares, &none)
            .into_iter()
            .zip(liquors(&problem, &shares, &doses))
        {
            let allowed = before.ionic_strength_mol_per_kg().max(MOST_IONIC_STRENGTH);
            let strength = after.ionic_strength_mol_per_kg();
            assert!(strength < allowed * 1.01, "{strength}: {text}");
        }
    }
    assert!(held_back > 5, "{held_back}");
}

/// What a plan gives of an option.
fn given(plan: &Plan, option: &underlet::fit::DoseOption) -> f64 {
    let same = |one: &&underlet::plan::Addition| {
        (one.vessel, one.reagent.as_str()) == (option.vessel, option.preparation.reagent.key)
    };
    plan.additions
        .iter()
        .find(same)
        .map_or(0.0, |one| one.amount)
}

fn liquors(problem: &Problem<'_>, shares: &[f64], doses: &[f64]) -> [Liquor; 2] {
    let liquors = problem.liquors(shares, doses);
    [liquors.mash, liquors.sparge]
}

#[test]
fn table_salt_for_the_limit_weighs_what_the_caution_says() {
    let salt = [Component::Sodium, Component::Chloride];
    let grams: f64 = salt
        .iter()
        .map(|ion| ion.mg_per_l(MOST_IONIC_STRENGTH) / 1000.0)
        .sum();
    // 58.44 g/mol of sodium chloride, 0.1 mol in 1/0.9982 L.
    assert!((grams - 5.844 * 0.9982).abs() < 0.01, "{grams}");
}
