//! What goes into the kettle: salts by the fit, acid after it, zinc for the yeast.

use proptest::prelude::*;
use underlet::component::Component;
use underlet::fit::solve;
use underlet::liquor::Liquor;
use underlet::mash::{Mash, Wort};
use underlet::reagent::Preparation;
use underlet::{BrewDay, Kettle, Plan, ShelfReagent, TargetRange, Vessel};
use underlet_tables::{ReagentKind, elements, parameters};

use super::forward::Forward;
use super::optimum::{assert_unbeaten, least};
use super::strategies::{cases, grist, liquor};
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// Random days.
const DAYS: u64 = 300;

fn shelved(dice: &mut Dice, key: &str, litres: f64) -> ShelfReagent {
    ShelfReagent {
        preparation: Preparation::usual(key).expect("a row"),
        step: litres * dice.magnitude(1e-4, 1e-2),
        min_dose: 0.0,
        stock: dice.chance(0.2).then(|| litres * dice.real(0.0, 0.3)),
        cost: None,
        vessels: vec![Vessel::Kettle],
    }
}

/// A random day whose salts may go into the kettle too, with a wanted kettle pH, an acid for it,
/// and zinc.
fn with_kettle(seed: u64) -> BrewDay {
    let mut day = Draft::random(seed).read();
    let dice = &mut Dice::new(seed ^ 0x2e77);
    for item in &mut day.shelf {
        if item.preparation.reagent.kind == ReagentKind::Salt {
            item.vessels.push(Vessel::Kettle);
        }
    }
    let litres = day.mash.volume_l;
    let acids = [
        "lactic acid",
        "phosphoric acid",
        "hydrochloric acid",
        "citric acid",
    ];
    let acid = *dice.one_of(&acids);
    let mut shelf = day.shelf.iter_mut();
    match shelf.find(|item| item.preparation.reagent.key == acid) {
        Some(known) => known.vessels.push(Vessel::Kettle),
        None => day.shelf.push(shelved(dice, acid, litres)),
    }
    let zinc = *dice.one_of(&["zinc sulfate heptahydrate", "zinc chloride"]);
    let mut zinc = shelved(dice, zinc, litres);
    zinc.step /= 100.0;
    day.shelf.push(zinc);
    let least = &mut Dice::new(seed ^ 0x51a3);
    for item in &mut day.shelf {
        if item.vessels.contains(&Vessel::Kettle) && least.chance(0.4) {
            item.min_dose = item.step * least.real(0.0, 4.0);
        }
        if item.preparation.reagent.kind == ReagentKind::Zinc && least.chance(0.5) {
            item.step *= 5.0;
        }
    }
    let low = dice.real(4.8, 5.5);
    let high = low + dice.real(0.0, 0.4);
    day.kettle = Kettle {
        ph: Some(TargetRange {
            low: dice.chance(0.7).then_some(low),
            high: Some(high),
            prefer: dice.chance(0.3).then_some(high),
            weight: 1.0,
        }),
        zinc_mol_per_kg: Some(dice.real(1e-6, 5e-6)),
        ..Kettle::default()
    };
    day
}

/// The same day with nothing for the kettle.
fn without_kettle(mut day: BrewDay) -> BrewDay {
    for item in &mut day.shelf {
        item.vessels.retain(|vessel| *vessel != Vessel::Kettle);
    }
    day
}

#[test]
fn no_random_point_beats_the_plan_with_a_kettle() {
    let days = trials(50, 200);
    let feasible: usize = (0..days)
        .map(|seed| assert_unbeaten(&with_kettle(seed), seed, 300))
        .sum();
    assert!(feasible as u64 > 50 * days, "{feasible}");
}

/// The objective reported is what following the liquors through the vessels gives.
#[test]
fn the_fit_counts_the_kettle_of_random_days_as_the_liquors_do() {
    let count = trials(50, DAYS);
    let mut given = 0;
    for seed in 0..count {
        let day = with_kettle(seed);
        let problem = day.problem();
        let result = solve(&problem).expect("an result");
        let forward = Forward::new(&problem);
        let (shares, doses) = (
            &result.shares_before_rounding,
            &result.doses_before_rounding,
        );
        let own = forward.objective_at(&forward.variables(shares, doses), result.ionic_strengths);
        let reported = result.objective_before_rounding;
        assert!(
            (own - reported).abs() <= 1e-9 * (1e-3 + reported),
            "seed {seed}: {own} {reported}"
        );
        let mut options = problem.doses.iter().zip(&result.doses);
        given +=
            u64::from(options.any(|(option, dose)| option.vessel == Vessel::Kettle && *dose > 0.0));
    }
    assert!(6 * given > count, "{given}");
}

