//! What holds on any day and for any readings.

use approx::assert_abs_diff_eq;
use underlet::readings::diagnosis::{Diagnosis, Diagnostics, Fault, MeterReading, Probe, Verdict};
use underlet::{BrewDay, EXAMPLES, Meter};

use super::as_expected;
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Random days at the edges of what can be read.
const EDGE_DAYS: u64 = 40;

pub(super) fn assert_sound(diagnosis: &Diagnosis, what: &str) {
    let sum: f64 = diagnosis
        .explanations
        .iter()
        .map(|one| one.probability)
        .sum();
    assert!((sum - 1.0).abs() < 1e-12, "{sum}: {what}");
    for one in &diagnosis.explanations {
        assert!((0.0..=1.0).contains(&one.probability), "{one:?}: {what}");
        assert!((0.0..=1.0).contains(&one.chance), "{one:?}: {what}");
        assert!(one.ln_likelihood.is_finite(), "{one:?}: {what}");
        assert!(
            one.off_by
                .is_none_or(|by| by.value.is_finite() && by.sd > 0.0)
        );
    }
    let falls = diagnosis
        .explanations
        .windows(2)
        .all(|pair| pair[0].probability >= pair[1].probability);
    assert!(falls, "{what}");
    for one in &diagnosis.compared {
        assert!(one.expected.is_finite() && one.sd > 0.0, "{one:?}: {what}");
    }
    assert!(!diagnosis.to_string().contains("NaN"), "{what}");
}

/// So many random days.
fn days(count: u64) -> impl Iterator<Item = (BrewDay, Diagnostics)> {
    (0..count).map(|seed| {
        let day = Draft::random(seed).read();
        let checks = day.diagnostics().expect("checks");
        (day, checks)
    })
}

/// Any value that the meter could show.
pub(super) fn anything(dice: &mut Dice, reading: &MeterReading) -> MeterReading {
    let value = match reading.meter {
        Meter::Ph => dice.real(0.0, 14.0),
        Meter::Conductivity => dice.magnitude(1.0, 1e5),
        Meter::Temperature => dice.real(-10.0, 110.0),
    };
    MeterReading { value, ..*reading }
}

#[test]
fn readings_of_random_days_as_expected_claim_nothing() {
    for (day, checks) in days(trials(15, 60)) {
        let read = as_expected(&checks);
        for reading in &read {
            let alone = checks.diagnose(&[*reading]).expect("readings");
            assert_eq!(
                alone.verdict,
                Verdict::AsExpected,
                "{reading:?} {}",
                day.name
            );
        }
        let diagnosis = checks.diagnose(&read).expect("readings");
        assert_sound(&diagnosis, &day.name);
        assert_eq!(diagnosis.verdict, Verdict::AsExpected, "{diagnosis}");
        assert_eq!(diagnosis.explanations[0].fault, None, "{diagnosis}");
    }
}

#[test]
fn any_random_readings_have_probabilities_and_their_order_does_not_matter() {
    let dice = &mut Dice::new(5);
    for (day, checks) in days(trials(15, 60)) {
        let mut read: Vec<MeterReading> = as_expected(&checks)
            .iter()
            .map(|reading| anything(dice, reading))
            .collect();
        read.push(read[0].by_second());
        read.push(read[0]);
        read.push(MeterReading::known(Meter::Ph, 4.01, dice.real(3.5, 4.5)));
        let diagnosis = checks.diagnose(&read).expect("readings");
        assert_sound(&diagnosis, &day.name);
        for _ in 0..3 {
            let swapped = dice.pick(read.len());
            read.swap(0, swapped);
            read.reverse();
            assert_eq!(checks.diagnose(&read).expect("readings"), diagnosis);
        }
    }
}

