//! Where acid goes and in how many parts, and what the mash should read between them.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use underlet::fit::AcidPart;
use underlet::{BrewDay, EXAMPLES, Plan, Vessel};

use crate::common::draft::Draft;
use crate::common::trials::trials;

/// The built-in pale ale, changed.
fn pale_ale(change: impl FnOnce(&mut Value)) -> Plan {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    change(&mut day);
    plan(&day)
}

fn plan(day: &Value) -> Plan {
    let day = BrewDay::from_json(&day.to_string()).expect("valid");
    day.plan().expect("a plan")
}

/// Acid that may go into one vessel alone.
fn acid_into(vessel: &str) -> Plan {
    pale_ale(|day| {
        day["shelf"] = json!([{ "reagent": "lactic acid", "strength": 80, "vessels": [vessel] }]);
    })
}

fn reading<'p>(plan: &'p Plan, what: &str) -> Option<&'p underlet::readings::Reading> {
    plan.readings.iter().find(|reading| reading.what == what)
}

/// So much first that the mash lies below its range with 3 % at most, 1.88 standard deviations of a
/// normal (Abramowitz & Stegun 1964, table 26.5), and the rest; the mash is read between them.
#[test]
fn acid_for_the_mash_goes_in_diluted_in_two_parts() {
    let plan = acid_into("mash_tun");
    let [first, rest] = plan.additions.as_slice() else {
        panic!("{:?}", plan.additions);
    };
    assert_eq!(
        [first.part, rest.part],
        [Some(AcidPart::First), Some(AcidPart::Rest)]
    );
    assert!(
        first.when.contains("after mashing in") && rest.when.contains("after the first reading")
    );
    // Ten times the acid at least, and so said.
    for part in [first, rest] {
        let litres = part.dilution_l.expect("an acid");
        assert!(1000.0 * litres >= 10.0 * part.amount && litres >= 1.0);
        let said = format!("Stir {} into {litres} L of cold water", part.display);
        assert!(part.how.contains(&said), "{}", part.how);
    }
    // The first reading lies where the mash would with the first part alone, the last at the
    // plan's.
    let partly = reading(&plan, "mash_first_ph").expect("read between the parts");
    let last = reading(&plan, "mash_ph").expect("read at the end");
    assert_eq!(last.expected, plan.mash.ph);
    // Of the mash itself, without what meter (0.046) and sample (0.03) are off by; a little more or
    // less where the balance bends.
    let shown_sd = partly.tolerance / 1.96;
    let mash_sd = (shown_sd.powi(2) - 0.046_f64.powi(2) - 0.03_f64.powi(2)).sqrt();
    let away = (partly.expected - 5.3) / mash_sd;
    assert!((1.75..2.1).contains(&away), "{away}");
    let less = -rest.amount;
    let curve = &plan.mash.curve;
    let grist_kg = 200.0;
    // Lactic acid of 80 %: 10.68 mol/L (densities.csv), 0.97 of it dissociated near pH 5.4.
    let meq_per_kg = less * 10.68 * 0.97 / grist_kg;
    let near = curve
        .windows(2)
        .find(|pair| (pair[0].acid_meq_per_kg..=pair[1].acid_meq_per_kg).contains(&meq_per_kg));
    let [one, other] = near.expect("on the curve") else {
        panic!("two points");
    };
    let part = (meq_per_kg - one.acid_meq_per_kg) / (other.acid_meq_per_kg - one.acid_meq_per_kg);
    let expected = one.ph + part * (other.ph - one.ph);
    assert!(
        (partly.expected - expected).abs() < 0.01,
        "{} {expected}",
        partly.expected
    );
}

