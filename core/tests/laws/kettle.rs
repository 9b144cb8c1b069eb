//! What goes into the kettle: salts by the fit, acid after it, zinc for the yeast.

use proptest::prelude::*;
use serde_json::{Value, json};
use underlet::component::Component;
use underlet::fit::solve;
use underlet::liquor::Liquor;
use underlet::mash::{Mash, Wort};
use underlet::reagent::{AmountUnit, Preparation};
use underlet::{
    AlternativeCode, BrewDay, EXAMPLES, Kettle, Plan, ShelfReagent, TargetRange, TargetState,
    Vessel,
};
use underlet_tables::{ReagentKind, elements, parameters};

use super::forward::Forward;
use super::optimum::{assert_unbeaten, least};
use super::strategies::{cases, grist, liquor};
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Random days.
const DAYS: u64 = 300;

fn shelved(dice: &mut Dice, key: &str, litres: f64) -> ShelfReagent {
    ShelfReagent {
        preparation: Preparation::usual(key).expect("a row"),
        step: litres * dice.magnitude(1e-4, 1e-2),
        min_dose: 0.0,
        stock: dice.chance(0.2).then(|| litres * dice.real(0.0, 0.3)),
        cost: None,
        vessels: vec![Vessel::Kettle],
    }
}

/// A random day whose salts may go into the kettle too, with a wanted kettle pH, an acid for it,
/// and zinc.
fn with_kettle(seed: u64) -> BrewDay {
    let mut day = Draft::random(seed).read();
    let dice = &mut Dice::new(seed ^ 0x2e77);
    for item in &mut day.shelf {
        if item.preparation.reagent.kind == ReagentKind::Salt {
            item.vessels.push(Vessel::Kettle);
        }
    }
    let litres = day.mash.volume_l;
    let acids = [
        "lactic acid",
        "phosphoric acid",
        "hydrochloric acid",
        "citric acid",
    ];
    let acid = *dice.one_of(&acids);
    let mut shelf = day.shelf.iter_mut();
    match shelf.find(|item| item.preparation.reagent.key == acid) {
        Some(known) => known.vessels.push(Vessel::Kettle),
        None => day.shelf.push(shelved(dice, acid, litres)),
    }
    let zinc = *dice.one_of(&["zinc sulfate heptahydrate", "zinc chloride"]);
    let mut zinc = shelved(dice, zinc, litres);
    zinc.step /= 100.0;
    day.shelf.push(zinc);
    let least = &mut Dice::new(seed ^ 0x51a3);
    for item in &mut day.shelf {
        if item.vessels.contains(&Vessel::Kettle) && least.chance(0.4) {
            item.min_dose = item.step * least.real(0.0, 4.0);
        }
        if item.preparation.reagent.kind == ReagentKind::Zinc && least.chance(0.5) {
            item.step *= 5.0;
        }
    }
    let low = dice.real(4.8, 5.5);
    let high = low + dice.real(0.0, 0.4);
    day.kettle = Kettle {
        ph: Some(TargetRange {
            low: dice.chance(0.7).then_some(low),
            high: Some(high),
            prefer: dice.chance(0.3).then_some(high),
            weight: 1.0,
        }),
        zinc_mol_per_kg: Some(dice.real(1e-6, 5e-6)),
        ..Kettle::default()
    };
    day
}

/// The same day with nothing for the kettle.
fn without_kettle(mut day: BrewDay) -> BrewDay {
    for item in &mut day.shelf {
        item.vessels.retain(|vessel| *vessel != Vessel::Kettle);
    }
    day
}

#[test]
fn no_random_point_beats_the_plan_with_a_kettle() {
    let days = trials(50, 200);
    let feasible: usize = (0..days)
        .map(|seed| assert_unbeaten(&with_kettle(seed), seed, 300))
        .sum();
    assert!(feasible as u64 > 50 * days, "{feasible}");
}

/// The objective reported is what following the liquors through the vessels gives.
#[test]
fn the_fit_counts_the_kettle_of_random_days_as_the_liquors_do() {
    let count = trials(50, DAYS);
    let mut given = 0;
    for seed in 0..count {
        let day = with_kettle(seed);
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let forward = Forward::new(&problem);
        let (shares, doses) = (
            &result.shares_before_rounding,
            &result.doses_before_rounding,
        );
        let own = forward.objective_at(&forward.variables(shares, doses), result.ionic_strengths);
        let reported = result.objective_before_rounding;
        assert!(
            (own - reported).abs() <= 1e-9 * (1e-3 + reported),
            "seed {seed}: {own} {reported}"
        );
        let mut options = problem.doses.iter().zip(&result.doses);
        given +=
            u64::from(options.any(|(option, dose)| option.vessel == Vessel::Kettle && *dose > 0.0));
    }
    assert!(6 * given > count, "{given}");
}

