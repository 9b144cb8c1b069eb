//! Sources of a brew day by today's liquor: what they are, and how their errors reach the forecast.

use serde_json::{Value, json};
use underlet::component::Component;
use underlet::error::InputError;
use underlet::fit::solve;
use underlet::liquor::Liquor;
use underlet::mash::Mash;
use underlet::uncertainty::LiquorCovariance;
use underlet::water_report::{Unknown, WaterReport};
use underlet::{BrewDay, EXAMPLES, Plan};

use crate::common::dice::Dice;

const COUNT: usize = LiquorCovariance::COUNT;
/// The standard deviation of so many draws is sure to 0.5 %.
const DRAWS: u32 = 20_000;

fn report() -> Value {
    json!({
        "underlet": 1, "name": "mains", "sampled": "2025-06-02", "today": "2026-03-31",
        "calcium": "92 mg/L", "magnesium": "9 mg/L", "sodium": "24 mg/L", "chloride": "41 mg/L", "sulfate": "56 mg/L",
        "nitrate": "8 mg/L", "alkalinity": "215 mg/L as CaCO3", "ph": 7.4,
    })
}

fn bench() -> Value {
    json!({
        "temperature": "11 °C", "conductivity": "590 µS/cm", "ph": 7.6,
        "alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "19.1 mL"},
        "hardness_drops": {"drops": 14, "per_drop": "1 °dH"},
    })
}

/// A source as the water document of this report and bench knows it.
fn known(report: &Value, bench: Option<Value>) -> Value {
    let mut report = report.clone();
    report["bench"] = bench.unwrap_or_else(|| json!({}));
    let water = underlet::json::water(&report.to_string()).expect("a water");
    let liquor = water.reconciled.expect("a reconciled water").liquor;
    json!({"name": "mains", "liquor": serde_json::to_value(liquor).expect("JSON")})
}

/// The built-in pale ale, with these sources.
fn day(sources: &Value) -> Result<BrewDay, InputError> {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["sources"] = sources.clone();
    BrewDay::from_json(&day.to_string())
}

fn plan(sources: &Value) -> Plan {
    let day = day(sources).unwrap_or_else(|error| panic!("{error}"));
    day.plan().expect("a plan")
}

fn sd_of_water(plan: &Plan) -> f64 {
    let mut causes = plan.mash.uncertainty_budget.iter();
    let water = causes.find(|cause| cause.cause == "alkalinity");
    water.expect("the water is unsure").sd
}

/// Lower triangle L with L·Lᵀ the covariance. What hangs on the others, as by the charge balance,
/// has a column of nothing.
fn factor(covariance: impl Fn(usize, usize) -> f64) -> [[f64; COUNT]; COUNT] {
    let mut lower = [[0.0; COUNT]; COUNT];
    for row in 0..COUNT {
        for column in 0..=row {
            let known: f64 = (0..column).map(|k| lower[row][k] * lower[column][k]).sum();
            let rest = covariance(row, column) - known;
            lower[row][column] = if row == column {
                let own = covariance(row, row);
                if rest > 1e-9 * own { rest.sqrt() } else { 0.0 }
            } else if lower[column][column] > 0.0 {
                rest / lower[column][column]
            } else {
                0.0
            };
        }
    }
    lower
}

fn normal(dice: &mut Dice) -> f64 {
    // Box & Muller 1958.
    let (one, two) = (dice.real(1e-300, 1.0), dice.real(0.0, 1.0));
    (-2.0 * one.ln()).sqrt() * (2.0 * std::f64::consts::PI * two).cos()
}

fn drawn(liquor: &Liquor, lower: &[[f64; COUNT]; COUNT], dice: &mut Dice) -> Liquor {
    let throws: Vec<f64> = (0..COUNT).map(|_| normal(dice)).collect();
    let shift =
        |place: usize| -> f64 { lower[place].iter().zip(&throws).map(|(l, t)| l * t).sum() };
    let mut drawn = *liquor;
    for (place, ion) in Component::ALL.into_iter().enumerate() {
        drawn.ions.set(ion, liquor.ions.get(ion) + shift(place));
    }
    drawn.alkalinity_eq_per_kg += shift(LiquorCovariance::ALKALINITY);
    drawn.carbon_mol_per_kg += shift(LiquorCovariance::CARBON);
    drawn
}

