//! Holding sources leaves what their shares say; and what any study must do.

use super::{model, normal, right, share_out, singly, tags};
use crate::judge::{agrees, near};
use crate::published::inputs;
use joulecast::engine::{EngineError, Model, Study};
use joulecast::random::{Dist, Plan, Tag, Treatment};
use joulecast::rank::{BATCHES, ShareOptions, Shares, remaining, shares};
use joulecast::stats::{Estimate, Moments};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

const XS: [&str; 3] = ["X1", "X2", "X3"];

fn exponential() -> Dist {
    Dist::exponential(0.0, 1.0).expect("valid")
}

/// Product of two exponentials of mean 1: V = 3, S = 1/3, S_T = 2/3.
fn product() -> impl Model {
    model(inputs([exponential(), exponential()]), |x| x[0] * x[1])
}

/// x1 (1 + x2) with standard normals: V = 2; S 1/2 and 0, S_T 1 and 1/2.
fn lopsided() -> impl Model {
    model(inputs([normal(1.0), normal(1.0)]), |x| x[0] * (1.0 + x[1]))
}

/// One block for each of many held values.
fn many() -> ShareOptions<'static> {
    ShareOptions {
        batches: 4_096,
        ..ShareOptions::new(11)
    }
}

fn left(m: &dyn Model, held: &[&str]) -> Estimate {
    remaining(m, 0, &tags(held), &many()).expect("not interrupted")
}

#[test]
fn holding_a_source_leaves_what_it_does_not_claim() {
    // V (1 - S): 0.667 and 0.5 of V; of nothing, all.
    assert!(agrees(left(&product(), &["X1"]), 3.0 * (1.0 - 1.0 / 3.0)));
    assert!(agrees(left(&lopsided(), &["X1"]), 2.0 * (1.0 - 0.5)));
    assert!(agrees(left(&lopsided(), &["X2"]), 2.0));
    assert!(agrees(left(&lopsided(), &[]), 2.0));
    assert!(!agrees(left(&lopsided(), &["X1"]), 2.0));
}

#[test]
fn holding_all_others_leaves_the_total_share() {
    // V S_T: 1 - 0.333 of V; and the whole of V, though x1 alone makes half.
    assert!(agrees(left(&product(), &["X2"]), 3.0 * (2.0 / 3.0)));
    assert!(agrees(left(&lopsided(), &["X2"]), 2.0 * 1.0));
    assert!(agrees(left(&lopsided(), &["X1"]), 2.0 * 0.5));
    assert_eq!(left(&lopsided(), &["X1", "X2"]).value, 0.0);
}

#[test]
fn holding_at_the_middle_is_no_substitute() {
    let plan = Plan::new().with(Tag::of("X1"), Treatment::At(0.5));
    let study = Study {
        plan,
        ..Study::new(11)
    };
    let y = study
        .run(&product(), 100_000)
        .expect("done")
        .columns
        .remove(0);
    let sd = Moments::of(&y).sd();
    // ln 2 squared, 0.48 instead of 2.
    assert!(agrees(sd, std::f64::consts::LN_2));
    assert!(!agrees(sd, 2.0f64.sqrt()));
}

#[test]
fn shares_and_held_variances_agree() {
    // Many short batches, because squares of products of exponentials have a long tail.
    let options = ShareOptions::new(12).trials(400_000);
    for (m, truth) in [
        (&product() as &dyn Model, [(1.0 / 3.0, 2.0 / 3.0); 2]),
        (&lopsided(), [(0.5, 1.0), (0.0, 0.5)]),
    ] {
        let s = shares(m, 0, &singly(&XS[..2]), &tags(&XS[..2]), &options).expect("done");
        for (i, (first, total)) in truth.into_iter().enumerate() {
            let g = &s.groups[i];
            assert!(right(&g.first, first) && right(&g.total, total), "{g:?}");
            let held = left(m, &[XS[i]]);
            let expected = s.variance.value * (1.0 - g.first.value);
            let se = (s.variance.value * g.first.se)
                .hypot(s.variance.se)
                .hypot(held.se);
            assert!(near(held.value, expected, se, super::Z));
            assert!(!near(1.25 * held.value, expected, se, super::Z));
        }
    }
}

