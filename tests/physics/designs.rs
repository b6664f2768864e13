//! Sweeps of scenarios: what the theory of their parts says, bounds, and what must not change.

use super::{SILENT, patched};
use joulecast::design::{
    Beyond, Bound, DesignOptions, Goal, Limit, MOST_SHORT, NoSplit, Outcome, Sweep, Vary, cap,
    changes, limit_of, split, sweep,
};
use joulecast::scenario::{Raw, Scenario, SourceId, builtin, shipped};

fn options(trials: u64) -> DesignOptions<'static> {
    DesignOptions {
        trials,
        ..DesignOptions::new(7)
    }
}

fn swept(scenario: &Scenario, vary: &[&str], goal: Option<Goal>, trials: u64) -> Sweep {
    let vary = vary.iter().map(|text| Vary::parse(text, scenario).unwrap());
    let cap = cap(scenario);
    sweep(scenario, vary.collect(), goal, cap, &options(trials)).unwrap()
}

/// Relative spreads along a sweep.
fn spreads(s: &Sweep) -> Vec<f64> {
    let of = |o: &Outcome| o.relative(o.errors.spread).value;
    s.points
        .iter()
        .map(|p| of(p.outcome.as_ref().unwrap()))
        .collect()
}

const MASSES: &str = "determination.charge.mass = 2 g to 8 g by 0.5 g";
const NOISE: (&str, &str) = ("determination.thermometer.noise", "s = 4 mK");
const SHARED: (&str, &str) = ("determination.thermometer.gain", "u = 0.15 %");

#[test]
fn noise_of_the_determination_alone_goes_as_one_over_the_mass() {
    let s = swept(&patched(SILENT, &[NOISE]), &[MASSES], None, 2_560);
    let all = spreads(&s);
    let times_mass: Vec<f64> = all
        .iter()
        .zip(&s.points)
        .map(|(u, p)| u * p.at[0])
        .collect();
    // On the same random numbers the law is exact but for the second order of the errors.
    for x in &times_mass {
        assert!((x / times_mass[0] - 1.0).abs() < 1e-3, "{times_mass:?}");
    }
    // Two readings of 4 mK in each of two runs of 3 K at 7.195 g.
    let want = 7.195 * 0.004 / 3.0;
    let o = &s.points[0].outcome.as_ref().unwrap();
    let se = o.errors.spread.se / o.target.abs() * s.points[0].at[0];
    assert!(
        (times_mass[0] - want).abs() < 5.0 * se + 0.002 * want,
        "{times_mass:?} {want}"
    );
}

#[test]
fn a_shared_relative_error_alone_does_not_depend_on_the_mass() {
    let all = spreads(&swept(&patched(SILENT, &[SHARED]), &[MASSES], None, 2_560));
    for u in &all {
        assert!((u / all[0] - 1.0).abs() < 1e-6, "{all:?}");
    }
    assert!((all[0] / 0.0015 - 1.0).abs() < 0.1);
}

#[test]
fn the_mass_where_both_are_equal_is_found_within_a_step() {
    // Noise equals the shared part where 0.004 K / (3 K m / 7.195 g) = 0.15 %; the sum is then sqrt 2 of either.
    let crossing = 7.195 * 0.004 / (3.0 * 0.0015);
    let goal = Goal::Spread(0.0015 * 2f64.sqrt());
    let both = patched(SILENT, &[NOISE, SHARED]);
    let fine = "determination.charge.mass = 4 g to 8 g by 0.25 g";
    let s = swept(&both, &[fine], Some(goal), 40_960);
    let window = s.window.unwrap();
    let found = window.ends[0];
    // The spread itself is known to 1/sqrt(2 x 40960) = 0.35 %, which moves the crossing by four times that.
    let known = 4.0 * 0.0035 * crossing / 2f64.sqrt();
    // The end is looked for in tenths of the step.
    assert!(
        found - crossing < 0.025 + 5.0 * known && crossing - found < 5.0 * known,
        "{found} for {crossing}"
    );
    // The slope there is -u / (2 m): the error of the spread moves the end by 2 m / u of itself.
    let se = 2.0 * found * 0.5 / (2.0 * 40_960f64).sqrt() * 2.0;
    assert!((window.se[0] / se - 1.0).abs() < 0.3, "{window:?} for {se}");
    // Of the end of the range the trials know nothing.
    assert!(window.ends[1] == 8.0 && window.se[1].is_nan());
    assert_eq!(window.beyond, [Beyond::Missed, Beyond::NotLookedAt]);
    assert!((window.fineness[0] - 0.025).abs() < 1e-9);
    // Half the noise moves the crossing to half the mass, out of the range.
    let quiet = patched(
        SILENT,
        &[("determination.thermometer.noise", "s = 2 mK"), SHARED],
    );
    let all = swept(&quiet, &[fine], Some(goal), 2_560).window.unwrap();
    assert_eq!(
        (all.ends, all.beyond),
        ([4.0, 8.0], [Beyond::NotLookedAt; 2])
    );
}

