//! Bench titrations: from volumes to values with errors.
//!
//! | method | here |
//! |---|---|
//! | alkalinity to an end point, Standard Methods 2320 B | [`alkalinity_eq_per_kg`] |
//! | hydroxide, carbonate, bicarbonate, the table of 2320 B | [`super::AlkalinityParts::of`] |
//! | alkalinity by Gran's plot | [`gran_equivalence_ml`] |
//! | hardness by EDTA, 2340 C | [`hardness_eq_per_kg`] |
//! | drop-count kits | [`drop_count`] |
//!
//! Results are per kg of water of 20 °C, ready to be entries of a bench's [`super::WaterReport`].

use std::fmt;

use underlet_tables::parameters;

use super::entry::{Entry, Figure, Subject};
use super::spread::Method;
use crate::math;
use crate::quantity::WATER_KG_PER_L_20C;

/// A value with its standard deviation, in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The value.
    pub value: f64,
    /// Standard deviation.
    pub sd: f64,
}

impl Measured {
    /// A titrated volume in mL, sure to about a drop.
    pub fn titrated_ml(value: f64) -> Measured {
        let sd = parameters::BURETTE_SD.value;
        Measured { value, sd }
    }

    /// The volume of a sample, mL, as a pipette or cylinder measures it.
    pub fn sample_ml(value: f64) -> Measured {
        let sd = parameters::SAMPLE_VOLUME_RELATIVE_SD.value * value;
        Measured { value, sd }
    }

    /// The strength of a titrant, eq/L or mol/L, as bought or standardised.
    pub fn strength(value: f64) -> Measured {
        let sd = parameters::TITRANT_STRENGTH_RELATIVE_SD.value * value;
        Measured { value, sd }
    }

    /// The entry of a bench's report; the value's unit must be the subject's canonical one.
    pub fn entry(self, subject: Subject) -> Entry {
        Entry {
            sd: Some(self.sd),
            ..Entry::new(subject, Figure::Value(self.value))
        }
    }

    fn is_amount(self) -> bool {
        self.value.is_finite() && self.value >= 0.0 && self.sd.is_finite() && self.sd >= 0.0
    }
}

/// Why a titration has no result.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum TitrationError {
    /// A volume, strength or standard deviation is negative or no number, or the sample is nothing.
    NotAnAmount,
    /// Too few readings lie where a Gran plot is straight.
    TooFewReadings {
        /// How many do.
        found: usize,
    },
    /// The readings make no rising line, so that there is no equivalence point.
    NoEquivalence,
}

impl fmt::Display for TitrationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TitrationError::NotAnAmount => {
                f.write_str("a volume, strength or error is negative or not a number")
            }
            TitrationError::TooFewReadings { found } => write!(
                f,
                "{found} of the {LEAST_READINGS} readings between pH {} and {} that a Gran plot \
                 requires",
                parameters::GRAN_PH_LOW.value,
                parameters::GRAN_PH_HIGH.value
            ),
            TitrationError::NoEquivalence => f.write_str(
                "the pH does not fall as acid is added, so there is no equivalence point",
            ),
        }
    }
}

impl std::error::Error for TitrationError {}

/// Alkalinity from acid to an end point, eq/kg: volume times strength over sample (Standard Methods
/// 2320 B: mL·N·50 000 over mL of sample, in mg/L as CaCO3).
///
/// ```
/// use underlet::liquor::mg_per_l_caco3;
/// use underlet::water_report::titration::{Measured, alkalinity_eq_per_kg};
///
/// let [acid, volume, sample] = [Measured::strength(0.02), Measured::titrated_ml(12.4), Measured::sample_ml(100.0)];
/// let alkalinity = alkalinity_eq_per_kg(acid, volume, sample)?;
/// assert!((mg_per_l_caco3(alkalinity.value) - 12.4 * 0.02 * 50_000.0 / 100.0).abs() < 0.2);
/// # Ok::<(), underlet::water_report::titration::TitrationError>(())
/// ```
///
/// # Errors
/// [`TitrationError::NotAnAmount`].
pub fn alkalinity_eq_per_kg(
    acid_eq_per_l: Measured,
    volume_ml: Measured,
    sample_ml: Measured,
) -> Result<Measured, TitrationError> {
    per_sample(acid_eq_per_l, volume_ml, sample_ml)
}

