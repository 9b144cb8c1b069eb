//! Exact derivatives against central differences.

use underlet::component::{Component, Composition};
use underlet::mash::{Assumptions, Derivatives, Malt, Mash, TitrationCurve};
use underlet::reagent::Preparation;

use super::common::malt;
use crate::common::dice::Dice;

/// Relative difference that a central difference of a pH, found to 1e-13, may show.
const CLOSE: f64 = 2e-5;

fn close(exact: f64, difference: f64, what: &str) {
    let scale = exact.abs().max(1e-7);
    assert!(
        (exact - difference).abs() <= CLOSE * scale + 1e-8,
        "{what}: {exact} {difference}"
    );
}

/// Mashes with straight, bent and acidulated malts in hard and soft water with weak acids in it.
fn mashes() -> Vec<(Vec<Malt>, f64, underlet::liquor::Liquor)> {
    let mut dice = Dice::new(5);
    (0..40)
        .map(|_| {
            let mut grist = vec![
                malt("pilsner malt", dice.real(1.0, 100.0)),
                malt("dark Munich malt", dice.real(0.5, 50.0)),
                malt("caramel malt 120 to 180 EBC", dice.real(0.1, 10.0)),
            ];
            // Its own bend reaches to 5.2, so some mashes lie within and some beyond.
            grist[0].curve = TitrationCurve::straight([5.8, 0.05], [0.036, 0.003])
                .bent(dice.real(-0.004, 0.006), [5.2, 6.4]);
            let mut ions = Composition::ZERO;
            for ion in Component::ALL {
                let most = if ion.is_weak_acid() { 0.0005 } else { 0.003 };
                ions.set(ion, dice.real(0.0, most));
            }
            let liquor = underlet::liquor::Liquor {
                ions,
                alkalinity_eq_per_kg: dice.real(0.0005, 0.006),
                carbon_mol_per_kg: dice.real(0.0005, 0.006),
                temperature_c: 20.0,
            };
            let kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
            (grist, kg * dice.real(2.0, 5.0), liquor)
        })
        .collect()
}

#[test]
fn derivatives_are_the_slopes_of_the_ph() {
    for (grist, water_kg, liquor) in mashes() {
        let mash = Mash {
            grist: &grist,
            water_kg,
            liquor,
        };
        let ph = mash.ph();
        let exact = Derivatives::of(&mash, &mash.chemistry(), ph);

        let of_malt = |index: usize, change: &dyn Fn(&mut Malt, f64), step: f64| {
            let at = |by: f64| {
                let mut changed = grist.clone();
                change(&mut changed[index], by);
                Mash {
                    grist: &changed,
                    ..mash
                }
                .ph()
            };
            (at(step) - at(-step)) / (2.0 * step)
        };
        for (index, malt) in exact.malts.iter().enumerate() {
            let own = of_malt(index, &|malt, by| malt.curve.distilled_water_ph += by, 1e-5);
            close(malt.distilled_water_ph, own, "own pH");
            let buffering = of_malt(
                index,
                &|malt, by| malt.curve.buffering_eq_per_kg_ph += by,
                1e-6,
            );
            close(malt.buffering, buffering, "buffering");
            // A class's straight line has nowhere to bend.
            if grist[index].curve.curvature_eq_per_kg_ph2 != 0.0 {
                let curvature = of_malt(
                    index,
                    &|malt, by| malt.curve.curvature_eq_per_kg_ph2 += by,
                    1e-7,
                );
                close(malt.curvature, curvature, "curvature");
            }
            let mass = of_malt(index, &|malt, by| malt.mass_kg += by, 1e-4);
            close(malt.mass_kg, mass, "mass");
        }

        let of_mash = |change: &dyn Fn(&mut Mash<'_>, f64), step: f64| {
            let at = |by: f64| {
                let mut changed = mash;
                change(&mut changed, by);
                changed.ph()
            };
            (at(step) - at(-step)) / (2.0 * step)
        };
        close(
            exact.water_kg,
            of_mash(&|mash, by| mash.water_kg += by, 1e-3),
            "water",
        );
        for ion in Component::ALL {
            let change = |mash: &mut Mash<'_>, by: f64| {
                mash.liquor.ions.set(ion, mash.liquor.ions.get(ion) + by);
            };
            close(exact.ions.get(ion), of_mash(&change, 1e-6), ion.key());
        }
        let alkalinity = of_mash(&|mash, by| mash.liquor.alkalinity_eq_per_kg += by, 1e-6);
        close(exact.alkalinity_eq_per_kg, alkalinity, "alkalinity");
        let carbon = of_mash(&|mash, by| mash.liquor.carbon_mol_per_kg += by, 1e-6);
        close(exact.carbon_mol_per_kg, carbon, "carbon");
        for key in [
            "lactic acid",
            "phosphoric acid",
            "sulfuric acid",
            "gypsum",
            "slaked lime",
        ] {
            let dose = Preparation::usual(key)
                .expect("on the table")
                .dose_per_unit();
            let change = |mash: &mut Mash<'_>, by: f64| {
                mash.liquor = mash.liquor.dosed(&dose, by / water_kg);
            };
            let given = of_mash(&change, 1e-4 * water_kg);
            close(exact.per_dose(&dose, water_kg), given, key);
        }

        let chemistry = mash.chemistry();
        let strong =
            (mash.ph_with_acid(&chemistry, 1e-5) - mash.ph_with_acid(&chemistry, -1e-5)) / 2e-5;
        close(exact.acid_eq, strong, "acid");
        let of_assumption = |change: &dyn Fn(&mut Assumptions, f64)| {
            let at = |by: f64| {
                let mut assumed = Assumptions::default();
                change(&mut assumed, by);
                mash.ph_with_acid(&mash.chemistry().assuming(assumed), 0.0)
            };
            (at(1e-5) - at(-1e-5)) / 2e-5
        };
        let carbon = of_assumption(&|assumed, by| assumed.carbon_share += by);
        close(exact.carbon_share, carbon, "carbon share");
        let calcium = of_assumption(&|assumed, by| assumed.calcium_protons += by);
        close(exact.calcium_protons, calcium, "calcium's protons");
        let magnesium = of_assumption(&|assumed, by| assumed.magnesium_protons += by);
        close(exact.magnesium_protons, magnesium, "magnesium's protons");
    }
}