#[test]
fn a_kettle_never_worsens_the_optimum() {
    let mut helped = 0;
    for seed in 0..DAYS {
        let day = with_kettle(seed);
        let (with, without) = (least(&day), least(&without_kettle(day)));
        assert!(
            with <= without + 1e-9 * (1.0 + without),
            "seed {seed}: {with} {without}"
        );
        helped += usize::from(with < without * 0.99);
    }
    assert!(helped > 50, "{helped}");
}

/// Salts for the kettle leave mash and sparge liquor alone, and count per kg of what the grains let
/// through.
#[test]
fn salts_in_the_kettle_reach_nothing_before_it() {
    let mut tried = 0;
    for seed in 0..DAYS {
        let day = with_kettle(seed);
        let problem = day.problem();
        let dice = &mut Dice::new(seed);
        let shares: Vec<f64> = problem
            .sources
            .iter()
            .map(|_| 1.0 / problem.sources.len() as f64)
            .collect();
        let options = problem.doses.iter();
        let (mut doses, mut grams) = (Vec::new(), 0.0);
        for option in options {
            let here = option.vessel == Vessel::Kettle;
            doses.push(if here { dice.real(0.0, 100.0) } else { 0.0 });
            if here && option.preparation.reagent.key == "gypsum" {
                grams = *doses.last().expect("a dose");
            }
        }
        let (with, without) = (
            problem.liquors(&shares, &doses),
            problem.liquors(&shares, &vec![0.0; doses.len()]),
        );
        assert_eq!(
            (with.mash, with.sparge),
            (without.mash, without.sparge),
            "seed {seed}"
        );
        let mut shelf = day.shelf.iter();
        if grams > 0.0
            && !shelf.any(|item| {
                matches!(
                    item.preparation.reagent.key,
                    "epsom salt" | "sodium sulfate"
                )
            })
        {
            // By hand: CaSO4.2H2O 172.17 g/mol, SO4 96.06 g/mol; a kg of malt keeps a kg of liquor.
            let strength = day
                .shelf
                .iter()
                .find(|item| item.preparation.reagent.key == "gypsum");
            let strength = strength.expect("gypsum").preparation.strength_percent / 100.0;
            let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
            let water_kg = problem.waters.brewing_kg() - grist_kg;
            let sulfate = Component::Sulfate.mg_per_l(
                with.overall.ions.get(Component::Sulfate)
                    - without.overall.ions.get(Component::Sulfate),
            );
            let by_hand = 1000.0 * grams * strength * 96.056 / 172.164 / (water_kg / 0.99821);
            assert!(
                (sulfate - by_hand).abs() <= 1e-3 * by_hand,
                "seed {seed}: {sulfate} {by_hand}"
            );
            tried += 1;
        }
    }
    assert!(tried > 30, "{tried}");
}

