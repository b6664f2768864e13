//! The loosest tolerances: analytic ones, monotone ones, and what a forecast says of them.

use super::{SILENT, patched};
use joulecast::design::{
    Answer, Bound, DesignOptions, Goal, Looseness, Loosest, MOST_SHORT, Outcome, Step, cap, loosen,
    looseness, upgrades,
};
use joulecast::scenario::{Raw, Scenario, builtin, shipped, shipped_names};
use joulecast::stats::Estimate;

fn options(seed: u64, trials: u64) -> DesignOptions<'static> {
    DesignOptions {
        trials,
        ..DesignOptions::new(seed)
    }
}

fn loose(scenario: &Scenario, goal: Goal, trials: u64) -> Looseness {
    looseness(scenario, goal, cap(scenario), &options(3, trials)).unwrap()
}

fn answer(l: &Looseness, key: &str) -> Answer {
    let found = l
        .tolerances
        .iter()
        .find(|x| x.source.is_some_and(|s| s.key == key));
    found.unwrap_or_else(|| panic!("{key}")).answer
}

fn factor(l: &Looseness, key: &str) -> Estimate {
    match answer(l, key) {
        Answer::Factor(f) => f,
        other => panic!("{key}: {other:?}"),
    }
}

/// Relative variances: noise 4 mK in two readings of two runs of 3 K, and a shared 0.15 %.
const LINEAR: [(&str, &str); 2] = [
    ("determination.thermometer.noise", "s = 4 mK"),
    ("determination.thermometer.gain", "u = 0.15 %"),
];
const A: f64 = (0.004 / 3.0) * (0.004 / 3.0);
const B: f64 = 0.0015 * 0.0015;

#[test]
fn the_loosest_value_of_a_linear_case_is_the_analytic_one() {
    let s = patched(SILENT, &LINEAR);
    for target in [0.0025, 0.004] {
        let l = loose(&s, Goal::Spread(target), 40_960);
        let v = target * target;
        let cases = [
            ("thermometer.noise", ((v - B) / A).sqrt()),
            ("thermometer.gain", ((v - A) / B).sqrt()),
        ];
        for (key, exact) in cases {
            let f = factor(&l, key);
            assert!(
                (f.value - exact).abs() < 5.0 * f.se,
                "{key}: {f:?} for {exact}"
            );
            // A tenth more is told apart.
            assert!((f.value - 1.1 * exact).abs() > 5.0 * f.se, "{key}");
        }
        let Answer::Factor(all) = l.together.answer else {
            panic!("{:?}", l.together.answer);
        };
        let exact = (v / (A + B)).sqrt();
        assert!(
            (all.value - exact).abs() < 5.0 * all.se,
            "{all:?} for {exact}"
        );
    }
}

#[test]
fn a_target_that_is_missed_asks_for_less_or_cannot_be_met() {
    let s = patched(SILENT, &LINEAR);
    let now = (A + B).sqrt();
    let l = loose(&s, Goal::Spread(0.9 * now), 10_240);
    let f = factor(&l, "thermometer.noise");
    let exact = ((0.81 * now * now - B) / A).sqrt();
    assert!(
        (f.value - exact).abs() < 5.0 * f.se && f.value < 1.0,
        "{f:?} for {exact}"
    );
    // Less than the shared part alone: no noise is small enough.
    let l = loose(&s, Goal::Spread(0.0012), 10_240);
    let Answer::Never(left) = answer(&l, "thermometer.noise") else {
        panic!("{:?}", answer(&l, "thermometer.noise"));
    };
    assert!((left.value - 0.0015).abs() < 5.0 * left.se, "{left:?}");
    assert!(matches!(l.together.answer, Answer::Factor(f) if f.value < 1.0));
}

#[test]
fn answers_grow_with_the_target() {
    let s = builtin().clone();
    let size = |x: &Loosest| match x.answer {
        Answer::Factor(f) => f.value,
        Answer::Any(f) => f,
        Answer::Never(_) => 0.0,
    };
    let all: Vec<Vec<Loosest>> = [0.012, 0.014, 0.02]
        .iter()
        .map(|t| loosen(&s, Goal::Spread(*t), cap(&s), &options(3, 512)).unwrap())
        .collect();
    for (i, x) in all[0].iter().enumerate() {
        let sizes: Vec<f64> = all.iter().map(|l| size(&l[i])).collect();
        let name = x.source.map_or("all", |s| s.key);
        assert!(sizes.windows(2).all(|w| w[1] >= w[0]), "{name}: {sizes:?}");
    }
}

