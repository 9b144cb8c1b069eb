//! What a plan says about itself must be true: reasons, cautions and assumptions of days with one
//! odd thing each. The expectations follow from the day as it stands (what is on the shelf, what
//! the water holds), not from the engine.

use serde_json::{Value, json};
use underlet::{EXAMPLES, Plan, TargetState};

/// The plan of the built-in pale ale once `change` has had its way with it.
pub(crate) fn pale_ale(change: impl FnOnce(&mut Value)) -> Plan {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).unwrap();
    change(&mut day);
    underlet::json::plan(&day.to_string()).unwrap()
}

pub(crate) fn reason<'p>(plan: &'p Plan, subject: &str) -> (&'p str, &'p str) {
    let mut reasons = plan.reasons.iter();
    let Some(reason) = reasons.find(|reason| reason.subject == subject) else {
        panic!("no reason for {subject}: {:?}", plan.reasons);
    };
    (reason.code.as_str(), &reason.text)
}

fn has_caution(plan: &Plan, code: &str) -> bool {
    plan.cautions.iter().any(|caution| caution.code == code)
}

#[test]
fn an_empty_shelf_is_the_reason_for_each_miss() {
    let plan = pale_ale(|day| day["shelf"] = json!([]));
    assert_eq!(reason(&plan, "sulfate").0, "nothing_brings");
    assert_eq!(reason(&plan, "mash_ph").0, "no_acid");
    assert_eq!(reason(&plan, "sparge_alkalinity").0, "no_acid");
    // The mash lies outside its range: that no measurement narrows.
    assert!(!has_caution(&plan, "mash_ph_unsure"));
}

#[test]
fn acid_that_may_not_go_into_the_sparge_does_not_help_it() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([{ "reagent": "lactic acid", "vessels": ["mash_tun"] }]);
    });
    let (code, text) = reason(&plan, "sparge_alkalinity");
    assert_eq!(code, "no_acid");
    assert!(text.contains("into the sparge liquor"), "{text}");
}

#[test]
fn a_stock_that_runs_out_explains_only_what_it_would_have_moved() {
    let plan = pale_ale(|day| {
        day["shelf"][4]["stock"] = json!("100 mL");
        day["shelf"][5]["stock"] = json!("100 mL");
    });
    assert_eq!(reason(&plan, "mash_ph").0, "stock_or_solubility");
    assert_eq!(reason(&plan, "sparge_alkalinity").0, "stock_or_solubility");
    // Calcium is driven above its range for the sake of the mash pH; more acid would spare it, more
    // calcium would not.
    let (code, text) = reason(&plan, "calcium");
    assert_eq!(code, "ranges_conflict");
    assert!(text.contains("mash pH"), "{text}");
    assert!(!text.contains("sodium"), "{text}");
}

#[test]
fn a_coarse_scale_is_no_conflict() {
    let plan = pale_ale(|day| {
        day["targets"] = json!({ "calcium": 150, "chloride": 60 });
        day["shelf"] = json!([
            { "reagent": "gypsum", "step": "20 g" },
            { "reagent": "calcium chloride dihydrate", "step": "20 g" },
        ]);
    });
    let (code, text) = reason(&plan, "chloride");
    assert_eq!(code, "whole_steps");
    assert!(text.contains("steps of the scale"), "{text}");
    // A miss within 2 % is none.
    let calcium = &plan.targets[0];
    let planned = calcium.planned.expect("a figure");
    assert!((0.6..3.0).contains(&(planned - 150.0).abs()), "{planned}");
    assert_eq!(calcium.state, TargetState::Met);
    assert!(
        calcium.display.ends_with("(as near as one reads)"),
        "{}",
        calcium.display
    );
}

#[test]
fn too_few_salts_are_named() {
    let plan = pale_ale(|day| day["max_salts"] = json!(0));
    for subject in ["sulfate", "chloride"] {
        let (code, text) = reason(&plan, subject);
        assert_eq!(code, "max_salts");
        assert!(text.contains("no more than 0 salts"), "{text}");
    }
}

#[test]
fn acid_below_its_smallest_dose_is_short_and_no_conflict() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([{
            "reagent": "lactic acid", "strength": "80 %", "step": "5 mL", "min_dose": "50 mL", "stock": "20 mL",
        }]);
    });
    // Both want the same acid.
    assert_eq!(reason(&plan, "mash_ph").0, "stock_or_solubility");
    assert_eq!(reason(&plan, "sparge_alkalinity").0, "stock_or_solubility");
}

