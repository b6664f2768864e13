//! Sweeps and loosest tolerances against an independent simulation of the same equations.
//!
//! Reference: tests/reference/dewar_chain.py (numpy, written from the equations alone), 600,000 trials a point, seed 41,
//! with the settings beside each point: `python3 tests/reference/dewar_chain.py --trials 600000 --seed 41 --set ...`.

use super::patched;
use joulecast::design::{Answer, DesignOptions, Goal, Outcome, Vary, cap, loosen, sweep};
use joulecast::scenario::{Scenario, builtin_text};
use joulecast::stats::Estimate;

/// The reference has a thermometer without lag.
fn scenario() -> Scenario {
    patched(builtin_text(), &[("thermometer.lag", "0 s")])
}

fn options(trials: u64) -> DesignOptions<'static> {
    DesignOptions {
        trials,
        ..DesignOptions::new(9)
    }
}

fn z(got: Estimate, want: Estimate) -> f64 {
    (got.value - want.value) / got.se.hypot(want.se)
}

/// Bias, spread and the median of a student's half-width, J/mol.
struct Reference {
    bias: Estimate,
    spread: Estimate,
    student: f64,
}

fn holds(what: &str, o: &Outcome, r: &Reference) {
    assert!(
        z(o.errors.bias, r.bias).abs() < 5.0,
        "{what}: {:?}",
        o.errors.bias
    );
    let spread = z(o.errors.spread, r.spread);
    assert!(spread.abs() < 5.0, "{what}: {:?}", o.errors.spread);
    // The median of a scatter over so many groups is good to half a percent.
    let student = o.student.unwrap().value / r.student;
    assert!((student - 1.0).abs() < 0.015, "{what}: {student}");
    // Three percent more spread is told apart.
    let more = Estimate::new(1.03 * r.spread.value, r.spread.se);
    assert!(z(o.errors.spread, more).abs() > 5.0, "{what}");
}

fn outcomes(texts: &[&str]) -> Vec<Outcome> {
    let s = scenario();
    let vary = texts.iter().map(|t| Vary::parse(t, &s).unwrap()).collect();
    let found = sweep(&s, vary, None, cap(&s), &options(40_960)).unwrap();
    found
        .points
        .into_iter()
        .map(|p| p.outcome.unwrap())
        .collect()
}

/// Student t at 97.5 % over the root of n: what a standard deviation becomes (tables).
const HALF_WIDTH: [(usize, f64); 3] = [(2, 8.984_643), (3, 2.484_138), (4, 1.591_223)];

fn half_width(sd: f64, n: usize) -> f64 {
    sd * HALF_WIDTH.iter().find(|(m, _)| *m == n).unwrap().1
}

#[test]
fn a_sweep_of_the_mass_is_that_of_the_independent_simulation() {
    let found = outcomes(&["determination.charge.mass = 0.8 g to 3.2 g in 2"]);
    // --set det.window=0.775,0.825 and --set det.window=3.1,3.3
    let references = [
        Reference {
            bias: Estimate::new(-21.32, 0.25),
            spread: Estimate::new(195.97, 0.18),
            student: half_width(151.419, 3),
        },
        Reference {
            bias: Estimate::new(-9.41, 0.22),
            spread: Estimate::new(173.91, 0.16),
            student: half_width(52.854, 3),
        },
    ];
    for (o, r) in found.iter().zip(&references) {
        holds("mass", o, r);
    }
}

#[test]
fn a_map_of_numbers_of_runs_is_that_of_the_independent_simulation() {
    let found = outcomes(&[
        "calibration.runs = 1 to 4 by 3",
        "determination.runs = 2 to 4 by 2",
    ]);
    // --set cal.runs=1 --set det.runs=2, and --set cal.runs=4 --set det.runs=4
    let few = Reference {
        bias: Estimate::new(-13.09, 0.31),
        spread: Estimate::new(239.78, 0.22),
        student: half_width(67.179, 2),
    };
    let many = Reference {
        bias: Estimate::new(-13.24, 0.17),
        spread: Estimate::new(135.30, 0.12),
        student: half_width(88.296, 4),
    };
    holds("1 + 2", &found[0], &few);
    holds("4 + 4", &found[3], &many);
}

#[test]
fn the_loosest_tolerances_are_those_of_the_independent_simulation() {
    // 1.5 % of 14780 J/mol are 221.7 J/mol. Spreads of the reference on both sides of it, interpolated:
    // --set thermo.noise=0.00465 and 0.00495 (1.55 and 1.65 times): 219.60(20), 228.78(21);
    // --set vessel.eta=0.076 and 0.08 (3.8 and 4 times): 220.60(20), 225.11(21).
    let between = |factors: [f64; 2], spreads: [f64; 2]| {
        let slope = (spreads[1] - spreads[0]) / (factors[1] - factors[0]);
        Estimate::new(factors[0] + (221.7 - spreads[0]) / slope, 0.2 / slope)
    };
    let cases = [
        ("thermometer.noise", between([1.55, 1.65], [219.60, 228.78])),
        ("vessel.run_to_run", between([3.8, 4.0], [220.60, 225.11])),
    ];
    let found = loosen(
        &scenario(),
        Goal::Spread(0.015),
        cap(&scenario()),
        &options(5_120),
    )
    .unwrap();
    for (key, want) in cases {
        let own = found
            .iter()
            .find(|l| l.source.is_some_and(|s| s.key == key))
            .unwrap();
        let Answer::Factor(got) = own.answer else {
            panic!("{key}: {:?}", own.answer);
        };
        assert!(z(got, want).abs() < 5.0, "{key}: {got:?} for {want:?}");
        let wrong = Estimate::new(1.3 * want.value, want.se);
        assert!(z(got, wrong).abs() > 5.0, "{key}: {got:?}");
    }
}
