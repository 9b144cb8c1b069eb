//! The built-in brew days among the cases, checked by hand. Densities: CRC Handbook (from memory),
//! 73 °C 0.97600, 74 °C 0.97542,
//! 78 °C 0.97303 kg/L, at 1 atm; the engine's are at saturation, up to 5e-5 less. Atomic weights:
//! IUPAC 2021, abridged. A report's mg/L are at 20 °C, 0.99821 kg/L.

use serde_json::Value;
use underlet_tests::cases::{Kind, named};

/// The kept plan of a case.
fn golden(name: &str) -> Value {
    let plan = named(Kind::BrewDay, name).kept_answer();
    serde_json::from_str(&plan).unwrap()
}

fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, expected {expected}"
    );
}

/// Vessel, reagent and amount of every addition, which the sums below are made for; the parts of an
/// acid together.
fn additions(plan: &Value) -> Vec<(&str, &str, f64)> {
    let mut whole: Vec<(&str, &str, f64)> = Vec::new();
    for one in plan["additions"].as_array().unwrap() {
        let amount = one["amount"].as_f64().unwrap();
        match whole.last_mut() {
            Some(last) if one["part"] == "rest" => last.2 += amount,
            _ => whole.push((
                one["vessel"].as_str().unwrap(),
                one["reagent"].as_str().unwrap(),
                amount,
            )),
        }
    }
    whole
}

fn planned(plan: &Value, key: &str) -> f64 {
    let mut targets = plan["targets"].as_array().unwrap().iter();
    let line = targets.find(|line| line["key"] == key).unwrap();
    line["planned"].as_f64().unwrap()
}

/// An ion of the liquor in the full kettle, and after the boil, mg/L.
fn kettle(plan: &Value, ion: &str) -> [f64; 2] {
    let mut ions = plan["kettle"]["ions"].as_array().unwrap().iter();
    let line = ions.find(|line| line["ion"] == ion).unwrap();
    ["full_mg_l", "boiled_mg_l"].map(|key| line[key].as_f64().unwrap())
}

fn water_kg(plan: &Value, vessel: &str) -> f64 {
    let mut vessels = plan["vessels"].as_array().unwrap().iter();
    let line = vessels.find(|line| line["vessel"] == vessel).unwrap();
    line["water_kg"].as_f64().unwrap()
}

#[test]
fn a_single_brew() {
    let plan = golden("pale-ale-10hl");
    assert_eq!(
        additions(&plan),
        [
            ("hot_liquor_tank", "gypsum", 160.0),
            ("hot_liquor_tank", "calcium chloride dihydrate", 10.0),
            ("hot_liquor_tank", "phosphoric acid", 480.0),
            ("mash_tun", "phosphoric acid", 95.0),
        ]
    );
    // 15 hL at 78 °C are 1500 x 0.97303 = 1459.5 kg; 560 L at 74 °C 546.2 kg; 760 L at 78 °C 739.5
    // kg.
    near(water_kg(&plan, "hot_liquor_tank"), 1459.5, 0.1);
    near(water_kg(&plan, "mash_tun"), 546.2, 0.1);
    near(water_kg(&plan, "sparge_liquor"), 739.5, 0.1);
    // Gypsum of 99 %: 158.4 g in 1459.5 kg, 108.53 mg/kg, 108.34 mg/L: 40.078/172.17 of it calcium,
    // 25.22; 96.06/172.17 sulfate, 60.45. Calcium chloride dihydrate of 99 %: 9.9 g, 6.783
    // mg/kg, 6.771 mg/L: 40.078/147.01 calcium, 1.85; 70.90/147.01 chloride, 3.27.
    near(planned(&plan, "calcium"), 112.0 + 25.22 + 1.85, 0.02);
    near(planned(&plan, "sulfate"), 61.0 + 60.45, 0.02);
    near(planned(&plan, "chloride"), 38.0 + 3.27, 0.02);
    near(planned(&plan, "magnesium"), 14.0, 1e-9);
    near(planned(&plan, "sulfate_to_chloride"), 121.45 / 41.27, 0.001);
    // Phosphoric acid of 75 %, 1.579 g/mL (Perry): 480 mL hold 568.4 g, 5.801 mol of 97.994 g,
    // 3.975 mmol/kg; at the pH of a mash, 5.4, a mole gives 1.02 mol of protons (pK 7.2, lowered
    // by 0.1 to 0.2 by the ionic strength): 4.055 meq/kg, 202.6 mg/L as CaCO3.
    near(planned(&plan, "sparge_alkalinity"), 252.0 - 202.6, 1.0);
    // Grains keep a kilogram of water each: 546.2 + 739.5 - 200 kg reach the kettle.
    near(plan["kettle"]["water_kg"].as_f64().unwrap(), 1085.7, 0.2);
    // All salts went into the tank: the kettle holds what the liquor does, 8 % of its water boil
    // off in an hour, and what is left holds 1/0.92 of it.
    for (ion, full) in [
        ("calcium", 139.07),
        ("magnesium", 14.0),
        ("chloride", 41.27),
        ("sulfate", 121.45),
    ] {
        near(kettle(&plan, ion)[0], full, 0.02);
        near(kettle(&plan, ion)[1], full / 0.92, 0.02);
    }
}