/// Whole steps, in stock; nothing raises the pH, and acid stays out of the kettle where its pH is
/// low enough.
#[test]
fn plans_of_random_days_for_the_kettle_can_be_weighed() {
    let count = trials(60, DAYS);
    let (mut acids, mut zincs, mut misses) = (0, 0, 0);
    for seed in 0..count {
        let day = with_kettle(seed);
        let plan = day.plan().expect("a plan");
        let kettle = &plan.kettle;
        let wanted = day.kettle.ph.expect("a range");
        let aim = wanted.prefer.or(wanted.high).expect("an end");
        assert!(kettle.ph_dosed <= kettle.ph + 1e-9, "seed {seed}");
        let mut readings = plan.readings.iter();
        let last = readings.find(|reading| reading.what == "kettle_ph");
        assert_eq!(last.is_some(), kettle.sd.is_some(), "seed {seed}");
        assert!(
            last.is_none_or(|last| (last.expected - kettle.ph).abs() < 1e-12),
            "seed {seed}: it is read before anything is given"
        );
        for (step, addition) in (1..).zip(&plan.additions) {
            assert_eq!(addition.step, step);
            if addition.vessel != Vessel::Kettle {
                continue;
            }
            let item = day
                .shelf
                .iter()
                .find(|item| item.preparation.reagent.key == addition.reagent);
            let item = item.expect("from the shelf");
            let steps = addition.amount / item.step;
            assert!((steps - steps.round()).abs() < 1e-6, "seed {seed}: {steps}");
            let all = plan
                .additions
                .iter()
                .filter(|other| other.reagent == addition.reagent);
            let taken: f64 = all.map(|other| other.amount).sum();
            assert!(
                taken <= item.stock.unwrap_or(f64::INFINITY) * (1.0 + 1e-6),
                "seed {seed}"
            );
            assert!(
                addition.amount >= item.min_dose * (1.0 - 1e-9),
                "seed {seed}"
            );
            match item.preparation.reagent.kind {
                ReagentKind::Acid => {
                    acids += 1;
                    assert!(kettle.ph > aim, "seed {seed}");
                    // No more than is needed: of what can be given the nearest, or the least that
                    // brings it into the range.
                    let (amount, needed) = (addition.amount, addition.before_rounding);
                    if wanted.prefer.is_some() || wanted.low == wanted.high {
                        let over = amount - needed;
                        assert!(over <= needed + 1e-9, "seed {seed}: {amount} {needed}");
                        if amount - item.step >= item.min_dose {
                            assert!(over <= 0.500_001 * item.step, "seed {seed}");
                        }
                    } else if amount - item.step >= item.min_dose {
                        assert!(amount - item.step < needed, "seed {seed}");
                    }
                    assert!(
                        kettle.ph_dosed >= wanted.low.unwrap_or(0.0) - 0.006,
                        "seed {seed}"
                    );
                    if addition.amount >= addition.before_rounding && wanted.prefer.is_none() {
                        assert!(
                            kettle.ph_dosed <= aim + 1e-9,
                            "seed {seed}: {} {aim}",
                            kettle.ph_dosed
                        );
                    }
                }
                ReagentKind::Zinc => {
                    zincs += 1;
                    let mol = addition.amount * item.preparation.mol_per_unit();
                    let asked = day.kettle.zinc_mol_per_kg.expect("asked");
                    let left_kg = kettle.water_kg - kettle.boiled_off_kg;
                    let step_mol = item.step * item.preparation.mol_per_unit();
                    let short = item
                        .stock
                        .is_some_and(|stock| stock < addition.before_rounding + item.step);
                    assert!(
                        short || (mol - asked * left_kg).abs() <= 0.500_000_1 * step_mol,
                        "seed {seed}"
                    );
                }
                _ => {}
            }
        }
        // Zinc that misses what is asked for by more than a tenth is reported.
        let reported = plan
            .cautions
            .iter()
            .any(|caution| ["zinc_not_weighed", "zinc_short"].contains(&caution.code.as_str()));
        let zinc = day
            .shelf
            .iter()
            .find(|item| item.preparation.reagent.kind == ReagentKind::Zinc);
        let mol_per_unit = zinc.expect("zinc").preparation.mol_per_unit();
        let asked = day.kettle.zinc_mol_per_kg.expect("asked");
        let wanted_units = asked * (kettle.water_kg - kettle.boiled_off_kg) / mol_per_unit;
        let given: f64 = plan
            .additions
            .iter()
            .filter(|one| one.reagent.starts_with("zinc"))
            .map(|one| one.amount)
            .sum();
        let off = (given - wanted_units).abs() / wanted_units;
        assert_eq!(reported, off > 0.1, "seed {seed}: {given} {wanted_units}");
        misses += u64::from(reported && given > 0.0);
        let line = plan
            .targets
            .iter()
            .find(|line| line.key == "kettle_ph")
            .expect("a line");
        assert!(
            (line.planned.unwrap() - kettle.ph_dosed).abs() < 1e-12,
            "seed {seed}"
        );
    }
    // Zinc that is given and misses is rare: a few days must not have it in proportion.
    let rare = if count < DAYS { 0 } else { 10 };
    assert!(
        6 * acids > count && 3 * zincs > count && misses > rare,
        "{acids} {zincs} {misses}"
    );
}

/// The first built-in day with a shelf and a wanted kettle pH of its own.
fn pale_ale(shelf: &Value, kettle_ph: &str) -> BrewDay {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["shelf"] = shelf.clone();
    day["targets"]["kettle_ph"] = json!(kettle_ph);
    day["alternatives"] = json!(true);
    BrewDay::from_json(&day.to_string()).expect("valid")
}

