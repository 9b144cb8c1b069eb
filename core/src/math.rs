//! The one place of transcendental functions, so that the same input gives the same bits on every
//! target (`libm`, where the standard library's differ by a last bit between native and wasm), and
//! the root finders.

use std::convert::Infallible;

use std::borrow::Borrow;

/// Standard normal deviates that hold 80 % and 95 % between them.
pub(crate) const TWO_SIDED_80: f64 = 1.281_551_565_544_600_4;
pub(crate) const TWO_SIDED_95: f64 = 1.959_963_984_540_054;

/// ln 10.
pub const LN_10: f64 = std::f64::consts::LN_10;

/// e to the x.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// e to the x less one, exact for small x as well.
pub fn exp_less_one(x: f64) -> f64 {
    libm::expm1(x)
}

/// e to the x, for steps that are mostly small: a short series (next term below 2e-16) where |x| is
/// at most 1/64.
pub fn exp_of_step(x: f64) -> f64 {
    if x.abs() > 1.0 / 64.0 {
        return exp(x);
    }
    let tail = 1.0 / 24.0 + x * (1.0 / 120.0 + x * (1.0 / 720.0));
    1.0 + x * (1.0 + x * (0.5 + x * (1.0 / 6.0 + x * tail)))
}

/// What [`exp_each`] takes: beyond it, results would leave the range of normal numbers.
const EXP_ENDS: [f64; 2] = [-700.0, 700.0];
/// ln 2 in two parts, the first short enough that a multiple by a whole number below 2¹¹ is exact.
const LN_2: [f64; 2] = [6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10];
/// Added and taken off again, it rounds to a whole number, which is then in the lowest bits.
const ROUNDING: f64 = 6_755_399_441_055_744.0;
/// Bits of the fraction of a number, above which the exponent is.
const FRACTION_BITS: u32 = f64::MANTISSA_DIGITS - 1;

/// e to the power of each, within two units of the last place: 2ⁿ times a series of what is left
/// over. Made of sums and products alone, so it too gives the same bits everywhere, and the
/// compiler does several at once: four times as fast as [`exp`] one by one. Arguments are taken as
/// within ±700.
pub fn exp_each(values: &mut [f64]) {
    for value in values {
        let x = value.clamp(EXP_ENDS[0], EXP_ENDS[1]);
        let shifted = x * std::f64::consts::LOG2_E + ROUNDING;
        let whole = shifted - ROUNDING;
        let rest = (x - whole * LN_2[0]) - whole * LN_2[1];
        // Even and odd powers apart: two short chains instead of a long one.
        let square = rest * rest;
        let (mut even, mut odd) = (EXP_SERIES[1], EXP_SERIES[0]);
        for pair in EXP_SERIES[2..].chunks_exact(2) {
            odd = odd * square + pair[0];
            even = even * square + pair[1];
        }
        let series = even + odd * rest;
        *value = f64::from_bits(
            series
                .to_bits()
                .wrapping_add(shifted.to_bits() << FRACTION_BITS),
        );
    }
}

/// One over the factorials of 13 to 0.
const EXP_SERIES: [f64; 14] = {
    let mut series = [1.0; 14];
    let mut power = 1;
    while power < series.len() {
        series[13 - power] = series[14 - power] / power as f64;
        power += 1;
    }
    series
};

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

/// Probability that a sum of the squares of so many standard normals lies above x: the chi-square
/// test (Abramowitz & Stegun 1964, 26.4.4 and 26.4.5). One where there are none.
///
/// ```
/// // Abramowitz & Stegun 1964, table 26.8: 5 % lie above 3.84146, 11.0705 and 18.3070 with 1, 5 and 10 degrees of freedom.
/// for (degrees, x) in [(1, 3.84146), (5, 11.0705), (10, 18.3070)] {
///     assert!((underlet::math::chi_square_above(x, degrees) - 0.05).abs() < 1e-5);
/// }
/// ```
pub fn chi_square_above(x: f64, degrees: usize) -> f64 {
    if degrees == 0 || x <= 0.0 {
        return 1.0;
    }
    let half = x / 2.0;
    let odd = degrees % 2 == 1;
    let (mut above, mut term, mut count) = if odd {
        let bell = exp(-half) * (half / std::f64::consts::PI).sqrt();
        (libm::erfc(half.sqrt()), 2.0 * bell, 1)
    } else {
        (0.0, exp(-half), 0)
    };
    while count + 2 <= degrees {
        above += term;
        count += 2;
        term *= half / (count as f64 / 2.0);
    }
    above.clamp(0.0, 1.0)
}

