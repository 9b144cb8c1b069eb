//! How likely readings are under one explanation.

use super::error::DiagnosisError;
use super::meter_reading::{MeterReading, Probe, Sample};
use crate::math;
use crate::optimise::{Cholesky, dot};
use crate::readings::{Line, Prediction};
use crate::recipe::Meter;

/// Readings under one explanation.
#[derive(Clone, Debug)]
pub(super) struct Evidence {
    /// Natural logarithm of the density of the readings, in their own units.
    pub ln_likelihood: f64,
    /// Sum of squares of how far they are off, in standard deviations that are independent of each
    /// other.
    pub squared_distance: f64,
    /// How far the doubted probe is off, fitted: middle and standard deviation.
    pub off_by: Option<[f64; 2]>,
}

/// What the brews of a day should show under one explanation.
#[derive(Clone, Copy)]
pub(super) struct PredictedDay<'p> {
    /// Of every brew, but for the one.
    pub all: &'p Prediction,
    /// Of the one brew that something slipped in, with its number.
    pub one: Option<(usize, &'p Prediction)>,
}

impl<'p> PredictedDay<'p> {
    /// Every brew goes alike.
    pub const fn alike(all: &'p Prediction) -> PredictedDay<'p> {
        PredictedDay { all, one: None }
    }

    /// What a reading should be; nothing where the prediction has no such line.
    pub fn mean(self, reading: &MeterReading) -> Option<f64> {
        match reading.sample {
            Sample::Known(stated) => Some(stated),
            Sample::Brew(_) => Some(self.line(reading)?.mean),
        }
    }

    fn line(self, reading: &MeterReading) -> Option<&'p Line> {
        let Sample::Brew(place) = reading.sample else {
            return None;
        };
        let one = self.one.filter(|(brew, _)| *brew == reading.brew);
        let prediction = one.map_or(self.all, |(_, prediction)| prediction);
        prediction.line(place, reading.meter)
    }
}

/// A reading beside what an explanation expects of it.
struct Expected<'o> {
    probe: (Meter, Probe),
    brew: usize,
    mean: f64,
    /// What a sound probe is off by.
    offset_sd: f64,
    /// What its temperature correction is off by, and whether of cold samples, hot ones, or
    /// (`None`) reference samples.
    correction_sd: f64,
    is_cold: Option<bool>,
    repeat_sd: f64,
    line: Option<&'o Line>,
}

