//! Numbers that could mislead: each against a closed form or against another command's answer.

use super::{SILENT, certain, patched};
use joulecast::design::{Bound, DesignOptions, Goal, Outcome, cap, loosen, zones};
use joulecast::engine::Study;
use joulecast::experiment::{Experiment, ResultColumn, advice};
use joulecast::forecast::{Extras, Forecast, Options, Trials, forecast};
use joulecast::random::{Plan, Treatment};
use joulecast::rank::{RankOptions, Ranking, averaged, rank};
use joulecast::report::document::Extent;
use joulecast::report::forecast_document;
use joulecast::report::render::{Screen, document_text};
use joulecast::scenario::{Concern, SOURCES, Scenario, SourceId, builtin, builtin_text, shipped};
use joulecast::stats::{IntervalKind, Moments};

fn of(name: &str, changes: &[(&str, &str)]) -> Scenario {
    patched(shipped(name).unwrap(), changes)
}

/// All of an answer, as a screen shows it.
fn full_text(f: &Forecast) -> String {
    let screen = Screen {
        width: 80,
        extent: Extent::Full,
    };
    document_text(&forecast_document(f, &Extras::default(), 2), screen)
}

fn forecast_of(scenario: Scenario, trials: u64) -> Forecast {
    let options = Options {
        seed: 3,
        trials: Trials::Fixed(trials),
        interval: IntervalKind::Symmetric,
        interrupt: None,
        progress: None,
    };
    forecast(scenario, &options).unwrap()
}

#[test]
fn doubled_is_doubled_beyond_a_bound_too() {
    // 18 steps of a display of twice the size: its tolerance ends at 1.8 times, at the bound of 10 steps.
    let s = of(
        "urea-foam-cups",
        &[
            ("target.display_steps", "10"),
            ("calibration.charge.mass", "0.39 g"),
            ("calibration.charge.window", "0.38 g to 0.40 g"),
        ],
    );
    let options = DesignOptions {
        trials: 4_096,
        ..DesignOptions::new(6)
    };
    let found = loosen(&s, Goal::Spread(0.5), cap(&s), &options).unwrap();
    let display = found
        .iter()
        .find(|x| x.source.is_some_and(|s| s.id == SourceId::Resolution))
        .unwrap();
    assert_eq!(display.bound, Some(Bound::SmallChange));
    assert_eq!(display.doubled_beyond, Some(Bound::SmallChange));
    let with = |digit: &'static str| {
        let changed = of(
            "urea-foam-cups",
            &[
                ("calibration.charge.mass", "0.39 g"),
                ("calibration.charge.window", "0.38 g to 0.40 g"),
                ("thermometer.resolution", digit),
            ],
        );
        let o = Outcome::of(&changed, &options).unwrap();
        o.errors.spread.value / o.target.abs()
    };
    // The same random numbers, so the same digits.
    let due = with("20 mK");
    assert!(
        (display.doubled.value / due - 1.0).abs() < 1e-9,
        "{} {due}",
        display.doubled.value
    );
    assert!((with("18 mK") / due - 1.0).abs() > 1e-3);
}

#[test]
fn the_lightest_mass_of_a_window_must_be_readable_and_the_scenario_says_what_that_is() {
    let small = |s: &Scenario| {
        s.warnings
            .iter()
            .any(|w| w.concern == Some(Concern::SmallChange))
    };
    let window = ("determination.charge.window", "0.03 g to 2.97 g");
    let mass = ("determination.charge.mass", "1.50 g");
    let wide = of("ammonium-chloride-dewar", &[mass, window]);
    assert!(!small(&builtin()) && small(&wide));
    // 0.03 g of 1.50 g changes the temperature by a fiftieth of 0.62 K: 1.2 steps of 10 mK.
    let leg = &wide.determination;
    let [least, target] = [
        leg.smallest_change(&wide.room),
        leg.nominal_change(&wide.room),
    ];
    // The heat of dilution of so little is less by 4 %.
    assert!(
        (least.0 / target.0.abs() * 50.0 - 1.0).abs() < 0.05,
        "{least:?} {target:?}"
    );
    let one = ("target.display_steps", "1");
    assert!(!small(&of("ammonium-chloride-dewar", &[mass, window, one])));
    let more = ("target.display_steps", "70");
    assert!(small(&of("ammonium-chloride-dewar", &[more])));
}

