//! Published examples and closed forms.

use super::{
    model, normal, rectangular, right, right_and_sharp, share_out, share_out_well, singly, tags,
    together,
};
use crate::published::inputs;
use joulecast::engine::{ListInput, Model, Study};
use joulecast::random::{Dist, MultivariateNormal, Plan, Treatment};
use joulecast::rank::{ShareOptions, Shares, shares};
use joulecast::stats::Moments;
use std::f64::consts::PI;

const XS: [&str; 8] = ["X1", "X2", "X3", "X4", "X5", "X6", "X7", "X8"];

/// sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1, inputs rectangular on (-pi, pi), plus a constant.
fn ishigami(constant: f64) -> impl Model {
    let angle = rectangular(-PI, PI);
    model(inputs([angle.clone(), angle.clone(), angle]), move |x| {
        let (s1, s2, q) = (x[0].sin(), x[1].sin(), x[2] * x[2]);
        s1 + 7.0 * s2 * s2 + 0.1 * q * q * s1 + constant
    })
}

/// First-order and total shares of Ishigami and Homma (1990), from the closed forms.
pub const ISHIGAMI: [(f64, f64); 3] = [
    (0.313_905_191_147_811_46, 0.557_588_855_209_959_2),
    (0.442_411_144_790_040_9, 0.442_411_144_790_040_9),
    (0.0, 0.243_683_664_062_147_73),
];

fn follows_ishigami(s: &Shares) -> bool {
    let variance = 13.844_587_940_719_254;
    (s.variance.value - variance).abs() <= super::Z * s.variance.se
        && s.groups
            .iter()
            .zip(ISHIGAMI)
            .all(|(g, (first, total))| right(&g.first, first) && right(&g.total, total))
}

#[test]
fn the_ishigami_function_with_and_without_a_large_constant() {
    let groups = singly(&XS[..3]);
    let plain = share_out_well(&ishigami(0.0), &groups, &XS[..3], 1);
    assert!(follows_ishigami(&plain), "{plain:#?}");
    for (g, (first, total)) in plain.groups.iter().zip(ISHIGAMI) {
        right_and_sharp(&g.name, &g.first, first, 0.06);
        right_and_sharp(&g.name, &g.total, total, 0.06);
    }
    // x1 and x3 act together: totals sum to more than one, first-order shares to less.
    right_and_sharp("sum", &plain.sum_first, 1.0 - ISHIGAMI[2].1, 0.08);
    right_and_sharp("sum", &plain.sum_total, 1.0 + ISHIGAMI[2].1, 0.08);

    // The same draws, far from zero: the same shares but for the rounding of the result.
    let far = share_out_well(&ishigami(1e4), &groups, &XS[..3], 1);
    for (a, b) in plain.groups.iter().zip(&far.groups) {
        assert!((a.first.value - b.first.value).abs() < 1e-9);
        assert!((a.total.value - b.total.value).abs() < 1e-9);
        assert!((a.total.se - b.total.se).abs() < 1e-9);
    }
}

#[test]
fn a_product_estimator_about_zero_would_not_survive_the_constant() {
    // The spoiled estimator: mean(B C) - mean(A)^2 over V, without centring.
    let spoiled = |constant: f64| {
        let run = |plan: Plan| {
            let study = Study {
                plan,
                ..Study::new(1)
            };
            let table = study.run(&ishigami(constant), ShareOptions::new(1).rounded());
            table.expect("not interrupted").columns.remove(0)
        };
        let other = |names: &[&str]| {
            tags(names)
                .into_iter()
                .fold(Plan::new(), |p, t| p.with(t, Treatment::Other(1)))
        };
        let (a, b, c) = (run(Plan::new()), run(other(&XS[..3])), run(other(&XS[..1])));
        let products: Vec<f64> = b.iter().zip(&c).map(|(b, c)| b * c).collect();
        let a = Moments::of(&a);
        let mean = a.mean().value;
        (Moments::of(&products).mean().value - mean * mean) / (a.sd().value * a.sd().value)
    };
    let ours = share_out(&ishigami(1e4), &singly(&XS[..1]), &XS[..3], 1);
    let allowed = super::Z * ours.groups[0].first.se;
    assert!((spoiled(0.0) - ISHIGAMI[0].0).abs() < 0.2);
    assert!((spoiled(1e4) - ISHIGAMI[0].0).abs() > 10.0 * allowed);
}

#[test]
fn a_second_sample_that_is_not_independent_is_noticed() {
    // Spoiled on purpose: only x1 is drawn anew in B, so that B is C.
    let s = share_out(&ishigami(0.0), &singly(&["X1"]), &[], 1);
    assert!(!right(&s.groups[0].first, ISHIGAMI[0].0));
    let all = share_out(&ishigami(0.0), &singly(&["X1"]), &XS[..3], 1);
    assert!(right(&all.groups[0].first, ISHIGAMI[0].0));
}