#[test]
fn noise_of_the_calibration_is_a_floor_under_the_mass_of_the_sample() {
    let calibration = ("calibration.thermometer.noise", "s = 4 mK");
    let alone = spreads(&swept(
        &patched(SILENT, &[calibration]),
        &[MASSES],
        None,
        2_560,
    ));
    for u in &alone {
        assert!((u / alone[0] - 1.0).abs() < 1e-6, "{alone:?}");
    }
    let both = spreads(&swept(
        &patched(SILENT, &[calibration, NOISE]),
        &[MASSES],
        None,
        40_960,
    ));
    let noise = spreads(&swept(&patched(SILENT, &[NOISE]), &[MASSES], None, 40_960));
    let floor = spreads(&swept(
        &patched(SILENT, &[calibration]),
        &[MASSES],
        None,
        40_960,
    ));
    for i in 0..both.len() {
        let sum = noise[i].hypot(floor[i]);
        assert!(
            (both[i] / sum - 1.0).abs() < 5.0 * 0.0035,
            "{both:?} {noise:?} {floor:?}"
        );
        assert!(both[i] > floor[i]);
    }
}

#[test]
fn points_that_two_sweeps_share_agree_bit_for_bit() {
    let scenario = builtin().clone();
    let coarse = swept(
        &scenario,
        &["determination.charge.mass = 1 g to 2 g by 0.5 g"],
        None,
        1_024,
    );
    let fine = swept(
        &scenario,
        &["determination.charge.mass = 500 mg to 2500 mg by 250 mg"],
        None,
        1_024,
    );
    for (i, j) in [(0, 2), (1, 4), (2, 6)] {
        let (a, b) = (&coarse.points[i], &fine.points[j]);
        assert_eq!(a.at, b.at);
        let of = |p: &joulecast::design::SweepPoint| {
            let o = p.outcome.as_ref().unwrap();
            [
                o.errors.spread,
                o.errors.bias,
                o.errors.rms,
                o.errors.within,
            ]
            .map(|e| [e.value.to_bits(), e.se.to_bits()])
        };
        assert_eq!(of(a), of(b));
    }
    // The point that the scenario itself is has the numbers of the scenario itself.
    let own = Outcome::of(&scenario, &options(1_024)).unwrap();
    let mass = scenario.determination.mass.0;
    let same = swept(
        &scenario,
        &[&format!("determination.charge.mass = {mass} g")],
        None,
        1_024,
    );
    let there = same.points[0].outcome.as_ref().unwrap();
    assert!((there.errors.spread.value / own.errors.spread.value - 1.0).abs() < 1e-9);
    let other = &coarse.points[0].outcome.as_ref().unwrap().errors.spread;
    assert!((other.value / own.errors.spread.value - 1.0).abs() > 1e-3);
}

#[test]
fn a_window_moves_with_its_target_mass_in_proportion_unless_it_is_varied_itself() {
    let scenario = builtin().clone();
    let mass = scenario.determination.mass.0;
    let width = |s: &Scenario| {
        let d = &s.determination.binding(SourceId::Window).input.dist;
        d.quantile(1.0) - d.quantile(0.0)
    };
    let parameter = |text: &str| Vary::parse(text, &scenario).unwrap();
    let twice = parameter(&format!("determination.charge.mass = {} g", 2.0 * mass));
    let set = |pairs: &[(&joulecast::design::Parameter, f64)]| {
        scenario.changed(&changes(&scenario, pairs)).unwrap()
    };
    let moved = set(&[(&twice.parameter, 2.0 * mass)]);
    assert_eq!(moved.determination.mass.0, 2.0 * mass);
    assert!((width(&moved) / width(&scenario) - 2.0).abs() < 1e-9);
    // The calibration keeps its own.
    assert_eq!(moved.calibration.mass, scenario.calibration.mass);
    let window = parameter("determination.charge.window = 10 mg");
    let both = set(&[(&twice.parameter, 2.0 * mass), (&window.parameter, 0.01)]);
    assert!((width(&both) - 0.02).abs() < 1e-9, "{}", width(&both));
}

