//! Mashes that are read and corrected in a seeded world: a smaller run of `corrected_days`.

use underlet_tests::corrected_days::{CorrectedDay, Stated, shares, try_out};

const DAYS: usize = 200;
const SEED: u64 = 11;

/// In 5,000 days 91 % end within a tenth of the middle of their range after two corrections, 59 %
/// without, and 1 % below the range. Of 200 days chance leaves 2.0, 3.5 and 0.8 %: bounds at three
/// times that.
#[test]
fn corrected_mashes_end_where_they_were_stated_to() {
    let days = try_out(DAYS, SEED);
    let of = |stage: fn(&CorrectedDay) -> Stated| {
        let stages: Vec<Stated> = days.iter().map(stage).collect();
        shares(stages.iter())
    };
    let planned = of(|day| day.as_planned);
    let once = of(|day| day.corrected[0]);
    let twice = of(|day| day.corrected[1]);
    for stage in [planned, once, twice] {
        assert!((stage.stated - stage.inside).abs() < 10.5, "{stage:?}");
    }
    assert!(
        twice.within_a_tenth > 85.0 && planned.within_a_tenth < 70.0,
        "{twice:?}"
    );
    assert!(twice.below < 4.0, "{twice:?}");
    assert!(days.iter().filter(|day| day.foreseen.is_some()).count() > DAYS / 2);
}
