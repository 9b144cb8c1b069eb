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

/// What a reading should be; nothing where the prediction has no such line.
pub(super) fn mean(reading: &MeterReading, prediction: &Prediction) -> Option<f64> {
    match reading.sample {
        Sample::Known(stated) => Some(stated),
        Sample::Brew(place) => Some(prediction.line(place, reading.meter)?.mean),
    }
}

/// A reading beside what an explanation expects of it.
struct Expected<'o> {
    probe: (Meter, Probe),
    mean: f64,
    /// What a sound probe is off by.
    offset_sd: f64,
    repeat_sd: f64,
    line: Option<&'o Line>,
}

impl<'o> Expected<'o> {
    fn of(reading: &MeterReading, prediction: &'o Prediction) -> Option<Expected<'o>> {
        let mean = mean(reading, prediction)?;
        let meter = reading.meter;
        let (repeat_sd, line) = match reading.sample {
            Sample::Known(_) => (meter.known_sd(mean), None),
            Sample::Brew(place) => (meter.repeat_sd(place, mean), prediction.line(place, meter)),
        };
        Some(Expected {
            probe: (meter, reading.probe),
            mean,
            offset_sd: meter.offset_sd(mean),
            repeat_sd,
            line,
        })
    }

    /// Covariance with another reading, or its own variance but for its scatter.
    fn shares(&self, other: &Expected<'_>) -> f64 {
        let probe = if self.probe == other.probe {
            self.offset_sd * other.offset_sd
        } else {
            0.0
        };
        let (Some(one), Some(two)) = (self.line, other.line) else {
            return probe;
        };
        let own = if (one.place, one.meter) == (two.place, two.meter) {
            one.own_sd * two.own_sd
        } else {
            0.0
        };
        probe + own + one.shared.covariance(&two.shared)
    }
}

/// Readings, what is expected of them, and their covariance.
pub(super) fn compare(
    readings: &[MeterReading],
    prediction: &Prediction,
) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
    let expected: Vec<Expected<'_>> = readings
        .iter()
        .filter_map(|reading| Expected::of(reading, prediction))
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
    let off = readings.iter().zip(&expected);
    let off = off.map(|(reading, expected)| reading.value - expected.mean);
    (
        off.collect(),
        expected.iter().map(|one| one.mean).collect(),
        covariance,
    )
}

impl Evidence {
    /// Readings against a prediction; where a probe is doubted, however large its error.
    ///
    /// # Errors
    /// [`DiagnosisError::NotComparable`] where the covariance of the readings has no factor. Every
    /// reading scatters by itself, so that it has one unless error bars differ beyond precision.
    pub fn of(
        readings: &[MeterReading],
        prediction: &Prediction,
        doubted: Option<(Meter, Probe)>,
    ) -> Result<Evidence, DiagnosisError> {
        if readings.is_empty() {
            return Ok(Evidence {
                ln_likelihood: 0.0,
                squared_distance: 0.0,
                off_by: doubted.map(|(meter, _)| [0.0, meter.off_sd()]),
            });
        }
        let (off, means, covariance) = compare(readings, prediction);
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
                .zip(&means)
                .map(|(reading, mean)| {
                    if (reading.meter, reading.probe) == probe {
                        reading.meter.off_by_one(*mean)
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
        evidence.ln_likelihood = -(evidence.squared_distance + ln_determinant + constant) / 2.0;
        Ok(evidence)
    }
}
