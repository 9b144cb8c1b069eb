//! Extract of wort from its specific gravity, and back.

/// °P of a wort of a specific gravity, both at 20 °C (Lincoln 1987, MBAA Technical Quarterly 24,
/// 129, from memory).
pub(super) fn plato(specific_gravity: f64) -> f64 {
    CONSTANT + specific_gravity * (SLOPE + CURVATURE * specific_gravity)
}

/// The specific gravity of a wort of so many °P: the smaller root.
pub(super) fn specific_gravity(plato: f64) -> f64 {
    let discriminant = SLOPE * SLOPE - 4.0 * CURVATURE * (CONSTANT - plato);
    (discriminant.sqrt() - SLOPE) / (2.0 * CURVATURE)
}

/// Whether a number without a unit is a specific gravity.
pub(super) fn is_specific_gravity(number: f64) -> bool {
    (0.99..1.2).contains(&number)
}

const CONSTANT: f64 = -463.371;
const SLOPE: f64 = 668.7183;
const CURVATURE: f64 = -205.347;

#[cfg(test)]
mod tests {
    use super::{plato, specific_gravity};
    use approx::assert_abs_diff_eq;

    /// Sucrose in water at 20 °C: g/mL of 5, 10, 15 and 20 % by mass (CRC Handbook, Concentrative
    /// properties of aqueous solutions, from memory), over that of water, 0.9982.
    #[test]
    fn extract_is_that_of_sucrose_of_the_same_density() {
        for (percent, density) in [
            (5.0, 1.0178),
            (10.0, 1.0381),
            (15.0, 1.0592),
            (20.0, 1.0810),
        ] {
            let gravity = density / 0.9982;
            assert_abs_diff_eq!(plato(gravity), percent, epsilon = 0.03);
            assert_abs_diff_eq!(specific_gravity(plato(gravity)), gravity, epsilon = 1e-9);
        }
        assert_abs_diff_eq!(plato(1.0), 0.0, epsilon = 0.001);
    }
}