/// Total hardness from EDTA, eq/kg: two equivalents of calcium and magnesium per mole (Standard
/// Methods 2340 C: mL times the CaCO3 that one mL takes, times 1000 over mL of sample).
///
/// # Errors
/// [`TitrationError::NotAnAmount`].
pub fn hardness_eq_per_kg(
    edta_mol_per_l: Measured,
    volume_ml: Measured,
    sample_ml: Measured,
) -> Result<Measured, TitrationError> {
    let equivalents = Measured {
        value: 2.0 * edta_mol_per_l.value,
        sd: 2.0 * edta_mol_per_l.sd,
    };
    per_sample(equivalents, volume_ml, sample_ml)
}

/// Strength times volume over sample, per kg of water; errors first order.
fn per_sample(
    strength: Measured,
    volume: Measured,
    sample: Measured,
) -> Result<Measured, TitrationError> {
    let parts = [strength, volume, sample];
    if !(parts.iter().all(|part| part.is_amount()) && sample.value > 0.0) {
        return Err(TitrationError::NotAnAmount);
    }
    let per_volume = strength.value / (sample.value * WATER_KG_PER_L_20C);
    let value = per_volume * volume.value;
    let sd = math::root_of_squares([
        per_volume * volume.sd,
        strength.sd * volume.value / (sample.value * WATER_KG_PER_L_20C),
        value * sample.sd / sample.value,
    ]);
    if value.is_finite() && sd.is_finite() {
        Ok(Measured { value, sd })
    } else {
        Err(TitrationError::NotAnAmount)
    }
}

/// Readings that a straight line with an error requires.
const LEAST_READINGS: usize = 3;

/// One reading of a titration curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Acid added so far, mL.
    pub volume_ml: f64,
    /// pH.
    pub ph: f64,
}

/// Equivalence point of an acid titration by Gran's plot, mL: beyond it (sample + volume)·10^−pH
/// rises in a straight line from zero (Gran 1952). Readings outside the straight part are left out.
///
/// The line is fitted by least squares with weights that suit a pH error alike for all readings, so
/// that points near the equivalence, which fix it, count most; its scatter gives the error.
///
/// # Errors
/// [`TitrationError`].
pub fn gran_equivalence_ml(
    readings: &[Reading],
    sample_ml: f64,
) -> Result<Measured, TitrationError> {
    let sane = |reading: &Reading| reading.volume_ml.is_finite() && reading.ph.is_finite();
    if !(readings.iter().all(sane) && sample_ml.is_finite() && sample_ml > 0.0) {
        return Err(TitrationError::NotAnAmount);
    }
    let [low, high] = [
        parameters::GRAN_PH_LOW.value,
        parameters::GRAN_PH_HIGH.value,
    ];
    let points: Vec<[f64; 2]> = readings
        .iter()
        .filter(|reading| (low..=high).contains(&reading.ph))
        .map(|reading| {
            let gran = (sample_ml + reading.volume_ml) * math::pow10(-reading.ph);
            [reading.volume_ml, gran]
        })
        .collect();
    if points.len() < LEAST_READINGS {
        return Err(TitrationError::TooFewReadings {
            found: points.len(),
        });
    }
    root_of_line(&points)
}

