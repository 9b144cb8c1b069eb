//! A source that report and bench know: how sure it is reaches what readings are compared with.

use serde_json::{Value, json};
use underlet::aqueous::Aqueous;
use underlet::component::Component;
use underlet::error::ErrorCode;
use underlet::fit::PlanError;
use underlet::liquor::Liquor;
use underlet::readings::diagnosis::MeterReading;
use underlet::uncertainty::LiquorCovariance;
use underlet::water_report::ReconciledLiquor;
use underlet::{BrewDay, EXAMPLES, Meter, Place, Reconciled, Source};

use crate::common::dice::Dice;

const COUNT: usize = LiquorCovariance::COUNT;
/// The standard deviation of so many draws is sure to 0.8 %.
const DRAWS: u32 = 8_000;

/// The built-in pale ale with the water of a report, and of a bench where there is one.
fn day(bench: &Value) -> BrewDay {
    let report = json!({
        "underlet": 1, "name": "mains", "sampled": "2025-06-02", "today": "2026-03-31",
        "calcium": "92 mg/L", "magnesium": "9 mg/L", "sodium": "24 mg/L", "chloride": "41 mg/L", "sulfate": "56 mg/L",
        "nitrate": "8 mg/L", "alkalinity": "215 mg/L as CaCO3", "ph": 7.4, "bench": bench,
    });
    let water = underlet::json::water(&report.to_string()).expect("a water");
    let liquor = water.reconciled.expect("a reconciled water").liquor;
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["sources"] =
        json!([{"name": "mains", "liquor": serde_json::to_value(liquor).expect("JSON")}]);
    BrewDay::from_json(&day.to_string()).expect("a day")
}

fn measured() -> Value {
    json!({
        "temperature": "11 °C", "conductivity": "590 µS/cm", "ph": 7.6,
        "alkalinity_titration": {"sample": "100 mL", "acid": "0.02 mol/L", "used": "19.1 mL"},
        "hardness_drops": {"drops": 14, "per_drop": "1 °dH"},
    })
}

/// Standard deviations of what the meters show of the liquor as drawn, and of the mash pH.
fn sds(day: &BrewDay) -> [f64; 3] {
    let places = [
        (Place::ColdLiquor, Meter::Ph),
        (Place::ColdLiquor, Meter::Conductivity),
        (Place::Mash, Meter::Ph),
    ];
    let checks = day.diagnostics().expect("checks");
    places.map(|(place, meter)| {
        let read = checks.diagnose(&[MeterReading::at(place, meter, 7.0)]);
        read.expect("a reading").compared[0].sd
    })
}

/// The same day, with a source that is known for certain.
fn certain(day: &BrewDay) -> BrewDay {
    let mut day = day.clone();
    day.sources[0].reconciled = Some(Box::new(Reconciled {
        covariance: LiquorCovariance::default(),
        remarks: Vec::new(),
    }));
    day
}

