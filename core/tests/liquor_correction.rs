//! From a reading of liquor to the acid that it still takes: laws, and one case by its equilibrium.

use proptest::prelude::*;
use serde_json::json;
use underlet::aqueous::Aqueous;
use underlet::liquor::Liquor;
use underlet::plan::Addition;
use underlet::readings::correction::{
    Advice, BrewLog, Corrections, Corrector, LiquorCorrection, PouredAcid,
};
use underlet::{BrewDay, Meter, MeterReading, Place, Vessel};
use underlet_tables::parameters;

/// 10 hL from a chalk well, lactic acid in the tank and in the mash.
fn pale_ale() -> BrewDay {
    let day = json!({
        "underlet": 1, "name": "Ebb pale", "brewhouse": "Ninefold Quay",
        "sources": [{
            "name": "well", "calcium": 112, "magnesium": 9, "sodium": 18, "chloride": 32,
            "sulfate": 38, "alkalinity": "252 mg/L as CaCO3", "ph": 7.3
        }],
        "hot_liquor_tank": { "fill": "14 hL", "temperature": "78 °C" },
        "grist": [{ "malt": "pale ale malt", "mass": "200 kg" }],
        "mash": { "liquor": "560 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "760 L", "liquor_temperature": "78 °C" },
        "targets": { "mash_ph": "5.3-5.5", "sparge_alkalinity": "0-50 mg/L as CaCO3" },
        "shelf": [{
            "reagent": "lactic acid", "strength": "80 %", "step": "1 mL",
            "vessels": ["hot_liquor_tank", "mash_tun"]
        }]
    });
    BrewDay::from_json(&day.to_string()).expect("a day")
}

fn tank(ph: f64) -> MeterReading {
    MeterReading::at(Place::Tank, Meter::Ph, ph)
}

fn corrections(day: &BrewDay, log: &BrewLog) -> Corrections {
    let corrector = Corrector::of(day).expect("a plan");
    corrector.correct(log).expect("liquors")
}

fn corrected(day: &BrewDay, log: &BrewLog) -> LiquorCorrection {
    corrections(day, log).liquors.swap_remove(0)
}

fn acid_of_tank(day: &BrewDay) -> Addition {
    let plan = day.plan().expect("a plan");
    let mut additions = plan.additions.into_iter();
    let acid = additions.find(|one| one.vessel == Vessel::HotLiquorTank && one.end_point.is_some());
    acid.expect("poured to an end point")
}

fn poured(amount: f64) -> [PouredAcid; 1] {
    [PouredAcid {
        vessel: Vessel::HotLiquorTank,
        reagent: "lactic acid".to_owned(),
        amount,
    }]
}

/// pH of the tank with so much acid, its carbon dioxide gone as far as the parameter has it.
fn ph_of_tank(day: &BrewDay, amount: f64) -> f64 {
    let problem = day.problem();
    let doses = problem.doses.iter().map(|option| {
        let is_in_tank = option.vessel == Vessel::HotLiquorTank;
        if is_in_tank { amount } else { 0.0 }
    });
    let liquor = problem.liquors(&[1.0], &doses.collect::<Vec<_>>()).mash;
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let air = parameters::AIR_CO2_PRESSURE.value.log10();
    let left = aqueous.open(&liquor, air).expect("an equilibrium").liquor;
    let kept = parameters::CHECK_CARBON_KEPT_DOSED.value;
    let carbon_mol_per_kg =
        left.carbon_mol_per_kg + kept * (liquor.carbon_mol_per_kg - left.carbon_mol_per_kg);
    let sample = Liquor {
        carbon_mol_per_kg,
        ..liquor
    };
    aqueous.closed(&sample).expect("an equilibrium").ph
}

/// Of the plan's acid a part is in, and the meter shows what the equilibrium has with that: the
/// rest is due.
#[test]
fn the_rest_of_the_acid_is_due() {
    let day = pale_ale();
    let acid = acid_of_tank(&day);
    let end_ph = acid.end_point.as_ref().expect("an end point").ph;
    for share in [0.0, 0.6, 0.75, 0.9] {
        let given = (share * acid.amount).round();
        let log = BrewLog::of([tank(ph_of_tank(&day, given))]).with_poured(poured(given));
        let correction = corrected(&day, &log);
        let pour = correction.pour.expect("not yet at its end point");
        assert_eq!(
            (correction.advice, correction.end_ph),
            (Advice::Give, end_ph)
        );
        assert!(!correction.is_outside_forecast);
        let rest = acid.amount - given;
        // The end point is the planned pH to a tenth.
        assert!(
            (pour.amount - rest).abs() < 0.03 * acid.amount,
            "{share}: {} {rest}",
            pour.amount
        );
        assert!(pour.most > pour.amount);
    }
}

/// What shows its end point takes no more, and what was foretold moves no forecast.
#[test]
fn liquor_at_its_end_point_takes_no_more() {
    let day = pale_ale();
    let plan = day.plan().expect("a plan");
    let shown = plan.readings.iter().filter(|one| one.place == Place::Tank);
    let shown = shown.filter(|one| one.meter != Meter::Temperature);
    let readings: Vec<MeterReading> = shown
        .map(|one| MeterReading::at(Place::Tank, one.meter, one.expected))
        .collect();
    assert_eq!(readings.len(), 2);
    let correction = corrected(&day, &BrewLog::of(readings));
    assert_eq!(
        (correction.advice, &correction.pour),
        (Advice::Nothing, &None)
    );
    let (ph, [low, high]) = correction.mash.expect("it goes into the mash");
    assert!((ph - plan.mash.ph).abs() < 0.02, "{ph} {}", plan.mash.ph);
    let [least, most] = plan.mash.interval_95.expect("known");
    assert!(high - low < most - least);
}

/// Far more acid than planned is not taken back by acid.
#[test]
fn liquor_past_its_end_point_is_thinned() {
    let day = pale_ale();
    let amount = 1.15 * acid_of_tank(&day).amount;
    let correction = corrected(&day, &BrewLog::of([tank(ph_of_tank(&day, amount))]));
    assert_eq!(
        (correction.advice, &correction.pour),
        (Advice::TooAcid, &None)
    );
}

proptest! {
    #[test]
    fn a_higher_reading_of_liquor_never_asks_for_less_acid(
        low in 5.2..7.0f64, more in 0.0..0.8f64
    ) {
        let day = pale_ale();
        let [one, other] = [low, low + more].map(|ph| {
            let pour = corrected(&day, &BrewLog::of([tank(ph)])).pour;
            pour.map_or(0.0, |pour| pour.amount)
        });
        prop_assert!(other >= one - 1.0, "{one} {other}");
    }

    /// Liquor whose acid left it more alkaline than foretold makes the mash more so, too; and the
    /// order in which things were read does not matter.
    #[test]
    fn readings_of_liquor_tell_of_the_mash(ph in 5.0..6.6f64, us_per_cm in 500.0..900.0f64) {
        let day = pale_ale();
        let conductivity = MeterReading::at(Place::Tank, Meter::Conductivity, us_per_cm);
        let mash = MeterReading::at(Place::MashFirst, Meter::Ph, 5.5);
        let of = |readings: &[MeterReading]| {
            corrections(&day, &BrewLog::of(readings).with_given([]))
        };
        let there = of(&[tank(ph), conductivity, mash]);
        let back = of(&[mash, conductivity, tank(ph)]);
        prop_assert!((there.mashes[0].ph - back.mashes[0].ph).abs() < 1e-9);
        prop_assert_eq!(&there.liquors[0].pour, &back.liquors[0].pour);
        let higher = of(&[tank(ph + 0.2), conductivity, mash]);
        // Where acid holds the pH, a reading weighs less.
        prop_assert!(higher.mashes[0].ph >= there.mashes[0].ph - 0.01);
    }
}