/// Where the weighted least-squares line through points crosses zero. The weights 1/y² suit errors
/// in proportion to y.
fn root_of_line(points: &[[f64; 2]]) -> Result<Measured, TitrationError> {
    let weight = |y: f64| 1.0 / (y * y);
    let sum = |term: &dyn Fn(f64, f64) -> f64| -> f64 {
        points.iter().map(|[x, y]| weight(*y) * term(*x, *y)).sum()
    };
    let whole = sum(&|_, _| 1.0);
    let (x_mean, y_mean) = (sum(&|x, _| x) / whole, sum(&|_, y| y) / whole);
    let spread = sum(&|x, _| (x - x_mean) * (x - x_mean));
    let slope = sum(&|x, y| (x - x_mean) * (y - y_mean)) / spread;
    if !(slope > 0.0 && slope.is_finite()) {
        return Err(TitrationError::NoEquivalence);
    }
    let root = x_mean - y_mean / slope;
    let left = sum(&|x, y| {
        let off = y - y_mean - slope * (x - x_mean);
        off * off
    });
    let variance = left / (points.len() - 2) as f64;
    // The root moves by 1/slope with the mean, and by its distance from it with the slope.
    let apart = root - x_mean;
    let sd = (variance * (1.0 / whole + apart * apart / spread)).sqrt() / slope;
    if root > 0.0 && root.is_finite() && sd.is_finite() {
        Ok(Measured { value: root, sd })
    } else {
        Err(TitrationError::NoEquivalence)
    }
}

