//! The Debye-Hückel sensitivities of water, which activity coefficients are made with.

use underlet_tables::parameters;

use super::temperature::kelvin;
use crate::liquor::{water_density_kg_per_l, water_density_per_kelvin};
use crate::math;

/// The Debye-Hückel sensitivities at one temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct DebyeHueckel {
    /// A, (kg/mol)^½.
    pub a: f64,
    /// B, (kg/mol)^½ per ångström.
    pub b: f64,
}

impl DebyeHueckel {
    /// Sensitivities of water at a temperature: density of Wagner & Pruss 2002, dielectric constant
    /// of Bradley & Pitzer 1979 (J. Phys. Chem. 83, 1599) at 1 bar.
    pub fn at(temperature_c: f64) -> DebyeHueckel {
        let (a, b) = sensitivities(
            water_density_kg_per_l(temperature_c),
            dielectric_constant(temperature_c),
            kelvin(temperature_c),
        );
        DebyeHueckel { a, b }
    }

    /// How the sensitivities change, per K.
    pub fn per_kelvin(self, temperature_c: f64) -> DebyeHueckel {
        let density =
            water_density_per_kelvin(temperature_c) / water_density_kg_per_l(temperature_c);
        let product = dielectric_per_kelvin(temperature_c) / dielectric_constant(temperature_c)
            + 1.0 / kelvin(temperature_c);
        DebyeHueckel {
            a: self.a * (density - 3.0 * product) / 2.0,
            b: self.b * (density - product) / 2.0,
        }
    }
}

/// A and B from density in kg/L, dielectric constant and temperature in K.
fn sensitivities(density: f64, dielectric: f64, kelvin: f64) -> (f64, f64) {
    let product = dielectric * kelvin;
    let root = (density / product).sqrt();
    (
        parameters::DEBYE_HUCKEL_A_FACTOR.value * root / product,
        parameters::DEBYE_HUCKEL_B_FACTOR.value * root,
    )
}

/// Dielectric constant of water at 1 bar (Bradley & Pitzer 1979, eqs. as in the reference notes of
/// the table).
fn dielectric_constant(temperature_c: f64) -> f64 {
    let BradleyPitzer { at_1000_bar, c, b } = BradleyPitzer::at(kelvin(temperature_c));
    at_1000_bar + c * math::ln((b + 1.0) / (b + 1000.0))
}

/// Slope of [`dielectric_constant`], per K.
fn dielectric_per_kelvin(temperature_c: f64) -> f64 {
    use parameters as p;
    let kelvin = kelvin(temperature_c);
    let BradleyPitzer { at_1000_bar, c, b } = BradleyPitzer::at(kelvin);
    let from_u6 = p::BRADLEY_PITZER_U6.value + kelvin;
    let c_slope = -p::BRADLEY_PITZER_U5.value / (from_u6 * from_u6);
    let b_slope = p::BRADLEY_PITZER_U9.value - p::BRADLEY_PITZER_U8.value / (kelvin * kelvin);
    at_1000_bar * (p::BRADLEY_PITZER_U2.value + 2.0 * p::BRADLEY_PITZER_U3.value * kelvin)
        + c_slope * math::ln((b + 1.0) / (b + 1000.0))
        + c * b_slope * (1.0 / (b + 1.0) - 1.0 / (b + 1000.0))
}

/// The three functions of temperature that the dielectric constant is made of: it at 1000 bar, C
/// and B.
struct BradleyPitzer {
    at_1000_bar: f64,
    c: f64,
    b: f64,
}

impl BradleyPitzer {
    fn at(kelvin: f64) -> BradleyPitzer {
        use parameters as p;
        BradleyPitzer {
            at_1000_bar: p::BRADLEY_PITZER_U1.value
                * math::exp(
                    p::BRADLEY_PITZER_U2.value * kelvin
                        + p::BRADLEY_PITZER_U3.value * kelvin * kelvin,
                ),
            c: p::BRADLEY_PITZER_U4.value
                + p::BRADLEY_PITZER_U5.value / (p::BRADLEY_PITZER_U6.value + kelvin),
            b: p::BRADLEY_PITZER_U7.value
                + p::BRADLEY_PITZER_U8.value / kelvin
                + p::BRADLEY_PITZER_U9.value * kelvin,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn dielectric_constant_of_bradley_and_pitzer_1979() {
        // Bradley & Pitzer 1979: 87.857, 78.384, 60.843, 55.460 at 0, 25, 80, 100 °C (at saturation
        // pressure).
        for (celsius, published) in [
            (0.0, 87.857),
            (25.0, 78.384),
            (80.0, 60.843),
            (100.0, 55.460),
        ] {
            assert_abs_diff_eq!(dielectric_constant(celsius), published, epsilon = 0.003);
        }
    }

    #[test]
    fn debye_hueckel_slopes() {
        // Computed from the same two papers: A, B at 0, 25, 80, 100 °C.
        for (celsius, a, b) in [
            (0.0, 0.4908, 0.3246),
            (25.0, 0.5100, 0.3285),
            (80.0, 0.5712, 0.3382),
            (100.0, 0.6001, 0.3422),
        ] {
            let sensitivities = DebyeHueckel::at(celsius);
            assert_abs_diff_eq!(sensitivities.a, a, epsilon = 1.0e-4);
            assert_abs_diff_eq!(sensitivities.b, b, epsilon = 1.0e-4);
        }
    }
}
