//! From a reading of the full kettle to the acid still due: laws, and cases by hand.

use proptest::prelude::*;
use serde_json::{Value, json};
use underlet::mash::Mash;
use underlet::readings::correction::{Advice, BrewLog, Correction, Corrector};
use underlet::{BrewDay, Meter, MeterReading, Place};
use underlet_tables::parameters;

use super::common::dice::Dice;

/// 10 hL of first wort alone, from soft water: no acid but that of the kettle, 80 % lactic.
fn first_wort(change: impl FnOnce(&mut Value)) -> BrewDay {
    let mut day = json!({
        "underlet": 1, "name": "Ebb pale",
        "brewhouse": { "name": "Ninefold Quay", "overshoot_risk": 0.5 },
        "sources": [{ "name": "rain", "calcium": 2, "alkalinity": "5 mg/L as CaCO3", "ph": 6.5 }],
        "grist": [{ "malt": "pale ale malt", "mass": "200 kg" }],
        "mash": { "liquor": "1200 L", "liquor_temperature": "72 °C", "rest_temperature": "66 °C" },
        "targets": { "kettle_ph": { "low": 5.25, "high": 5.45, "prefer": 5.35 } },
        "shelf": [
            { "reagent": "lactic acid", "strength": "80 %", "step": "1 mL", "vessels": ["kettle"] }
        ]
    });
    change(&mut day);
    BrewDay::from_json(&day.to_string()).expect("a day")
}

fn kettle(ph: f64) -> MeterReading {
    MeterReading::at(Place::Kettle, Meter::Ph, ph)
}

fn corrected(corrector: &Corrector<'_>, readings: &[MeterReading]) -> Correction {
    let corrections = corrector.correct(&BrewLog::of(readings));
    corrections.expect("liquors").kettles.swap_remove(0)
}

fn due(correction: &Correction) -> f64 {
    correction.doses.first().map_or(0.0, |due| due.amount)
}

/// What the plan expects of the kettle, and the standard deviation of what a meter shows there.
fn foretold(day: &BrewDay) -> [f64; 2] {
    let plan = day.plan().expect("a plan");
    let kettle = plan.readings.iter().find(|one| one.what == "kettle_ph");
    let kettle = kettle.expect("a kettle");
    [kettle.expected, kettle.tolerance / 1.96]
}

/// Standard deviations of a reading: what the probe is off by, and its scatter.
const METER: [f64; 2] = [0.0438, 0.014];

/// A kettle that reads in its range gets no acid, however high it was forecast; one that reads below
/// it least of all, whether the probe is known to be right or not.
#[test]
fn a_kettle_that_reads_low_gets_no_acid() {
    let day = first_wort(|day| {
        day["targets"]["kettle_ph"] = json!({ "low": 5.0, "high": 5.2 });
    });
    let corrector = Corrector::of(&day).expect("a plan");
    assert!(due(&corrected(&corrector, &[kettle(5.6)])) > 0.0);
    let buffer = MeterReading::known(Meter::Ph, 7.0, 7.01);
    for ph in [5.15, 4.9, 4.5] {
        for readings in [vec![kettle(ph)], vec![kettle(ph), buffer]] {
            let is_checked = readings.len() == 2;
            let correction = corrected(&corrector, &readings);
            assert!(correction.doses.is_empty(), "{ph}");
            assert!(
                !is_checked || correction.advice != Advice::CheckProbe,
                "{ph}"
            );
        }
    }
}

proptest! {
    #[test]
    fn a_higher_reading_never_asks_for_less_acid(low in 5.2..6.2f64, more in 0.0..0.5f64) {
        let day = first_wort(|day| day["brewhouse"]["overshoot_risk"] = json!(0.03));
        let corrector = Corrector::of(&day).expect("a plan");
        let [one, other] = [low, low + more].map(|ph| due(&corrected(&corrector, &[kettle(ph)])));
        // A step of the measure is what rounding may take.
        prop_assert!(other >= one - 1.0, "{one} {other}");
    }

    /// A dose is of whole steps, and its stated risk within that of the brewhouse.
    #[test]
    fn a_dose_keeps_the_risk_of_the_brewhouse(
        ph in 5.3..6.2f64, risk in 0.005..0.3f64, step in 1..20u8
    ) {
        let day = first_wort(|day| {
            day["brewhouse"]["overshoot_risk"] = json!(risk);
            day["shelf"][0]["step"] = json!(format!("{step} mL"));
        });
        let corrector = Corrector::of(&day).expect("a plan");
        for due in corrected(&corrector, &[kettle(ph)]).doses {
            let steps = due.amount / f64::from(step);
            prop_assert!((steps - steps.round()).abs() < 1e-9, "{}", due.amount);
            prop_assert!(due.probability_below <= risk + 1e-6, "{} {risk}", due.probability_below);
            let [low, high] = due.interval_95;
            prop_assert!(low < due.ph && due.ph < high);
        }
    }
}

