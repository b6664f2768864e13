//! Elementary functions from one portable implementation.
//!
//! The functions of the standard library call whatever the platform's C library holds, and two
//! libraries differ in the last bit. Everything that can reach a result goes through here instead:
//! plain IEEE operations in a fixed order, no fused multiply-add. Square root, absolute value,
//! floor and rounding are exact by IEEE 754 and may be used from the standard library.
//!
//! Source: the `libm` crate, a translation of the FreeBSD/musl routines.

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

/// Natural logarithms of many numbers in place, with the bits of [`ln`], for numbers that are
/// positive, finite, not subnormal and not 1.
///
/// The same FreeBSD routine without its branches on special values, so that it vectorises; the
/// exponent becomes a number by way of the mantissa of 2^52, because vector units of two or four
/// lanes convert no 64-bit integers.
pub(super) fn ln_each(column: &mut [f64]) {
    const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    /// Moves the border between two exponents from 1 to the square root of a half.
    const SHIFT: u64 = 0x3FF0_0000 - 0x3FE6_A09E;
    const TWO_52: u64 = 0x4330_0000_0000_0000;
    const TWO_52_AND_BIAS: f64 = 4_503_599_627_370_496.0 + 1023.0;
    for x in column {
        let bits = x.to_bits().wrapping_add(SHIFT << 32);
        let k = f64::from_bits(TWO_52 | (bits >> 52)) - TWO_52_AND_BIAS;
        let mantissa = (bits & 0x000F_FFFF_FFFF_FFFF).wrapping_add(0x3FE6_A09E << 32);
        let f = f64::from_bits(mantissa) - 1.0;
        let half_square = 0.5 * f * f;
        let s = f / (2.0 + f);
        let z = s * s;
        let w = z * z;
        let even = w * (LG[1] + w * (LG[3] + w * LG[5]));
        let odd = z * (LG[0] + w * (LG[2] + w * (LG[4] + w * LG[6])));
        let r = odd + even;
        *x = s * (half_square + r) + k * LN2_LOW - half_square + f + k * LN2_HIGH;
    }
}

/// Coefficients of [`ln_each`].
const LG: [f64; 7] = [
    0.666_666_666_666_673_5,
    0.399_999_999_994_094_2,
    0.285_714_287_436_623_9,
    0.222_221_984_321_497_84,
    0.181_835_721_616_180_5,
    0.153_138_376_992_093_73,
    0.147_981_986_051_165_86,
];

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

#[cfg(test)]
mod tests {
    use super::super::generator::{unit_interval, words};
    use super::*;

    #[test]
    fn logarithms_of_a_column_have_the_bits_of_the_single_one() {
        let mut numbers = vec![
            1.0 - f64::EPSILON / 2.0,
            f64::EPSILON / 2.0,
            0.5,
            0.7,
            2.0,
            1e300,
        ];
        for seed in 0..400 {
            let mut raw = [0; super::super::BLOCK];
            words(seed, &mut raw);
            // Uniform numbers, and their products down to the least that a tail can hold.
            numbers.extend(raw.map(unit_interval));
            numbers.extend(raw.map(|w| f64::from_bits((970 << 52) + (w >> 6))));
        }
        let mut together = numbers.clone();
        ln_each(&mut together);
        for (x, y) in numbers.iter().zip(together) {
            assert_eq!(ln(*x).to_bits(), y.to_bits(), "ln {x}");
        }
    }
}
