//! When to stop: the adaptive Monte Carlo procedure of JCGM 101:2008, 7.9.4, held to what is printed.

use super::tail::Tail;
use super::{Estimate, Moments, Sorted, numerical_tolerance, symmetric};

/// How well the results are to be known.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum StopRule {
    /// To so many significant digits of the standard deviation, JCGM 101:2008, 7.9.4.
    Digits(u32),
    /// To standard errors of at most this part of the standard deviation.
    #[serde(rename = "errors_over_spread")]
    Relative(f64),
}

/// The averages over the batches so far, each with the standard deviation of
/// that average; all in the unit of the results.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Running {
    /// How many batches contributed (h of the clause).
    pub batches: u64,
    /// How many finite results all batches held.
    pub trials: u64,
    /// How many results were not finite.
    pub nonfinite: u64,
    /// Average of the batch means.
    pub mean: Estimate,
    /// Average of the batch standard deviations.
    pub u: Estimate,
    /// Average of the lower ends of the symmetric intervals.
    pub low: Estimate,
    /// Average of the upper ends of the symmetric intervals.
    pub high: Estimate,
    /// What twice each standard error must not exceed.
    pub tolerance: f64,
}

/// What to do after a batch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Decision {
    /// Simulate another batch.
    Continue(Running),
    /// All four numbers have settled within the tolerance.
    Stop(Running),
}

impl Decision {
    /// Whether the simulation may end.
    pub const fn is_stop(&self) -> bool {
        matches!(self, Self::Stop(_))
    }

    /// The averages and errors behind the decision.
    pub const fn running(&self) -> &Running {
        match self {
            Self::Continue(running) | Self::Stop(running) => running,
        }
    }
}

/// The stopping rule as a state machine: batches in, decisions out.
///
/// The simulation may stop once the mean, the standard deviation and both ends of the symmetric
/// coverage interval of all trials together have standard errors of which twice is within the
/// tolerance: exactly what is stated of them in the end. For [`StopRule::Digits`] the clause's own
/// test must hold as well, from the second batch on: the four are averaged over the batches, and
/// twice the standard deviation of each average is to be within the tolerance. That test by itself,
/// repeated after each batch until it passes, is content too soon.
///
/// It does not stop while a standard error cannot be told: while a few far results make much of the
/// variance ([`super::rare_far_results`]), or the column falls off so slowly that the error of its
/// standard deviation is not known. Whoever runs it sets a largest number of trials.
#[derive(Debug, Clone, PartialEq)]
pub struct AdaptiveStop {
    rule: StopRule,
    probability: f64,
    pool: Moments,
    sorted: Sorted,
    mean: Moments,
    u: Moments,
    low: Moments,
    high: Moments,
}

impl AdaptiveStop {
    /// A rule for coverage probability `p` in (0, 1). Any other `p` has no interval and never stops.
    pub fn new(rule: StopRule, p: f64) -> Self {
        Self {
            rule,
            probability: p,
            pool: Moments::new(),
            sorted: Sorted::default(),
            mean: Moments::new(),
            u: Moments::new(),
            low: Moments::new(),
            high: Moments::new(),
        }
    }

    /// Takes the results of one batch and decides.
    ///
    /// The clause asks for batches of max(10⁴, 100/(1−p)) trials at least.
    /// Non-finite results are dropped and counted. A batch left too short to
    /// have an interval counts among all trials, but not in the averages.
    pub fn push(&mut self, batch: &[f64]) -> Decision {
        let moments = Moments::of(batch);
        let sorted = Sorted::of(batch);
        let interval = symmetric(&sorted, self.probability);
        self.pool.merge(&moments);
        self.sorted.join(&sorted);
        if interval.low.is_defined() {
            self.mean.push(moments.mean().value);
            self.u.push(moments.sd().value);
            self.low.push(interval.low.value);
            self.high.push(interval.high.value);
        }
        let running = self.running();
        if self.settled(&running) {
            Decision::Stop(running)
        } else {
            Decision::Continue(running)
        }
    }

    /// The cheapest comes first; what is costly is looked at only if all before it has settled.
    fn settled(&self, running: &Running) -> bool {
        let clause = [running.mean, running.u, running.low, running.high];
        // An undefined error compares false and so keeps the run going.
        let within = |e: &Estimate| 2.0 * e.se <= running.tolerance;
        let (mean, sd) = (self.pool.mean(), self.pool.sd());
        if matches!(self.rule, StopRule::Digits(_)) && !clause.iter().all(within) {
            return false;
        }
        [mean, sd].iter().all(within) && {
            let ends = symmetric(&self.sorted, self.probability);
            let tail = Tail::about(self.sorted.values(), mean.value);
            [ends.low, ends.high, tail.known(2, sd)].iter().all(within)
        }
    }

