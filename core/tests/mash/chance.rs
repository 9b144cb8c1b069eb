//! First-order error bars against chance: every input drawn from its own distribution, the balance
//! solved anew.

use underlet::component::{Component, Composition};
use underlet::liquor::Liquor;
use underlet::mash::{Assumptions, DoseUncertainty, Forecast, Malt, Mash, TitrationCurve};
use underlet::math::normal_below;
use underlet::uncertainty::{Cause, LiquorCovariance};
use underlet_tables::{MALTS, parameters};

use super::common::{malt, water};
use crate::common::dice::Dice;
use crate::common::trials::trials;

/// Draws per mash: their standard deviation is then itself known to half a per cent.
const DRAWS: u32 = 20_000;
/// What a first-order bar is promised to, and what chance adds to that.
const PROMISED: f64 = 0.05;
const BY_CHANCE: f64 = 0.012;

fn normal(dice: &mut Dice) -> f64 {
    let (radius, angle) = (
        (-2.0 * dice.real(1e-300, 1.0).ln()).sqrt(),
        dice.real(0.0, std::f64::consts::TAU),
    );
    radius * angle.cos()
}

/// A buffering, whose error is a factor; what does not buffer has no doubt about it.
fn buffering(dice: &mut Dice, curve: &TitrationCurve) -> f64 {
    let [_, one_more] = curve.buffering_between(normal(dice));
    one_more
}

/// Mashes as they turn out, over and over.
struct Drawn {
    /// Their pH.
    mashes: Vec<f64>,
    /// What a meter would show.
    readings: Vec<f64>,
}

fn draw(mash: &Mash<'_>, unsure: &DoseUncertainty, seed: u64) -> Drawn {
    let mut dice = Dice::new(seed);
    let chemistry = mash.chemistry();
    let mut grist = mash.grist.to_vec();
    let (mut mashes, mut readings) = (Vec::new(), Vec::new());
    for _ in 0..DRAWS {
        for (drawn, malt) in grist.iter_mut().zip(mash.grist) {
            let curve = &malt.curve;
            drawn.curve.distilled_water_ph =
                curve.distilled_water_ph + curve.distilled_water_ph_sd * normal(&mut dice);
            drawn.curve.buffering_eq_per_kg_ph = buffering(&mut dice, curve);
        }
        let assumed = Assumptions {
            // Between fully degassed and closed.
            carbon_share: dice.real(0.0, 1.0),
            calcium_protons: parameters::CALCIUM_PROTONS_PER_EQUIVALENT.value
                + parameters::CALCIUM_PROTONS_PER_EQUIVALENT.sd * normal(&mut dice),
            magnesium_protons: parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.value
                + parameters::MAGNESIUM_PROTONS_PER_EQUIVALENT.sd * normal(&mut dice),
        };
        let mut liquor = mash.liquor;
        liquor.alkalinity_eq_per_kg += unsure.alkalinity_eq_per_kg * normal(&mut dice);
        let drawn = Mash {
            grist: &grist,
            liquor,
            ..*mash
        };
        let acid = (unsure.acid_eq.hypot(unsure.dissolving_eq)) * normal(&mut dice);
        let ph = drawn.ph_with_acid(&chemistry.clone().assuming(assumed), acid);
        mashes.push(ph);
        readings.push(
            ph + parameters::MASH_PH_DEFINITION_SD.value * normal(&mut dice)
                + parameters::METER_SD.value * normal(&mut dice),
        );
    }
    Drawn { mashes, readings }
}

/// Mean, beside a forecast, and standard deviation of what a meter would show.
fn spread(readings: &[f64], forecast: f64) -> (f64, f64) {
    let (mut sum, mut square) = (0.0, 0.0);
    for reading in readings {
        let ph = reading - forecast;
        sum += ph;
        square += ph * ph;
    }
    let mean = sum / f64::from(DRAWS);
    (mean, (square / f64::from(DRAWS) - mean * mean).sqrt())
}

