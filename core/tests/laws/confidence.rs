//! The chance that a plan states, against chance itself, and the confidence that a plan is made
//! for.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use proptest::prelude::*;
use underlet::fit::Problem;
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::mash::{Aim, Assumptions, DoseUncertainty, Malt, Mash, TitrationCurve};
use underlet::math::normal_below;
use underlet::{BrewDay, Plan, TargetRange, Vessel};
use underlet_tables::{REAGENTS, parameters};

use super::strategies::{cases, grist, liquor};
use crate::common::dice::Dice;
use crate::common::draft::{Draft, Item};
use crate::common::trials::trials;

/// What each random day is brewed so many times over.
const BREWS: u32 = 20_000;
/// What a probability is promised to: two points in a hundred. Chance itself errs by 0.35 at most
/// in one standard deviation.
const TWO_POINTS: f64 = 0.02;

pub(super) fn normal(dice: &mut Dice) -> f64 {
    let radius = (-2.0 * dice.real(1e-300, 1.0).ln()).sqrt();
    radius * dice.real(0.0, TAU).cos()
}

/// What brewers would read who follow a plan.
struct Brewing<'a> {
    day: &'a BrewDay,
    problem: Problem<'a>,
    shares: Vec<f64>,
    /// Doses as weighed, each with how far what it brings may be off, as a share.
    weighed: Vec<[f64; 2]>,
    /// Drawn anew for each brew.
    drawn: (Problem<'a>, Vec<Malt>, Vec<f64>),
}

