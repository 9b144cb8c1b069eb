//! What is known of the reconciled water: estimates, covariance, tests.

use super::ReconcileError;
use super::gauss_newton::Best;
use super::interval::{Belief, CONFIDENCE, Estimate};
use super::measurements::{Measurement, Origin};
use super::model::{Model, Unknown};
use crate::liquor::Liquor;
use crate::math;
use crate::optimise::Limit;
use crate::uncertainty::Covariance;
use crate::water_report::entry::Subject;

/// Less redundancy than this is rounding: nothing else says anything about the measurement.
const LEAST_REDUNDANCY: f64 = 1.0e-6;

/// The reconciled water with its error bars.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct ReconciledWater {
    /// The water that fits best: electroneutral, at today's temperature. What nobody measured is
    /// what is usual.
    pub liquor: Liquor,
    /// What was solved for, with estimates in mol/kg (alkalinity eq/kg), ions in the order of the
    /// table, then alkalinity and carbon. The standard deviations leave the amounts free to be
    /// below zero, the intervals do not.
    pub amounts: Vec<(Unknown, Estimate)>,
    /// Covariance of `amounts`.
    covariance: Covariance,
    /// Total hardness, eq/kg.
    pub hardness_eq_per_kg: Estimate,
    /// Alkalinity as a burette reads it, eq/kg.
    pub titrated_alkalinity_eq_per_kg: Estimate,
    /// pH at today's temperature.
    pub ph: Estimate,
    /// Conductivity referred to 25 °C, µS/cm.
    pub conductivity_us_per_cm: Estimate,
    /// Every measurement beside what the water would read, in a fixed order: report, bench, what
    /// is usual.
    pub measurements: Vec<Residual>,
    /// Sum of the squares of all residuals in their standard deviations.
    pub chi_square: f64,
    /// How many measurements more there are than it takes to know the water.
    pub degrees_of_freedom: usize,
    /// Probability of so great a chi-square, or greater, if all standard deviations are right.
    pub p_value: f64,
    /// The measurement that disagrees most with the others; `None` where nothing can disagree.
    pub disagreement: Option<Disagreement>,
    /// Entries that are no measurement of their own or say nothing about the amounts.
    pub unused: Vec<(Origin, Subject)>,
    /// Gauss–Newton iterations taken; the last one converged.
    pub iterations: u64,
}

/// A measurement beside what the reconciled water would read.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Residual {
    /// The measurement.
    pub measurement: Measurement,
    /// What the water would read, in the same unit.
    pub predicted: f64,
    /// Share of the measurement's variance that the others check, 0 (they say nothing about it) to
    /// 1 (they know it exactly).
    pub redundancy: f64,
    /// Residual over its own standard deviation, normal with one if nothing is wrong; `None`
    /// without redundancy.
    pub standardised: Option<f64>,
}

/// The measurement that disagrees most.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Disagreement {
    /// Its place in [`ReconciledWater::measurements`].
    pub place: usize,
    /// Its standardised residual.
    pub standardised: f64,
    /// Probability of a worst residual as great as this, or greater, if nothing is wrong (Šidák's
    /// bound on the largest of many).
    pub p_value: f64,
    /// Places of those that may be the wrong one, it and those that can hardly be distinguished
    /// from it, each with its probability if just one is wrong and each is as likely as the
    /// next: the fewest that make up 95 %. With a charge balance as the only check all come
    /// out alike.
    pub suspects: Vec<(usize, f64)>,
}

