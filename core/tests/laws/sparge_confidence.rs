//! The chance that a plan states for its sparge pH, against chance itself, and the confidence that
//! it is aimed for.

use std::collections::BTreeMap;

use proptest::prelude::*;
use underlet::aqueous::Aqueous;
use underlet::fit::Problem;
use underlet::liquor::{Liquor, alkalinity_eq_per_kg};
use underlet::mash::{Aim, UncertainLiquor};
use underlet::uncertainty::LiquorCovariance;
use underlet::{BrewDay, Plan, Reconciled, Source, TargetRange};
use underlet_tables::parameters;

use super::confidence::normal;
use super::strategies::{cases, liquor};
use crate::common::dice::Dice;
use crate::common::draft::Draft;
use crate::common::trials::trials;

/// What each random day is read so many times over.
const BREWS: u32 = 20_000;
/// What a probability is promised to: two points in a hundred. Chance itself errs by 0.35 at most
/// in one standard deviation.
const TWO_POINTS: f64 = 0.02;

/// A random day that asks for a range of sparge pH, most often with a confidence; none without a
/// sparge.
fn day(seed: u64, dice: &mut Dice) -> Option<BrewDay> {
    let mut draft = Draft::random(seed);
    draft.targets.retain(|range| range.key != "sparge_ph");
    let mut day = draft.read();
    let unasked = day.plan().expect("a plan").sparge?.ph_closed;
    // A range reaches into what sparge liquor may have.
    let low = (unasked + dice.real(-1.2, 0.2)).clamp(parameters::SPARGE_PH_FLOOR.value, 9.9);
    let high = low + dice.real(0.1, 1.0);
    let open = dice.pick(8);
    day.targets.sparge_ph = Some(TargetRange {
        low: (open != 0).then_some(low),
        high: (open != 1).then_some(high),
        prefer: (open > 1 && dice.chance(0.2)).then(|| dice.real(low, high)),
        weight: 1.0,
    });
    day.sparge_ph_confidence = dice.chance(0.7).then(|| dice.real(0.5, 0.95));
    for source in &mut day.sources {
        if dice.chance(0.3) {
            source.reconciled = Some(Box::new(reconciled(source, dice)));
        }
    }
    Some(day)
}

/// A source whose alkalinity and carbon are known by bench and report, one with the other.
fn reconciled(source: &Source, dice: &mut Dice) -> Reconciled {
    let mut covariance = LiquorCovariance::default();
    let alkalinity = source.liquor.alkalinity_eq_per_kg.abs() * dice.real(0.005, 0.1) + 1e-6;
    let carbon = source.liquor.carbon_mol_per_kg * dice.real(0.005, 0.1);
    let together = dice.real(-0.9, 0.99) * alkalinity * carbon;
    let (a, c) = (LiquorCovariance::ALKALINITY, LiquorCovariance::CARBON);
    covariance.add((a, 0.0), (a, 0.0), alkalinity * alkalinity);
    covariance.add((c, 0.0), (c, 0.0), carbon * carbon);
    covariance.add((a, 0.0), (c, 0.0), together);
    covariance.add((c, 0.0), (a, 0.0), together);
    Reconciled {
        covariance,
        remarks: Vec::new(),
    }
}

/// A liquor of a source as it may be.
fn drawn(source: &Source, dice: &mut Dice) -> Liquor {
    let mut liquor = source.liquor;
    let alkalinity = source.liquor.alkalinity_eq_per_kg;
    if let Some(reconciled) = &source.reconciled {
        let of = |one: usize, other: usize| reconciled.covariance.get(one, other);
        let (a, c) = (LiquorCovariance::ALKALINITY, LiquorCovariance::CARBON);
        let (sd, shared) = (of(a, a).sqrt(), normal(dice));
        let with_it = of(a, c) / sd;
        let own = (of(c, c) - with_it * with_it).max(0.0).sqrt();
        liquor.alkalinity_eq_per_kg += sd * shared;
        liquor.carbon_mol_per_kg += with_it * shared + own * normal(dice);
    } else {
        let least = alkalinity_eq_per_kg(parameters::ALKALINITY_REPORT_ABSOLUTE_SD.value);
        let sd = alkalinity.abs() * parameters::ALKALINITY_REPORT_RELATIVE_SD.value;
        liquor.alkalinity_eq_per_kg += sd.max(least) * normal(dice);
    }
    liquor
}

