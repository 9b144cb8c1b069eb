//! Error bars of reconciled waters in a seeded world where the truth is known, and whether a
//! measurement that is off is found. The program `reconciliation` prints the whole table.

use underlet_tests::reconciliation::{CLASSES, Detection, Scenario, coverage, detection};
use underlet_tests::trials::trials;

const SEED: u64 = 20_260_401;

fn waters() -> usize {
    trials(500, 2000)
}

fn scenario(name: &str) -> Scenario {
    let mut all = Scenario::all().into_iter();
    all.find(|scenario| scenario.name == name).expect(name)
}

/// How many times as much a share scatters as with 2,000 waters, for which the bounds are made.
fn scatter(waters: usize) -> f64 {
    (2000.0 / waters as f64).sqrt()
}

/// With 2,000 waters a coverage of 95 % scatters by 0.5; 93 to 97 is four times that.
fn assert_covers(name: &str) {
    let waters = waters();
    let found = coverage(&scenario(name), waters, SEED);
    assert_eq!(found.waters, waters);
    let within = 2.0 * scatter(waters);
    for (quantity, tally) in &found.quantities {
        assert_eq!(tally.all, waters, "{name}: {quantity}");
        let percent = tally.percent();
        assert!(
            (percent - 95.0).abs() <= within,
            "{name}: {quantity} {percent:.1} %"
        );
    }
    // A chi-square test cries wolf in 5 % at most, give or take three times 0.5; a supply that
    // stays neutral as it drifts makes that less.
    let beyond = 100.0 * found.beyond_chi_square as f64 / waters as f64;
    assert!(beyond <= 5.0 + 1.5 * scatter(waters), "{name}: {beyond} %");
}

#[test]
fn intervals_hold_the_truth_of_random_waters_with_a_full_report() {
    assert_covers("fresh full report");
}

#[test]
fn intervals_hold_the_truth_of_random_waters_without_sodium() {
    assert_covers("fresh report without sodium");
}

#[test]
fn intervals_hold_the_truth_of_random_waters_with_an_old_report_and_the_bench() {
    assert_covers("report of 200 days, bench");
    assert_covers("ions of 30 days, bench");
}

fn share(part: usize, class: &Detection) -> f64 {
    part as f64 / class.all.max(1) as f64
}

/// One measurement is off by five standard deviations. Where the others check most of its variance
/// it is named; where something checks it at all it is among the suspects, and the better it is
/// checked the fewer they are.
#[test]
fn a_measurement_of_a_random_water_that_is_off_is_found_where_others_check_it() {
    let waters = waters();
    let classes = detection(&scenario("two analyses of one day"), waters, SEED + 1);
    println!("{classes:?}");
    let [_, _, some, most] = classes;
    assert!(20 * most.all.min(some.all) > 3 * waters, "{classes:?}");
    assert!(share(most.named, &most) > 0.94, "{classes:?}");
    assert!(share(most.alarmed, &most) > 0.9, "{classes:?}");
    for (end, class) in CLASSES
        .iter()
        .zip(&classes)
        .filter(|(_, class)| class.all > 0)
    {
        assert!(
            share(class.suspected, class) > 0.97,
            "up to {end}: {class:?}"
        );
    }
    assert!(share(most.suspects, &most) < 5.0 && share(some.suspects, &some) < 11.0);
}
