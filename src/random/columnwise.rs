//! Exponentials and logarithms of whole columns, with the bits of the single functions.
//!
//! The same FreeBSD routines (e_exp.c, e_log.c) as in the `libm` crate, operation by operation, but
//! with selections in place of branches, so that the compiler turns them into vector code. What the
//! routines treat specially (overflow, infinities, subnormal numbers) is left to the single
//! functions. The tests compare bits.

use std::hint::select_unpredictable as pick;

const LN2_HIGH: f64 = 6.931_471_803_691_238e-1;
const LN2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// e^x of many numbers in place, with the bits of [`exp`](super::elementary::exp).
pub fn exp_each(column: &mut [f64]) {
    // Beyond this the result may overflow or become subnormal.
    if column.iter().fold(true, |all, x| all & (x.abs() < 708.0)) {
        for x in column {
            *x = exp_in_range(*x);
        }
    } else {
        for x in column {
            *x = super::elementary::exp(*x);
        }
    }
}

#[inline(always)]
fn exp_in_range(x: f64) -> f64 {
    const INVERSE_LN2: f64 = std::f64::consts::LOG2_E;
    // Borders of the argument reduction, as the routine compares them: by their upper words.
    const SEVERAL: f64 = f64::from_bits(0x3FF0_A2B2 << 32);
    const ONE: f64 = f64::from_bits(0x3FD6_2E43 << 32);
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    const TINY: f64 = f64::from_bits(0x3E30_0001 << 32);
    const P: [f64; 5] = [
        0.166_666_666_666_666_02,
        -0.002_777_777_777_701_559_3,
        6.613_756_321_437_934e-5,
        -1.653_390_220_546_525_2e-6,
        4.138_136_797_057_238_5e-8,
    ];
    let size = x.abs();
    // Rounded to a whole number by adding and taking away 1.5 x 2^52, then cut towards zero.
    let one = 1f64.copysign(x);
    let scaled = INVERSE_LN2 * x + 0.5f64.copysign(x);
    let nearest = (scaled + WHOLE) - WHOLE;
    let too_far = nearest.abs() > scaled.abs();
    let rounded = nearest - pick(too_far, one, 0.0);
    let few = pick(size >= ONE, one, 0.0);
    let k = pick(size >= SEVERAL, rounded, few);
    let (high, low) = (x - k * LN2_HIGH, k * LN2_LOW);
    let r = high - low;
    let rr = r * r;
    let c = r - rr * (P[0] + rr * (P[1] + rr * (P[2] + rr * (P[3] + rr * P[4]))));
    let y = 1.0 + (r * c / (2.0 - c) - low + high);
    // 2^k, its exponent taken from the last bits of the sum; exact, as the result is normal.
    let power = f64::from_bits((k + WHOLE).to_bits().wrapping_add(1023) << 52);
    pick(size >= TINY, y * power, 1.0 + x)
}

/// Natural logarithms of many numbers in place, with the bits of [`ln`](super::elementary::ln).
pub fn ln_each(column: &mut [f64]) {
    let usual = |x: f64| (f64::MIN_POSITIVE..f64::INFINITY).contains(&x);
    if column.iter().fold(true, |all, x| all & usual(*x)) {
        for x in column {
            *x = ln_of_normal(*x);
        }
    } else {
        for x in column {
            *x = super::elementary::ln(*x);
        }
    }
}

#[inline(always)]
fn ln_of_normal(x: f64) -> f64 {
    /// Moves the border between two exponents from 1 to the square root of a half.
    const SHIFT: u64 = 0x3FF0_0000 - 0x3FE6_A09E;
    const TWO_52: u64 = 0x4330_0000_0000_0000;
    const TWO_52_AND_BIAS: f64 = 4_503_599_627_370_496.0 + 1023.0;
    const L: [f64; 7] = [
        0.666_666_666_666_673_5,
        0.399_999_999_994_094_2,
        0.285_714_287_436_623_9,
        0.222_221_984_321_497_84,
        0.181_835_721_616_180_5,
        0.153_138_376_992_093_73,
        0.147_981_986_051_165_86,
    ];
    let bits = x.to_bits().wrapping_add(SHIFT << 32);
    // The exponent becomes a number by way of the mantissa of 2^52: vector units of two or four
    // lanes convert no 64-bit integers.
    let k = f64::from_bits(TWO_52 | (bits >> 52)) - TWO_52_AND_BIAS;
    let mantissa = (bits & 0x000F_FFFF_FFFF_FFFF).wrapping_add(0x3FE6_A09E << 32);
    let f = f64::from_bits(mantissa) - 1.0;
    let half_square = 0.5 * f * f;
    let s = f / (2.0 + f);
    let z = s * s;
    let w = z * z;
    let even = w * (L[1] + w * (L[3] + w * L[5]));
    let odd = z * (L[0] + w * (L[2] + w * (L[4] + w * L[6])));
    s * (half_square + (odd + even)) + k * LN2_LOW - half_square + f + k * LN2_HIGH
}

#[cfg(test)]
mod tests {
    use super::super::BLOCK;
    use super::super::elementary::{exp, ln};
    use super::super::generator::{unit_interval, words};
    use super::*;

    fn same_bits(numbers: &[f64], each: fn(&mut [f64]), single: fn(f64) -> f64) {
        let mut together = numbers.to_vec();
        each(&mut together);
        for (x, y) in numbers.iter().zip(together) {
            assert_eq!(single(*x).to_bits(), y.to_bits(), "of {x}");
        }
    }

    #[test]
    fn logarithms_of_a_column_have_the_bits_of_the_single_one() {
        let mut numbers = vec![
            1.0 - f64::EPSILON / 2.0,
            f64::EPSILON / 2.0,
            0.5,
            0.7,
            1.0,
            2.0,
        ];
        numbers.extend([f64::MIN_POSITIVE, f64::MAX, 1.0 + f64::EPSILON]);
        for seed in 0..400 {
            let mut raw = [0; BLOCK];
            words(seed, &mut raw);
            numbers.extend(raw.map(unit_interval));
            // Any positive normal number.
            numbers.extend(raw.map(|w| f64::from_bits((w >> 1).clamp(1 << 52, (0x7FF << 52) - 1))));
        }
        same_bits(&numbers, ln_each, ln);
        for special in [0.0, -1.0, f64::INFINITY, f64::NAN, 5e-324] {
            same_bits(&[0.3, special, 7.0], ln_each, ln);
        }
    }

    #[test]
    fn exponentials_of_a_column_have_the_bits_of_the_single_one() {
        let mut numbers = vec![0.0, -0.0, 1.0, -1.0, 707.9, -707.9, 5e-324, -1e-300];
        for border in [
            0x3FF0_A2B2u64,
            0x3FD6_2E42,
            0x3FD6_2E43,
            0x3E30_0000,
            0x3E30_0001,
        ] {
            for step in 0..200 {
                let x = f64::from_bits((border << 32) - 100 + step);
                numbers.extend([x, -x]);
            }
        }
        for seed in 0..400 {
            let mut raw = [0; BLOCK];
            words(seed, &mut raw);
            for scale in [1400.0, 20.0, 2.0, 1e-7] {
                numbers.extend(raw.map(|w| scale * (unit_interval(w) - 0.5)));
            }
        }
        same_bits(&numbers, exp_each, exp);
        for special in [
            800.0,
            -720.0,
            -800.0,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::NAN,
        ] {
            same_bits(&[0.3, special, -7.0], exp_each, exp);
        }
    }
}
