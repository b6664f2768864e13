//! Far tails of folded and truncated distributions: right, or refused; and which moments exist.

use crate::judge::close;
use joulecast::random::{Dist, DistError};

const INF: f64 = f64::INFINITY;

fn normal() -> Dist {
    Dist::normal(0.0, 1.0).expect("valid")
}

fn student(dof: f64) -> Dist {
    Dist::student(0.0, 2.0, dof).expect("valid")
}

fn cut(base: Dist, low: f64, high: f64) -> Dist {
    base.cut(low, high).expect("something lies between")
}

fn folded(base: Dist) -> Dist {
    base.folded().expect("symmetric")
}

/// Whether two numbers agree to so much of the second.
fn near(a: f64, b: f64, relative: f64) -> bool {
    close(a, b, relative * b.abs())
}

#[test]
fn normals_cut_far_up_have_the_moments_and_medians_of_quadrature() {
    // Mean and deviation: by the ratio of Mills, or by quadrature, with 40 digits (mpmath). Counted from
    // the lower end, nothing is left of these beyond 8.3.
    let cases = [
        (
            8.0,
            9.0,
            8.121_188_992_979_797,
            0.118_947_647_235_025_7,
            8.084_888_899_018_166,
        ),
        (
            8.0,
            INF,
            8.121_368_112_236_113,
            0.119_686_605_112_439,
            8.084_911_007_391_544,
        ),
        (
            10.0,
            11.0,
            10.098_068_374_933_02,
            0.097_060_660_941_160_82,
            10.068_409_369_547_62,
        ),
        (
            20.0,
            INF,
            20.049_753_068_527_85,
            0.049_631_256_432_334_69,
            20.034_541_676_514_02,
        ),
    ];
    for (low, high, mean, sd, median) in cases {
        let up = cut(normal(), low, high);
        let down = cut(normal(), -high, -low);
        for (d, sign) in [(&up, 1.0), (&down, -1.0)] {
            assert!(near(d.mean(), sign * mean, 1e-10), "{low} {}", d.mean());
            assert!(near(d.sd(), sd, 1e-8), "{low} {}", d.sd());
            assert!(near(d.quantile(0.5), sign * median, 1e-13), "{low}");
            assert!(close(d.cdf(sign * median), 0.5, 1e-10), "{low}");
        }
    }
}

#[test]
fn what_a_distribution_cannot_tell_is_refused() {
    let empty = |base: Dist, low, high| matches!(base.cut(low, high), Err(DistError::Empty(..)));
    let triangle = || Dist::triangular_within(0.0, 1.0).expect("valid");
    let decay = || Dist::exponential(0.0, 1.0).expect("valid");
    assert!(empty(normal(), 38.0, INF) && empty(normal(), -INF, -38.0));
    assert!(empty(decay(), 800.0, INF));
    // Its distribution function is 1 less 5e-19 there, which is 1.
    assert!(empty(triangle(), 1.0 - 1e-9, 1.0) && !empty(triangle(), -1.0, 1e-9 - 1.0));
    assert!(empty(triangle(), 1.5, 2.0));
}

#[test]
fn other_laws_keep_their_upper_tails() {
    // An exponential forgets; a log-normal by E[x^k] of what lies above, with 40 digits.
    let decay = cut(Dist::exponential(1.0, 2.0).expect("valid"), 71.0, INF);
    assert!(near(decay.mean(), 73.0, 1e-10) && near(decay.sd(), 2.0, 1e-8));
    let rate = cut(Dist::log_normal(1.0, 1.0).expect("valid"), 1e5, INF);
    assert!(near(rate.mean(), 109_353.999_086_301_6, 1e-10));
    assert!(near(rate.sd(), 10_177.991_788_193_28, 1e-8));
    // Twice a t with three degrees, above 2: quadrature with 30 digits.
    let t = cut(student(3.0), 2.0, INF);
    assert!(near(t.mean(), 2.0 * 2.115_060_485_695_698, 1e-9));
    assert!(near(t.sd(), 2.0 * 1.660_313_257_563_184, 1e-8));
    let both = cut(folded(normal()), 9.0, INF);
    assert!(near(both.mean(), cut(normal(), 9.0, INF).mean(), 1e-12));
}

#[test]
fn a_folded_student_t_has_its_exact_moments_or_none() {
    // 2 sqrt(nu) G((nu+1)/2) / (sqrt(pi) (nu-1) G(nu/2)) and nu/(nu-2), times the scale 2.
    let cases = [
        (1.0, INF, INF),
        (1.5, 4.088_819_775_464_324, INF),
        (2.0, 2.828_427_124_746_19, INF),
        (2.1, 2.714_573_466_900_652, 8.753_918_602_134_641),
        (3.0, 2.205_315_581_687_168, 2.671_438_411_262_327),
        (10.0, 1.729_370_595_404_582, 1.417_489_803_755_216),
    ];
    let same = |a: f64, b: f64| a == b || near(a, b, 1e-9);
    for (dof, mean, sd) in cases {
        let d = folded(student(dof));
        assert!(
            same(d.mean(), mean) && same(d.sd(), sd),
            "{dof} {} {}",
            d.mean(),
            d.sd()
        );
    }
    // One and two degrees of freedom have quantiles in closed form: tan(pi u / 2), and with w = 1 - u,
    // u sqrt(2 / (w (2 - w))); also where the draw is one in 10^12.
    for w in [0.75, 1e-3, 1e-9, 2f64.powi(-40)] {
        let u = 1.0 - w;
        let w = 1.0 - u;
        let [one, two] = [1.0, 2.0].map(|dof| folded(student(dof)).quantile(u));
        assert!(
            near(one, 2.0 / (0.5 * std::f64::consts::PI * w).tan(), 1e-12),
            "{w}"
        );
        assert!(
            near(two, 2.0 * u * (2.0 / (w * (2.0 - w))).sqrt(), 1e-12),
            "{w}"
        );
    }
}

#[test]
fn only_a_student_t_lacks_moments() {
    let has = |d: Dist| [1.0, 2.0, 4.0].map(|order| d.has_moment(order));
    assert_eq!(has(student(1.0)), [false; 3]);
    assert_eq!(has(student(2.0)), [true, false, false]);
    assert_eq!(has(student(4.0)), [true, true, false]);
    assert_eq!(has(student(4.5)), [true; 3]);
    assert_eq!(has(folded(student(2.0))), [true, false, false]);
    assert_eq!(has(cut(student(2.0), 0.0, INF)), [true, false, false]);
    assert_eq!(has(cut(student(1.0), -5.0, 5.0)), [true; 3]);
    assert_eq!(has(normal()), [true; 3]);
    assert_eq!(cut(student(2.0), 0.0, INF).sd(), INF);
    assert_eq!(cut(student(1.0), 0.0, INF).mean(), INF);
    assert!(cut(student(1.0), -INF, INF).mean().is_nan());
}
