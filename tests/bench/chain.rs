//! How long things take, as ratios side by side: the chain of a solution-calorimetry experiment with 87 random inputs, in
//! columns through the engine and one trial at a time with the usual crates (and in numpy where there is one), and the
//! shipped scenarios.
//!
//! A trial of the chain is three calibration runs and three determinations. The ways share no code below the arithmetic
//! of the chain, so their results also check each other: the benchmark fails if they differ by more than their Monte
//! Carlo errors allow.
//!
//! `cargo bench` prints all of it; `cargo bench -- --write` puts it into `results/benchmark.md`; `cargo bench -- TRIALS
//! REPEATS` changes the size of the chain's part and leaves out the rest.

mod columns;
mod naive;
mod real;

use cpu_time::ProcessTime;
use joulecast::engine::Study;
use joulecast::stats::{Estimate, Moments, Sorted};
use rand::SeedableRng;
use rand::rngs::StdRng;
use rand::rngs::Xoshiro256PlusPlus;

/// Standard errors by which two correct ways may differ.
const Z: f64 = 5.0;

/// Masses in g, heat capacities in J/(g K), enthalpies in J/g and J/mol: the lab's nominal values.
mod nominal {
    pub const DENSITY: f64 = 0.9970;
    pub const WATER: f64 = 80.0;
    pub const CP_CALIBRANT: f64 = 4.170;
    pub const CP_SAMPLE: f64 = 4.160;
    pub const REFERENCE: f64 = 245.76;
    pub const MOLAR_MASS: f64 = 53.489;
    pub const SAMPLE: f64 = 14_780.0;
    pub const MASS_CALIBRANT: f64 = 0.40;
    pub const MASS_SAMPLE: f64 = 0.60;
    /// Seconds of the run times the median dissolving rate.
    pub const DISSOLVING: f64 = 600.0 * 0.01;
}

/// One way to run the chain, and what its repeats have shown.
struct Way<'a> {
    name: &'a str,
    run: Box<dyn Fn(u64, usize) -> Vec<f64> + 'a>,
    nanoseconds: Vec<f64>,
    values: Vec<f64>,
}

impl<'a> Way<'a> {
    fn new(name: &'a str, run: impl Fn(u64, usize) -> Vec<f64> + 'a) -> Self {
        Self {
            name,
            run: Box::new(run),
            nanoseconds: Vec::new(),
            values: Vec::new(),
        }
    }

    fn repeat(&mut self, seed: u64, trials: usize) {
        let start = ProcessTime::now();
        self.values = (self.run)(seed, trials);
        let spent = start.elapsed().as_secs_f64();
        self.nanoseconds.push(spent * 1e9 / trials as f64);
    }

    fn median_time(&self) -> f64 {
        Sorted::of(&self.nanoseconds).median().value
    }

    fn statistics(&self) -> [Estimate; 4] {
        let moments = Moments::of(&self.values);
        let sorted = Sorted::of(&self.values);
        [
            moments.mean(),
            moments.sd(),
            sorted.quantile(0.025),
            sorted.quantile(0.975),
        ]
    }
}

fn engine(pool: &rayon::ThreadPool, seed: u64, trials: usize) -> Vec<f64> {
    let mut table = pool
        .install(|| Study::new(seed).run(&columns::Chain::new(), trials as u64))
        .expect("nothing interrupts it");
    table.columns.remove(0)
}

fn assert_agreement(a: &Way, b: &Way) {
    for (what, (x, y)) in ["mean", "sd", "2.5 %", "97.5 %"]
        .iter()
        .zip(a.statistics().into_iter().zip(b.statistics()))
    {
        let error = x.se.hypot(y.se);
        assert!(
            (x.value - y.value).abs() <= Z * error,
            "{what} of {} is {} and of {} is {}, error {error}",
            a.name,
            x.value,
            b.name,
            y.value
        );
    }
}