/// Share that lies in a range.
fn share_between(all: &[f64], low: Option<f64>, high: Option<f64>) -> f64 {
    let inside =
        |ph: &&f64| low.is_none_or(|low| **ph >= low) && high.is_none_or(|high| **ph <= high);
    all.iter().filter(inside).count() as f64 / f64::from(DRAWS)
}

/// A mash as somebody might make it: mostly malt, up to five kinds, adjuncts among them.
fn random(dice: &mut Dice) -> (Vec<Malt>, f64, Liquor) {
    let base = [
        "pilsner malt",
        "pale ale malt",
        "pale wheat malt",
        "light Munich malt",
    ];
    let mut grist = vec![malt(base[dice.pick(base.len())], 100.0)];
    for _ in 0..dice.pick(5) {
        let row = &MALTS[dice.pick(MALTS.len())];
        let most = if row.class == "acidulated malt" {
            6.0
        } else {
            60.0
        };
        grist.push(malt(row.class, dice.real(0.5, most)));
    }
    let mut liquor = water(dice.real(0.0, 6e-3), dice.real(0.0, 200.0));
    liquor.ions.set(Component::Magnesium, dice.real(0.0, 2e-3));
    liquor.ions.set(Component::Lactate, dice.real(0.0, 4e-3));
    let kg: f64 = grist.iter().map(|malt| malt.mass_kg).sum();
    (grist, kg * dice.real(2.0, 5.0), liquor)
}

#[test]
fn first_order_bars_of_random_mashes_are_those_of_chance_or_say_that_they_are_not() {
    let count = trials(20, 200);
    let mut dice = Dice::new(1953);
    let (mut worst_silent, mut flagged) = (0.0_f64, 0);
    let mut beyond = 0;
    for seed in 0..count {
        let (grist, water_kg, liquor) = random(&mut dice);
        let mash = Mash {
            grist: &grist,
            water_kg,
            liquor,
        };
        let unsure = DoseUncertainty {
            acid_eq: water_kg * dice.real(0.0, 2e-4),
            alkalinity_eq_per_kg: dice.real(0.0, 3e-4),
            ..DoseUncertainty::default()
        };
        let forecast = mash.forecast_dosed(&unsure);
        let (mean, sd) = spread(&draw(&mash, &unsure, seed).readings, mash.ph());
        let off = sd / forecast.sd - 1.0;
        // The second order is nearer to chance than the first wherever it speaks.
        let second = sd / forecast.second_order.sd - 1.0;
        if forecast.is_nonlinear() {
            flagged += 1;
            assert!(
                second.abs() <= off.abs().max(BY_CHANCE) + 0.03,
                "{second} {off}"
            );
        } else {
            worst_silent = worst_silent.max(off.abs());
            assert!(
                off.abs() <= PROMISED + BY_CHANCE,
                "mash {seed}: {off:+.3}, second order {second:+.3}: {:?}",
                grist.iter().map(|malt| &malt.name).collect::<Vec<_>>()
            );
        }
        beyond += u32::from(off.abs() > PROMISED);
        let shift = (mean - forecast.second_order.shift) / forecast.sd;
        assert!(shift.abs() < 0.05, "mash {seed}: mean off by {shift} sd");
    }
    println!(
        "{flagged} of {count} flagged; {beyond} beyond 5 %; worst that was not: {:.1} %",
        100.0 * worst_silent
    );
    // It must not cry wolf.
    assert!(10 * flagged < 3 * count, "{flagged}");
}

/// What a probability is promised to: two points in a hundred.
const TWO_POINTS: f64 = 0.02;