#[test]
fn groups_of_the_ishigami_function() {
    let groups = [
        together("12", &["X1", "X2"]),
        together("13", &["X1", "X3"]),
        together("23", &["X2", "X3"]),
    ];
    let s = share_out_well(&ishigami(0.0), &groups, &XS[..3], 2);
    let truth = [
        (0.756_316_335_937_852_3, 1.0),
        (0.557_588_855_209_959_2, 0.557_588_855_209_959_2),
        (0.442_411_144_790_040_9, 0.686_094_808_852_188_5),
    ];
    for (g, (first, total)) in s.groups.iter().zip(truth) {
        right_and_sharp(&g.name, &g.first, first, 0.05);
        right_and_sharp(&g.name, &g.total, total, 0.05);
    }
}

#[test]
fn the_g_function() {
    // Saltelli and Sobol' (1995), a = 0, 1, 4.5, 9, 99 ... (from memory); shares by closed form.
    let a = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0];
    let g = model(inputs(vec![rectangular(0.0, 1.0); 8]), move |x| {
        x.iter()
            .zip(a)
            .map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a))
            .product()
    });
    let alone = a.map(|a: f64| 1.0 / (3.0 * (1.0 + a) * (1.0 + a)));
    let all: f64 = alone.iter().map(|v| 1.0 + v).product();
    let variance = all - 1.0;
    assert!((variance - 0.465_424_431_902_206_7).abs() < 1e-12);
    let s = share_out(&g, &singly(&XS), &XS, 3);
    for (i, v) in alone.iter().enumerate() {
        let (first, total) = (v / variance, v * all / (1.0 + v) / variance);
        let group = &s.groups[i];
        right_and_sharp(&group.name, &group.first, first, 0.05);
        // Small totals are known relative to their size.
        right_and_sharp(&group.name, &group.total, total, 0.25 * total);
    }
    // Four alike, at a ten-thousandth each, cannot be told apart.
    assert_eq!(s.ranks(), [1, 2, 3, 4, 5, 5, 5, 5]);
    let sets = [
        together("12", &XS[..2]),
        together("34", &XS[2..4]),
        together("rest", &XS[4..]),
    ];
    let s = share_out(&g, &sets, &XS, 4);
    let truth = [
        (0.954_922_891_838_710_4, 0.968_792_771_272_953_4),
        (0.030_916_615_113_869_284, 0.044_663_287_551_036_77),
        (0.000_286_491_191_713_402_6, 0.000_419_775_219_033_469_15),
    ];
    for (g, (first, total)) in s.groups.iter().zip(truth) {
        right_and_sharp(&g.name, &g.first, first, 0.02);
        right_and_sharp(&g.name, &g.total, total, 0.25 * total);
    }
}

#[test]
fn three_equal_sources_and_one_that_does_nothing() {
    // x1 - 2 x2 + 0.5 x3 + 0 x4: (c u)^2 is 1, 1, 1, 0.
    let m = model(inputs([1.0, 0.5, 2.0, 1.0].map(normal)), |x| {
        x[0] - 2.0 * x[1] + 0.5 * x[2] + 0.0 * x[3]
    });
    let s = share_out(&m, &singly(&XS[..4]), &XS[..4], 5);
    for g in &s.groups[..3] {
        right_and_sharp(&g.name, &g.first, 1.0 / 3.0, 0.05);
        right_and_sharp(&g.name, &g.total, 1.0 / 3.0, 0.05);
    }
    let nothing = &s.groups[3];
    assert_eq!((nothing.total.value, nothing.total.se), (0.0, 0.0));
    assert_eq!((nothing.first.value, nothing.first.se), (0.0, 0.0));
    assert_eq!(s.ranks(), [1, 1, 1, 4]);
    assert_eq!(s.ranks_by_first(), [1, 1, 1, 4]);
    right_and_sharp("sum", &s.sum_first, 1.0, 0.05);
    right_and_sharp("sum", &s.sum_total, 1.0, 0.05);
}

#[test]
fn equal_sources_are_seldom_parted() {
    const SEEDS: u64 = 200;
    let m = model(inputs([1.0, 0.5, 2.0].map(normal)), |x| {
        x[0] - 2.0 * x[1] + 0.5 * x[2]
    });
    let (mut parted, mut strict) = (0.0, 0.0);
    for seed in 0..SEEDS {
        let s = share_out(&m, &singly(&XS[..3]), &XS[..3], 5_000 + seed);
        parted += f64::from(u8::from(s.ranks() != [1, 1, 1])) / SEEDS as f64;
        // The spoiled rule goes by the values alone.
        let t = |i: usize| s.groups[i].total.value;
        strict += f64::from(u8::from(t(0) != t(1) || t(1) != t(2))) / SEEDS as f64;
    }
    // Three pairs at 5 % each are an upper bound of 15 %.
    let allowed = |rate: f64| rate <= 0.15 + super::Z * (0.15 * 0.85 / SEEDS as f64).sqrt();
    println!("parted {parted}");
    assert!(allowed(parted) && !allowed(strict));
}

