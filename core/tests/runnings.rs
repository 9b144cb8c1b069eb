//! When to stop the runnings of a sparge: laws, and cases by hand.

use proptest::prelude::*;
use serde_json::{Value, json};
use underlet::readings::correction::{
    BrewLog, Corrector, Runnings, RunningsAdvice, RunningsReading,
};
use underlet::readings::diagnosis::Probe;
use underlet::{BrewDay, Meter, MeterReading};

/// A sparge with water of an alkalinity, mg/L as CaCO3.
fn sparged(alkalinity: f64) -> BrewDay {
    let day: Value = json!({
        "underlet": 1, "name": "Ebb pale", "brewhouse": "Ninefold Quay",
        "sources": [{
            "name": "well", "calcium": alkalinity / 2.5, "alkalinity": alkalinity, "ph": 7.0
        }],
        "grist": [{ "malt": "pale ale malt", "mass": "200 kg" }],
        "mash": { "liquor": "560 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "760 L", "liquor_temperature": "78 °C" },
        "targets": { "mash_ph": "5.3-5.5" },
        "shelf": [{ "reagent": "lactic acid", "strength": "80 %", "vessels": ["mash_tun"] }]
    });
    BrewDay::from_json(&day.to_string()).expect("a day")
}

fn read(ph: f64, extract_percent: f64, collected_l: Option<f64>) -> RunningsReading {
    RunningsReading {
        ph,
        extract_percent,
        probe: Probe::Usual,
        brew: 1,
        collected_l,
    }
}

fn of(day: &BrewDay, runnings: &[RunningsReading], readings: &[MeterReading]) -> Runnings {
    let log = BrewLog::of(readings).with_runnings(runnings);
    let corrections = Corrector::of(day).expect("a plan").correct(&log);
    corrections.expect("liquors").runnings.swap_remove(0)
}

#[test]
fn runnings_stop_at_their_ph_or_their_extract() {
    let day = sparged(100.0);
    for (ph, extract, is_over) in [
        (5.80, 6.0, true),
        (5.79, 6.0, false),
        (5.4, 2.0, true),
        (5.4, 2.1, false),
    ] {
        let advice = of(&day, &[read(ph, extract, None)], &[]).advice;
        assert_eq!(advice == RunningsAdvice::Stop, is_over, "{ph} {extract}");
    }
}

/// Pure water raises a wort by 0.07 per halving of its extract (Kolbach & Esser 1958): from 5.72
/// at 8 °P 5.80 is 0.08/0.07 halvings off, at 8.70 kg of extract per 100 kg of water times
/// 2^(−1.143), 3.94, which is 3.79 °P. At 5.60 it is not reached before 2 °P.
#[test]
fn pure_water_raises_the_runnings_as_published() {
    let day = sparged(0.0);
    let high = of(&day, &[read(5.72, 8.0, None)], &[]);
    assert_eq!(high.advice, RunningsAdvice::AcidifySparge);
    assert!(
        (high.stop_extract_percent - 3.79).abs() < 0.15,
        "{}",
        high.stop_extract_percent
    );
    let low = of(&day, &[read(5.60, 8.0, None)], &[]);
    assert_eq!(
        (low.advice, low.stop_extract_percent),
        (RunningsAdvice::GoOn, 2.0)
    );
}

/// First-order washing (Rhodes 1934): extract per water fell from 8/92 to 4/96 over 120 L, by the
/// factor 2.087, so to 2/98 it takes ln(2.0417)/ln(2.087) as much: 116.4 L.
#[test]
fn litres_left_are_those_of_washing_by_dilution() {
    let day = sparged(0.0);
    let readings = [read(5.4, 8.0, Some(780.0)), read(5.45, 4.0, Some(900.0))];
    let runnings = of(&day, &readings, &[]);
    assert_eq!(runnings.advice, RunningsAdvice::GoOn);
    let left = runnings.remaining_l.expect("two volumes");
    assert!((left - 116.4).abs() < 0.1, "{left}");
    // One volume tells no rate, nor do runnings that grow no thinner.
    assert_eq!(of(&day, &readings[1..], &[]).remaining_l, None);
    let odd = [readings[1], read(5.4, 8.0, Some(950.0))];
    assert_eq!(of(&day, &odd, &[]).remaining_l, None);
    assert_eq!(
        of(&day, &[readings[0], read(5.9, 4.0, Some(900.0))], &[]).remaining_l,
        Some(0.0)
    );
}

/// Meters of two laboratories differ by 0.046 (Harrison 1998): 1.96 of that either way. One that
/// reads 0.10 too high in a buffer does so in the runnings.
#[test]
fn the_ph_is_as_sure_as_a_meter() {
    let day = sparged(50.0);
    let [low, high] = of(&day, &[read(5.74, 4.0, None)], &[]).interval_95;
    assert!(
        (low - 5.65).abs() < 0.002 && (high - 5.83).abs() < 0.002,
        "{low} {high}"
    );
    let off = MeterReading::known(Meter::Ph, 7.0, 7.1);
    let [low, high] = of(&day, &[read(5.84, 4.0, None)], &[off]).interval_95;
    assert!(
        (0.5 * (low + high) - 5.75).abs() < 0.02 && high - low < 0.12,
        "{low} {high}"
    );
}

#[test]
fn a_day_without_a_sparge_has_no_runnings() {
    let mut day = sparged(50.0);
    day.sparge = None;
    let log = BrewLog::default().with_runnings([read(5.5, 10.0, None)]);
    let corrections = day.correct(&log).expect("a plan");
    assert!(corrections.runnings.is_empty());
}

proptest! {
    /// A higher pH never lets more run, nor do harder liquor.
    #[test]
    fn a_higher_ph_never_lets_more_run(
        ph in 5.2..5.9f64, more in 0.0..0.3f64, extract in 2.0..10.0f64, alkalinity in 0.0..300.0f64
    ) {
        let stop = |ph: f64, alkalinity: f64| {
            let readings = [read(ph, extract + 3.0, Some(700.0)), read(ph, extract, Some(800.0))];
            of(&sparged(alkalinity), &readings, &[]).remaining_l.expect("two volumes")
        };
        let now = stop(ph, alkalinity);
        prop_assert!(now >= 0.0 && now.is_finite());
        prop_assert!(stop(ph + more, alkalinity) <= now + 1e-6);
    }
}
