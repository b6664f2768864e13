//! The horizontal scale of a chart of rows: which values it spans and where each one stands.

use super::ticks::{decimals_for, label};

/// Larger values cannot be subtracted and scaled without leaving the range of a double.
const LARGEST: f64 = 1e290;
/// A smaller span cannot be divided by.
const SMALLEST: f64 = 1e-290;
/// Numbers are printed to about this fraction of the span.
const FINEST: f64 = 150.0;

/// Whether the value can be drawn.
pub(super) fn usable(value: f64) -> bool {
    value.is_finite() && value.abs() <= LARGEST
}

/// The values a scale spans.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The ends of a set of values, if there are any.
fn ends(values: impl IntoIterator<Item = f64>) -> Option<(f64, f64)> {
    values.into_iter().filter(|value| usable(*value)).fold(
        None,
        |ends: Option<(f64, f64)>, value| {
            let (low, high) = ends.unwrap_or((value, value));
            Some((low.min(value), high.max(value)))
        },
    )
}

impl Window {
    /// The window over all values that matter and, as far as these are not squeezed by it, over
    /// the ends of their whiskers.
    pub fn over(core: &[f64], whiskers: &[f64]) -> Option<Self> {
        let (mut low, mut high) = ends(core.iter().copied())?;
        let reach = ends(whiskers.iter().copied()).unwrap_or((low, high));
        let flat =
            |low: f64, high: f64| high - low <= SMALLEST.max(1e-9 * low.abs().max(high.abs()));
        let more = if flat(low, high) {
            f64::INFINITY
        } else {
            high - low
        };
        (low, high) = (
            reach.0.max(low - more).min(low),
            reach.1.min(high + more).max(high),
        );
        if flat(low, high) {
            let pad = 0.5 * low.abs().max(high.abs());
            (low, high) = if pad <= SMALLEST {
                (0.0, 1.0)
            } else {
                (low - pad, high + pad)
            };
        }
        Some(Self { low, high })
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// The value in print: decimals that tell values of this window apart, and a few more for
    /// one that would otherwise read as zero.
    pub fn print(&self, value: f64) -> String {
        let decimals = decimals_for((self.high - self.low) / FINEST);
        let zero = |words: &str| !words.contains(|sign| ('1'..='9').contains(&sign));
        (decimals..=decimals + 2)
            .map(|decimals| label(value, decimals))
            .find(|words| !zero(words))
            .unwrap_or_else(|| label(value, decimals))
    }
}

/// Words that stand beside a value and need room there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Beside {
    /// The value.
    pub at: f64,
    /// Room from there to the far end of the words, in nominal pixels.
    pub room: f64,
    /// Whether they stand to the left.
    pub leftward: bool,
}

/// A window laid over a stretch of the sheet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    /// What it spans.
    pub window: Window,
    left: f64,
    right: f64,
}

impl Scale {
    /// Lays the window between the two edges so that the words beside values stay within them.
    pub fn lay(window: Window, (left, right): (f64, f64), words: &[Beside]) -> Self {
        let width = right - left;
        let (mut before, mut after) = (0.0_f64, 0.0_f64);
        // What one side needs depends on what the other takes; it settles quickly.
        for _ in 0..4 {
            for beside in words.iter().filter(|beside| usable(beside.at)) {
                let share = window.share(beside.at).clamp(0.0, 1.0);
                let (share, other) = if beside.leftward {
                    (share, after)
                } else {
                    (1.0 - share, before)
                };
                // With the value at the far end its own side cannot help.
                let free = share * (width - other);
                let need = ((beside.room - free) / (1.0 - share).max(1e-3)).min(beside.room);
                if beside.leftward {
                    before = before.max(need);
                } else {
                    after = after.max(need);
                }
            }
        }
        let most = 0.4 * width;
        Self {
            window,
            left: left + before.min(most),
            right: right - after.min(most),
        }
    }

    /// Place of a value, kept within the window.
    pub fn x(&self, value: f64) -> f64 {
        let Window { low, high } = self.window;
        self.x_free(value.max(low).min(high))
    }

    /// Place of a value, within the window or beyond it.
    pub fn x_free(&self, value: f64) -> f64 {
        self.left + self.window.share(value) * (self.right - self.left)
    }

    /// Whether the value lies beyond the window.
    pub fn beyond(&self, value: f64) -> bool {
        let share = self.window.share(value);
        !(-1e-9..=1.0 + 1e-9).contains(&share)
    }

    /// The values at two places of the sheet.
    pub fn values(&self, places: (f64, f64)) -> (f64, f64) {
        let window = self.window;
        let value = |x: f64| {
            let share = (x - self.left) / (self.right - self.left);
            window.low + share * (window.high - window.low)
        };
        (value(places.0), value(places.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn far_whiskers_do_not_squeeze_the_values() {
        let window = Window::over(&[0.0, 10.0], &[-2.0, 1e6]).expect("has values");
        assert_eq!((window.low, window.high), (-2.0, 20.0));
        let window = Window::over(&[0.0, f64::NAN, 0.0], &[-2.0, 3.0]).expect("has a value");
        assert_eq!((window.low, window.high), (-2.0, 3.0));
        assert_eq!(Window::over(&[f64::NAN, 1e300], &[1.0]), None);
        let window = Window::over(&[0.0], &[]).expect("has a value");
        assert_eq!((window.low, window.high), (0.0, 1.0));
    }

    #[test]
    fn words_at_both_ends_get_their_room() {
        let window = Window {
            low: -1.0,
            high: 3.0,
        };
        let words: Vec<Beside> = [(-1.0, true), (3.0, false), (2.9, false), (0.0, true)]
            .map(|(at, leftward)| Beside {
                at,
                room: 50.0,
                leftward,
            })
            .into();
        let scale = Scale::lay(window, (100.0, 500.0), &words);
        for beside in &words {
            let x = scale.x(beside.at);
            let end = if beside.leftward {
                x - beside.room
            } else {
                x + beside.room
            };
            assert!((100.0 - 1e-6..=500.0 + 1e-6).contains(&end), "{beside:?}");
        }
        // Nothing is given away where no words stand.
        let scale = Scale::lay(window, (100.0, 500.0), &words[3..]);
        assert!((scale.x(-1.0) - 100.0).abs() < 1e-9 && (scale.x(3.0) - 500.0).abs() < 1e-9);
    }

    #[test]
    fn small_values_do_not_read_as_zero() {
        let window = Window {
            low: 0.0,
            high: 70.0,
        };
        assert_eq!(window.print(62.34), "62.3");
        assert_eq!(window.print(0.04), "0.04");
        assert_eq!(window.print(1e-9), "0.0");
        assert_eq!(window.print(0.0), "0.0");
    }
}
