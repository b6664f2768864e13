//! Verdicts of the tests, each as a yes or no, so that a test can show both that the right sample
//! passes and that a spoiled one does not.

use joulecast::stats::{Estimate, Moments};

/// Standard errors a correct estimate may stray: a normal deviate passes 5 once in 1.7 million.
pub const Z: f64 = 5.0;

/// Whether an estimate with standard error `se` lies within `z` of them of the truth.
pub fn near(estimate: f64, truth: f64, se: f64, z: f64) -> bool {
    (estimate - truth).abs() <= z * se
}

/// Whether two numbers that carry no Monte Carlo error agree; false if either is NaN.
pub fn close(a: f64, b: f64, tolerance: f64) -> bool {
    (a - b).abs() <= tolerance
}

/// Whether an estimate agrees with the truth by its own standard error.
pub fn agrees(estimate: Estimate, truth: f64) -> bool {
    near(estimate.value, truth, estimate.se, Z)
}

/// Whether an estimate agrees with a printed value, which is itself good to `tolerance` only.
pub fn agrees_with_print(estimate: Estimate, printed: f64, tolerance: f64) -> bool {
    close(estimate.value, printed, tolerance + Z * estimate.se)
}

/// The same sample a tenth too wide about its mean and a twentieth of a deviation too high: the
/// smallest fault that the checks of a mean, deviation or interval must all notice.
pub fn spoiled(values: &[f64]) -> Vec<f64> {
    let moments = Moments::of(values);
    let (mean, sd) = (moments.mean().value, moments.sd().value);
    values
        .iter()
        .map(|y| mean + 1.1 * (y - mean) + 0.05 * sd)
        .collect()
}

/// Asserts that `check` accepts the sample and would not accept a spoiled one.
#[track_caller]
pub fn holds_and_bites(what: &str, values: &[f64], check: impl Fn(&[f64]) -> bool) {
    assert!(check(values), "{what} does not hold");
    assert!(
        !check(&spoiled(values)),
        "{what} also holds of a spoiled sample"
    );
}

/// Limit of sqrt(n) D that a true null hypothesis passes once in 10^6: 2 exp(-2 x^2) = 10^-6, the
/// leading term of Kolmogorov's distribution, which is all of it this far out.
const KOLMOGOROV: f64 = 2.693_4;

/// Kolmogorov-Smirnov: whether a sample may come from a distribution function.
pub fn follows(sample: &[f64], cdf: impl Fn(f64) -> f64) -> bool {
    let sorted = ascending(sample);
    let n = sorted.len() as f64;
    let mut distance = 0.0f64;
    for (i, x) in sorted.iter().enumerate() {
        let f = cdf(*x);
        distance = distance
            .max((f - i as f64 / n).abs())
            .max(((i + 1) as f64 / n - f).abs());
    }
    distance * n.sqrt() <= KOLMOGOROV
}

/// Kolmogorov-Smirnov with two samples: whether both may come from one distribution.
pub fn same_population(a: &[f64], b: &[f64]) -> bool {
    let (a, b) = (ascending(a), ascending(b));
    let (n, m) = (a.len() as f64, b.len() as f64);
    let (mut i, mut j, mut distance) = (0, 0, 0.0f64);
    while i < a.len() && j < b.len() {
        if a[i] <= b[j] {
            i += 1;
        } else {
            j += 1;
        }
        distance = distance.max((i as f64 / n - j as f64 / m).abs());
    }
    distance * (n * m / (n + m)).sqrt() <= KOLMOGOROV
}

fn ascending(sample: &[f64]) -> Vec<f64> {
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted
}

/// Sample correlation of two columns.
pub fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len() as f64;
    let (ma, mb) = (a.iter().sum::<f64>() / n, b.iter().sum::<f64>() / n);
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (x, y) in a.iter().zip(b) {
        ab += (x - ma) * (y - mb);
        aa += (x - ma) * (x - ma);
        bb += (y - mb) * (y - mb);
    }
    ab / (aa * bb).sqrt()
}