#[test]
fn late_heat_is_named_by_what_makes_it() {
    let told = |changes: &[(&str, &str)]| -> Vec<String> {
        let found = advice(&of("ammonium-chloride-dewar", changes));
        let late = found
            .into_iter()
            .filter(|w| w.message.contains("late heat"));
        late.map(|w| w.path).collect()
    };
    // Taken back from 150 s on a lag of 40 s has passed; read from 60 s on it has not, and the solid has.
    let early = |leg: &'static str| {
        let key: &'static str = match leg {
            "determination" => "determination.record.settle",
            _ => "calibration.record.settle",
        };
        [(key, "60 s"), ("thermometer.lag", "40 s")]
    };
    assert!(told(&[("thermometer.lag", "5 s")]).is_empty());
    assert_eq!(
        told(&early("determination")),
        ["determination.thermometer.lag"]
    );
    assert_eq!(told(&early("calibration")), ["calibration.thermometer.lag"]);
    let slow = [("determination.dissolving.time", "200 s")];
    assert_eq!(told(&slow), ["determination.dissolving.time"]);
}

#[test]
fn a_substance_has_one_true_value_and_a_circular_design_is_told_of_and_never_suggested() {
    let circular = [
        ("calibration.reaction.use", "nh4cl-water"),
        ("calibration.charge.mass", "1.60 g"),
        ("calibration.charge.window", "1.55 g to 1.65 g"),
    ];
    let s = of("ammonium-chloride-dewar", &circular);
    let warned = |s: &Scenario| {
        s.warnings
            .iter()
            .any(|w| w.concern == Some(Concern::Circular))
    };
    assert!(warned(&s) && !warned(&builtin()));
    let options = DesignOptions {
        trials: 512,
        ..DesignOptions::new(1)
    };
    let outcome = Outcome::of(&s, &options).unwrap();
    let found = zones(&s, &outcome, cap(&s));
    assert!(found.iter().any(|z| z.bound == Bound::Circular));
    // Whatever is true, the result is the table's: so it errs by what the table errs by.
    let plan = SOURCES
        .iter()
        .filter(|x| x.id != SourceId::ReactionEnthalpy)
        .fold(Plan::new(), |p, x| p.with(x.tag(), Treatment::Perfect));
    let study = Study {
        plan,
        ..Study::new(2)
    };
    let table = study.run(&Experiment::without_claims(s), 20_480).unwrap();
    let error = Moments::of(&table.columns[ResultColumn::Error as usize]).sd();
    assert!((error.value - 100.0).abs() < 5.0 * error.se, "{error:?}");
    let value = Moments::of(&table.columns[ResultColumn::Value as usize]).sd();
    assert!(value.value < 1.0, "{value:?}");
}

#[test]
fn what_groups_report_and_what_nobody_knows_of_the_medium_are_two_distributions() {
    let f = forecast_of(of("permanganate-iron-dewar", &[]), 20_480);
    let m = f.beside.medium.unwrap();
    // Stated: 60 kJ/mol of the medium, normal.
    assert!(
        (m.shift.sd.value - 60_000.0).abs() < 5.0 * m.shift.sd.se,
        "{:?}",
        m.shift.sd
    );
    let own = &f.value;
    assert!((own.sd.value / f.spread.value - 1.0).abs() < 1e-9);
    assert!(own.sd.value < 10_000.0);
    assert!((own.mean.value - f.target - f.bias.value).abs() < 1e-3);
    // About the table both scatter, about the true value the groups alone: normal probabilities by the error function.
    let within = |sd: f64, mean: f64, half: f64| {
        let up = libm::erf((half - mean) / sd / 2f64.sqrt());
        let down = libm::erf((-half - mean) / sd / 2f64.sqrt());
        0.5 * (up - down)
    };
    let half = f.scenario.target.band.unwrap() * m.tabulated.abs();
    let of_table = m.in_band.unwrap();
    let due = within(m.away.sd.value, m.away.mean.value, half);
    assert!((of_table.value - due).abs() < 0.01, "{of_table:?} {due}");
    let of_truth = f.in_band.unwrap();
    assert!(of_truth.value - of_table.value > 0.2, "{of_truth:?}");
}

#[test]
fn a_forecast_and_a_ranking_give_one_figure_for_what_more_runs_average() {
    let s = of("urea-foam-cups", &[]);
    let f = forecast_of(s.clone(), 1_024);
    let options = RankOptions {
        seed: 3,
        trials: joulecast::rank::USUAL_TRIALS,
        interrupt: None,
        progress: None,
    };
    let r = rank(&s, &options).unwrap();
    let left = r.floor.value / r.now.sd.value;
    let due = 1.0 - left * left;
    assert_eq!(f.averaged.unwrap(), averaged(&s, 3, None).unwrap());
    assert!(
        (f.averaged.unwrap().value - due).abs() < 0.01,
        "{:?} {due}",
        f.averaged
    );
}