/// The chain in numpy: mean, standard deviation, ends and nanoseconds a trial; `None` where there is no numpy.
fn numpy(trials: usize, repeats: usize) -> Option<[f64; 5]> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench/chain_numpy.py");
    let output = std::process::Command::new("python3")
        .args([script, &trials.to_string(), &repeats.to_string()])
        .env("OPENBLAS_NUM_THREADS", "1")
        .output()
        .ok()
        .filter(|o| o.status.success())?;
    let text = String::from_utf8(output.stdout).ok()?;
    let numbers: Vec<f64> = text
        .split_whitespace()
        .filter_map(|w| w.parse().ok())
        .collect();
    numbers.try_into().ok()
}

/// The chain, as a table.
fn chain(pool: &rayon::ThreadPool, trials: usize, repeats: usize) -> String {
    let mut ways = [
        Way::new(
            "one trial at a time, `rand` with xoshiro256++",
            |seed, trials| naive::run(&mut Xoshiro256PlusPlus::seed_from_u64(seed), trials),
        ),
        Way::new(
            "one trial at a time, `rand` with ChaCha12",
            |seed, trials| naive::run(&mut StdRng::seed_from_u64(seed), trials),
        ),
        Way::new("this engine, columns of 256 trials", |seed, trials| {
            engine(pool, seed, trials)
        }),
    ];
    // Interleaved, because the clock of the machine drifts over seconds.
    for repeat in 0..repeats {
        for way in &mut ways {
            way.repeat(repeat as u64 + 1, trials);
        }
    }
    let mut out = String::from(
        "| implementation | mean | sd | 2.5 % | 97.5 % | ns a trial | ratio |\n|---|---|---|---|---|---|---|\n",
    );
    let reference = ways[0].median_time();
    let mut line = |name: &str, [mean, sd, low, high]: [f64; 4], time: f64| {
        out.push_str(&format!(
            "| {name} | {mean:.5} | {sd:.5} | {low:.5} | {high:.5} | {time:.1} | {:.2} |\n",
            time / reference
        ));
    };
    for way in &ways {
        line(
            way.name,
            way.statistics().map(|e| e.value),
            way.median_time(),
        );
    }
    if let Some([mean, sd, low, high, time]) = numpy(trials, repeats) {
        line(
            "vectorised numpy, SFC64, chunks of 8192",
            [mean, sd, low, high],
            time,
        );
    }
    let [xoshiro, chacha, engine] = &ways;
    assert_agreement(xoshiro, engine);
    assert_agreement(chacha, engine);
    out
}

fn main() {
    // Cargo adds `--bench`; numbers and `--write` are ours.
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let numbers: Vec<usize> = arguments.iter().filter_map(|a| a.parse().ok()).collect();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool of one thread");
    let (trials, repeats) = match numbers[..] {
        [] => (200_000, 9),
        [trials] => (trials, 9),
        [trials, repeats, ..] => (trials, repeats),
    };
    let mut out = format!(
        "# Speed\n\nWritten by `cargo bench -- --write` on a shared machine with {} cores; processor time unless said \
         otherwise. Ratios of one run are what counts: times change by a fifth from run to run.\n\n\
         ## A chain of 87 random inputs\n\nThree calibration runs and three determinations; {trials} trials, medians of \
         {repeats} interleaved repeats, one thread.\n\n",
        std::thread::available_parallelism().map_or(1, usize::from)
    );
    out.push_str(&chain(&pool, trials, repeats));
    if numbers.is_empty() {
        out.push_str(
            "\n## A trial of each shipped scenario\n\nOne thread, claims of the lab included. The floor is a plain loop \
             that draws as many normal numbers and sums them, and draws, rounds and sums as many readings. Readings whose \
             line is drawn at once cost less than those of the floor. In `rank`: the whole command over all trials of all \
             its runs of the model.\n\n",
        );
        out.push_str(&real::trials(&pool, 2));
        out.push_str("\n## Whole commands\n\nTime of the clock, all threads, `--json` (no pictures), the least of three.\n\n");
        out.push_str(&real::commands());
    }
    print!("{out}");
    if arguments.iter().any(|a| a == "--write") {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/results/benchmark.md");
        std::fs::write(path, out).expect("writes");
    }
}