/// Scatter of the mash pH over waters drawn from what is known of the sources, all else as planned.
fn seen(day: &BrewDay) -> f64 {
    let question = day.problem();
    let planned = solve(&question).expect("a plan");
    let factors: Vec<_> = day
        .sources
        .iter()
        .map(|source| factor(|one, other| source.covariance(one, other)))
        .collect();
    let mut dice = Dice::new(4);
    let (mut sum, mut square) = (0.0, 0.0);
    for _ in 0..DRAWS {
        let mut today = day.clone();
        for (source, lower) in today.sources.iter_mut().zip(&factors) {
            source.liquor = drawn(&source.liquor, lower, &mut dice);
        }
        let question = today.problem();
        let mash = Mash {
            grist: &day.grist,
            water_kg: question.waters.mash_kg,
            liquor: question.liquors(&planned.shares, &planned.doses).mash,
        };
        let ph = mash.ph() - 5.4;
        sum += ph;
        square += ph * ph;
    }
    let mean = sum / f64::from(DRAWS);
    (square / f64::from(DRAWS) - mean * mean).sqrt()
}

#[test]
fn the_error_bar_is_the_chance_of_todays_water() {
    let soft = json!({"name": "soft", "calcium": 20, "sodium": 8, "chloride": 20, "alkalinity": 30, "ph": 7.0, "max_amount": "400 L"});
    let old = known(&report(), None);
    let today = known(&report(), Some(bench()));
    for sources in [
        json!([old]),
        json!([today]),
        json!([today, soft]),
        json!([soft, old]),
    ] {
        let day = day(&sources).expect("a day");
        let reported = sd_of_water(&day.plan().expect("a plan"));
        let seen = seen(&day);
        println!("reported {reported:.5}, seen {seen:.5}");
        // The scatter of the draws, and what is_nonlinear over the bar.
        assert!(
            (reported / seen - 1.0).abs() < 0.02,
            "{reported} {seen}: {sources}"
        );
    }
}

#[test]
fn a_bench_narrows_the_bar_of_an_old_report() {
    let old = plan(&json!([known(&report(), None)]));
    let today = plan(&json!([known(&report(), Some(bench()))]));
    assert!(sd_of_water(&today) < sd_of_water(&old) / 2.0);
    assert!(today.mash.sd < old.mash.sd && today.kettle.sd < old.kettle.sd);
}

#[test]
fn a_bench_alone_makes_a_source() {
    let alone = known(&json!({"underlet": 1, "name": "mains"}), Some(bench()));
    assert!(sd_of_water(&plan(&json!([alone]))) > 0.0);
}

#[test]
fn the_document_says_all_that_was_reconciled() {
    let document = known(&report(), Some(bench()));
    let day = day(&json!([document])).expect("a day");
    let source = &day.sources[0];
    let mut whole = report();
    whole["bench"] = bench();
    let report = WaterReport::from_json(&whole.to_string()).expect("a report");
    let bench = report.bench.as_deref().expect("a bench");
    let today = report.reconcile(bench).expect("a water");
    // Ten digits are written.
    let close = |one: f64, other: f64, size: f64| (one - other).abs() <= 1e-9 * size;
    for ion in Component::ALL {
        let (one, other) = (source.liquor.ions.get(ion), today.liquor.ions.get(ion));
        assert!(close(one, other, other), "{ion:?}: {one} {other}");
    }
    let carbon = today.liquor.carbon_mol_per_kg;
    assert!(close(source.liquor.carbon_mol_per_kg, carbon, carbon));
    let alkalinity = today.liquor.alkalinity_eq_per_kg;
    assert!(close(
        source.liquor.alkalinity_eq_per_kg,
        alkalinity,
        alkalinity
    ));
    let unknowns: Vec<Unknown> = Component::ALL
        .into_iter()
        .map(Unknown::Component)
        .chain([Unknown::Alkalinity, Unknown::Carbon])
        .collect();
    for (row, one) in unknowns.iter().enumerate() {
        for (column, other) in unknowns.iter().enumerate() {
            let size = (today.covariance(*one, *one) * today.covariance(*other, *other)).sqrt();
            let (read, held) = (
                source.covariance(row, column),
                today.covariance(*one, *other),
            );
            assert!(close(read, held, size), "{one:?} {other:?}: {read} {held}");
        }
    }
}