/// A kettle that reads as the plan foretells asks for the dose of the plan.
#[test]
fn perfect_agreement_asks_for_the_dose_of_the_plan() {
    for prefer in [5.3, 5.35, 5.4] {
        let day = first_wort(|day| day["targets"]["kettle_ph"]["prefer"] = json!(prefer));
        let plan = day.plan().expect("a plan");
        let planned = plan.additions.first().expect("acid for the kettle").amount;
        let corrector = Corrector::of(&day).expect("a plan");
        let correction = corrected(&corrector, &[kettle(foretold(&day)[0])]);
        assert_eq!(correction.advice, Advice::Give);
        assert!(!correction.is_outside_forecast && correction.is_outside_range);
        assert!(
            (due(&correction) - planned).abs() <= 1.0,
            "{} {planned}",
            due(&correction)
        );
    }
}

/// Two measurements of one thing are weighed by the inverse of their variances (JCGM 100:2008,
/// G.2 and H.3 use such weights; Bevington & Robinson 2003, equation 4.17, from memory).
#[test]
fn a_reading_and_a_forecast_are_weighed_as_by_hand() {
    let day = first_wort(|_| {});
    let corrector = Corrector::of(&day).expect("a plan");
    let [expected, shown_sd] = foretold(&day);
    let meter = METER[0].powi(2) + METER[1].powi(2);
    let wort = shown_sd.powi(2) - meter;
    for off in [-0.1, 0.05, 0.15] {
        let correction = corrected(&corrector, &[kettle(expected + off)]);
        let [of_forecast, of_reading] = [1.0 / wort, 1.0 / meter];
        let both = of_forecast + of_reading;
        let by_hand = (of_forecast * expected + of_reading * (expected + off)) / both;
        assert!(
            (correction.ph - by_hand).abs() < 0.003,
            "{} {by_hand}",
            correction.ph
        );
        let [low, high] = correction.interval_95;
        let sd = (high - low) / 3.92;
        assert!(
            (sd * both.sqrt() - 1.0).abs() < 0.03,
            "{sd} {}",
            both.sqrt()
        );
    }
}

/// eq per pH of the first wort: 0.45 of the buffering of the malt, as far as the wort runs off.
fn buffering(day: &BrewDay) -> f64 {
    let problem = day.problem();
    let mash = Mash {
        grist: problem.grist,
        water_kg: problem.waters.mash_kg,
        liquor: problem.sources[0].liquor,
    };
    let per_kg = mash.grist[0].curve.buffering_at(mash.forecast().ph);
    0.45 * 200.0 * per_kg * problem.waters.kettle_kg / problem.waters.mash_kg
}

/// Lactic acid of 80 % has 1.1857 kg/L and 90.08 g/mol, and is dissociated by 10^(pH − 3.86) to one
/// (CRC Handbook): eq per mL at a pH.
fn lactic_eq_per_ml(ph: f64) -> f64 {
    let ratio = 10_f64.powf(ph - 3.86);
    1.1857 * 0.8 / 90.08 * ratio / (1.0 + ratio)
}

#[test]
fn the_dose_is_buffering_times_fall_as_by_hand() {
    let day = first_wort(|_| {});
    let corrector = Corrector::of(&day).expect("a plan");
    let correction = corrected(&corrector, &[kettle(foretold(&day)[0] + 0.1)]);
    let by_hand = buffering(&day) * (correction.ph - 5.35) / lactic_eq_per_ml(5.35);
    let due = &correction.doses[0];
    assert!(
        (due.amount / by_hand - 1.0).abs() < 0.04,
        "{} {by_hand}",
        due.amount
    );
    let tenth = buffering(&day) * 0.1 / lactic_eq_per_ml(5.3);
    assert!((due.per_tenth.expect("in a kettle") / tenth - 1.0).abs() < 0.04);
}

fn normal(dice: &mut Dice) -> f64 {
    let radius = (-2.0 * (1.0 - dice.real(0.0, 1.0)).ln()).sqrt();
    radius * (std::f64::consts::TAU * dice.real(0.0, 1.0)).cos()
}

const DAYS: u32 = 6000;