impl<'a> Brewing<'a> {
    fn of(day: &'a BrewDay, plan: &Plan) -> Brewing<'a> {
        let problem = day.problem();
        let weighed = problem.doses.iter().map(|option| {
            let same = plan.additions.iter().filter(|addition| {
                addition.vessel == option.vessel
                    && addition.reagent == option.preparation.reagent.key
            });
            let [effective, effective_sd] = option.preparation.reagent.effective_in_mash;
            let off = if option.preparation.is_acid() {
                parameters::ACID_STRENGTH_RELATIVE_SD.value
            } else if option.vessel == Vessel::MashTun {
                effective_sd / effective
            } else {
                effective_sd
            };
            [same.map(|addition| addition.amount).sum(), off]
        });
        let weighed: Vec<[f64; 2]> = weighed.collect();
        Brewing {
            day,
            shares: plan.blend.iter().map(|part| part.share).collect(),
            drawn: (problem.clone(), day.grist.clone(), vec![0.0; weighed.len()]),
            weighed,
            problem,
        }
    }

    /// The pH of one mash: lots, water, acid, chalk, carbon dioxide and the salts' effect drawn
    /// from their own distributions, the vessels followed and the balance solved anew.
    fn mash_ph(&mut self, dice: &mut Dice) -> f64 {
        let (problem, grist, doses) = &mut self.drawn;
        for (drawn, source) in problem.sources.iter_mut().zip(&self.problem.sources) {
            let alkalinity = source.liquor.alkalinity_eq_per_kg;
            let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
            let sd = alkalinity.abs() * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
            drawn.liquor.alkalinity_eq_per_kg = alkalinity + sd.max(least) * normal(dice);
        }
        for (dose, [weighed, off]) in doses.iter_mut().zip(&self.weighed) {
            *dose = weighed * (1.0 + off * normal(dice));
        }
        for (drawn, malt) in grist.iter_mut().zip(&self.day.grist) {
            let curve = &malt.curve;
            drawn.curve.distilled_water_ph =
                curve.distilled_water_ph + curve.distilled_water_ph_sd * normal(dice);
            // Its error is a factor.
            let [_, buffering] = curve.buffering_between(normal(dice));
            drawn.curve.buffering_eq_per_kg_ph = buffering;
        }
        let calcium = parameters::CALCIUM_PROTONS_PER_EQUIVALENT;
        let magnesium = parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT;
        let mash = Mash {
            grist,
            water_kg: problem.waters.mash_kg,
            liquor: problem.liquors(&self.shares, doses).mash,
        };
        let chemistry = mash.chemistry().assuming(Assumptions {
            // Between all gone and all still there.
            carbon_share: dice.real(0.0, 1.0),
            calcium_protons: calcium.value + calcium.sd * normal(dice),
            magnesium_protons: magnesium.value + magnesium.sd * normal(dice),
        });
        mash.ph_with_acid(&chemistry, 0.0)
    }
}

/// Widest range of a mash pH.
const WIDEST: f64 = 0.6;

/// A random day that asks for a range of mash pH within its reach, most often with a confidence.
fn day(seed: u64, dice: &mut Dice) -> BrewDay {
    let mut draft = Draft::random(seed);
    draft.targets.retain(|range| range.key != "mash_ph");
    let mut day = draft.read();
    let unasked = day.plan().expect("a plan").mash.ph;
    // Within what a day may ask for: random grists may be sourer or less sour than that.
    let [least, most] = [
        parameters::MASH_PH_TARGET_LOW.value,
        parameters::MASH_PH_TARGET_HIGH.value,
    ];
    let low = (unasked + dice.real(-0.4, 0.2)).clamp(least, most - WIDEST);
    let high = low + dice.real(0.05, WIDEST);
    let open = dice.pick(8);
    day.targets.mash_ph = Some(TargetRange {
        low: (open != 0).then_some(low),
        high: (open != 1).then_some(high),
        prefer: (open > 1 && dice.chance(0.2)).then(|| dice.real(low, high)),
        weight: 1.0,
    });
    day.mash_ph_confidence = dice.chance(0.7).then(|| dice.real(0.5, 0.95));
    day
}

#[test]
fn the_chance_that_a_plan_of_a_random_day_states_is_that_of_many_brews() {
    let count = trials(12, 200);
    let dice = &mut Dice::new(1937);
    let (mut worst, mut square, mut told_something) = (0.0_f64, 0.0, 0);
    let mut codes = BTreeMap::new();
    for seed in 0..count {
        let day = day(seed, dice);
        let plan = day.plan().expect("a plan");
        let mut brewing = Brewing::of(&day, &plan);
        let Some(reported) = plan.mash.probability_in_range else {
            assert_eq!(plan.mash.sd, None, "day {seed}: a range");
            continue;
        };
        let range = day.targets.mash_ph.expect("a range");
        let inside = (0..BREWS).filter(|_| {
            let ph = brewing.mash_ph(dice);
            range.low.is_none_or(|low| ph >= low) && range.high.is_none_or(|high| ph <= high)
        });
        let seen = inside.count() as f64 / f64::from(BREWS);
        for reason in &plan.reasons {
            *codes.entry(reason.code.to_string()).or_insert(0) += 1;
        }
        worst = worst.max((reported - seen).abs());
        square += (reported - seen) * (reported - seen) / count as f64;
        told_something += u64::from((0.02..0.98).contains(&reported));
        assert!(
            (reported - seen).abs() < TWO_POINTS,
            "day {seed}: {reported:.4}, of {BREWS} brews {seen:.4}: {range:?}, {:?}",
            plan.mash
        );
    }
    println!(
        "{count} plans, {told_something} between 2 and 98 %: off by {:.2} points at worst, {:.2} \
         in the mean square; {codes:?}",
        100.0 * worst,
        100.0 * square.sqrt()
    );
    assert!(4 * told_something > 3 * count, "{told_something}");
    // What one day of twenty says is not to be expected of a dozen.
    let rare = (count >= 200).then_some("aim_not_converged");
    for code in ["aimed_inside_range", "range_too_narrow"]
        .into_iter()
        .chain(rare)
    {
        assert!(codes.contains_key(code), "{code}");
    }
}

/// A day with acid and base in fine steps for its mash, where nothing else is wanted.
fn easy(seed: u64, dice: &mut Dice) -> BrewDay {
    let mut draft = Draft::random(seed);
    let step = draft.mash.litres / 1000.0;
    let item = |key: &str| Item {
        reagent: REAGENTS
            .iter()
            .find(|row| row.key == key)
            .expect("on the table"),
        strength: None,
        step,
        min_dose: None,
        stock: None,
        at: Some(vec!["mash_tun"]),
    };
    draft.shelf = ["lactic acid", "sodium bicarbonate"].map(item).into();
    draft.targets.clear();
    let mut day = draft.read();
    let low = dice.real(5.0, 5.5);
    day.targets.mash_ph = Some(TargetRange {
        low: dice.chance(0.8).then_some(low),
        high: Some(low + dice.real(0.2, 0.7)),
        prefer: None,
        weight: 1.0,
    });
    day
}

#[test]
fn a_plan_has_the_confidence_it_is_asked_for_where_any_has() {
    const DAYS: u64 = 200;
    let dice = &mut Dice::new(80);
    let (mut reached, mut lowest) = (0, 1.0_f64);
    for seed in 0..DAYS {
        let mut day = easy(seed, dice);
        let plain = day.plan().expect("a plan");
        let asked = dice.real(0.5, 0.95);
        day.mash_ph_confidence = Some(asked);
        let plan = day.plan().expect("a plan");
        let says = |code| plan.reasons.iter().any(|reason| reason.code == code);
        let chance = plan.mash.probability_in_range.expect("a range");
        if says("range_too_narrow") {
            // Then the best there is, which no other plan betters.
            let other = plain.mash.probability_in_range.expect("a range");
            assert!(
                chance > other - TWO_POINTS - BY_DOSES,
                "day {seed}: {chance} {other}"
            );
        } else {
            reached += 1;
            lowest = lowest.min(chance - asked);
            assert!(
                chance >= asked - TWO_POINTS,
                "day {seed}: {chance} of {asked}"
            );
        }
        let missed = plan
            .cautions
            .iter()
            .any(|caution| caution.code == "confidence_not_reached");
        // By the whole per cents that are shown: a plan does not say that 90 % is less than 90 %.
        let shown = |share: f64| (share * 100.0).round();
        assert_eq!(missed, shown(chance) < shown(asked), "day {seed}");
    }
    println!(
        "{reached} of {DAYS} reach it, short by {:.2} points at worst",
        -100.0 * lowest
    );
    assert!(reached > 100, "{reached}");
}

/// What the doses that move a mash to the best pH may cost of the chance, since they are uncertain
/// too.
const BY_DOSES: f64 = 0.005;

/// What a chance may move by when acid and base do, through the ionic strength.
const BY_IONIC_STRENGTH: f64 = 0.005;

/// A mash moved to a pH by acid alone.
fn moved<'a>(mash: &Mash<'a>, ph: f64) -> Mash<'a> {
    let acid_eq = mash.proton_deficit_eq(&mash.chemistry(), ph);
    let mut liquor: Liquor = mash.liquor;
    liquor.alkalinity_eq_per_kg -= acid_eq / mash.water_kg;
    Mash { liquor, ..*mash }
}