#[test]
fn a_range_that_is_missed_on_the_same_side_does_not_stand_in_the_way() {
    let plan = pale_ale(|day| {
        day["shelf"][4]["stock"] = json!("20 mL");
        day["shelf"][5]["stock"] = json!("100 mL");
    });
    // Salts of calcium are given for the mash pH; the chloride that they bring is too much already.
    let chloride = plan.targets.iter().find(|line| line.key == "chloride");
    assert_eq!(chloride.map(|line| line.state), Some(TargetState::Above));
    let text = reason(&plan, "calcium").1;
    assert!(text.contains("mash pH"), "{text}");
    assert!(!text.contains("chloride"), "{text}");
}

#[test]
fn a_mash_too_sour_with_nothing_alkaline_at_hand_says_so() {
    let plan = pale_ale(|day| {
        day["targets"]["mash_ph"] = json!("5.88-5.9");
        day["shelf"] = json!([{ "reagent": "gypsum" }]);
    });
    assert_eq!(reason(&plan, "mash_ph").0, "no_base");
}

#[test]
fn ranges_that_hold_the_plan_at_an_end_are_named() {
    let plan = pale_ale(|_| {});
    let (code, text) = reason(&plan, "sulfate");
    assert_eq!(code, "rests_on_range");
    assert!(text.contains("low end"), "{text}");
    let (code, text) = reason(&plan, "sparge_alkalinity");
    assert_eq!(code, "rests_on_range");
    assert!(text.contains("high end"), "{text}");
    for rests in plan
        .reasons
        .iter()
        .filter(|reason| reason.code == "rests_on_range")
    {
        let line = plan
            .targets
            .iter()
            .find(|line| line.key == *rests.subject)
            .unwrap();
        let near = |end: Option<f64>| {
            end.is_some_and(|end| (line.planned.unwrap() - end).abs() <= 0.03 * end)
        };
        assert!(near(line.low) || near(line.high), "{}", rests.text);
    }
}

#[test]
fn what_removes_chlorine_is_neither_a_salt_nor_an_acid() {
    let plan = pale_ale(|day| {
        day["targets"] = json!({ "potassium": "20-40 mg/L", "mash_ph": "5.3-5.5" });
        day["shelf"] =
            json!([{ "reagent": "potassium metabisulfite" }, { "reagent": "ascorbic acid" }]);
    });
    assert!(plan.additions.is_empty(), "{:?}", plan.additions);
    assert_eq!(reason(&plan, "potassium").0, "nothing_brings");
    assert_eq!(reason(&plan, "mash_ph").0, "no_acid");
    assert!(has_caution(&plan, "sulfite"));
    let left_alone = plan
        .assumptions
        .iter()
        .filter(|text| text.contains("left alone"));
    assert_eq!(left_alone.count(), 2);
}

#[test]
fn a_day_without_a_sparge_says_what_it_leaves_out() {
    let plan = pale_ale(|day| {
        day.as_object_mut().unwrap().remove("sparge");
    });
    assert!(
        plan.targets
            .iter()
            .all(|line| line.key != "sparge_alkalinity")
    );
    assert!(
        plan.assumptions
            .iter()
            .any(|text| text.contains("no sparge"))
    );
    // 15 hL stand in the tank, 5.6 are drawn.
    assert!(plan.assumptions.iter().any(|text| text.contains("heel")));
}

#[test]
fn each_time_of_dosing_has_its_own_heading() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([
            { "reagent": "gypsum", "vessels": ["mash_tun"] },
            { "reagent": "lactic acid", "vessels": ["mash_tun"] },
        ]);
    });
    let text = plan.to_text();
    for when in ["spread over the grist", "after mashing in, the first part"] {
        assert!(text.contains(when), "{text}");
    }
}

#[test]
fn a_strength_made_from_a_molarity_is_written_short() {
    let plan = pale_ale(|day| {
        day["shelf"] = json!([{ "reagent": "hydrochloric acid", "strength": "1 mol/L" }]);
    });
    // 36.461 g/mol in a litre that weighs 1.0159 kg (densities.csv, between 1 and 5 %).
    assert_eq!(plan.additions[0].name, "hydrochloric acid 3.589 %");
}

#[test]
fn acid_that_drives_a_ph_out_of_its_range_is_a_conflict() {
    // The well's closed pH is 7.3; taking its alkalinity to 50 must sour it, so both cannot be had.
    let plan = pale_ale(|day| day["targets"]["sparge_ph"] = json!("7.2-7.4"));
    let (code, text) = reason(&plan, "sparge_ph");
    assert_eq!(code, "ranges_conflict");
    assert!(text.contains("sparge alkalinity"), "{text}");
}

