//! A malt titrated on the bench: pairs of acid and pH to a curve with its errors.

use std::fmt;

use underlet_tables::parameters;

use super::TitrationCurve;
use crate::math::{self, NoRoot};

/// One reading: acid given to a malt's mash in distilled water, and the pH of the cooled sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BenchPoint {
    /// Acid, eq per kg of malt; negative for base.
    pub acid_eq_per_kg: f64,
    /// pH.
    pub ph: f64,
}

impl BenchPoint {
    /// From what a burette reads: mL of titrant (negative for base) of so many mol of protons per
    /// litre, into a sample of malt in g.
    pub fn of_volume(titrant_ml: f64, titrant_eq_per_l: f64, malt_g: f64, ph: f64) -> BenchPoint {
        BenchPoint {
            acid_eq_per_kg: titrant_ml * titrant_eq_per_l / malt_g,
            ph,
        }
    }
}

/// What a titration says.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Titrated {
    /// The curve with its errors.
    pub curve: TitrationCurve,
    /// How far the readings lie from it, root mean square by the degrees of freedom, pH; nothing
    /// where every reading was needed for the curve.
    pub scatter_ph: Option<f64>,
}

/// Why readings make no curve.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum TitrationError {
    /// A reading is not a number, or its pH is none that a mash can have.
    NotAReading {
        /// Which one, from 0.
        index: usize,
    },
    /// Fewer than two readings.
    TooFew,
    /// The pH moves by less than this much over all readings, pH.
    TooNarrow {
        /// How far it moves.
        range_ph: f64,
    },
    /// Acid does not lower the pH: the signs of acid and base may be exchanged.
    WrongWay,
    /// The readings lie on no smooth curve.
    Scattered {
        /// How far they lie from the best one, pH.
        scatter_ph: f64,
    },
    /// All readings lie far from where the malt has neither acid nor base added.
    FarFromOwnPh,
}

impl fmt::Display for TitrationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TitrationError::NotAReading { index } => {
                write!(f, "reading {} is no pH of a mash", index.saturating_add(1))
            }
            TitrationError::TooFew => f.write_str("fewer than two readings"),
            TitrationError::TooNarrow { range_ph } => {
                write!(f, "the pH moves by {range_ph:.2} only")
            }
            TitrationError::WrongWay => f.write_str("a pH that does not fall as acid is added"),
            TitrationError::Scattered { scatter_ph } => {
                write!(
                    f,
                    "the readings scatter by {scatter_ph:.2} pH about the best curve"
                )
            }
            TitrationError::FarFromOwnPh => {
                f.write_str("no reading near the malt's own pH, with neither acid nor base")
            }
        }
    }
}

impl std::error::Error for TitrationError {}

/// pH that a reading can have.
const READABLE_PH: [f64; 2] = [1.5, 12.0];
/// Least range of pH that determines a slope; half of it is how far the malt's own pH may lie
/// outside the readings (a choice of ours: ten times the scatter of a reading).
const LEAST_RANGE_PH: f64 = 0.2;
/// Scatter that no smooth curve explains (a choice of ours: seven times that of a reading).
const MOST_SCATTER_PH: f64 = 0.1;
/// Readings from which on a bend is looked for, and how many of its standard deviations it must
/// have to be believed.
const READINGS_FOR_A_BEND: usize = 4;
const BELIEVED: f64 = 2.0;