#[test]
fn a_single_source_has_all_of_it() {
    let m = model(inputs([normal(2.0)]), |x| x[0] * x[0].abs());
    let s = share_out(&m, &singly(&XS[..1]), &XS[..1], 6);
    for share in [&s.groups[0].first, &s.groups[0].total] {
        right_and_sharp("all", share, 1.0, 0.05);
    }
    // Its first-order share is not even uncertain: B and C are the same.
    assert!(s.groups[0].first.se < 1e-9 && (s.groups[0].first.value - 1.0).abs() < 1e-9);
}

#[test]
fn a_determination_against_a_calibration() {
    // Product and quotient of log-normals; T the sum of squares of the deviations of logarithms:
    // first-order (e^Tu - 1)/(e^T - 1), total (1 - e^-Tu)/(1 - e^-T).
    let names = ["q_ref", "m_ref", "dT_s", "dT_c", "m_s"];
    let sigmas = [0.002, 0.003, 0.02, 0.012, 0.004];
    let list = names
        .iter()
        .zip(sigmas)
        .map(|(n, s)| ListInput::new(n, Dist::log_normal(1.0, s).expect("valid")))
        .collect();
    let m = model(list, |x| 50_000.0 * x[0] * x[1] * x[2] / (x[3] * x[4]));
    let groups = [
        together("calibration", &["q_ref", "m_ref", "dT_c"]),
        together("determination", &["dT_s", "m_s"]),
    ];
    let s = share_out(&m, &groups, &names, 7);
    let truth = [
        (0.273_939_520_785_040_86, 0.274_053_503_332_319),
        (0.725_946_496_667_586_6, 0.726_060_479_214_858_3),
    ];
    for (g, (first, total)) in s.groups.iter().zip(truth) {
        right_and_sharp(&g.name, &g.first, first, 0.04);
        right_and_sharp(&g.name, &g.total, total, 0.04);
    }
    assert_eq!(s.ranks(), [2, 1]);
    let each = share_out(&m, &singly(&names), &names, 7);
    let t: f64 = sigmas.iter().map(|s| s * s).sum();
    for (g, sigma) in each.groups.iter().zip(sigmas) {
        let u = sigma * sigma;
        right_and_sharp(&g.name, &g.first, u.exp_m1() / t.exp_m1(), 0.04);
        let total = (-u).exp_m1() / (-t).exp_m1();
        right_and_sharp(&g.name, &g.total, total, 0.25 * total);
    }
}

#[test]
fn correlated_inputs_are_one_source() {
    // y = z1 + z2 + e with variances 1, 1, 0.4 and correlation 0.8: the pair has 3.6 of 4.
    let set = MultivariateNormal::new(vec![5.0, 7.0], &[vec![1.0, 0.8], vec![0.8, 1.0]]);
    let list = vec![
        ListInput::Correlated("pair".to_owned(), set.expect("valid")),
        ListInput::new("e", normal(0.4f64.sqrt())),
    ];
    let m = model(list, |x| x[0] + x[1] + x[2]);
    let s = share_out(&m, &singly(&["pair", "e"]), &["pair", "e"], 8);
    // Without the correlation it would be 2 of 2.4, 0.067 less.
    right_and_sharp("pair", &s.groups[0].first, 0.9, 0.03);
    right_and_sharp("e", &s.groups[1].total, 0.1, 0.03);
}

#[test]
fn a_share_of_a_thousandth_is_known_to_a_fifth_at_the_default_number_of_trials() {
    let dists: [Dist; 3] = [
        normal(0.999f64.sqrt()),
        normal(0.001f64.sqrt()),
        normal(1.0),
    ];
    let linear = model(inputs(dists), |x| x[0] + x[1]);
    // The second and third only together: a product has a heavier tail.
    let product = model(
        inputs([
            normal(0.999f64.sqrt()),
            normal(0.001f64.sqrt()),
            normal(1.0),
        ]),
        |x| x[0] + x[1] * x[2],
    );
    let models: [&dyn Model; 2] = [&linear, &product];
    for m in models {
        let all = singly(&XS[..3]);
        let s = shares(m, 0, &all, &tags(&XS[..3]), &ShareOptions::new(9)).expect("done");
        let small = &s.groups[1].total;
        assert!(small.se < 0.2 * 0.001, "{}", small.se);
        right_and_sharp("a thousandth", small, 0.001, 0.000_4);
        assert_eq!(s.ranks()[..2], [1, 2]);
    }
}
