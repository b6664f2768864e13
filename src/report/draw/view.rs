//! From values to places on the sheet.

use super::geometry::{Point, Rect};

/// From values on an axis to places on the sheet.
#[derive(Debug, Clone, Default)]
pub(super) struct Scale {
    /// Value at the left or lower end.
    pub low: f64,
    /// Value at the other end.
    pub high: f64,
    /// Place of the first end.
    pub from: f64,
    /// Place of the other end.
    pub to: f64,
    /// Places of the rows, of an axis of names.
    pub rows: Vec<f64>,
}

/// Height of a row: from its value less a half to its value and a half.
pub(super) const ROW: f64 = 36.0;

impl Scale {
    /// The place of a value.
    pub fn px(&self, value: f64) -> f64 {
        if let Some(middle) = self.rows.get(value.round().max(0.0) as usize) {
            return middle + (value - value.round()) * ROW;
        }
        let share = (value - self.low) / (self.high - self.low);
        (self.from + share * (self.to - self.from)).clamp(-1e5, 1e5)
    }

    /// Whether a value lies on the axis.
    pub fn holds(&self, value: f64) -> bool {
        let slack = 1e-9 * (self.high - self.low);
        value >= self.low - slack && value <= self.high + slack
    }
}

/// A panel on the sheet.
pub(super) struct View {
    /// The area between the axes.
    pub plot: Rect,
    /// The horizontal axis.
    pub x: Scale,
    /// The vertical axis.
    pub y: Scale,
    /// Where intervals above the panel stand.
    pub above: f64,
}

impl View {
    /// The place of a pair of values.
    pub fn at(&self, x: f64, y: f64) -> Point {
        (self.x.px(x), self.y.px(y))
    }

    /// Whether the vertical axis has rows.
    pub fn rows(&self) -> bool {
        !self.y.rows.is_empty()
    }
}
