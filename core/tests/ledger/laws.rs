//! Nothing is lost or made over random ledgers, and how a day is cut into lines changes nothing.

use underlet::component::Component;
use underlet::component::Composition;
use underlet::error::ErrorCode;
use underlet::liquor::{Dose, Liquor, water_density_kg_per_l};
use underlet::reagent::Preparation;
use underlet::tank::ledger::{Contents, Destination, Heel, Ledger, Line, Supply, Tank, Work};
use underlet::treatment::{ScaleCover, Surface};
use underlet_tables::REAGENTS;

use super::{certain, hard_well, soft_main, water};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// Relative difference that rounding may leave.
const EXACT: f64 = 1e-9;
/// The same where hours or a ramp are cut in two, error bars among the figures: integration leaves
/// a ten-millionth of what is dissolved, and a bar is the difference of up to a thousand times as
/// much.
const STOOD: f64 = 1e-4;
/// Alkalinity, carbon and water follow the ions in a tally.
const TALLIED: usize = Component::COUNT + 3;

type Tally = [f64; TALLIED];

/// All that so many kg of water with a liquor hold: mol, eq, mol, kg.
fn held(liquor: &Liquor, water_kg: f64) -> Tally {
    let mut tally = [0.0; TALLIED];
    for (place, (_, amount)) in tally.iter_mut().zip(liquor.ions.iter()) {
        *place = amount * water_kg;
    }
    tally[Component::COUNT] = liquor.alkalinity_eq_per_kg * water_kg;
    tally[Component::COUNT + 1] = liquor.carbon_mol_per_kg * water_kg;
    tally[Component::COUNT + 2] = water_kg;
    tally
}

fn add(sum: &mut Tally, part: &Tally) {
    for (sum, part) in sum.iter_mut().zip(part) {
        *sum += part;
    }
}

/// What left the tank otherwise than by a draw. Calcite is a calcium, a carbon and two equivalents.
fn lost(state: &Contents) -> Tally {
    let mut tally = [0.0; TALLIED];
    tally[Component::Calcium as usize] = state.calcite_mol;
    tally[Component::COUNT] = 2.0 * state.calcite_mol;
    tally[Component::COUNT + 1] = state.calcite_mol + state.carbon_dioxide_mol;
    tally[Component::COUNT + 2] = state.steam_kg;
    tally
}

/// Six waters: soft to hard, sweet to salty.
fn waters() -> Vec<Supply> {
    let gypsum = [
        (Component::Calcium, 6.0),
        (Component::Magnesium, 1.5),
        (Component::Sulfate, 5.0),
    ];
    let soda = [
        (Component::Sodium, 6.0),
        (Component::Calcium, 0.2),
        (Component::Chloride, 1.0),
    ];
    let salty = [
        (Component::Sodium, 9.0),
        (Component::Calcium, 2.0),
        (Component::Chloride, 10.0),
    ];
    vec![
        hard_well(),
        soft_main(),
        Supply::new("gypsum spring", water(&gypsum, 10.0, 7.2)),
        Supply::new("soda spring", water(&soda, 15.0, 8.3)),
        Supply::new("salt marsh", water(&salty, 14.0, 7.4)),
        Supply::new(
            "rain",
            Liquor {
                temperature_c: 9.0,
                ..Liquor::default()
            },
        ),
    ]
}

fn random_tank(dice: &mut Dice) -> Tank {
    let capacity = dice.real(250.0, 2500.0);
    let tank = Tank::new("tank", capacity, capacity * dice.real(0.0, 0.1));
    let (scale, surface) = (dice.one_of(ScaleCover::ALL), dice.one_of(Surface::ALL));
    certain(tank.with(*scale, *surface))
}

fn random_line(dice: &mut Dice, tank: &Tank, state: &Contents) -> Line {
    let volume_l = dice.real(0.0, 0.45) * tank.capacity_l;
    let supply = dice.pick(6);
    let work = match dice.pick(9) {
        0 | 1 => Work::Fill { supply, volume_l },
        2 => Work::Recover {
            supply,
            volume_l,
            temperature_c: dice.real(40.0, 85.0),
        },
        3 | 4 => Work::Dose {
            preparation: Preparation::usual(dice.one_of(REAGENTS).key).expect("a row"),
            // Up to half a gram or millilitre in a kilogram.
            amount: dice.real(0.0, 0.5) * state.water_kg,
        },
        5 => Work::Heat {
            to_c: dice.real(5.0, 95.0),
            hours: dice.real(0.0, 6.0),
        },
        6 => Work::Hold {
            hours: dice.real(0.0, 14.0),
        },
        _ => Work::Draw {
            volume_l,
            to: *dice.one_of(&[Destination::Mash, Destination::Sparge]),
        },
    };
    Line::new("a line", work)
}

