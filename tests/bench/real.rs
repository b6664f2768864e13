//! What the shipped scenarios cost: a trial, a trial of a ranking, the plainest loop that draws as many numbers and
//! readings, and whole commands.

use cpu_time::ProcessTime;
use joulecast::engine::Study;
use joulecast::experiment::Experiment;
use joulecast::lab::Reduction;
use joulecast::rank::{RankOptions, rank, runs};
use joulecast::scenario::{SOURCES, Scenario, Scope, read, shipped, shipped_names};
use rand::SeedableRng;
use rand::rngs::Xoshiro256PlusPlus;
use rand_distr::{Distribution, StandardNormal};
use std::hint::black_box;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Nanoseconds of processor time that a thing takes for each of so many trials.
fn cost(trials: u64, work: impl FnOnce()) -> f64 {
    let start = ProcessTime::now();
    work();
    start.elapsed().as_secs_f64() * 1e9 / trials as f64
}

/// Random numbers of one trial that are not readings, and readings.
fn counts(s: &Scenario) -> (usize, usize) {
    let mut numbers = 0;
    let mut readings = 0;
    for leg in s.legs() {
        let runs = leg.runs as usize;
        for source in SOURCES.iter().filter(|source| leg.errs(source.id)) {
            numbers += match source.scope {
                Scope::Reading => 0,
                Scope::Run => runs,
                Scope::Group | Scope::Course => 1,
            };
        }
        readings += runs * Reduction::of(leg).readings().count();
    }
    (numbers, readings)
}

/// The floor: all numbers drawn and summed; all readings drawn, rounded and summed twice.
fn floor((numbers, readings): (usize, usize), trials: u64) -> f64 {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
    let mut all = 0.0;
    for _ in 0..trials {
        let mut sum = 0.0;
        for _ in 0..numbers {
            sum += normal();
        }
        let (mut line, mut moment) = (0.0, 0.0);
        for j in 0..readings {
            let shown = ((sum + 3e-3 * normal()) / 1e-2).round() * 1e-2;
            line += shown;
            moment += j as f64 * shown;
        }
        all += black_box(line + moment);
    }
    all
}

/// One line for each shipped scenario.
pub fn trials(pool: &rayon::ThreadPool, factor: u64) -> String {
    let mut out = String::from(
        "| scenario | numbers | readings | a trial, µs | floor, µs | ratio | of the floor's readings alone | in `rank`, µs |\n\
         |---|---|---|---|---|---|---|---|\n",
    );
    for name in shipped_names() {
        let scenario = read(shipped(name).expect("shipped")).expect("reads");
        let n = 256 * 40 * factor;
        let counted = counts(&scenario);
        let model = Experiment::new(scenario.clone());
        let study = Study::new(1);
        let mut best = [f64::INFINITY; 4];
        // The least of three: the clock of a shared machine only ever adds.
        for _ in 0..3 {
            let forecast = cost(n, || {
                pool.install(|| study.run(&model, n))
                    .expect("not interrupted");
            });
            let plain = cost(n, || {
                black_box(floor(counted, n));
            });
            let readings = cost(n, || {
                black_box(floor((0, counted.1), n));
            });
            let options = RankOptions {
                seed: 1,
                trials: 1,
                interrupt: None,
                progress: None,
            };
            let ranking = cost(runs(&scenario, 1), || {
                pool.install(|| rank(&scenario, &options))
                    .expect("not interrupted");
            });
            for (least, new) in best.iter_mut().zip([forecast, plain, readings, ranking]) {
                *least = least.min(new * 1e-3);
            }
        }
        let [forecast, plain, readings, ranking] = best;
        out.push_str(&format!(
            "| {name} | {} | {} | {forecast:.2} | {plain:.2} | {:.1} | {:.1} | {ranking:.2} |\n",
            counted.0,
            counted.1,
            forecast / plain,
            forecast / readings,
        ));
    }
    out
}

/// Seconds of the clock that a command takes: the least of three.
fn seconds(arguments: &[&str]) -> f64 {
    let one = || {
        let start = Instant::now();
        let mut command = Command::new(env!("CARGO_BIN_EXE_joulecast"));
        let status = command
            .args(arguments)
            .arg("--json")
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status()
            .expect("it starts");
        assert!(
            status.code().is_some_and(|code| code <= 1),
            "{arguments:?}: {status}"
        );
        start.elapsed().as_secs_f64()
    };
    (0..3).map(|_| one()).fold(f64::INFINITY, f64::min)
}

/// Whole commands, charts excluded.
pub fn commands() -> String {
    let mut out = String::from(
        "| scenario | `forecast`, s | on one thread | ratio | `rank`, s | `loosen`, s | `compare` of three, s |\n\
         |---|---|---|---|---|---|---|\n",
    );
    for name in shipped_names() {
        let forecast = seconds(&["forecast", name]);
        let alone = seconds(&["forecast", name, "--threads", "1"]);
        let ranking = seconds(&["rank", name]);
        // A target that leaves room everywhere and is missed somewhere.
        let loosen = seconds(&["loosen", name, "--spread", "12 %"]);
        let sets = [
            "--set",
            "determination.runs = 4",
            "--set",
            "calibration.runs = 4",
        ];
        let compare = seconds(&[&["compare", name][..], &sets[..]].concat());
        out.push_str(&format!(
            "| {name} | {forecast:.2} | {alone:.2} | {:.2} | {ranking:.2} | {loosen:.2} | {compare:.2} |\n",
            alone / forecast,
        ));
    }
    let map = seconds(&[
        "sweep",
        "--trials",
        "10240",
        "--vary",
        "determination.charge.mass = 0.2 g to 1.15 g in 20",
        "--vary",
        "record.after = 240 s to 620 s in 20",
    ]);
    out.push_str(&format!(
        "\nA map of the built-in scenario, 20 x 20 points of 10,240 trials: {map:.1} s.\n"
    ));
    out
}
