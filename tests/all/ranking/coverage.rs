//! Whether 95 % intervals of shares hold the truth 95 times in a hundred.

use super::{model, normal, rectangular, share_out, singly};
use crate::published::inputs;
use joulecast::engine::Model;
use joulecast::random::Dist;
use joulecast::rank::Share;

const SEEDS: u64 = 400;

/// Three binomial standard errors of a rate of 0.95 in so many seeds.
fn allowed() -> f64 {
    3.0 * (0.95 * 0.05 / SEEDS as f64).sqrt()
}

/// The rate at which intervals, their half widths times `stretch`, hold the truth.
fn rate(shares: &[&Share], truth: f64, stretch: f64) -> f64 {
    let held = shares.iter().filter(|s| {
        let half = 0.5 * (s.high - s.low) * stretch;
        (s.value - truth).abs() <= half
    });
    held.count() as f64 / shares.len() as f64
}

/// Truths as pairs (first-order, total) by input X1, X2 ...
fn covers(what: &str, m: &dyn Model, truths: &[(f64, f64)]) {
    let names: Vec<String> = (1..=truths.len()).map(|i| format!("X{i}")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let groups = singly(&names);
    let all: Vec<_> = (0..SEEDS)
        .map(|seed| share_out(m, &groups, &names, 1_000 + seed))
        .collect();
    for (i, (first, total)) in truths.iter().enumerate() {
        let firsts: Vec<&Share> = all.iter().map(|s| &s.groups[i].first).collect();
        let totals: Vec<&Share> = all.iter().map(|s| &s.groups[i].total).collect();
        for (kind, shares, truth) in [("first", firsts, first), ("total", totals, total)] {
            let (r, narrow) = (rate(&shares, *truth, 1.0), rate(&shares, *truth, 0.75));
            let bias = shares.iter().map(|s| s.value - truth).sum::<f64>() / SEEDS as f64;
            let se = shares.iter().map(|s| s.se).sum::<f64>() / SEEDS as f64;
            println!(
                "{what} X{} {kind:5} {truth:.5}: {r:.4} (se {se:.2e}, bias {bias:.1e})",
                i + 1
            );
            assert!(
                (r - 0.95).abs() <= allowed(),
                "{what} X{} {kind}: {r}",
                i + 1
            );
            // Intervals a quarter too narrow hold 86 %, and are noticed.
            assert!(
                (narrow - 0.95).abs() > allowed(),
                "{what} X{}: {narrow}",
                i + 1
            );
            // The mean over the seeds is known twenty times better than one estimate.
            assert!(bias.abs() <= super::Z * se / (SEEDS as f64).sqrt());
        }
    }
}

#[test]
fn large_small_and_joint_shares() {
    // x1 + 0.4 x2 + 0.035 x3 + 0.2 x2 x4, all of variance 1: 1, 0.16, 0.001225 and 0.04.
    let root = 3.0f64.sqrt();
    let skewed = Dist::exponential(0.0, 1.0).expect("valid");
    let dists = [normal(1.0), rectangular(-root, root), skewed, normal(1.0)];
    let m = model(inputs(dists), |x| {
        x[0] + 0.4 * x[1] + 0.035 * x[2] + 0.2 * x[1] * x[3]
    });
    let v = 1.201_225;
    covers(
        "mixed",
        &m,
        &[
            (1.0 / v, 1.0 / v),
            (0.16 / v, 0.2 / v),
            (0.001_225 / v, 0.001_225 / v),
            (0.0, 0.04 / v),
        ],
    );
}

#[test]
fn a_source_that_makes_nearly_all() {
    let of = |share: f64| {
        model(
            inputs([normal(share.sqrt()), normal((1.0 - share).sqrt())]),
            |x| x[0] + x[1],
        )
    };
    covers("nearly all", &of(0.97), &[(0.97, 0.97), (0.03, 0.03)]);
    // The mean of squares of the difference has an error of 7e-4 here: that of a square of its mean.
    let s = share_out(&of(0.9999), &singly(&["X1", "X2"]), &["X1", "X2"], 1);
    assert!(super::right(&s.groups[0].total, 0.9999));
    assert!(s.groups[0].total.se < 2e-4, "{}", s.groups[0].total.se);
}

#[test]
fn a_product_of_rectangles() {
    // The first three factors of the G function: a = 0, 1, 4.5.
    let a = [0.0, 1.0, 4.5];
    let m = model(inputs(vec![rectangular(0.0, 1.0); 3]), move |x| {
        x.iter()
            .zip(a)
            .map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a))
            .product()
    });
    let alone = a.map(|a: f64| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
    let all: f64 = alone.iter().map(|v| 1.0 + v).product();
    let truths = alone.map(|v| (v / (all - 1.0), v * all / (1.0 + v) / (all - 1.0)));
    covers("product", &m, &truths);
}

#[test]
fn the_ishigami_function() {
    use std::f64::consts::PI;
    let m = model(inputs(vec![rectangular(-PI, PI); 3]), |x| {
        let (s1, s2, q) = (x[0].sin(), x[1].sin(), x[2] * x[2]);
        s1 + 7.0 * s2 * s2 + 0.1 * q * q * s1 + 1e4
    });
    covers("ishigami", &m, &super::examples::ISHIGAMI);
}

#[test]
fn exponentials() {
    let exp = || Dist::exponential(0.0, 1.0).expect("valid");
    let m = model(inputs([exp(), exp()]), |x| x[0] * x[1]);
    covers("exponentials", &m, &[(1.0 / 3.0, 2.0 / 3.0); 2]);
}