impl ReconciledWater {
    pub(super) fn of(
        model: &Model,
        best: &Best,
        unused: Vec<(Origin, Subject)>,
    ) -> Result<ReconciledWater, ReconcileError> {
        // Amounts at zero are as free as the others.
        let covariance = covariance(best, &[]);
        let sd = |derivatives: &[f64]| covariance.variance(derivatives).sqrt();
        let state = model.state(&best.x)?;
        let sensitivities = model.slopes_today(&best.x)?;
        let ph = Estimate::normal(state.ph, sd(&sensitivities.ph));
        let liquor = model.liquor(&best.x);
        let amount_of = |subject: Subject| {
            let value = model.of_amounts(subject, &liquor);
            Estimate::amount(value, sd(&model.slopes_of_amounts(subject)))
        };
        let measurements = residuals(model, best);
        let chi_square = best.lines.residuals.iter().map(|r| r * r).sum();
        // One of the unknowns goes with the charge balance, and those at zero are not fitted.
        let fitted = model.unknowns.len() - 1 - best.pressed.len();
        let degrees_of_freedom = measurements.len().saturating_sub(fitted);
        Ok(ReconciledWater {
            liquor,
            amounts: amounts(model, best, &covariance, &ph, &sensitivities.ph),
            hardness_eq_per_kg: amount_of(Subject::Hardness),
            titrated_alkalinity_eq_per_kg: amount_of(Subject::Alkalinity),
            ph,
            conductivity_us_per_cm: Estimate::amount(
                state.conductivity_25c_us_per_cm(),
                sd(&sensitivities.conductivity),
            ),
            disagreement: disagreement(&measurements),
            measurements,
            chi_square,
            degrees_of_freedom,
            p_value: math::chi_square_above(chi_square, degrees_of_freedom),
            unused,
            iterations: best.iterations,
            covariance,
        })
    }

    /// The estimate of one unknown; `None` where it was neither measured nor is usual.
    pub fn amount(&self, unknown: Unknown) -> Option<Estimate> {
        let place = self.place(unknown)?;
        self.amounts.get(place).map(|(_, estimate)| *estimate)
    }

    /// Covariance of two unknowns, in the product of their units; zero for what was not solved for.
    pub fn covariance(&self, one: Unknown, other: Unknown) -> f64 {
        let places = self.place(one).zip(self.place(other));
        places.map_or(0.0, |(row, column)| self.covariance.get(row, column))
    }

    fn place(&self, unknown: Unknown) -> Option<usize> {
        self.amounts.iter().position(|(known, _)| *known == unknown)
    }
}

/// Every unknown with its estimate.
fn amounts(
    model: &Model,
    best: &Best,
    covariance: &Covariance,
    ph: &Estimate,
    ph_derivatives: &[f64],
) -> Vec<(Unknown, Estimate)> {
    let means = unbounded(best, covariance);
    let unknowns = model.unknowns.iter().zip(&best.x);
    unknowns
        .zip(covariance.sds().zip(means))
        .map(|((unknown, value), (sd, mean))| {
            let estimate = match unknown {
                Unknown::Component(_) => {
                    let [low, high] = belief(model, *unknown, mean, sd).interval();
                    Estimate {
                        value: *value,
                        sd,
                        low,
                        high,
                    }
                }
                Unknown::Alkalinity => Estimate::normal(*value, sd),
                Unknown::Carbon => {
                    let with = covariance.with(ph_derivatives);
                    let with_ph = with.last().copied().unwrap_or(0.0);
                    carbon(model, best, Estimate::amount(*value, sd), ph, with_ph)
                }
            };
            (*unknown, estimate)
        })
        .collect()
}

/// The means that amounts would have if they might be negative: those at zero move down by what
/// presses them.
fn unbounded(best: &Best, covariance: &Covariance) -> Vec<f64> {
    let mut means = best.x.clone();
    for (place, weight) in &best.pressed {
        let unit = best.lines.units.get(*place).copied().unwrap_or(1.0);
        for (other, _) in &best.pressed {
            if let Some(mean) = means.get_mut(*other) {
                *mean -= covariance.get(*other, *place) * weight / unit;
            }
        }
    }
    means
}

/// Covariance of the unknowns in their own units, with some amounts held at zero.
fn covariance(best: &Best, held: &[Limit]) -> Covariance {
    let units = &best.lines.units;
    let held: Vec<Limit> = [Limit::Row(0)].iter().chain(held).copied().collect();
    let scales = units.iter().flat_map(|a| units.iter().map(move |b| a * b));
    let scaled = best.programme.inverse_curvature(&held);
    let cells = scaled.iter().zip(scales).map(|(v, scale)| v * scale);
    Covariance::of_rows(units.len(), cells.collect())
}

