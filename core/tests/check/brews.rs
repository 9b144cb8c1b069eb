//! Readings of several brews of one day: what they share, and what is each one's own.

use approx::assert_abs_diff_eq;
use serde_json::{Value, json};
use underlet::readings::diagnosis::{
    Diagnosis, DiagnosisError, Diagnostics, Explanation, Fault, MeterReading, Sample, Slip, Verdict,
};
use underlet::{BrewDay, EXAMPLES, Meter, Place, Vessel};

use super::laws::{anything, assert_sound};
use super::{as_expected, pale_ale};
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// The built-in pale ale brewed twice from one tank, which is filled for both.
fn pale_ale_twice() -> BrewDay {
    let mut day: Value = serde_json::from_str(EXAMPLES[0].1).expect("JSON");
    day["brews"] = json!(2);
    day["hot_liquor_tank"]["fill"] = json!("30 hL");
    day["brewhouse"] = json!({ "name": "Ninefold Quay", "tank_dead_volume": "40 L" });
    BrewDay::from_json(&day.to_string()).expect("a day")
}

/// A random day with plenty of everything, as one brew, and as two from one fill or blend.
fn once_and_twice(seed: u64) -> [BrewDay; 2] {
    let mut draft = Draft::random(seed);
    for source in &mut draft.sources {
        source.at_most = None;
    }
    for item in &mut draft.shelf {
        item.stock = None;
        // The tank holds the mash liquor of the next brew as well.
        if let Some(at) = item.at.as_mut().filter(|_| draft.tank.is_some()) {
            at.retain(|vessel| *vessel != "sparge_liquor");
            if at.is_empty() {
                at.push("mash_tun");
            }
        }
    }
    let once = draft.read();
    if let Some(tank) = &mut draft.tank {
        tank.litres *= 2.0;
    }
    let mut twice: Value = serde_json::from_str(&draft.json()).expect("JSON");
    twice["brews"] = json!(2);
    [
        once,
        BrewDay::from_json(&twice.to_string()).expect("a day of two brews"),
    ]
}

/// The same readings of another brew; what all brews share stays as it is.
fn renumbered(readings: &[MeterReading], number: impl Fn(usize) -> usize) -> Vec<MeterReading> {
    let readings = readings.iter();
    let readings = readings.map(|reading| match reading.sample {
        Sample::Brew(Place::ColdLiquor | Place::Tank) | Sample::Known(_) => *reading,
        Sample::Brew(_) => reading.of_brew(number(reading.brew)),
    });
    readings.collect()
}

/// Everything that a day of two brews predicts, read as it should be in both.
fn of_both(checks: &Diagnostics) -> Vec<MeterReading> {
    let first = as_expected(checks);
    let second = renumbered(&first, |_| 2);
    let second = second.into_iter().filter(|reading| reading.brew == 2);
    first.iter().copied().chain(second).collect()
}

fn in_brew(fault: &Fault) -> Option<usize> {
    match fault {
        Fault::Addition { brew, .. } => *brew,
        _ => None,
    }
}

/// The same fault of another brew.
fn in_other_brew(fault: &Fault, number: impl Fn(usize) -> Option<usize>) -> Fault {
    let mut fault = fault.clone();
    if let Fault::Addition { brew, .. } = &mut fault {
        *brew = brew.and_then(number);
    }
    fault
}

fn of<'d>(diagnosis: &'d Diagnosis, fault: Option<&Fault>) -> &'d Explanation {
    let mut explanations = diagnosis.explanations.iter();
    explanations
        .find(|one| one.fault.as_ref() == fault)
        .expect("weighed")
}

fn mash_acid_forgotten(checks: &Diagnostics, in_brew: usize) -> Fault {
    let mut faults = checks.faults();
    let forgotten = faults.find(|fault| match fault {
        Fault::Addition { brew, slip, .. } => *brew == Some(in_brew) && *slip == Slip::Forgotten,
        _ => false,
    });
    forgotten.expect("acid for the mash").clone()
}

fn two_mashes(first: f64, second: f64) -> [MeterReading; 2] {
    [
        MeterReading::at(Place::Mash, Meter::Ph, first),
        MeterReading::at(Place::Mash, Meter::Ph, second).of_brew(2),
    ]
}