/// Fits a curve to readings by least squares: a parabola where four or more readings show a bend
/// beyond its error, else a straight line. The errors are those of the readings (as they scatter,
/// at least as one operator's do) and, beside them, what a bench titration says of a mash at all:
/// 0.02 in pH and 8 % in buffering (table, with sources).
///
/// # Errors
/// [`TitrationError`] where the readings make no curve.
pub fn titrated(readings: &[BenchPoint]) -> Result<Titrated, TitrationError> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for (index, reading) in readings.iter().enumerate() {
        let [least, most] = READABLE_PH;
        if !(reading.acid_eq_per_kg.is_finite() && (least..=most).contains(&reading.ph)) {
            return Err(TitrationError::NotAReading { index });
        }
        low = reading.ph.min(low);
        high = reading.ph.max(high);
    }
    if readings.len() < 2 {
        return Err(TitrationError::TooFew);
    }
    if high - low < LEAST_RANGE_PH {
        return Err(TitrationError::TooNarrow {
            range_ph: high - low,
        });
    }
    let line = Polynomial::fit::<2>(readings).ok_or(TitrationError::WrongWay)?;
    let fitted = (readings.len() >= READINGS_FOR_A_BEND)
        .then(|| Polynomial::fit::<3>(readings))
        .flatten()
        .filter(|parabola| parabola.is_bent() && parabola.falls_between(low, high))
        .unwrap_or(line);
    if !fitted.falls_between(low, high) {
        return Err(TitrationError::WrongWay);
    }
    if let Some(scatter_ph) = fitted.scatter_ph
        && scatter_ph > MOST_SCATTER_PH
    {
        return Err(TitrationError::Scattered { scatter_ph });
    }
    let distilled_water_ph = math::falling_root(
        |ph| fitted.acid(ph),
        low - LEAST_RANGE_PH / 2.0,
        high + LEAST_RANGE_PH / 2.0,
    )
    // At an end the acid says below how far away the pH is.
    .unwrap_or_else(NoRoot::nearer_end);
    if fitted.acid(distilled_water_ph).abs()
        > SMALL_SHARE * fitted.buffering(distilled_water_ph).abs()
    {
        return Err(TitrationError::FarFromOwnPh);
    }
    Ok(Titrated {
        curve: fitted.curve(distilled_water_ph, [low, high]),
        scatter_ph: fitted.scatter_ph,
    })
}

/// How near in pH a root must be found.
const SMALL_SHARE: f64 = 1.0e-6;

/// `acid = k0 + k1 x + k2 x²`, x being pH from its mean, with the covariance of the coefficients.
#[derive(Clone, Copy, Debug)]
struct Polynomial {
    mean_ph: f64,
    coefficients: [f64; 3],
    covariance: [[f64; 3]; 3],
    scatter_ph: Option<f64>,
}

impl Polynomial {
    /// Least squares with N coefficients; nothing where the readings cannot tell them apart.
    fn fit<const N: usize>(readings: &[BenchPoint]) -> Option<Polynomial> {
        let count = readings.len() as f64;
        let mean_ph = readings.iter().map(|reading| reading.ph).sum::<f64>() / count;
        let powers = |ph: f64| -> [f64; N] {
            let mut power = 1.0;
            std::array::from_fn(|_| {
                let this = power;
                power *= ph - mean_ph;
                this
            })
        };
        let (mut normal, mut right) = ([[0.0; N]; N], [0.0; N]);
        for reading in readings {
            let row = powers(reading.ph);
            for (i, line) in normal.iter_mut().enumerate() {
                right[i] += row[i] * reading.acid_eq_per_kg;
                for (element, &factor) in line.iter_mut().zip(&row) {
                    *element += row[i] * factor;
                }
            }
        }
        let inverse = inverse_of(normal)?;
        let solution: [f64; N] =
            std::array::from_fn(|i| inverse[i].iter().zip(&right).map(|(a, b)| a * b).sum());
        let residual: f64 = readings
            .iter()
            .map(|reading| {
                let row = powers(reading.ph);
                let fitted: f64 = row.iter().zip(&solution).map(|(a, b)| a * b).sum();
                (reading.acid_eq_per_kg - fitted) * (reading.acid_eq_per_kg - fitted)
            })
            .sum();
        let slope = solution[1];
        if !(slope.is_finite() && slope < 0.0) {
            return None;
        }
        let freedom = count - N as f64;
        let scatter_ph = (freedom > 0.0).then(|| (residual / freedom).sqrt() / -slope);
        let sd_ph = math::at_least(
            scatter_ph.unwrap_or(0.0),
            parameters::BENCH_PH_REPEAT_SD.value,
        );
        let variance = sd_ph * sd_ph * slope * slope;
        let mut fitted = Polynomial {
            mean_ph,
            coefficients: [0.0; 3],
            covariance: [[0.0; 3]; 3],
            scatter_ph,
        };
        for (i, row) in inverse.iter().enumerate() {
            fitted.coefficients[i] = solution[i];
            for (j, element) in row.iter().enumerate() {
                fitted.covariance[i][j] = variance * element;
            }
        }
        Some(fitted)
    }