#[test]
fn bounds_are_labelled_where_they_lie() {
    let s = builtin().clone();
    // Ammonium chloride: about 38 g in 100 g of water (CRC Handbook, from memory): 150 mL take up less than 60 g.
    let much = swept(
        &s,
        &["determination.charge.mass = 2 g to 82 g by 20 g"],
        None,
        512,
    );
    let bounds =
        |p: &joulecast::design::SweepPoint| p.zones.iter().map(|z| z.bound).collect::<Vec<_>>();
    assert!(much.points[0].zones.is_empty());
    assert_eq!(bounds(&much.points[4]), [Bound::Solubility]);
    assert!(much.points[4].outcome.is_none());
    // More permanganate than the iron can reduce.
    let p = patched(shipped("permanganate-iron-dewar").unwrap(), &[]);
    let limits = swept(
        &p,
        &["determination.charge.mass = 0.15 g to 0.35 g by 0.1 g"],
        None,
        512,
    );
    assert!(!bounds(&limits.points[0]).contains(&Bound::Excess));
    assert!(bounds(&limits.points[2]).contains(&Bound::Excess));
    assert!(limits.points[2].outcome.is_some());
    // At 0.228 g there is iron enough by the plan, but not in every run.
    let goal = Goal::Within(0.05);
    let some = swept(
        &p,
        &["determination.charge.mass = 0.19 g to 0.228 g in 2"],
        Some(goal),
        5_120,
    );
    let ran_out = |i: usize| some.points[i].outcome.as_ref().unwrap().ran_out.value;
    assert!(
        ran_out(0) < 1e-3 && (0.15..0.3).contains(&ran_out(1)),
        "{} {}",
        ran_out(0),
        ran_out(1)
    );
    assert_eq!(bounds(&some.points[0]), []);
    assert_eq!(bounds(&some.points[1]), [Bound::Excess]);
    let window = some.window.clone().unwrap();
    assert_eq!(window.beyond[1], Beyond::Bound(Bound::Excess));
    // A tenth of a step further iron runs out in more than a hundredth of the runs, at the end in fewer.
    let at = |mass: f64| {
        let text = format!("determination.charge.mass = {mass} g");
        swept(&p, &[&text], None, 5_120).points[0]
            .outcome
            .as_ref()
            .unwrap()
            .ran_out
            .value
    };
    assert!(at(window.ends[1]) <= MOST_SHORT && at(window.ends[1] + 0.0038) > MOST_SHORT);
    // More runs than fit into the session of three hours.
    let many = swept(&p, &["runs = 2 to 5"], None, 512);
    let long: Vec<bool> = many
        .points
        .iter()
        .map(|p| bounds(p).contains(&Bound::Session))
        .collect();
    let time = |i: usize| many.points[i].outcome.as_ref().unwrap().cost.time.unwrap() / 3600.0;
    assert_eq!(long, [0, 1, 2, 3].map(|i| time(i) > 3.0));
    assert_eq!(long, [false, false, true, true]);
    // A shorter wait than the powder takes to dissolve.
    let short = swept(
        &p,
        &["determination.charge.wait = 2 min to 16 min by 7 min"],
        None,
        512,
    );
    assert!(bounds(&short.points[0]).contains(&Bound::Slow));
    assert!(!bounds(&short.points[2]).contains(&Bound::Slow));
    // Too little to read, and too hot.
    let little = swept(
        &s,
        &["determination.charge.mass = 0.05 g to 1.55 g by 0.5 g"],
        None,
        512,
    );
    assert_eq!(bounds(&little.points[0]), [Bound::SmallChange]);
    let vary = Vary::parse("determination.charge.mass = 1 g to 3 g by 1 g", &s).unwrap();
    let capped = sweep(&s, vec![vary], None, 0.7, &options(512)).unwrap();
    let hot: Vec<bool> = capped
        .points
        .iter()
        .map(|p| bounds(p).contains(&Bound::LargeChange))
        .collect();
    assert_eq!(hot, [false, true, true]);
    // What the scenario is beyond anyway is said once, and bars no point.
    let u = patched(
        shipped("ammonium-chloride-dewar").unwrap(),
        &[
            ("calibration.charge.mass", "0.04 g"),
            ("calibration.charge.window", "0.038 g to 0.042 g"),
        ],
    );
    let warned = swept(&u, &["determination.runs = 1 to 3"], None, 512);
    assert!(!warned.throughout.is_empty());
    assert!(warned.points.iter().all(|p| p.zones.is_empty()));
}

