//! Better sources: bias, spread and root mean square with and without them.

use super::{Z, model, normal, singly, together};
use crate::judge::{agrees, near};
use crate::published::inputs;
use joulecast::engine::Model;
use joulecast::random::Dist;
use joulecast::random::Treatment;
use joulecast::rank::{Effect, ShareOptions, State, WhatIf, what_if};
use joulecast::stats::Estimate;

const TREATMENTS: [Treatment; 2] = [Treatment::Perfect, Treatment::Scaled(0.5)];

/// A one-sided error of mean 0.3 and a symmetric one of deviation 0.4. An exponential input of a
/// list has its mean for its perfect value, so the loss is made of one about zero: its perfect
/// value is 0.
fn measured() -> impl Model {
    use joulecast::engine::ListInput;
    use joulecast::random::Input;
    let loss = Input::error(Dist::exponential(0.0, 0.3).expect("valid"));
    let mut list = inputs([normal(0.4)]);
    list.push(ListInput::One("loss".to_owned(), loss));
    model(list, |x| x[0] + x[1])
}

fn run(seed: u64) -> WhatIf {
    let mut groups = singly(&["X1", "loss"]);
    groups.push(together("both", &["X1", "loss"]));
    what_if(
        &measured(),
        0,
        &groups,
        &TREATMENTS,
        &ShareOptions::new(seed),
    )
    .expect("done")
}

/// Mean, deviation and root mean square with both errors scaled.
fn exact(noise: f64, loss: f64) -> [f64; 3] {
    let (mean, variance) = (0.3 * loss, (0.4 * noise).powi(2) + (0.3 * loss).powi(2));
    [mean, variance.sqrt(), (variance + mean * mean).sqrt()]
}

fn numbers(s: &State) -> [Estimate; 3] {
    [s.mean, s.sd, s.rms]
}

fn is(s: &State, truth: [f64; 3]) -> bool {
    // Rounding where nothing is random.
    numbers(s)
        .iter()
        .zip(truth)
        .all(|(e, t)| near(e.value, t, e.se.max(1e-16), Z))
}

#[test]
fn each_treatment_leaves_what_it_should() {
    let w = run(21);
    assert!(is(&w.now, exact(1.0, 1.0)), "{w:?}");
    let left = [
        [exact(0.0, 1.0), exact(0.5, 1.0)],
        [exact(1.0, 0.0), exact(1.0, 0.5)],
        [exact(0.0, 0.0), exact(0.5, 0.5)],
    ];
    let now = exact(1.0, 1.0);
    for (group, left) in w.groups.iter().zip(left) {
        for (effect, left) in group.effects.iter().zip(left) {
            assert!(is(&effect.treated, left), "{} {effect:?}", group.name);
            let gain = [now[0] - left[0], now[1] - left[1], now[2] - left[2]];
            assert!(is(&effect.gain, gain), "{} {effect:?}", group.name);
            // The treatment is seen: the old state does not fit.
            assert!(!is(&effect.treated, now));
        }
    }
}

#[test]
fn a_one_sided_error_biases_more_than_it_spreads() {
    let w = run(22);
    let effect = |g: usize, t: usize| -> &Effect { &w.groups[g].effects[t] };
    let (noise, loss) = (effect(0, 0), effect(1, 0));
    assert!(agrees(loss.gain.mean, 0.3) && agrees(noise.gain.mean, 0.0));
    assert!(noise.gain.sd.value > loss.gain.sd.value);
    assert!(noise.gain.rms.value < loss.gain.rms.value + 0.1);
    assert_eq!(loss.treatment, Treatment::Perfect);
    // Half the loss, half the bias, exactly: the same draws.
    let half = effect(1, 1);
    assert!((2.0 * half.gain.mean.value - loss.gain.mean.value).abs() < 1e-12);
}

#[test]
fn pairs_know_more_than_their_two_sides() {
    let half = run(23).groups[1].effects[1];
    let apart = |now: Estimate, treated: Estimate| now.se.hypot(treated.se);
    let now = run(23).now;
    assert!(half.gain.mean.se < 0.5 * apart(now.mean, half.treated.mean));
    assert!(half.gain.sd.se < 0.6 * apart(now.sd, half.treated.sd));
    assert!(half.gain.rms.se < 0.6 * apart(now.rms, half.treated.rms));
}

#[test]
fn stated_errors_are_honest() {
    const SEEDS: u64 = 200;
    let all: Vec<WhatIf> = (0..SEEDS).map(|s| run(3_000 + s)).collect();
    // A relative error 1/sqrt(2 n) of a deviation from n repetitions.
    let allowed = Z / (2.0 * SEEDS as f64).sqrt();
    for (group, treatment) in [(0, 0), (1, 0), (1, 1), (2, 1)] {
        for statistic in 0..3 {
            let found: Vec<Estimate> = all
                .iter()
                .map(|w| numbers(&w.groups[group].effects[treatment].gain)[statistic])
                .collect();
            let n = SEEDS as f64;
            let mean = found.iter().map(|e| e.value).sum::<f64>() / n;
            let stated = found.iter().map(|e| e.se).sum::<f64>() / n;
            let squares: f64 = found.iter().map(|e| (e.value - mean).powi(2)).sum();
            let ratio = (squares / (n - 1.0)).sqrt() / stated;
            assert!(
                (ratio - 1.0).abs() < allowed,
                "{group} {treatment} {statistic}: {ratio}"
            );
            assert!((2.0 * ratio - 1.0).abs() > allowed);
        }
    }
}

#[test]
fn a_treatment_that_breaks_the_model_is_counted_and_spoils_no_other() {
    // Made perfect, x1 is 0 and the quotient is not finite.
    let m = model(inputs([normal(1.0), normal(1.0)]), |x| {
        x[1] + 1.0 / x[0].signum() * f64::from(u8::from(x[0] != 0.0)) + 0.0 / x[0]
    });
    let groups = singly(&["X1", "X2"]);
    let w = what_if(&m, 0, &groups, &TREATMENTS, &ShareOptions::new(24)).expect("done");
    let (broken, sound) = (&w.groups[0].effects[0], &w.groups[1].effects[0]);
    assert_eq!(
        (broken.nonfinite, w.nonfinite, sound.nonfinite),
        (w.trials, 0, 0)
    );
    assert!(broken.gain.rms.value.is_nan());
    // Without x2 only the sign of x1 is left: deviation 1, root mean square 1.
    assert!((sound.treated.rms.value - 1.0).abs() < 1e-12);
    assert!(agrees(sound.gain.sd, 2.0f64.sqrt() - 1.0));
}
