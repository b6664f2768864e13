//! From many values to the bars of a histogram.

use super::marks::Bar;
use super::round::round_step;
use crate::stats::Lattice;

/// Share of the values at each end that may lie outside the bars.
const TAIL: f64 = 0.001;
/// Beyond so many widths of the middle half a tail would squeeze the rest into a single bar.
const LONGEST_TAIL: f64 = 12.0;
/// Larger numbers cannot be drawn.
const LARGEST: f64 = 1e100;
/// So many values of a lattice get a bar each.
const FEW: usize = 60;
/// Fewest and most bars.
const BARS: [f64; 2] = [10.0, 50.0];

/// A histogram.
#[derive(Debug, Clone, PartialEq)]
pub struct Bins {
    /// Bars; their values are shares of the usable values, in %.
    pub bars: Vec<Bar>,
    /// Whether there is one bar for each value that occurs.
    pub each: bool,
    /// Share of the usable values outside the bars.
    pub outside: f64,
    /// Number of values that are not finite.
    pub unusable: usize,
}

/// The histogram of the middle of the values; `None` if none is usable. Bars follow the lattice that values fall on, if they
/// do: bars of another width would hold now one and now two of its values and look like a comb.
pub fn bins(values: &[f64], lattice: Option<Lattice>) -> Option<Bins> {
    let mut sorted: Vec<f64> = values.to_vec();
    sorted.retain(|v| v.abs() <= LARGEST);
    sorted.sort_unstable_by(f64::total_cmp);
    let usable = sorted.len();
    let quantile = |share: f64| sorted[(share * usable.saturating_sub(1) as f64).round() as usize];
    let (mut low, mut high) = (*sorted.first()?, *sorted.last()?);
    // Of few values none is left out that does not lie absurdly far out.
    if usable >= 1000 {
        (low, high) = (quantile(TAIL), quantile(1.0 - TAIL));
    }
    let core = quantile(0.75) - quantile(0.25);
    if core > 1e-9 * (high - low) && usable >= 8 {
        low = low.max(quantile(0.5) - LONGEST_TAIL * core);
        high = high.min(quantile(0.5) + LONGEST_TAIL * core);
    }
    sorted.retain(|v| (low..=high).contains(v));
    let shown = sorted.len();
    let groups = lattice.map(|l| grouped(&sorted, l.step));
    let each = groups.as_ref().is_some_and(|g| g.len() <= FEW);
    let counted: Vec<([f64; 2], usize)> = match (groups, lattice) {
        (Some(groups), Some(lattice)) if each => {
            let gaps = groups.windows(2).map(|g| g[1].0 - g[0].0);
            let half = 0.4 * gaps.fold(lattice.step, f64::min);
            let bar = |(at, n): &(f64, usize)| ([at - half, at + half], *n);
            groups.iter().map(bar).collect()
        }
        (_, lattice) => counts(&sorted, width(low, high, core, shown, lattice), lattice),
    };
    let share = |n: usize| 100.0 * n as f64 / usable as f64;
    let bar = |(sides, n): ([f64; 2], usize)| Bar {
        sides,
        value: share(n),
        ..Bar::default()
    };
    Some(Bins {
        bars: counted.into_iter().map(bar).collect(),
        each,
        outside: share(usable - shown) / 100.0,
        unusable: values.len() - usable,
    })
}

/// Means and numbers of the values that lie together.
fn grouped(sorted: &[f64], step: f64) -> Vec<(f64, usize)> {
    let together = sorted.chunk_by(|a, b| b - a < 0.25 * step);
    let mean = |g: &[f64]| g.iter().sum::<f64>() / g.len() as f64;
    together.map(|g| (mean(g), g.len())).collect()
}

