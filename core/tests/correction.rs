//! From a reading of the mash to the dose still due: laws, and cases by hand.

use proptest::prelude::*;
use serde_json::{Value, json};
use underlet::readings::correction::{Advice, BrewLog, Correction, Corrector, GivenDose};
use underlet::{BrewDay, Meter, MeterReading, Place};

/// 10 hL of pale ale from a chalk well, acid for the mash alone.
fn pale_ale(change: impl FnOnce(&mut Value)) -> BrewDay {
    let mut day = json!({
        "underlet": 1, "name": "Ebb pale", "brewhouse": "Ninefold Quay",
        "sources": [{
            "name": "well", "calcium": 62, "magnesium": 9, "sodium": 18, "chloride": 28,
            "sulfate": 52, "alkalinity": "125 mg/L as CaCO3", "ph": 7.5
        }],
        "grist": [
            { "malt": "pale ale malt", "mass": "190 kg" },
            { "malt": "caramel malt 80 to 120 EBC", "mass": "10 kg" }
        ],
        "mash": { "liquor": "560 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "760 L", "liquor_temperature": "78 °C" },
        "targets": { "mash_ph": "5.3-5.5" },
        "shelf": [
            {
                "reagent": "lactic acid", "strength": "80 %", "step": "1 mL",
                "vessels": ["mash_tun"]
            }
        ]
    });
    change(&mut day);
    BrewDay::from_json(&day.to_string()).expect("a day")
}

fn first(ph: f64) -> MeterReading {
    MeterReading::at(Place::MashFirst, Meter::Ph, ph).at_minutes(20.0)
}

fn corrected(day: &BrewDay, readings: &[MeterReading], given: &[GivenDose]) -> Correction {
    let corrector = Corrector::of(day).expect("a plan");
    let log = BrewLog::of(readings).with_given(given);
    let mut corrections = corrector.correct(&log).expect("liquors");
    corrections.mashes.swap_remove(0)
}

fn due(correction: &Correction) -> f64 {
    correction.doses.first().map_or(0.0, |due| due.amount)
}

fn lactic(amount: f64, minutes: f64) -> GivenDose {
    GivenDose {
        brew: 1,
        reagent: "lactic acid".to_owned(),
        amount,
        minutes,
    }
}

proptest! {
    #[test]
    fn a_higher_reading_never_asks_for_less_acid(low in 5.0..6.2f64, more in 0.0..0.6f64) {
        let day = pale_ale(|_| {});
        let [one, other] = [low, low + more].map(|ph| due(&corrected(&day, &[first(ph)], &[])));
        // A step of the measure is what rounding may take.
        prop_assert!(other >= one - 1.0, "{one} {other}");
    }

    #[test]
    fn two_readings_in_either_order_are_the_same(one in 5.2..5.8f64, other in 5.2..5.8f64) {
        let day = pale_ale(|_| {});
        let pair = [first(one), MeterReading::at(Place::Mash, Meter::Ph, other).at_minutes(40.0)];
        let [there, back] = [[pair[0], pair[1]], [pair[1], pair[0]]]
            .map(|pair| corrected(&day, &pair, &[lactic(10.0, 25.0)]));
        prop_assert!((there.ph - back.ph).abs() < 1e-9, "{} {}", there.ph, back.ph);
        prop_assert_eq!(due(&there), due(&back));
        prop_assert_eq!(there.advice, back.advice);
    }

    /// A reading and a forecast are weighed: the mash is believed between them, and surer than by
    /// either alone.
    #[test]
    fn what_is_believed_lies_between_reading_and_forecast(ph in 5.25..5.75f64) {
        let day = pale_ale(|_| {});
        let correction = corrected(&day, &[first(ph)], &[]);
        let plan = day.plan().expect("a plan");
        let foretold = plan.readings.iter().find(|one| one.what == "mash_first_ph");
        let foretold = foretold.expect("read between the parts").expected;
        // What is buffered bends the mean by a hundredth.
        let [low, high] = [ph.min(foretold) - 0.01, ph.max(foretold) + 0.01];
        prop_assert!((low..=high).contains(&correction.ph), "{} {foretold}", correction.ph);
        let [low, high] = correction.interval_95;
        prop_assert!(high - low < 3.92 * plan.mash.sd.expect("known"));
    }
}

/// 5.62 where 5.50 was foretold: by hand. The mash is known by class to 0.11 and a reading to
/// 0.056 (meter 0.044, sample 0.03, repeat 0.014), so that it lies 0.80 of the way to the reading.
#[test]
fn a_reading_and_a_forecast_are_weighed_as_by_hand() {
    let day = pale_ale(|_| {});
    let plan = day.plan().expect("a plan");
    let foretold = plan.readings.iter().find(|one| one.what == "mash_first_ph");
    let foretold = foretold.expect("read between the parts");
    let shown_sd = foretold.tolerance / 1.96;
    let reading_sd = (0.044_f64.powi(2) + 0.03_f64.powi(2) + 0.014_f64.powi(2)).sqrt();
    let mash_variance = shown_sd.powi(2) - reading_sd.powi(2);
    let share = mash_variance / shown_sd.powi(2);
    let reads = foretold.expected + 0.12;
    let by_hand = foretold.expected + share * 0.12;
    let correction = corrected(&day, &[first(reads)], &[]);
    assert!(
        (correction.ph - by_hand).abs() < 0.012,
        "{} {by_hand}",
        correction.ph
    );
    let [low, high] = correction.interval_95;
    let posterior_sd = (mash_variance * (1.0 - share)).sqrt();
    let width = (high - low) / (2.0 * 1.96);
    assert!(
        (width / posterior_sd - 1.0).abs() < 0.1,
        "{width} {posterior_sd}"
    );
}

/// What reads as it was foretold asks for the rest of the plan, or less where that risks too much;
/// what is in the middle of its range asks for nothing.
#[test]
fn a_mash_in_the_middle_of_its_range_asks_for_nothing() {
    let day = pale_ale(|_| {});
    let correction = corrected(&day, &[first(5.38)], &[]);
    assert_eq!(
        (correction.advice, due(&correction)),
        (Advice::Nothing, 0.0)
    );
    assert!(!correction.is_outside_range);
}

/// Of two probes that agree more is known than of one, and of a probe that was held in a buffer.
#[test]
fn a_second_probe_and_a_buffer_narrow_what_is_believed() {
    let day = pale_ale(|_| {});
    let width = |readings: &[MeterReading]| {
        let [low, high] = corrected(&day, readings, &[]).interval_95;
        high - low
    };
    let alone = width(&[first(5.55)]);
    let second = width(&[first(5.55), first(5.55).by_second()]);
    let buffer = MeterReading::known(Meter::Ph, 7.0, 7.0);
    let in_buffer = width(&[first(5.55), buffer]);
    assert!(
        second < 0.9 * alone && in_buffer < 0.9 * alone,
        "{alone} {second} {in_buffer}"
    );
    // A probe that reads 0.1 too high in the buffer does so in the mash.
    let off = MeterReading::known(Meter::Ph, 7.0, 7.1);
    let [as_is, less] = [vec![first(5.55)], vec![first(5.55), off]]
        .map(|readings| corrected(&day, &readings, &[]).ph);
    assert!(less < as_is - 0.03, "{as_is} {less}");
}

/// A reading so far off is of a probe to check first, and two probes that disagree are too.
#[test]
fn the_probe_is_checked_first_where_the_readings_say_so() {
    let day = pale_ale(|_| {});
    let far = corrected(&day, &[first(6.1)], &[]);
    assert_eq!(far.advice, Advice::CheckProbe);
    let disagree = corrected(&day, &[first(5.35), first(5.65).by_second()], &[]);
    assert_eq!(disagree.advice, Advice::CheckProbe);
}

/// Five minutes after mashing in malt is still dissolving.
#[test]
fn a_mash_that_is_read_too_early_is_read_again() {
    let day = pale_ale(|_| {});
    let early = MeterReading::at(Place::MashFirst, Meter::Ph, 5.7).at_minutes(5.0);
    assert_eq!(corrected(&day, &[early], &[]).advice, Advice::ReadAgain);
}

/// 5.30 at 66 °C is 5.54 cooled (0.0052 a kelvin, source ph-temperature), and less surely so.
#[test]
fn a_hot_reading_counts_as_its_cooled_one_and_less() {
    let day = pale_ale(|_| {});
    let hot = corrected(&day, &[first(5.30).sampled_at(66.0)], &[]);
    assert!((hot.reads - 5.539).abs() < 0.001, "{}", hot.reads);
    let cooled = corrected(&day, &[first(5.539)], &[]);
    let width = |one: &Correction| one.interval_95[1] - one.interval_95[0];
    assert!(width(&hot) > 1.1 * width(&cooled));
}

/// A mash below its range needs base, and acid is no help: once the probe is known to be right.
#[test]
fn too_much_acid_is_taken_back_by_base_alone() {
    let day = pale_ale(|_| {});
    let unsure = corrected(&day, &[first(5.1)], &[]);
    assert_eq!(unsure.advice, Advice::CheckProbe);
    let in_buffer = MeterReading::known(Meter::Ph, 7.0, 7.01);
    let correction = corrected(&day, &[first(5.1), in_buffer], &[]);
    assert_eq!(correction.advice, Advice::TooAcid);
    assert!(correction.ph < unsure.ph - 0.05, "{}", correction.ph);
    assert!(correction.missing_eq < 0.0);
    let with_base = pale_ale(|day| {
        let soda = json!({ "reagent": "sodium bicarbonate", "step": "5 g" });
        day["shelf"].as_array_mut().unwrap().push(soda);
    });
    let correction = corrected(&with_base, &[first(5.1), in_buffer], &[]);
    assert_eq!(correction.advice, Advice::Give);
    assert_eq!(
        correction.doses[0].preparation.reagent.key,
        "sodium bicarbonate"
    );
    assert!(correction.doses[0].ph > correction.ph);
}

/// Acid that a diagnosis finds forgotten is given as the plan says.
#[test]
fn forgotten_acid_is_given_as_the_plan_says() {
    // A lot whose pH and buffering were measured tells a forgotten acid from another malt.
    let day = pale_ale(|day| {
        day["grist"][0] = json!({
            "malt": "pale ale malt", "mass": "200 kg", "ph_in_distilled_water": 5.7,
            "buffering": "40 meq/(kg pH)"
        });
        day["grist"].as_array_mut().unwrap().truncate(1);
        day["sources"][0]["alkalinity"] = json!("250 mg/L as CaCO3");
    });
    let plan = day.plan().expect("a plan");
    let acid = &plan.additions[0];
    let without = plan.mash.ph_untreated;
    let mash = MeterReading::at(Place::Mash, Meter::Ph, without);
    let readings = [
        MeterReading::known(Meter::Ph, 7.0, 7.0),
        mash,
        mash.by_second(),
    ];
    let correction = day
        .correct(&BrewLog::of(readings))
        .expect("readings")
        .mashes
        .swap_remove(0);
    assert_eq!(correction.advice, Advice::GiveForgotten);
    assert!((due(&correction) - acid.amount).abs() < 1e-9);
}

/// The doses by reading that a plan prints are those of the full answer.
#[test]
fn printed_doses_are_those_of_the_full_answer() {
    let day = pale_ale(|_| {});
    let plan = day.plan().expect("a plan");
    let printed = plan.mash.correction.expect("an acid and a meter");
    assert!(printed.rows.len() > 4);
    for row in &printed.rows {
        let reading = MeterReading::at(Place::MashFirst, Meter::Ph, row.reads);
        assert_eq!(due(&corrected(&day, &[reading], &[])), row.due);
    }
    // Between two of them, in proportion, within 5 mL.
    for pair in printed.rows.windows(2) {
        let reads = (pair[0].reads + pair[1].reads) / 2.0;
        let reading = MeterReading::at(Place::MashFirst, Meter::Ph, reads);
        let full = due(&corrected(&day, &[reading], &[]));
        let between = (pair[0].due + pair[1].due) / 2.0;
        assert!((full - between).abs() <= 5.0, "{reads}: {full} {between}");
    }
}