#[test]
fn counts_tolerances_times_and_two_numbers_at_once_can_be_varied() {
    let s = builtin().clone();
    for text in [
        "runs = 1 to 3",
        "calibration.runs = 1 to 2",
        "liquid.volume = 100 mL to 200 mL by 50 mL",
        "thermometer.noise = 1 mK to 5 mK in 3",
        "u(thermometer.noise) = 1 mK to 5 mK in 3",
        "u(calibration.reaction.enthalpy) = 10 J/mol to 100 J/mol in 2",
        "room.temperature = 18 C to 24 C by 3 K",
        "record.interval = 5 s to 15 s by 5 s",
        "record.after = 300 s to 500 s in 2",
        "charge.window = 5 mg to 20 mg in 2",
        "determination.dissolving.time = 20 s to 60 s by 20 s",
        "vessel.heat_capacity = 30 J/K to 60 J/K in 2",
        "liquid.rinse = 0.1 mL to 1 mL in 2",
    ] {
        let found = swept(&s, &[text], None, 256);
        let usable = found.points.iter().filter(|p| p.outcome.is_some()).count();
        assert_eq!(
            usable,
            found.points.len(),
            "{text}: {:?}",
            found.points[0].zones
        );
    }
    // From where the noise carries the reading over several of the display's last digits (10 mK); below that the
    // rounding of a quiet record costs more.
    let more = swept(
        &s,
        &["thermometer.noise = 5 mK to 20 mK by 5 mK"],
        None,
        1_024,
    );
    let all = spreads(&more);
    assert!(all.windows(2).all(|w| w[1] > w[0]), "{all:?}");
    let map = swept(
        &s,
        &["calibration.runs = 1 to 3", "determination.runs = 1 to 2"],
        None,
        256,
    );
    let at: Vec<Vec<f64>> = map.points.iter().map(|p| p.at.clone()).collect();
    assert_eq!(
        at[..4],
        [[1.0, 1.0], [2.0, 1.0], [3.0, 1.0], [1.0, 2.0]].map(Vec::from)
    );
    for bad in [
        "determination.charge.mas = 1 g to 2 g",
        "determination.charge.mass = 2 g to 1 g",
        "determination.charge.mass = 1 K to 2 K",
        "determination.charge.mass = 1 g to 2 g by 0 g",
        "determination.charge.mass = 1 g to 2 g by 5 g",
        "determination.charge.mass = -1 g to 2 g",
        "thermometer.noise = -1 mK to 2 mK",
        "calibration.runs = 1.5 to 2",
        "title = 1 to 2",
        "u(runs) = 1 to 2",
        "runs",
    ] {
        assert!(Vary::parse(bad, &s).is_err(), "{bad}");
    }
    // A second number must not undo the first.
    let vary = |text: &str| Vary::parse(text, &s).unwrap();
    let runs = vary("runs = 1 to 2");
    assert!(runs.overlaps(&vary("calibration.runs = 1 to 2")));
    assert!(
        vary("thermometer.noise = 1 mK to 2 mK")
            .overlaps(&vary("u(thermometer.noise) = 1 mK to 2 mK"))
    );
    assert!(!runs.overlaps(&vary("determination.charge.mass = 1 g to 2 g")));
}

#[test]
fn a_recorded_window_costs_next_to_nothing_and_a_nominal_mass_what_the_limits_say() {
    // Common practice, no source: a window of +-2 % about the target mass.
    let window = [
        ("determination.charge.window", "7.0511 g to 7.3389 g"),
        ("calibration.charge.window", "4.08758 g to 4.25442 g"),
    ];
    let spread = |more: &[(&str, &str)]| {
        let changes = [&[NOISE, SHARED][..], more].concat();
        let o = Outcome::of(&patched(SILENT, &changes), &options(40_960)).unwrap();
        o.relative(o.errors.spread)
    };
    let without = spread(&[]);
    let recorded = spread(&window);
    assert!(
        (recorded.value / without.value - 1.0).abs() < 0.01,
        "{recorded:?} {without:?}"
    );
    let nominal = spread(&[&window[..], &[("lab.mass", "nominal")]].concat());
    // Rectangular limits of 2 % in each of two runs of both kinds: 2 % / sqrt 3 / sqrt 2, twice.
    let want = without.value.hypot(0.02 / 3f64.sqrt());
    assert!(
        (nominal.value - want).abs() < 5.0 * nominal.se + 0.005 * want,
        "{nominal:?} for {want}"
    );
    assert!((nominal.value - without.value.hypot(0.02)).abs() > 5.0 * nominal.se);
}

