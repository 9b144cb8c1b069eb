//! The liquor ledger: worked days by hand and by PHREEQC, its laws over random days, its errors.

mod days;
mod errors;
mod laws;

use underlet::aqueous::Aqueous;
use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::reagent::Preparation;
use underlet::tank::ledger::{Line, Supply, Tank, Work};
use underlet::treatment::Rates;

/// A tank of whose rates there is no doubt: no error bars.
fn certain(tank: Tank) -> Tank {
    Tank {
        rates_sd: Rates::CERTAIN,
        ..tank
    }
}

/// Water of ions in mmol/kg that are known at a temperature and pH; alkalinity is what the ions
/// leave.
fn water(mmol: &[(Component, f64)], celsius: f64, ph: f64) -> Liquor {
    let mut ions = Composition::ZERO;
    for (ion, amount) in mmol {
        ions.set(*ion, amount / 1000.0);
    }
    let reported = Liquor {
        ions,
        alkalinity_eq_per_kg: ions.strong_charge(),
        ..Liquor::default()
    };
    Aqueous::at(celsius)
        .with_ph(&reported, ph)
        .expect("a water")
        .liquor
}

/// The hard well of Ninefold Quay (invented): Ca 2.75, Mg 0.5, Na 0.7, Cl 1.0, SO4 0.5 mmol/kg, pH
/// 7.3 at 12 °C.
fn hard_well() -> Supply {
    let ions = [
        (Component::Calcium, 2.75),
        (Component::Magnesium, 0.5),
        (Component::Sodium, 0.7),
        (Component::Chloride, 1.0),
        (Component::Sulfate, 0.5),
    ];
    Supply::new("well", water(&ions, 12.0, 7.3))
}

/// The soft harbour main of Ninefold Quay (invented): Ca 0.3, Na 0.4, Cl 0.4, SO4 0.1 mmol/kg, pH
/// 7.6 at 12 °C.
fn soft_main() -> Supply {
    let ions = [
        (Component::Calcium, 0.3),
        (Component::Sodium, 0.4),
        (Component::Chloride, 0.4),
        (Component::Sulfate, 0.1),
    ];
    Supply::new("harbour main", water(&ions, 12.0, 7.6))
}

fn dose(label: &str, key: &str, amount: f64) -> Line {
    let preparation = Preparation::usual(key).expect("on the shelf");
    Line::new(
        label,
        Work::Dose {
            preparation,
            amount,
        },
    )
}

fn fill(volume_l: f64) -> Line {
    Line::new(
        "fill",
        Work::Fill {
            supply: 0,
            volume_l,
        },
    )
}
