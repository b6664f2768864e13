//! The engine: the same seed gives the same bits whatever else happens, and other streams are
//! other numbers.

use crate::judge::{Z, correlation, near};
use joulecast::engine::{BATCH, EngineError, ListInput, ListModel, Study, Table};
use joulecast::random::{BLOCK, Dist, Draws, Input, Layout, Name, Plan, Tag};
use joulecast::stats::{AdaptiveStop, StopRule};
use std::ops::ControlFlow;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

type Model = ListModel<fn(&[f64], &mut [f64])>;

fn normal() -> Dist {
    Dist::normal(10.0, 1.0).expect("valid")
}

fn model() -> Model {
    let rectangular = Dist::within(0.0, 0.5).expect("valid");
    let loss = Dist::exponential(0.0, 0.3).expect("valid");
    ListModel::new(
        vec![
            ListInput::new("signal", normal()),
            ListInput::new("offset", rectangular),
            ListInput::new("loss", loss),
        ],
        &["y", "square"],
        |x, y| {
            y[0] = x[0] + x[1] - x[2];
            y[1] = y[0] * y[0];
        },
    )
}

fn on_threads(n: usize, job: impl FnOnce() -> Table + Send) -> Table {
    rayon::ThreadPoolBuilder::new()
        .num_threads(n)
        .build()
        .expect("a pool")
        .install(job)
}

fn adaptive(model: &Model) -> Table {
    let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
    Study::new(3)
        .run_until(model, 1 << 20, &mut |batch| rule.push(batch[0]).is_stop())
        .expect("not interrupted")
}

fn run(seed: u64, model: &Model, trials: u64) -> Table {
    Study::new(seed)
        .run(model, trials)
        .expect("not interrupted")
}

#[test]
fn any_number_of_threads_gives_the_same_bits() {
    let fixed = run(3, &model(), 70_001);
    let stopped = adaptive(&model());
    for threads in [1, 2, 3, 8] {
        assert_eq!(on_threads(threads, || run(3, &model(), 70_001)), fixed);
        assert_eq!(on_threads(threads, || adaptive(&model())), stopped);
    }
    assert_eq!(fixed.trials(), 70_001);
    assert_eq!(stopped.trials() % BATCH, 0);
    assert_ne!(run(4, &model(), 70_001), fixed);
}

#[test]
fn more_trials_leave_the_first_ones_alone() {
    let long = run(3, &model(), 60_000);
    for n in [1, 255, 256, 257, 20_480, 20_481] {
        let short = run(3, &model(), n);
        for (s, l) in short.columns.iter().zip(&long.columns) {
            assert_eq!(s[..], l[..n as usize]);
        }
    }
    assert_eq!(run(3, &model(), 0).trials(), 0);
    let stopped = adaptive(&model());
    let n = stopped.trials().min(60_000);
    assert_eq!(stopped.columns[0][..n], long.columns[0][..n]);
}

#[test]
fn other_inputs_may_be_added_or_reordered() {
    let alone = ListModel::new(
        vec![ListInput::new("signal", normal())],
        &["x"],
        |x: &[f64], y: &mut [f64]| y[0] = x[0],
    );
    let last = ListModel::new(
        vec![
            ListInput::new("a new one", Dist::exponential(0.0, 1.0).expect("valid")),
            ListInput::new("offset", Dist::normal(0.0, 9.0).expect("valid")),
            ListInput::new("signal", normal()),
        ],
        &["x"],
        |x: &[f64], y: &mut [f64]| y[0] = x[2],
    );
    let study = Study::new(5);
    assert_eq!(study.run(&alone, 3_000), study.run(&last, 3_000));
}