/// Two mashes of one malt and one water, read by one probe. By hand: each has the variance V of the
/// plan's forecast; what both share falls out of their difference, so that V less their covariance
/// C is what each scatters by on its own:
///
/// ```text
/// repeat of a reading 0.014, moment and depth of the sample 0.03, its acid 3 % of what that does
/// V − C = 0.014² + 0.03² + (0.03 · 0.137)² = 0.00111
/// m + d and m − d:  ln L falls by d²/(V − C)        m + d twice:  ln L falls by d²/(V + C)
/// ```
#[test]
fn two_mashes_share_malt_water_and_probe() {
    let day = pale_ale_twice();
    let checks = day.diagnostics().expect("checks");
    let forecast = day.plan().expect("a plan").mash;
    let variance = forecast.sd.expect("an error bar").powi(2);
    let mean = forecast.ph;
    let forgotten = mash_acid_forgotten(&checks, 2);
    let read = two_mashes(0.0, 0.0);
    let shown = checks.shown(Some(&forgotten), &read).expect("a fault");
    assert_abs_diff_eq!(shown[0], mean, epsilon = 1e-12);
    let acid = shown[1] - mean;
    assert_abs_diff_eq!(acid, 0.137, epsilon = 0.005);

    let own = 0.014_f64.powi(2) + 0.03_f64.powi(2) + (0.03 * acid).powi(2);
    let both = 2.0 * variance - own;
    let nothing = |first: f64, second: f64| {
        let read = two_mashes(mean + first, mean + second);
        let diagnosis = checks.diagnose(&read).expect("readings");
        of(&diagnosis, None).ln_likelihood
    };
    let as_planned = nothing(0.0, 0.0);
    let apart = as_planned - nothing(0.05, -0.05);
    assert_abs_diff_eq!(apart, 0.05 * 0.05 / own, epsilon = 0.01 * apart);
    let alike = as_planned - nothing(0.2, 0.2);
    assert_abs_diff_eq!(alike, 0.2 * 0.2 / both, epsilon = 0.01 * alike);
}

/// The first mash reads as planned, the second 0.2 higher, though its acid is worth 0.137 only. By
/// hand, with V − C = 0.00111 and V + C = 0.0286 (above), of a pair that is off by (x, y):
///
/// ```text
/// ln L = −½ ((x − y)²/(2 (V − C)) + (x + y)²/(2 (V + C))) + a constant
/// nothing wrong               (0, 0.2)       −½ (17.97 + 0.70) = −9.33
/// forgotten in the second     (0, 0.063)     −½ (1.76 + 0.07)  = −0.91
/// odds                        0.01 · e^8.42 = 45
/// ```
#[test]
fn an_acid_forgotten_in_the_second_brew_is_found() {
    let checks = pale_ale_twice().diagnostics().expect("checks");
    let forgotten = mash_acid_forgotten(&checks, 2);
    let mean = checks.shown(None, &two_mashes(0.0, 0.0)).expect("planned")[0];
    let read = two_mashes(mean, mean + 0.2);
    let diagnosis = checks.diagnose(&read).expect("readings");
    let [slip, nothing] = [Some(&forgotten), None].map(|fault| of(&diagnosis, fault));
    let odds = slip.probability / nothing.probability;
    assert!((40.0..50.0).contains(&odds), "{odds}");
    assert_eq!(diagnosis.verdict, Verdict::Fault, "{diagnosis}");
    let first = &diagnosis.explanations[0];
    assert_eq!(first.fault.as_ref(), Some(&forgotten), "{diagnosis}");
    assert!(first.text.starts_with("in brew 2: step 4, "), "{diagnosis}");
    let texts: Vec<String> = diagnosis.compared.iter().map(ToString::to_string).collect();
    assert!(texts[0].starts_with("brew 1, mash pH"), "{texts:?}");
    assert!(texts[1].starts_with("brew 2, mash pH"), "{texts:?}");
}