/// A reading a little off its expectation is scatter; the further off a buffer is, the more the
/// probe is doubted.
#[test]
fn the_further_a_buffer_is_off_the_more_its_probe_is_doubted() {
    let probe = Fault::Probe {
        meter: Meter::Ph,
        probe: Probe::Usual,
    };
    for (day, checks) in days(10) {
        let mut before = f64::NEG_INFINITY;
        for step in 0..=15 {
            let value = 7.0 + f64::from(step) / 20.0;
            let read = [MeterReading::known(Meter::Ph, 7.0, value)];
            let diagnosis = checks.diagnose(&read).expect("readings");
            let of = |fault: Option<&Fault>| {
                let mut explanations = diagnosis.explanations.iter();
                let one = explanations.find(|one| one.fault.as_ref() == fault);
                one.expect("weighed").ln_likelihood
            };
            let doubt = of(Some(&probe)) - of(None);
            assert!(doubt > before, "{value}: {}", day.name);
            before = doubt;
        }
    }
}

/// A probe that is clean in a reference sample leaves the brew to blame; a reference sample that is
/// off by as much leaves the probe.
#[test]
fn a_known_water_tells_probe_from_brew() {
    for (day, checks) in days(10) {
        let mut read = as_expected(&checks);
        for reading in read.iter_mut().filter(|reading| reading.meter == Meter::Ph) {
            reading.value += 0.3;
        }
        let probability = |buffer: f64| {
            let mut read = read.clone();
            read.push(MeterReading::known(Meter::Ph, 7.0, buffer));
            let diagnosis = checks.diagnose(&read).expect("readings");
            let probe = Fault::Probe {
                meter: Meter::Ph,
                probe: Probe::Usual,
            };
            let mut explanations = diagnosis.explanations.into_iter();
            let doubted = explanations.find(|one| one.fault.as_ref() == Some(&probe));
            doubted.expect("weighed").probability
        };
        assert!(probability(7.3) > 0.5, "{}: {}", day.name, probability(7.3));
        assert!(probability(7.3) > 5.0 * probability(7.0), "{}", day.name);
    }
}

/// At the edges of what can be read there are checks, or a word that there are none; never a panic.
#[test]
fn days_at_the_edge_are_checked_or_say_why_not() {
    let dice = &mut Dice::new(6);
    let mut checked = 0;
    for seed in 0..EDGE_DAYS {
        let day = Draft::extreme(seed).read();
        let Ok(checks) = day.diagnostics() else {
            continue;
        };
        checked += 1;
        let read: Vec<MeterReading> = as_expected(&checks)
            .iter()
            .map(|reading| anything(dice, reading))
            .collect();
        assert_sound(&checks.diagnose(&read).expect("readings"), &day.name);
    }
    println!("{checked} of {EDGE_DAYS} days at the edge can be checked");
    assert!(checked * 10 >= EDGE_DAYS * 9, "{checked} of {EDGE_DAYS}");
}

/// Of every built-in day: each pH has an interval about what it is expected to be, no conductivity
/// has one, and a rise is surer than either of its readings. An end point lies between its volumes,
/// and the text says when to stop.
#[test]
fn intervals_rises_and_end_points_of_built_in_days() {
    let mut end_points = 0;
    for (name, text) in EXAMPLES {
        let plan = BrewDay::from_json(text)
            .expect("a day")
            .plan()
            .expect("a plan");
        for reading in &plan.readings {
            assert_eq!(
                reading.interval_95.is_some(),
                reading.meter == Meter::Ph,
                "{name}"
            );
            if let Some([low, high]) = reading.interval_95 {
                assert!(
                    low < reading.expected && reading.expected < high,
                    "{reading:?}"
                );
                assert!(reading.display.contains('–') && !reading.display.contains('±'));
            }
            if let Some(rise) = &reading.rise {
                assert_eq!(reading.meter, Meter::Conductivity);
                assert!(1.96 * rise.sd < reading.tolerance, "{reading:?}");
                assert!(reading.display.starts_with("your first reading"));
            }
        }
        for addition in &plan.additions {
            let Some(end) = &addition.end_point else {
                continue;
            };
            end_points += 1;
            assert!(end.ph <= 6.6 && end.ph > 4.0, "{addition:?}");
            assert!(end.low <= addition.amount && addition.amount <= end.high);
            let until = format!("until the meter shows {:.1} ", end.ph);
            for text in [&addition.how, &end.display] {
                assert!(text.contains(&until), "{text}");
                assert!(
                    text.contains(&format!("about {}", addition.display)),
                    "{text}"
                );
            }
            assert!(
                addition.how.contains("stop when it is all in"),
                "{}",
                addition.how
            );
            assert!(end.display.contains("stop at"), "{}", end.display);
        }
    }
    assert!(end_points > 0);
}

