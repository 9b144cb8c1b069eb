//! What a mash needs, its curve, its infusions, and many mashes at once.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use underlet::liquor::Liquor;
use underlet::mash::{
    DoseUncertainty, Malt, Mash, chalk_that_counts, infusion_kg, ph_of_all, strike_temperature_c,
};
use underlet::reagent::Preparation;

use super::common::{malt, water};
use crate::common::dice::Dice;

fn grist() -> [Malt; 2] {
    [
        malt("pale ale malt", 9.0),
        malt("caramel malt 80 to 120 EBC", 1.0),
    ]
}

#[test]
fn the_acid_that_is_needed_brings_the_target_ph() {
    let grist = grist();
    let mash = Mash {
        grist: &grist,
        water_kg: 32.0,
        liquor: water(3e-3, 80.0),
    };
    let unsure = DoseUncertainty {
        alkalinity_eq_per_kg: 2e-4,
        ..DoseUncertainty::default()
    };
    let needed = mash.acid_needed(&unsure, 5.3);
    assert_abs_diff_eq!(
        mash.ph_with_acid(&mash.chemistry(), needed.acid_eq),
        5.3,
        epsilon = 1e-10
    );
    assert!(needed.acid_eq > 0.0 && needed.sd_eq > 0.0);
    for key in [
        "lactic acid",
        "phosphoric acid",
        "hydrochloric acid",
        "citric acid",
    ] {
        let dose = Preparation::usual(key)
            .expect("on the table")
            .dose_per_unit();
        let units = mash.units_needed(&dose, 5.3).expect("an amount");
        let dosed = Mash {
            liquor: mash.liquor.dosed(&dose, units / mash.water_kg),
            ..mash
        };
        assert_abs_diff_eq!(dosed.ph(), 5.3, epsilon = 1e-10);
        assert_eq!(mash.units_needed(&dose, 5.9), None, "{key} raises no pH");
    }
    for key in ["sodium bicarbonate", "slaked lime"] {
        let dose = Preparation::usual(key)
            .expect("on the table")
            .dose_per_unit();
        let units = mash.units_needed(&dose, 5.9).expect("an amount");
        let dosed = Mash {
            liquor: mash.liquor.dosed(&dose, units / mash.water_kg),
            ..mash
        };
        assert_abs_diff_eq!(dosed.ph(), 5.9, epsilon = 1e-10);
    }
    let salt = Preparation::usual("table salt")
        .ok()
        .map(|salt| salt.dose_per_unit());
    assert!(salt.is_none_or(|dose| {
        mash.units_needed(&dose, 5.3)
            .is_none_or(|units| units > 1e3)
    }));
}

#[test]
fn the_curve_of_a_mash_is_its_forecasts() {
    let grist = grist();
    let mash = Mash {
        grist: &grist,
        water_kg: 32.0,
        liquor: water(3e-3, 80.0),
    };
    let unsure = DoseUncertainty::default();
    let curve = mash.titration_curve(&unsure, [-0.05, 0.0, 0.05, 0.1]);
    let forecast = mash.forecast_dosed(&unsure);
    assert_abs_diff_eq!(curve[1].ph, forecast.ph, epsilon = 1e-12);
    assert_relative_eq!(curve[1].sd, forecast.sd, max_relative = 1e-9);
    assert!(curve.windows(2).all(|pair| pair[0].ph > pair[1].ph));
}

#[test]
fn more_liquor_is_the_thinner_mash_of_both() {
    let grist = grist();
    let (one, two) = (water(3e-3, 80.0), water(1e-3, 20.0));
    let mash = Mash {
        grist: &grist,
        water_kg: 25.0,
        liquor: one,
    };
    let more = mash.with_more_liquor(10.0, &two);
    let mixed = Liquor::blend(&[(25.0, &one), (10.0, &two)]).expect("a mix");
    let at_once = Mash {
        water_kg: 35.0,
        liquor: mixed,
        ..mash
    };
    assert_eq!(more.ph(), at_once.ph());
    // Distilled liquor thins a mash towards its own pH in distilled water.
    let own = Mash {
        liquor: Liquor::default(),
        ..mash
    }
    .ph();
    let thinned = mash.with_more_liquor(50.0, &Liquor::default()).ph();
    let (before, after) = ((mash.ph() - own).abs(), (thinned - own).abs());
    assert!(after < before + 1e-3, "{before} {after}");
}

#[test]
fn strike_and_infusion_share_their_heat() {
    // 3 kg of liquor per kg of grist at 18 °C for a rest at 66 °C: 66 + 0.41 (66 - 18)/3 = 72.56
    // °C, by hand.
    let strike = strike_temperature_c(66.0, 18.0, 3.0);
    assert_abs_diff_eq!(strike, 72.56, epsilon = 1e-9);
    // Heat given and taken balance: from 52 to 66 °C with liquor of 98 °C.
    let kg = infusion_kg(30.0, 10.0, [52.0, 66.0], 98.0).expect("an infusion");
    assert_relative_eq!(
        kg * (98.0 - 66.0),
        (30.0 + 4.1) * (66.0 - 52.0),
        max_relative = 1e-12
    );
    assert_eq!(infusion_kg(30.0, 10.0, [52.0, 66.0], 60.0), None);
}

#[test]
fn chalk_counts_less_and_less() {
    // Troester 2009: in full (of its half) to about 300 mg/L, nothing more beyond 400 to 500.
    assert_eq!(chalk_that_counts(200.0), 200.0);
    assert_eq!(chalk_that_counts(300.0), 300.0);
    assert_eq!(chalk_that_counts(450.0), chalk_that_counts(2000.0));
    let counted: Vec<f64> = (0..60)
        .map(|step| chalk_that_counts(f64::from(step) * 10.0))
        .collect();
    assert!(counted.windows(2).all(|pair| pair[1] >= pair[0]));
    assert!(
        counted
            .windows(3)
            .all(|three| three[2] - three[1] <= three[1] - three[0] + 1e-9)
    );
}

#[test]
fn many_mashes_are_bit_for_bit_each_one() {
    let mut dice = Dice::new(3);
    let grists: Vec<[Malt; 4]> = (0..300)
        .map(|_| {
            [
                malt("pilsner malt", dice.real(10.0, 100.0)),
                malt("light Munich malt", dice.real(0.0, 50.0)),
                malt("caramel malt 40 to 80 EBC", dice.real(0.0, 10.0)),
                malt("acidulated malt", dice.real(0.0, 5.0)),
            ]
        })
        .collect();
    let acid = Preparation::usual("lactic acid")
        .expect("on the table")
        .dose_per_unit();
    let mashes: Vec<Mash<'_>> = grists
        .iter()
        .enumerate()
        .map(|(index, grist)| {
            // Runs of the same liquor, some with an acid that others lack at the same ionic
            // strength.
            let liquor = water(1e-3 * (index / 7 % 5) as f64, 40.0);
            let times = if index % 3 == 0 { 0.0 } else { 0.01 };
            Mash {
                grist,
                water_kg: 300.0,
                liquor: liquor.dosed(&acid, times),
            }
        })
        .collect();
    let together: Vec<u64> = ph_of_all(mashes.iter().copied())
        .map(f64::to_bits)
        .collect();
    let alone: Vec<u64> = mashes.iter().map(|mash| mash.ph().to_bits()).collect();
    assert_eq!(together, alone);
    // And what the forecast says, whose constants are for every acid.
    for mash in &mashes {
        assert_eq!(mash.forecast().ph, mash.ph());
    }
}
