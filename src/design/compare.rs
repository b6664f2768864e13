//! Procedures side by side on common random numbers.
//!
//! Every contender is simulated with the same seed and the same trials. Errors are relative to each contender's own
//! true value, so that procedures for different reactions can be set beside each other; differences are taken trial
//! for trial against the first one (see [`super::Paired`]).

use super::bounds::{Bound, OutOfBounds, cap, zones};
use super::compare_causes::{Causes, effort};
use super::compare_difference::Differences;
use super::compare_paired::paired;
use super::outcome::{DesignOptions, Outcome};
use crate::engine::EngineError;
use crate::experiment::advise;
use crate::scenario::Scenario;
use crate::stats::Estimate;
use std::sync::atomic::AtomicBool;

/// Most contenders: they are told apart by a letter each.
pub const MOST_CONTENDERS: usize = 26;

/// Groups of a section unless asked otherwise.
pub const GROUPS: u32 = 12;

/// Somebody's procedure, or the reason why there is none.
#[derive(Debug, Clone)]
pub struct Contender {
    /// A few words.
    pub name: String,
    /// What it is, in a sentence.
    pub what: String,
    /// Whether it is the first one with something changed, with the times that the first one states.
    pub derived: bool,
    /// The scenario, if there can be one.
    pub scenario: Result<Scenario, OutOfBounds>,
}

/// How to run a comparison.
pub struct CompareOptions<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Trials of each contender.
    pub trials: u64,
    /// Groups in a section, for what it uses up.
    pub groups: u32,
    /// Ends the comparison early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of simulated trials, of [`trials_in_all`].
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

/// What one contender delivers.
#[derive(Debug, Clone)]
pub struct Delivered {
    /// The scenario, with advice among its warnings.
    pub scenario: Scenario,
    /// Errors, changes of temperature, costs.
    pub outcome: Outcome,
    /// What makes spread and bias.
    pub causes: Causes,
    /// Bounds that it lies beyond.
    pub zones: Vec<OutOfBounds>,
    /// Less the first contender; of the first less itself.
    pub against: Differences,
    /// Place by the distance that 95 % of results stay within; those not told apart share one.
    pub place: usize,
    /// Those of the others, among the possible ones, that these trials tell to be closer to the true value.
    pub behind: Vec<usize>,
}

/// One contender, compared.
#[derive(Debug, Clone)]
pub struct Compared {
    /// A few words.
    pub name: String,
    /// What it is.
    pub what: String,
    /// What it delivers, or why it cannot be.
    pub result: Result<Box<Delivered>, OutOfBounds>,
}

/// The whole comparison.
#[derive(Debug, Clone)]
pub struct Comparison {
    /// Seed.
    pub seed: u64,
    /// Trials of each contender.
    pub trials: u64,
    /// Groups in a section.
    pub groups: u32,
    /// Cap of the change of temperature, K: that of the first contender.
    pub cap: f64,
    /// The contenders in the order given.
    pub contenders: Vec<Compared>,
}

impl Delivered {
    /// An estimate in J/mol as a fraction of the result's size.
    pub fn relative(&self, e: Estimate) -> Estimate {
        self.outcome.relative(e)
    }

    /// The same with the sign of "in magnitude": minus for too small.
    pub fn in_size(&self, e: Estimate) -> Estimate {
        self.outcome.in_size(e)
    }

    /// Distance that 95 % of results stay within, relative.
    pub fn within(&self) -> Estimate {
        self.relative(self.outcome.errors.within)
    }

    /// Standard uncertainty of the tabulated value of what is determined, relative.
    pub fn literature(&self) -> f64 {
        self.scenario.tabulated_u().0 / self.outcome.target.abs()
    }
}

impl Comparison {
    /// Bounds for which a contender is not suggested: the cap and an excess that runs out always, any other unless all are
    /// beyond it.
    pub fn barred(&self, d: &Delivered) -> Vec<Bound> {
        let beyond = |d: &Delivered, bound: Bound| d.zones.iter().any(|z| z.bound == bound);
        let all = |bound: Bound| self.delivered().all(|(_, d)| beyond(d, bound));
        let always = |bound: Bound| matches!(bound, Bound::LargeChange | Bound::Excess);
        let own = d.zones.iter().map(|z| z.bound);
        let mut found: Vec<Bound> = own.filter(|b| always(*b) || !all(*b)).collect();
        found.sort();
        found.dedup();
        found
    }