#[test]
fn a_pilot_day_from_a_bulk_tank() {
    let plan = golden("dark-mild-2.5hl");
    assert_eq!(
        additions(&plan),
        [
            ("mash_tun", "calcium chloride dihydrate", 15.0),
            ("mash_tun", "sodium bicarbonate", 2.0),
        ]
    );
    // 125 L at 73 °C are 122.0 kg, 175 L at 78 °C 170.3 kg; what goes into the tun counts over
    // both, 292.3 kg.
    near(water_kg(&plan, "mash_tun"), 122.0, 0.02);
    near(water_kg(&plan, "sparge_liquor"), 170.28, 0.02);
    // Calcium chloride dihydrate of 99 %: 14.85 g, 50.81 mg/kg, 50.72 mg/L: calcium 13.83, chloride
    // 24.46. Bicarbonate of soda of 99.5 %: 1.99 g, 6.808 mg/kg, 6.796 mg/L: 22.990/84.006
    // sodium, 1.86.
    near(planned(&plan, "calcium"), 68.0 + 13.83, 0.02);
    near(planned(&plan, "chloride"), 52.0 + 24.46, 0.02);
    near(planned(&plan, "sodium"), 14.0 + 1.86, 0.01);
    near(planned(&plan, "sulfate"), 88.0, 1e-9);
    // Nothing can be given to the sparge liquor: it is as it came, 54 mg/L as CaCO3.
    let sparge = plan["sparge"]["alkalinity_mg_l_caco3"].as_f64().unwrap();
    near(sparge, 54.0, 0.01);
    // 41 kg of grist keep 41 kg of 292.3.
    near(
        plan["kettle"]["water_kg"].as_f64().unwrap(),
        292.27 - 41.0,
        0.05,
    );
    // In the tun's own 122.0 kg calcium chloride makes 33.12 mg/L of calcium, soda 4.45 of sodium;
    // of the sparge liquor 170.3 - 41.0 kg come through as they were. Calcium (122.0 x 101.12 +
    // 129.27 x 68)/251.27, sodium (122.0 x 18.45 + 129.27 x 14)/251.27.
    near(kettle(&plan, "calcium")[0], 84.08, 0.02);
    near(kettle(&plan, "sodium")[0], 16.16, 0.02);
    near(kettle(&plan, "calcium")[1], 84.08 / 0.92, 0.02);
}

/// pH after so many hours of boiling: each adds 1.0e-6 to 10^-pH (the table's boil-ph).
fn boiled_by_hand(ph: f64, hours: f64) -> f64 {
    -(10_f64.powf(-ph) + 1.0e-6 * hours).log10()
}