#[test]
fn a_bottle_whose_middle_the_lab_takes_errs_both_ways_and_one_whose_end_it_takes_does_not() {
    let one_sided = |changes: &[(&str, &str)]| {
        of("ammonium-chloride-dewar", changes).is_one_sided(SourceId::Purity)
    };
    assert!(!one_sided(&[]));
    let label = [
        ("calibration.charge.purity", "none"),
        ("determination.charge.purity", "99.5 % to 100 %"),
        ("determination.charge.label_purity", "100 %"),
    ];
    let s = patched(
        &builtin_text().replace(
            "[calibration.charge]",
            "[calibration.charge]\npurity = \"99.9 %\"",
        ),
        &label[1..],
    );
    assert!(s.is_one_sided(SourceId::Purity));
    assert!(builtin().is_one_sided(SourceId::Leftover) && !builtin().is_one_sided(SourceId::Noise));
}

#[test]
fn a_single_run_of_the_wrong_sign_is_counted() {
    // Noise of 0.3 K against 0.66 K, and means of many runs that are right.
    let noisy = [
        ("determination.runs", "40"),
        ("determination.thermometer.noise", "u = 0.3 K"),
        ("record.kind", "two readings"),
        ("record.before", "10 s"),
        ("record.read_at", "200 s"),
    ];
    let text = builtin_text();
    let (start, rest) = text.split_once("[record]").unwrap();
    let after = &rest[rest.find("[calibration]").unwrap()..];
    let short = format!("{start}[record]\n{after}");
    let s = patched(&short, &noisy);
    let trials = 2_048;
    let f = forecast_of(s, trials);
    // P(a change of -0.656 K with two readings of 0.3 K comes out above zero), once in 40 runs at least.
    let p = 0.5 * libm::erfc(0.656 / (0.3 * 2f64.sqrt()) / 2f64.sqrt());
    let due = 1.0 - libm::pow(1.0 - p, 40.0);
    let share = f.wrong_sign as f64 / trials as f64;
    let se = (due * (1.0 - due) / trials as f64).sqrt();
    assert!((share - due).abs() < 5.0 * se + 0.02, "{share} {due}");
    let means = f.columns[ResultColumn::DeterminationChange as usize].iter();
    assert_eq!(means.filter(|r| **r >= 0.0).count(), 0);
}

fn ranked(s: &Scenario) -> Ranking {
    let options = RankOptions {
        seed: 1,
        trials: 8_192,
        interrupt: None,
        progress: None,
    };
    rank(s, &options).unwrap()
}

#[test]
fn the_last_digit_of_a_balance_is_an_error_of_its_own_in_a_ranking() {
    // A balance of 0.1 g: of 7.2 g each of two indications errs by up to half a digit, and nothing else of it errs by much.
    let s = patched(
        SILENT,
        &[
            ("determination.balance.readability", "0.1 g"),
            ("determination.balance.repeatability", "u = 20 mg"),
            ("determination.balance.gain", "u = 0.05 %"),
            ("determination.charge.window", "7.1 g to 7.3 g"),
        ],
    );
    let r = ranked(&s);
    let of = |id: SourceId| {
        let found = r.sources.iter().find(|x| x.source.id == id);
        found.map_or(0.0, |x| x.share.total.value)
    };
    // Variances relative to the mass; two runs average all but the gain.
    let m = 7.195f64;
    let digit = 2.0 * (0.1 / m) * (0.1 / m) / 12.0 / 2.0;
    let scatter = 2.0 * (0.02 / m) * (0.02 / m) / 2.0;
    let gain = 0.0005f64 * 0.0005;
    let all = digit + scatter + gain;
    for (id, due) in [
        (SourceId::Readability, digit / all),
        (SourceId::Repeatability, scatter / all),
        (SourceId::BalanceGain, gain / all),
        (SourceId::Window, 0.0),
    ] {
        assert!((of(id) - due).abs() < 0.02, "{id:?}: {} for {due}", of(id));
    }
}

#[test]
fn a_bias_is_no_fault_of_a_budget_and_is_told_beside_it() {
    // 2 % left over in every run makes a bias, and no spread to speak of.
    let s = patched(
        SILENT,
        &[
            ("determination.thermometer.noise", "u = 4 mK"),
            ("determination.dissolving.leftover", "exactly 2 %"),
        ],
    );
    let r = ranked(&s);
    let bias = r.beside_budget / r.target;
    assert!((bias + 0.02).abs() < 5e-4, "{bias}");
    assert!(r.validity[0].valid, "{:?}", r.validity);
    // A fifth more spread than the budget knows of is seen all the same.
    let more = patched(
        SILENT,
        &[
            ("determination.thermometer.noise", "u = 4 mK"),
            ("determination.dissolving.leftover", "exactly 2 %"),
            ("determination.vessel.start_difference", "u = 2 K"),
            ("determination.vessel.leak", "1e-3 /s"),
            ("determination.record.kind", "two readings"),
            ("determination.record.before", "1 s"),
            ("determination.record.read_at", "3 s"),
        ],
    );
    assert!(!ranked(&more).validity[0].valid);
}

