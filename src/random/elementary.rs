//! Elementary functions from one portable implementation.
//!
//! The functions of the standard library call whatever the platform's C library holds, and two
//! libraries differ in the last bit. What the chain itself needs comes from the crate `libm` instead (the
//! FreeBSD/musl routines): plain IEEE operations in a fixed order, no fused multiply-add. Square root,
//! absolute value, floor and rounding are exact by IEEE 754 and may be used from the standard library.

use multiversion::multiversion;

pub use libm::{erfc, exp, expm1 as exp_m1, log as ln, log10, pow};

/// Replaces each number by its exponential, several at a time: the bits of [`exp`].
///
/// The steps of that routine (FreeBSD's e_exp.c) without branches: x = k ln 2 + r with |r| up to ln 2 / 2, and
/// e^r = 1 + (r c / (2 - c) + r) with c = r - r^2 P(r^2). Numbers near the ends of the range are left to it.
#[multiversion(targets("x86_64+avx2"))]
pub fn exp_each(all: &mut [f64]) {
    /// Far from where 2^k is no ordinary number.
    const MOST: f64 = 700.0;
    /// From where on k is not 0; the routine looks at the upper half of the word.
    const TURN: f64 = f64::from_bits(0x3FD6_2E43_0000_0000);
    /// Below it 1 + x is all.
    const TINY: f64 = f64::from_bits(0x3E30_0001_0000_0000);
    const LN_2: [f64; 2] = [6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10];
    const P: [f64; 5] = [
        1.666_666_666_666_660_2e-1,
        -2.777_777_777_701_559_3e-3,
        6.613_756_321_437_934e-5,
        -1.653_390_220_546_525_2e-6,
        4.138_136_797_057_238_5e-8,
    ];
    /// Added to k it leaves the exponent of 2^k in the lowest bits.
    const EXPONENT: f64 = ((1u64 << 52) + 1023) as f64;
    if all.iter().any(|x| x.is_nan() || x.abs() > MOST) {
        for x in all {
            *x = exp(*x);
        }
        return;
    }
    for v in all {
        let x = *v;
        let turns = ((std::f64::consts::LOG2_E * x).abs() + 0.5).floor();
        let k = if x.abs() < TURN {
            0.0
        } else {
            turns.copysign(x)
        };
        let (high, low) = (x - k * LN_2[0], k * LN_2[1]);
        let r = high - low;
        let rr = r * r;
        let c = r - rr * (P[0] + rr * (P[1] + rr * (P[2] + rr * (P[3] + rr * P[4]))));
        let y = 1.0 + (r * c / (2.0 - c) - low + high);
        let scaled = y * f64::from_bits((k + EXPONENT).to_bits() << 52);
        *v = if x.abs() < TINY { 1.0 + x } else { scaled };
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::{Cell, Dist};

    #[test]
    fn exponentials_of_many_have_the_bits_of_each() {
        let mut x = Vec::new();
        // Every magnitude, then what matters, then where the routine turns.
        for power in -60..10 {
            let mut part = vec![0.0; 500];
            let half_width = 2.0 * 2f64.powi(power);
            let dist = Dist::rectangular(-half_width, half_width).unwrap();
            dist.fill(&mut Cell::new(1, power.unsigned_abs().into(), 0), &mut part);
            x.extend(part);
        }
        let half = 0.5 * std::f64::consts::LN_2;
        for turn in 0..2000 {
            let at = f64::from(turn) * half;
            for step in -3i64..=3 {
                let bits = at.max(1e-300).to_bits().wrapping_add_signed(step);
                x.extend([f64::from_bits(bits), -f64::from_bits(bits)]);
            }
        }
        for word in [
            0x3FD6_2E42u64,
            0x3FD6_2E43,
            0x3FF0_A2B2,
            0x3E30_0000,
            0x3E30_0001,
        ] {
            for low in [0, 1, 0xFEFA_39EF, 0xFFFF_FFFF] {
                let v = f64::from_bits(word << 32 | low);
                x.extend([v, -v]);
            }
        }
        x.extend([0.0, -0.0, f64::MIN_POSITIVE]);
        x.retain(|x| x.abs() <= 700.0);
        let ends = [
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            720.0,
            -720.0,
            1.0,
        ];
        for numbers in [&x[..], &ends] {
            let mut several = numbers.to_vec();
            exp_each(&mut several);
            for (x, y) in numbers.iter().zip(several) {
                assert_eq!(y.to_bits(), exp(*x).to_bits(), "{x:e}");
            }
        }
    }
}
