//! Every distribution: did its draws change, are they wrong, is its inverse an inverse.

use crate::catalogue::{Case, Truth, cases};
use crate::judge::{close, follows, same_population};
use crate::pins::PINNED;
use joulecast::random::{BLOCK, Cell, Column, Dist, Draws, Form, Input, Layout, Name, Plan, Tag};
use rand::SeedableRng;
use rand::rngs::Xoshiro256PlusPlus;

/// Draws by which a distribution is judged; the reference gets four times as many.
const N: usize = 1 << 16;

/// The ends of what the generator can give.
const LEAST: f64 = f64::EPSILON / 2.0;
const MOST: f64 = 1.0 - f64::EPSILON / 2.0;

fn block(name: &str, dist: &Dist, number: u64) -> Column<f64> {
    let plan = Plan::new();
    let draws = Draws::new(1, number, Layout::MARGINAL, &plan);
    let name = Name::once(Tag::of(name), Tag::of(""));
    draws.column(name, 0, &Input::error(dist.clone()))
}

fn sample(case: &Case) -> Vec<f64> {
    (0..(N / BLOCK) as u64)
        .flat_map(|b| block(case.name, &case.dist, b).0)
        .collect()
}

/// A measure of width that also exists where the deviation does not.
fn width(dist: &Dist) -> f64 {
    (dist.quantile(0.84) - dist.quantile(0.16)) / 2.0
}

#[test]
fn first_draws_have_not_changed() {
    let found: Vec<(&str, [f64; 3])> = cases()
        .iter()
        .map(|c| {
            let x = block(c.name, &c.dist, 0);
            (c.name, [x[0], x[1], x[2]])
        })
        .collect();
    assert_eq!(found.len(), PINNED.len(), "{found:?}");
    for ((name, x), (pinned_name, pinned)) in found.iter().zip(PINNED) {
        // Another platform's logarithms may differ in the last bit.
        let same = x
            .iter()
            .zip(pinned)
            .all(|(a, b)| close(*a, *b, 1e-13 * b.abs()));
        assert!(
            name == pinned_name && same,
            "published numbers change: {name} {x:?}"
        );
    }
}

#[test]
fn draws_follow_their_distribution_and_shifted_or_stretched_ones_do_not() {
    for case in cases() {
        let x = sample(&case);
        let reference: Vec<f64> = match &case.truth {
            Truth::Cdf(_) => Vec::new(),
            Truth::Recipe(draw) => {
                let mut rng = Xoshiro256PlusPlus::seed_from_u64(2);
                (0..4 * N).map(|_| draw(&mut rng)).collect()
            }
        };
        let right = |x: &[f64]| match &case.truth {
            Truth::Cdf(cdf) => follows(x, cdf),
            Truth::Recipe(_) => same_population(x, &reference),
        };
        assert!(right(&x), "{}", case.name);
        let (centre, width) = (case.dist.quantile(0.5), width(&case.dist));
        let shifted: Vec<f64> = x.iter().map(|x| x + 0.08 * width).collect();
        assert!(!right(&shifted), "{} shifted", case.name);
        let stretched: Vec<f64> = x.iter().map(|x| centre + 1.12 * (x - centre)).collect();
        assert!(!right(&stretched), "{} stretched", case.name);
    }
}

#[test]
fn a_constant_is_drawn_as_itself() {
    let dist = Dist::constant(53.489);
    assert_eq!(block("molar mass", &dist, 0), Column::splat(53.489));
    assert_eq!((dist.mean(), dist.sd()), (53.489, 0.0));
}

#[test]
fn the_quantile_inverts_the_distribution_function() {
    for case in cases() {
        let d = &case.dist;
        for i in 1..200 {
            let u = f64::from(i) / 200.0;
            let x = d.quantile(u);
            // Rounding of x itself moves u by that over the width.
            let last_digits = match d.form() {
                // The library's gamma functions cancel some digits.
                Form::StudentT(dof) => 2e-13 * (2.0 + dof),
                Form::Beta(..) => 1e-11,
                _ => 2e-14,
            };
            let slack = last_digits + f64::EPSILON * x.abs() / width(d);
            assert!(close(d.cdf(x), u, slack), "{} at u = {u}", case.name);
            assert!(!close(d.cdf(x + 1e-6 * width(d)), u, slack));
            let back = d.quantile(d.cdf(x));
            // An error of the last bits of u moves x by that over the density.
            let slack = 1e-11 * width(d) + 4.0 * f64::EPSILON * x.abs();
            assert!(close(back, x, slack), "{} at {x}: {back}", case.name);
        }
    }
}

#[test]
fn a_greater_uniform_number_never_gives_a_smaller_draw() {
    for case in cases() {
        let mut last = f64::NEG_INFINITY;
        for i in 0..20_000 {
            let x = case.dist.quantile((f64::from(i) + 0.5) / 20_000.0);
            // Where two formulas meet, rounding may step back by a few last bits.
            let slack = 1e-14 * (width(&case.dist) + x.abs());
            assert!(x >= last - slack, "{} falls at step {i}", case.name);
            last = x;
        }
    }
}

#[test]
fn the_extreme_uniform_numbers_give_finite_ordered_draws() {
    for case in cases() {
        let ends = [LEAST, 0.5, MOST].map(|u| case.dist.quantile(u));
        assert!(
            ends.iter().all(|x| x.is_finite()) && ends[0] < ends[1] && ends[1] < ends[2],
            "{}: {ends:?}",
            case.name
        );
    }
}

#[test]
fn draws_of_a_cell_follow_one_another_and_no_other_cell() {
    for case in cases() {
        let of = |key, block, reading, n: usize| {
            let mut out = vec![0.0; n];
            case.dist
                .fill(&mut Cell::new(key, block, reading), &mut out);
            out
        };
        // A shorter column is the beginning of a longer one: a trial has its draw whoever comes behind it.
        assert_eq!(of(7, 1, 2, 40), of(7, 1, 2, BLOCK)[..40], "{}", case.name);
        for other in [of(8, 1, 2, 40), of(7, 2, 2, 40), of(7, 1, 3, 40)] {
            assert_ne!(of(7, 1, 2, 40), other, "{}", case.name);
        }
    }
}

#[test]
fn means_and_deviations_are_those_of_the_reference() {
    // Folded and truncated ones are integrated numerically.
    for case in cases() {
        let (mean, sd) = (case.dist.mean(), case.dist.sd());
        let slack = match case.dist.form() {
            Form::Folded(_) | Form::Cut(_) => 1e-8,
            _ => 1e-12,
        } * if case.sd.is_finite() { case.sd } else { 1.0 };
        let slack = slack + 4.0 * f64::EPSILON * case.mean.abs();
        let same = |a: f64, b: f64| a == b || a.is_nan() && b.is_nan() || close(a, b, slack);
        assert!(same(mean, case.mean), "{}: {mean}", case.name);
        assert!(same(sd, case.sd), "{}: {sd} not {}", case.name, case.sd);
    }
}

#[test]
fn a_scaled_distribution_is_the_distribution_of_the_scaled_quantity() {
    for case in cases() {
        let scaled = case.dist.scaled(2.5);
        for u in [0.001, 0.3, 0.5, 0.8, 0.999] {
            let x = 2.5 * case.dist.quantile(u);
            assert!(
                close(scaled.quantile(u), x, 1e-13 * (x.abs() + width(&scaled))),
                "{}",
                case.name
            );
        }
    }
}