/// The same with zinc wanted and a brewhouse of its own.
fn pale_ale_with(shelf: &Value, kettle_ph: &str, more: &[(&str, Value)]) -> Plan {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["shelf"] = shelf.clone();
    day["targets"]["kettle_ph"] = json!(kettle_ph);
    for (key, value) in more {
        day[*key] = value.clone();
    }
    let day = BrewDay::from_json(&day.to_string()).expect("valid");
    day.plan().expect("a plan")
}

/// What is given into the kettle, by reagent.
fn into_kettle(plan: &Plan) -> Vec<(&str, f64)> {
    let additions = plan.additions.iter();
    let kettle = additions.filter(|one| one.vessel == Vessel::Kettle);
    kettle
        .map(|one| (one.reagent.as_str(), one.amount))
        .collect()
}

fn says(plan: &Plan, code: &str) -> Option<String> {
    let mut cautions = plan.cautions.iter();
    cautions
        .find(|caution| caution.code == code)
        .map(|caution| caution.text.clone())
}

/// A measure too coarse for a little acid gives none, and the least that can be given is given
/// where that is nearer.
#[test]
fn no_more_acid_than_is_needed() {
    let shelf = |lactic: Value| json!([{ "reagent": "phosphoric acid" }, lactic]);
    let fine = shelf(json!({ "reagent": "lactic acid", "step": "0.1 mL", "vessels": ["kettle"] }));
    let untreated = pale_ale_with(&fine, "5.0-7", &[]).kettle.ph;
    // A little less than it is: so much of lactic acid as the fine measure tells.
    let point = format!("{:.3}", untreated - 0.01);
    let needed = into_kettle(&pale_ale_with(&fine, &point, &[]))[0].1;
    for (step, min_dose, given) in [
        (10.0 * needed, 10.0 * needed, None),
        (0.9 * needed, 1.1 * needed, Some(1.8 * needed)),
        (0.9 * needed, 2.5 * needed, None),
    ] {
        let coarse = shelf(
            json!({ "reagent": "lactic acid", "step": step, "min_dose": min_dose, "vessels": ["kettle"] }),
        );
        let plan = pale_ale_with(&coarse, &point, &[]);
        let amount = into_kettle(&plan).first().map(|one| one.1);
        assert_eq!(amount.is_some(), given.is_some(), "{amount:?} {given:?}");
        for (amount, given) in amount.into_iter().zip(given) {
            assert!((amount - given).abs() < 1e-6, "{amount} {given}");
        }
    }
}

/// The first acid and the first zinc salt of which there is enough, on a scale that is fine enough.
#[test]
fn what_suffices_goes_into_the_kettle() {
    let zinc = json!({ "zinc": "0.15 mg/L" });
    let shelf = json!([
        { "reagent": "phosphoric acid" },
        { "reagent": "citric acid", "stock": "2 g", "vessels": ["kettle"] },
        { "reagent": "lactic acid", "vessels": ["kettle"] },
        { "reagent": "zinc chloride", "step": "5 g" },
        { "reagent": "zinc sulfate heptahydrate", "step": "0.01 g" },
    ]);
    let plan = pale_ale_with(&shelf, "5.1-5.2", &[("kettle", zinc.clone())]);
    let keys: Vec<&str> = into_kettle(&plan).iter().map(|one| one.0).collect();
    assert_eq!(keys, ["lactic acid", "zinc sulfate heptahydrate"]);
    assert_eq!(
        says(&plan, "zinc_short").or(says(&plan, "zinc_not_weighed")),
        None
    );
    // Where neither suffices the first of which there is some.
    let shelf = json!([
        { "reagent": "citric acid", "stock": "2 g", "vessels": ["kettle"] },
        { "reagent": "lactic acid", "stock": "3 mL", "vessels": ["kettle"] },
    ]);
    let plan = pale_ale_with(&shelf, "4.6-4.7", &[]);
    assert_eq!(into_kettle(&plan), [("citric acid", 2.0)]);
}