/// What a line brings in, by the test's own sums.
fn brought(work: &Work, supplies: &[Supply]) -> Tally {
    match *work {
        Work::Fill { supply, volume_l } => {
            let liquor = &supplies[supply].liquor;
            held(
                liquor,
                volume_l * water_density_kg_per_l(liquor.temperature_c),
            )
        }
        Work::Recover {
            supply,
            volume_l,
            temperature_c,
        } => held(
            &supplies[supply].liquor,
            volume_l * water_density_kg_per_l(temperature_c),
        ),
        Work::Dose {
            preparation,
            amount,
        } => {
            let unit = preparation.dose_per_unit();
            let mut tally = [0.0; TALLIED];
            for (place, (_, mol)) in tally.iter_mut().zip(unit.ions.iter()) {
                *place = mol * amount;
            }
            tally[Component::COUNT] = unit.alkalinity_eq * amount;
            tally[Component::COUNT + 1] = unit.carbon_mol * amount;
            tally
        }
        Work::Heat { .. } | Work::Hold { .. } | Work::Draw { .. } => [0.0; TALLIED],
    }
}

/// A refusal must be true: the test's own reading of tank and line says so.
fn refused_rightly(code: ErrorCode, work: &Work, tank: &Tank, before: &Contents) -> bool {
    let near = |volume_l: f64| volume_l * (1.0 - EXACT);
    match (code, work) {
        (ErrorCode::Overdraw, Work::Draw { volume_l, .. }) => {
            *volume_l > near((before.volume_l() - tank.dead_l).max(0.0))
        }
        (ErrorCode::Overflow, Work::Fill { volume_l, .. } | Work::Recover { volume_l, .. }) => {
            // Blending hot and cold may shrink the sum by a few per cent, never more.
            before.volume_l() + volume_l > near(tank.capacity_l)
        }
        (ErrorCode::Overflow, Work::Heat { to_c, .. }) => {
            before.water_kg / water_density_kg_per_l(*to_c) > near(tank.capacity_l)
        }
        (ErrorCode::Dry, Work::Heat { .. } | Work::Hold { .. } | Work::Dose { .. }) => {
            before.water_kg == 0.0
        }
        _ => false,
    }
}

#[test]
fn nothing_is_lost_or_made_over_random_ledgers() {
    let supplies = waters();
    let (mut refused, mut scaled, mut stood) = (0_u64, 0_u64, 0_u64);
    let count = trials(3_000, 100_000);
    for seed in 0..count {
        let dice = &mut Dice::new(seed);
        let tank = random_tank(dice);
        let mut ledger = Ledger::empty(tank.clone(), supplies.clone()).expect("opens");
        let (mut came, mut left) = ([0.0; TALLIED], [0.0; TALLIED]);
        for _ in 0..8 {
            let before = *ledger.state();
            let line = random_line(dice, &tank, &before);
            let place = ledger.entries().len();
            match ledger.enter(line.clone()) {
                Ok(entry) => {
                    if let Some(drawn) = &entry.drawn {
                        add(&mut left, &held(&drawn.liquor, drawn.water_kg));
                    }
                    add(&mut came, &brought(&line.work, &supplies));
                    stood += u64::from(
                        entry.after.state().carbon_dioxide_mol != before.carbon_dioxide_mol,
                    );
                }
                Err(error) => {
                    refused += 1;
                    assert_eq!(error.line, Some(place), "{seed}: {error}");
                    assert!(
                        refused_rightly(error.problem.code, &line.work, &tank, &before),
                        "{seed}: {error}"
                    );
                    assert_eq!(*ledger.state(), before, "{seed}");
                }
            }
            let state = ledger.state();
            assert!(
                state.water_kg >= 0.0 && state.volume_l() <= tank.capacity_l * (1.0 + EXACT),
                "{seed}"
            );
            assert!(
                state.liquor().ions.iter().all(|(_, amount)| amount >= 0.0),
                "{seed}"
            );
            assert!(state.dissolved.carbon_mol >= 0.0, "{seed}");
        }
        let state = ledger.state();
        scaled += u64::from(state.calcite_mol > 0.0);
        add(&mut left, &held(&state.liquor(), state.water_kg));
        add(&mut left, &lost(state));
        for (place, (came, left)) in came.into_iter().zip(left).enumerate() {
            assert!(
                (came - left).abs() <= EXACT * came.abs().max(1e-3),
                "{seed}, {place}: {came} {left}"
            );
        }
        // The waters balance and so do reagents: so does the tank.
        let liquor = state.liquor();
        let charge = liquor.ions.strong_charge() - liquor.alkalinity_eq_per_kg;
        assert!(charge.abs() <= EXACT * 0.01, "{seed}: {charge}");
    }
    // The dice fall on all that is asked about.
    assert!(
        refused > count && 10 * scaled > count && 2 * stood > count,
        "{refused} {scaled} {stood}"
    );
}

