//! Elementary functions from one portable implementation.
//!
//! The functions of the standard library call whatever the platform's C library holds, and two
//! libraries differ in the last bit. Everything that can reach a result goes through here instead:
//! plain IEEE operations in a fixed order, no fused multiply-add. Square root, absolute value,
//! floor and rounding are exact by IEEE 754 and may be used from the standard library.
//!
//! Source: the `libm` crate, a translation of the FreeBSD/musl routines. [`exp_each`] and [`ln_each`]
//! do whole columns with the same bits, faster.

pub use super::columnwise::{exp_each, ln_each};

/// e^x.
#[inline]
pub fn exp(x: f64) -> f64 {
    libm::exp(x)
}

/// e^x - 1, accurate for small x.
#[inline]
pub fn exp_m1(x: f64) -> f64 {
    libm::expm1(x)
}

/// Natural logarithm.
#[inline]
pub fn ln(x: f64) -> f64 {
    libm::log(x)
}

/// ln(1 + x), accurate for small x.
#[inline]
pub fn ln_1p(x: f64) -> f64 {
    libm::log1p(x)
}

/// Logarithm to base 10.
#[inline]
pub fn log10(x: f64) -> f64 {
    libm::log10(x)
}

/// x^y.
#[inline]
pub fn pow(x: f64, y: f64) -> f64 {
    libm::pow(x, y)
}

/// Sine of an angle in radians.
#[inline]
pub fn sin(x: f64) -> f64 {
    libm::sin(x)
}

/// Cosine of an angle in radians.
#[inline]
pub fn cos(x: f64) -> f64 {
    libm::cos(x)
}

/// Complementary error function.
#[inline]
pub fn erfc(x: f64) -> f64 {
    libm::erfc(x)
}

/// ln |Γ(x)|.
#[inline]
pub fn ln_gamma(x: f64) -> f64 {
    libm::lgamma(x)
}