#[test]
fn runs_are_split_as_their_scatter_and_price_ask() {
    // Only the determinations scatter: they get all runs but one.
    let lopsided = patched(SILENT, &[NOISE]);
    let of = |s: &Scenario, limit| {
        let own = Outcome::of(s, &options(256)).unwrap();
        let goal = Some(Goal::Within(0.05));
        let found = split(s, limit, &own, goal, &options(5_120))
            .unwrap()
            .unwrap();
        // What is held against the target is what a simulation of that split delivers.
        let [cal, det] = found.points[found.best].runs.map(i64::from);
        let set = [
            ("calibration.runs".to_owned(), Raw::Whole(cal)),
            ("determination.runs".to_owned(), Raw::Whole(det)),
        ];
        let outcome = Outcome::of(&s.changed(&set).unwrap(), &options(5_120)).unwrap();
        let due = outcome.relative(outcome.errors.within).value;
        let (_, held) = found.held.unwrap();
        assert!((held.value / due - 1.0).abs() < 1e-9, "{held:?} {due}");
        found
    };
    let found = of(&lopsided, Limit::Total { runs: 6, legs: 1 });
    assert_eq!(found.points[found.best].runs, [1, 5]);
    // Equal relative noise in both kinds (2 K and 3 K): about as many of both.
    let even = patched(
        SILENT,
        &[
            ("thermometer.noise", "s = 4 mK"),
            ("determination.thermometer.noise", "s = 6 mK"),
        ],
    );
    let found = of(&even, Limit::Total { runs: 6, legs: 1 });
    assert_eq!(found.points[found.best].runs, [3, 3]);
    let [c, d] = found.ideal.unwrap();
    assert!((c - 3.0).abs() < 0.15 && (d - 3.0).abs() < 0.15, "{c} {d}");
    // A session: what fits, with the repeats of the runs.
    let p = patched(shipped("permanganate-iron-dewar").unwrap(), &[]);
    let own = Outcome::of(&p, &options(512)).unwrap();
    let limit = limit_of(&p, None, &own);
    let Limit::Session {
        length,
        set_up,
        run,
    } = limit
    else {
        panic!("{limit:?}");
    };
    assert_eq!((length, set_up), (10_800.0, 1_500.0));
    assert!(run[0] >= 1_200.0 && run[1] >= 1_500.0);
    for [c, d] in limit.edge() {
        let time = |d: u32| set_up + f64::from(c) * run[0] + f64::from(d) * run[1];
        assert!(time(d) <= length && time(d + 1) > length);
    }
    // A powder that is released too early is repeated, and its calibration is not.
    let hasty = patched(
        shipped("permanganate-iron-dewar").unwrap(),
        &[("determination.charge.wait", "4 min")],
    );
    let seen = Outcome::of(&hasty, &options(512)).unwrap();
    let Limit::Session { run: each, .. } = limit_of(&hasty, None, &seen) else {
        panic!("no session");
    };
    let again = each.map(|t| t / 60.0);
    assert!(again[0] < 20.5 && again[1] > 25.0 * 1.05, "{again:?}");
    // Where there is no split the reason is named.
    let hour = patched(
        shipped("permanganate-iron-dewar").unwrap(),
        &[("times.session", "1 h")],
    );
    let none = split(
        &hour,
        limit_of(&hour, None, &own),
        &own,
        None,
        &options(256),
    )
    .unwrap();
    let Err(NoSplit::TooShort { session, needed }) = none else {
        panic!("{none:?}");
    };
    assert_eq!((session, needed), (3_600.0, set_up + run[0] + run[1]));
    let assumed = patched(shipped("peroxide-cups").unwrap(), &[]);
    let own = Outcome::of(&assumed, &options(256)).unwrap();
    let none = split(
        &assumed,
        Limit::Total { runs: 6, legs: 1 },
        &own,
        None,
        &options(256),
    )
    .unwrap();
    assert_eq!(none.unwrap_err(), NoSplit::NothingCalibrates);
}