#[test]
fn the_probability_of_landing_in_a_range_is_that_of_chance_in_random_mashes() {
    let count = trials(20, 200);
    let mut dice = Dice::new(26_249);
    let (mut worst, mut worst_plain, mut square) = (0.0_f64, 0.0_f64, 0.0);
    for seed in 0..count {
        let (grist, water_kg, liquor) = random(&mut dice);
        let mash = Mash {
            grist: &grist,
            water_kg,
            liquor,
        };
        let unsure = DoseUncertainty {
            acid_eq: water_kg * dice.real(0.0, 2e-4),
            alkalinity_eq_per_kg: dice.real(0.0, 3e-4),
            ..DoseUncertainty::default()
        };
        let forecast = mash.forecast_dosed(&unsure);
        let mashes = draw(&mash, &unsure, seed).mashes;
        for _ in 0..10 {
            // Somewhere about the forecast, open at one end now and then.
            let low = forecast.ph + forecast.sd * dice.real(-3.0, 2.0);
            let high = low + forecast.sd * dice.real(0.0, 4.0);
            let low = (dice.pick(5) > 0).then_some(low);
            let high = (low.is_none() || dice.pick(5) > 0).then_some(high);
            let reported = mash.probability_between(&unsure, low, high);
            let seen = share_between(&mashes, low, high);
            let below = |end: f64| normal_below((end - forecast.ph) / forecast.sd);
            let plain = high.map_or(1.0, below) - low.map_or(0.0, below);
            worst = worst.max((reported - seen).abs());
            worst_plain = worst_plain.max((plain - seen).abs());
            square += (reported - seen) * (reported - seen) / (10 * count) as f64;
            assert!(
                (reported - seen).abs() < TWO_POINTS,
                "mash {seed}, {low:?} to {high:?}: {reported:.4}, by chance {seen:.4}: {:?}",
                grist
                    .iter()
                    .map(|malt| (&malt.name, malt.mass_kg))
                    .collect::<Vec<_>>()
            );
        }
    }
    println!(
        "10 ranges of each of {count} mashes: worst {:.2} points, {:.2} in the mean square; a \
         plain normal {:.2} at worst",
        100.0 * worst,
        100.0 * square.sqrt(),
        100.0 * worst_plain
    );
}

#[test]
fn a_mash_that_hardly_buffers_is_flagged() {
    // Nine parts of rice to one of malt: the buffering itself is a guess.
    let grist = [
        malt("flaked rice or rice grits", 9.0),
        malt("pilsner malt", 1.0),
    ];
    let mash = Mash {
        grist: &grist,
        water_kg: 40.0,
        liquor: water(4e-3, 0.0),
    };
    let unsure = DoseUncertainty::default();
    let forecast = mash.forecast_dosed(&unsure);
    let (_, sd) = spread(&draw(&mash, &unsure, 7).readings, mash.ph());
    println!(
        "first {:.3}, second {:.3}, chance {sd:.3}",
        forecast.sd, forecast.second_order.sd
    );
    assert!(forecast.is_nonlinear());
    let words = forecast.nonlinearity_in_words().expect("words");
    assert!(words.starts_with("The error bar is a rough one"), "{words}");
    // And all malt in distilled water is not.
    let grist = [malt("pilsner malt", 10.0)];
    let mash = Mash {
        grist: &grist,
        water_kg: 35.0,
        liquor: Liquor::default(),
    };
    assert_eq!(mash.forecast_dosed(&unsure).nonlinearity_in_words(), None);
}

