//! What a mash does, whatever is in it.

use proptest::prelude::*;
use underlet::component::Component;
use underlet::liquor::{Dose, Liquor};
use underlet::mash::{DoseUncertainty, Malt, Mash};
use underlet::reagent::Preparation;

use super::strategies::{acid, cases, grist, liquor, malt};

/// L/kg from the stiffest to the thinnest mash.
const THICKNESS: std::ops::Range<f64> = 1.5..10.0;

fn mash(grist: &[Malt], liquor: Liquor, kg_per_kg: f64) -> Mash<'_> {
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    Mash {
        grist,
        water_kg: grist_kg * kg_per_kg,
        liquor,
    }
}

fn dosed<'a>(mash: &Mash<'a>, dose: &Dose, per_kg: f64) -> Mash<'a> {
    Mash {
        liquor: mash.liquor.dosed(dose, per_kg),
        ..*mash
    }
}

fn acid_free(liquor: Liquor) -> Liquor {
    let mut water = liquor;
    for ion in Component::ALL.into_iter().filter(|ion| ion.is_weak_acid()) {
        water.ions.set(ion, 0.0);
    }
    water
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn more_acid_never_raises_mash_ph(grist in grist(), water in liquor(), thickness in THICKNESS, acid in acid(), amount in 0.0..1.0f64, more in 0.0..1.0f64) {
        let plain = mash(&grist, water, thickness);
        let some = dosed(&plain, &acid.dose_per_unit(), amount);
        let much = dosed(&plain, &acid.dose_per_unit(), amount + more);
        prop_assert!(some.ph() <= plain.ph() + 1e-10);
        prop_assert!(much.ph() <= some.ph() + 1e-10);
    }

    #[test]
    fn more_alkalinity_never_lowers_mash_ph(grist in grist(), water in liquor(), thickness in THICKNESS, more in 0.0..0.01f64) {
        let plain = mash(&grist, water, thickness);
        let alkalinity = Dose { alkalinity_eq: 1.0, ..Dose::default() };
        prop_assert!(dosed(&plain, &alkalinity, more).ph() >= plain.ph() - 1e-10);
        for base in ["sodium bicarbonate", "slaked lime", "chalk", "sodium carbonate", "potassium bicarbonate"] {
            let dose = Preparation::usual(base).expect("on the table").dose_per_unit_in_mash();
            prop_assert!(dosed(&plain, &dose, more * 100.0).ph() >= plain.ph() - 1e-10, "{base}");
        }
    }

    #[test]
    fn more_calcium_or_magnesium_never_raises_mash_ph(grist in grist(), water in liquor(), thickness in THICKNESS, grams in 0.0..2.0f64) {
        let plain = mash(&grist, water, thickness);
        for salt in ["gypsum", "calcium chloride dihydrate", "epsom salt", "magnesium chloride hexahydrate"] {
            let dose = Preparation::usual(salt).expect("on the table").dose_per_unit_in_mash();
            prop_assert!(dosed(&plain, &dose, grams).ph() <= plain.ph() + 1e-10, "{salt}");
        }
    }

    #[test]
    fn twice_the_malt_and_water_is_the_same_mash(grist in grist(), water in liquor(), thickness in THICKNESS, acid_eq in 0.0..0.1f64) {
        let twice: Vec<Malt> = grist.iter().map(|malt| Malt { mass_kg: 2.0 * malt.mass_kg, ..malt.clone() }).collect();
        let unsure = |times: f64| DoseUncertainty { acid_eq: times * acid_eq, dissolving_eq: times * acid_eq, alkalinity_eq_per_kg: 2e-4, ..DoseUncertainty::default() };
        let one = mash(&grist, water, thickness).forecast_dosed(&unsure(1.0));
        let two = mash(&twice, water, thickness).forecast_dosed(&unsure(2.0));
        prop_assert_eq!(one.ph, two.ph);
        prop_assert!((one.sd - two.sd).abs() < 1e-12);
        prop_assert!((2.0 * one.buffering_eq_per_ph / two.buffering_eq_per_ph - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_single_malt_in_distilled_water_gives_its_own_ph(malt in malt(), thickness in THICKNESS) {
        let grist = [malt];
        let ph = mash(&grist, Liquor::default(), thickness).ph();
        prop_assert!((ph - grist[0].curve.distilled_water_ph).abs() < 1e-10);
    }

    #[test]
    fn a_grist_in_distilled_water_lies_between_its_malts(grist in grist(), thickness in THICKNESS) {
        let ph = mash(&grist, Liquor::default(), thickness).ph();
        let own = || grist.iter().map(|malt| malt.curve.distilled_water_ph);
        prop_assert!(ph >= own().fold(14.0, f64::min) - 1e-10 && ph <= own().fold(0.0, f64::max) + 1e-10);
    }

    #[test]
    fn a_thicker_mash_moves_less(grist in grist(), thickness in THICKNESS, thinner in 1.01..2.0f64, acid in acid(), amount in 0.01..0.5f64) {
        // The same dose in each kg of distilled water.
        let shift = |kg_per_kg: f64| {
            let plain = mash(&grist, Liquor::default(), kg_per_kg);
            plain.ph() - dosed(&plain, &acid.dose_per_unit(), amount).ph()
        };
        prop_assert!(shift(thickness) < shift(thickness * thinner));
    }

    #[test]
    fn water_pulls_a_thinner_mash_further(grist in grist(), water in liquor(), thickness in THICKNESS, thinner in 1.01..2.0f64) {
        let water = acid_free(water);
        let own = mash(&grist, Liquor::default(), thickness).ph();
        let (thick, thin) = (mash(&grist, water, thickness).ph(), mash(&grist, water, thickness * thinner).ph());
        prop_assert!((thick - own).abs() <= (thin - own).abs() + 1e-10);
    }

    #[test]
    fn buffering_is_the_slope_of_the_balance(grist in grist(), water in liquor(), thickness in THICKNESS, ph in 4.0..8.0f64) {
        let mash = mash(&grist, water, thickness);
        let chemistry = mash.chemistry();
        let step = 1e-4;
        let slope = (mash.proton_deficit_eq(&chemistry, ph - step) - mash.proton_deficit_eq(&chemistry, ph + step)) / (2.0 * step);
        let buffering = mash.buffering_eq_per_ph(&chemistry, ph);
        prop_assert!(buffering > 0.0 && (slope / buffering - 1.0).abs() < 1e-6, "{slope} {buffering}");
    }

    #[test]
    fn at_its_ph_a_mash_wants_no_acid(grist in grist(), water in liquor(), thickness in THICKNESS, acid_eq in -0.05..0.05f64) {
        let mash = mash(&grist, water, thickness);
        let chemistry = mash.chemistry();
        let ph = mash.ph_with_acid(&chemistry, acid_eq);
        let missing = mash.proton_deficit_eq(&chemistry, ph) - acid_eq;
        prop_assert!(missing.abs() <= 1e-9 * mash.buffering_eq_per_ph(&chemistry, ph));
    }

    #[test]
    fn a_forecast_owns_to_all_of_its_uncertainty(grist in grist(), water in liquor(), thickness in THICKNESS, unsure in proptest::array::uniform3(0.0..0.01f64)) {
        let [acid_eq, dissolving_eq, alkalinity_eq_per_kg] = unsure;
        let forecast = mash(&grist, water, thickness).forecast_dosed(&DoseUncertainty { acid_eq, dissolving_eq, alkalinity_eq_per_kg, ..DoseUncertainty::default() });
        prop_assert!(forecast.sd.is_finite() && forecast.sd > 0.0);
        let shares: f64 = forecast.uncertainty_budget.iter().map(|cause| cause.sd * cause.sd).sum::<f64>() / (forecast.sd * forecast.sd);
        prop_assert!((shares - 1.0).abs() < 1e-12);
        prop_assert!(forecast.uncertainty_budget.iter().all(|cause| cause.sd > 0.0 && cause.sd <= forecast.sd));
        prop_assert!(forecast.uncertainty_budget.windows(2).all(|pair| pair[0].sd >= pair[1].sd));
        let [low, high] = forecast.interval(1.96);
        prop_assert!(((high - low) / (2.0 * 1.96) - forecast.sd).abs() < 1e-12);
    }
}

/// Malts, some of them bent, acidulated or titrated.
fn curved_grist() -> impl Strategy<Value = Vec<Malt>> {
    proptest::collection::vec((malt(), -0.02..0.02f64, 3.0..6.0f64, 5.0..8.0f64), 1..6).prop_map(
        |malts| {
            malts
                .into_iter()
                .map(|(mut malt, curvature, low, high)| {
                    malt.curve = malt.curve.bent(curvature, [low, high]);
                    malt
                })
                .collect()
        },
    )
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn a_bent_malt_takes_more_acid_at_every_lower_ph(grist in curved_grist(), ph in 0.0..13.9f64, step in 1e-3..0.1f64) {
        for malt in &grist {
            prop_assert!(malt.curve.acid_eq_per_kg(ph) > malt.curve.acid_eq_per_kg(ph + step));
            prop_assert!(malt.curve.buffering_at(ph) > 0.0);
        }
    }

    #[test]
    fn a_bent_malt_s_curve_is_smooth(grist in curved_grist(), ph in 1.0..13.0f64) {
        for malt in &grist {
            let [low, high] = malt.curve.bends_between_ph;
            for at in [ph, low, high, malt.curve.distilled_water_ph] {
                let step = 1e-6;
                let slope = (malt.curve.acid_eq_per_kg(at - step) - malt.curve.acid_eq_per_kg(at + step)) / (2.0 * step);
                prop_assert!((slope / malt.curve.buffering_at(at) - 1.0).abs() < 1e-4, "{at}: {:?}", malt.curve);
            }
        }
    }

    #[test]
    fn a_bent_malt_in_distilled_water_gives_its_own_ph(grist in curved_grist(), thickness in THICKNESS) {
        let one = &grist[..1];
        prop_assert!((mash(one, Liquor::default(), thickness).ph() - one[0].curve.distilled_water_ph).abs() < 1e-9);
    }

    #[test]
    fn curved_malts_reach_equilibrium_where_no_acid_is_missing(grist in curved_grist(), water in liquor(), thickness in THICKNESS, acid in acid(), amount in 0.0..1.0f64) {
        let mash = dosed(&mash(&grist, water, thickness), &acid.dose_per_unit(), amount);
        let chemistry = mash.chemistry();
        let ph = mash.ph();
        // Where more acid is in than any mash takes, the end of the scale stands.
        prop_assume!(ph > 1.0);
        prop_assert!(mash.proton_deficit_eq(&chemistry, ph).abs() <= 1e-9 * mash.buffering_eq_per_ph(&chemistry, ph));
    }

    #[test]
    fn underletting_is_mixing(grist in curved_grist(), one in liquor(), two in liquor(), thickness in THICKNESS, more in 0.1..3.0f64) {
        let plain = mash(&grist, one, thickness);
        let water_kg = plain.water_kg * more;
        let in_two = plain.with_more_liquor(water_kg / 2.0, &two).with_more_liquor(water_kg / 2.0, &two);
        prop_assert!((plain.with_more_liquor(water_kg, &two).ph() - in_two.ph()).abs() < 1e-10);
    }

    #[test]
    fn liquor_without_residual_alkalinity_leaves_the_grist_at_its_own_ph(grist in curved_grist(), water in liquor(), thickness in THICKNESS) {
        let distilled = mash(&grist, Liquor::default(), thickness).ph();
        let plain = mash(&grist, water, thickness);
        let left = plain.residual_alkalinity_eq_per_kg(&plain.chemistry(), distilled);
        let shift = plain.shift_by_liquor();
        prop_assert!(left * shift >= 0.0 || shift.abs() < 1e-9, "{left} {shift}");
    }
}