/// Salts, acid and zinc into the kettle of the single brew: 1085.7 kg of water at kettle full,
/// 989.9 kg (100 L boiling off) at the end.
#[test]
fn a_kettle_with_salts_acid_and_zinc() {
    let plan = golden("kettle-additions");
    assert_eq!(
        additions(&plan),
        [
            ("hot_liquor_tank", "calcium chloride dihydrate", 40.0),
            ("hot_liquor_tank", "phosphoric acid", 480.0),
            ("mash_tun", "phosphoric acid", 110.0),
            ("kettle", "gypsum", 175.0),
            ("kettle", "lactic acid", 80.0),
            ("kettle", "zinc sulfate heptahydrate", 0.7),
        ]
    );
    let number = |key: &str| plan["kettle"][key].as_f64().unwrap();
    near(number("water_kg"), 1085.7, 0.2);
    // Calcium chloride dihydrate of 99 %: 39.6 g in 1459.5 kg, 27.08 mg/L: calcium 7.38, chloride
    // 13.06. Gypsum of 99 %: 173.25 g in 1085.7 kg, 159.57 mg/kg, 159.29 mg/L: 40.078/172.17 of
    // it calcium, 37.08; 96.06/172.17 sulfate, 88.87. Zinc sulfate heptahydrate of 99 %: 0.693 g,
    // 96.06/287.54 of it sulfate, 0.2315 g, 0.213 mg/L, at the end of the boil.
    let [calcium, sulfate, chloride] = [112.0 + 7.38 + 37.08, 61.0 + 88.87, 38.0 + 13.06];
    let of_zinc = |ion: &str| if ion == "sulfate" { 0.213 } else { 0.0 };
    for (ion, by_hand) in [
        ("calcium", calcium),
        ("sulfate", sulfate),
        ("chloride", chloride),
    ] {
        near(planned(&plan, ion), by_hand + of_zinc(ion), 0.03);
        // Tank and kettle alone were dosed: liquor in all, and water of the kettle, hold the same;
        // 1085.7/989.9 of it after the boil.
        near(kettle(&plan, ion)[0], by_hand, 0.03);
        let after_boil = (by_hand + of_zinc(ion)) * 1.0968;
        near(kettle(&plan, ion)[1], after_boil, 0.05);
    }
    // Wort carries 0.45 of the malts' buffering (40, 47 and 36 meq/(kg pH)): 0.45 x (180 x 40 + 10
    // x 47 + 10 x 36) = 3614 meq/pH. Of the sparge liquor 739.5 - 200 kg come through. At pH 5.4
    // each kg buffers by its bicarbonate, 252 mg/L as CaCO3, 5.05 mmol, with its carbon dioxide
    // (pH 7.3, pK 6.35: 5.6 mmol) half gone in hot wort: 2.303 x 2.8 x 0.10 x 0.90 = 0.58 meq/(kg
    // pH), and 4.1 mmol of phosphate, pK 7.2 and 2.15: 2.303 x 4.1 x 0.016 = 0.15 (less 0.005).
    // 540 kg x 0.73 = 394: in all 4008 meq/pH, 401 for a tenth.
    near(number("acid_for_a_tenth_meq"), 401.0, 10.0);
    // The wort's 361 are uncertain by the share, 0.10/0.45, and by the malts, 10, 9 and 10.5 of
    // them: 0.45 x (1800^2 + 90^2 + 105^2)^0.5 = 812 meq/pH: (0.222^2 + (812/3614)^2)^0.5 = 0.316
    // of it, 114. Its logarithm has ln(1 + 0.316^2)^0.5 = 0.308; a factor of e^(1.96 x 0.308) =
    // 1.83 either way leaves 39 + 197 to 39 + 661.
    near(number("acid_for_a_tenth_sd_meq"), 114.0, 1.0);
    let between = &plan["kettle"]["acid_for_a_tenth_interval_95_meq"];
    near(between[0].as_f64().unwrap(), 39.0 + 197.0, 10.0);
    near(between[1].as_f64().unwrap(), 39.0 + 661.0, 10.0);
    // Gypsum: 173.25/172.17 = 1.006 mol of calcium, 2.012 eq, of which 0.03 come as protons:
    // 60 meq, 0.015 pH. Lactic acid of 80 %, 1.185 g/mL: 80 mL hold 75.8 g, 0.842 mol of 90.08 g; at pH
    // 5.3 (pK 3.86) 0.965 of it has given its proton: 812 meq, 0.203 pH.
    near(
        number("ph") - number("ph_dosed"),
        (60.0 + 812.0) / 4008.0,
        0.006,
    );
    near(planned(&plan, "kettle_ph"), number("ph_dosed"), 1e-12);
    near(
        boiled_by_hand(number("ph_dosed"), 1.5),
        number("ph_boiled"),
        1e-9,
    );
    // Zinc: 0.15 mg/L in 989.9/0.99821 = 991.6 L are 148.7 mg; zinc sulfate heptahydrate of 99 %
    // holds 0.99 x 65.38/287.55 = 0.2251 of it: 0.661 g, weighed as 0.7.
    let zinc = plan["additions"].as_array().unwrap().last().unwrap();
    near(zinc["before_rounding"].as_f64().unwrap(), 0.661, 0.001);
    assert!(zinc["why"].as_str().unwrap().starts_with("zinc +0.16 mg/L"));
    // The reading is what the wort shows before anything goes in.
    let mut readings = plan["readings"].as_array().unwrap().iter();
    let reading = readings.find(|one| one["what"] == "kettle_ph").unwrap();
    near(reading["expected"].as_f64().unwrap(), number("ph"), 1e-12);
}

