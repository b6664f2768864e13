//! Points and rectangles on the sheet, in nominal pixels.

/// A place on the sheet: from the left, from the top.
pub(super) type Point = (f64, f64);

/// An upright rectangle.
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
    /// A rectangle from its edges.
    pub fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self {
            left,
            top,
            right,
            bottom,
        }
    }

    /// The rectangle that two points span.
    pub fn spanned((a, b): Point, (c, d): Point) -> Self {
        Self::new(a.min(c), b.min(d), a.max(c), b.max(d))
    }

    /// Its width.
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Its height.
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Its middle.
    pub fn center(&self) -> Point {
        (
            (self.left + self.right) / 2.0,
            (self.top + self.bottom) / 2.0,
        )
    }

    /// Its corners, in a circle.
    pub fn corners(&self) -> [Point; 4] {
        let Self {
            left,
            top,
            right,
            bottom,
        } = *self;
        [(left, top), (right, top), (right, bottom), (left, bottom)]
    }

    /// The rectangle with more room on every side.
    pub fn grown(&self, by: f64) -> Self {
        Self::new(
            self.left - by,
            self.top - by,
            self.right + by,
            self.bottom + by,
        )
    }

    /// Whether a point lies in it.
    pub fn holds(&self, (x, y): Point) -> bool {
        (self.left..=self.right).contains(&x) && (self.top..=self.bottom).contains(&y)
    }

    /// Whether two rectangles share an area.
    #[cfg(test)]
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The point of the rectangle that is nearest to a point.
    pub fn nearest(&self, (x, y): Point) -> Point {
        (
            x.max(self.left).min(self.right),
            y.max(self.top).min(self.bottom),
        )
    }

    /// The part of a straight line that lies inside (Liang and Barsky 1984).
    pub fn cut(&self, from: Point, to: Point) -> Option<(Point, Point)> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        if !(dx.is_finite() && dy.is_finite()) {
            return None;
        }
        let (mut enter, mut leave) = (0.0f64, 1.0f64);
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
        (enter <= leave).then(|| (between(from, to, enter), between(from, to, leave)))
    }
}

/// The point at a share of the way.
pub(super) fn between(from: Point, to: Point, share: f64) -> Point {
    (
        from.0 + share * (to.0 - from.0),
        from.1 + share * (to.1 - from.1),
    )
}

/// How far two points are apart.
pub(super) fn distance(a: Point, b: Point) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_cut_at_the_edges() {
        let window = Rect::new(0.0, 0.0, 10.0, 10.0);
        let cut = window.cut((-5.0, 5.0), (15.0, 5.0));
        assert_eq!(cut, Some(((0.0, 5.0), (10.0, 5.0))));
        assert_eq!(window.cut((-5.0, -5.0), (-1.0, 20.0)), None);
        assert_eq!(window.cut((2.0, 11.0), (8.0, 11.0)), None);
        assert_eq!(window.cut((f64::NAN, 0.0), (1.0, 1.0)), None);
    }
}