impl<'o> Expected<'o> {
    fn of(reading: &MeterReading, day: PredictedDay<'o>) -> Option<Expected<'o>> {
        let mean = day.mean(reading)?;
        let meter = reading.meter;
        let (repeat_sd, is_cold) = match reading.sample {
            Sample::Known(_) => (meter.known_sd(mean), None),
            Sample::Brew(place) => (meter.repeat_sd(place, mean), Some(place.is_sampled_cold())),
        };
        let [_, sampled_sd] = reading.cooled_and_in_time();
        let repeat_sd = math::root_of_squares([repeat_sd, sampled_sd]);
        Some(Expected {
            probe: (meter, reading.probe),
            brew: reading.brew,
            mean,
            offset_sd: meter.offset_sd(mean),
            correction_sd: meter.correction_sd(mean),
            is_cold,
            repeat_sd,
            line: day.line(reading),
        })
    }

    /// Covariance with another reading, or its own variance but for its scatter.
    fn shares(&self, other: &Expected<'_>) -> f64 {
        let mut probe = 0.0;
        if self.probe == other.probe {
            probe += self.offset_sd * other.offset_sd;
            if self.is_cold == other.is_cold {
                probe += self.correction_sd * other.correction_sd;
            }
        }
        let (Some(one), Some(two)) = (self.line, other.line) else {
            return probe;
        };
        // What all brews share goes with the first: nothing that is a brew's own moves it.
        let [own, shared] = one.covariance(two, self.brew == other.brew);
        probe + own + shared
    }
}

/// Readings beside what is expected of them.
pub(super) struct Comparison {
    /// How far each is off. Of a pH of liquor that is skewed so much that it has its standard
    /// deviation: as many of them as the reading is half widths of its side of the interval off.
    pub off: Vec<f64>,
    /// By how much that is more than what was read.
    stretched: Vec<f64>,
    pub means: Vec<f64>,
    pub covariance: Vec<f64>,
    /// Natural logarithm of the height of skewed distributions beside symmetric ones.
    ln_height: f64,
}

/// Readings beside what is expected of them.
pub(super) fn compare(readings: &[MeterReading], day: PredictedDay<'_>) -> Comparison {
    let expected: Vec<Expected<'_>> = readings
        .iter()
        .filter_map(|reading| Expected::of(reading, day))
        .collect();
    let mut covariance = Vec::with_capacity(expected.len() * expected.len());
    for (i, one) in expected.iter().enumerate() {
        for (j, two) in expected.iter().enumerate() {
            let scatter = if i == j {
                one.repeat_sd * one.repeat_sd
            } else {
                0.0
            };
            covariance.push(one.shares(two) + scatter);
        }
    }
    let skews = readings.iter().zip(&expected).map(|(reading, expected)| {
        let [shown, _] = reading.cooled_and_in_time();
        let off = shown - expected.mean;
        let [stretched, height] = expected.line.map_or([1.0; 2], |line| line.skew(off));
        (off * stretched, stretched, math::ln(height))
    });
    let skews: Vec<(f64, f64, f64)> = skews.collect();
    Comparison {
        off: skews.iter().map(|(off, ..)| *off).collect(),
        stretched: skews.iter().map(|(_, stretched, _)| *stretched).collect(),
        means: expected.iter().map(|one| one.mean).collect(),
        covariance,
        ln_height: skews.iter().map(|(.., ln_height)| ln_height).sum(),
    }
}

impl Evidence {
    /// Readings against what is predicted; where a probe is doubted, however large its error.
    ///
    /// # Errors
    /// [`DiagnosisError::NotComparable`] where the covariance of the readings has no factor. Every
    /// reading scatters by itself, so that it has one unless error bars differ beyond precision.
    pub fn of(
        readings: &[MeterReading],
        day: PredictedDay<'_>,
        doubted: Option<(Meter, Probe)>,
    ) -> Result<Evidence, DiagnosisError> {
        if readings.is_empty() {
            return Ok(Evidence {
                ln_likelihood: 0.0,
                squared_distance: 0.0,
                off_by: doubted.map(|(meter, _)| [0.0, meter.off_sd()]),
            });
        }
        let Comparison {
            off,
            stretched,
            means,
            covariance,
            ln_height,
        } = compare(readings, day);
        let count = off.len();
        let factor = Cholesky::of(&covariance, count);
        let factor = factor.map_err(|_| DiagnosisError::NotComparable)?;
        let off = factor.solve_lower_padded(off);
        let constant = count as f64 * math::ln(2.0 * std::f64::consts::PI);
        let mut evidence = Evidence {
            ln_likelihood: 0.0,
            squared_distance: dot(&off, &off),
            off_by: None,
        };
        let mut ln_determinant = factor.ln_determinant();
        if let Some(probe) = doubted {
            let by_one: Vec<f64> = readings
                .iter()
                .zip(means.iter().zip(&stretched))
                .map(|(reading, (mean, stretched))| {
                    if (reading.meter, reading.probe) == probe {
                        reading.meter.off_by_one(*mean) * stretched
                    } else {
                        0.0
                    }
                })
                .collect();
            let by_one = factor.solve_lower_padded(by_one);
            // Sherman and Morrison: the covariance is that of a sound probe and one more outer
            // product.
            let before = probe.0.off_sd();
            let (information, seen) = (dot(&by_one, &by_one), dot(&by_one, &off));
            let precision = information + 1.0 / (before * before);
            evidence.squared_distance -= seen * seen / precision;
            evidence.off_by = Some([seen / precision, 1.0 / precision.sqrt()]);
            ln_determinant += math::ln(1.0 + before * before * information);
        }
        evidence.ln_likelihood =
            ln_height - (evidence.squared_distance + ln_determinant + constant) / 2.0;
        Ok(evidence)
    }
}