/// The same day with no acid for the kettle, and a scale too coarse for zinc.
#[test]
fn a_kettle_that_nothing_mends() {
    let plan = golden("kettle-short");
    let mut targets = plan["targets"].as_array().unwrap().iter();
    let line = targets.find(|line| line["key"] == "kettle_ph").unwrap();
    assert_eq!(line["state"], "above");
    let mut reasons = plan["reasons"].as_array().unwrap().iter();
    let reason = reasons
        .find(|reason| reason["subject"] == "kettle_ph")
        .unwrap();
    assert_eq!(reason["code"], "no_acid");
    assert_eq!(plan["kettle"]["ph"], plan["kettle"]["ph_dosed"]);
    // 0.1 mg/L in 991.6 L are 99.2 mg of zinc, 0.441 g of the reagent: less than a gram; of 10 g in
    // a litre 44.1 mL.
    let mut cautions = plan["cautions"].as_array().unwrap().iter();
    let caution = cautions
        .find(|caution| caution["code"] == "zinc_not_weighed")
        .unwrap();
    let text = caution["text"].as_str().unwrap();
    for words in ["0.441 g", "10 g in a litre", "44.1 mL"] {
        assert!(text.contains(words), "{text}");
    }
    let mut additions = plan["additions"].as_array().unwrap().iter();
    assert!(additions.all(|one| one["vessel"] != "kettle"));
}

#[test]
fn a_boil_of_its_own_length_and_loss() {
    let plan = golden("kettle");
    let number = |key: &str| plan["kettle"][key].as_f64().unwrap();
    // 100 L of boiling water, 0.95835 kg/L (CRC Handbook, from memory), are 95.8 kg of 1085.7: what
    // is left holds 1.0968 times as much.
    near(number("boiled_off_kg"), 95.83, 0.02);
    let [full, boiled] = kettle(&plan, "sulfate");
    near(boiled / full, 1.0968, 1e-4);
    near(number("boil_hours"), 1.5, 1e-12);
    near(boiled_by_hand(number("ph"), 1.5), number("ph_boiled"), 1e-9);
    let display = plan["kettle"]["display"].as_str().unwrap();
    assert!(display.contains("after 1.5 h of it"), "{display}");
}

