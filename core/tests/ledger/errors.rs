//! Lines that cannot be, each named.

use std::collections::BTreeSet;

use underlet::component::Component;
use underlet::error::ErrorCode;
use underlet::liquor::Liquor;
use underlet::tank::ledger::{Destination, Heel, Ledger, LedgerError, Line, Supply, Tank, Work};
use underlet::treatment::Rates;

use super::{dose, fill, hard_well};

fn tank() -> Tank {
    Tank::new("hot-liquor tank", 1200.0, 60.0)
}

/// The error of the last of these lines.
fn error(lines: Vec<Line>) -> LedgerError {
    let mut ledger = Ledger::empty(tank(), vec![hard_well()]).expect("opens");
    let last = lines.len() - 1;
    for (place, line) in lines.into_iter().enumerate() {
        let before = *ledger.state();
        match ledger.enter(line) {
            Ok(_) => assert!(place < last, "every line fits"),
            Err(error) => {
                assert_eq!((place, error.line), (last, Some(last)), "{error}");
                // What failed has changed nothing.
                assert_eq!((*ledger.state(), ledger.entries().len()), (before, last));
                return error;
            }
        }
    }
    unreachable!("the last line returns")
}

fn line(work: Work) -> Line {
    Line::new("odd", work)
}

fn drawn(volume_l: f64) -> Line {
    Line::new(
        "sparge",
        Work::Draw {
            volume_l,
            to: Destination::Sparge,
        },
    )
}

#[test]
fn an_overdraw_names_the_line_and_both_amounts() {
    let error = error(vec![fill(500.0), drawn(300.0), drawn(160.0)]);
    assert_eq!(error.problem.code, ErrorCode::Overdraw);
    assert_eq!(
        error.to_string(),
        "line 3, sparge: found 160.0 L; expected at most 140.0 L: what the tank holds above its \
         dead space of 60.0 L. Draw less, or fill more before. [overdraw]"
    );
}

#[test]
fn a_draw_to_the_dead_space_just_fits() {
    let mut ledger = Ledger::empty(tank(), vec![hard_well()]).expect("opens");
    ledger.enter(fill(500.0)).expect("fits");
    for _ in 0..10 {
        ledger.enter(drawn(44.0)).expect("ten times 44 L are 440 L");
    }
    assert!((ledger.state().volume_l() - 60.0).abs() < 1e-9);
}

#[test]
fn cold_water_swells_over_the_brim() {
    // 1180 L at 12 °C are 1180 x 0.99950/0.97303 = 1212.1 L at 78 °C.
    let error = error(vec![
        fill(1180.0),
        line(Work::Heat {
            to_c: 78.0,
            hours: 0.0,
        }),
    ]);
    assert_eq!(error.problem.code, ErrorCode::Overflow);
    assert!(error.problem.found.starts_with("1212.1 L"), "{error}");
}

#[test]
fn every_code_has_a_line_that_meets_it() {
    let met = [
        error(vec![fill(1201.0)]),
        error(vec![fill(-1.0)]),
        error(vec![fill(f64::NAN)]),
        error(vec![
            fill(100.0),
            line(Work::Hold {
                hours: f64::INFINITY,
            }),
        ]),
        error(vec![
            fill(100.0),
            line(Work::Heat {
                to_c: 101.0,
                hours: 1.0,
            }),
        ]),
        error(vec![line(Work::Recover {
            supply: 0,
            volume_l: 1.0,
            temperature_c: -1.0,
        })]),
        error(vec![line(Work::Fill {
            supply: 1,
            volume_l: 1.0,
        })]),
        error(vec![line(Work::Hold { hours: 1.0 })]),
        error(vec![dose("gypsum", "gypsum", 1.0)]),
        error(vec![drawn(1.0)]),
        // A litre of brine that no activity coefficient is known for.
        error(vec![
            fill(1.0),
            dose("salt", "sodium chloride", 1e6),
            line(Work::Hold { hours: 1.0 }),
        ]),
    ];
    let codes: BTreeSet<ErrorCode> = met.iter().map(|error| error.problem.code).collect();
    let all = BTreeSet::from([
        ErrorCode::OutOfRange,
        ErrorCode::NotFinite,
        ErrorCode::UnknownName,
        ErrorCode::Overdraw,
        ErrorCode::Overflow,
        ErrorCode::Dry,
        ErrorCode::NoEquilibrium,
    ]);
    assert_eq!(codes, all);
    for error in met {
        assert!(
            !error.problem.code.meaning().is_empty()
                && !error.problem.hint.is_empty()
                && !error.problem.expected.is_empty()
        );
    }
}

#[test]
fn tank_supply_and_heel_are_looked_at_before_the_first_line() {
    let odd = |tank: Tank, supply: Supply, heel: Heel| {
        let error = Ledger::open(tank, vec![supply], heel).expect_err("odd");
        assert_eq!(error.line, None);
        error.label
    };
    let endless = Tank {
        capacity_l: f64::INFINITY,
        ..tank()
    };
    assert_eq!(odd(endless, hard_well(), Heel::ZERO), "hot-liquor tank");
    let still = Tank {
        rates: Rates {
            film_mm: Some(0.0),
            ..tank().rates
        },
        ..tank()
    };
    assert_eq!(odd(still, hard_well(), Heel::ZERO), "hot-liquor tank");
    let unsure = Tank {
        rates_sd: Rates {
            scale_area_cm2_per_l: f64::NAN,
            ..tank().rates_sd
        },
        ..tank()
    };
    assert_eq!(odd(unsure, hard_well(), Heel::ZERO), "hot-liquor tank");
    let full = Heel::of(&hard_well().liquor, 1300.0);
    assert_eq!(odd(tank(), hard_well(), full), "hot-liquor tank");
    let mut negative = hard_well();
    negative.liquor.ions.set(Component::Sodium, -0.001);
    assert_eq!(odd(tank(), negative, Heel::ZERO), "well");
    let nowhere = Liquor {
        alkalinity_eq_per_kg: f64::NAN,
        ..Liquor::default()
    };
    assert_eq!(
        odd(tank(), Supply::new("nowhere", nowhere), Heel::ZERO),
        "nowhere"
    );
}