#[test]
fn the_number_of_threads_decides_nothing() {
    let on = |threads: usize| -> Shares {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.expect("threads")
            .install(|| share_out(&lopsided(), &singly(&XS[..2]), &XS[..2], 13))
    };
    assert_eq!(on(1), on(3));
    assert_ne!(
        on(1),
        share_out(&lopsided(), &singly(&XS[..2]), &XS[..2], 14)
    );
}

#[test]
fn other_groups_decide_nothing() {
    let both = share_out(&lopsided(), &singly(&XS[..2]), &XS[..2], 15);
    let one = share_out(&lopsided(), &singly(&XS[1..2]), &XS[..2], 15);
    assert_eq!(both.groups[1], one.groups[0]);
    assert_eq!(both.variance, one.variance);
    // Nor does a tag that the model never asks for.
    assert_eq!(both, share_out(&lopsided(), &singly(&XS[..2]), &XS, 15));
}

#[test]
fn results_that_are_not_finite_are_counted_and_left_out() {
    // x3 beyond 2 spoils a trial: 2.275 % of A, B and of the group that draws x3 anew.
    let m = model(inputs([normal(1.0), normal(1.0), normal(1.0)]), |x| {
        if x[2] > 2.0 {
            f64::NAN
        } else {
            x[0] + 2.0 * x[1]
        }
    });
    let s = share_out(&m, &singly(&XS[..2]), &XS, 16);
    // A and B must both be finite; the groups follow A.
    let p = 1.0 - (1.0 - 0.022_750_131_948_179_2f64).powi(2);
    let n = s.trials as f64;
    assert!(near(
        s.nonfinite as f64,
        n * p,
        (n * p * (1.0 - p)).sqrt(),
        super::Z
    ));
    assert!(s.nonfinite > 0 && right(&s.groups[0].first, 0.2) && right(&s.groups[1].total, 0.8));
    assert!(!right(&s.groups[0].first, 0.25));
}

#[test]
fn a_result_without_variance_has_no_shares() {
    let m = model(inputs([normal(1.0)]), |_| 3.0);
    let s = share_out(&m, &singly(&XS[..1]), &XS[..1], 17);
    assert_eq!(s.variance.value, 0.0);
    assert!(s.groups[0].first.value.is_nan() && s.groups[0].total.value.is_nan());
    assert_eq!(s.ranks(), [1]);
    let nobody = share_out(&m, &[], &XS[..1], 17);
    assert_eq!((nobody.groups.len(), nobody.sum_total.value), (0, 0.0));
}

#[test]
fn an_interruption_is_obeyed_and_progress_told() {
    let flag = AtomicBool::new(true);
    let stopped = ShareOptions {
        interrupt: Some(&flag),
        ..ShareOptions::new(18)
    };
    let run = |o: &ShareOptions| shares(&product(), 0, &singly(&XS[..2]), &tags(&XS[..2]), o);
    assert_eq!(run(&stopped).unwrap_err(), EngineError::Interrupted);
    let held = remaining(&product(), 0, &[], &stopped);
    assert_eq!(held.unwrap_err(), EngineError::Interrupted);
    let seen = AtomicU64::new(0);
    let tell = |n: u64| seen.store(n, Ordering::Relaxed);
    let told = ShareOptions {
        progress: Some(&tell),
        ..ShareOptions::new(18).trials(30_000)
    };
    let s = run(&told).expect("done");
    assert_eq!(seen.load(Ordering::Relaxed), told.rounded());
    assert_eq!((s.trials, told.rounded()), (32_768, 32_768));
    assert_eq!(s.groups[0].total.batches.len(), BATCHES);
}
