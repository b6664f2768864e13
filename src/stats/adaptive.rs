//! When to stop: the adaptive Monte Carlo procedure of JCGM 101:2008, 7.9.4.

use super::{Estimate, Moments, Sorted, numerical_tolerance, symmetric};

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
    /// Numerical tolerance that twice each error must not exceed.
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
/// After each batch, from the second on, the mean, standard deviation and ends
/// of the symmetric coverage interval are averaged over the batches, and the
/// simulation stops once twice the standard deviation of each average is within
/// the numerical tolerance of u for `ndig` digits.
///
/// Two batches suffice for a stop, as in the clause; a spread from so few is
/// itself uncertain, and a lucky early agreement can leave an end off by more
/// than the tolerance. As the clause ends, final results are to be taken from
/// all trials together, not from the averages reported here.
#[derive(Debug, Clone, PartialEq)]
pub struct AdaptiveStop {
    ndig: u32,
    probability: f64,
    pool: Moments,
    mean: Moments,
    u: Moments,
    low: Moments,
    high: Moments,
}

impl AdaptiveStop {
    /// A rule for `ndig` significant digits of the uncertainty and coverage
    /// probability `p` in (0, 1). Any other `p` has no interval and never stops.
    pub fn new(ndig: u32, p: f64) -> Self {
        Self {
            ndig,
            probability: p,
            pool: Moments::new(),
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
    /// have an interval joins the pool that sets the tolerance, but not the
    /// averages.
    pub fn push(&mut self, batch: &[f64]) -> Decision {
        let moments = Moments::of(batch);
        self.pool.merge(&moments);
        let interval = symmetric(&Sorted::of(batch), self.probability);
        if interval.low.is_defined() {
            self.mean.push(moments.mean().value);
            self.u.push(moments.sd().value);
            self.low.push(interval.low.value);
            self.high.push(interval.high.value);
        }
        let running = self.running();
        let settled = [running.mean, running.u, running.low, running.high]
            .iter()
            // An undefined error compares false and so keeps the run going.
            .all(|average| 2.0 * average.se <= running.tolerance);
        if settled {
            Decision::Stop(running)
        } else {
            Decision::Continue(running)
        }
    }

    /// The state after the batches so far. The error of an average over h
    /// batches is √(Σ(x − x̄)²/(h(h−1))) by the clause: that of a mean.
    pub fn running(&self) -> Running {
        Running {
            batches: self.mean.count(),
            trials: self.pool.count(),
            nonfinite: self.pool.nonfinite(),
            mean: self.mean.mean(),
            u: self.u.mean(),
            low: self.low.mean(),
            high: self.high.mean(),
            tolerance: numerical_tolerance(self.pool.sd().value, self.ndig),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::*;
    use super::*;

    const BATCH: usize = 10_240;

    /// Sums of four standard normals, as in JCGM 101:2008, 9.2.2.
    fn sums(seed: u64) -> Vec<f64> {
        let all = normal(seed, 4 * BATCH);
        all.chunks_exact(4).map(|four| four.iter().sum()).collect()
    }

    fn run(seed: u64, ndig: u32) -> Running {
        let mut rule = AdaptiveStop::new(ndig, 0.95);
        (0..10_000)
            .map(|i| rule.push(&sums(seed + i)))
            .find(Decision::is_stop)
            .map(|d| *d.running())
            .expect("the rule stops")
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
    fn fewer_digits_are_settled_sooner() {
        assert!(run(70_000, 1).trials <= run(70_000, 2).trials);
        assert_eq!(run(70_000, 1).tolerance, 0.5);
    }

    #[test]
    fn one_batch_never_stops_and_repeated_batches_stop_at_once() {
        let mut rule = AdaptiveStop::new(2, 0.95);
        let batch = sums(80_000);
        assert!(!rule.push(&batch).is_stop());
        assert!(rule.push(&batch).is_stop());
    }

    #[test]
    fn drifting_batches_do_not_stop() {
        let mut rule = AdaptiveStop::new(2, 0.95);
        for i in 0..6 {
            let batch: Vec<f64> = sums(90_000 + i).iter().map(|x| x + i as f64).collect();
            assert!(!rule.push(&batch).is_stop());
        }
    }

    #[test]
    fn the_error_of_an_average_is_that_of_the_clause() {
        let mut rule = AdaptiveStop::new(2, 0.95);
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
        let mut rule = AdaptiveStop::new(2, 0.95);
        let mut batch = sums(95_000);
        batch[7] = f64::NAN;
        rule.push(&batch);
        let after = *rule.push(&[f64::NAN; 3]).running();
        assert_eq!((after.batches, after.nonfinite), (1, 4));
        assert_eq!(after.trials, BATCH as u64 - 1);
    }

    #[test]
    fn a_constant_model_stops_and_a_senseless_probability_does_not() {
        let mut rule = AdaptiveStop::new(2, 0.95);
        rule.push(&[4.2; 100]);
        assert!(rule.push(&[4.2; 100]).is_stop());
        let mut never = AdaptiveStop::new(2, 1.0);
        never.push(&[4.2; 100]);
        assert!(!never.push(&[4.2; 100]).is_stop());
    }
}
