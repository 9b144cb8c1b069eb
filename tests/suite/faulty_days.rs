//! Single faults of a brew day in a seeded world: a smaller run of `faulty_days`.

use underlet_tests::faulty_days::{FaultyDay, KINDS, Side, try_out};

const DAYS: usize = 160;
const SEED: u64 = 7;

/// In 2,000 days the right explanation is first in nine of ten detectable faults, one of a hundred
/// sound days raises an alarm, and the readings of seven sound days in a hundred are beyond what
/// chance has on five, since what the vessels do is no straight line. Here are some forty-five
/// detectable faults (the share scatters by 0.04) and 160 sound days (one or two alarms, scatter
/// 1.2; eleven beyond, scatter 3.2): bounds at the goal, and some three scatters and more.
#[test]
fn detectable_faults_are_found_and_sound_days_left_alone() {
    let outcome = try_out(DAYS, SEED);
    assert_eq!((outcome.faulty.len(), outcome.sound), (DAYS, DAYS));
    let detectable = outcome.faulty.iter().filter(|day| day.is_detectable());
    let detectable = detectable.count();
    assert!(detectable * 100 >= 15 * DAYS, "{detectable} detectable");
    let first = outcome.percent(FaultyDay::is_detectable, |day| day.is_first);
    assert!(first >= 80.0, "{first} % first");
    let misnamed = outcome.percent(|_| true, |day| day.is_misnamed);
    assert!(misnamed <= 8.0, "{misnamed} % taken for another fault");
    assert!(outcome.alarms_percent() <= 3.0, "{} alarms", outcome.alarms);
    assert!(
        (3..=25).contains(&outcome.beyond),
        "{} beyond",
        outcome.beyond
    );
    // Tolerances: some 1,800 readings, a dozen of a day hanging together, so that the mean square
    // of 1 scatters by 0.05 to 0.1.
    let mean_square = outcome.squares / outcome.readings as f64;
    assert!(
        (0.8..=1.25).contains(&mean_square),
        "mean square {mean_square}"
    );
    // Of 95 % of some 800 readings of pH, several of a day hanging together, chance leaves 1.5 %; of
    // the volumes of some 70 end points 2.6 %.
    let inside = outcome.interval_percent(None, Side::Inside);
    assert!((91.0..=99.0).contains(&inside), "{inside} % inside");
    let volumes = outcome.of_end_point.iter().copied();
    assert!(volumes.len() >= 30, "{} end points", volumes.len());
    let inside = Side::Inside.percent(volumes);
    assert!(inside >= 87.0, "{inside} % of the volumes inside");
    for (kind, name) in KINDS.iter().enumerate() {
        assert!(
            outcome.faulty.iter().any(|day| day.kind == kind),
            "no {name}"
        );
    }
}

/// The same seed gives the same days and the same findings.
#[test]
fn a_seed_gives_one_outcome() {
    assert_eq!(try_out(3, 11), try_out(3, 11));
}
