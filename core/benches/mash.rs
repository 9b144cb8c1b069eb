//! How long mash pH takes: one by one, a million at once, and with its error bar.

use divan::{Bencher, black_box};
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::mash::{DoseUncertainty, Malt, Mash, TitrationCurve, ph_of_all};

/// Mashes in a batch.
const MANY: u32 = 1_000_000;

/// Four malts, one of them acidulated; their masses differ from mash to mash.
fn grist(step: u32) -> [Malt; 4] {
    let more = f64::from(step % 97) / 10.0;
    [
        ("pilsner malt", 150.0 + more),
        ("light Munich malt", 30.0),
        ("caramel malt 80 to 120 EBC", 10.0),
        ("acidulated malt", 2.0),
    ]
    .map(|(class, mass_kg)| Malt {
        name: String::new(),
        mass_kg,
        curve: TitrationCurve::of_class(class).expect("a class"),
        is_class_prior: true,
    })
}

/// Liquor that differs in alkalinity, calcium and lactic acid.
fn liquor(step: u32) -> Liquor {
    let share = f64::from(step % 89) / 89.0;
    let ions = Composition::ZERO
        .with(Component::Calcium, 2.0e-3 * share)
        .with(Component::Chloride, 3.0e-3)
        .with(Component::Lactate, 1.0e-3 + 1.0e-3 * share);
    Liquor {
        ions,
        alkalinity_eq_per_kg: 4.0e-3 * share,
        carbon_mol_per_kg: 4.2e-3 * share,
        temperature_c: 20.0,
    }
}

/// Grists to draw from, so that a million mashes need not a million of them.
fn grists() -> Vec<[Malt; 4]> {
    (0..97).map(grist).collect()
}

fn mashes<'a>(
    grists: &'a [[Malt; 4]],
    liquor_of: impl Fn(u32) -> Liquor + 'a,
) -> impl Iterator<Item = Mash<'a>> {
    (0..MANY).map(move |step| Mash {
        grist: &grists[step as usize % grists.len()],
        water_kg: 600.0,
        liquor: liquor_of(step),
    })
}

/// A million mashes of four malts, every one with its own liquor.
#[divan::bench(sample_count = 10)]
fn a_million_each_with_its_own_liquor(bencher: Bencher) {
    let grists = grists();
    bencher.bench_local(|| ph_of_all(mashes(black_box(&grists), liquor)).sum::<f64>());
}

/// A million mashes of four malts in one liquor.
#[divan::bench(sample_count = 10)]
fn a_million_in_one_liquor(bencher: Bencher) {
    let grists = grists();
    let one = liquor(44);
    bencher.bench_local(|| ph_of_all(mashes(black_box(&grists), |_| one)).sum::<f64>());
}

#[divan::bench]
fn one_ph(bencher: Bencher) {
    let grist = grist(3);
    let mash = Mash {
        grist: &grist,
        water_kg: 600.0,
        liquor: liquor(44),
    };
    bencher.bench_local(|| black_box(&mash).ph());
}

#[divan::bench]
fn one_forecast(bencher: Bencher) {
    let grist = grist(3);
    let mash = Mash {
        grist: &grist,
        water_kg: 600.0,
        liquor: liquor(44),
    };
    let unsure = DoseUncertainty {
        alkalinity_eq_per_kg: 2e-4,
        ..DoseUncertainty::default()
    };
    bencher.bench_local(|| black_box(&mash).forecast_dosed(&unsure));
}

fn main() {
    divan::main();
}
