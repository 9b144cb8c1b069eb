//! The chance that a mash, or closed liquor, lands within a range, where to aim so that it does,
//! and between which a meter shows it.
//!
//! A mash lies below a pH where acid is no longer missing at that pH. There the balance is a plain
//! sum of its causes, but for each malt's distilled-water pH times its buffering; so its mean is
//! exact and its cumulants come in closed form, however much the balance bends between the forecast
//! and an end of the range. The same holds of liquor on its own, whose pH bends far more.
//!
//! The causes and their effects are those of the forecast's error bar. They spread here by more
//! than a sum of squares, because a chance depends on the shape of the distribution: products of
//! causes skew it, so does a buffering whose error is a factor, and the carbon dioxide that has
//! left is flat between all and nothing, which no cumulants describe well.
//!
//! What a meter and a sample are off by moves the reading and not the mash: it counts in the
//! interval of what is shown, and in no chance.

use underlet_tables::parameters;

use super::balance::{PH_CEILING, PH_FLOOR};
use super::effects::{DoseUncertainty, Effects, SAMPLING_AND_METER};
use super::{Chemistry, Forecast, Mash};
use crate::aqueous::Aqueous;
use crate::liquor::Liquor;
use crate::math::{self, NoRoot};
use crate::uncertainty::Cause;

/// Where a pH should be forecast, so that it lands within a wished range with a confidence.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Aim {
    /// Low end of what may be forecast, not below that of the wished range; `None` where that is
    /// open.
    pub low: Option<f64>,
    /// High end.
    pub high: Option<f64>,
    /// The greatest chance that any forecast has, 0 to 1: where it is less than the confidence,
    /// both ends are at that pH.
    pub best: f64,
}

/// Acid missing at one pH, as its causes scatter it: a skewed normal distribution, and beside it
/// what stays of the carbon, which may lie anywhere between all and nothing.
struct Missing {
    mean_eq: f64,
    sd_eq: f64,
    skewness: f64,
    excess: f64,
    carbon_sd_eq: f64,
}

/// Standard deviations and weights by which a flat distribution is averaged over: Gauss's five
/// points (Abramowitz & Stegun 1964, table 25.4), the places times the root of three.
const FLAT: [[f64; 2]; 5] = [
    [-1.569_549_533_960_703_7, 0.118_463_442_528_094_56],
    [-0.932_656_203_419_604_6, 0.239_314_335_249_683_26],
    [0.0, 0.284_444_444_444_444_44],
    [0.932_656_203_419_604_6, 0.239_314_335_249_683_26],
    [1.569_549_533_960_703_7, 0.118_463_442_528_094_56],
];
/// Standard deviations beyond which the correction of a normal distribution stays what it is there.
const FAR_OUT: f64 = 2.0;
/// Half widths of a symmetric interval within which an end of the skewed one is looked for.
const FAR_IN_INTERVALS: f64 = 3.0;
/// Variance of what is known for sure, eq²: a chance of it is nothing or all.
const LEAST_VARIANCE: f64 = 1.0e-60;
/// Steps of pH by which chances are compared.
const STEP_PH: f64 = 1.0e-3;

