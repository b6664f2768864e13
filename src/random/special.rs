//! Distribution functions that need more than an elementary function, portable to the last bit.

use super::column::BLOCK;
use super::elementary::{erfc, exp, ln, ln_1p, ln_each, ln_gamma};

/// Distribution function of the standard normal distribution.
pub fn normal_cdf(z: f64) -> f64 {
    0.5 * erfc(-z * std::f64::consts::FRAC_1_SQRT_2)
}

/// Quantile of the standard normal distribution, relative error below 1e-15.
///
/// Source: M. J. Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477.
#[inline]
pub fn normal_quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        normal_quantile_central(q)
    } else {
        normal_quantile_tail(p, q)
    }
}

/// The central part, |q| = |p - 1/2| <= 0.425; free of branches, so columns of it vectorise.
#[inline]
pub(super) fn normal_quantile_central(q: f64) -> f64 {
    let r = 0.180_625 - q * q;
    q * (((((((2_509.080_928_730_122_6 * r + 33_430.575_583_588_13) * r + 67_265.770_927_008_7)
        * r
        + 45_921.953_931_549_87)
        * r
        + 13_731.693_765_509_46)
        * r
        + 1_971.590_950_306_551_3)
        * r
        + 133.141_667_891_784_38)
        * r
        + 3.387_132_872_796_366_5)
        / (((((((5_226.495_278_852_854 * r + 28_729.085_735_721_943) * r
            + 39_307.895_800_092_71)
            * r
            + 21_213.794_301_586_597)
            * r
            + 5_394.196_021_424_751)
            * r
            + 687.187_007_492_057_9)
            * r
            + 42.313_330_701_600_91)
            * r
            + 1.0)
}

/// The tails, |p - 1/2| > 0.425.
fn normal_quantile_tail(p: f64, q: f64) -> f64 {
    let r = (-ln(if q < 0.0 { p } else { 1.0 - p })).sqrt();
    let z = if r <= FAR { near_tail(r) } else { far_tail(r) };
    if q < 0.0 { -z } else { z }
}

/// The tails of many, in place, with the bits of [`normal_quantile`]: each step runs over all of
/// them, so that it vectorises. At most [`BLOCK`] probabilities, none nearer to 0 or 1 than the
/// uniform numbers come.
pub(super) fn normal_quantile_tails(column: &mut [f64]) {
    let mut buffer = [0.0; BLOCK];
    let r = &mut buffer[..column.len()];
    for (r, p) in r.iter_mut().zip(column.iter()) {
        *r = if *p < 0.5 { *p } else { 1.0 - *p };
    }
    ln_each(r);
    let mut any_far = false;
    for r in r.iter_mut() {
        *r = (-*r).sqrt();
        any_far |= *r > FAR;
    }
    for (p, r) in column.iter_mut().zip(r.iter()) {
        let z = near_tail(*r);
        *p = if *p < 0.5 { -z } else { z };
    }
    if any_far {
        for (z, r) in column.iter_mut().zip(r.iter()) {
            if *r > FAR {
                *z = far_tail(*r).copysign(*z);
            }
        }
    }
}

/// Where the far tail begins: p = e^-25, about 10^-11.
const FAR: f64 = 5.0;

#[inline(always)]
fn near_tail(r: f64) -> f64 {
    let r = r - 1.6;
    (((((((7.745_450_142_783_414e-4 * r + 2.272_384_498_926_918_4e-2) * r
        + 0.241_780_725_177_450_6)
        * r
        + 1.270_458_252_452_368_4)
        * r
        + 3.647_848_324_763_204_5)
        * r
        + 5.769_497_221_460_691)
        * r
        + 4.630_337_846_156_546)
        * r
        + 1.423_437_110_749_683_5)
        / (((((((1.050_750_071_644_416_9e-9 * r + 5.475_938_084_995_345e-4) * r
            + 1.519_866_656_361_645_7e-2)
            * r
            + 0.148_103_976_427_480_08)
            * r
            + 0.689_767_334_985_1)
            * r
            + 1.676_384_830_183_803_8)
            * r
            + 2.053_191_626_637_759)
            * r
            + 1.0)
}

fn far_tail(r: f64) -> f64 {
    let r = r - 5.0;
    (((((((2.010_334_399_292_288_1e-7 * r + 2.711_555_568_743_487_6e-5) * r
        + 1.242_660_947_388_078_4e-3)
        * r
        + 2.653_218_952_657_612_4e-2)
        * r
        + 0.296_560_571_828_504_87)
        * r
        + 1.784_826_539_917_291_3)
        * r
        + 5.463_784_911_164_114)
        * r
        + 6.657_904_643_501_103)
        / (((((((2.044_263_103_389_939_8e-15 * r + 1.421_511_758_316_446e-7) * r
            + 1.846_318_317_510_054_8e-5)
            * r
            + 7.868_691_311_456_133e-4)
            * r
            + 1.487_536_129_085_061_5e-2)
            * r
            + 0.136_929_880_922_735_8)
            * r
            + 0.599_832_206_555_888)
            * r
            + 1.0)
}

