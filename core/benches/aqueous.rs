//! How long each problem to the equilibrium solver takes: a hard water with eight ions, constants
//! made beforehand.

use divan::{Bencher, black_box};
use underlet::aqueous::{Aqueous, Mineral};
use underlet::component::{Component, Composition};
use underlet::liquor::{Dose, Liquor};

/// Air, log10 atm.
const AIR: f64 = -3.4;

/// A hard alkaline well water.
fn water() -> Liquor {
    let ions = Composition::ZERO
        .with(Component::Calcium, 3.0e-3)
        .with(Component::Magnesium, 0.25e-3)
        .with(Component::Sodium, 0.65e-3)
        .with(Component::Potassium, 0.08e-3)
        .with(Component::Chloride, 1.2e-3)
        .with(Component::Sulfate, 0.45e-3)
        .with(Component::Nitrate, 0.13e-3)
        .with(Component::Silica, 0.2e-3);
    Liquor {
        ions,
        alkalinity_eq_per_kg: 5.0e-3,
        carbon_mol_per_kg: 5.4e-3,
        temperature_c: 20.0,
    }
}

fn ask<T>(bencher: Bencher, celsius: f64, problem: impl Fn(&Aqueous, &Liquor) -> T + Sync) {
    let (aqueous, liquor) = (Aqueous::at(celsius), water());
    bencher.bench(|| problem(black_box(&aqueous), black_box(&liquor)));
}

fn acid(ions: Composition) -> Dose {
    Dose {
        ions,
        alkalinity_eq: ions.strong_charge(),
        carbon_mol: 0.0,
    }
}

#[divan::bench]
fn constants_of_a_temperature() -> Aqueous {
    Aqueous::at(black_box(20.0))
}

#[divan::bench]
fn closed(bencher: Bencher) {
    ask(bencher, 20.0, Aqueous::closed);
}

#[divan::bench]
fn with_ph(bencher: Bencher) {
    ask(bencher, 20.0, |aqueous, liquor| {
        aqueous.with_ph(liquor, black_box(7.5))
    });
}

#[divan::bench]
fn with_ph_and_carbon(bencher: Bencher) {
    ask(bencher, 20.0, |aqueous, liquor| {
        aqueous.with_ph_and_carbon(liquor, black_box(7.5))
    });
}

#[divan::bench]
fn open_to_air(bencher: Bencher) {
    ask(bencher, 20.0, |aqueous, liquor| {
        aqueous.open(liquor, black_box(AIR))
    });
}

#[divan::bench]
fn heated_closed(bencher: Bencher) {
    ask(bencher, 80.0, Aqueous::closed);
}

#[divan::bench]
fn calcite_precipitates_open(bencher: Bencher) {
    ask(bencher, 80.0, |aqueous, liquor| {
        aqueous.precipitated(liquor, &[(Mineral::Calcite, 0.0)], Some(AIR))
    });
}

#[divan::bench]
fn three_minerals_closed(bencher: Bencher) {
    let minerals = [
        (Mineral::Calcite, 0.0),
        (Mineral::Gypsum, 0.0),
        (Mineral::Brucite, 0.0),
    ];
    ask(bencher, 80.0, move |aqueous, liquor| {
        aqueous.precipitated(liquor, &minerals, None)
    });
}

#[divan::bench]
fn hydrochloric_acid_to_a_ph(bencher: Bencher) {
    let acid = acid(Composition::ZERO.with(Component::Chloride, 1.0));
    ask(bencher, 20.0, move |aqueous, liquor| {
        aqueous.dosed_to_ph(liquor, &acid, black_box(5.6), None)
    });
}

#[divan::bench]
fn lactic_acid_to_a_ph_in_the_open(bencher: Bencher) {
    let acid = acid(Composition::ZERO.with(Component::Lactate, 1.0));
    ask(bencher, 20.0, move |aqueous, liquor| {
        aqueous.dosed_to_ph(liquor, &acid, black_box(5.6), Some(AIR))
    });
}

#[divan::bench]
fn conductivity(bencher: Bencher) {
    let state = Aqueous::at(20.0).closed(&water()).expect("an equilibrium");
    bencher.bench(|| black_box(&state).conductivity_25c_us_per_cm());
}

#[divan::bench]
fn sensitivities(bencher: Bencher) {
    let aqueous = Aqueous::at(20.0);
    let state = aqueous.closed(&water()).expect("an equilibrium");
    bencher.bench(|| {
        aqueous
            .sensitivities(black_box(&state))
            .map(|sensitivities| sensitivities.ph())
    });
}

#[divan::bench]
fn slopes_of_conductivity(bencher: Bencher) {
    let aqueous = Aqueous::at(20.0);
    let state = aqueous.closed(&water()).expect("an equilibrium");
    let sensitivities = aqueous.sensitivities(&state).expect("of this temperature");
    bencher.bench(|| black_box(&sensitivities).conductivity_25c_us_per_cm());
}

fn main() {
    divan::main();
}