/// Lower triangle L with L·Lᵀ the covariance of ions and carbon; alkalinity is the charge of the
/// ions.
fn factor(covariance: &LiquorCovariance) -> Vec<Vec<f64>> {
    let mut lower = vec![vec![0.0; COUNT]; COUNT];
    for row in 0..COUNT {
        for column in 0..=row {
            let known: f64 = (0..column).map(|k| lower[row][k] * lower[column][k]).sum();
            let rest = covariance.get(row, column) - known;
            let own = covariance.get(column, column);
            let is_free = column != LiquorCovariance::ALKALINITY && own > 0.0;
            lower[row][column] = match (is_free, row == column) {
                (false, _) => 0.0,
                (true, true) => rest.max(0.0).sqrt(),
                (true, false) => rest / lower[column][column],
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

/// Standard deviation of pH and conductivity over waters drawn from what is known of the source.
fn seen(day: &BrewDay) -> [f64; 2] {
    let source = &day.sources[0];
    let reconciled = source.reconciled.as_ref().expect("reconciled");
    let lower = factor(&reconciled.covariance);
    let aqueous = Aqueous::at(20.0);
    let mut dice = Dice::new(6);
    let mut shown = Vec::new();
    for _ in 0..DRAWS {
        let throws: Vec<f64> = (0..COUNT).map(|_| normal(&mut dice)).collect();
        let shift =
            |place: usize| -> f64 { lower[place].iter().zip(&throws).map(|(l, t)| l * t).sum() };
        let mut drawn: Liquor = source.liquor;
        for (place, ion) in Component::ALL.into_iter().enumerate() {
            let amount = source.liquor.ions.get(ion) + shift(place);
            drawn.ions.set(ion, amount.max(0.0));
        }
        drawn.alkalinity_eq_per_kg += shift(LiquorCovariance::ALKALINITY);
        drawn.carbon_mol_per_kg += shift(LiquorCovariance::CARBON);
        let state = aqueous.closed(&drawn).expect("a water");
        shown.push([state.ph, state.conductivity_25c_us_per_cm()]);
    }
    [0, 1].map(|which: usize| {
        let count = f64::from(DRAWS);
        let mean = shown.iter().map(|one| one[which]).sum::<f64>() / count;
        let squares = shown.iter().map(|one| (one[which] - mean).powi(2));
        (squares.sum::<f64>() / count).sqrt()
    })
}

/// By brute force. Tolerance: 0.8 % of chance, thrice, and what is_nonlinear more than a square
/// does.
#[test]
fn readings_of_the_liquor_scatter_as_todays_water_does() {
    for day in [day(&measured()), day(&json!({}))] {
        let (all, rest) = (sds(&day), sds(&certain(&day)));
        for (which, seen) in seen(&day).into_iter().enumerate() {
            let of_water = (all[which].powi(2) - rest[which].powi(2)).sqrt();
            assert!((of_water / seen - 1.0).abs() < 0.04, "{of_water} {seen}");
        }
    }
}

/// The built-in pale ale on a measured water whose covariance is replaced.
fn with_covariance(of: impl Fn(usize, usize) -> f64) -> BrewDay {
    let mut day = day(&measured());
    day.sources[0].reconciled = Some(Box::new(Reconciled {
        covariance: LiquorCovariance::from_fn(of),
        remarks: Vec::new(),
    }));
    day
}

/// A variance is not negative, two amounts have one covariance, and no sum of amounts has a
/// negative variance: 3 - 4.8 for three amounts of which each two correlate by -0.8.
#[test]
fn what_is_no_covariance_is_refused() {
    let (calcium, sulfate) = (Component::Calcium as usize, Component::Sulfate as usize);
    let carbon = LiquorCovariance::CARBON;
    let known = [calcium, sulfate, carbon];
    let correlated = |correlation: f64| {
        with_covariance(move |one, other| match (one == other, [one, other]) {
            (_, pair) if !pair.iter().all(|place| known.contains(place)) => 0.0,
            (true, _) => 1e-8,
            (false, _) => 1e-8 * correlation,
        })
    };
    let only = |at: [usize; 2], value: f64| {
        with_covariance(move |one, other| if [one, other] == at { value } else { 0.0 })
    };
    assert_eq!(correlated(-0.49).check(), Ok(()));
    assert_eq!(correlated(1.0).check(), Ok(()));
    assert_eq!(only([carbon, carbon], 1e-8).check(), Ok(()));
    let cases: [(BrewDay, ErrorCode, &str); 5] = [
        (
            only([calcium, calcium], -1e-8),
            ErrorCode::OutOfRange,
            "a variance of -0.01 (mmol/kg)² of calcium",
        ),
        (
            only([calcium, sulfate], 1e-8),
            ErrorCode::Contradiction,
            "covariances of 0 and 0.01 (mmol/kg)² of calcium and sulfate",
        ),
        (
            correlated(-0.8),
            ErrorCode::Contradiction,
            "covariances by which some sum of the amounts has a negative variance",
        ),
        (
            correlated(1.01),
            ErrorCode::Contradiction,
            "a covariance of 0.0101 (mmol/kg)² of calcium and sulfate",
        ),
        (
            only([carbon, calcium], f64::NAN),
            ErrorCode::NotFinite,
            "NaN",
        ),
    ];
    for (day, code, found) in cases {
        let error = day.check().expect_err(found);
        let problem = &error.problems[0];
        assert_eq!(problem.path, "sources[0].liquor.covariance", "{found}");
        assert_eq!((problem.code, &*problem.found), (code, found));
        assert_eq!(
            day.plan().map(|_| ()),
            Err(PlanError::Input(error)),
            "{found}"
        );
    }
}

/// The liquor of a water document, as a program may have changed it.
fn reconciled_liquor() -> ReconciledLiquor {
    let report = json!({
        "underlet": 1, "name": "well", "calcium": "80 mg/L", "sulfate": 40, "alkalinity": 180, "ph": 7.3,
        "bench": measured(),
    });
    let water = underlet::json::water(&report.to_string()).expect("a water");
    water.reconciled.expect("a reconciled water").liquor
}

#[test]
fn a_source_takes_no_liquor_that_is_not_whole() {
    type Change = fn(&mut ReconciledLiquor);
    let cases: [(&str, Change, ErrorCode, &str); 6] = [
        (
            "a key that no liquor has",
            |liquor| liquor.amounts[0].key = "kalcium".into(),
            ErrorCode::UnknownName,
            "amounts[0].key",
        ),
        (
            "calcium twice",
            |liquor| liquor.amounts.push(liquor.amounts[0].clone()),
            ErrorCode::Contradiction,
            "amounts",
        ),
        (
            "no carbon",
            |liquor| drop(liquor.amounts.pop()),
            ErrorCode::Contradiction,
            "amounts",
        ),
        (
            "a covariance is missing",
            |liquor| drop(liquor.amounts[1].covariance.pop_first()),
            ErrorCode::Contradiction,
            "amounts",
        ),
        (
            "a variance is negative",
            |liquor| {
                let calcium = &mut liquor.amounts[0];
                calcium.covariance.insert(calcium.key.clone(), -1e-3);
            },
            ErrorCode::OutOfRange,
            "amounts[0].covariance.calcium",
        ),
        (
            "less than no calcium",
            |liquor| liquor.amounts[0].mmol_per_kg = -1.0,
            ErrorCode::OutOfRange,
            "amounts[0].mmol_per_kg",
        ),
    ];
    let whole = reconciled_liquor();
    assert_eq!(whole.amounts[0].key, "calcium");
    assert!(Source::reconciled("well".to_owned(), &whole, None).is_ok());
    for (name, change, code, path) in cases {
        let mut liquor = whole.clone();
        change(&mut liquor);
        let error = Source::reconciled("well".to_owned(), &liquor, None).expect_err(name);
        let first = &error.problems[0];
        assert_eq!((first.code, first.path.as_str()), (code, path), "{name}");
    }
}

/// The mash's line is the plan's own, and what the bench adds makes every reading surer.
#[test]
fn a_bench_makes_readings_surer_and_the_mash_stays_the_plans_own() {
    let (old, today) = (day(&json!({})), day(&measured()));
    for (old, today) in sds(&old).into_iter().zip(sds(&today)) {
        assert!(today < old, "{today} {old}");
    }
    for day in [old, today] {
        let planned = day.plan().expect("a plan").mash.sd.unwrap();
        let [.., mash] = sds(&day);
        assert!((mash / planned - 1.0).abs() < 1e-9, "{mash} {planned}");
    }
}
