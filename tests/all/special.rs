//! Functions behind the inverse distribution functions, against tables and an independent crate.

use crate::judge::close;
use joulecast::random::special::*;
use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::beta::beta_reg;

/// Whether two numbers agree relative to the second.
fn alike(a: f64, b: f64, tolerance: f64) -> bool {
    close(a, b, tolerance * b.abs())
}

/// Standard normal quantiles to 20 digits, by bisection of erfc in 60-digit arithmetic.
const NORMAL: [(f64, f64); 12] = [
    (1.1102230246251565e-16, -8.209536151601387),
    (1e-12, -7.034483825301132),
    (1e-11, -6.706023155495136),
    (2e-11, -6.604077590405634),
    (1e-06, -4.753424308822899),
    (0.001, -3.0902323061678136),
    (0.025, -1.9599639845400543),
    (0.0749, -1.4402382675279637),
    (0.0751, -1.43882539275254),
    (0.2, -0.8416212335729142),
    (0.4999, -0.00025066283008800747),
    (0.995, 2.5758293035489004),
];

#[test]
fn normal_quantiles_have_all_their_digits() {
    for (p, z) in NORMAL {
        assert!(alike(normal_quantile(p), z, 1e-15), "p = {p}");
        assert!(!alike(normal_quantile(p * (1.0 + 1e-12)), z, 1e-15));
    }
    assert_eq!(normal_quantile(0.5), 0.0);
}

#[test]
fn the_normal_quantile_is_antisymmetric_wherever_the_mirror_image_is_exact() {
    for i in 1..4096 {
        let p = f64::from(i) / 8192.0;
        assert_eq!(normal_quantile(p), -normal_quantile(1.0 - p));
    }
}

#[test]
fn the_normal_distribution_function_is_that_of_the_reference() {
    let reference = statrs::distribution::Normal::standard();
    for i in -80..=80 {
        let z = f64::from(i) / 10.0;
        let f = reference.cdf(z);
        // The reference keeps about 10 digits in its far tail.
        assert!(alike(normal_cdf(z), f, 1e-10), "z = {z}");
        assert!(!alike(normal_cdf(z + 0.001), f, 1e-10) || z > 4.0);
    }
}

#[test]
fn student_quantiles_are_those_of_the_table() {
    // NIST TN 1297 (1994), Table B.1, 95 % (read); the digits beyond the table by a third program.
    let table = [
        (1.0, 12.71, 12.706_204_736_174_694),
        (2.0, 4.30, 4.302_652_729_749_462),
        (3.0, 3.18, 3.182_446_305_283_708),
        (4.0, 2.78, 2.776_445_105_197_793_4),
        (5.0, 2.57, 2.570_581_835_636_314_6),
        (9.0, 2.26, 2.262_157_162_798_205),
        (19.0, 2.09, 2.093_024_054_408_308_7),
    ];
    for (dof, printed, verified) in table {
        let t = student_quantile(0.975, dof);
        assert!(alike(t, verified, 1e-13), "nu = {dof}: {t}");
        assert!(close(t, printed, 0.0051), "nu = {dof}: {t}");
        assert!(!close(student_quantile(0.974, dof), printed, 0.0051));
    }
    // The same table at 95.45 %, by a third program.
    for (dof, verified) in [
        (1.0, 13.967_811_487_502_55),
        (4.0, 2.869_315_169_696_382_6),
        (19.0, 2.140_496_629_911_141_6),
    ] {
        assert!(alike(student_quantile(0.977_25, dof), verified, 1e-4));
    }
}

#[test]
fn student_distribution_functions_are_those_of_the_reference() {
    for dof in [0.5, 1.0, 1.7, 2.0, 3.5, 7.3, 16.75, 50.0, 250.5, 4000.0] {
        let reference = StudentsT::new(0.0, 1.0, dof).expect("valid");
        for i in 0..60 {
            let t = 0.01 * 1.2f64.powi(i) * if i % 2 == 0 { 1.0 } else { -1.0 };
            let (ours, theirs) = (student_cdf(t, dof), reference.cdf(t));
            assert!(close(ours, theirs, 1e-11), "t = {t}, nu = {dof}");
        }
        let shifted = student_cdf(1.001, dof);
        assert!(!close(shifted, reference.cdf(1.0), 1e-11));
    }
}

#[test]
fn student_quantiles_invert_the_reference_for_any_number_of_degrees_of_freedom() {
    for dof in [0.5, 1.0, 1.7, 2.0, 3.5, 7.3, 16.75, 50.0, 250.5, 4000.0] {
        let reference = StudentsT::new(0.0, 1.0, dof).expect("valid");
        for p in [1e-6, 1e-3, 0.025, 0.2, 0.3, 0.499, 0.501, 0.75, 0.9, 0.995] {
            let f = reference.cdf(student_quantile(p, dof));
            assert!(alike(f, p, 1e-10), "p = {p}, nu = {dof}: {f}");
        }
    }
}

#[test]
fn many_degrees_of_freedom_approach_the_normal_smoothly() {
    // t = z + (z^3 + z) / 4 nu + (5 z^5 + 16 z^3 + 3 z) / 96 nu^2 + ..., Abramowitz and Stegun
    // 26.7.5. The general form loses digits as nu grows, from 10^6 on the series takes over.
    for dof in [1e4, 1e5, 0.999e6, 1.001e6, 1e7, 1e9, 1e11, 1e300] {
        for p in [1e-9, 0.02, 0.4, 0.6, 0.8, 0.975, 0.9995] {
            let z = normal_quantile(p);
            let t = z
                + (z.powi(3) + z) / (4.0 * dof)
                + (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * dof * dof);
            let ours = student_quantile(p, dof);
            assert!(alike(ours, t, 3e-9), "p = {p}, nu = {dof}: {ours} not {t}");
            assert!(dof > 1e7 || !alike(z, t, 3e-9));
        }
    }
    let limit = student_quantile(0.3, f64::INFINITY);
    assert_eq!(limit, normal_quantile(0.3));
}

#[test]
fn the_incomplete_beta_function_is_that_of_the_reference_and_its_inverse_inverts_it() {
    for a in [0.3, 0.5, 1.0, 2.5, 7.0, 40.0] {
        for b in [0.4, 0.5, 1.0, 3.0, 12.5] {
            for i in 1..40 {
                let x = f64::from(i) / 40.0;
                let p = beta_inc(a, b, x);
                assert!(close(p, beta_reg(a, b, x), 1e-11), "I_{x}({a}, {b})");
                let back = beta_inc_inverse(a, b, p);
                let again = beta_inc(a, b, back);
                assert!(close(again, p, 1e-14), "inverse of I_{x}({a}, {b})");
                assert!(
                    !close(beta_inc(a, b, 0.99 * x), p, 1e-14) || !(1e-13..=0.9999).contains(&p)
                );
            }
            assert_eq!(beta_inc(a, b, 0.0), 0.0);
            assert_eq!(beta_inc(a, b, 1.0), 1.0);
            assert_eq!(beta_inc_inverse(a, b, 0.0), 0.0);
            assert_eq!(beta_inc_inverse(a, b, 1.0), 1.0);
        }
    }
}