/// Regularised incomplete beta function I_x(a, b).
///
/// Source: continued fraction of Abramowitz and Stegun 26.5.8, evaluated by the modified Lentz
/// method; the symmetry I_x(a, b) = 1 - I_(1-x)(b, a) keeps it in its fast region.
pub fn beta_inc(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    let front = exp(ln_gamma(a + b) - ln_gamma(a) - ln_gamma(b) + a * ln(x) + b * ln_1p(-x));
    if x < (a + 1.0) / (a + b + 2.0) {
        front * beta_fraction(a, b, x) / a
    } else {
        1.0 - front * beta_fraction(b, a, 1.0 - x) / b
    }
}

fn beta_fraction(a: f64, b: f64, x: f64) -> f64 {
    const TINY: f64 = 1e-300;
    let guard = |v: f64| if v.abs() < TINY { TINY } else { v };
    let mut c = 1.0;
    let mut d = 1.0 / guard(1.0 - (a + b) * x / (a + 1.0));
    let mut h = d;
    for m in 1..400 {
        let m = f64::from(m);
        let even = m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m));
        d = 1.0 / guard(1.0 + even * d);
        c = guard(1.0 + even / c);
        h *= d * c;
        let odd = -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0));
        d = 1.0 / guard(1.0 + odd * d);
        c = guard(1.0 + odd / c);
        let step = d * c;
        h *= step;
        if (step - 1.0).abs() < 1e-16 {
            break;
        }
    }
    h
}

/// Inverse of [`beta_inc`] in x: Newton steps kept inside a shrinking bracket.
pub fn beta_inc_inverse(a: f64, b: f64, p: f64) -> f64 {
    if p <= 0.0 {
        return 0.0;
    }
    if p >= 1.0 {
        return 1.0;
    }
    let ln_beta = ln_gamma(a) + ln_gamma(b) - ln_gamma(a + b);
    let (mut low, mut high) = (0.0f64, 1.0f64);
    // Start from the leading power of the nearer end, which is exact in the far tails.
    let left = exp((ln(p) + ln(a) + ln_beta) / a);
    let right = 1.0 - exp((ln_1p(-p) + ln(b) + ln_beta) / b);
    let mut x = if left < 0.3 {
        left
    } else if right > 0.7 {
        right
    } else {
        a / (a + b)
    };
    for _ in 0..80 {
        let error = beta_inc(a, b, x) - p;
        if error > 0.0 {
            high = x;
        } else {
            low = x;
        }
        let density = exp((a - 1.0) * ln(x) + (b - 1.0) * ln_1p(-x) - ln_beta);
        let newton = x - error / density;
        let next = if newton > low && newton < high {
            newton
        } else {
            0.5 * (low + high)
        };
        if (next - x).abs() <= 2e-16 * x {
            return next;
        }
        x = next;
    }
    x
}

/// Distribution function of Student's t with `dof` degrees of freedom.
pub fn student_cdf(t: f64, dof: f64) -> f64 {
    let tail = 0.5 * beta_inc(0.5 * dof, 0.5, dof / (dof + t * t));
    if t < 0.0 { tail } else { 1.0 - tail }
}

/// Quantile of Student's t with `dof` > 0 degrees of freedom (not only whole numbers).
///
/// Closed forms for 1 and 2; a series about the normal above 10^6, where the gamma functions of the
/// general form cancel all but a few digits; otherwise the inverse incomplete beta function.
pub fn student_quantile(p: f64, dof: f64) -> f64 {
    let q = p - 0.5;
    if q == 0.0 {
        return 0.0;
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let size = if dof == 1.0 {
        1.0 / libm::tan(std::f64::consts::PI * tail)
    } else if dof == 2.0 {
        2.0 * q.abs() * (2.0 / (4.0 * tail * (1.0 - tail))).sqrt()
    } else if dof > 1e6 {
        nearly_normal(normal_quantile(tail).abs(), dof)
    } else if tail > 0.25 {
        // Near the median the other form keeps all digits: I_w(1/2, nu/2) = 2 |q|, w = t^2/(nu + t^2).
        let w = beta_inc_inverse(0.5, 0.5 * dof, 2.0 * q.abs());
        (dof * w / (1.0 - w)).sqrt()
    } else {
        let x = beta_inc_inverse(0.5 * dof, 0.5, 2.0 * tail);
        (dof * (1.0 - x) / x).sqrt()
    };
    if q < 0.0 { -size } else { size }
}

/// Student's quantile for the normal quantile z and many degrees of freedom, infinitely many too.
///
/// Source: Abramowitz and Stegun 26.7.5; the next term is of the order of z^7 / (400 dof^3).
fn nearly_normal(z: f64, dof: f64) -> f64 {
    let s = z * z;
    let first = z * (s + 1.0) / (4.0 * dof);
    let second = z * ((5.0 * s + 16.0) * s + 3.0) / (96.0 * dof * dof);
    z + first + second
}