/// By hand: water of 150 mg/L as CaCO3 (3.0 mmol/L of bicarbonate) to the pH of its first pK is half
/// neutralised. Its alkalinity is known by a report to 10 % or so; the volume of acid to an end point
/// well below is uncertain by as much, a fifth to either side at 95 %, while the pH that one volume
/// leads to may be anything from 4.4 to 6.
#[test]
fn a_volume_is_surer_than_the_ph_it_leads_to() {
    let text = r#"{
        "underlet": 1, "name": "by hand", "brewhouse": "Ninefold Quay",
        "sources": [{ "name": "well", "calcium": 60, "alkalinity": "150 mg/L as CaCO3", "ph": 7.5 }],
        "hot_liquor_tank": { "fill": "1000 L", "temperature": "78 °C" },
        "grist": [{ "malt": "pale ale malt", "mass": "100 kg" }],
        "mash": { "liquor": "400 L", "liquor_temperature": "74 °C", "rest_temperature": "66 °C" },
        "sparge": { "liquor": "500 L", "liquor_temperature": "78 °C" },
        "targets": { "sparge_alkalinity": "0-5 mg/L as CaCO3" },
        "shelf": [{ "reagent": "lactic acid", "strength": "80 %", "step": "1 mL", "vessels": ["hot_liquor_tank"] }]
    }"#;
    let plan = BrewDay::from_json(text)
        .expect("a day")
        .plan()
        .expect("a plan");
    let acid = plan.additions.first().expect("acid");
    let end = acid.end_point.as_ref().expect("an end point");
    let up = end.high / acid.amount - 1.0;
    assert!((0.12..0.35).contains(&up), "{end:?} for {}", acid.amount);
    let tank = plan.readings.iter().find(|one| one.what == "tank_ph");
    let tank = tank.expect("a tank");
    let [low, high] = tank.interval_95.expect("of a pH");
    assert!(high - low > 1.0, "{tank:?}");
    // Below the curve is steeper: there no alkalinity is left.
    assert!(
        tank.expected - low > 1.2 * (high - tank.expected),
        "{tank:?}"
    );
    // Poured to its end point it shows that: two readings by laboratories differ by 0.13 (Standard
    // Methods 4500-H+), and carbon dioxide that leaves hot liquor only raises its pH.
    let [low, high] = tank.interval_95_once_poured.expect("poured");
    assert_abs_diff_eq!(low, end.ph - 1.96 * 0.13, epsilon = 0.01);
    assert_abs_diff_eq!(high, end.ph + 1.96 * 0.13, epsilon = 0.01);
    let sparge = plan
        .readings
        .iter()
        .find(|one| one.what == "sparge_liquor_ph");
    let sparge = sparge.expect("sparge liquor");
    let [poured_low, poured_high] = sparge.interval_95_once_poured.expect("poured");
    let [low, high] = sparge.interval_95.expect("of a pH");
    assert!(low < poured_low && poured_high <= high, "{sparge:?}");
    assert!(
        end.ph - 0.5 < poured_low && poured_low < end.ph,
        "{sparge:?}"
    );
}