    fn acid(&self, ph: f64) -> f64 {
        let [k0, k1, k2] = self.coefficients;
        let x = ph - self.mean_ph;
        k0 + x * (k1 + x * k2)
    }

    fn buffering(&self, ph: f64) -> f64 {
        let [_, k1, k2] = self.coefficients;
        -(k1 + 2.0 * k2 * (ph - self.mean_ph))
    }

    fn falls_between(&self, low: f64, high: f64) -> bool {
        self.buffering(low) > 0.0 && self.buffering(high) > 0.0
    }

    fn is_bent(&self) -> bool {
        self.coefficients[2].abs() > BELIEVED * self.covariance[2][2].sqrt()
    }

    /// The curve about its own pH: a change of the variables, with the errors carried over exactly
    /// to first order.
    fn curve(&self, distilled_water_ph: f64, between_ph: [f64; 2]) -> TitrationCurve {
        let x = distilled_water_ph - self.mean_ph;
        let buffering = self.buffering(distilled_water_ph);
        let curvature = self.coefficients[2];
        let own = [1.0, x, x * x].map(|power| power / buffering);
        let change = [
            own,
            [
                -2.0 * curvature * own[0],
                -1.0 - 2.0 * curvature * own[1],
                -2.0 * x - 2.0 * curvature * own[2],
            ],
            [0.0, 0.0, 1.0],
        ];
        let mut covariance = [[0.0; 3]; 3];
        for (i, row) in covariance.iter_mut().enumerate() {
            for (j, element) in row.iter_mut().enumerate() {
                for (k, from) in self.covariance.iter().enumerate() {
                    for (l, value) in from.iter().enumerate() {
                        *element += change[i][k] * value * change[j][l];
                    }
                }
            }
        }
        let ph_sd = parameters::MALT_PH_MEASURED_SD.value;
        let relative = parameters::MALT_BUFFERING_MEASURED_RELATIVE_SD.value;
        let (of_buffering, of_curvature) = (relative * buffering, relative * curvature);
        covariance[0][0] += ph_sd * ph_sd;
        covariance[1][1] += of_buffering * of_buffering;
        covariance[1][2] += of_buffering * of_curvature;
        covariance[2][2] += of_curvature * of_curvature;
        let sd = [0, 1, 2].map(|i: usize| covariance[i][i].sqrt());
        let correlation = |i: usize, j: usize| {
            let product = sd[i] * sd[j];
            if product > 0.0 {
                covariance[i][j] / product
            } else {
                0.0
            }
        };
        TitrationCurve {
            curvature_sd: sd[2],
            correlations: [correlation(0, 1), correlation(0, 2), correlation(1, 2)],
            ..TitrationCurve::straight([distilled_water_ph, sd[0]], [buffering, sd[1]])
                .bent(curvature, between_ph)
        }
    }
}

/// The inverse of a small symmetric positive matrix by elimination; nothing where it has none.
fn inverse_of<const N: usize>(mut matrix: [[f64; N]; N]) -> Option<[[f64; N]; N]> {
    let mut inverse = [[0.0; N]; N];
    for (i, row) in inverse.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for i in 0..N {
        let pivot = matrix[i][i];
        if pivot.is_nan() || pivot <= f64::EPSILON {
            return None;
        }
        for j in 0..N {
            matrix[i][j] /= pivot;
            inverse[i][j] /= pivot;
        }
        for k in (0..N).filter(|&k| k != i) {
            let factor = matrix[k][i];
            for j in 0..N {
                matrix[k][j] -= factor * matrix[i][j];
                inverse[k][j] -= factor * inverse[i][j];
            }
        }
    }
    Some(inverse)
}
