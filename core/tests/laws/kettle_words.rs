//! What a plan says of the kettle: the built-in pale ale with one odd thing each.

use serde_json::{Value, json};
use underlet::reagent::AmountUnit;
use underlet::{AlternativeCode, BrewDay, EXAMPLES, Plan, TargetState, Vessel};

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
        let coarse = shelf(json!({
            "reagent": "lactic acid", "step": step, "min_dose": min_dose, "vessels": ["kettle"],
        }));
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