/// Feeds every answer of a scenario back as keys of the scenario; the measure then reached.
fn fed_back(s: &Scenario, goal: Goal, trials: u64) -> Vec<(String, f64, f64)> {
    let all = loosen(s, goal, cap(s), &options(3, trials)).unwrap();
    let mut out = Vec::new();
    for x in &all[1..] {
        if !matches!(x.answer, Answer::Factor(_)) || x.set.is_empty() {
            continue;
        }
        let set: Vec<(String, Raw)> = x
            .set
            .iter()
            .map(|(k, v)| (k.clone(), Raw::Text(v.clone())))
            .collect();
        let changed = s
            .changed(&set)
            .unwrap_or_else(|p| panic!("{:?}: {p:?}", x.set));
        let o = Outcome::of(&changed, &options(3, trials)).unwrap();
        let there = goal.measure(&o);
        out.push((x.source.unwrap().key.to_owned(), there.value, there.se));
    }
    out
}

#[test]
fn feeding_an_answer_back_into_a_forecast_meets_the_target_and_hardly_more() {
    for (name, target) in [
        ("ammonium-chloride-dewar", 0.015),
        ("calcium-chloride-foam-cup", 0.03),
    ] {
        let s = patched(shipped(name).unwrap(), &[]);
        let goal = Goal::Spread(target);
        let found = fed_back(&s, goal, 1_024);
        assert!(found.len() > 4, "{name}: {found:?}");
        for (key, there, se) in &found {
            // The forecast may draw a whole record's noise at once where the search drew each reading. A spread that a
            // few far results make has no error.
            let error = if se.is_nan() { 0.0 } else { *se };
            assert!(
                *there <= target + 3.0 * error,
                "{name}, {key}: {there} for {target}"
            );
        }
        // Where the answer is cut to three figures it is hardly more than met; a change of temperature that comes near
        // zero makes a spread jump, so not in every case.
        let close =
            |(_, there, se): &&(String, f64, f64)| *there > 0.97 * target - 3.0 * se.max(0.0);
        let near = found.iter().filter(close).count();
        assert!(2 * near > found.len(), "{name}: {found:?}");
    }
}

#[test]
fn every_answer_of_every_scenario_can_be_written_back() {
    // Portions, flasks and hot water have devices of their own, legs share a balance: keys must reach all that was scaled.
    for name in shipped_names() {
        let s = patched(shipped(name).unwrap(), &[]);
        let own = Outcome::of(&s, &options(3, 512)).unwrap();
        let now = own.relative(own.errors.spread).value;
        for factor in [0.8, 1.6] {
            let target = factor * now;
            let found = fed_back(&s, Goal::Spread(target), 512);
            assert!(factor < 1.0 || found.len() > 4, "{name}: {found:?}");
            for (key, there, se) in &found {
                assert!(
                    *there <= target + 3.0 * se,
                    "{name}, {key}: {there} ± {se} for {target}"
                );
            }
        }
    }
}

#[test]
fn a_target_of_the_band_or_of_the_distance_is_met_as_well() {
    let s = patched(
        shipped("ammonium-chloride-dewar").unwrap(),
        &[("target.band", "4 %")],
    );
    for goal in [Goal::Pass(0.95), Goal::Within(0.035)] {
        let now = goal.measure(&Outcome::of(&s, &options(3, 512)).unwrap());
        assert!(goal.met(now.value), "{goal:?}: {now:?}");
        for (key, there, se) in fed_back(&s, goal, 512) {
            let over = goal.excess(there);
            assert!(over <= 3.0 * se.max(1e-9), "{goal:?}, {key}: {there}");
        }
    }
}

