//! Error bars of reconciled waters in a seeded world where the truth is known, and whether a measurement that is off is found.
//! The program `reconciliation` prints the whole table.

use underlet_tests::reconciliation::{CLASSES, Detection, Scenario, coverage, detection};

const SEED: u64 = 20_260_401;
const WATERS: usize = 2000;

fn scenario(name: &str) -> Scenario {
    let mut all = Scenario::all().into_iter();
    all.find(|scenario| scenario.name == name).expect(name)
}

/// With 2,000 waters a coverage of 95 % scatters by 0.5; 93 to 97 is four times that.
fn assert_covers(name: &str) {
    let found = coverage(&scenario(name), WATERS, SEED);
    assert_eq!(found.waters, WATERS);
    for (quantity, tally) in &found.quantities {
        assert_eq!(tally.all, WATERS, "{name}: {quantity}");
        let percent = tally.percent();
        assert!(
            (93.0..=97.0).contains(&percent),
            "{name}: {quantity} {percent:.1} %"
        );
    }
    // A chi-square test cries wolf in 5 % at most; a supply that stays neutral as it drifts makes that less.
    assert!(found.beyond_chi_square * 1000 <= 65 * WATERS, "{name}");
}

#[test]
fn intervals_hold_the_truth_with_a_full_report() {
    assert_covers("fresh full report");
}

#[test]
fn intervals_hold_the_truth_without_sodium() {
    assert_covers("fresh report without sodium");
}

#[test]
fn intervals_hold_the_truth_with_an_old_report_and_the_bench() {
    assert_covers("report of 200 days, bench");
    assert_covers("ions of 30 days, bench");
}

fn share(part: usize, class: &Detection) -> f64 {
    part as f64 / class.all.max(1) as f64
}

/// One measurement is off by five standard deviations. Where the others check most of its variance it is named; where something
/// checks it at all it is among the suspects, and the better it is checked the fewer they are.
#[test]
fn a_measurement_that_is_off_is_found_where_others_check_it() {
    let classes = detection(&scenario("two analyses of one day"), WATERS, SEED + 1);
    let [_, _, some, most] = classes;
    assert!(most.all > 300 && some.all > 300, "{classes:?}");
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