#[test]
fn a_single_target_ph_has_neither_ends_nor_a_chance() {
    let plan = pale_ale(|day| day["targets"]["mash_ph"] = json!(5.4));
    assert_eq!(plan.mash.probability_in_range, None);
    assert!(!has_caution(&plan, "mash_ph_unsure"));
    assert!(
        plan.reasons
            .iter()
            .all(|reason| reason.subject != "mash_ph")
    );
}

#[test]
fn a_base_for_the_tank_warns_of_chalk() {
    let lime = |vessel: &str| {
        pale_ale(|day| {
            day["targets"] = json!({ "mash_ph": "5.88-5.9" });
            day["shelf"] = json!([{ "reagent": "slaked lime", "vessels": [vessel] }]);
        })
    };
    let (tank, tun) = (lime("hot_liquor_tank"), lime("mash_tun"));
    assert!(has_caution(&tank, "base_drops_chalk") && has_caution(&tank, "lime_burns"));
    assert!(has_caution(&tun, "lime_burns") && !has_caution(&tun, "base_drops_chalk"));
}

/// The headline says what to do and how likely the mash is in its range, and not that all is met.
#[test]
fn the_headline_leads_with_the_work_and_the_chance() {
    let plan = pale_ale(|_| {});
    let chance = plan.mash.probability_in_range.expect("a range") * 100.0;
    let correction = plan.mash.correction.as_ref().expect("a meter and an acid");
    let corrected = correction.probability_in_range * 100.0;
    assert!(corrected > chance + 10.0 && corrected < 95.0, "{corrected}");
    let headline = format!(
        "Dose the tank, then the mash in two parts with one reading between. The mash lands in pH \
         5.30 to 5.50 with a chance of {chance:.0} % as dosed, {corrected:.0} % once read and \
         corrected, most likely at {:.2}.",
        plan.mash.ph
    );
    assert!(plan.summary.starts_with(&headline), "{}", plan.summary);
    assert!(
        plan.meets_every_range && !plan.summary.contains("met"),
        "{}",
        plan.summary
    );
    let below = pale_ale(|day| day["targets"]["mash_ph"] = json!("at most 5.5"));
    assert!(
        below.summary.contains("lands at pH 5.50 or below with"),
        "{}",
        below.summary
    );
    let blended = pale_ale(|day| {
        let pure = json!({"name": "pure water", "alkalinity": 0});
        day["sources"].as_array_mut().unwrap().push(pure);
        day["targets"]["chloride"] = json!("0-20 mg/L");
    });
    let summary = &blended.summary;
    assert!(
        summary.starts_with("Blend well with pure water, then dose "),
        "{summary}"
    );
}

/// Whoever measures what the headline names gets the chance that it foretells.
#[test]
fn a_measurement_raises_the_chance_as_foretold() {
    let plan = pale_ale(|_| {});
    let raised = plan.mash.raised_by.expect("a measurement");
    assert_eq!(raised.measurement, "malt_titration");
    assert!(plan.summary.ends_with(&raised.text), "{}", plan.summary);
    // The class of pale ale malt, as a titration that finds just that: 5.70 and 40 meq/(kg pH).
    let measured = pale_ale(|day| {
        let malt = &mut day["grist"][0];
        assert_eq!(malt["malt"].as_str(), Some(raised.subject.as_str()));
        let class = underlet::mash::TitrationCurve::of_class(&raised.subject).expect("a class");
        malt["ph_in_distilled_water"] = json!(class.distilled_water_ph);
        malt["buffering"] = json!(format!(
            "{} meq/(kg pH)",
            class.buffering_eq_per_kg_ph * 1e3
        ));
    });
    let chance = measured.mash.probability_in_range.expect("a range");
    assert!(
        (chance - raised.probability_in_range).abs() < 0.02,
        "{chance} {}",
        raised.probability_in_range
    );
}

#[test]
fn a_day_without_targets_says_so() {
    let plan = pale_ale(|day| day["targets"] = json!({}));
    assert!(plan.additions.is_empty());
    assert!(
        plan.summary.contains("There are no targets"),
        "{}",
        plan.summary
    );
    let (code, text) = reason(&plan, "additions");
    assert_eq!(code, "nothing_needed");
    assert!(text.contains("has no targets"), "{text}");
}