/// Both mashes read 0.2 high: that is the malt, the water, or what went into the tank for both, and
/// no slip in one of them. By hand as above, (0.2, 0.2) is −½ · 2.80 = −1.40 if nothing is wrong
/// and (0.2, 0.063) is −½ (8.45 + 1.21) = −4.83 with the acid forgotten in one, less likely by
/// 3.43. By the reading of that one alone it is likelier by 1.22: −0.2²/(2 · 0.0149) = −1.35
/// against −0.063²/(2 · 0.0149) = −0.13. (The error bar of a mash without its acid differs a bit.)
#[test]
fn two_mashes_high_alike_are_no_slip_in_one_brew() {
    let checks = pale_ale_twice().diagnostics().expect("checks");
    let mean = checks.shown(None, &two_mashes(0.0, 0.0)).expect("planned")[0];
    let read = two_mashes(mean + 0.2, mean + 0.2);
    let diagnosis = checks.diagnose(&read).expect("readings");
    assert_eq!(diagnosis.verdict, Verdict::AsExpected, "{diagnosis}");
    let lead = |diagnosis: &Diagnosis, fault: &Fault| {
        of(diagnosis, Some(fault)).ln_likelihood - of(diagnosis, None).ln_likelihood
    };
    for brew in [1, 2] {
        let forgotten = mash_acid_forgotten(&checks, brew);
        let both = lead(&diagnosis, &forgotten);
        assert!((-4.0..-2.5).contains(&both), "{both}");
        let alone = checks.diagnose(&read[brew - 1..brew]).expect("readings");
        let alone = lead(&alone, &forgotten);
        assert!((1.0..1.5).contains(&alone), "{alone}");
    }
    let likeliest = diagnosis.explanations.iter().find(|one| {
        let fault = one.fault.as_ref();
        fault.is_some_and(|fault| matches!(fault, Fault::Addition { .. }))
    });
    let likeliest = likeliest.and_then(|one| one.fault.as_ref());
    assert_eq!(likeliest.map(in_brew), Some(None), "{diagnosis}");
}

/// A liquid of half its strength is so in every brew that takes it out of its bottle.
#[test]
fn half_strength_concerns_all_brews() {
    let checks = pale_ale_twice().diagnostics().expect("checks");
    let planned = checks.shown(None, &two_mashes(0.0, 0.0)).expect("planned");
    let half = |fault: &&Fault| match fault {
        Fault::Addition { slip, vessel, .. } => {
            (*slip, *vessel) == (Slip::HalfStrength, Vessel::MashTun)
        }
        _ => false,
    };
    let halves: Vec<&Fault> = checks.faults().filter(half).collect();
    assert_eq!(halves.len(), 1);
    assert_eq!(in_brew(halves[0]), None);
    let shown = checks.shown(Some(halves[0]), &two_mashes(0.0, 0.0));
    let shown = shown.expect("a fault");
    assert_eq!(shown[0], shown[1]);
    assert!(shown[0] > planned[0] + 0.05);
}

/// Nothing is said of slips in a brew of which nothing was read.
#[test]
fn a_brew_that_was_not_read_is_not_weighed() {
    let checks = pale_ale_twice().diagnostics().expect("checks");
    let weighed = |readings: &[MeterReading]| -> Vec<usize> {
        let diagnosis = checks.diagnose(readings).expect("readings");
        let faults = diagnosis.explanations.iter();
        let brews = faults.filter_map(|one| in_brew(one.fault.as_ref()?));
        let mut brews: Vec<usize> = brews.collect();
        brews.sort_unstable();
        brews.dedup();
        brews
    };
    let tank = MeterReading::at(Place::Tank, Meter::Ph, 5.7);
    let second = MeterReading::at(Place::Mash, Meter::Ph, 5.4).of_brew(2);
    assert_eq!(weighed(&[tank]), Vec::<usize>::new());
    assert_eq!(weighed(&[tank, second]), [2]);
    assert_eq!(weighed(&two_mashes(5.4, 5.4)), [1, 2]);
}

#[test]
fn a_brew_that_there_is_not_is_refused() {
    let twice = pale_ale_twice().diagnostics().expect("checks");
    let once = pale_ale().diagnostics().expect("checks");
    let mash = MeterReading::at(Place::Mash, Meter::Ph, 5.4);
    let tank = MeterReading::at(Place::Tank, Meter::Ph, 5.7);
    let buffer = MeterReading::known(Meter::Ph, 7.0, 7.0);
    for (checks, reading, brews, words) in [
        (&twice, mash.of_brew(3), 2, "of brew 3 on a day of 2 brews"),
        (&twice, mash.of_brew(0), 2, "of brew 0 on a day of 2 brews"),
        (&twice, tank.of_brew(2), 1, "of brew 2, where there is one"),
        (
            &twice,
            buffer.of_brew(2),
            1,
            "of brew 2, where there is one",
        ),
        (&once, mash.of_brew(2), 1, "of brew 2, where there is one"),
    ] {
        let error = checks.diagnose(&[mash, reading]).expect_err("no such brew");
        let brew = reading.brew;
        let wanted = DiagnosisError::NoSuchBrew {
            reading: 1,
            brew,
            brews,
        };
        assert_eq!(error, wanted);
        assert!(error.to_string().contains(words), "{error}");
    }
}