/// Sparge liquors of brewers who follow a plan: the amounts of each water and the strength of each
/// acid drawn from their own distributions, the vessels followed and
/// the equilibrium solved anew.
fn share_inside(day: &BrewDay, plan: &Plan, dice: &mut Dice) -> f64 {
    let problem: Problem<'_> = day.problem();
    let weighed: Vec<f64> = problem
        .doses
        .iter()
        .map(|option| {
            let mut additions = plan.additions.iter();
            let same = additions.find(|addition| {
                addition.vessel == option.vessel
                    && addition.reagent == option.preparation.reagent.key
            });
            same.map_or(0.0, |addition| addition.amount)
        })
        .collect();
    let shares: Vec<f64> = plan.blend.iter().map(|part| part.share).collect();
    let range = day.targets.sparge_ph.expect("a range");
    let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
    let mut as_drawn = problem.clone();
    let mut doses = weighed.clone();
    let inside = (0..BREWS).filter(|_| {
        for (option, source) in as_drawn.sources.iter_mut().zip(&day.sources) {
            option.liquor = drawn(source, dice);
        }
        for ((dose, weighed), option) in doses.iter_mut().zip(&weighed).zip(&problem.doses) {
            if option.preparation.is_acid() {
                *dose =
                    weighed * (1.0 + parameters::ACID_STRENGTH_RELATIVE_SD.value * normal(dice));
            }
        }
        let sparge = as_drawn.liquors(&shares, &doses).sparge;
        let ph = aqueous.closed(&sparge).expect("an equilibrium").ph;
        range.low.is_none_or(|low| ph >= low) && range.high.is_none_or(|high| ph <= high)
    });
    inside.count() as f64 / f64::from(BREWS)
}

#[test]
fn the_chance_that_a_plan_of_a_random_day_states_for_its_sparge_is_that_of_many_brews() {
    let count = trials(10, 100);
    let dice = &mut Dice::new(1957);
    let (mut worst, mut square, mut told_something, mut planned) = (0.0_f64, 0.0, 0, 0);
    let mut codes = BTreeMap::new();
    for seed in 0.. {
        let Some(day) = day(seed, dice) else {
            continue;
        };
        let plan = day.plan().expect("a plan");
        let sparge = plan.sparge.as_ref().expect("a sparge");
        let reported = sparge.probability_in_range.expect("a range");
        let seen = share_inside(&day, &plan, dice);
        let ours = plan
            .reasons
            .iter()
            .filter(|reason| reason.subject == "sparge_ph");
        for reason in ours {
            *codes.entry(reason.code.to_string()).or_insert(0) += 1;
        }
        worst = worst.max((reported - seen).abs());
        square += (reported - seen) * (reported - seen) / f64::from(count);
        told_something += u32::from((0.02..0.98).contains(&reported));
        assert!(
            (reported - seen).abs() < TWO_POINTS,
            "day {seed}: {reported:.4}, of {BREWS} brews {seen:.4}: {:?}, {sparge:?}",
            day.targets.sparge_ph
        );
        let asked = sparge.requested_confidence_percent;
        assert_eq!(asked.is_some(), day.sparge_ph_confidence.is_some());
        let missed = plan.cautions.iter().any(|caution| {
            caution.code == "confidence_not_reached" && caution.text.contains("sparge")
        });
        // By the whole per cents that are shown.
        let short = asked.is_some_and(|asked| (reported * 100.0).round() < asked.round());
        assert_eq!(missed, short, "day {seed}");
        planned += 1;
        if planned == count {
            break;
        }
    }
    println!(
        "{count} plans, {told_something} between 2 and 98 %: off by {:.2} points at worst, {:.2} \
         in the mean square; {codes:?}",
        100.0 * worst,
        100.0 * square.sqrt()
    );
    assert!(2 * told_something > count, "{told_something}");
    for code in ["aimed_inside_range", "range_too_narrow"] {
        assert!(codes.contains_key(code), "{code}");
    }
}

proptest! {
    #![proptest_config(cases(200))]

    #[test]
    fn more_confidence_never_widens_the_aim_of_a_sparge(water in liquor(), low in 4.0..8.0f64, width in 0.05..2.0f64, open in 0..6, sds in proptest::array::uniform2(1e-5..1e-3f64), confidence in 0.5..0.99f64, more in 0.0..0.4f64) {
        let sparge = UncertainLiquor {
            liquor: water,
            range: [(open != 0).then_some(low), (open != 1).then_some(low + width)],
            acid_sd_eq_per_kg: sds,
        };
        let (aim, surer) = (sparge.aim(confidence), sparge.aim((confidence + more).min(0.99)));
        let ends = |low: Option<f64>, high: Option<f64>| [low.unwrap_or(0.0), high.unwrap_or(14.0)];
        let of = |aim: &Aim| ends(aim.low, aim.high);
        let ([wide_low, wide_high], [low, high]) = (of(&aim), of(&surer));
        let [wished_low, wished_high] = ends(sparge.range[0], sparge.range[1]);
        prop_assert!(wished_low <= wide_low && wide_low <= low && low <= high && high <= wide_high && wide_high <= wished_high, "{:?} {aim:?} {surer:?}", sparge.range);
        prop_assert_eq!(aim.best, surer.best);
        // Liquor brought to an end of its aim by acid alone has the confidence there, where any
        // has.
        if aim.best >= confidence {
            for end in [aim.low, aim.high].into_iter().flatten() {
                let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
                let moved = aqueous.with_ph_and_carbon(&water, end).expect("an equilibrium").liquor;
                let chance = UncertainLiquor { liquor: moved, ..sparge }.probability();
                prop_assert!(chance >= confidence - BY_IONIC_STRENGTH, "{end} {chance}");
            }
        }
    }
}

/// What a chance may move by when acid and base do, through the ionic strength: at a pH of the
/// liquor as it now is nothing else hangs on it.
const BY_IONIC_STRENGTH: f64 = 0.005;