/// Zinc short of its target is reported: too little in stock, or a scale that does not show it,
/// with a solution that all brews can be given.
#[test]
fn zinc_that_misses_its_target_is_reported() {
    let plan = |item: Value, brews: usize| {
        let shelf = json!([{ "reagent": "phosphoric acid" }, item]);
        let mut more = vec![("kettle", json!({ "zinc": "0.15 mg/L" }))];
        if brews > 1 {
            more.push(("brews", json!(brews)));
            more.push((
                "hot_liquor_tank",
                json!({ "fill": "30 hL", "temperature": "78 °C" }),
            ));
        }
        pale_ale_with(&shelf, "5.1-7", &more)
    };
    let zinc = |step: &str, stock: Option<&str>| {
        let mut item = json!({ "reagent": "zinc sulfate heptahydrate", "step": step });
        if let Some(stock) = stock {
            item["stock"] = json!(stock);
        }
        item
    };
    // About 0.67 g are wanted in each brew (tests/tests/worked_days.rs reckons 0.661 by hand for a
    // longer boil).
    let short = plan(zinc("0.1 g", Some("0.2 g")), 1);
    assert_eq!(into_kettle(&short), [("zinc sulfate heptahydrate", 0.2)]);
    let text = says(&short, "zinc_short").expect("reported");
    assert!(text.ends_with("200 mg is in stock: get more."), "{text}");
    let coarse = plan(zinc("0.45 g", None), 1);
    let text = says(&coarse, "zinc_not_weighed").expect("reported");
    assert!(text.contains("dissolve 4.5 g in a litre"), "{text}");
    // Two brews of a scale of 1 g: all of the 2 g in stock makes the solution.
    let brews = plan(zinc("1 g", Some("2 g")), 2);
    let text = says(&brews, "zinc_not_weighed").expect("reported");
    assert!(
        text.contains("for each brew") && text.contains("dissolve 2 g in a litre"),
        "{text}"
    );
    assert!(into_kettle(&brews).is_empty());
}

/// Salts meet hot wort there; without a pH meter nothing is read.
#[test]
fn the_kettle_has_words_of_its_own() {
    let shelf = json!([
        { "reagent": "gypsum", "vessels": ["kettle"] },
        { "reagent": "phosphoric acid" },
        { "reagent": "lactic acid", "vessels": ["kettle"] },
    ]);
    let targets =
        json!({ "sulfate": "150-250 mg/L", "mash_ph": "5.3-5.5", "kettle_ph": "5.1-5.2" });
    for (meters, reads) in [(json!(["ph"]), true), (json!(["temperature"]), false)] {
        let house = json!({ "name": "Ninefold Quay", "meters": meters });
        let more = [("brewhouse", house), ("targets", targets.clone())];
        let plan = pale_ale_with(&shelf, "5.1-5.2", &more);
        let of = |key: &str| {
            let mut additions = plan.additions.iter();
            additions
                .find(|one| one.vessel == Vessel::Kettle && one.reagent == key)
                .expect("given")
        };
        assert!(of("gypsum").how.contains("before the wort boils"));
        for key in ["gypsum", "lactic acid"] {
            assert_eq!(
                of(key).when.contains("has been read"),
                reads,
                "{}",
                of(key).when
            );
        }
        assert_eq!(of("lactic acid").why.contains("what is read"), reads);
        assert_eq!(of("lactic acid").why.contains("without a pH meter"), !reads);
    }
}

/// A range without an upper end asks for no acid, and the acid's rest is reported.
#[test]
fn a_kettle_ph_without_an_upper_end_says_so() {
    let shelf = json!([{ "reagent": "lactic acid", "vessels": ["kettle"] }]);
    let targets = json!({ "kettle_ph": { "low": 5.0 } });
    let plan = pale_ale_with(&shelf, "5.1", &[("targets", targets)]);
    let reported = "The kettle pH has no upper end: lactic acid on the shelf is left alone.";
    assert!(
        plan.assumptions.iter().any(|one| one == reported),
        "{:?}",
        plan.assumptions
    );
}

/// Something given to the kettle is something added.
#[test]
fn what_goes_into_the_kettle_alone_is_not_nothing() {
    let shelf = json!([{ "reagent": "lactic acid", "vessels": ["kettle"] }]);
    let targets = json!({});
    let asks = |ph: &str| {
        let mut targets = targets.clone();
        targets["kettle_ph"] = json!(ph);
        let plan = pale_ale_with(&shelf, ph, &[("targets", targets)]);
        (
            plan.additions.len(),
            plan.reasons.iter().any(|one| one.code == "nothing_needed"),
        )
    };
    assert_eq!(asks("5.2-5.3"), (1, false));
    assert_eq!(asks("4-7"), (0, true));
}