/// A day that fits, with fill, dose, draw and hours of standing.
fn day(dice: &mut Dice) -> Vec<Line> {
    let supply = dice.pick(6);
    let reagent = Preparation::usual(dice.one_of(REAGENTS).key).expect("a row");
    [
        Work::Fill {
            supply,
            volume_l: dice.real(300.0, 600.0),
        },
        Work::Dose {
            preparation: reagent,
            amount: dice.real(0.0, 150.0),
        },
        Work::Heat {
            to_c: dice.real(60.0, 85.0),
            hours: dice.real(0.0, 4.0),
        },
        Work::Draw {
            volume_l: dice.real(50.0, 200.0),
            to: Destination::Mash,
        },
        Work::Recover {
            supply: dice.pick(6),
            volume_l: dice.real(100.0, 300.0),
            temperature_c: 70.0,
        },
        Work::Dose {
            preparation: reagent,
            amount: dice.real(0.0, 50.0),
        },
        Work::Hold {
            hours: dice.real(0.0, 12.0),
        },
        Work::Draw {
            volume_l: dice.real(10.0, 50.0),
            to: Destination::Sparge,
        },
    ]
    .into_iter()
    .map(|work| Line::new("a line", work))
    .collect()
}

fn unsure_tank() -> Tank {
    Tank::new("tank", 1200.0, 20.0)
}

fn unsure_waters() -> Vec<Supply> {
    // Alkalinity with the carbon that goes along at one pH, and calcium.
    let unsure = |supply: Supply| {
        let liquor = supply.liquor;
        let alkalinity = 0.0001;
        let carbon_mol = if liquor.alkalinity_eq_per_kg > 0.0 {
            alkalinity * liquor.carbon_mol_per_kg / liquor.alkalinity_eq_per_kg
        } else {
            0.0
        };
        let of_alkalinity = Dose {
            alkalinity_eq: alkalinity,
            carbon_mol,
            ..Dose::default()
        };
        let of_calcium = Dose {
            ions: Composition::ZERO.with(Component::Calcium, 0.0001),
            ..Dose::default()
        };
        Supply {
            components: vec![of_alkalinity, of_calcium],
            ..supply
        }
    };
    waters().into_iter().map(unsure).collect()
}

fn ended(lines: &[Line]) -> Ledger {
    let mut ledger = Ledger::empty(unsure_tank(), unsure_waters()).expect("opens");
    ledger.enter_all(lines.to_vec()).expect("fits");
    ledger
}

/// A line as two that do the same together, in a tank at a temperature.
fn halves(line: &Line, share: f64, from_c: f64) -> [Line; 2] {
    let part = |share: f64, is_last: bool| {
        let work = match line.work {
            Work::Fill { supply, volume_l } => Work::Fill {
                supply,
                volume_l: share * volume_l,
            },
            Work::Recover {
                supply,
                volume_l,
                temperature_c,
            } => Work::Recover {
                supply,
                volume_l: share * volume_l,
                temperature_c,
            },
            Work::Dose {
                preparation,
                amount,
            } => Work::Dose {
                preparation,
                amount: share * amount,
            },
            Work::Draw { volume_l, to } => Work::Draw {
                volume_l: share * volume_l,
                to,
            },
            Work::Hold { hours } => Work::Hold {
                hours: share * hours,
            },
            Work::Heat { to_c, hours } => Work::Heat {
                to_c: if is_last {
                    to_c
                } else {
                    from_c + share * (to_c - from_c)
                },
                hours: share * hours,
            },
        };
        Line::new("a part", work)
    };
    [part(share, false), part(1.0 - share, true)]
}