#[test]
fn it_is_electroneutral_and_says_what_it_stands_on() {
    let mut mains = known(&report(), Some(bench()));
    mains["max_amount"] = json!("20 hL");
    let day = day(&json!([mains])).expect("a day");
    let source = &day.sources[0];
    assert!(source.liquor.charge_balance().is_acceptable());
    assert_eq!(source.max_amount_l, Some(2000.0));
    assert_eq!(source.liquor.temperature_c, 20.0);
    let plan = day.plan().expect("a plan");
    assert!(
        plan.assumptions
            .iter()
            .any(|reported| reported.contains("reconciled from its report and"))
    );
}

#[test]
fn mistakes_and_disagreement_are_told_in_the_plan() {
    let codes = |sources: &Value| -> Vec<String> {
        let reported = plan(sources).cautions;
        reported
            .iter()
            .map(|caution| caution.code.to_string())
            .collect()
    };
    let mistaken = json!({
        "underlet": 1, "name": "mains", "calcium": "120 mg/L", "magnesium": "20 mg/L", "sodium": "38 mg/L",
        "chloride": "50 mg/L", "sulfate": "80 mg/L", "alkalinity": "150 mg/L as CaCO3",
    });
    assert!(codes(&json!([known(&mistaken, None)])).contains(&"report_mistaken".to_owned()));
    let off = json!({"alkalinity": {"value": 300, "unit": "mg/L as CaCO3", "sd": 3}, "conductivity": "590 µS/cm"});
    let reported = codes(&json!([known(&report(), Some(off))]));
    assert!(
        reported.contains(&"report_against_bench".to_owned()),
        "{reported:?}"
    );
    let plain = json!({"name": "mains", "calcium": 80, "alkalinity": 180});
    for code in codes(&json!([plain])) {
        assert!(
            !["report_mistaken", "report_against_bench", "report_finding"].contains(&code.as_str())
        );
    }
}

#[test]
fn whatever_a_report_holds_the_bar_is_a_number() {
    let mut dice = Dice::new(12);
    let mut planned = 0;
    for _ in 0..100 {
        let mut report = json!({"underlet": 1, "name": "any"});
        for key in [
            "calcium",
            "magnesium",
            "sodium",
            "chloride",
            "sulfate",
            "nitrate",
            "alkalinity",
            "hardness",
            "conductivity",
        ] {
            if dice.chance(0.6) {
                report[key] = json!(dice.magnitude(0.1, 2000.0));
            }
        }
        let bench = json!({"alkalinity": dice.magnitude(0.1, 2000.0), "ph": dice.real(4.5, 10.0)});
        report["bench"] = bench;
        let water = underlet::json::water(&report.to_string()).expect("a water");
        let Some(today) = water.reconciled else {
            continue;
        };
        let liquor = serde_json::to_value(today.liquor).expect("JSON");
        let sources = json!([{"name": "any", "liquor": liquor}]);
        let day = day(&sources).unwrap_or_else(|error| panic!("{sources}: {error}"));
        for (one, other) in (0..COUNT).flat_map(|one| (0..COUNT).map(move |other| (one, other))) {
            assert!(
                day.sources[0].covariance(one, other).is_finite(),
                "{sources}"
            );
        }
        let Ok(plan) = day.plan() else { continue };
        let numbers = [
            plan.mash.ph,
            plan.mash.sd.unwrap(),
            plan.kettle.ph,
            plan.kettle.sd.unwrap(),
        ];
        assert!(
            numbers
                .iter()
                .all(|number| number.is_finite() && *number > 0.0),
            "{sources}"
        );
        planned += 1;
    }
    assert!(planned > 50, "only {planned} of 100 were planned");
}
