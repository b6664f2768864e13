//! Points, rectangles and the cutting of lines at a rectangle.

/// A point in nominal pixels, the vertical axis pointing down.
pub(super) type Point = (f64, f64);

/// An upright rectangle in nominal pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Rect {
    /// The rectangle with these edges.
    pub fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self {
            left,
            top,
            right,
            bottom,
        }
    }

    /// Extent from left to right.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Extent from top to bottom.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// The same rectangle with every edge moved outwards.
    pub fn grown(&self, by: f64) -> Self {
        Self::new(
            self.left - by,
            self.top - by,
            self.right + by,
            self.bottom + by,
        )
    }

    /// Whether the point lies inside or on the edge.
    pub fn holds(&self, (x, y): Point) -> bool {
        x >= self.left && x <= self.right && y >= self.top && y <= self.bottom
    }

    /// The place of the rectangle that is nearest to the point.
    pub fn nearest(&self, (x, y): Point) -> Point {
        (
            x.max(self.left).min(self.right),
            y.max(self.top).min(self.bottom),
        )
    }

    /// The part of a straight line that lies inside, if any.
    pub fn cut(&self, from: Point, to: Point) -> Option<(Point, Point)> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        if !(dx.is_finite() && dy.is_finite()) {
            return None;
        }
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        // Each edge either moves the entry later or the exit earlier along the line.
        for (step, room) in [
            (-dx, from.0 - self.left),
            (dx, self.right - from.0),
            (-dy, from.1 - self.top),
            (dy, self.bottom - from.1),
        ] {
            if step == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if step < 0.0 {
                enter = enter.max(room / step);
            } else {
                leave = leave.min(room / step);
            }
        }
        let along = |share: f64| (from.0 + share * dx, from.1 + share * dy);
        (enter <= leave).then(|| (along(enter), along(leave)))
    }
}

/// Distance between two points.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    let (dx, dy) = (a.0 - b.0, a.1 - b.1);
    (dx * dx + dy * dy).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_cut_at_the_edges() {
        let window = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert_eq!(
            window.cut((-5.0, 5.0), (15.0, 5.0)),
            Some(((0.0, 5.0), (10.0, 5.0)))
        );
        assert_eq!(window.cut((-5.0, -5.0), (-1.0, 20.0)), None);
        assert_eq!(window.cut((2.0, 11.0), (8.0, 11.0)), None);
        assert_eq!(window.cut((f64::NAN, 0.0), (1.0, 1.0)), None);
    }
}