/// Square root of the sum of squares: how independent standard deviations add.
pub fn root_of_squares<T: Borrow<f64>>(parts: impl IntoIterator<Item = T>) -> f64 {
    let squares = parts.into_iter().map(|part| part.borrow() * part.borrow());
    squares.sum::<f64>().sqrt()
}

/// Standard deviation of the natural logarithm of a positive amount whose error is a factor, from
/// its relative standard deviation (lognormal distribution: v² = exp(s²) − 1). None where there is
/// no amount.
pub(crate) fn log_sd(amount: f64, sd: f64) -> f64 {
    /// Relative deviations beyond this say nothing more.
    const LARGEST: f64 = 1.0e3;
    if amount > 0.0 {
        let relative = (sd / amount).min(LARGEST);
        ln(1.0 + relative * relative).sqrt()
    } else {
        0.0
    }
}

/// `value`, or `floor` where it is less or not a number.
pub fn at_least(value: f64, floor: f64) -> f64 {
    if value > floor { value } else { floor }
}

/// Width of a bracket below which its root is found.
const ROOT_WIDTH: f64 = 1.0e-13;
/// Step of Newton's method that leaves an error of its square, which is less than a double can
/// tell.
const NEWTON_WIDTH: f64 = 1.0e-8;
/// Steps after which a bracket is only halved. As many more bring any bracket up to a million wide
/// below [`ROOT_WIDTH`], or to two doubles without another between them.
const ROOT_STEPS: usize = 64;

/// A function that does not change sign between two ends has no root there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoRoot {
    /// The end beyond which the root would be.
    pub nearer_end: f64,
}

impl NoRoot {
    /// The end beyond which the root would be, for callers to whom a root out of range is as good
    /// as one at its end.
    pub fn nearer_end(self) -> f64 {
        self.nearer_end
    }
}

/// The root of a falling function between two ends. Never leaves the bracket and always converges:
/// inverse quadratic steps where they are safe, else bisection (Chandrupatla 1997, Advances in
/// Engineering Software 28, 145).
///
/// # Errors
/// [`NoRoot`] where the function does not change sign.
///
/// ```
/// use underlet::math::{NoRoot, falling_root};
///
/// let root = falling_root(|x| 2.0 - x * x, 0.0, 2.0).unwrap();
/// assert!((root - 2.0_f64.sqrt()).abs() < 1e-12);
/// assert_eq!(falling_root(|x| 2.0 - x * x, 0.0, 1.0), Err(NoRoot { nearer_end: 1.0 }));
/// ```
pub fn falling_root(function: impl Fn(f64) -> f64, low: f64, high: f64) -> Result<f64, NoRoot> {
    let Ok(root) = try_falling_root(|x| Ok::<_, Infallible>(function(x)), low, high);
    root
}

/// The same of a function that may fail.
///
/// # Errors
/// The function's own.
pub fn try_falling_root<E>(
    function: impl Fn(f64) -> Result<f64, E>,
    low: f64,
    high: f64,
) -> Result<Result<f64, NoRoot>, E> {
    // a is the newest point, b brackets the root with it, c is the one before.
    let (mut b, mut at_b) = (low, function(low)?);
    let (mut a, mut at_a) = (high, function(high)?);
    for (end, at_end, is_beyond) in [(low, at_b, at_b < 0.0), (high, at_a, at_a > 0.0)] {
        if is_beyond {
            return Ok(Err(NoRoot { nearer_end: end }));
        }
        if at_end == 0.0 {
            return Ok(Ok(end));
        }
    }
    let mut share = 0.5;
    for step in 0..2 * ROOT_STEPS {
        let x = a + share * (b - a);
        let at_x = function(x)?;
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
        share = if safe && step < ROOT_STEPS {
            at_a / (at_b - at_a) * at_c / (at_b - at_c)
                + (c - a) / (b - a) * at_a / (at_c - at_a) * at_b / (at_c - at_b)
        } else {
            0.5
        };
        let margin = ROOT_WIDTH / 2.0 / width;
        share = share.clamp(margin, 1.0 - margin);
    }
    Ok(Ok(if at_a.abs() < at_b.abs() { a } else { b }))
}