#[test]
fn streaming_hands_over_the_table_block_by_block() {
    let study = Study::new(11);
    let (n, mut streamed, mut blocks) = (50_100, Vec::new(), 0);
    study
        .stream(&model(), n, &mut |output, count| {
            streamed.extend_from_slice(&output[1].0[..count]);
            blocks += 1;
            ControlFlow::Continue(())
        })
        .expect("not interrupted");
    let table = study.run(&model(), n).expect("not interrupted");
    assert_eq!(table.column("square"), Some(&streamed[..]));
    assert_eq!(table.column("no such"), None);
    assert_eq!(blocks, n.div_ceil(BLOCK as u64));
    // Breaking off drops the rest and is no failure.
    let mut seen = 0;
    let broken = study.stream(&model(), n, &mut |_, count| {
        seen += count;
        if seen >= 1_000 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert_eq!((broken, seen), (Ok(()), 1_024));
}

#[test]
fn the_stop_sees_whole_batches_in_order() {
    let mut seen: Vec<f64> = Vec::new();
    let table = Study::new(2)
        .run_until(&model(), 10 * BATCH as u64 + 5, &mut |batch| {
            assert!(batch.iter().all(|c| c.len() == BATCH));
            seen.extend(batch[0]);
            seen.len() >= 3 * BATCH
        })
        .expect("not interrupted");
    assert_eq!(table.column("y"), Some(&seen[..]));
    assert_eq!(table.trials(), 3 * BATCH);
}

#[test]
fn an_interruption_ends_the_study_without_a_result() {
    let stop = AtomicBool::new(false);
    let reported = Mutex::new(Vec::new());
    // The flag goes up while the study runs, as soon as it reports anything.
    let progress = |done: u64| {
        reported.lock().expect("one user").push(done);
        stop.store(true, Ordering::Relaxed);
    };
    let mut study = Study::new(1);
    study.interrupt = Some(&stop);
    study.progress = Some(&progress);
    let result = study.run(&model(), u64::MAX / 2);
    assert_eq!(result, Err(EngineError::Interrupted));
    assert_eq!(reported.lock().expect("one user").len(), 1);
}

/// First draws of a stream of its own, as many as `n`.
fn stream(seed: u64, name: Name, reading: u32, first_block: u64, n: usize) -> Vec<f64> {
    let plan = Plan::new();
    let input = Input::error(normal());
    (first_block..)
        .take(n / BLOCK)
        .flat_map(|b| {
            let draws = Draws::new(seed, b, Layout::MARGINAL, &plan);
            draws.column::<f64>(name, reading, &input).0
        })
        .collect()
}

/// Whether no two of the columns correlate; the correlation of n independent pairs of normals has
/// standard error 1 / sqrt(n).
fn independent(columns: &[Vec<f64>]) -> bool {
    let se = 1.0 / (columns[0].len() as f64).sqrt();
    columns.iter().enumerate().all(|(i, a)| {
        columns[..i]
            .iter()
            .all(|b| near(correlation(a, b), 0.0, se, Z))
    })
}

#[test]
fn streams_that_differ_in_any_part_of_their_identity_are_independent() {
    const N: usize = 16 * BLOCK;
    let tag = Tag::of;
    let mut columns = Vec::new();
    for (source, leg, run, attempt, reading) in [
        ("noise", "sample", 0, 0, 0),
        ("noise", "sample", 0, 0, 1),
        ("noise", "sample", 0, 0, 2),
        ("noise", "sample", 0, 1, 0),
        ("noise", "sample", 1, 0, 0),
        ("noise", "sample", 1, 1, 0),
        ("noise", "sample", 2, 0, 0),
        ("noise", "calibrant", 0, 0, 0),
        ("noise", "", 0, 0, 0),
        ("", "noise", 0, 0, 0),
        ("sample", "noise", 0, 0, 0),
        ("noise ", "sample", 0, 0, 0),
        ("noisf", "sample", 0, 0, 0),
        ("mass", "sample", 0, 0, 0),
    ] {
        let name = Name::run(tag(source), tag(leg), run, attempt);
        columns.push(stream(1, name, reading, 0, N));
        // Another seed, and later blocks of the same stream.
        columns.push(stream(2, name, reading, 0, N));
        columns.push(stream(1, name, reading, 16, N));
        columns.push(stream(1, name, reading, 1 << 40, N));
    }
    assert!(independent(&columns));
    // A share of a tenth of another stream is noticed.
    let mixed: Vec<f64> = columns[0]
        .iter()
        .zip(&columns[1])
        .map(|(a, b)| a + 0.1 * b)
        .collect();
    columns.push(mixed);
    assert!(!independent(&columns));
}

#[test]
fn blocks_and_their_trials_are_independent() {
    let name = Name::once(Tag::of("noise"), Tag::of(""));
    let all = stream(1, name, 0, 0, 64 * 64 * BLOCK);
    // Each row of the block grid as one long column, and each trial number across all blocks.
    let rows: Vec<Vec<f64>> = all.chunks(64 * BLOCK).map(<[f64]>::to_vec).collect();
    assert!(independent(&rows));
    let trials: Vec<Vec<f64>> = (0..BLOCK)
        .step_by(3)
        .map(|i| all.iter().skip(i).step_by(BLOCK).copied().collect())
        .collect();
    assert!(independent(&trials));
    let repeated = [rows[0].clone(), rows[1].clone(), rows[0].clone()];
    assert!(!independent(&repeated));
}