#[test]
fn a_brewhouse_that_keeps_some_of_everything() {
    let plan = golden("brewhouse");
    // The brewhouse weighs gypsum in steps of 20 g and measures acid in steps of 10 mL; calcium
    // chloride has a scale of its own.
    assert_eq!(
        additions(&plan),
        [
            ("hot_liquor_tank", "gypsum", 160.0),
            ("hot_liquor_tank", "calcium chloride dihydrate", 10.0),
            ("hot_liquor_tank", "phosphoric acid", 480.0),
            ("mash_tun", "phosphoric acid", 100.0),
        ]
    );
    // The tank's 40 L below its outlet are treated with the rest: the salts are spread over all of
    // its 1459.5 kg, as on the single brew above, and that day's acid takes 202.6 mg/L as
    // CaCO3.
    near(planned(&plan, "calcium"), 112.0 + 25.22 + 1.85, 0.02);
    near(planned(&plan, "sulfate"), 61.0 + 60.45, 0.02);
    near(planned(&plan, "sparge_alkalinity"), 252.0 - 202.6, 1.0);
    // 200 kg of grist keep 1.1 kg each, the tun 12 L of sparge liquor at 78 °C, 12 x 0.97303 =
    // 11.68 kg: of 546.2 + 739.5 kg come 1285.7 - 220 - 11.7 = 1054.0 into the kettle.
    let number = |key: &str| plan["kettle"][key].as_f64().unwrap();
    near(number("water_kg"), 1054.0, 0.2);
    // An hour and a half at 60 L/h of boiling water, 0.95835 kg/L (CRC Handbook, from memory):
    // 86.25 kg; 8 L stay, 7.67 kg.
    near(number("boiled_off_kg"), 86.25, 0.01);
    near(number("knocked_out_kg"), 1054.0 - 86.25 - 7.67, 0.2);
    let [full, boiled] = kettle(&plan, "calcium");
    near(boiled / full, 1054.0 / (1054.0 - 86.25), 1e-4);
    // 760 L in three portions.
    let sparge = &plan["vessels"][2];
    assert_eq!(sparge["portions"], 3);
    let display = sparge["display"].as_str().unwrap();
    assert!(display.ends_with("in 3 portions of 2.533 hL"), "{display}");
    // There is no conductivity meter.
    let readings = plan["readings"].as_array().unwrap();
    assert!(readings.iter().all(|one| one["meter"] != "conductivity"));
    let of_sparge = readings
        .iter()
        .filter(|one| one["place"] == "sparge_liquor");
    let when: Vec<_> = of_sparge.map(|one| one["when"].as_str().unwrap()).collect();
    assert_eq!(when, ["before each portion"; 2]);
}