/// Grains that keep all the liquor leave no kettle.
#[test]
fn a_day_without_a_kettle_is_refused() {
    for (house, path) in [
        (
            json!({ "grain_absorption": 3 }),
            "brewhouse.grain_absorption",
        ),
        (json!({}), "mash.liquor"),
    ] {
        let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
        day["brewhouse"] = house;
        let day = day.as_object_mut().expect("an object");
        day.remove("sparge");
        let grist = day["grist"].as_array().expect("malts");
        let mass = |malt: &Value| {
            malt["mass"]
                .as_str()
                .and_then(|text| text.split(' ').next()?.parse::<f64>().ok())
        };
        let grist_kg: f64 = grist.iter().filter_map(mass).sum();
        let per_kg = if path == "mash.liquor" { 1.01 } else { 2.8 };
        day["mash"]["liquor"] = json!(format!("{} L", per_kg * grist_kg));
        day.insert("targets".to_owned(), json!({ "mash_ph": "5.3-5.5" }));
        let day = Value::Object(day.clone());
        let problems = BrewDay::from_json(&day.to_string()).expect_err("nothing to boil");
        assert!(problems.to_string().contains(path), "{problems}");
    }
}

/// What a mineral acid brings into the kettle counts in the liquor's ions as in the kettle's own,
/// though the fit has not asked for it.
#[test]
fn a_mineral_acid_in_the_kettle_counts_among_the_ions() {
    let shelf = json!([
        { "reagent": "phosphoric acid" },
        { "reagent": "hydrochloric acid", "vessels": ["kettle"] },
    ]);
    let with = pale_ale(&shelf, "5.1-5.2").plan().expect("a plan");
    let without = pale_ale(&shelf, "5.1-7").plan().expect("a plan");
    let added = with.additions.last().expect("the acid");
    assert_eq!(
        (added.vessel, added.reagent.as_str()),
        (Vessel::Kettle, "hydrochloric acid")
    );
    assert_eq!(with.additions.len(), without.additions.len() + 1);
    // 37 % by mass at 1.184 g/mL (CRC Handbook) are 12.01 mol/L; 35.45 g/mol of chloride.
    let mg = added.amount / 1000.0 * 12.01 * 35.45 * 1000.0;
    let by_hand = mg / (with.kettle.water_kg / 0.99821);
    let in_target = |plan: &Plan| {
        plan.targets
            .iter()
            .find(|line| line.key == "chloride")
            .expect("a line")
            .planned
            .expect("a figure")
    };
    let in_kettle = |plan: &Plan| {
        plan.kettle
            .ions
            .iter()
            .find(|ion| ion.ion == "chloride")
            .expect("an ion")
            .full_mg_l
    };
    for more in [
        in_target(&with) - in_target(&without),
        in_kettle(&with) - in_kettle(&without),
    ] {
        assert!((more - by_hand).abs() < 0.005 * by_hand, "{more} {by_hand}");
    }
    let [of_acid, of_day] = ["acid_into_water", "safety_data_sheet"];
    let says = |code: &str| with.cautions.iter().any(|caution| caution.code == code);
    assert!(says(of_acid) && says(of_day));
}

/// Salts make room for what a mineral acid brings; where it brings too much by itself, it is named.
#[test]
fn salts_leave_room_for_a_mineral_acid_in_the_kettle() {
    let shelf = json!([
        { "reagent": "gypsum", "step": "5 g" },
        { "reagent": "phosphoric acid" },
        { "reagent": "sulfuric acid", "vessels": ["kettle"] },
    ]);
    let sulfate = |kettle_ph: &str, range: &str| {
        let targets = json!({ "sulfate": range, "mash_ph": "5.3-5.5", "kettle_ph": kettle_ph });
        let plan = pale_ale_with(&shelf, kettle_ph, &[("targets", targets)]);
        let line = plan.targets.iter().find(|line| line.key == "sulfate");
        let state = line.expect("a line").state;
        let mut reasons = plan.reasons.iter();
        let reason = reasons.find(|one| one.code == "kettle_acid");
        (state, reason.map(|one| one.text.clone()))
    };
    assert_eq!(sulfate("5.3-5.4", "100-150 mg/L"), (TargetState::Met, None));
    let (state, reason) = sulfate("4.9-5.0", "100-150 mg/L");
    assert_eq!(state, TargetState::Above);
    let reason = reason.expect("a reason");
    assert!(
        reason.contains("the acid for the kettle brings"),
        "{reason}"
    );
}