/// Kettles drawn from what is stated of them, read, dosed as due and followed by hand: as many land
/// in the range, and below it, as was stated.
#[test]
fn stated_chances_hold_on_drawn_kettles() {
    let day = first_wort(|day| {
        day["brewhouse"]["overshoot_risk"] = json!(0.1);
        day["targets"]["kettle_ph"] = json!("5.2-5.4");
    });
    let corrector = Corrector::of(&day).expect("a plan");
    let [expected, shown_sd] = foretold(&day);
    let wort_sd = (shown_sd.powi(2) - METER[0].powi(2) - METER[1].powi(2)).sqrt();
    let per_ph = buffering(&day);
    let malt = day.grist.first().expect("a malt");
    let relative = [
        parameters::WORT_BUFFER_SHARE.sd / parameters::WORT_BUFFER_SHARE.value,
        malt.curve.buffering_sd / malt.curve.buffering_at(expected),
    ];
    let log_sd = (1.0 + relative[0].powi(2) + relative[1].powi(2))
        .ln()
        .sqrt();
    let mut dice = Dice::new(21);
    let (mut stated, mut landed) = ([0.0; 2], [0.0; 2]);
    for _ in 0..DAYS {
        let truth = expected + wort_sd * normal(&mut dice);
        let reads = truth + METER[0] * normal(&mut dice) + METER[1] * normal(&mut dice);
        let factor = (log_sd * normal(&mut dice)).exp();
        let strength = 1.0 + parameters::ACID_STRENGTH_RELATIVE_SD.value * normal(&mut dice);
        let correction = corrected(&corrector, &[kettle(reads)]);
        let Some(due) = correction.doses.first() else {
            continue;
        };
        let acid = due.amount * strength * lactic_eq_per_ml(5.35);
        let ph = truth - acid / (per_ph * factor);
        stated[0] += due.probability_in_range;
        stated[1] += due.probability_below;
        landed[0] += f64::from(u8::from((5.2..5.4).contains(&ph)));
        landed[1] += f64::from(u8::from(ph < 5.2));
    }
    for (stated, landed) in stated.into_iter().zip(landed) {
        let off = (stated - landed) / f64::from(DAYS);
        assert!(off.abs() < 0.02, "{stated} {landed}");
    }
}

/// Of two probes that agree, a mash that was read, or a probe held in a buffer, more is known than
/// of one reading; and a probe that reads too high in a buffer does so in the kettle.
#[test]
fn whatever_else_was_read_narrows_what_is_believed() {
    let day = first_wort(|_| {});
    let corrector = Corrector::of(&day).expect("a plan");
    let [expected, _] = foretold(&day);
    let read = kettle(expected);
    let width = |readings: &[MeterReading]| {
        let [low, high] = corrected(&corrector, readings).interval_95;
        high - low
    };
    let alone = width(&[read]);
    let mash = day.plan().expect("a plan").mash.ph;
    let buffer = MeterReading::known(Meter::Ph, 7.0, 7.0);
    for more in [
        read.by_second(),
        buffer,
        MeterReading::at(Place::Mash, Meter::Ph, mash).by_second(),
    ] {
        assert!(
            width(&[read, more]) < 0.97 * alone,
            "{alone} {}",
            width(&[read, more])
        );
    }
    let off = MeterReading::known(Meter::Ph, 7.0, 7.1);
    let [as_is, less] = [vec![read], vec![read, off]].map(|all| corrected(&corrector, &all).ph);
    assert!(less < as_is - 0.03, "{as_is} {less}");
}

#[test]
fn each_advice_where_it_fits() {
    let day = first_wort(|_| {});
    let corrector = Corrector::of(&day).expect("a plan");
    let [expected, sd] = foretold(&day);
    let advice = |readings: &[MeterReading]| corrected(&corrector, readings).advice;
    assert_eq!(advice(&[kettle(expected + 3.0 * sd)]), Advice::CheckProbe);
    let disagree = [kettle(expected - 0.2), kettle(expected + 0.1).by_second()];
    assert_eq!(advice(&disagree), Advice::CheckProbe);
    let off = MeterReading::known(Meter::Ph, 7.0, 7.4);
    assert_eq!(advice(&[kettle(expected), off]), Advice::CalibrateProbe);
    let at = |range: [f64; 2], vessel: &str| {
        let day = first_wort(|day| {
            day["targets"]["kettle_ph"] = json!(range);
            day["shelf"][0]["vessels"] = json!([vessel]);
        });
        let corrector = Corrector::of(&day).expect("a plan");
        corrected(&corrector, &[kettle(expected)]).advice
    };
    assert_eq!(
        at([expected - 0.15, expected + 0.15], "kettle"),
        Advice::Nothing
    );
    assert_eq!(
        at([expected + 0.15, expected + 0.3], "kettle"),
        Advice::TooAcid
    );
    assert_eq!(at([5.1, 5.2], "mash_tun"), Advice::NoneAtHand);
}

/// A hot sample counts as its cooled one; stock that is too small is given and no more.
#[test]
fn hot_samples_and_small_stocks_count() {
    let day = first_wort(|day| day["shelf"][0]["stock"] = json!("30 mL"));
    let corrector = Corrector::of(&day).expect("a plan");
    let [expected, _] = foretold(&day);
    let hot = corrected(&corrector, &[kettle(expected - 0.2).sampled_at(66.0)]);
    assert!((hot.reads - (expected - 0.2)) > 0.15, "{}", hot.reads);
    assert!(due(&hot) > 0.0 && due(&hot) <= 30.0);
}