/// Where only one of two brews is read, all is as on a day of one brew: here of days without a
/// tank, whose doses are those of a brew however often it is brewed.
#[test]
fn one_of_two_random_brews_is_as_a_brew_alone() {
    let dice = &mut Dice::new(7);
    let mut compared = 0;
    for seed in 0..trials(40, 160) {
        let [once, twice] = once_and_twice(seed);
        if once.tank.is_some() || once.sources.len() > 1 {
            continue;
        }
        compared += 1;
        let [once, twice] = [once, twice].map(|day| day.diagnostics().expect("checks"));
        let read: Vec<MeterReading> = as_expected(&once)
            .iter()
            .map(|reading| anything(dice, reading))
            .collect();
        let alone = once.diagnose(&read).expect("readings");
        let second = twice.diagnose(&renumbered(&read, |_| 2)).expect("readings");
        assert_eq!(alone.explanations.len(), second.explanations.len());
        for explanation in &second.explanations {
            let fault = explanation.fault.as_ref();
            assert_ne!(fault.and_then(in_brew), Some(1));
            let fault = fault.map(|fault| in_other_brew(fault, |_| None));
            let of_one = of(&alone, fault.as_ref()).ln_likelihood;
            let tolerance = 1e-9 * (1.0 + of_one.abs());
            assert_abs_diff_eq!(explanation.ln_likelihood, of_one, epsilon = tolerance);
        }
    }
    assert!(compared > 5, "{compared} days");
}

/// Both brews read anything. The order of the readings does not matter, and brews that are numbered
/// the other way round have each other's explanations.
#[test]
fn random_readings_of_two_brews_may_be_swapped() {
    let dice = &mut Dice::new(8);
    for seed in 0..trials(12, 60) {
        let [_, day] = once_and_twice(seed);
        let checks = day.diagnostics().expect("checks");
        let mut read: Vec<MeterReading> = of_both(&checks)
            .iter()
            .map(|reading| anything(dice, reading))
            .collect();
        let diagnosis = checks.diagnose(&read).expect("readings");
        assert_sound(&diagnosis, &day.name);
        for _ in 0..3 {
            let swapped = dice.pick(read.len());
            read.swap(0, swapped);
            read.reverse();
            assert_eq!(checks.diagnose(&read).expect("readings"), diagnosis);
        }
        let swapped = renumbered(&read, |brew| 3 - brew);
        let other = checks.diagnose(&swapped).expect("readings");
        assert_eq!(other.explanations.len(), diagnosis.explanations.len());
        for explanation in &diagnosis.explanations {
            let fault = explanation.fault.as_ref();
            let fault = fault.map(|fault| in_other_brew(fault, |brew| Some(3 - brew)));
            let there = of(&other, fault.as_ref()).ln_likelihood;
            let tolerance = 1e-9 * (1.0 + there.abs());
            assert_abs_diff_eq!(explanation.ln_likelihood, there, epsilon = tolerance);
        }
    }
}

/// Two brews that read as they should claim nothing. An addition forgotten or doubled in the first
/// that shows is likelier still, beside nothing wrong, once the second reads as planned: that tells
/// what both share. (Soda in place of lime is not always: it leaves the pH and narrows its error
/// bar.)
#[test]
fn a_second_random_brew_that_agrees_makes_a_slip_of_the_first_clearer() {
    let mut slips = 0;
    for seed in 0..trials(12, 60) {
        let [_, day] = once_and_twice(seed);
        let checks = day.diagnostics().expect("checks");
        let both = of_both(&checks);
        let diagnosis = checks.diagnose(&both).expect("readings");
        assert_eq!(diagnosis.verdict, Verdict::AsExpected, "{diagnosis}");
        let (first, second): (Vec<_>, Vec<_>) = both.iter().partition(|one| one.brew == 1);
        let is_of_first = |fault: &&Fault| match fault {
            Fault::Addition { brew, slip, .. } => {
                *brew == Some(1) && matches!(slip, Slip::Forgotten | Slip::Doubled)
            }
            _ => false,
        };
        for fault in checks.faults().filter(is_of_first) {
            let mut read = first.clone();
            let shown = checks.shown(Some(fault), &read).expect("a fault");
            for (reading, value) in read.iter_mut().zip(shown) {
                reading.value = value;
            }
            let lead = |read: &[MeterReading]| {
                let diagnosis = checks.diagnose(read).expect("readings");
                let [slip, nothing] = [Some(fault), None].map(|fault| of(&diagnosis, fault));
                slip.ln_likelihood - nothing.ln_likelihood
            };
            let alone = lead(&read);
            read.extend(second.iter().copied());
            let beside = lead(&read);
            if alone > 0.1 {
                slips += 1;
                assert!(beside > alone, "{fault:?}: {alone} {beside}");
            }
        }
    }
    assert!(slips > 10, "{slips} slips");
}