/// The root of a falling function that gives its slope, from a start between two ends. Newton's
/// method, which may not leave the bracket that the signs have shown: where a step would, or where
/// it does not shorten, the bracket is halved.
///
/// # Errors
/// [`NoRoot`] where the function does not change sign.
///
/// ```
/// let root = underlet::math::falling_root_by_slope(|x| (2.0 - x * x, -2.0 * x), 1.0, 0.0, 2.0);
/// assert!((root.unwrap() - 2.0_f64.sqrt()).abs() < 1e-12);
/// ```
pub fn falling_root_by_slope(
    function: impl Fn(f64) -> (f64, f64),
    start: f64,
    low: f64,
    high: f64,
) -> Result<f64, NoRoot> {
    let ends = [low, high];
    let (mut low, mut high) = (low, high);
    let mut x = start.max(low).min(high);
    let mut last = high - low;
    for step_number in 0..2 * ROOT_STEPS {
        let (value, slope) = function(x);
        if value > 0.0 {
            low = x;
        } else {
            high = x;
        }
        let step = -value / slope;
        let newton = x + step;
        let is_safe =
            newton >= low && newton <= high && 2.0 * step.abs() <= last && step_number < ROOT_STEPS;
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
    match end {
        Some(end) if function(end).0 != 0.0 => Err(NoRoot { nearer_end: end }),
        end => Ok(end.unwrap_or(x)),
    }
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
    fn exponentials_by_series_are_those_of_libm() {
        let mut arguments: Vec<f64> = (-7000..=7000).map(|n| f64::from(n) * 0.099_87).collect();
        arguments.extend([
            0.0,
            -0.0,
            1.0e-300,
            1.0e-9,
            0.5 * std::f64::consts::LN_2,
            -40.0,
        ]);
        let mut values = arguments.clone();
        exp_each(&mut values);
        for (x, value) in arguments.iter().zip(&values) {
            assert!((value / exp(*x) - 1.0).abs() < 5.0e-16, "{x}: {value}");
        }
        let mut ends = [-1.0e9, 1.0e9, f64::NAN];
        exp_each(&mut ends);
        assert!(ends[0] > 0.0 && ends[1].is_finite() && ends[2].is_nan());
    }

    #[test]
    fn roots_are_found_in_steep_and_flat_places() {
        for wanted in [0.001, 1.0, 3.7, 9.999] {
            assert_abs_diff_eq!(
                falling_root(|x| exp(wanted) - exp(x), 0.0, 14.0).unwrap(),
                wanted,
                epsilon = 1.0e-11
            );
            assert_abs_diff_eq!(
                falling_root(|x| exp(-x) - exp(-wanted), 0.0, 14.0).unwrap(),
                wanted,
                epsilon = 1.0e-9
            );
            assert_abs_diff_eq!(
                falling_root(|x| (wanted - x) * (wanted - x) * (wanted - x), 0.0, 14.0).unwrap(),
                wanted,
                epsilon = 1.0e-4
            );
        }
        for wanted in [0.001, 1.0, 3.7, 9.999] {
            for start in [0.0, 1.0, 7.0, 14.0] {
                let steep = |x: f64| (exp(wanted) - exp(x), -exp(x));
                let root = falling_root_by_slope(steep, start, 0.0, 14.0);
                assert_abs_diff_eq!(root.unwrap(), wanted, epsilon = 1.0e-11);
                let flat = |x: f64| (exp(-x) - exp(-wanted), -exp(-x));
                let root = falling_root_by_slope(flat, start, 0.0, 14.0);
                assert_abs_diff_eq!(root.unwrap(), wanted, epsilon = 1.0e-9);
            }
        }
        for (zero, end) in [(-1.0, 0.0), (100.0, 14.0)] {
            let root = falling_root_by_slope(|x| (zero - x, -1.0), 7.0, 0.0, 14.0);
            assert_eq!(root, Err(NoRoot { nearer_end: end }));
        }
        // A function that never changes gives a slope of nothing; each point is a root.
        let nowhere = falling_root_by_slope(|_| (0.0, 0.0), 7.0, 0.0, 14.0);
        assert!((0.0..=14.0).contains(&nowhere.unwrap()));
        for (zero, nearer_end) in [(-1.0, 0.0), (100.0, 14.0)] {
            let root = falling_root(|x| zero - x, 0.0, 14.0);
            assert_eq!(root, Err(NoRoot { nearer_end }));
        }
        for end in [0.0, 14.0] {
            assert_eq!(falling_root(|x| end - x, 0.0, 14.0), Ok(end));
            let root = falling_root_by_slope(|x| (end - x, -1.0), 7.0, 0.0, 14.0);
            assert_eq!(root, Ok(end));
        }
        // A bracket far wider than a pH's, and a root among doubles that lie further apart than the
        // width of a found root.
        let root = falling_root(|x| exp(-x) - exp(-300_000.0_f64.sqrt()), 0.0, 1.0e6).unwrap();
        assert_abs_diff_eq!(root, 300_000.0_f64.sqrt(), epsilon = 1.0e-9);
        let failing = try_falling_root(|x| if x < 7.0 { Ok(1.0) } else { Err("no") }, 0.0, 14.0);
        assert_eq!(failing, Err("no"));
    }
}