/// What is known of an ion apart from its being at least zero. Detection limits are treated as
/// limits, in place of the normal distribution that stood for them in the least squares.
fn belief(model: &Model, unknown: Unknown, mean: f64, sd: f64) -> Belief {
    let limits = model.measurements.iter().filter(|m| match unknown {
        Unknown::Component(ion) => m.subject == Subject::Component(ion),
        _ => false,
    });
    let mut below: Option<f64> = None;
    let (mut precision, mut sum) = (1.0 / (sd * sd), mean / (sd * sd));
    let own = precision;
    for m in limits {
        if let Some(limit) = m.below {
            below = Some(below.map_or(limit, |least| least.min(limit)));
            precision -= 1.0 / (m.sd * m.sd);
            sum -= m.value / (m.sd * m.sd);
        }
    }
    if below.is_some() && precision <= LEAST_REDUNDANCY * own {
        // Nothing else is known: as wide as makes no difference.
        (precision, sum) = (LEAST_REDUNDANCY * own, 0.0);
    }
    Belief {
        mean: sum / precision,
        sd: 1.0 / precision.sqrt(),
        below,
    }
}

/// Carbon bends with the pH, much more of it a little lower than less a little higher: the ends of
/// its interval are those of the pH's, widened by what does not come from the pH.
fn carbon(model: &Model, best: &Best, plain: Estimate, ph: &Estimate, with_ph: f64) -> Estimate {
    let share = if ph.sd > 0.0 { with_ph / ph.sd } else { 0.0 };
    let rest = math::at_least(plain.sd * plain.sd - share * share, 0.0).sqrt();
    let apart = Estimate::normal(0.0, rest).high;
    let ends = [ph.high, ph.low].map(|ph| model.carbon_at_ph(&best.x, ph));
    let [Some(least), Some(most)] = ends else {
        return plain;
    };
    let reach = |end: f64| math::root_of_squares([end - plain.value, apart]);
    Estimate {
        low: math::at_least(plain.value - reach(least), 0.0),
        high: plain.value + reach(most),
        ..plain
    }
}

fn residuals(model: &Model, best: &Best) -> Vec<Residual> {
    let held: Vec<Limit> = best.pressed.iter().map(|(j, _)| Limit::Bound(*j)).collect();
    let known = covariance(best, &held);
    let lines = best.lines.sensitivities.iter().zip(&best.lines.residuals);
    let parts = model.measurements.iter().zip(lines);
    parts
        .map(|(measurement, (sensitivities, residual))| {
            let redundancy = math::at_least(1.0 - known.variance(sensitivities), 0.0);
            Residual {
                measurement: *measurement,
                predicted: measurement.value - residual * measurement.sd,
                redundancy,
                standardised: (redundancy > LEAST_REDUNDANCY).then(|| residual / redundancy.sqrt()),
            }
        })
        .collect()
}

/// The worst of what was really measured.
fn disagreement(measurements: &[Residual]) -> Option<Disagreement> {
    let mut tested: Vec<(usize, f64)> = measurements
        .iter()
        .enumerate()
        .filter(|(_, residual)| residual.measurement.origin != Origin::Usual)
        .filter_map(|(place, residual)| residual.standardised.map(|z| (place, z)))
        .collect();
    tested.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let &(place, standardised) = tested.first()?;
    // A shift of one measurement explains half of its standardised residual squared in log
    // likelihood.
    let odds = |z: f64| math::exp((z * z - standardised * standardised) / 2.0);
    let all: f64 = tested.iter().map(|(_, z)| odds(*z)).sum();
    let mut left = CONFIDENCE;
    let mut suspects = Vec::new();
    for (place, z) in &tested {
        if left <= 0.0 {
            break;
        }
        let probability = odds(*z) / all;
        suspects.push((*place, probability));
        left -= probability;
    }
    let alone = 1.0 - 2.0 * math::normal_below(-standardised.abs());
    Some(Disagreement {
        place,
        standardised,
        p_value: 1.0 - math::exp(tested.len() as f64 * math::ln(alone)),
        suspects,
    })
}