impl Missing {
    /// A reading that is wrong by so much pH is as a mash that takes so much times its buffering
    /// more; of the mash itself `reading_sd` is nothing.
    fn in_mash(
        mash: &Mash<'_>,
        chemistry: &Chemistry,
        doses: &DoseUncertainty,
        ph: f64,
        reading_sd: f64,
    ) -> Missing {
        let effects = Effects::of(mash, chemistry, doses, ph);
        let reading = mash.buffering_eq_per_ph(chemistry, ph) * reading_sd;
        let carbon = effects
            .by(Cause::CarbonDioxide)
            .map(|of| of.acid_eq)
            .sum::<f64>();
        let all = effects.acid_sd_eq();
        let mut variance = all * all - carbon * carbon + reading * reading;
        let (mut third, mut fourth, mut of_reading) = (0.0, 0.0, 0.0);
        let mut mean_eq = mash.proton_deficit_eq(chemistry, ph);
        // A malt's buffering times the error of its distilled-water pH, or of the reading. With a
        // the slopes of a sum and A the symmetric matrix of its products, normal causes have the
        // cumulants aa + 2 tr AA, 6 aAa and 48 aAAa (higher traces left out).
        let lots = effects.by(Cause::MaltLots);
        let buffers = effects.by(Cause::MaltBuffering);
        for ((malt, lot), buffer) in mash.grist.iter().zip(lots).zip(buffers) {
            let of_own = buffer.buffering * malt.curve.distilled_water_ph_sd;
            let of_read = buffer.buffering * reading_sd;
            let of_buffer = of_own * lot.acid_eq + of_read * reading;
            variance += of_own * of_own + of_read * of_read;
            third += 6.0 * buffer.acid_eq * of_buffer;
            let of_own = of_own * buffer.acid_eq;
            fourth += 12.0 * (of_buffer * of_buffer + of_own * of_own);
            of_reading += of_read * buffer.acid_eq;
            // A buffering whose logarithm is normal with a small deviation s: beside a s z, the
            // acid has a mean of a s² / 2 and cumulants that grow with s likewise.
            let (log_sd, acid) = (malt.curve.buffering_log_sd(), buffer.acid_eq);
            mean_eq += acid * log_sd / 2.0;
            variance += (acid * log_sd) * (acid * log_sd);
            third += 3.0 * log_sd * acid * acid * acid;
            fourth += 16.0 * log_sd * log_sd * acid * acid * acid * acid;
        }
        fourth += 12.0 * of_reading * of_reading;
        let variance = math::at_least(variance, LEAST_VARIANCE);
        Missing {
            mean_eq,
            sd_eq: variance.sqrt(),
            skewness: third / (variance * variance.sqrt()),
            excess: fourth / (variance * variance),
            carbon_sd_eq: carbon,
        }
    }

    /// Chance that less is missing than an amount of acid.
    fn below(&self, acid_eq: f64) -> f64 {
        FLAT.iter()
            .map(|[place, weight]| {
                weight * self.below_without_carbon(acid_eq + place * self.carbon_sd_eq)
            })
            .sum()
    }

    /// The same with the carbon known: the expansion of Cornish & Fisher 1937 (Revue de l'Institut
    /// International de Statistique 5, 307) to the normal deviate, whose inverse is Abramowitz &
    /// Stegun 1964, 26.2.49. Far out, where its polynomials would turn round, its correction stays
    /// what it was.
    fn below_without_carbon(&self, acid_eq: f64) -> f64 {
        let deviate = (acid_eq - self.mean_eq) / self.sd_eq;
        let z = math::at_least(deviate, -FAR_OUT).min(FAR_OUT);
        let (skew, square) = (self.skewness / 6.0, z * z);
        math::normal_below(
            deviate - skew * (square - 1.0) + skew * skew * z * (4.0 * square - 7.0)
                - self.excess / 24.0 * z * (square - 3.0),
        )
    }
}

/// Chance that the mash lands within a range; see [`Mash::probability_between`].
pub(super) fn of_mash(mash: &Mash<'_>, doses: &DoseUncertainty, range: [Option<f64>; 2]) -> f64 {
    let chemistry = mash.chemistry();
    between(&ends_of_mash(mash, &chemistry, doses, range), 0.0)
}

/// Chance that a meter shows less than a pH; see [`Mash::reading_below`].
pub(super) fn of_reading_of_mash(
    mash: &Mash<'_>,
    doses: &DoseUncertainty,
    ph: f64,
    more_sd: f64,
) -> f64 {
    let readings = SAMPLING_AND_METER.map(|(_, sd)| sd);
    let reading_sd = math::root_of_squares(readings.into_iter().chain([more_sd]));
    Missing::in_mash(mash, &mash.chemistry(), doses, ph, reading_sd).below(0.0)
}

