//! From many values to few bars.

use super::ticks::step_above;

/// Share of the values at each end that may stay outside the picture.
const TAIL: f64 = 0.001;
/// Beyond this many central widths a tail would squeeze the bulk into a single bar.
const LONGEST_TAIL: f64 = 12.0;
/// Larger numbers than this cannot be drawn, only counted.
const LARGEST: f64 = 1e100;

/// Bars of equal width and what they leave out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bins {
    /// Left edge of the first bar.
    pub start: f64,
    /// Width of a bar.
    pub width: f64,
    /// How many values fall into each bar.
    pub counts: Vec<usize>,
    /// How many values could be drawn at all.
    pub usable: usize,
    /// How many of them lie outside the bars.
    pub outside: usize,
    /// How many values were not finite (or beyond all reason) and are not counted in `usable`.
    pub unusable: usize,
}

fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    sorted[(share * last as f64).round() as usize]
}

impl Bins {
    /// The bars for the central part of the values; nothing if no value is usable.
    pub fn count(values: &[f64]) -> Option<Self> {
        let mut sorted: Vec<f64> = values
            .iter()
            .copied()
            .filter(|value| value.abs() <= LARGEST)
            .collect();
        sorted.sort_unstable_by(f64::total_cmp);
        let usable = sorted.len();
        let (first, last) = (*sorted.first()?, *sorted.last()?);

        // With few values nothing is cut unless it lies absurdly far out.
        let (mut low, mut high) = if usable >= 1000 {
            (quantile(&sorted, TAIL), quantile(&sorted, 1.0 - TAIL))
        } else {
            (first, last)
        };
        let center = quantile(&sorted, 0.5);
        let core = quantile(&sorted, 0.75) - quantile(&sorted, 0.25);
        if core > 1e-9 * (high - low) && usable >= 8 {
            low = low.max(center - LONGEST_TAIL * core);
            high = high.min(center + LONGEST_TAIL * core);
        }

        let mut bins = Self {
            start: low,
            width: 1.0,
            counts: Vec::new(),
            usable,
            outside: 0,
            unusable: values.len() - usable,
        };
        let size = low.abs().max(high.abs());
        let bars = if high - low <= 1e-12 * size || size == 0.0 {
            // Without any spread a single bar stands for all values.
            bins.width = if size == 0.0 {
                1.0
            } else {
                step_above(1e-3 * size)
            };
            bins.start = center - bins.width / 2.0;
            1
        } else {
            bins.width = step_above(bar_width(low, high, core, usable));
            // Edges at whole multiples of the width fall on or between the ticks.
            bins.start = (low / bins.width).floor() * bins.width;
            ((high - bins.start) / bins.width).floor().min(400.0) as usize + 1
        };
        bins.counts = vec![0; bars];
        for value in sorted {
            let index = ((value - bins.start) / bins.width).floor();
            match usize::try_from(index as i64) {
                Ok(index) if index < bars && value >= low && value <= high => {
                    bins.counts[index] += 1;
                }
                _ => bins.outside += 1,
            }
        }
        Some(bins)
    }

    /// Right edge of the last bar.
    pub fn end(&self) -> f64 {
        self.start + self.width * self.counts.len() as f64
    }

    /// The tallest bar.
    pub fn tallest(&self) -> usize {
        self.counts.iter().copied().max().unwrap_or(0)
    }
}

/// Bars fine enough to show the shape and coarse enough not to show chance.
fn bar_width(low: f64, high: f64, core: f64, usable: usize) -> f64 {
    let span = high - low;
    let by_shape = 2.0 * core / libm::cbrt(usable as f64);
    let (finest, coarsest) = (span / 60.0, span / 5.0);
    if by_shape > 0.0 {
        by_shape.max(finest).min(coarsest)
    } else {
        finest
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_counted_once() {
        let mut values: Vec<f64> = (0..5000).map(|n| f64::from(n % 97) / 10.0).collect();
        values.extend([f64::NAN, f64::INFINITY, 1e90, -1e90, 1e200]);
        let bins = Bins::count(&values).expect("has values");
        assert_eq!(bins.unusable, 3);
        assert_eq!(bins.usable, 5002);
        let inside: usize = bins.counts.iter().sum();
        assert_eq!(inside + bins.outside, bins.usable);
        assert!(bins.end() < 20.0, "outliers must not stretch the picture");
        assert!((5..=70).contains(&bins.counts.len()));
    }

    #[test]
    fn no_spread_gives_one_bar() {
        for value in [0.0, -34.9, 1e-30, 1e99] {
            let bins = Bins::count(&[value; 12]).expect("has values");
            assert_eq!(bins.counts, [12]);
            assert!(bins.start < value && value < bins.end());
        }
        assert!(Bins::count(&[]).is_none());
        assert!(Bins::count(&[f64::NAN]).is_none());
    }

    #[test]
    fn few_values_are_all_shown() {
        let bins = Bins::count(&[1.0, 2.0, 4.0]).expect("has values");
        assert_eq!(bins.outside, 0);
        assert_eq!(bins.counts.iter().sum::<usize>(), 3);
    }
}
