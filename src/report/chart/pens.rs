//! How curves are told apart: by stroke, marker and lightness, so that a grey print will do.

use plotters::style::RGBColor;

use super::canvas::Canvas;
use super::geometry::{Point, distance};
use super::style;

/// Strokes in the order in which curves take them; the empty one is a line without gaps.
const STROKES: [&[f64]; 6] = [
    &[],
    style::DASHED,
    style::DOTTED,
    style::DASH_DOT,
    &[17.0, 4.0],
    &[2.2, 3.2, 2.2, 3.2, 9.0, 3.2],
];
/// Shapes of the markers, and whether they are filled: neighbours differ in both.
const SHAPES: [(Shape, bool); 8] = [
    (Shape::Circle, true),
    (Shape::Square, false),
    (Shape::Triangle, true),
    (Shape::Diamond, false),
    (Shape::Square, true),
    (Shape::Circle, false),
    (Shape::Diamond, true),
    (Shape::Triangle, false),
];
const COLORS: [RGBColor; 3] = [style::INK, style::ACCENT, style::MID];
/// Width of the outline of an open marker.
const OUTLINE: f64 = 1.7;
/// White rim that sets a marker off from what lies under it.
const RIM: f64 = 1.0;

/// Outline of a marker.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    Circle,
    Square,
    Triangle,
    Diamond,
}

/// The look of one curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pen {
    /// Colour of line, markers and whiskers.
    pub color: RGBColor,
    pattern: &'static [f64],
    shape: Shape,
    filled: bool,
}

/// The look of the curve with this number; the first two dozen all differ.
pub(super) fn pen(index: usize) -> Pen {
    let (shape, filled) = SHAPES[index % SHAPES.len()];
    Pen {
        color: COLORS[index % COLORS.len()],
        pattern: STROKES[index % STROKES.len()],
        shape,
        filled,
    }
}

impl Pen {
    /// Draws the line of the curve.
    pub fn stroke(&self, canvas: &mut Canvas<'_>, points: &[Point]) {
        dashed_path(canvas, points, self.pattern, (self.color, 2.0));
    }

    /// Draws one marker.
    pub fn mark(&self, canvas: &mut Canvas<'_>, at: Point, radius: f64) {
        self.shape.fill(canvas, at, radius + RIM, style::PAPER);
        self.shape.fill(canvas, at, radius, self.color);
        if !self.filled {
            self.shape.fill(canvas, at, radius - OUTLINE, style::PAPER);
        }
    }
}

impl Shape {
    /// Fills the shape; `radius` is that of a circle that looks equally large.
    fn fill(self, canvas: &mut Canvas<'_>, (x, y): Point, radius: f64, color: RGBColor) {
        // Corners lie further out where they are sharper, which also keeps outlines even.
        match self {
            Self::Circle => canvas.dot((x, y), radius, color),
            Self::Square => {
                let half = 0.92 * radius;
                let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
                canvas.polygon(&corners.map(|(dx, dy)| (x + dx, y + dy)), color);
            }
            Self::Triangle => {
                let (wide, up, down) = (1.3 * radius, 1.3 * radius, 0.85 * radius);
                canvas.polygon(
                    &[(x, y - up), (x + wide, y + down), (x - wide, y + down)],
                    color,
                );
            }
            Self::Diamond => {
                let half = 1.36 * radius;
                canvas.polygon(
                    &[(x, y - half), (x + half, y), (x, y + half), (x - half, y)],
                    color,
                );
            }
        }
    }
}

/// Draws a line through many points with strokes and gaps that run on round its corners.
pub(super) fn dashed_path(
    canvas: &mut Canvas<'_>,
    points: &[Point],
    pattern: &[f64],
    (color, width): (RGBColor, f64),
) {
    for piece in dashes(points, pattern) {
        canvas.path(&piece, color, width);
    }
}

/// The strokes of a dashed line.
fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    if pattern.is_empty() || pattern.iter().any(|piece| *piece <= 0.0) {
        return vec![points.to_vec()];
    }
    let mut strokes = Vec::new();
    let mut stroke: Vec<Point> = points.first().copied().into_iter().collect();
    let (mut index, mut left) = (0, pattern[0]);
    for pair in points.windows(2) {
        let (from, to, length) = (pair[0], pair[1], distance(pair[0], pair[1]));
        let mut along = 0.0;
        while length - along > left {
            along += left;
            let share = along / length;
            let at = (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            );
            if index % 2 == 0 {
                stroke.push(at);
                strokes.push(std::mem::take(&mut stroke));
            } else {
                stroke = vec![at];
            }
            index = (index + 1) % pattern.len();
            left = pattern[index];
        }
        left -= length - along;
        if index % 2 == 0 {
            stroke.push(to);
        }
    }
    if stroke.len() > 1 {
        strokes.push(stroke);
    }
    strokes
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_dozen_pens_all_differ() {
        for one in 0..24 {
            for other in 0..one {
                assert_ne!(pen(one), pen(other), "{one} {other}");
            }
        }
        // Neighbours differ in marker, stroke and colour at once.
        for one in 0..24 {
            let (one, next) = (pen(one), pen(one + 1));
            assert!(one.shape != next.shape && one.pattern != next.pattern);
            assert!(one.color != next.color);
        }
    }

    #[test]
    fn strokes_run_on_round_corners() {
        let corner = [(0.0, 0.0), (7.0, 0.0), (7.0, 20.0)];
        let strokes = dashes(&corner, &[10.0, 5.0]);
        assert_eq!(strokes[0], [(0.0, 0.0), (7.0, 0.0), (7.0, 3.0)]);
        assert_eq!(strokes[1], [(7.0, 8.0), (7.0, 18.0)]);
        assert_eq!(strokes.len(), 2);
        assert_eq!(dashes(&corner, &[]), [corner.to_vec()]);
        assert!(dashes(&[], &[1.0, 1.0]).is_empty());
        assert!(dashes(&[(1.0, 1.0), (1.0, 1.0)], &[1.0, 1.0]).len() <= 1);
    }
}