#[test]
fn a_kettle_never_worsens_the_optimum() {
    let mut helped = 0;
    for seed in 0..DAYS {
        let day = with_kettle(seed);
        let (with, without) = (least(&day), least(&without_kettle(day)));
        assert!(
            with <= without + 1e-9 * (1.0 + without),
            "seed {seed}: {with} {without}"
        );
        helped += usize::from(with < without * 0.99);
    }
    assert!(helped > 50, "{helped}");
}

/// Salts for the kettle leave mash and sparge liquor alone, and count per kg of what the grains let
/// through.
#[test]
fn salts_in_the_kettle_reach_nothing_before_it() {
    let mut tried = 0;
    for seed in 0..DAYS {
        let day = with_kettle(seed);
        let problem = day.problem();
        let dice = &mut Dice::new(seed);
        let shares: Vec<f64> = problem
            .sources
            .iter()
            .map(|_| 1.0 / problem.sources.len() as f64)
            .collect();
        let options = problem.doses.iter();
        let (mut doses, mut grams) = (Vec::new(), 0.0);
        for option in options {
            let here = option.vessel == Vessel::Kettle;
            doses.push(if here { dice.real(0.0, 100.0) } else { 0.0 });
            if here && option.preparation.reagent.key == "gypsum" {
                grams = *doses.last().expect("a dose");
            }
        }
        let (with, without) = (
            problem.liquors(&shares, &doses),
            problem.liquors(&shares, &vec![0.0; doses.len()]),
        );
        assert_eq!(
            (with.mash, with.sparge),
            (without.mash, without.sparge),
            "seed {seed}"
        );
        let mut shelf = day.shelf.iter();
        if grams > 0.0
            && !shelf.any(|item| {
                matches!(
                    item.preparation.reagent.key,
                    "epsom salt" | "sodium sulfate"
                )
            })
        {
            // By hand: CaSO4.2H2O 172.17 g/mol, SO4 96.06 g/mol; a kg of malt keeps a kg of liquor.
            let strength = day
                .shelf
                .iter()
                .find(|item| item.preparation.reagent.key == "gypsum");
            let strength = strength.expect("gypsum").preparation.strength_percent / 100.0;
            let grist_kg: f64 = day.grist.iter().map(|malt| malt.mass_kg).sum();
            let water_kg = problem.waters.brewing_kg() - grist_kg;
            let sulfate = Component::Sulfate.mg_per_l(
                with.overall.ions.get(Component::Sulfate)
                    - without.overall.ions.get(Component::Sulfate),
            );
            let by_hand = 1000.0 * grams * strength * 96.056 / 172.164 / (water_kg / 0.99821);
            assert!(
                (sulfate - by_hand).abs() <= 1e-3 * by_hand,
                "seed {seed}: {sulfate} {by_hand}"
            );
            tried += 1;
        }
    }
    assert!(tried > 30, "{tried}");
}