/// Between which a meter shows the mash; see [`Mash::interval`].
pub(super) fn interval_of_mash(
    mash: &Mash<'_>,
    doses: &DoseUncertainty,
    forecast: &Forecast,
    standard_deviations: f64,
) -> [f64; 2] {
    let chemistry = mash.chemistry();
    let reading_sd = math::root_of_squares(SAMPLING_AND_METER.map(|(_, sd)| sd));
    let below = |ph: f64| Missing::in_mash(mash, &chemistry, doses, ph, reading_sd).below(0.0);
    let far = FAR_IN_INTERVALS * standard_deviations * forecast.sd;
    [-1.0, 1.0].map(|side| {
        let share = math::normal_below(side * standard_deviations);
        let end = forecast.ph + side * far;
        let [low, high] = [end.min(forecast.ph), end.max(forecast.ph)];
        let root = math::falling_root(|ph| share - below(ph), low, high);
        root.unwrap_or_else(NoRoot::nearer_end)
    })
}

/// The part of a range in which the mash must be forecast for a confidence; see [`Mash::aim`].
pub(super) fn aim_of_mash(
    mash: &Mash<'_>,
    doses: &DoseUncertainty,
    range: [Option<f64>; 2],
    confidence: f64,
) -> Aim {
    let chemistry = mash.chemistry();
    let ends = ends_of_mash(mash, &chemistry, doses, range);
    aim(&ends, range, confidence, |ph| {
        mash.proton_deficit_eq(&chemistry, ph)
    })
}

fn ends_of_mash(
    mash: &Mash<'_>,
    chemistry: &Chemistry,
    doses: &DoseUncertainty,
    range: [Option<f64>; 2],
) -> [Option<Missing>; 2] {
    range.map(|end| end.map(|ph| Missing::in_mash(mash, chemistry, doses, ph, 0.0)))
}

/// Liquor on its own, closed to carbon dioxide, that is to land within a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UncertainLiquor {
    /// As it is taken to be.
    pub liquor: Liquor,
    /// Low and high end of the range.
    pub range: [Option<f64>; 2],
    /// Standard deviation of the acid missing at either end, eq/kg.
    pub acid_sd_eq_per_kg: [f64; 2],
}

impl UncertainLiquor {
    /// Chance that a cooled sample lies within the range, 0 to 1, as
    /// [`Mash::probability_between`].
    pub fn probability(&self) -> f64 {
        between(&self.ends(self.missing()), 0.0)
    }

    /// The part of the range in which its pH must be forecast for a confidence, as [`Mash::aim`].
    pub fn aim(&self, confidence: f64) -> Aim {
        let missing = self.missing();
        aim(&self.ends(&missing), self.range, confidence, missing)
    }

    /// Acid missing at a pH, eq/kg, ion pairs and all. At the far ends, where no equilibrium is
    /// known, they hardly matter.
    fn missing(&self) -> impl Fn(f64) -> f64 {
        let liquor = self.liquor;
        let aqueous = Aqueous::at(parameters::SAMPLE_TEMPERATURE.value);
        let chemistry = Chemistry::at(liquor.ionic_strength_mol_per_kg());
        move |ph| {
            let there = aqueous.with_ph_and_carbon(&liquor, ph);
            there.map_or_else(
                |_| {
                    chemistry.acid_required_by_liquor(&liquor.as_dose(), ph)
                        - chemistry.free_charge(ph)
                },
                |there| liquor.alkalinity_eq_per_kg - there.liquor.alkalinity_eq_per_kg,
            )
        }
    }

    fn ends(&self, missing: impl Fn(f64) -> f64) -> [Option<Missing>; 2] {
        let at = |ph: f64, sd_eq: f64| Missing {
            mean_eq: missing(ph),
            sd_eq: math::at_least(sd_eq, LEAST_VARIANCE.sqrt()),
            skewness: 0.0,
            excess: 0.0,
            carbon_sd_eq: 0.0,
        };
        let ([low, high], [of_low, of_high]) = (self.range, self.acid_sd_eq_per_kg);
        [low.map(|ph| at(ph, of_low)), high.map(|ph| at(ph, of_high))]
    }
}