#[test]
fn the_smallest_number_of_runs_is_that_of_the_closed_form() {
    // V = B + A' / n for the determinations, with A' of one run; B is shared.
    let s = patched(SILENT, &LINEAR);
    let one = 2.0 * A;
    for target in [0.0021, 0.0018] {
        let l = loose(&s, Goal::Spread(target), 40_960);
        let exact = (one / (target * target - B)).ceil();
        let found = l
            .numbers
            .iter()
            .find(|n| n.path == "determination.runs")
            .unwrap();
        assert_eq!(found.least, Some(exact), "{target}");
    }
    let l = loose(&s, Goal::Spread(0.00149), 10_240);
    assert!(l.numbers.iter().all(|n| n.least.is_none()));
}

#[test]
fn a_shorter_wait_is_found_where_a_powder_leaves_room() {
    let s = patched(
        shipped("permanganate-iron-dewar").unwrap(),
        &[("target.band", "10 %")],
    );
    let waited = |target: f64| {
        let l = loose(&s, Goal::Within(target), 2_048);
        let wait = l
            .numbers
            .iter()
            .find(|n| n.path.ends_with("charge.wait"))
            .unwrap();
        wait.clone()
    };
    let at = |seconds: f64| {
        let set = [(
            "determination.charge.wait".to_owned(),
            Raw::Text(format!("{seconds} s")),
        )];
        Outcome::of(&s.changed(&set).unwrap(), &options(3, 2_048)).unwrap()
    };
    let goal = Goal::Within(0.03);
    let wait = waited(0.03);
    let least = wait.least.unwrap();
    assert!(goal.met(goal.measure(&at(least)).value), "{least}");
    let before = goal.measure(&at(0.95 * least)).value;
    assert!(!goal.met(before), "{least}: {before}");
    assert!(wait.se > 0.0 && wait.se < 0.1 * least && wait.bound.is_none());
    // A target that asks for little is reached with a powder that is not dissolved, which no study proposes.
    let lax = waited(0.2);
    assert_eq!(lax.bound, Some(Bound::Slow), "{lax:?}");
    let least = lax.least.unwrap();
    let told = |seconds: f64| {
        let set = [(
            "determination.charge.wait".to_owned(),
            Raw::Text(format!("{seconds} s")),
        )];
        let warnings = s.changed(&set).unwrap().warnings;
        warnings
            .iter()
            .any(|w| w.message.contains("not dissolved when"))
    };
    assert!(!told(least) && told(0.98 * least), "{least}");
}

#[test]
fn a_tolerance_that_is_fine_far_off_but_not_between_ends_where_it_stops_to_be() {
    // A solid a hundred times as slow gives no heat in the record at all, and so no spread either.
    let s = patched(shipped("copper-sulfate-hydration").unwrap(), &[]);
    let found = loosen(&s, Goal::Spread(0.02), cap(&s), &options(3, 512)).unwrap();
    let time = found
        .iter()
        .find(|x| x.source.is_some_and(|s| s.key == "dissolving.time"))
        .unwrap();
    assert_eq!(time.bound, Some(Bound::Slow));
    // Readings count from 180 s, and 80 s is the longer of the two times.
    let Answer::Factor(f) = time.answer else {
        panic!("{:?}", time.answer);
    };
    assert!((f.value / (180.0 / 80.0) - 1.0).abs() < 0.01, "{f:?}");
}

#[test]
fn a_window_ends_where_the_excess_would_run_out() {
    let p = patched(shipped("permanganate-iron-dewar").unwrap(), &[]);
    let goal = Goal::Within(0.03);
    let found = loosen(&p, goal, cap(&p), &options(3, 2_560)).unwrap();
    let of = |key: &str| {
        found
            .iter()
            .find(|x| x.source.is_some_and(|s| s.key == key))
            .unwrap()
    };
    let window = of("charge.window");
    assert_eq!(window.bound, Some(Bound::Excess));
    // Stated like that, iron runs out in as many runs as a study allows, and the target is met with room to spare.
    let set: Vec<(String, Raw)> = window
        .set
        .iter()
        .map(|(key, text)| (key.clone(), Raw::Text(text.clone())))
        .collect();
    let outcome = Outcome::of(&p.changed(&set).unwrap(), &options(3, 2_560)).unwrap();
    let short = outcome.ran_out.value;
    assert!(short <= MOST_SHORT && short > 0.5 * MOST_SHORT, "{short}");
    assert!(goal.measure(&outcome).value < 0.029);
    // The target ends the others.
    assert_eq!(of("dissolving.time").bound, None);
    // Where iron runs out anyway that is no reason to loosen nothing.
    let poor = patched(
        shipped("permanganate-iron-dewar").unwrap(),
        &[
            ("determination.charge.mass", "0.228 g"),
            ("determination.charge.window", "0.222 g to 0.234 g"),
        ],
    );
    let found = loosen(&poor, Goal::Within(0.03), cap(&poor), &options(3, 512)).unwrap();
    let lags = |x: &Loosest| {
        let key = x.source.map_or("", |s| s.key);
        let late = ["dissolving.mixing_time", "thermometer.lag"].contains(&key);
        late && x.bound == Some(Bound::Late)
    };
    assert!(found.iter().all(|x| x.bound.is_none() || lags(x)));
}

