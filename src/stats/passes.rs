//! Statistics of more values than are kept, by running them again.
//!
//! A first pass gathers moments and keeps a pilot of the first values; the pilot brackets each
//! order statistic that is asked for; a second pass counts what lies below each bracket and keeps
//! what lies inside. The result is the exact order statistic, as if all values had been sorted. A
//! bracket that misses is widened and the pass repeated.

use super::estimate::Estimate;
use super::interval::{Interval, IntervalKind};
use super::moments::Moments;

/// Most values that are kept at a time.
pub const MOST_KEPT: u64 = 3 << 17;

/// What the passes find.
#[derive(Debug, Clone)]
pub struct Passed {
    /// Moments of all values.
    pub moments: Moments,
    /// Median.
    pub median: Estimate,
    /// Symmetric 95 % interval.
    pub symmetric: Interval,
}

/// Feeds all values, in order and always the same ones, to a sink.
pub type Replay<'r, E> = &'r mut dyn FnMut(&mut dyn FnMut(&[f64])) -> Result<(), E>;

/// One order statistic that is looked for.
struct Wanted {
    /// Rank from 0 among the finite values.
    rank: u64,
    low: f64,
    high: f64,
    below: u64,
    inside: Vec<f64>,
}

/// Moments, median and symmetric 95 % interval of `count` values.
///
/// # Errors
/// Whatever the replay fails with.
pub fn run<E>(count: u64, replay: Replay<E>) -> Result<Passed, E> {
    let mut moments = Moments::new();
    let mut pilot = Vec::new();
    replay(&mut |values| {
        for v in values {
            moments.push(*v);
            if v.is_finite() && (pilot.len() as u64) < MOST_KEPT.min(count) {
                pilot.push(*v);
            }
        }
    })?;
    pilot.sort_by(f64::total_cmp);
    let n = moments.count();
    let ps = [0.025, 0.5, 0.975];
    let mut ranks: Vec<u64> = Vec::new();
    for p in ps {
        let centre = p * n as f64;
        let half = (n as f64 * p * (1.0 - p)).sqrt();
        for r in [centre - half, centre, centre + half] {
            ranks.push((r.floor().max(0.0) as u64).min(n.saturating_sub(1)));
        }
    }
    let values = order_statistics(n, &pilot, &ranks, replay)?;
    let estimate = |i: usize| {
        let [low, mid, high] = [values[3 * i], values[3 * i + 1], values[3 * i + 2]];
        Estimate::new(mid, 0.5 * (high - low))
    };
    Ok(Passed {
        moments,
        median: estimate(1),
        symmetric: Interval {
            low: estimate(0),
            high: estimate(2),
            probability: 0.95,
            kind: IntervalKind::Symmetric,
        },
    })
}

/// The values at these ranks (from 0) among `n` finite values.
fn order_statistics<E>(
    n: u64,
    pilot: &[f64],
    ranks: &[u64],
    replay: Replay<E>,
) -> Result<Vec<f64>, E> {
    if n == 0 || pilot.is_empty() {
        return Ok(vec![f64::NAN; ranks.len()]);
    }
    let mut margin = 6.0;
    let mut found = vec![f64::NAN; ranks.len()];
    let mut open: Vec<usize> = (0..ranks.len()).collect();
    while !open.is_empty() {
        let mut wanted: Vec<Wanted> = open
            .iter()
            .map(|&i| bracket(ranks[i], n, pilot, margin))
            .collect();
        replay(&mut |values| {
            for &v in values.iter().filter(|v| v.is_finite()) {
                for w in &mut wanted {
                    if v < w.low {
                        w.below += 1;
                    } else if v <= w.high {
                        w.inside.push(v);
                    }
                }
            }
        })?;
        let mut missed = Vec::new();
        for (&i, mut w) in open.iter().zip(wanted) {
            match w.rank.checked_sub(w.below) {
                Some(at) if (at as usize) < w.inside.len() => {
                    w.inside.sort_by(f64::total_cmp);
                    found[i] = w.inside[at as usize];
                }
                _ => missed.push(i),
            }
        }
        open = missed;
        margin *= 4.0;
    }
    Ok(found)
}

/// Brackets a rank between two pilot values, `margin` standard deviations apart on either side.
fn bracket(rank: u64, n: u64, pilot: &[f64], margin: f64) -> Wanted {
    let m = pilot.len() as f64;
    let p = (rank as f64 + 0.5) / n as f64;
    let half = margin * (m * p * (1.0 - p)).sqrt() + 2.0;
    let at = |position: f64| {
        if position < 0.0 {
            f64::NEG_INFINITY
        } else if position > m - 1.0 {
            f64::INFINITY
        } else {
            pilot[position as usize]
        }
    };
    Wanted {
        rank,
        low: at(p * m - half),
        high: at(p * m + half),
        below: 0,
        inside: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_found_in_passes_are_those_of_the_sorted_whole() {
        // A stream that drifts, so that its beginning is a poor pilot.
        let all: Vec<f64> = (0..40_000u64)
            .map(|i| {
                let scrambled = i.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40;
                scrambled as f64 / 16_777_216.0 + if i < 5_000 { 0.0 } else { 0.4 }
            })
            .collect();
        let mut sorted = all.clone();
        sorted.sort_by(f64::total_cmp);
        let mut pilot = all[..5_000].to_vec();
        pilot.sort_by(f64::total_cmp);
        let mut passes = 0;
        let ranks = [0, 999, 20_000, 39_000, 39_999];
        let found = order_statistics::<()>(40_000, &pilot, &ranks, &mut |sink| {
            passes += 1;
            all.chunks(256).for_each(sink);
            Ok(())
        })
        .unwrap();
        for (r, f) in ranks.iter().zip(found) {
            assert_eq!(f, sorted[*r as usize]);
        }
        assert!(passes > 1, "the poor pilot must have missed at least once");
    }
}