/// The part of a range in which a pH must be forecast for a confidence, as if acid moved it:
/// `acid_eq` brings it to a pH.
fn aim(
    ends: &[Option<Missing>; 2],
    [low, high]: [Option<f64>; 2],
    confidence: f64,
    acid_eq: impl Fn(f64) -> f64,
) -> Aim {
    let chance = |ph: f64| between(ends, acid_eq(ph));
    // What is open ends where nothing is looked for, or at the other end, which may lie beyond.
    let (lowest, highest) = (
        low.unwrap_or(PH_FLOOR.min(high.unwrap_or(PH_FLOOR))),
        high.unwrap_or(PH_CEILING.max(low.unwrap_or(PH_CEILING))),
    );
    let rise = |ph: f64| chance(ph + STEP_PH) - chance(ph - STEP_PH);
    // A chance that only rises or falls is best at an end, and one that never reaches the
    // confidence lacks it up to an end.
    let ends = |root: Result<f64, NoRoot>| root.unwrap_or_else(NoRoot::nearer_end);
    let top = ends(math::falling_root(rise, lowest, highest));
    let best = chance(top);
    let lack = |ph: f64| confidence - chance(ph);
    Aim {
        low: low.map(|low| ends(math::falling_root(lack, low, top))),
        high: high.map(|high| ends(math::falling_root(|ph| -lack(ph), top, high))),
        best,
    }
}

/// Chance of a mash with some acid given to it, eq, to lie between two ends.
fn between([low, high]: &[Option<Missing>; 2], acid_eq: f64) -> f64 {
    let below = |end: &Missing| end.below(acid_eq);
    // Acid lowers the pH: with it less is missing at either end.
    let chance = high.as_ref().map_or(1.0, below) - low.as_ref().map_or(0.0, below);
    math::at_least(chance, 0.0).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::Missing;
    use crate::math;

    #[test]
    fn a_bent_distribution_has_the_chances_of_the_handbook() {
        // Abramowitz & Stegun 1964, table 26.8: chi-square with 30 degrees of freedom, whose mean
        // is 30, variance 60, skewness the root of 8/30 and excess 12/30; the terms left out are of
        // the size of the skewness cubed, a hundredth of it here.
        let chi_square = Missing {
            mean_eq: 30.0,
            sd_eq: 60.0_f64.sqrt(),
            skewness: (8.0_f64 / 30.0).sqrt(),
            excess: 12.0 / 30.0,
            carbon_sd_eq: 0.0,
        };
        for (x, above) in [
            (18.4926, 0.95),
            (20.5992, 0.90),
            (24.4776, 0.75),
            (29.3360, 0.50),
            (34.7998, 0.25),
            (40.2560, 0.10),
            (43.7729, 0.05),
        ] {
            let below = chi_square.below(x);
            assert!((1.0 - below - above).abs() < 0.002, "{x}: {below}");
        }
    }

    #[test]
    fn carbon_is_averaged_over_as_if_exactly() {
        // A normal and a flat part of c standard deviations of the normal, h = √3 c: the chance is
        // (G(z + h) − G(z − h)) / 2 h with G' = Φ, G(z) = z Φ(z) + φ(z).
        let whole = |z: f64| {
            let bell = math::exp(-z * z / 2.0) / std::f64::consts::TAU.sqrt();
            z * math::normal_below(z) + bell
        };
        for (carbon_sd_eq, within) in [(0.3, 1e-9), (1.0, 1e-5), (2.0, 0.002), (3.0, 0.011)] {
            let missing = Missing {
                mean_eq: 0.0,
                sd_eq: 1.0,
                skewness: 0.0,
                excess: 0.0,
                carbon_sd_eq,
            };
            let half = 3.0_f64.sqrt() * carbon_sd_eq;
            for step in -60..=60 {
                let z = f64::from(step) / 10.0;
                let exact = (whole(z + half) - whole(z - half)) / (2.0 * half);
                let off = missing.below(z) - exact;
                assert!(off.abs() < within, "{carbon_sd_eq} {z}: {off}");
            }
        }
    }
}
