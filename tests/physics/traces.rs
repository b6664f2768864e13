//! Records of known truth, reduced, and records with something wrong in them.

use joulecast::evaluate::{Settle, TraceOptions, Traced, trace};
use joulecast::measured::{MeasuredRecord, read_record};
use joulecast::random::{BLOCK, Column, Dist, Draws, Input, Layout, Name, Plan, Tag};
use joulecast::scenario::{ReductionMethod, builtin};

const OPTIONS: TraceOptions = TraceOptions {
    leg: 1,
    mixed_at: Some(0.0),
    settle: Settle::Stated,
};

/// Normal noise of the readings, one column of trials for each.
fn noise(sd: f64, readings: usize) -> Vec<Column<f64>> {
    let plan = Plan::new();
    let draws = Draws::new(11, 0, Layout::MARGINAL, &plan);
    let input = Input::error(Dist::normal(0.0, sd).expect("a spread"));
    let name = Name::once(Tag::of("noise of a record"), Tag::of(""));
    (0..readings)
        .map(|i| draws.column(name, i as u32, &input))
        .collect()
}

/// Times of a record of the built-in scenario, every `step` s, none at mixing.
fn times(step: f64) -> Vec<f64> {
    let n = (420.0 / step) as i32;
    let all = (-(n * 180 / 420)..=n).map(|i| f64::from(i) * step);
    all.filter(|t| *t != 0.0).collect()
}

/// A record that changes by -0.65 K at mixing, between two straight lines.
fn record(times: &[f64], noise: impl Fn(usize) -> f64) -> MeasuredRecord {
    let shown = |(i, t): (usize, &f64)| {
        let line = if *t < 0.0 {
            21.0 + 1e-5 * t
        } else {
            20.35 + 5e-5 * t
        };
        line + noise(i)
    };
    MeasuredRecord {
        file: "made.csv".to_owned(),
        times: times.to_vec(),
        temperatures: times.iter().enumerate().map(shown).collect(),
        lines: Vec::new(),
        mixed_at: None,
        notes: Vec::new(),
    }
}

fn traced(record: MeasuredRecord) -> Traced {
    trace(&builtin(), record, &OPTIONS).unwrap_or_else(|p| panic!("{p:?}"))
}

/// Change of temperature with its uncertainty, by lines back to mixing.
fn change(t: &Traced) -> (f64, f64) {
    let own = t
        .ways
        .iter()
        .find(|w| w.way == ReductionMethod::BackToMixing);
    let own = own.expect("all ways are tried");
    (own.found.as_ref().expect("has a result").change, own.u)
}

#[test]
fn lines_are_unbiased_and_their_uncertainty_covers_the_truth() {
    let times = times(10.0);
    let noises = noise(0.004, times.len());
    let of = |i: usize| change(&traced(record(&times, |at| noises[at][i])));
    let (mut inside, mut sum, mut u) = (0.0, 0.0, 0.0);
    for (got, own) in (0..BLOCK).map(of) {
        inside += f64::from(u8::from((got + 0.65).abs() < 2.02 * own));
        sum += got + 0.65;
        u += own;
    }
    let n = BLOCK as f64;
    // 95 % of 256 records are known to 1.4 %; the mean error to u / 16.
    assert!((inside / n - 0.95).abs() < 0.05, "{}", inside / n);
    assert!((sum / n).abs() < 5.0 * u / n / n.sqrt(), "{}", sum / n);
    // With half the uncertainty the test would see it.
    let exact = record(&times, |_| 0.0);
    let (got, _) = change(&traced(exact));
    assert!((got + 0.65).abs() < 1e-12, "{got}");
}

#[test]
fn what_is_wrong_with_a_record_is_seen_and_a_good_one_is_left_alone() {
    let times = times(10.0);
    let noises = noise(0.004, times.len());
    let of = |i: usize, extra: &dyn Fn(f64) -> f64| {
        traced(record(&times, |at| noises[at][i] + extra(times[at]))).findings
    };
    let says = |findings: &[String], word: &str| findings.iter().any(|f| f.contains(word));
    let mut false_alarms = 0;
    for i in 0..64 {
        false_alarms += usize::from(!of(i, &|_| 0.0).is_empty());
        let spike = of(i, &|t| if t == 300.0 { 0.1 } else { 0.0 });
        assert!(says(&spike, "spike"), "{spike:?}");
        let step = of(i, &|t| if t > 280.0 { 0.04 } else { 0.0 });
        assert!(says(&step, "a step of"), "{step:?}");
        let late = of(i, &|t| {
            if t > 0.0 {
                0.3 * (-t / 90.0f64).exp()
            } else {
                0.0
            }
        });
        assert!(says(&late, "bends"), "{late:?}");
    }
    assert!(false_alarms <= 3, "{false_alarms} of 64 good records");
}

#[test]
fn the_line_behind_begins_where_it_no_longer_bends() {
    let times = times(5.0);
    let noises = noise(0.002, times.len());
    let late = |t: f64| {
        if t > 0.0 {
            0.3 * (-t / 25.0f64).exp()
        } else {
            0.0
        }
    };
    let found = |settle: Settle| {
        let record = record(&times, |at| noises[at][3] + late(times[at]));
        trace(&builtin(), record, &TraceOptions { settle, ..OPTIONS }).expect("has lines")
    };
    let [early, own] = [Settle::At(20.0), Settle::Found].map(found);
    assert!(own.settle >= 80.0 && own.settle <= 300.0, "{}", own.settle);
    let off = |t: &Traced| (change(t).0 + 0.65).abs();
    assert!(
        off(&own) < 0.004 && off(&early) > 0.02,
        "{} {}",
        off(&own),
        off(&early)
    );
}

#[test]
fn short_long_and_uneven_records_have_a_result_or_a_located_message() {
    // Ten rows.
    let ten = [
        -40.0, -30.0, -20.0, -10.0, 10.0, 20.0, 160.0, 200.0, 300.0, 400.0,
    ];
    assert!((change(&traced(record(&ten, |_| 0.0))).0 + 0.65).abs() < 1e-12);
    // Nothing before mixing.
    let all_after = [10.0, 20.0, 160.0, 200.0];
    let refused = trace(&builtin(), record(&all_after, |_| 0.0), &OPTIONS).unwrap_err();
    assert!(refused[0].message.contains("before"), "{refused:?}");
    // 100,000 rows, read and reduced; the moment found between the two readings of the jump.
    let mut text = String::from("time [s];T / °C\n");
    for i in 0..100_000 {
        let t = f64::from(i) * 0.01;
        let jump = if t < 400.005 { 21.0 } else { 20.35 };
        text.push_str(&format!("{t:.2};{jump:.3}\n").replace('.', ","));
    }
    let read = read_record("long.csv", text.as_bytes()).unwrap_or_else(|p| panic!("{p:?}"));
    let options = TraceOptions {
        mixed_at: None,
        ..OPTIONS
    };
    let long = trace(&builtin(), read, &options).unwrap_or_else(|p| panic!("{p:?}"));
    assert!(
        (long.mixed_at.0 - 400.005).abs() < 0.006,
        "{:?}",
        long.mixed_at
    );
    assert!((change(&long).0 + 0.65).abs() < 1e-9);
}