/// Whole steps, in stock; nothing raises the pH, and acid stays out of the kettle where its pH is
/// low enough.
#[test]
fn plans_of_random_days_for_the_kettle_can_be_weighed() {
    let count = trials(60, DAYS);
    let (mut acids, mut zincs, mut misses) = (0, 0, 0);
    for seed in 0..count {
        let day = with_kettle(seed);
        let plan = day.plan().expect("a plan");
        let kettle = &plan.kettle;
        let wanted = day.kettle.ph.expect("a range");
        let aim = wanted.prefer.or(wanted.high).expect("an end");
        assert!(kettle.ph_dosed <= kettle.ph + 1e-9, "seed {seed}");
        let mut readings = plan.readings.iter();
        let last = readings.find(|reading| reading.what == "kettle_ph");
        assert_eq!(last.is_some(), kettle.sd.is_some(), "seed {seed}");
        assert!(
            last.is_none_or(|last| (last.expected - kettle.ph).abs() < 1e-12),
            "seed {seed}: it is read before anything is given"
        );
        for (step, addition) in (1..).zip(&plan.additions) {
            assert_eq!(addition.step, step);
            if addition.vessel != Vessel::Kettle {
                continue;
            }
            let item = day
                .shelf
                .iter()
                .find(|item| item.preparation.reagent.key == addition.reagent);
            let item = item.expect("from the shelf");
            let steps = addition.amount / item.step;
            assert!((steps - steps.round()).abs() < 1e-6, "seed {seed}: {steps}");
            let all = plan
                .additions
                .iter()
                .filter(|other| other.reagent == addition.reagent);
            let taken: f64 = all.map(|other| other.amount).sum();
            assert!(
                taken <= item.stock.unwrap_or(f64::INFINITY) * (1.0 + 1e-6),
                "seed {seed}"
            );
            assert!(
                addition.amount >= item.min_dose * (1.0 - 1e-9),
                "seed {seed}"
            );
            match item.preparation.reagent.kind {
                ReagentKind::Acid => {
                    acids += 1;
                    assert!(kettle.ph > aim, "seed {seed}");
                    // No more than is needed: of what can be given the nearest, or the least that
                    // brings it into the range.
                    let (amount, needed) = (addition.amount, addition.before_rounding);
                    if wanted.prefer.is_some() || wanted.low == wanted.high {
                        let over = amount - needed;
                        assert!(over <= needed + 1e-9, "seed {seed}: {amount} {needed}");
                        if amount - item.step >= item.min_dose {
                            assert!(over <= 0.500_001 * item.step, "seed {seed}");
                        }
                    } else if amount - item.step >= item.min_dose {
                        assert!(amount - item.step < needed, "seed {seed}");
                    }
                    assert!(
                        kettle.ph_dosed >= wanted.low.unwrap_or(0.0) - 0.006,
                        "seed {seed}"
                    );
                    if addition.amount >= addition.before_rounding && wanted.prefer.is_none() {
                        assert!(
                            kettle.ph_dosed <= aim + 1e-9,
                            "seed {seed}: {} {aim}",
                            kettle.ph_dosed
                        );
                    }
                }
                ReagentKind::Zinc => {
                    zincs += 1;
                    let mol = addition.amount * item.preparation.mol_per_unit();
                    let asked = day.kettle.zinc_mol_per_kg.expect("asked");
                    let left_kg = kettle.water_kg - kettle.boiled_off_kg;
                    let step_mol = item.step * item.preparation.mol_per_unit();
                    let short = item
                        .stock
                        .is_some_and(|stock| stock < addition.before_rounding + item.step);
                    assert!(
                        short || (mol - asked * left_kg).abs() <= 0.500_000_1 * step_mol,
                        "seed {seed}"
                    );
                }
                _ => {}
            }
        }
        // Zinc that misses what is asked for by more than a tenth is reported.
        let reported = plan
            .cautions
            .iter()
            .any(|caution| ["zinc_not_weighed", "zinc_short"].contains(&caution.code.as_str()));
        let zinc = day
            .shelf
            .iter()
            .find(|item| item.preparation.reagent.kind == ReagentKind::Zinc);
        let mol_per_unit = zinc.expect("zinc").preparation.mol_per_unit();
        let asked = day.kettle.zinc_mol_per_kg.expect("asked");
        let wanted_units = asked * (kettle.water_kg - kettle.boiled_off_kg) / mol_per_unit;
        let given: f64 = plan
            .additions
            .iter()
            .filter(|one| one.reagent.starts_with("zinc"))
            .map(|one| one.amount)
            .sum();
        let off = (given - wanted_units).abs() / wanted_units;
        assert_eq!(reported, off > 0.1, "seed {seed}: {given} {wanted_units}");
        misses += u64::from(reported && given > 0.0);
        let line = plan
            .targets
            .iter()
            .find(|line| line.key == "kettle_ph")
            .expect("a line");
        assert!(
            (line.planned.unwrap() - kettle.ph_dosed).abs() < 1e-12,
            "seed {seed}"
        );
    }
    // Zinc that is given and misses is rare: a few days must not have it in proportion.
    let rare = if count < DAYS { 0 } else { 10 };
    assert!(
        6 * acids > count && 3 * zincs > count && misses > rare,
        "{acids} {zincs} {misses}"
    );
}