#[test]
fn acid_goes_in_at_once_where_nothing_can_be_read_or_the_brewhouse_says_so() {
    let whole = |brewhouse: Value| {
        pale_ale(|day| {
            day["shelf"] = json!([{ "reagent": "lactic acid", "vessels": ["mash_tun"] }]);
            day["brewhouse"] = brewhouse;
        })
    };
    for brewhouse in [
        json!({ "meters": ["conductivity"] }),
        json!({ "overshoot_risk": "100 %" }),
    ] {
        let plan = whole(brewhouse);
        assert_eq!(plan.additions.len(), 1);
        assert_eq!(plan.additions[0].part, None);
        assert_eq!(plan.additions[0].when, "after mashing in");
        assert!(reading(&plan, "mash_first_ph").is_none());
    }
    // The more is risked, the more goes in at first.
    let firsts = ["0.1 %", "1 %", "3 %", "10 %"].map(|risk| {
        let plan = whole(json!({ "overshoot_risk": risk }));
        let of_first = plan
            .additions
            .iter()
            .filter(|one| one.part == Some(AcidPart::First));
        of_first.map(|one| one.amount).sum::<f64>()
    });
    assert!(firsts.is_sorted() && firsts[0] < firsts[3], "{firsts:?}");
}

/// Into the liquor before the grist only where the shelf says so; the liquor in the tun is then
/// read with it.
#[test]
fn acid_goes_into_the_mash_liquor_only_where_that_is_asked_for() {
    let usual = acid_into("mash_tun");
    let asked = acid_into("mash_liquor");
    let [acid] = asked.additions.as_slice() else {
        panic!("{:?}", asked.additions);
    };
    assert_eq!((acid.vessel, acid.part), (Vessel::MashLiquor, None));
    assert!(acid.when.contains("before the grist"));
    let liquor_ph = |plan: &Plan| reading(plan, "mash_liquor_ph").expect("a meter").expected;
    assert!(liquor_ph(&asked) < 5.0 && liquor_ph(&usual) > 7.0);
    // The mash ends where it would either way.
    assert!((asked.mash.ph - usual.mash.ph).abs() < 0.005);
    assert!(asked.to_text().contains("5.6 hL at 74 °C"));
}

/// Parts are whole steps, in order, and no less than the least dose; together they are the dose
/// that is given at once.
#[test]
fn parts_of_random_days_make_up_their_dose() {
    let mut parted = 0;
    for seed in 0..trials(60, 400) {
        let mut day: Value = serde_json::from_str(&Draft::random(seed).json()).expect("JSON");
        let parts = plan(&day);
        day["brewhouse"] = json!({ "overshoot_risk": "100 %" });
        let whole = plan(&day);
        let given = |plan: &Plan| -> BTreeMap<(Vessel, String), f64> {
            let mut given = BTreeMap::new();
            for one in &plan.additions {
                *given.entry((one.vessel, one.reagent.clone())).or_default() += one.amount;
            }
            given
        };
        let mut additions = parts.additions.iter();
        parted += usize::from(additions.any(|one| one.part == Some(AcidPart::Rest)));
        let [parts, whole] = [given(&parts), given(&whole)];
        assert_eq!(parts.len(), whole.len(), "seed {seed}");
        for (part, whole) in parts.iter().zip(&whole) {
            assert_eq!(part.0, whole.0, "seed {seed}");
            assert!((part.1 - whole.1).abs() <= 1e-9 * whole.1, "seed {seed}");
        }
    }
    assert!(parted > 3, "{parted}");
}

