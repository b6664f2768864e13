//! Differences between contenders over the same trials, with the errors of the differences.
//!
//! All contenders meet the same random numbers, so what they share drops out of a difference. Its error comes from
//! batches of trials: the statistic is taken of each batch of both, and the scatter of the differences counts. No
//! model of how the two hang together is needed, and a contender against itself differs by nothing, exactly.

use super::compare_difference::{Differences, Verdict};
use super::outcome::Outcome;
use super::statistic::Statistic;
use crate::stats::{Moments, rms};

/// Relative errors of one contender, batch by batch.
#[derive(Debug, Clone, PartialEq)]
pub struct Paired {
    bias: Statistic,
    spread: Statistic,
    within: Statistic,
    rms: Statistic,
}

impl Paired {
    /// From errors in trial order and the value that they are relative to; `keep` tells which trials count, the same
    /// for all contenders. The others keep their places, so that batches hold the same trials for all.
    pub fn of(errors: &[f64], target: f64, keep: &[bool]) -> Self {
        let relative: Vec<f64> = errors
            .iter()
            .zip(keep)
            .map(|(e, keep)| if *keep { e / target } else { f64::NAN })
            .collect();
        Self {
            bias: Statistic::of(&relative, |v| Moments::of(v).mean().value),
            spread: Statistic::of(&relative, |v| Moments::of(v).sd().value),
            within: Statistic::of_sizes(&relative, 0.95),
            rms: Statistic::of(&relative, |v| rms(v).value),
        }
    }

    /// Whether these trials tell that another one's results stay closer to the true value.
    pub fn is_behind(&self, other: &Self) -> bool {
        self.within.less(&other.within).verdict() == Verdict::Worse
    }

    /// This contender less another.
    pub fn less(&self, other: &Self) -> Differences {
        Differences {
            bias: self.bias.less(&other.bias),
            off: self.bias.size_less(&other.bias),
            spread: self.spread.less(&other.spread),
            within: self.within.less(&other.within),
            rms: self.rms.less(&other.rms),
        }
    }
}

/// Places of contenders by the distance that 95 % of results stay within, 1 for the smallest, in the order given; who shares a
/// place follows [`stats::places`](crate::stats::places).
pub fn places(all: &[&Paired]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    let size = |i: usize| match all[i].within.value {
        v if v.is_nan() => f64::INFINITY,
        v => v,
    };
    order.sort_by(|a, b| size(*a).total_cmp(&size(*b)));
    crate::stats::places(&order, |a, b| all[a].is_behind(all[b]))
}

/// Share of trials without a finite result that all contenders do without; one with more is broken, and the others are
/// compared without it.
const MOST_LOST: f64 = 0.01;