#[test]
fn a_covariance_of_the_liquor_is_the_chance_of_its_parts() {
    // Alkalinity and calcium that go together, as after a titration of one and a hardness: drawn
    // from two causes.
    let grist = [malt("pale ale malt", 10.0)];
    let liquor = water(3e-3, 100.0);
    let mash = Mash {
        grist: &grist,
        water_kg: 35.0,
        liquor,
    };
    let (common, own) = (2e-4, 1e-4);
    let mut matrix = [[0.0; LiquorCovariance::COUNT]; LiquorCovariance::COUNT];
    let (calcium, alkalinity, carbon) = (
        Component::Calcium as usize,
        LiquorCovariance::ALKALINITY,
        LiquorCovariance::CARBON,
    );
    // Calcium = common/2, alkalinity = common + own, carbon = 1.1 alkalinity.
    matrix[calcium][calcium] = common * common / 4.0;
    for (place, factor) in [(alkalinity, 1.0), (carbon, 1.1)] {
        matrix[calcium][place] = factor * common * common / 2.0;
        matrix[place][calcium] = matrix[calcium][place];
        for (other, again) in [(alkalinity, 1.0), (carbon, 1.1)] {
            matrix[place][other] = factor * again * (common * common + own * own);
        }
    }
    let covariance = LiquorCovariance::from_fn(|one, other| matrix[one][other]);
    let with = |liquor| DoseUncertainty {
        liquor,
        ..DoseUncertainty::default()
    };
    let part = |forecast: &Forecast| {
        let cause = forecast
            .uncertainty_budget
            .iter()
            .find(|part| part.cause == Cause::Alkalinity);
        cause.map_or(0.0, |cause| cause.sd)
    };
    let reported = part(&mash.forecast_dosed(&with(Some(covariance))));
    let mut dice = Dice::new(9);
    let (mut sum, mut square) = (0.0, 0.0);
    for _ in 0..DRAWS {
        let (one, two) = (common * normal(&mut dice), own * normal(&mut dice));
        let mut drawn = mash;
        let mut ions: Composition = liquor.ions;
        ions.set(Component::Calcium, ions.get(Component::Calcium) + one / 2.0);
        drawn.liquor.ions = ions;
        drawn.liquor.alkalinity_eq_per_kg += one + two;
        drawn.liquor.carbon_mol_per_kg += 1.1 * (one + two);
        let ph = drawn.ph() - mash.ph();
        sum += ph;
        square += ph * ph;
    }
    let mean = sum / f64::from(DRAWS);
    let seen = (square / f64::from(DRAWS) - mean * mean).sqrt();
    println!("reported {reported:.5}, seen {seen:.5}");
    assert!((reported / seen - 1.0).abs() < 0.02, "{reported} {seen}");
    // A variance of alkalinity alone is the plain number.
    let mut alone = LiquorCovariance::default();
    alone.add((alkalinity, 0.0), (alkalinity, 0.0), own * own);
    let by_matrix = part(&mash.forecast_dosed(&with(Some(alone))));
    let by_number = part(&mash.forecast_dosed(&DoseUncertainty {
        alkalinity_eq_per_kg: own,
        ..DoseUncertainty::default()
    }));
    // The matrix counts what alkalinity does to the activity coefficients as well.
    assert!(
        (by_matrix / by_number - 1.0).abs() < 0.01,
        "{by_matrix} {by_number}"
    );
}

#[test]
fn correlated_errors_of_a_lot_are_the_chance_of_its_curve() {
    // A curve whose buffering hangs on its own pH, as a titrated acidity makes it; small errors,
    // since their product is of second order.
    let mut curve = TitrationCurve::straight([4.8, 0.024], [0.049, 0.0016]);
    curve.correlations[0] = 0.8;
    let mut dice = Dice::new(4);
    let (mut sum, mut square) = (0.0, 0.0);
    let known = curve.acid_eq_per_kg(5.4);
    for _ in 0..DRAWS {
        let (one, two) = (normal(&mut dice), normal(&mut dice));
        let drawn = TitrationCurve::straight(
            [
                curve.distilled_water_ph + curve.distilled_water_ph_sd * one,
                0.0,
            ],
            [
                curve.buffering_eq_per_kg_ph + curve.buffering_sd * (0.8 * one + 0.6 * two),
                0.0,
            ],
        );
        let acid = drawn.acid_eq_per_kg(5.4) - known;
        sum += acid;
        square += acid * acid;
    }
    let mean = sum / f64::from(DRAWS);
    let seen = (square / f64::from(DRAWS) - mean * mean).sqrt();
    let [lot, rest] = curve.acid_sd(5.4);
    assert!(
        (lot.hypot(rest) / seen - 1.0).abs() < 0.02,
        "{lot} {rest} {seen}"
    );
}