#[test]
fn two_brews_from_one_tank() {
    let plan = golden("double-brew");
    assert_eq!(
        additions(&plan),
        [
            ("hot_liquor_tank", "gypsum", 315.0),
            ("hot_liquor_tank", "calcium chloride dihydrate", 15.0),
            ("hot_liquor_tank", "phosphoric acid", 960.0),
            ("mash_tun", "phosphoric acid", 95.0),
        ]
    );
    // The tank is dosed once, each of the two mashes.
    let times: Vec<_> = plan["additions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["times"].as_u64().unwrap())
        .collect();
    assert_eq!(times, [1, 1, 1, 2, 2]);
    let when = plan["additions"][3]["when"].as_str().unwrap();
    assert!(when.ends_with(", in each of 2 brews"), "{when}");
    // The tank is read once, mash, sparge liquor and kettle in each brew.
    for reading in plan["readings"].as_array().unwrap() {
        let place = reading["place"].as_str().unwrap();
        let is_shared = ["cold_liquor", "tank"].contains(&place);
        let when = reading["when"].as_str().unwrap();
        assert_ne!(
            when.ends_with(", in each of 2 brews"),
            is_shared,
            "{place}: {when}"
        );
    }
    // 30 hL at 78 °C are 2919.1 kg, 2919.1/0.99821 = 2924.3 L cold; the brews draw 2 x 1285.7 =
    // 2571.4 kg of it.
    near(water_kg(&plan, "hot_liquor_tank"), 2919.1, 0.2);
    near(plan["blend"][0]["volume_l"].as_f64().unwrap(), 2924.3, 0.3);
    near(water_kg(&plan, "mash_tun"), 546.2, 0.1);
    // Gypsum of 99 %: 311.85 g in 2919.1 kg, 106.83 mg/kg, 106.64 mg/L: calcium 24.82, sulfate
    // 59.50. Calcium chloride dihydrate of 99 %: 14.85 g, 5.087 mg/kg, 5.078 mg/L: calcium
    // 1.38, chloride 2.45. Both brews are made of it.
    near(planned(&plan, "calcium"), 112.0 + 24.82 + 1.38, 0.02);
    near(planned(&plan, "sulfate"), 61.0 + 59.50, 0.02);
    near(planned(&plan, "chloride"), 38.0 + 2.45, 0.02);
    // Twice the acid of the single brew above in twice its liquor.
    near(planned(&plan, "sparge_alkalinity"), 252.0 - 202.6, 1.0);
    // The kettle is that of one brew.
    near(plan["kettle"]["water_kg"].as_f64().unwrap(), 1085.7, 0.2);
}

#[test]
fn three_brews_of_a_batch_larger_than_its_recipe() {
    let plan = golden("three-brews-of-a-batch");
    assert_eq!(
        additions(&plan),
        [
            ("mash_tun", "calcium chloride dihydrate", 18.0),
            ("mash_tun", "sodium bicarbonate", 2.0),
        ]
    );
    // 1.25 times 125 L at 73 °C and 175 L at 78 °C: 156.25 x 0.97600 = 152.50 kg and 218.75 x
    // 0.97303 = 212.85 kg, 365.35 kg to a brew.
    near(water_kg(&plan, "mash_tun"), 152.50, 0.02);
    near(water_kg(&plan, "sparge_liquor"), 212.85, 0.02);
    // Three brews draw 3 x 365.35/0.99821 = 1098.0 L cold, and use 6 g of the 10 g of soda at
    // hand.
    near(plan["blend"][0]["volume_l"].as_f64().unwrap(), 1098.0, 0.1);
    // Calcium chloride dihydrate of 99 %: 17.82 g in 365.35 kg, 48.78 mg/kg, 48.69 mg/L: calcium
    // 13.27, chloride 23.48. Bicarbonate of soda of 99.5 %: 1.99 g, 5.447 mg/kg, 5.437 mg/L:
    // sodium 1.49.
    near(planned(&plan, "calcium"), 68.0 + 13.27, 0.02);
    near(planned(&plan, "chloride"), 52.0 + 23.48, 0.02);
    near(planned(&plan, "sodium"), 14.0 + 1.49, 0.01);
    // 1.25 times 41 kg of grist keep 51.25 kg.
    near(
        plan["kettle"]["water_kg"].as_f64().unwrap(),
        365.35 - 51.25,
        0.05,
    );
}

/// What was weighed of each addition, and what the fit had before it took whole steps.
fn weighed(plan: &Value) -> Vec<[f64; 2]> {
    let mut whole: Vec<[f64; 2]> = Vec::new();
    for one in plan["additions"].as_array().unwrap() {
        let amounts = ["amount", "before_rounding"].map(|key| one[key].as_f64().unwrap());
        match whole.last_mut() {
            Some(last) if one["part"] == "rest" => {
                *last = [last[0] + amounts[0], last[1] + amounts[1]];
            }
            _ => whole.push(amounts),
        }
    }
    whole
}

/// A recipe for 2 hL, and the same recipe as a batch of 12 hL, both on a scale of whole grams and a
/// measure of whole millilitres.
fn from_2_to_12_hl() -> [Value; 2] {
    let [recipe, mut batch] = ["pale-ale-2hl", "pale-ale-12hl"]
        .map(|name| named(Kind::BrewDay, name).content.document.unwrap());
    let times = batch.as_object_mut().unwrap().remove("recipe_scale");
    assert_eq!(times, Some(6.into()));
    assert_eq!(batch, recipe);
    ["pale-ale-2hl", "pale-ale-12hl"].map(golden)
}

#[test]
fn a_batch_of_12_hl_weighs_six_times_its_recipe_for_2_hl() {
    let [pilot, house] = from_2_to_12_hl();
    for (plan, [gypsum, chloride, in_tank, in_tun]) in [
        (&pilot, [32.0, 8.0, 70.0, 28.0]),
        (&house, [188.0, 45.0, 419.0, 170.0]),
    ] {
        assert_eq!(
            additions(plan),
            [
                ("hot_liquor_tank", "gypsum", gypsum),
                ("hot_liquor_tank", "calcium chloride dihydrate", chloride),
                ("hot_liquor_tank", "phosphoric acid", in_tank),
                ("mash_tun", "phosphoric acid", in_tun),
            ]
        );
    }
    // Before rounding the batch is six times the recipe, and each dose that is weighed lies within
    // a step of that: six doses of the recipe lie within six steps and one of the batch's.
    for ([of_pilot, pilot_before], [of_house, house_before]) in
        weighed(&pilot).into_iter().zip(weighed(&house))
    {
        near(house_before, 6.0 * pilot_before, 1e-6 * house_before);
        near(of_pilot, pilot_before, 1.0);
        near(of_house, house_before, 1.0);
        near(of_house, 6.0 * of_pilot, 7.0);
    }
    // 3 hL at 78 °C are 300 x 0.97303 = 291.91 kg, 112 L at 74 °C 109.25 kg, 152 L at 78 °C 147.90
    // kg; 40 kg of grist keep 40 kg of them.
    for (plan, times) in [(&pilot, 1.0), (&house, 6.0)] {
        let kettle_kg = plan["kettle"]["water_kg"].as_f64().unwrap();
        for (found_kg, expected_kg) in [
            (water_kg(plan, "hot_liquor_tank"), 291.91),
            (water_kg(plan, "mash_tun"), 109.25),
            (water_kg(plan, "sparge_liquor"), 147.90),
            (kettle_kg, 109.25 + 147.90 - 40.0),
        ] {
            near(found_kg, times * expected_kg, times * 0.02);
        }
    }
}

#[test]
fn a_batch_of_12_hl_is_the_liquor_of_2_hl_but_for_steps_of_the_scale() {
    let [pilot, house] = from_2_to_12_hl();
    // Salts of 99 % in the tank. Recipe: gypsum 31.68 g in 291.91 kg, 108.34 mg/L, calcium chloride
    // 7.92 g, 27.08 mg/L. Batch: gypsum 186.12 g in 1751.5 kg, 106.08 mg/L, calcium chloride
    // 44.55 g, 25.39 mg/L. Of gypsum 0.23278 is calcium and 0.55794 sulfate, of
    // calcium chloride 0.27262 calcium and 0.48228 chloride.
    for (plan, gypsum, chloride) in [(&pilot, 108.34, 27.08), (&house, 106.08, 25.39)] {
        let calcium = 112.0 + 0.23278 * gypsum + 0.27262 * chloride;
        near(planned(plan, "calcium"), calcium, 0.02);
        near(planned(plan, "sulfate"), 61.0 + 0.55794 * gypsum, 0.02);
        near(planned(plan, "chloride"), 38.0 + 0.48228 * chloride, 0.02);
        near(planned(plan, "sodium"), 22.0, 1e-9);
    }
    // A step of a salt, 1 g of 99 %, is 3.385 mg/L in the recipe's tank and 0.564 in the batch's:
    // 3.95 mg/L of the salt in all.
    let alike = |key, within| near(planned(&house, key), planned(&pilot, key), within);
    alike("calcium", 3.95 * (0.23278 + 0.27262));
    alike("sulfate", 3.95 * 0.55794);
    alike("chloride", 3.95 * 0.48228);
    // 1 mL of the acid, 1.579 g (Perry) of 75 %, is 12.09 mmol of 97.994 g, an equivalent each. In
    // the recipe's tun it is 0.302 meq per kg of grist; of one in the tank 109.25 of 291.91 kg
    // come to the mash, 0.113; of the calcium of a step of each salt, 25.0 meq in the tank, a
    // 3.5th frees acid (Kolbach 1953), 0.067. With a sixth for the batch these are 0.562 meq/kg.
    // Acid of 8 meq/kg takes the mash from pH 5.50 to 5.31 (the plan's curve): 42.7 meq/(kg
    // pH).
    alike("mash_ph", 0.562 / 42.7);
    // In the sparge liquor a step of acid is 12.09/291.91 = 0.0414 meq/kg, with the batch's 0.0483.
    // At pH 6.0 and 20 °C (pK of carbonic acid 6.38, Harned and Davis 1943; of dihydrogen
    // phosphate 7.21, Bates and Acree 1943; 0.05 and 0.15 less in a liquor of 0.012 mol/kg; all
    // from memory) 252 mg/L as CaCO3, which at pH 7.3 are 5.6 mmol/kg of carbonate, 0.319 of it
    // bicarbonate, buffer 2.303 x 5.6 x 0.319 x 0.681 = 2.80, and 2.90 mmol/kg of phosphate,
    // 0.080 of it without its second proton, 0.49: 3.29 meq/(kg pH).
    alike("sparge_ph", 0.0483 / 3.29);
    // The doses tell how far apart: 70/291.91 - 419/1751.46 mL/kg of acid are 0.0069 meq/kg. A mg/L
    // of calcium more holds 0.0005 meq/kg of bicarbonate in pairs, 0.0002 of pH; figures from
    // memory leave a tenth of the buffering open.
    let apart = planned(&house, "sparge_ph") - planned(&pilot, "sparge_ph");
    near(apart, 0.0069 / 3.29, 0.1 * 0.0069 / 3.29 + 0.0003);
}