/// Statistics of all outcomes over the trials that are finite in every one of them, and their places.
pub(super) fn paired(outcomes: &[Outcome]) -> (Vec<Paired>, Vec<usize>) {
    let trials = outcomes.first().map_or(0, |o| o.errors.values.len());
    let whole = |o: &&Outcome| o.errors.nonfinite as f64 <= MOST_LOST * trials as f64;
    let sound: Vec<&Outcome> = outcomes.iter().filter(whole).collect();
    let keep: Vec<bool> = (0..trials)
        .map(|t| sound.iter().all(|o| o.errors.values[t].is_finite()))
        .collect();
    let of = |o: &Outcome| Paired::of(&o.errors.values, o.target, &keep);
    let paired: Vec<Paired> = outcomes.iter().map(of).collect();
    let places = places(&paired.iter().collect::<Vec<_>>());
    (paired, places)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::special::normal_quantile;

    /// A spread-out column without errors: quantiles in a fixed disorder.
    fn column(n: usize, sd: f64, mean: f64, step: usize) -> Vec<f64> {
        (0..n)
            .map(|i| ((i * step) % n) as f64 + 0.5)
            .map(|u| mean + sd * normal_quantile(u / n as f64))
            .collect()
    }

    fn of(errors: &[f64], target: f64) -> Paired {
        Paired::of(errors, target, &vec![true; errors.len()])
    }

    #[test]
    fn a_contender_against_itself_is_exactly_nothing_and_order_flips_signs() {
        let (a, b) = (
            of(&column(2_003, 1.0, 0.1, 777), 50.0),
            of(&column(2_003, 1.2, -0.1, 777), -80.0),
        );
        let none = a.less(&a);
        for d in [none.bias, none.off, none.spread, none.within, none.rms] {
            assert_eq!((d.0.value, d.0.se), (0.0, 0.0));
            assert_eq!(d.verdict(), Verdict::Same);
        }
        let (there, back) = (a.less(&b), b.less(&a));
        for (x, y) in [
            (there.bias, back.bias),
            (there.off, back.off),
            (there.spread, back.spread),
            (there.within, back.within),
            (there.rms, back.rms),
        ] {
            assert_eq!((x.0.value, x.0.se), (-y.0.value, y.0.se));
        }
        assert_eq!(there.bias.0.value, a.bias.value - b.bias.value);
        assert!(
            there.spread.verdict() == Verdict::Worse && back.spread.verdict() == Verdict::Better
        );
    }

    #[test]
    fn what_both_share_is_no_error_of_the_difference() {
        let own = column(4_001, 1.0, 0.0, 1_234);
        let shifted: Vec<f64> = own.iter().map(|e| e + 0.01).collect();
        let apart = of(&column(4_001, 1.0, 0.01, 777), 1.0);
        let paired = of(&shifted, 1.0).less(&of(&own, 1.0));
        // Both know their mean to 0.016; the shift is seen all the same, and only where they are paired.
        assert!((paired.bias.0.value - 0.01).abs() < 1e-12 && paired.bias.0.se < 1e-12);
        assert!(apart.less(&of(&own, 1.0)).bias.0.se > 0.003);
        // About zero it is undetermined which of the two is off by more; far from it the shift decides.
        assert_eq!(paired.off.verdict(), Verdict::NotToldApart);
        let moved = |by: f64| of(&own.iter().map(|e| e + by).collect::<Vec<_>>(), 1.0);
        let far = moved(1.01).less(&moved(1.0)).off;
        assert!(far.verdict() == Verdict::Worse && (far.0.value - 0.01).abs() < 1e-12);
        assert_eq!(
            moved(-1.0).less(&moved(-1.01)).off.verdict(),
            Verdict::Better
        );
        // Biases of like size and opposite sign have no different magnitudes.
        let sides = moved(1.0).less(&moved(-1.0));
        assert!((sides.bias.0.value - 2.0).abs() < 1e-12 && sides.bias.0.se < 1e-12);
        assert_eq!(sides.off.verdict(), Verdict::NotToldApart);
    }

    #[test]
    fn places_are_shared_by_what_is_not_told_apart() {
        let base = column(4_001, 1.0, 0.0, 1_234);
        let times = |f: f64| of(&base.iter().map(|e| f * e).collect::<Vec<_>>(), 1.0);
        let (small, large) = (times(0.9), times(1.1));
        let same = of(&column(4_001, 1.1, 0.0, 777), 1.0);
        assert_eq!(places(&[&large, &small, &same]), [2, 1, 2]);
        assert_eq!(places(&[&large]), [1]);
        let none = of(&[f64::NAN; 100], 1.0);
        assert_eq!(places(&[&none, &small]), [1, 1]);
    }

    #[test]
    fn trials_that_do_not_count_leave_the_others_paired() {
        let mut errors = column(999, 1.0, 0.0, 77);
        let shifted: Vec<f64> = errors.iter().map(|e| e + 0.01).collect();
        errors[500] = f64::NAN;
        let keep: Vec<bool> = errors.iter().map(|e| e.is_finite()).collect();
        let d = Paired::of(&shifted, 2.0, &keep).less(&Paired::of(&errors, 2.0, &keep));
        assert!((d.bias.0.value - 0.005).abs() < 1e-12 && d.bias.0.se < 1e-12);
        assert!(d.spread.0.value.abs() < 1e-12, "{d:?}");
        // out of step by one trial, noise is back.
        let late = Paired::of(&shifted[1..], 2.0, &keep[1..]);
        assert!(late.less(&Paired::of(&errors, 2.0, &keep)).bias.0.se > 1e-4);
    }
}