/// Ten times the batch, on ten times the scale, takes ten times of everything.
#[test]
fn ten_times_a_random_batch_takes_ten_times_of_all() {
    for seed in 0..trials(15, 60) {
        let mut day = with_kettle(seed);
        day.sources.truncate(1);
        day.sources[0].max_amount_l = None;
        let mut large = day.clone();
        large.mash.volume_l *= 10.0;
        for draw in [large.tank.as_mut(), large.sparge.as_mut()]
            .into_iter()
            .flatten()
        {
            draw.volume_l *= 10.0;
        }
        for malt in &mut large.grist {
            malt.mass_kg *= 10.0;
        }
        for item in &mut large.shelf {
            item.step *= 10.0;
            item.min_dose *= 10.0;
            item.stock = item.stock.map(|stock| stock * 10.0);
        }
        let (small, large) = (day.plan().expect("a plan"), large.plan().expect("a plan"));
        let in_kettle = |plan: &Plan| -> Vec<(String, f64)> {
            let additions = plan
                .additions
                .iter()
                .filter(|one| one.vessel == Vessel::Kettle);
            additions
                .map(|one| (one.reagent.clone(), one.amount))
                .collect()
        };
        let (small, large) = (in_kettle(&small), in_kettle(&large));
        assert_eq!(small.len(), large.len(), "seed {seed}: {small:?} {large:?}");
        for ((reagent, small), (other, large)) in small.iter().zip(&large) {
            assert_eq!(reagent, other);
            assert!(
                (large - 10.0 * small).abs() <= 1e-6 * large,
                "seed {seed}: {small} {large}"
            );
        }
    }
}

/// Zinc from the formula, IUPAC 2021: 65.38 of 287.55 g/mol are 22.74 %; of ZnCl2, 136.28, 47.97 %.
#[test]
fn zinc_in_its_reagents() {
    for (key, percent) in [
        ("zinc sulfate heptahydrate", 22.737),
        ("zinc chloride", 47.975),
    ] {
        let reagent = Preparation::usual(key).expect("a row").reagent;
        let share = 100.0 * elements::ZN.weight_g_per_mol / reagent.molar_mass_g_per_mol;
        assert!((share - percent).abs() < 0.002, "{key}: {share}");
    }
}

fn wort(grist: &[underlet::mash::Malt], liquor: Liquor, sparge_share: f64) -> Wort {
    let grist_kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    let mash = Mash {
        grist,
        water_kg: 3.0 * grist_kg,
        liquor,
    };
    let forecast = mash.forecast();
    Wort::kettle_full(
        &mash,
        &forecast,
        grist_kg,
        sparge_share * mash.water_kg,
        &liquor,
        1e-4,
    )
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn more_acid_never_raises_the_kettle_and_what_is_needed_brings_it_there(
        grist in grist(),
        liquor in liquor(),
        sparge in prop_oneof![Just(0.0), 0.3..2.0f64],
        acid in super::strategies::acid(),
        fall in 0.01..0.8f64,
    ) {
        let wort = wort(&grist, liquor, sparge);
        prop_assume!(wort.ph - fall > 4.5);
        let unit = acid.dose_per_unit();
        let needed = wort.units_needed(&unit, wort.ph - fall);
        prop_assert!(needed > 0.0);
        let mut last = wort.ph + 1e-12;
        for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
            let dosed = wort.dosed(&unit.times(share * needed));
            prop_assert!(dosed.ph <= last + 1e-9, "{} {last}", dosed.ph);
            prop_assert!(dosed.sd >= wort.sd - 1e-12);
            last = dosed.ph;
        }
        prop_assert!((last - (wort.ph - fall)).abs() < 1e-8, "{last}");
        // Given in two halves it is the same, but for constants that follow what is dissolved.
        let half = unit.times(needed / 2.0);
        prop_assert!((wort.dosed(&half).dosed(&half).ph - last).abs() < 0.02);
    }

    /// By hand: without a sparge a wort has a straight buffering, and a mole of hydrochloric acid
    /// is a mole of protons.
    #[test]
    fn hydrochloric_acid_in_a_first_wort_is_a_division(grist in grist(), liquor in liquor(), fall in 0.01..0.5f64) {
        let wort = wort(&grist, liquor, 0.0);
        let acid = Preparation::usual("hydrochloric acid").expect("a row");
        let eq = fall * wort.buffering_eq_per_ph;
        let dosed = wort.dosed(&acid.dose_per_unit().times(eq / acid.mol_per_unit()));
        prop_assert!((dosed.ph - (wort.ph - fall)).abs() < 1e-9, "{} {}", dosed.ph, wort.ph);
        // Calcium sets free 0.03 protons per equivalent there (Hosom's report on calcium chloride),
        // and sulfate nothing.
        let gypsum = Preparation::usual("gypsum").expect("a row");
        let mol = 1e-3 * wort.water_kg;
        let salted = wort.dosed(&gypsum.dose_per_unit().times(mol / gypsum.mol_per_unit()));
        let shift = 2.0 * mol * parameters::CALCIUM_PROTONS_IN_WORT.value / wort.buffering_eq_per_ph;
        prop_assert!((wort.ph - salted.ph - shift).abs() < 1e-9);
    }
}
