//! One door to transcendental functions, so that the same input gives the same bits on every target (`libm`, where
//! the standard library's differ by a last bit between native and wasm), and one root finder.

/// ln 10.
pub const LN_10: f64 = std::f64::consts::LN_10;

/// e to the x.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// e to the x, for steps that are mostly small: a short series (next term below 2e-16) where |x| is at most 1/64.
pub fn exp_of_step(x: f64) -> f64 {
    if x.abs() > 1.0 / 64.0 {
        return exp(x);
    }
    let tail = 1.0 / 24.0 + x * (1.0 / 120.0 + x * (1.0 / 720.0));
    1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x * tail)))
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Decimal logarithm.
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// 10 to the x.
pub fn pow10(x: f64) -> f64 {
    libm::exp10(x)
}

/// Cube root.
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}

/// Probability that a standard normal lies below x.
pub fn normal_below(x: f64) -> f64 {
    0.5 * libm::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// `value`, or `floor` where it is less or not a number.
pub fn at_least(value: f64, floor: f64) -> f64 {
    if value > floor { value } else { floor }
}

/// Width below which a root counts as found.
const ROOT_WIDTH: f64 = 1.0e-13;
/// Step of Newton's method that leaves an error of its square, which is less than a double can tell.
const NEWTON_WIDTH: f64 = 1.0e-8;
/// More steps than bisection alone would need from a bracket of 14.
const ROOT_STEPS: usize = 64;

/// The root of a falling function between two ends; the nearer end where the function does not change sign between
/// them. Never leaves the bracket and always ends: inverse quadratic steps where they are safe, else bisection
/// (Chandrupatla 1997, Advances in Engineering Software 28, 145).
///
/// ```
/// let root = underlet::math::falling_root(|x| 2.0 - x * x, 0.0, 2.0);
/// assert!((root - 2.0_f64.sqrt()).abs() < 1e-12);
/// ```
pub fn falling_root(function: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    // a is the newest point, b brackets the root with it, c is the one before.
    let (mut b, mut at_b) = (low, function(low));
    let (mut a, mut at_a) = (high, function(high));
    if at_b <= 0.0 {
        return low;
    }
    if at_a >= 0.0 {
        return high;
    }
    let mut share = 0.5;
    for _ in 0..ROOT_STEPS {
        let x = a + share * (b - a);
        let at_x = function(x);
        let (c, at_c);
        if (at_x > 0.0) == (at_a > 0.0) {
            (c, at_c) = (a, at_a);
        } else {
            (c, at_c) = (b, at_b);
            (b, at_b) = (a, at_a);
        }
        (a, at_a) = (x, at_x);
        let width = (b - a).abs();
        if at_x == 0.0 || width <= ROOT_WIDTH {
            break;
        }
        let xi = (a - b) / (c - b);
        let phi = (at_a - at_b) / (at_c - at_b);
        let safe = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
        share = if safe {
            at_a / (at_b - at_a) * at_c / (at_b - at_c)
                + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
        } else {
            0.5
        };
        let margin = ROOT_WIDTH / 2.0 / width;
        share = share.clamp(margin, 1.0 - margin);
    }
    if at_a.abs() < at_b.abs() { a } else { b }
}

/// The root of a falling function that tells its slope, from a start between two ends; the nearer end where the function
/// does not change sign between them. Newton's method, which may not leave the bracket that the signs have shown: where a
/// step would, or where it does not shorten, the bracket is halved.
///
/// ```
/// let root = underlet::math::falling_root_by_slope(|x| (2.0 - x * x, -2.0 * x), 1.0, 0.0, 2.0);
/// assert!((root - 2.0_f64.sqrt()).abs() < 1e-12);
/// ```
pub fn falling_root_by_slope(
    function: impl Fn(f64) -> (f64, f64),
    start: f64,
    low: f64,
    high: f64,
) -> f64 {
    let ends = [low, high];
    let (mut low, mut high) = (low, high);
    let mut x = start.max(low).min(high);
    let mut last = high - low;
    for _ in 0..ROOT_STEPS {
        let (value, slope) = function(x);
        if value > 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = -value / slope;
        let newton = x + step;
        let is_safe = newton >= low && newton <= high && 2.0 * step.abs() <= last;
        let next = if is_safe {
            newton
        } else {
            low + (high - low) / 2.0
        };
        last = (next - x).abs();
        x = next;
        if last <= ROOT_WIDTH || (is_safe && last <= NEWTON_WIDTH) {
            break;
        }
    }
    // Halving comes as near to an end as it likes, and never there.
    let end = ends
        .into_iter()
        .find(|end| (x - end).abs() <= 4.0 * ROOT_WIDTH);
    end.unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_abs_diff_eq;

    #[test]
    fn normal_probabilities_of_the_handbook() {
        // Abramowitz & Stegun 1964, table 26.1.
        for (x, p) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746),
            (1.96, 0.975_002_105),
            (-1.281_552, 0.099_999_9),
        ] {
            assert_abs_diff_eq!(normal_below(x), p, epsilon = 1.0e-7);
        }
    }

    #[test]
    fn roots_are_found_in_steep_and_flat_places() {
        for wanted in [0.001, 1.0, 3.7, 9.999] {
            assert_abs_diff_eq!(
                falling_root(|x| exp(wanted) - exp(x), 0.0, 14.0),
                wanted,
                epsilon = 1.0e-11
            );
            assert_abs_diff_eq!(
                falling_root(|x| exp(-x) - exp(-wanted), 0.0, 14.0),
                wanted,
                epsilon = 1.0e-9
            );
            assert_abs_diff_eq!(
                falling_root(|x| (wanted - x) * (wanted - x) * (wanted - x), 0.0, 14.0),
                wanted,
                epsilon = 1.0e-4
            );
        }
        for wanted in [0.001, 1.0, 3.7, 9.999] {
            for start in [0.0, 1.0, 7.0, 14.0] {
                let steep = |x: f64| (exp(wanted) - exp(x), -exp(x));
                let root = falling_root_by_slope(steep, start, 0.0, 14.0);
                assert_abs_diff_eq!(root, wanted, epsilon = 1.0e-11);
                let flat = |x: f64| (exp(-x) - exp(-wanted), -exp(-x));
                let root = falling_root_by_slope(flat, start, 0.0, 14.0);
                assert_abs_diff_eq!(root, wanted, epsilon = 1.0e-9);
            }
        }
        for (zero, end) in [(-1.0, 0.0), (100.0, 14.0)] {
            let root = falling_root_by_slope(|x| (zero - x, -1.0), 7.0, 0.0, 14.0);
            assert_eq!(root, end);
        }
        // A function that never changes tells a slope of nothing; the answer still lies between the ends.
        let nowhere = falling_root_by_slope(|_| (0.0, 0.0), 7.0, 0.0, 14.0);
        assert!((0.0..=14.0).contains(&nowhere));
        assert_eq!(falling_root(|x| -1.0 - x, 0.0, 14.0), 0.0);
        assert_eq!(falling_root(|x| 100.0 - x, 0.0, 14.0), 14.0);
    }
}