/// An acid that may go into the kettle alone takes no other's place in the mash, and stays where
/// that one is given up.
#[test]
fn no_acid_of_the_kettle_is_swapped_into_the_mash() {
    let shelf = json!([
        { "reagent": "gypsum", "step": "5 g" },
        { "reagent": "calcium chloride dihydrate", "step": "5 g" },
        { "reagent": "phosphoric acid" },
        { "reagent": "lactic acid", "vessels": ["mash_tun", "sparge_liquor"] },
        { "reagent": "citric acid", "vessels": ["kettle"] },
    ]);
    let plan = pale_ale(&shelf, "5.1-5.3").plan().expect("a plan");
    assert!(plan.meets_every_range, "{}", plan.summary);
    let mut alternatives = plan.alternatives.iter();
    let swapped = alternatives
        .find(|other| other.code == AlternativeCode::AcidSwapped)
        .expect("another acid");
    let mut changes = swapped.changes.iter();
    assert!(
        changes.all(|change| change.key != "mash_ph"),
        "{}",
        swapped.text
    );
    let at = |vessel| move |one: &&underlet::Addition| one.vessel == vessel;
    let mut given = swapped.additions.iter().filter(at(Vessel::Kettle));
    assert!(given.any(|one| one.reagent == "citric acid"));
    let mut given = swapped.additions.iter().filter(at(Vessel::HotLiquorTank));
    assert!(given.all(|one| one.reagent != "phosphoric acid"));
}

/// An acid of the kettle's shelf is there once: no other plan takes it from the table.
#[test]
fn no_alternative_takes_the_kettles_acid_from_the_table() {
    let shelf = json!([
        { "reagent": "phosphoric acid", "stock": "100 mL" },
        { "reagent": "lactic acid", "stock": "1 mL", "vessels": ["kettle"] },
    ]);
    let plan = pale_ale(&shelf, "5.1-5.3").plan().expect("a plan");
    let mut swapped = plan.alternatives.iter();
    let swapped = swapped
        .find(|other| other.code == AlternativeCode::AcidSwapped)
        .expect("another acid");
    let mut additions = swapped.additions.iter();
    assert!(
        additions.all(|one| one.reagent != "lactic acid" || one.vessel == Vessel::Kettle),
        "{}",
        swapped.text
    );
}

/// A salt from the table is weighed on a scale for salts, and each brew's share is reported as
/// such.
#[test]
fn other_plans_go_by_the_scale_for_salts() {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["shelf"] = json!([
        { "reagent": "gypsum", "step": "5 g" },
        { "reagent": "phosphoric acid", "step": "5 mL" },
        { "reagent": "zinc sulfate heptahydrate", "step": "0.01 g" },
    ]);
    day["targets"] = json!({ "magnesium": "40-50 mg/L", "mash_ph": "5.3-5.5" });
    day["brews"] = json!(2);
    day["hot_liquor_tank"] = json!({ "fill": "30 hL", "temperature": "78 °C" });
    day["alternatives"] = json!(true);
    let day = BrewDay::from_json(&day.to_string()).expect("valid");
    let plan = day.plan().expect("a plan");
    let mut others = plan.alternatives.iter();
    let other = others
        .find(|other| other.code == AlternativeCode::OneMoreReagent)
        .expect("a salt of magnesium");
    let mut additions = other.additions.iter();
    for one in other
        .additions
        .iter()
        .filter(|one| one.unit == AmountUnit::Gram)
    {
        let steps = one.amount / 5.0;
        assert!((steps - steps.round()).abs() < 1e-9, "{}", other.text);
    }
    assert!(additions.any(|one| one.vessel == Vessel::MashTun));
    assert!(other.text.contains("2 × "), "{}", other.text);
}

/// A single wanted value is met by the nearest step.
#[test]
fn a_single_kettle_ph_is_met_by_the_nearest_step() {
    let shelf = json!([
        { "reagent": "phosphoric acid" },
        { "reagent": "lactic acid", "step": "20 mL", "vessels": ["kettle"] },
    ]);
    let plan = pale_ale(&shelf, "5.2").plan().expect("a plan");
    let acid = plan.additions.last().expect("the acid");
    assert!(
        (acid.amount - acid.before_rounding).abs() <= 10.0,
        "{acid:?}"
    );
}

