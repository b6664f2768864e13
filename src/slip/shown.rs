//! What would show a mistake: the scatter of the runs, and the inspection.
//!
//! Scatter: with the variance s_k^2 of the runs of each kind k and its mean v_k over competent groups, `sum_k s_k^2 / v_k` above
//! the value that 5 % of competent groups exceed.

use super::place::Place;
use crate::scenario::{Inspection, Scenario};
use crate::stats::{Moments, Sorted};

/// What one kind of group comes to, of a table.
pub(super) struct Found<'t> {
    pub(super) value: &'t [f64],
    /// Variance of runs, by leg.
    variance: &'t [Vec<f64>],
}

impl<'t> Found<'t> {
    /// Of the columns of a result.
    pub(super) fn of(columns: &'t [Vec<f64>]) -> Self {
        Self {
            value: &columns[0],
            variance: &columns[1..],
        }
    }
}

/// Share of competent groups whose runs scatter beyond the bound.
const FALSE_ALARM: f64 = 0.05;

/// Differences as fractions of nature's value: more is a larger magnitude.
pub(super) fn relative(values: &[f64], from: &[f64], target: &[f64]) -> Vec<f64> {
    let pairs = values.iter().zip(from).zip(target);
    pairs.map(|((x, y), target)| (x - y) / target).collect()
}

/// The scatter of runs beside that of competent groups.
pub(super) struct Scatter {
    /// Mean variance of the runs of each leg.
    usual: Vec<f64>,
    /// What few competent groups exceed.
    bound: f64,
}

impl Scatter {
    pub(super) fn of(competent: &Found) -> Option<Self> {
        let usual: Vec<f64> = competent
            .variance
            .iter()
            .map(|v| Moments::of(v).mean().value)
            .collect();
        let mut own = Self { usual, bound: 0.0 };
        if !own.usual.iter().any(|v| *v > 0.0) {
            return None;
        }
        let sorted = Sorted::from_vec(own.statistic(competent));
        own.bound = sorted.quantile(1.0 - FALSE_ALARM).value;
        Some(own)
    }

    fn statistic(&self, found: &Found) -> Vec<f64> {
        let ratio = |i: usize| {
            let legs = self.usual.iter().zip(found.variance);
            let own = legs.filter(|(usual, _)| **usual > 0.0);
            own.map(|(usual, v)| v[i] / usual).sum()
        };
        (0..found.value.len()).map(ratio).collect()
    }

    /// Share of groups beyond the bound.
    pub(super) fn power(&self, found: &Found) -> f64 {
        let all = self.statistic(found);
        let beyond = all.iter().filter(|x| **x > self.bound).count();
        beyond as f64 / all.len() as f64
    }
}

/// Share of groups in which a residue is noticed in one of the runs concerned. With at most m repeats of a run of which a
/// share p is noticed there are p + p^2 + ... + p^m of them.
pub(super) fn noticed(scenario: &Scenario, repeats: &[Vec<f64>], place: Place) -> Option<f64> {
    let most = scenario.repeat.most;
    let legs = scenario.legs();
    if most == 0 || legs.iter().all(|leg| leg.inspection == Inspection::None) {
        return None;
    }
    let chance = |mean: f64| {
        let sum = |p: f64| (1..=most).fold(0.0, |sum, _| p * (1.0 + sum));
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..50 {
            let middle = 0.5 * (low + high);
            if sum(middle) < mean {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    };
    let none = legs
        .iter()
        .zip(repeats)
        .enumerate()
        .map(|(at, (leg, again))| {
            let concerned = match place {
                Place::Both => leg.runs,
                Place::Calibration if at == 0 => leg.runs,
                Place::Determinations if at > 0 => leg.runs,
                Place::OneRun if at == 1 => 1,
                _ => 0,
            };
            let mean = Moments::of(again).mean().value / f64::from(leg.runs.max(1));
            let unnoticed = 1.0 - chance(mean);
            (0..concerned).fold(1.0, |all, _| all * unnoticed)
        });
    Some(1.0 - none.product::<f64>())
}