fn figures(ledger: &Ledger) -> Vec<f64> {
    let (state, bars) = (ledger.state(), ledger.bars());
    let mut figures = held(&state.liquor(), state.water_kg).to_vec();
    figures.extend(lost(state));
    figures.extend([
        state.temperature_c,
        bars.alkalinity_eq_per_kg,
        bars.calcium_mol_per_kg,
    ]);
    figures.extend([bars.carbon_mol_per_kg, bars.volume_l, bars.scale_g]);
    figures
}

#[test]
fn splitting_a_random_addition_in_two_changes_nothing() {
    for seed in 0..trials(25, 500) {
        let dice = &mut Dice::new(seed);
        let lines = day(dice);
        let day = ended(&lines);
        let whole = figures(&day);
        for (place, line) in lines.iter().enumerate() {
            let from_c = day.entries()[place].before.state().temperature_c;
            let parts = halves(line, dice.real(0.1, 0.9), from_c);
            let mut split = lines.clone();
            split.splice(place..=place, parts);
            let near = match line.work {
                Work::Hold { .. } | Work::Heat { .. } => STOOD,
                _ => EXACT,
            };
            for (one, other) in whole.iter().zip(figures(&ended(&split))) {
                assert!(
                    (one - other).abs() <= near * one.abs().max(1e-3),
                    "{seed}, {place}: {one} {other}"
                );
            }
        }
    }
}

#[test]
fn a_random_day_in_two_joined_by_the_heel_is_the_same_day() {
    for seed in 0..trials(25, 500) {
        let lines = day(&mut Dice::new(seed));
        let whole = ended(&lines);
        for cut in 0..=lines.len() {
            let heel: Heel = ended(&lines[..cut]).close();
            let mut second = Ledger::open(unsure_tank(), unsure_waters(), heel).expect("opens");
            second.enter_all(lines[cut..].to_vec()).expect("fits");
            // To the bit: the heel carries all there is.
            assert_eq!(figures(&second), figures(&whole), "{seed}, {cut}");
        }
    }
}

#[test]
fn a_random_ramp_in_two_is_the_same_ramp() {
    for seed in 0..trials(40, 200) {
        let dice = &mut Dice::new(seed);
        let (middle, hours) = (dice.real(20.0, 75.0), dice.real(1.0, 4.0));
        let supply = dice.pick(6);
        let from_c = unsure_waters()[supply].liquor.temperature_c;
        let share = (middle - from_c) / (78.0 - from_c);
        let heat = |to_c: f64, hours: f64| Line::new("heat", Work::Heat { to_c, hours });
        let fill = Work::Fill {
            supply,
            volume_l: 800.0,
        };
        let end = |ramps: &[Line]| {
            let mut lines = vec![Line::new("fill", fill)];
            lines.extend_from_slice(ramps);
            *ended(&lines).state()
        };
        let whole = end(&[heat(78.0, hours)]);
        let halves = end(&[
            heat(middle, share * hours),
            heat(78.0, (1.0 - share) * hours),
        ]);
        for of in [
            |state: &Contents| state.calcite_mol,
            |state: &Contents| state.carbon_dioxide_mol,
        ] {
            let (whole, halves) = (of(&whole), of(&halves));
            assert!(
                (whole - halves).abs() <= 1e-6 * whole.abs() + 1e-6,
                "{seed}: {whole} {halves}"
            );
        }
    }
}

#[test]
fn a_ledger_without_doubt_has_no_bars_and_doubt_adds_up() {
    let lines = day(&mut Dice::new(7));
    let mut sure = Ledger::empty(certain(unsure_tank()), waters()).expect("opens");
    sure.enter_all(lines.clone()).expect("fits");
    assert_eq!(sure.bars(), underlet::tank::ledger::Bars::default());
    let filled = ended(&lines[..1]);
    // After the first fill nothing but the supply is in doubt: 0.1 meq/kg and 0.1 mmol/kg.
    assert!((filled.bars().alkalinity_eq_per_kg - 0.0001).abs() < 1e-12);
    assert!((filled.bars().calcium_mol_per_kg - 0.0001).abs() < 1e-12);
    assert_eq!(filled.bars().volume_l, 0.0);
    let later = ended(&lines);
    assert!(later.bars().volume_l > 0.0);
    assert_eq!(later.bars(), later.entries()[lines.len() - 1].bars());
}