proptest! {
    #![proptest_config(cases(300))]

    #[test]
    fn more_confidence_never_widens_an_aim(grist in grist(), water in liquor(), thickness in 1.5..10.0f64, low in 4.5..5.8f64, width in 0.05..1.0f64, open in 0..6, confidence in 0.5..0.99f64, more in 0.0..0.4f64, share in 0.0..1.0f64) {
        let kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
        let mash = Mash { grist: &grist, water_kg: kg * thickness, liquor: water };
        let unsure = DoseUncertainty { alkalinity_eq_per_kg: 2e-4, ..DoseUncertainty::default() };
        let range = [(open != 0).then_some(low), (open != 1).then_some(low + width)];
        let aim = mash.aim(&unsure, range, confidence);
        let surer = mash.aim(&unsure, range, (confidence + more).min(0.99));
        let ends = |aim: &Aim| [aim.low.unwrap_or(1.0), aim.high.unwrap_or(13.0)];
        let ([wide_low, wide_high], [low, high]) = (ends(&aim), ends(&surer));
        let wished = [range[0].unwrap_or(1.0), range[1].unwrap_or(13.0)];
        prop_assert!(wished[0] <= wide_low && wide_low <= low && low <= high && high <= wide_high && wide_high <= wished[1], "{range:?} {aim:?} {surer:?}");
        prop_assert_eq!(aim.best, surer.best);
        // Whatever is forecast within an aim has its confidence, and nothing just outside has.
        let chance = |ph: f64| moved(&mash, ph).probability_between(&unsure, range[0], range[1]);
        if aim.best >= confidence {
            let near = |open: f64, end: f64| if open == end { low } else { end };
            let within = near(1.0, wide_low) + share * (near(13.0, wide_high) - near(1.0, wide_low));
            prop_assert!(chance(within) >= confidence - BY_IONIC_STRENGTH, "{within} {}", chance(within));
            if wide_low - 0.01 > wished[0] {
                prop_assert!(chance(wide_low - 0.01) < confidence + BY_IONIC_STRENGTH);
            }
        } else {
            prop_assert_eq!(wide_low, wide_high);
            let elsewhere = wished[0] + share * (wished[1] - wished[0]);
            prop_assert!(chance(elsewhere) <= aim.best + BY_IONIC_STRENGTH);
        }
    }

    #[test]
    fn where_nothing_bends_a_chance_is_that_of_a_normal(
        distilled_water_ph in 5.0..6.2f64,
        sd in 0.01..0.2f64,
        from in -3.0..3.0f64,
        width in 0.0..3.0f64,
    ) {
        // One malt of well-known buffering in distilled water: only its own pH is unsure.
        let malt = Malt {
            name: String::new(),
            mass_kg: 100.0,
            curve: TitrationCurve::straight([distilled_water_ph, sd], [0.04, 0.0]),
            is_class_prior: false,
        };
        let mash = Mash { grist: &[malt], water_kg: 300.0, liquor: Liquor::default() };
        let unsure = DoseUncertainty::default();
        let forecast = mash.forecast_dosed(&unsure);
        let [low, high] = [from, from + width].map(|sds| forecast.ph + sds * sd);
        let reported = mash.probability_between(&unsure, Some(low), Some(high));
        prop_assert!((reported - normal_below(from + width) + normal_below(from)).abs() < 1e-4, "{reported}");
    }
}