/// A chalk well and a dark grist: the sparge needs acid, and the mash none. The tank would give it
/// to both, and a base would have to undo it.
#[test]
fn acid_against_base_makes_way_for_acid_in_the_sparge_alone() {
    let stout = |vessels: Value| {
        json!({
            "underlet": 1,
            "name": "Stout on a chalk well",
            "sources": [{ "name": "well", "calcium": 128, "magnesium": 6, "sodium": 12,
                "chloride": 22, "sulfate": 34, "nitrate": 28, "alkalinity": 285, "ph": 7.2 }],
            "hot_liquor_tank": { "fill": "10.5 hL", "temperature": "78 °C" },
            "grist": [
                { "malt": "pale ale malt", "mass": "125 kg" },
                { "malt": "roasted barley", "mass": "32 kg" },
                { "malt": "caramel malt 120 to 180 EBC", "mass": "28 kg" },
            ],
            "mash": {
                "liquor": "500 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C"
            },
            "sparge": { "liquor": "500 L", "liquor_temperature": "78 °C" },
            "targets": { "mash_ph": "5.45-5.65", "sparge_alkalinity": "0-25" },
            "shelf": [
                { "reagent": "lactic acid", "strength": 80, "vessels": vessels },
                { "reagent": "sodium bicarbonate" },
            ],
        })
    };
    let has_base = |plan: &Plan| {
        let mut additions = plan.additions.iter();
        additions.any(|one| one.reagent == "sodium bicarbonate")
    };
    let warns = |plan: &Plan| {
        let mut cautions = plan.cautions.iter();
        cautions
            .find(|one| one.code == "acid_and_base")
            .map(|one| one.text.clone())
    };
    // Nothing else reaches the ranges from the tank, and the plan says what would.
    let tank = plan(&stout(json!(["hot_liquor_tank"])));
    assert!(has_base(&tank));
    let text = warns(&tank).expect("a caution");
    assert!(
        text.contains("sparge liquor") && text.contains("no base is needed"),
        "{text}"
    );
    // Where the shelf leaves the place open, the plan finds it.
    let mut open = stout(json!(null));
    open["shelf"][0]
        .as_object_mut()
        .expect("an object")
        .remove("vessels");
    let open = plan(&open);
    assert!(!has_base(&open) && warns(&open).is_none());
    assert!(open.meets_every_range);
    let mut acids = open
        .additions
        .iter()
        .filter(|one| one.reagent == "lactic acid");
    assert!(acids.any(|one| one.vessel == Vessel::SpargeLiquor));
}

/// Of plans as good, the cheaper one: by mass where nothing is said, by cost where it is.
#[test]
fn equals_are_chosen_by_mass_or_by_cost() {
    let with = |costs: [Option<f64>; 2]| {
        pale_ale(|day| {
            day["targets"] = json!({ "mash_ph": "5.3-5.5" });
            day["shelf"] = json!([
                { "reagent": "citric acid", "vessels": ["mash_tun"] },
                { "reagent": "tartaric acid", "vessels": ["mash_tun"] },
            ]);
            for (item, cost) in [0, 1].into_iter().zip(costs) {
                if let Some(cost) = cost {
                    day["shelf"][item]["cost"] = json!(cost);
                }
            }
        })
    };
    let used = |plan: Plan| plan.additions[0].reagent.clone();
    let by_mass = used(with([None, None]));
    assert_eq!(used(with([Some(1.0), Some(9.0)])), "citric acid");
    assert_eq!(used(with([Some(9.0), Some(1.0)])), "tartaric acid");
    // 192.1 g of citric acid give 1.9 mol of protons at pH 5.4 (pKa 3.13, 4.76, 6.40), 101 g/mol;
    // 150.1 g of tartaric 1.9 (3.04, 4.37), 79 g/mol (CRC Handbook).
    assert_eq!(by_mass, "tartaric acid");
}

/// Chloride with calcium where calcium lacks; table salt where there is enough.
#[test]
fn calcium_salts_come_before_table_salt_where_calcium_lacks() {
    let with = |calcium: f64| {
        pale_ale(|day| {
            day["sources"][0]["calcium"] = json!(calcium);
            day["sources"][0]["alkalinity"] = json!(40);
            day["targets"] = json!({ "calcium": "40-200", "chloride": "90-120" });
            day["shelf"] = json!([
                { "reagent": "sodium chloride" }, { "reagent": "calcium chloride dihydrate" },
            ]);
        })
    };
    let used = |plan: Plan| -> Vec<String> {
        plan.additions
            .iter()
            .map(|one| one.reagent.clone())
            .collect()
    };
    assert_eq!(used(with(50.0)), ["calcium chloride dihydrate"]);
    assert_eq!(used(with(180.0)), ["sodium chloride"]);
}

/// A mash inside its range by more than a meter's error needs nothing for 0.05 of pH.
#[test]
fn five_hundredths_inside_the_range_are_not_worth_a_dose() {
    let off = |by: f64| {
        pale_ale(|day| {
            day["targets"] = json!({});
            day["shelf"] = json!([{ "reagent": "lactic acid", "step": "1 mL" }]);
            let untreated = plan(day).mash.ph;
            let middle = untreated - by;
            day["targets"] = json!({ "mash_ph": [middle - 0.15, middle + 0.15] });
        })
    };
    assert!(off(0.05).additions.is_empty());
    assert!(!off(0.09).additions.is_empty());
}