#[test]
fn a_confidence_aims_the_sparge_inside_its_range() {
    let aimed = |range: &str, confidence: Value, shelf: Option<Value>| {
        pale_ale(|day| {
            day["targets"]["sparge_alkalinity"] = json!("at most 500");
            day["targets"]["sparge_ph"] = json!(range);
            day["targets"]["confidence"] = json!({ "sparge_ph": confidence });
            if let Some(shelf) = shelf {
                day["shelf"] = shelf;
            }
        })
    };
    let acid = json!([{ "reagent": "lactic acid", "strength": "80 %", "step": "1 mL", "vessels": ["mash_tun", "sparge_liquor"] }]);
    let plan = aimed("at most 6", json!("90 %"), Some(acid));
    let sparge = plan.sparge.as_ref().unwrap();
    // Whole steps of the measure leave it a little more than asked.
    assert!(sparge.ph_closed < 5.9, "{}", sparge.ph_closed);
    assert!(sparge.probability_in_range.unwrap() > 0.9, "{sparge:?}");
    assert_eq!(sparge.requested_confidence_percent, Some(90.0));
    assert!(
        sparge
            .display
            .ends_with("to land in its range is 90 %, 90 % requested"),
        "{}",
        sparge.display
    );
    let (code, text) = reason(&plan, "sparge_ph");
    assert_eq!(code, "aimed_inside_range");
    assert!(
        text.starts_with("To land in its range with 90 %, sparge pH is aimed inside it"),
        "{text}"
    );
    assert_eq!(plan.mash.requested_confidence_percent, None);
    assert!(!has_caution(&plan, "confidence_not_reached"));
    // Without acid the well stays above.
    let plan = aimed("at most 6", json!(0.5), Some(json!([])));
    let mut cautions = plan.cautions.iter();
    let note = cautions
        .find(|caution| caution.code == "confidence_not_reached")
        .unwrap();
    assert_eq!(
        note.text,
        "The chance that the sparge liquor lands inside its range is 0 %, less than the 50 % \
         requested."
    );
}

#[test]
fn a_confidence_aims_the_mash_inside_its_range() {
    let aimed = |range: &str, confidence: Value| {
        pale_ale(|day| {
            day["targets"]["mash_ph"] = json!(range);
            day["targets"]["confidence"] = json!({ "mash_ph": confidence });
        })
    };
    // One end is kept by keeping away from it: 1.28 standard deviations of a normal for 90 %
    // (Abramowitz & Stegun 1964, table 26.5), a little more or less where the balance
    // is_nonlinear; of the mash itself, without what meter and sample are off by.
    let plan = aimed("at most 5.5", json!("90 %"));
    let shown_sd = plan.mash.sd.expect("a forecast");
    let mash_sd = (shown_sd.powi(2) - 0.046_f64.powi(2) - 0.03_f64.powi(2)).sqrt();
    let away = (5.5 - plan.mash.ph) / mash_sd;
    assert!((1.15..1.45).contains(&away), "{away}");
    let (code, text) = reason(&plan, "mash_ph");
    assert_eq!(code, "aimed_inside_range");
    assert!(text.contains("wanted at most 5.3"), "{text}");
    assert!(!has_caution(&plan, "confidence_not_reached"));
    assert!(
        plan.summary.contains("% (90 % requested)"),
        "{}",
        plan.summary
    );
    assert_eq!(plan.mash.requested_confidence_percent, Some(90.0));
    // The bar is wider than the range: no aim gives nine brews of ten.
    let plan = aimed("5.3-5.5", json!(0.9));
    let (code, text) = reason(&plan, "mash_ph");
    assert_eq!(code, "range_too_narrow");
    assert!(text.contains("wanted 5.4"), "{text}");
    assert!(has_caution(&plan, "confidence_not_reached"));
    assert!(!has_caution(&plan, "mash_ph_unsure"));
    // Without acid it lies outside, which no measurement changes: the note says no more than the
    // chance.
    let plan = pale_ale(|day| {
        day["shelf"] = json!([]);
        day["targets"]["confidence"] = json!({ "mash_ph": 0.5 });
    });
    let mut cautions = plan.cautions.iter();
    let note = cautions
        .find(|caution| caution.code == "confidence_not_reached")
        .unwrap();
    assert!(
        note.text.ends_with("less than the 50 % requested."),
        "{}",
        note.text
    );
}