/// A drop-count kit: the colour changed with the last drop, so what it counts lies between the last
/// drop but one and the last. `per_drop` and the result are in the subject's canonical unit. `None`
/// where drops do not measure the subject.
///
/// ```
/// use underlet::water_report::{Subject, titration};
/// let counted = titration::drop_count(Subject::Hardness, 8, 0.0004).unwrap();
/// assert!((counted.value - 7.5 * 0.0004).abs() < 1e-15);
/// ```
pub fn drop_count(subject: Subject, drops: u32, per_drop: f64) -> Option<Measured> {
    let value = math::at_least((f64::from(drops) - 1.0 / 2.0) * per_drop, 0.0);
    let sd = Method::Drops { per_drop }.sd(subject, value)?;
    (value.is_finite() && sd.is_finite() && per_drop > 0.0).then_some(Measured { value, sd })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aqueous::Aqueous;
    use crate::component::{Component, Composition};
    use crate::liquor::{Dose, Liquor, mg_per_l_caco3};
    use approx::assert_relative_eq;

    #[test]
    fn alkalinity_of_standard_methods_2320_b() {
        // Standard Methods 2320 B (from memory): mg/L as CaCO3 = A·N·50 000/mL sample; 100 mL, 0.02
        // N: 10 mg/L a mL.
        let exact = |value| Measured { value, sd: 0.0 };
        let found = alkalinity_eq_per_kg(exact(0.02), exact(8.0), exact(100.0)).expect("good");
        // The formula's 50 000 is rounded from 50 043.
        assert_relative_eq!(mg_per_l_caco3(found.value), 80.0, max_relative = 1e-3);
        assert_eq!(found.sd, 0.0);
        // One drop of 0.05 mL is 0.5 mg/L here; 1 % of strength 0.8, 0.5 % of sample 0.4.
        let real = alkalinity_eq_per_kg(
            Measured::strength(0.02),
            Measured::titrated_ml(8.0),
            Measured::sample_ml(100.0),
        );
        let sd = mg_per_l_caco3(real.expect("good").sd);
        assert_relative_eq!(sd, (0.25_f64 + 0.64 + 0.16).sqrt(), max_relative = 1e-3);
    }

    #[test]
    fn hardness_of_standard_methods_2340() {
        // 2340 C (from memory): 0.01 M EDTA takes 1 mg of CaCO3 a mL (exactly 1.0009), so 16.2 mL
        // on 50 mL is 324 mg/L. 2340 B: 2.497·80 + 4.118·30 = 323.3 mg/L.
        let exact = |value| Measured { value, sd: 0.0 };
        let found = hardness_eq_per_kg(exact(0.01), exact(16.2), exact(50.0)).expect("good");
        assert_relative_eq!(mg_per_l_caco3(found.value), 324.0, max_relative = 1.1e-3);
        let ions = Composition::ZERO
            .with(Component::Calcium, Component::Calcium.mol_per_kg(80.0))
            .with(Component::Magnesium, Component::Magnesium.mol_per_kg(30.0));
        let water = Liquor {
            ions,
            ..Liquor::default()
        };
        let calculated = mg_per_l_caco3(2.0 * water.hardness_mol_per_kg());
        assert_relative_eq!(calculated, 323.32, epsilon = 0.1);
    }

    /// pH of 100 mL of a water as hydrochloric acid of a strength goes in, by the engine's
    /// equilibria with nothing escaping.
    fn titrated(water: &Liquor, acid_eq_per_kg: f64, volumes: &[f64]) -> Vec<Reading> {
        let aqueous = Aqueous::at(water.temperature_c);
        let acid = Dose {
            ions: Composition::ZERO.with(Component::Chloride, acid_eq_per_kg),
            alkalinity_eq: -acid_eq_per_kg,
            carbon_mol: 0.0,
        };
        let reading = |volume_ml: &f64| {
            // Equal volumes are taken as equal masses: 100 g and the acid's.
            let mixed = Liquor::default().dosed(&water.as_dose(), 100.0 / (100.0 + volume_ml));
            let mixed = mixed.dosed(&acid, volume_ml / (100.0 + volume_ml));
            let mixed = Liquor {
                temperature_c: water.temperature_c,
                ..mixed
            };
            Reading {
                volume_ml: *volume_ml,
                ph: aqueous.closed(&mixed).expect("an equilibrium").ph,
            }
        };
        volumes.iter().map(reading).collect()
    }

    fn well() -> Liquor {
        let ions = Composition::ZERO
            .with(Component::Calcium, 0.0015)
            .with(Component::Sodium, 0.0007)
            .with(Component::Chloride, 0.0007)
            .with(Component::Sulfate, 0.0003);
        Liquor {
            ions,
            alkalinity_eq_per_kg: ions.strong_charge(),
            carbon_mol_per_kg: 0.0026,
            temperature_c: 20.0,
        }
    }

    #[test]
    fn gran_finds_the_alkalinity_of_an_exact_titration() {
        // 2.4 meq/kg in 100 g take 12 mL of 0.02 eq/kg. Bicarbonate that is left at pH 3.7,
        // K1·C/[H+] = 10^(3.7 − 6.4)·2.3 mmol/kg, makes the plot read up to 0.2 % low;
        // hydrogen sulfate, in proportion to hydrogen, only tilts it.
        let volumes: Vec<f64> = (0..=40).map(|step| f64::from(step) * 0.5).collect();
        let readings = titrated(&well(), 0.02, &volumes);
        let found = gran_equivalence_ml(&readings, 100.0).expect("a line");
        assert_relative_eq!(found.value, 12.0, max_relative = 3e-3);
        assert!(found.value < 12.0);
        assert!(found.sd < 0.02, "{found:?}");
        // The end point at pH 4.5 reads a little more: hydrogen left over, less bicarbonate not yet
        // taken.
        let at_end = volumes.iter().zip(&readings).find(|(_, r)| r.ph < 4.5);
        assert!(at_end.is_some_and(|(volume, _)| (12.0..=12.5).contains(volume)));
    }

    #[test]
    fn gran_by_hand_for_a_strong_base() {
        // 50 mL of 0.01 eq/L alkalinity without carbonate, 0.1 eq/L acid: equivalence at 5 mL.
        // Beyond it the excess acid is 0.1·(V − 5)/(50 + V), so pH = −log10 of that exactly
        // and the plot is 0.1·(V − 5).
        let readings: Vec<Reading> = [5.1, 5.15, 5.2, 5.3, 5.4, 5.5]
            .iter()
            .map(|volume| Reading {
                volume_ml: *volume,
                ph: -(0.1_f64 * (volume - 5.0) / (50.0 + volume)).log10(),
            })
            .collect();
        let found = gran_equivalence_ml(&readings, 50.0).expect("a line");
        assert_relative_eq!(found.value, 5.0, max_relative = 1e-12);
        assert!(found.sd < 1e-10);
    }

    #[test]
    fn gran_states_its_error_as_it_scatters() {
        // The plot above with pH off by 0.02 in turn: five equivalence points in six lie within two
        // standard deviations.
        let mut roots = Vec::new();
        let mut sds = Vec::new();
        for pattern in 0..64_u32 {
            let readings: Vec<Reading> = (0..6_u32)
                .map(|place| {
                    let volume = 5.1 + 0.08 * f64::from(place);
                    let sign = if pattern & (1 << place) == 0 {
                        1.0
                    } else {
                        -1.0
                    };
                    let ph = -(0.1_f64 * (volume - 5.0) / (50.0 + volume)).log10();
                    Reading {
                        volume_ml: volume,
                        ph: ph + 0.02 * sign,
                    }
                })
                .collect();
            let found = gran_equivalence_ml(&readings, 50.0).expect("a line");
            roots.push(found.value);
            sds.push(found.sd);
        }
        // Over all patterns the scatter of the roots is what the line states, on the mean square.
        let mean_square = |values: &[f64]| values.iter().map(|v| v * v).sum::<f64>() / 64.0;
        let off: Vec<f64> = roots.iter().map(|root| root - 5.0).collect();
        let ratio = mean_square(&off) / mean_square(&sds);
        assert!((0.7..1.4).contains(&ratio), "{ratio}");
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let one = Measured {
            value: 1.0,
            sd: 0.0,
        };
        let bad = |value| Measured { value, sd: 0.0 };
        for wrong in [bad(-1.0), bad(f64::NAN), bad(f64::INFINITY)] {
            assert!(alkalinity_eq_per_kg(wrong, one, one).is_err());
            assert!(hardness_eq_per_kg(one, wrong, one).is_err());
        }
        assert!(alkalinity_eq_per_kg(one, one, bad(0.0)).is_err());
        let reading = |volume_ml, ph| Reading { volume_ml, ph };
        let flat = [reading(1.0, 3.5), reading(2.0, 3.6), reading(3.0, 3.7)];
        assert_eq!(
            gran_equivalence_ml(&flat, 50.0),
            Err(TitrationError::NoEquivalence)
        );
        assert_eq!(
            gran_equivalence_ml(&flat[..2], 50.0),
            Err(TitrationError::TooFewReadings { found: 2 })
        );
        let same = [reading(1.0, 3.5); 4];
        assert_eq!(
            gran_equivalence_ml(&same, 50.0),
            Err(TitrationError::NoEquivalence)
        );
        assert_eq!(
            gran_equivalence_ml(&[reading(f64::NAN, 3.5); 4], 50.0),
            Err(TitrationError::NotAnAmount)
        );
        assert_eq!(drop_count(Subject::FreeChlorine, 3, 1.0), None);
    }

    #[test]
    fn drops_count_from_the_last_but_one_to_the_last() {
        let counted = drop_count(Subject::Alkalinity, 10, 0.0002).expect("measured");
        assert_relative_eq!(counted.value, 0.0019, max_relative = 1e-12);
        let entry = counted.entry(Subject::Alkalinity);
        assert_eq!(entry.sd, Some(counted.sd));
        // Half a drop give or take, uniform, and 5 % of drops that differ in size.
        let expected = (0.0002_f64.powi(2) / 12.0 + (0.05 * 0.0019_f64).powi(2)).sqrt();
        assert_relative_eq!(counted.sd, expected, max_relative = 1e-12);
        assert_eq!(
            drop_count(Subject::Alkalinity, 0, 0.0002).map(|m| m.value),
            Some(0.0)
        );
    }
}