#[test]
fn better_instruments_help_and_worse_ones_harm() {
    let s = builtin().clone();
    let now = Outcome::of(&s, &options(3, 2_048)).unwrap();
    let all = upgrades(&s, Goal::Spread(0.01), &now, cap(&s), &options(3, 2_048)).unwrap();
    let probe = all.iter().find(|i| i.key == "probe-0.01K").unwrap();
    assert_eq!(probe.upgrades.len(), 3);
    for u in &probe.upgrades {
        let sign = match u.step {
            Step::Better(_) | Step::Perfect => -1.0,
            Step::Worse(_) => 1.0,
        };
        assert!(u.change.value * sign > 3.0 * u.change.se, "{u:?}");
    }
    let best = |u: &&joulecast::design::Upgrade| u.step == Step::Perfect;
    let perfect = probe.upgrades.iter().find(best).unwrap();
    assert!(
        probe
            .upgrades
            .iter()
            .all(|u| u.there.value >= perfect.there.value)
    );
    // The balance of the scenario is the finest there is.
    let balance = all.iter().find(|i| i.key == "analytical-0.1mg").unwrap();
    assert!(
        !balance
            .upgrades
            .iter()
            .any(|u| matches!(u.step, Step::Better(_)))
    );
}

#[test]
fn a_lab_that_calibrates_nothing_assumes_of_another_vessel_what_it_would_of_its_own() {
    // 15 J/K of cups that take 20 J/K: three quarters, and so of a Dewar of 89.4 J/K (the library's entries).
    let s = patched(shipped("peroxide-cups").unwrap(), &[]);
    let now = Outcome::of(&s, &options(3, 1_024)).unwrap();
    let all = upgrades(&s, Goal::Within(0.3), &now, cap(&s), &options(3, 1_024)).unwrap();
    let vessel = all.iter().find(|i| i.is_vessel()).unwrap();
    let dewar = Step::Better("dewar-stoppered".to_owned());
    let dewar = vessel.upgrades.iter().find(|u| u.step == dewar).unwrap();
    assert!((dewar.assumed.unwrap().0 - 0.75 * 89.4).abs() < 1e-9);
    let with = |assumed: &str| {
        let keys = [
            ("vessel.use", "dewar-stoppered"),
            ("calibration.assumed_vessel", assumed),
        ];
        let changed = patched(shipped("peroxide-cups").unwrap(), &keys);
        Goal::Within(0.3).measure(&Outcome::of(&changed, &options(3, 1_024)).unwrap())
    };
    assert_eq!(with("67.05 J/K").value, dewar.there.value);
    // What it would assume of the cups makes another procedure of it.
    assert!(with("15 J/K").value > 2.0 * dewar.there.value);
}

#[test]
fn an_exchange_that_crosses_a_bound_says_so() {
    let s = patched(shipped("urea-foam-cups").unwrap(), &[]);
    let now = Outcome::of(&s, &options(3, 256)).unwrap();
    let all = upgrades(&s, Goal::Spread(0.05), &now, cap(&s), &options(3, 256)).unwrap();
    let crossed = |step: Step| {
        let mut all = all.iter().flat_map(|i| &i.upgrades);
        all.find(|u| u.step == step).unwrap().crossed
    };
    // 0.465 K against 20 steps of 0.1 K.
    assert_eq!(
        crossed(Step::Worse("glass-0.1C".to_owned())),
        Some(Bound::SmallChange)
    );
    assert_eq!(crossed(Step::Better("thermistor-1mK".to_owned())), None);
}