#[test]
fn acid_for_the_kettle_is_stated_by_an_acid_of_the_shelf() {
    // That of the plan, if the shelf names none for the kettle.
    let usual = pale_ale(|_| {}).kettle.acid_for_a_tenth_display;
    assert!(usual.contains("mL of phosphoric acid 75 %"), "{usual}");
    let lactic = json!(["hot_liquor_tank", "mash_tun", "kettle"]);
    let kettle = pale_ale(|day| day["shelf"][4]["vessels"] = lactic).kettle;
    let text = &kettle.acid_for_a_tenth_display;
    assert!(kettle.display.contains(text), "{}", kettle.display);
    // Lactic acid of 80 %, 1.186 g/mL: 10.5 meq/mL, of which 97 % is given at pH 5.4.
    let by_ml = |meq: f64| meq / (10.5 * 0.97);
    let numbers: Vec<f64> = text
        .split(|c: char| !c.is_ascii_digit() && c != '.')
        .filter_map(|number| number.parse().ok())
        .collect();
    let [low, high] = kettle.acid_for_a_tenth_interval_95_meq;
    let by_hand = [kettle.acid_for_a_tenth_meq, low, high].map(by_ml);
    let [ml, strength, low, high, percent, tenth] = numbers.as_slice() else {
        panic!("{text}");
    };
    assert_eq!([*strength, *percent, *tenth], [80.0, 95.0, 0.1]);
    for (stated, by_hand) in [ml, low, high].into_iter().zip(by_hand) {
        // To two figures.
        assert!((stated / by_hand - 1.0).abs() < 0.03, "{text}: {by_hand}");
    }
    let unit = "mL of lactic acid 80 % (";
    assert!(text.contains(unit) && text.contains(" mL, 95 %)"), "{text}");
    assert!(kettle.acid_for_a_tenth_sd_meq > 0.2 * kettle.acid_for_a_tenth_meq);
    assert!(
        kettle.ph_boiled_sd > Some(0.05),
        "{:?}",
        kettle.ph_boiled_sd
    );
    let without = pale_ale(|day| day["shelf"] = json!([{ "reagent": "gypsum" }])).kettle;
    let text = &without.acid_for_a_tenth_display;
    assert!(
        text.contains(" meq of acid (") && text.contains(" meq, 95 %)"),
        "{text}"
    );
}

#[test]
fn a_ratio_without_chloride_says_so() {
    let with = |ratio: &str| {
        pale_ale(|day| {
            day["sources"] = json!([{"name": "pure", "alkalinity": 0}]);
            day["targets"] = json!({"sulfate": [100, 120], "sulfate_to_chloride": ratio});
            day["shelf"] = json!([{"reagent": "gypsum", "step": "1 g"}]);
        })
    };
    assert!(with("at least 2").meets_every_range);
    let plan = with("at most 1");
    // Sulfate 50 mg/L below its range and 50 above the ratio: neither is met.
    let (code, text) = reason(&plan, "sulfate_to_chloride");
    assert_eq!(code, "nothing_brings");
    assert!(
        text.contains("no chloride → no chloride, wanted at most 1"),
        "{text}"
    );
    let missed = "Not met: sulfate, sulfate to chloride.";
    assert!(plan.summary.contains(missed), "{}", plan.summary);
}

/// 61 mg/L in the water and 60 wanted: what lies far above was dosed for the sake of the ratio.
#[test]
fn a_rise_on_purpose_is_not_laid_on_the_water() {
    let with = |targets: Value| pale_ale(|day| day["targets"] = targets);
    let plan = with(
        json!({"sulfate": "at most 60", "chloride": "at least 150", "sulfate_to_chloride": "at least 2"}),
    );
    let (code, text) = reason(&plan, "sulfate");
    assert_eq!(code, "ranges_conflict", "{text}");
    assert!(text.contains("sulfate to chloride"), "{text}");
    let plan = with(json!({"sulfate": "at most 60"}));
    assert_eq!(reason(&plan, "sulfate").0, "source_above_range");
}

#[test]
fn what_the_sources_lack_shows_in_the_figures() {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).unwrap();
    let well = day["sources"][0].clone();
    day["sources"] = json!([well, well]);
    for (source, (name, litres)) in [("one", 700), ("two", 762)].into_iter().enumerate() {
        day["sources"][source]["name"] = json!(name);
        day["sources"][source]["max_amount"] = json!(format!("{litres} L"));
    }
    let error = underlet::json::plan(&day.to_string())
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("found 1462 L in all; expected at least 1462."),
        "{error}"
    );
}

#[test]
fn what_is_not_drawn_is_not_listed() {
    let plan = pale_ale(|day| {
        let salty = json!({"name": "salty", "alkalinity": 500, "calcium": 600, "sodium": 3000});
        day["sources"].as_array_mut().unwrap().push(salty);
    });
    assert_eq!(plan.blend.len(), 2);
    assert_eq!(plan.blend[1].share, 0.0);
    assert!(plan.to_text().contains("from "));
    assert!(!plan.to_text().contains("from salty") && !plan.to_html().contains("from salty"));
}