#[test]
fn solid_that_is_left_over_takes_up_heat_as_a_solid() {
    // 10 % of 7.195 g; dissolved it would count 4 J/(g K), as a solid 4 - 80 / 80.043 (the slope over the molar mass).
    let changes = [
        ("determination.dissolving.leftover", "exactly 10 %"),
        ("determination.reaction.solute_heat_capacity", "4 J/(g K)"),
        ("determination.reaction.slope", "80 J/(mol K)"),
    ];
    let change = |changes: &[(&str, &str)]| {
        certain(
            patched(SILENT, changes),
            changes,
            ResultColumn::DeterminationChange,
        )
    };
    let s = patched(SILENT, &changes);
    let molar = s.determination.reaction.molar_mass.0;
    let n = 7.195 / molar;
    let heat = -0.9 * n * 15_290.0;
    let water = 100.3 * 0.997_047_6 * 4.181_315;
    let due = heat / (40.0 + water + 7.195 * (0.9 * 4.0 + 0.1 * (4.0 - 80.0 / molar)));
    let got = change(&changes);
    assert!((got / due - 1.0).abs() < 1e-6, "{got} for {due}");
    let as_dissolved = heat / (40.0 + water + 7.195 * 4.0);
    assert!((got / as_dissolved - 1.0).abs() > 1e-3);
}

#[test]
fn cold_water_starts_as_it_is_stated() {
    // Whatever contents and surroundings differ by in other runs.
    let change = |difference: &str| {
        let changes = [("vessel.start_difference", difference)];
        let s = of("copper-sulfate-hydration", &changes);
        certain(s, &changes, ResultColumn::CalibrationChange)
    };
    assert_eq!(change("exactly 2 K"), change("none"));
    let with = |difference: &str| {
        let changes = [("vessel.start_difference", difference)];
        let s = of("copper-sulfate-hydration", &changes);
        certain(s, &changes, ResultColumn::DeterminationChange)
    };
    assert!(with("exactly 2 K") != with("none"));
}

#[test]
fn results_on_the_steps_of_a_display_are_stated_as_steps() {
    // One reading before and one after, to 0.1 K; where the steps lie differs from group to group, and nothing else.
    let s = patched(
        SILENT,
        &[
            ("thermometer.resolution", "0.1 K"),
            ("thermometer.offset", "0.5 K rectangular"),
            ("determination.charge.mass", "7.1 g"),
            ("calibration.charge.mass", "4.2 g"),
        ],
    );
    let smooth = patched(SILENT, &[("vessel.run_to_run", "u = 1 %")]);
    let f = forecast_of(s, 20_480);
    let seen = f.lattice.unwrap();
    let mut values: Vec<f64> = f.kept.clone();
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    assert_eq!(seen.values, values.len(), "{values:?}");
    assert!((2..60).contains(&seen.values));
    for end in [f.value.interval.low, f.value.interval.high] {
        let one = |v: &&f64| (**v - end.value).abs() < 1e-6;
        assert!(
            values.iter().find(one).is_some() && end.se == 0.0,
            "{end:?}"
        );
    }
    let text = full_text(&f);
    let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(&format!("Results fall on {} values only", seen.values)),
        "{text}"
    );
    assert!(!text.contains("0000000"), "{text}");
    assert_eq!(forecast_of(smooth, 20_480).lattice, None);
}

#[test]
fn an_error_without_a_spread_is_stated_by_intervals_alone() {
    // A Student t of 2 degrees of freedom: its 97.5 % quantile is 4.303 (tables), its variance infinite.
    let t = |dof: &str| {
        let stated = format!("u = 150 J/mol, dof = {dof}");
        forecast_of(
            patched(
                SILENT,
                &[("determination.reaction.dilution_error", &stated)],
            ),
            40_960,
        )
    };
    let (none, known) = (t("2"), t("9"));
    assert!(known.has_spread() && !none.has_spread());
    let one = 150.0;
    let half = 0.5 * (none.value.interval.high.value - none.value.interval.low.value);
    let se = none.value.interval.high.se / one;
    assert!((half / one - 4.303).abs() < 5.0 * se, "{}", half / one);
    let text = full_text(&none);
    for absent in [
        "spread (standard deviation)",
        "RMS error",
        "kurtosis",
        "NaN",
        "bias",
    ] {
        assert!(!text.contains(absent), "{absent}: {text}");
    }
}
