//! Treatments against PHREEQC, printed worked examples and the laws they must keep.

mod chlorine;
mod hold;
mod hold_laws;
mod lime;
mod membrane;
mod scaling;

use underlet::aqueous::Aqueous;
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;

/// The hard water of Ninefold Quay's well (invented), per kg: Ca 2.75, Mg 0.5, Na 0.7, Cl 1.0, SO4
/// 0.5 mmol, so an alkalinity of 5.2 meq; pH 7.3 at 12 °C.
fn hard_well() -> Liquor {
    let ions = Composition::ZERO
        .with(Component::Calcium, 0.00275)
        .with(Component::Magnesium, 0.0005)
        .with(Component::Sodium, 0.0007)
        .with(Component::Chloride, 0.001)
        .with(Component::Sulfate, 0.0005);
    let water = Liquor {
        ions,
        alkalinity_eq_per_kg: ions.strong_charge(),
        ..Liquor::default()
    };
    Aqueous::at(12.0)
        .with_ph(&water, 7.3)
        .expect("a well water")
        .liquor
}