    /// Those that were simulated, with their numbers in the order given.
    pub fn delivered(&self) -> impl Iterator<Item = (usize, &Delivered)> {
        let all = self.contenders.iter().enumerate();
        all.filter_map(|(i, c)| Some((i, c.result.as_ref().ok()?.as_ref())))
    }

    /// The same by place, the best first.
    pub fn by_place(&self) -> Vec<(usize, &Delivered)> {
        let mut all: Vec<_> = self.delivered().collect();
        all.sort_by(|a, b| {
            let size = |d: &Delivered| d.within().value;
            a.1.place
                .cmp(&b.1.place)
                .then(size(a.1).total_cmp(&size(b.1)))
        });
        all
    }

    /// The letter that a contender goes by.
    pub fn letter(i: usize) -> char {
        char::from(b'A' + (i % MOST_CONTENDERS) as u8)
    }
}

/// What [`CompareOptions::progress`] counts to if every contender takes so many trials.
pub fn trials_in_all(contenders: &[Contender], trials: u64) -> u64 {
    let each = |s: &Scenario| trials + effort(s);
    let accepted = contenders.iter().filter_map(|c| c.scenario.as_ref().ok());
    accepted.map(each).sum()
}

/// Compares contenders; `None` if the first of them cannot be, against which all are measured.
///
/// # Errors
/// If interrupted.
pub fn compare(
    contenders: Vec<Contender>,
    options: &CompareOptions,
) -> Result<Option<Comparison>, EngineError> {
    let Some(Ok(first)) = contenders.first().map(|c| &c.scenario) else {
        return Ok(None);
    };
    let cap = cap(first);
    let mut done = 0;
    let tick = |n: u64| {
        if let Some(progress) = options.progress {
            progress(n);
        }
    };
    let scenarios: Vec<Scenario> = contenders
        .iter()
        .filter_map(|c| c.scenario.as_ref().ok())
        .map(|s| {
            let mut own = s.clone();
            advise(&mut own);
            own
        })
        .collect();
    let study = DesignOptions {
        trials: options.trials,
        interrupt: options.interrupt,
        ..DesignOptions::new(options.seed)
    };
    let derived = contenders.iter().filter(|c| c.scenario.is_ok());
    let derived: Vec<bool> = derived.map(|c| c.derived).collect();
    let mut outcomes = Vec::new();
    for (s, derived) in scenarios.iter().zip(derived) {
        let mut outcome = Outcome::of(s, &study)?;
        if derived {
            outcome.stretched(first, s);
        }
        outcomes.push(outcome);
        done += options.trials;
        tick(done);
    }
    let mut causes = Vec::new();
    for (s, outcome) in scenarios.iter().zip(&outcomes) {
        let so_far = |n: u64| tick(done + n);
        let own = (s, outcome.errors.spread);
        causes.push(Causes::of(own, options.seed, options.interrupt, &so_far)?);
        done += effort(s);
    }
    let (paired, places) = paired(&outcomes);
    let possible: Vec<usize> = (0..contenders.len())
        .filter(|i| contenders[*i].scenario.is_ok())
        .collect();
    let mut found = scenarios
        .into_iter()
        .zip(outcomes)
        .zip(causes)
        .enumerate()
        .map(|(i, ((scenario, mut outcome), causes))| {
            // Errors trial by trial have served.
            outcome.errors.values = Vec::new();
            Box::new(Delivered {
                zones: zones(&scenario, &outcome, cap),
                against: paired[i].less(&paired[0]),
                place: places[i],
                behind: (0..paired.len())
                    .filter(|j| paired[i].is_behind(&paired[*j]))
                    .map(|j| possible[j])
                    .collect(),
                scenario,
                outcome,
                causes,
            })
        });
    let contenders = contenders.into_iter().filter_map(|c| {
        let result = match c.scenario {
            Ok(_) => Ok(found.next()?),
            Err(zone) => Err(zone),
        };
        Some(Compared {
            name: c.name,
            what: c.what,
            result,
        })
    });
    Ok(Some(Comparison {
        seed: options.seed,
        trials: options.trials,
        groups: options.groups,
        cap,
        contenders: contenders.collect(),
    }))
}