    /// The state after the batches so far. The error of an average over h
    /// batches is √(Σ(x − x̄)²/(h(h−1))) by the clause: that of a mean.
    pub fn running(&self) -> Running {
        let u = self.pool.sd().value;
        Running {
            batches: self.mean.count(),
            trials: self.pool.count(),
            nonfinite: self.pool.nonfinite(),
            mean: self.mean.mean(),
            u: self.u.mean(),
            low: self.low.mean(),
            high: self.high.mean(),
            tolerance: match self.rule {
                StopRule::Digits(digits) => numerical_tolerance(u, digits),
                StopRule::Relative(part) => 2.0 * part * u,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Summary;
    use super::super::testing::*;
    use super::*;

    const BATCH: usize = 10_240;

    /// Sums of four standard normals, as in JCGM 101:2008, 9.2.2.
    fn sums(seed: u64) -> Vec<f64> {
        let all = normal(seed, 4 * BATCH);
        all.chunks_exact(4).map(|four| four.iter().sum()).collect()
    }

    fn run(seed: u64, ndig: u32) -> Running {
        let rule = StopRule::Digits(ndig);
        *stopped(rule, |i| sums(seed + i))
            .0
            .expect("it stops")
            .running()
    }

    /// The decision to stop within a million trials, if there is one, and all results.
    fn stopped(rule: StopRule, batch: impl Fn(u64) -> Vec<f64>) -> (Option<Decision>, Vec<f64>) {
        let mut stop = AdaptiveStop::new(rule, 0.95);
        let mut all = Vec::new();
        let decision = (0..100)
            .map(|i| {
                all.extend(batch(i));
                stop.push(&all[i as usize * BATCH..])
            })
            .find(Decision::is_stop);
        (decision, all)
    }

    /// Standard errors of mean, standard deviation and ends, as they are printed of all results.
    fn printed(all: &[f64]) -> [f64; 4] {
        let s = Summary::of(all, 0.95);
        [s.mean, s.sd, s.interval.low, s.interval.high].map(|e| e.se)
    }

    #[test]
    fn four_normals_settle_within_their_tolerance() {
        // Exact: u = 2, ends +-2 x 1.959964; delta of 2.0 is 0.05.
        let end = 3.919927969080108;
        for seed in [10_000, 20_000, 30_000, 40_000, 50_000, 60_000] {
            let r = run(seed, 2);
            assert_eq!(r.tolerance, 0.05);
            assert!(r.batches >= 2 && r.trials == r.batches * BATCH as u64);
            assert!((r.u.value - 2.0).abs() < 0.05, "{r:?}");
            assert!((r.high.value - end).abs() < 0.1, "{r:?}");
            assert!((r.low.value + end).abs() < 0.1, "{r:?}");
            assert!(2.0 * r.high.se <= 0.05 && 2.0 * r.low.se <= 0.05);
            // A fifth-larger sample would not have passed.
            assert!((1.2 * r.high.value - end).abs() > 0.1);
        }
    }

    #[test]
    fn what_is_printed_at_a_stop_keeps_the_tolerance() {
        let mut contradicted_by_the_clause = 0;
        for seed in 0..20 {
            // A range of tolerances from 0.5 % to 5 % of the standard deviation.
            let unit = 1.0 + 0.1 * seed as f64;
            let batch = |i| scaled(&exponential(1_000 * seed + i, BATCH), unit);
            let (decision, all) = stopped(StopRule::Digits(2), batch);
            let tolerance = decision.expect("it stops").running().tolerance;
            assert!(printed(&all).iter().all(|se| 2.0 * se <= tolerance));
            // Where the averages over the batches alone would have stopped.
            let mut clause = AdaptiveStop::new(StopRule::Digits(2), 0.95);
            let content = |r: &Running| {
                let all = [r.mean, r.u, r.low, r.high];
                all.iter().all(|e| 2.0 * e.se <= r.tolerance)
            };
            let batches = all
                .chunks(BATCH)
                .position(|b| content(clause.push(b).running()));
            let so_far = &all[..(batches.expect("content before") + 1) * BATCH];
            let tolerance = numerical_tolerance(Moments::of(so_far).sd().value, 2);
            contradicted_by_the_clause +=
                u32::from(printed(so_far).iter().any(|se| 2.0 * se > tolerance));
        }
        assert!(
            contradicted_by_the_clause >= 5,
            "{contradicted_by_the_clause}"
        );
    }

    #[test]
    fn a_relative_rule_stops_at_its_part_of_the_spread() {
        for part in [0.02, 0.01] {
            let (decision, all) =
                stopped(StopRule::Relative(part), |i| exponential(700 + i, BATCH));
            let u = Moments::of(&all).sd().value;
            let tolerance = decision.expect("it stops").running().tolerance;
            assert!((tolerance / (2.0 * part * u) - 1.0).abs() < 1e-12);
            assert!(printed(&all).iter().all(|se| *se <= part * u));
            // The upper end is the worst known: sqrt(39/n) of the spread. Its error, from some 50
            // results to either side of it, is itself known to a tenth, and the number of trials to a fifth.
            let due = 39.0 / (part * part);
            assert!((all.len() as f64 / due - 1.0).abs() < 0.5);
        }
    }

    #[test]
    fn rare_far_results_keep_it_from_stopping() {
        // One in ten thousand at 300 times the spread: 90 % of the variance.
        let batch = |i: u64| -> Vec<f64> {
            let far = unit(91_000 + i, BATCH);
            let bell = normal(80_000 + i, BATCH);
            let of = |(z, u): (&f64, &f64)| if *u < 1e-4 { 300.0 } else { *z };
            bell.iter().zip(&far).map(of).collect()
        };
        let (decision, all) = stopped(StopRule::Relative(0.2), batch);
        assert!(Summary::of(&all[..30 * BATCH], 0.95).far.is_some());
        // A hundred of them are enough.
        let seen = all.iter().filter(|x| **x == 300.0).count();
        assert!(decision.is_some() && (85..=120).contains(&seen), "{seen}");
        assert!(Summary::of(&all, 0.95).far.is_none());
    }

    #[test]
    fn fewer_digits_are_settled_sooner() {
        assert!(run(70_000, 1).trials <= run(70_000, 2).trials);
        assert_eq!(run(70_000, 1).tolerance, 0.5);
    }

    #[test]
    fn one_batch_never_stops_and_repeated_batches_stop_when_there_are_enough() {
        let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
        let batch = sums(80_000);
        assert!(!rule.push(&batch).is_stop());
        // The averages have no spread then, but the ends of two batches are not known to 0.025.
        assert!(!rule.push(&batch).is_stop());
        assert!((0..6).any(|_| rule.push(&batch).is_stop()));
    }

    #[test]
    fn drifting_batches_do_not_stop() {
        let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
        for i in 0..6 {
            let batch: Vec<f64> = sums(90_000 + i).iter().map(|x| x + i as f64).collect();
            assert!(!rule.push(&batch).is_stop());
        }
    }

    #[test]
    fn the_error_of_an_average_is_that_of_the_clause() {
        let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
        let means = [1.0, 2.0, 6.0];
        for mean in means {
            let batch: Vec<f64> = (-50..=50).map(|k| mean + f64::from(k)).collect();
            rule.push(&batch);
        }
        // Sum of squares about 3 is 14; 14/(3 x 2) under the root.
        let r = rule.running();
        assert!((r.mean.value - 3.0).abs() < 1e-12);
        assert!((r.mean.se - (14.0_f64 / 6.0).sqrt()).abs() < 1e-12);
        assert!((r.low.se - r.mean.se).abs() < 1e-12);
    }

    #[test]
    fn failed_trials_are_counted_and_empty_batches_ignored() {
        let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
        let mut batch = sums(95_000);
        batch[7] = f64::NAN;
        rule.push(&batch);
        let after = *rule.push(&[f64::NAN; 3]).running();
        assert_eq!((after.batches, after.nonfinite), (1, 4));
        assert_eq!(after.trials, BATCH as u64 - 1);
    }

    #[test]
    fn a_constant_model_stops_and_a_senseless_probability_does_not() {
        let mut rule = AdaptiveStop::new(StopRule::Digits(2), 0.95);
        rule.push(&[4.2; 100]);
        assert!(rule.push(&[4.2; 100]).is_stop());
        let mut never = AdaptiveStop::new(StopRule::Digits(2), 1.0);
        never.push(&[4.2; 100]);
        assert!(!never.push(&[4.2; 100]).is_stop());
    }
}
