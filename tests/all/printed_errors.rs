//! Whether the standard errors that are printed of a column are those that its numbers have over
//! seeds, on and off the bell. Slow: `cargo test --test all -- --ignored --nocapture printed_errors`.

use crate::judge::Z;
use joulecast::stats::{Estimate, Moments, Sorted, Summary, rms, share_within};
use rand::SeedableRng;
use rand::rngs::Xoshiro256PlusPlus as Generator;
use rand_distr::{Distribution, Exp1, StandardNormal};
use rayon::prelude::*;

const SEEDS: u64 = 1_000;

/// What is stated on average may differ so much from the scatter.
const ALLOWED: f64 = 0.1;

type Law = fn(&mut Generator) -> f64;

fn normal(g: &mut Generator) -> f64 {
    StandardNormal.sample(g)
}

fn chi_square(g: &mut Generator) -> f64 {
    (0..3).map(|_| normal(g)).map(|z| z * z).sum()
}

/// Laws, each with a band that holds a few in a hundred.
const LAWS: [(&str, Law, [f64; 2]); 4] = [
    ("normal", normal, [2.0, 3.0]),
    ("exponential", |g| Exp1.sample(g), [3.0, 4.0]),
    ("chi-square 3", chi_square, [8.0, 10.0]),
    ("log-normal 1", |g| normal(g).exp(), [6.0, 9.0]),
];

const NAMES: [&str; 10] = [
    "mean",
    "sd",
    "median",
    "low end",
    "high end",
    "skewness",
    "kurtosis",
    "rms",
    "share",
    "within 95 %",
];

fn numbers(column: &[f64], [low, high]: [f64; 2]) -> [Estimate; 10] {
    let s = Summary::of(column, 0.95);
    let sizes = Sorted::from_vec(column.iter().map(|x| x.abs()).collect());
    [
        s.mean,
        s.sd,
        s.median,
        s.interval.low,
        s.interval.high,
        s.skewness,
        s.excess_kurtosis,
        rms(column),
        share_within(column, low, high),
        sizes.quantile(0.95),
    ]
}

/// The part of the seeds that state an error; of these, what is stated on average over the scatter,
/// with the standard error of that ratio.
fn ratio(all: &[Estimate]) -> (f64, Estimate) {
    let stated: Vec<&Estimate> = all.iter().filter(|e| e.se.is_finite()).collect();
    let of =
        |f: fn(&Estimate) -> f64| Moments::of(&stated.iter().map(|e| f(e)).collect::<Vec<_>>());
    let (mean, scatter) = (of(|e| e.se).mean().value, of(|e| e.value).sd());
    let ratio = mean / scatter.value;
    let part = stated.len() as f64 / all.len() as f64;
    (
        part,
        Estimate::new(ratio, ratio * scatter.se / scatter.value),
    )
}

/// Where most seeds state an error, it is that of the scatter.
fn honest((part, ratio): (f64, Estimate)) -> bool {
    part < 0.5 || (ratio.value - 1.0).abs() <= ALLOWED + Z * ratio.se
}

#[test]
#[ignore = "a table of a few minutes"]
fn printed_errors_are_the_scatter_over_seeds_or_are_not_stated() {
    let mut wrong = Vec::new();
    for n in [10_240, 81_920] {
        for (law, draw, band) in LAWS {
            let columns = (0..SEEDS).into_par_iter().map(|seed| {
                let mut g = Generator::seed_from_u64(seed);
                let column: Vec<f64> = (0..n).map(|_| draw(&mut g)).collect();
                (numbers(&column, band), batch_means(&column))
            });
            let (all, spoiled): (Vec<_>, Vec<_>) = columns.unzip();
            for (i, name) in NAMES.iter().enumerate() {
                let found = ratio(&all.iter().map(|e| e[i]).collect::<Vec<_>>());
                let (part, r) = found;
                println!(
                    "{n:6} {law:12} {name:12} stated {part:5.3} ratio {:5.2} ± {:.2}",
                    r.value, r.se
                );
                if !honest(found) {
                    wrong.push(format!("{n} {law} {name}"));
                }
            }
            // The spread of the batches by themselves says too little off the bell.
            let r = ratio(&spoiled);
            println!(
                "{n:6} {law:12} kurtosis by batch means: ratio {:5.2} ± {:.2}",
                r.1.value, r.1.se
            );
            assert!(n > 10_240 || honest(r) == (law == "normal"), "{law}");
        }
    }
    assert!(wrong.is_empty(), "{wrong:?}");
}

fn batch_means(column: &[f64]) -> Estimate {
    let of = |c: &[f64]| Moments::of(c).excess_kurtosis();
    let each: Vec<f64> = column.chunks_exact(column.len() / 32).map(of).collect();
    Estimate::new(of(column), Moments::of(&each).mean().se)
}
