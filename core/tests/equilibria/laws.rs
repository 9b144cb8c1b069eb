//! Laws that every equilibrium must keep.

use underlet::aqueous::{Aqueous, Equilibrium, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::{Dose, Liquor};

use super::balances;
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// Hydrochloric acid, one mole.
fn acid() -> Dose {
    Dose {
        ions: Composition::ZERO.with(Component::Chloride, 1.0),
        alkalinity_eq: -1.0,
        carbon_mol: 0.0,
    }
}

/// A water from a tap or a well, with its carbon.
fn natural(dice: &mut Dice) -> Liquor {
    let ions = Composition::ZERO
        .with(Component::Calcium, dice.magnitude(5e-5, 8e-3))
        .with(Component::Magnesium, dice.magnitude(2e-5, 4e-3))
        .with(Component::Sodium, dice.magnitude(5e-5, 1e-2))
        .with(Component::Potassium, dice.magnitude(1e-6, 1e-3))
        .with(Component::Chloride, dice.magnitude(5e-5, 1e-2))
        .with(Component::Sulfate, dice.magnitude(1e-5, 5e-3))
        .with(Component::Fluoride, dice.magnitude(1e-7, 1e-4))
        .with(Component::Silica, dice.magnitude(1e-6, 5e-4));
    let alkalinity_eq_per_kg = dice.magnitude(1e-4, 8e-3);
    let carbon_mol_per_kg = alkalinity_eq_per_kg * dice.real(0.95, 1.4);
    Liquor {
        ions,
        alkalinity_eq_per_kg,
        carbon_mol_per_kg,
        temperature_c: 20.0,
    }
}

/// The same with weak acids and ammonia.
fn soured(dice: &mut Dice) -> Liquor {
    let mut liquor = natural(dice);
    for ion in Component::ALL.into_iter().filter(|ion| ion.is_weak_acid()) {
        liquor.ions.set(ion, dice.magnitude(1e-6, 5e-3));
    }
    liquor
        .ions
        .set(Component::Ammonium, dice.magnitude(1e-6, 1e-3));
    liquor
}

fn closed(liquor: &Liquor, celsius: f64) -> Equilibrium {
    Aqueous::at(celsius).closed(liquor).expect("an equilibrium")
}

/// Balances close to this, relative.
const CLOSE: f64 = 1e-12;

#[test]
fn elements_and_charge_balance() {
    let mut dice = Dice::new(1);
    for _ in 0..2000 {
        let liquor = soured(&mut dice);
        let aqueous = Aqueous::at(dice.real(0.0, 100.0));
        let check = |state: &Equilibrium, moved: f64| {
            let (error, name) = balances::worst(state, moved);
            assert!(error < CLOSE, "{name} is off by {error:e}: {liquor:?}");
        };
        check(&aqueous.closed(&liquor).expect("closed"), 0.0);
        check(
            &aqueous.open(&liquor, dice.real(-4.0, 0.0)).expect("open"),
            0.0,
        );
        check(
            &aqueous
                .with_ph_and_carbon(&liquor, dice.real(2.0, 12.0))
                .expect("pH and carbon"),
            0.0,
        );
        let (state, dose) = aqueous
            .dosed_to_ph(&liquor, &acid(), 4.0, None)
            .expect("dosed");
        check(&state, dose.abs());
        let minerals = [
            (Mineral::Calcite, 0.0),
            (Mineral::Gypsum, 0.0),
            (Mineral::Brucite, 0.0),
        ];
        check(
            &aqueous
                .precipitated(&liquor, &minerals, None)
                .expect("precipitated")
                .0,
            0.0,
        );
    }
}

#[test]
fn acid_lowers_the_ph() {
    let mut dice = Dice::new(2);
    for _ in 0..200 {
        let liquor = soured(&mut dice);
        let aqueous = Aqueous::at(dice.real(0.0, 100.0));
        let pressure = dice.chance(0.5).then(|| dice.real(-4.0, -1.0));
        let ph = |dose: f64| {
            let dosed = liquor.dosed(&acid(), dose);
            let state = match pressure {
                None => aqueous.closed(&dosed),
                Some(pressure) => aqueous.open(&dosed, pressure),
            };
            state.expect("an equilibrium").ph
        };
        let step = 2.0 * liquor.alkalinity_eq_per_kg / 100.0;
        let mut last = ph(0.0);
        for times in 1..100 {
            let next = ph(f64::from(times) * step);
            assert!(next < last, "pH {last} then {next}: {liquor:?}");
            last = next;
        }
    }
}

#[test]
fn a_dose_found_gives_the_ph_asked_for() {
    let mut dice = Dice::new(3);
    for _ in 0..500 {
        let liquor = soured(&mut dice);
        let celsius = dice.real(0.0, 100.0);
        let aqueous = Aqueous::at(celsius);
        let ph = closed(&liquor, celsius).ph - dice.real(0.05, 2.5);
        let (_, dose) = aqueous
            .dosed_to_ph(&liquor, &acid(), ph, None)
            .expect("a dose");
        let back = closed(&liquor.dosed(&acid(), dose), celsius).ph;
        assert!((back - ph).abs() < 1e-9, "{back} for {ph}");
    }
}

#[test]
fn heating_brings_calcite_nearer() {
    let mut dice = Dice::new(4);
    for _ in 0..200 {
        let liquor = natural(&mut dice);
        // Waters with some free carbon dioxide: where carbonate itself is much of the alkalinity,
        // it falls faster than the constant.
        if closed(&liquor, 20.0).ph > 7.8 {
            continue;
        }
        let index = |celsius: f64| closed(&liquor, celsius).saturation_index(Mineral::Calcite);
        let mut last = index(0.0);
        for celsius in 1..=100 {
            let next = index(f64::from(celsius));
            assert!(
                next > last,
                "{last} then {next} at {celsius} °C: {liquor:?}"
            );
            last = next;
        }
    }
}

/// Finds the steepest of many equal steps and looks closer: a hundred times as fine, a curve must
/// step less by far; a jump would stay.
fn assert_no_jump(name: &str, function: impl Fn(f64) -> f64, low: f64, high: f64) {
    const STEPS: u32 = 400;
    /// Of the steps within the steepest, at most this share of it; rounding aside.
    const SHARE: f64 = 0.2;
    const ROUNDING: f64 = 1e-9;
    let steepest = |low: f64, high: f64| {
        let at = |step: u32| low + (high - low) * f64::from(step) / f64::from(STEPS);
        let steps = (0..STEPS).map(|step| (at(step), at(step + 1)));
        steps
            .map(|(from, to)| ((function(to) - function(from)).abs(), from, to))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .expect("a step")
    };
    let (mut rise, mut from, mut to) = steepest(low, high);
    for _ in 0..3 {
        let next = steepest(from, to);
        assert!(
            next.0 < SHARE * rise + ROUNDING,
            "{name} jumps by {} near {}",
            next.0,
            next.1
        );
        (rise, from, to) = next;
    }
}

#[test]
fn no_jumps_of_random_liquors_with_temperature() {
    let mut dice = Dice::new(5);
    for _ in 0..trials(10, 20) {
        let liquor = soured(&mut dice);
        assert_no_jump("pH", |celsius| closed(&liquor, celsius).ph, 0.0, 100.0);
        let index = |celsius: f64| closed(&liquor, celsius).saturation_index(Mineral::Calcite);
        assert_no_jump("saturation index", index, 0.0, 100.0);
    }
}

#[test]
fn no_jumps_of_random_liquors_with_totals() {
    let mut dice = Dice::new(6);
    for _ in 0..trials(4, 10) {
        let liquor = soured(&mut dice);
        for ion in Component::ALL {
            let most = liquor.ions.get(ion).max(1e-5);
            let with = |amount: f64| {
                let mut changed = liquor;
                changed.ions.set(ion, amount);
                closed(&changed, 25.0).ph
            };
            // From nothing at all: the first step is from a liquor without the ion to one with it.
            assert_no_jump(ion.key(), with, 0.0, most);
            assert!(
                (with(0.0) - with(1e-14)).abs() < 1e-8,
                "{} from nothing",
                ion.key()
            );
        }
        let alkalinity = |eq: f64| {
            closed(
                &Liquor {
                    alkalinity_eq_per_kg: eq,
                    ..liquor
                },
                25.0,
            )
            .ph
        };
        assert_no_jump("alkalinity", alkalinity, -2e-3, 8e-3);
        let carbon = |mol: f64| {
            closed(
                &Liquor {
                    carbon_mol_per_kg: mol,
                    ..liquor
                },
                25.0,
            )
            .ph
        };
        assert_no_jump("carbon", carbon, 0.0, 8e-3);
    }
}

#[test]
fn precipitating_ends_at_the_index_and_conserves() {
    let mut dice = Dice::new(7);
    let mut formed = 0;
    for _ in 0..1000 {
        let liquor = natural(&mut dice);
        let aqueous = Aqueous::at(dice.real(0.0, 100.0));
        let wanted = [
            (Mineral::Calcite, dice.real(0.0, 0.5)),
            (Mineral::Gypsum, 0.0),
            (Mineral::Brucite, 0.0),
        ];
        let pressure = dice.chance(0.5).then(|| dice.real(-4.0, -1.0));
        let (state, amounts) = aqueous
            .precipitated(&liquor, &wanted, pressure)
            .expect("an equilibrium");
        for ((mineral, index), amount) in wanted.into_iter().zip(&amounts) {
            let reached = state.saturation_index(mineral);
            if *amount > 0.0 {
                formed += 1;
                assert!((reached - index).abs() < 1e-9, "{mineral:?} at {reached}");
            } else {
                assert!(
                    *amount == 0.0 && reached < index + 1e-8,
                    "{mineral:?} at {reached}"
                );
            }
        }
        let [calcite, gypsum, brucite] = amounts[..] else {
            panic!("three amounts")
        };
        let close = |lost: f64, of: f64, by: f64| {
            assert!(
                (lost - by).abs() <= 1e-13 * (of.abs() + by),
                "{lost} against {by}"
            );
        };
        let (before, after) = (liquor.ions, state.liquor.ions);
        let lost = |ion: Component| before.get(ion) - after.get(ion);
        close(
            lost(Component::Calcium),
            before.get(Component::Calcium),
            calcite + gypsum,
        );
        close(
            lost(Component::Sulfate),
            before.get(Component::Sulfate),
            gypsum,
        );
        close(
            lost(Component::Magnesium),
            before.get(Component::Magnesium),
            brucite,
        );
        let alkalinity = liquor.alkalinity_eq_per_kg - state.liquor.alkalinity_eq_per_kg;
        close(
            alkalinity,
            liquor.alkalinity_eq_per_kg,
            2.0 * (calcite + brucite),
        );
        if pressure.is_none() {
            close(
                liquor.carbon_mol_per_kg - state.liquor.carbon_mol_per_kg,
                liquor.carbon_mol_per_kg,
                calcite,
            );
        }
    }
    assert!(formed > 200, "only {formed} precipitates");
}

#[test]
fn the_modes_agree() {
    let mut dice = Dice::new(8);
    for _ in 0..500 {
        let liquor = soured(&mut dice);
        let celsius = dice.real(0.0, 100.0);
        let aqueous = Aqueous::at(celsius);
        let open = aqueous.open(&liquor, dice.real(-4.0, 0.0)).expect("open");
        let shut = closed(&open.liquor, celsius);
        assert!(
            (open.ph - shut.ph).abs() < 1e-9 && (open.log10_pco2 - shut.log10_pco2).abs() < 1e-9
        );
        let by_ph = aqueous.with_ph(&open.liquor, open.ph).expect("with its pH");
        let carbon = open.liquor.carbon_mol_per_kg;
        // A pH tells carbon by the alkalinity it holds: little, in a sour liquor.
        let held = (open.molality("HCO3-") + open.molality("CO3-2")) / carbon;
        assert!((by_ph.liquor.carbon_mol_per_kg - carbon).abs() * held < 1e-12);
        let by_both = aqueous
            .with_ph_and_carbon(&open.liquor, open.ph)
            .expect("with its pH and carbon");
        let alkalinity = open.liquor.alkalinity_eq_per_kg;
        assert!(
            (by_both.liquor.alkalinity_eq_per_kg - alkalinity).abs()
                < 1e-9 * (alkalinity.abs() + carbon)
        );
    }
}
