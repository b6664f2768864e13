//! Lines, markers and fills as they are drawn.

use super::canvas::Canvas;
use super::geometry::{Point, Rect, between, distance};
use super::style::{self, color};
use crate::report::figure::{Fill, Look, Shape, Stroke};
use plotters::style::RGBColor;

/// Strokes and gaps in turn, and the width of a line.
fn pattern(stroke: Stroke) -> (&'static [f64], f64) {
    match stroke {
        Stroke::Solid => (&[], 2.0),
        Stroke::Broad => (&[], 3.4),
        Stroke::Dashed => (&[9.0, 5.0], 2.0),
        Stroke::Dotted => (&[2.2, 3.6], 2.0),
        Stroke::DashDot => (&[11.0, 3.5, 2.2, 3.5], 2.0),
        Stroke::Thin => (&[], 1.1),
        Stroke::None => (&[], 0.0),
    }
}

/// Draws a line of a look through points.
pub(super) fn stroke(canvas: &mut Canvas<'_>, points: &[Point], look: Look) {
    let (pattern, width) = pattern(look.stroke);
    if width > 0.0 {
        for piece in dashes(points, pattern) {
            canvas.path(&piece, color(look.tone), width);
        }
    }
}

/// Cuts a line into its strokes, which run on round its corners.
fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    if pattern.is_empty() {
        return vec![points.to_vec()];
    }
    let mut strokes = Vec::new();
    let mut stroke: Vec<Point> = points.first().copied().into_iter().collect();
    let (mut index, mut left) = (0, pattern[0]);
    for pair in points.windows(2) {
        let length = distance(pair[0], pair[1]);
        let mut along = 0.0;
        while length - along > left {
            along += left;
            stroke.push(between(pair[0], pair[1], along / length));
            let done =
                std::mem::replace(&mut stroke, vec![between(pair[0], pair[1], along / length)]);
            if index % 2 == 0 {
                strokes.push(done);
            }
            index = (index + 1) % pattern.len();
            left = pattern[index];
        }
        left -= length - along;
        stroke.push(pair[1]);
    }
    if index % 2 == 0 && stroke.len() > 1 {
        strokes.push(stroke);
    }
    strokes
}

/// Draws a marker of a look, set off from what lies below by a light rim.
pub(super) fn marker(canvas: &mut Canvas<'_>, at: Point, look: Look) {
    const RADIUS: f64 = 4.2;
    let ink = color(look.tone);
    let mut layers = |shape: fn(&mut Canvas<'_>, Point, f64, RGBColor), open: bool| {
        shape(canvas, at, RADIUS + 1.0, style::PAPER);
        shape(canvas, at, RADIUS, ink);
        if open {
            shape(canvas, at, RADIUS - 1.7, style::PAPER);
        }
    };
    match look.shape {
        Shape::None => {}
        Shape::Dot => canvas.dot(at, 2.2, ink),
        Shape::Disc => layers(|c, at, r, ink| c.dot(at, r, ink), false),
        Shape::Ring => layers(|c, at, r, ink| c.dot(at, r, ink), true),
        Shape::Square => layers(square, true),
        Shape::Triangle => layers(triangle, false),
        Shape::Diamond => layers(diamond, true),
        Shape::Target => {
            canvas.dot(at, 7.0, ink);
            canvas.dot(at, 4.8, style::PAPER);
            canvas.dot(at, 2.4, style::INK);
        }
    }
}

fn corners(canvas: &mut Canvas<'_>, (x, y): Point, all: &[Point], ink: RGBColor) {
    let all: Vec<Point> = all.iter().map(|(dx, dy)| (x + dx, y + dy)).collect();
    canvas.places.take(
        Rect::spanned((x, y), (x, y)).grown(5.0),
        super::places::SOLID,
    );
    canvas.polygon(&all, ink);
}

fn square(canvas: &mut Canvas<'_>, at: Point, radius: f64, ink: RGBColor) {
    let half = 0.92 * radius;
    corners(
        canvas,
        at,
        &Rect::new(-half, -half, half, half).corners(),
        ink,
    );
}

fn triangle(canvas: &mut Canvas<'_>, at: Point, radius: f64, ink: RGBColor) {
    let (wide, down) = (1.3 * radius, 0.85 * radius);
    corners(
        canvas,
        at,
        &[(0.0, -wide), (wide, down), (-wide, down)],
        ink,
    );
}

fn diamond(canvas: &mut Canvas<'_>, at: Point, radius: f64, ink: RGBColor) {
    let half = 1.36 * radius;
    corners(
        canvas,
        at,
        &[(0.0, -half), (half, 0.0), (0.0, half), (-half, 0.0)],
        ink,
    );
}

/// Fills an outline.
pub(super) fn fill(canvas: &mut Canvas<'_>, outline: &[Point], fill: Fill) {
    match fill {
        Fill::Plain => canvas.polygon(outline, style::FILL),
        Fill::Strong => canvas.polygon(outline, style::SOFT),
        Fill::Hatched => {
            canvas.polygon(outline, style::PAPER);
            canvas.hatch(outline, 5.0, style::MID, 1.0);
        }
        Fill::Tinted => {
            canvas.polygon(outline, style::TINT);
            canvas.hatch(outline, 9.0, style::HATCH, 1.0);
        }
    }
}

/// Fills a rectangle and draws its edge.
pub(super) fn boxed(canvas: &mut Canvas<'_>, area: Rect, kind: Fill) {
    fill(canvas, &area.corners(), kind);
    let edge = if kind == Fill::Plain {
        style::EDGE
    } else {
        style::MID
    };
    outline(canvas, area, edge, 0.8);
}

/// The edge of a rectangle.
pub(super) fn outline(canvas: &mut Canvas<'_>, area: Rect, ink: RGBColor, width: f64) {
    let [a, b, c, d] = area.corners();
    canvas.path(&[a, b, c, d, a], ink, width);
}

/// An interval with short strokes at its ends, or heads of arrows where it goes on beyond the limits.
pub(super) fn whisker(
    canvas: &mut Canvas<'_>,
    from: Point,
    to: Point,
    limits: Rect,
    look: (RGBColor, f64),
) {
    let (color, width) = look;
    let Some((start, end)) = limits.cut(from, to) else {
        return;
    };
    canvas.line(start, end, color, width);
    let upright = from.0 == to.0;
    let half = if width > 2.0 { 6.0 } else { 4.0 };
    for (shown, own, other) in [(start, from, to), (end, to, from)] {
        let (dx, dy) = if upright { (half, 0.0) } else { (0.0, half) };
        if distance(shown, own) < 0.5 {
            canvas.line(
                (shown.0 - dx, shown.1 - dy),
                (shown.0 + dx, shown.1 + dy),
                color,
                width,
            );
        } else {
            let far = distance(own, other).max(1e-9);
            canvas.arrow_head(
                shown,
                ((own.0 - other.0) / far, (own.1 - other.1) / far),
                color,
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes_run_on_round_corners() {
        let corner = [(0.0, 0.0), (7.0, 0.0), (7.0, 20.0)];
        let strokes = dashes(&corner, &[10.0, 5.0]);
        assert_eq!(strokes[0], [(0.0, 0.0), (7.0, 0.0), (7.0, 3.0)]);
        assert_eq!(strokes[1], [(7.0, 8.0), (7.0, 18.0)]);
        assert_eq!(strokes.len(), 2);
        assert!(dashes(&[], &[1.0, 1.0]).is_empty());
    }
}
