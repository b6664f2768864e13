//! How long one trial of a solution-calorimetry chain takes: in columns through the engine, and
//! one trial at a time with the usual crates.
//!
//! A trial is three calibration runs and three determinations, 87 random inputs. The two ways
//! share no code below the arithmetic of the chain, so their results also check each other: the
//! benchmark fails if they differ by more than their Monte Carlo errors allow.
//!
//! `cargo bench` runs it; `cargo bench -- TRIALS REPEATS` changes its size.

mod columns;
mod naive;

use cpu_time::ProcessTime;
use joulecast::engine::Study;
use joulecast::stats::{Estimate, Moments, Sorted};
use rand::SeedableRng;
use rand::rngs::StdRng;
use rand_xoshiro::Xoshiro256PlusPlus;

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

fn main() {
    // Cargo adds `--bench`; whatever is a number is ours.
    let mut numbers = std::env::args().filter_map(|a| a.parse::<usize>().ok());
    let trials = numbers.next().unwrap_or(200_000);
    let repeats = numbers.next().unwrap_or(9);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .expect("a pool of one thread");
    let mut ways = [
        Way::new("naive xoshiro256++", |seed, trials| {
            naive::run(&mut Xoshiro256PlusPlus::seed_from_u64(seed), trials)
        }),
        Way::new("naive ChaCha12", |seed, trials| {
            naive::run(&mut StdRng::seed_from_u64(seed), trials)
        }),
        Way::new("engine, columns", |seed, trials| {
            engine(&pool, seed, trials)
        }),
    ];
    // Interleaved, because the clock of the machine drifts over seconds.
    for repeat in 0..repeats {
        for way in &mut ways {
            way.repeat(repeat as u64 + 1, trials);
        }
    }
    println!("{trials} trials, {repeats} interleaved repeats, one thread, process time");
    println!(
        "{:<20} {:>9} {:>9} {:>9} {:>9} {:>9} {:>7}",
        "", "mean", "sd", "2.5 %", "97.5 %", "ns/trial", "ratio"
    );
    let reference = ways[0].median_time();
    for way in &ways {
        let [mean, sd, low, high] = way.statistics().map(|e| e.value);
        let time = way.median_time();
        println!(
            "{:<20} {mean:>9.5} {sd:>9.5} {low:>9.5} {high:>9.5} {time:>9.1} {:>7.2}",
            way.name,
            time / reference
        );
    }
    let [xoshiro, chacha, engine] = &ways;
    assert_agreement(xoshiro, engine);
    assert_agreement(chacha, engine);
}