/// Ten times the batch, on ten times the scale, takes ten times of everything.
#[test]
fn ten_times_a_random_batch_takes_ten_times_of_all() {
    for seed in 0..trials(15, 60) {
        let mut day = with_kettle(seed);
        day.sources.truncate(1);
        day.sources[0].max_amount_l = None;
        let mut large = day.clone();
        large.mash.volume_l *= 10.0;
        for draw in [large.tank.as_mut(), large.sparge.as_mut()]
            .into_iter()
            .flatten()
        {
            draw.volume_l *= 10.0;
        }
        for malt in &mut large.grist {
            malt.mass_kg *= 10.0;
        }
        for item in &mut large.shelf {
            item.step *= 10.0;
            item.min_dose *= 10.0;
            item.stock = item.stock.map(|stock| stock * 10.0);
        }
        let (small, large) = (day.plan().expect("a plan"), large.plan().expect("a plan"));
        let in_kettle = |plan: &Plan| -> Vec<(String, f64)> {
            let additions = plan
                .additions
                .iter()
                .filter(|one| one.vessel == Vessel::Kettle);
            additions
                .map(|one| (one.reagent.clone(), one.amount))
                .collect()
        };
        let (small, large) = (in_kettle(&small), in_kettle(&large));
        assert_eq!(small.len(), large.len(), "seed {seed}: {small:?} {large:?}");
        for ((reagent, small), (other, large)) in small.iter().zip(&large) {
            assert_eq!(reagent, other);
            assert!(
                (large - 10.0 * small).abs() <= 1e-6 * large,
                "seed {seed}: {small} {large}"
            );
        }
    }
}

/// Zinc from the formula, IUPAC 2021: 65.38 of 287.55 g/mol are 22.74 %; of ZnCl2, 136.28, 47.97 %.
#[test]
fn zinc_in_its_reagents() {
    for (key, percent) in [
        ("zinc sulfate heptahydrate", 22.737),
        ("zinc chloride", 47.975),
    ] {
        let reagent = Preparation::usual(key).expect("a row").reagent;
        let share = 100.0 * elements::ZN.weight_g_per_mol / reagent.molar_mass_g_per_mol;
        assert!((share - percent).abs() < 0.002, "{key}: {share}");
    }
}

fn wort(grist: &[underlet::mash::Malt], liquor: Liquor, sparge_share: f64) -> Wort {
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let mash = Mash {
        grist,
        water_kg: 3.0 * grist_kg,
        liquor,
    };
    let forecast = mash.forecast();
    Wort::kettle_full(
        &mash,
        &forecast,
        grist_kg,
        sparge_share * mash.water_kg,
        &liquor,
        1e-4,
    )
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn more_acid_never_raises_the_kettle_and_what_is_needed_brings_it_there(
        grist in grist(),
        liquor in liquor(),
        sparge in prop_oneof![Just(0.0), 0.3..2.0f64],
        acid in super::strategies::acid(),
        fall in 0.01..0.8f64,
    ) {
        let wort = wort(&grist, liquor, sparge);
        prop_assume!(wort.ph - fall > 4.5);
        let unit = acid.dose_per_unit();
        let needed = wort.units_needed(&unit, wort.ph - fall);
        prop_assert!(needed > 0.0);
        let mut last = wort.ph + 1e-12;
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let dosed = wort.dosed(&unit.times(share * needed));
            prop_assert!(dosed.ph <= last + 1e-9, "{} {last}", dosed.ph);
            prop_assert!(dosed.sd >= wort.sd - 1e-12);
            last = dosed.ph;
        }
        prop_assert!((last - (wort.ph - fall)).abs() < 1e-8, "{last}");
        // Given in two halves it is the same, but for constants that follow what is dissolved.
        let half = unit.times(needed / 2.0);
        prop_assert!((wort.dosed(&half).dosed(&half).ph - last).abs() < 0.02);
    }

    /// By hand: without a sparge a wort has a straight buffering, and a mole of hydrochloric acid
    /// is a mole of protons.
    #[test]
    fn hydrochloric_acid_in_a_first_wort_is_a_division(grist in grist(), liquor in liquor(), fall in 0.01..0.5f64) {
        let wort = wort(&grist, liquor, 0.0);
        let acid = Preparation::usual("hydrochloric acid").expect("a row");
        let eq = fall * wort.buffering_eq_per_ph;
        let dosed = wort.dosed(&acid.dose_per_unit().times(eq / acid.mol_per_unit()));
        prop_assert!((dosed.ph - (wort.ph - fall)).abs() < 1e-9, "{} {}", dosed.ph, wort.ph);
        // Calcium sets free 0.03 protons per equivalent there (Hosom's report on calcium chloride),
        // and sulfate nothing.
        let gypsum = Preparation::usual("gypsum").expect("a row");
        let mol = 1e-3 * wort.water_kg;
        let salted = wort.dosed(&gypsum.dose_per_unit().times(mol / gypsum.mol_per_unit()));
        let shift = 2.0 * mol * parameters::CALCIUM_PROTONS_IN_WORT.value / wort.buffering_eq_per_ph;
        prop_assert!((wort.ph - salted.ph - shift).abs() < 1e-9);
    }
}