/// A width fine enough to show the shape and coarse enough not to show chance: 2 IQR / n^(1/3) (Freedman and Diaconis 1981),
/// rounded, within bounds.
fn width(low: f64, high: f64, core: f64, n: usize, lattice: Option<Lattice>) -> f64 {
    let span = high - low;
    let size = low.abs().max(high.abs());
    if span <= 1e-12 * size || size == 0.0 {
        // Without any spread a single bar holds all values.
        return if size == 0.0 { 1.0 } else { 1e-3 * size };
    }
    let wanted = 2.0 * core / libm::cbrt(n as f64);
    let wanted = wanted.clamp(span / BARS[1], span / BARS[0]);
    match lattice {
        Some(lattice) => lattice.step * (wanted / lattice.step).ceil(),
        None => round_step(wanted),
    }
}

/// Values counted in bars of one width. Edges lie at whole multiples of it; on a lattice, half-way between its values.
fn counts(sorted: &[f64], width: f64, lattice: Option<Lattice>) -> Vec<([f64; 2], usize)> {
    let (Some(first), Some(last)) = (sorted.first(), sorted.last()) else {
        return Vec::new();
    };
    let start = match lattice {
        Some(lattice) => first - 0.5 * lattice.step,
        None if first == last => first - 0.5 * width,
        None => (first / width).floor() * width,
    };
    let place = |v: f64| ((v - start) / width).floor() as usize;
    let mut bars: Vec<([f64; 2], usize)> = (0..=place(*last))
        .map(|i| [i, i + 1].map(|i| start + i as f64 * width))
        .map(|sides| (sides, 0))
        .collect();
    for v in sorted {
        bars[place(*v)].1 += 1;
    }
    bars
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stats::Sorted;

    fn bell(n: usize) -> Vec<f64> {
        // Quantiles of a logistic distribution.
        let share = |i: usize| (i as f64 + 0.5) / n as f64;
        let value = |u: f64| libm::log(u / (1.0 - u));
        (0..n).map(|i| value(share(i))).collect()
    }

    #[test]
    fn bars_hold_all_values_but_the_ends_of_the_tails() {
        let mut values = bell(20_000);
        values.extend([1e9, f64::NAN, f64::INFINITY]);
        let found = bins(&values, None).unwrap();
        let held: f64 = found.bars.iter().map(|b| b.value).sum();
        assert!((held / 100.0 + found.outside - 1.0).abs() < 1e-9);
        assert!(found.outside < 2.5 * TAIL && found.unusable == 2 && !found.each);
        assert!((10..=52).contains(&found.bars.len()));
        assert!(
            found
                .bars
                .windows(2)
                .all(|b| b[0].sides[1] == b[1].sides[0])
        );
    }

    #[test]
    fn bars_follow_a_lattice() {
        for step in [0.5, 0.02] {
            let values: Vec<f64> = bell(50_000)
                .iter()
                .map(|v| 0.13 + (v / step).round() * step)
                .collect();
            let lattice = Lattice::of(&Sorted::of(&values));
            assert!(lattice.is_some());
            let found = bins(&values, lattice).unwrap();
            assert_eq!(found.each, step == 0.5);
            // Every bar holds as many values of the lattice as any other.
            let holds = |b: &Bar| ((b.sides[1] - b.sides[0]) / step).round();
            assert!(found.bars.windows(2).all(|b| holds(&b[0]) == holds(&b[1])));
            let top = found.bars.iter().map(|b| b.value).fold(0.0, f64::max);
            assert!(
                found
                    .bars
                    .windows(2)
                    .all(|b| (b[0].value - b[1].value).abs() < 0.4 * top)
            );
        }
    }

    #[test]
    fn odd_values_give_a_bar_or_none() {
        assert_eq!(bins(&[], None), None);
        assert_eq!(bins(&[f64::NAN], None), None);
        for value in [0.0, -3.0, 1e-300, 1e99] {
            let found = bins(&[value; 5], None).unwrap();
            assert_eq!(found.bars.len(), 1, "{value}");
            assert!(found.bars[0].sides[0] < value && value < found.bars[0].sides[1]);
        }
        assert!(!bins(&[1.0, -1e50], None).unwrap().bars.is_empty());
    }
}
