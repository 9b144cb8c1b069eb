//! One door to transcendental functions. The standard library's differ in the last bit between machines; `libm`
//! computes the same bits everywhere, natively and in the browser.

/// e to the power `x`.
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// Natural logarithm.
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// Decimal logarithm.
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// 10 to the power `x`.
pub fn pow10(x: f64) -> f64 {
    libm::exp10(x)
}

/// `base` to the power `exponent`.
pub fn pow(base: f64, exponent: f64) -> f64 {
    libm::pow(base, exponent)
}

/// Cube root.
pub fn cbrt(x: f64) -> f64 {
    libm::cbrt(x)
}
