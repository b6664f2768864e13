//! Strokes, arrows and shades in the two plots of a reduced record.

use super::canvas::Canvas;
use super::geometry::{Point, Rect};
use super::record_content::View;
use super::reductions_content::Content;
use super::reductions_table::RING;
use super::style;

/// Room from one arrow to the next, so that neither heads nor rings touch.
const ARROWS: f64 = 21.0;
/// Distance between the strokes of the hatched area.
pub(super) const HATCH_GAP: f64 = 5.0;

/// One of the two plots.
pub(super) struct Stage<'a> {
    /// Where things lie.
    pub view: View<'a>,
    /// What there is.
    pub content: &'a Content<'a>,
    /// The ways whose arrows stand here.
    pub shown: &'a [usize],
    /// Whether this is the plot in which areas and words have room.
    pub large: bool,
}

/// An arrow as it is drawn.
pub(super) struct Arrow {
    /// The way it belongs to.
    pub way: usize,
    /// Its true moment on the sheet.
    pub moment: f64,
    /// Where it stands, moved aside if others crowd it.
    pub x: f64,
    /// Upper and lower end.
    pub ends: (f64, f64),
}

/// The places nearest to the wanted ones that keep their order and the given distance.
pub(super) fn spread(wanted: &[f64], gap: f64, (low, high): Point) -> Vec<f64> {
    // Groups that touch are merged and centred on the mean of what their members want.
    let mut groups: Vec<(f64, usize)> = Vec::new();
    for want in wanted {
        groups.push((*want, 1));
        while let [.., one, two] = groups[..] {
            let half = |group: (f64, usize)| group.1 as f64 * gap / 2.0;
            if one.0 + half(one) <= two.0 - half(two) {
                break;
            }
            let count = one.1 + two.1;
            let middle = (one.0 * one.1 as f64 + two.0 * two.1 as f64) / count as f64;
            groups.truncate(groups.len() - 2);
            groups.push((middle, count));
        }
    }
    let mut places = Vec::new();
    for (middle, count) in groups {
        let first = middle - (count - 1) as f64 * gap / 2.0;
        places.extend((0..count).map(|index| first + index as f64 * gap));
    }
    let mut limit = high;
    for place in places.iter_mut().rev() {
        *place = place.min(limit);
        limit = *place - gap;
    }
    let mut limit = low;
    for place in &mut places {
        *place = place.max(limit);
        limit = *place + gap;
    }
    places
}

/// The parts of an endless slanted line inside an outline: where it enters and leaves.
pub(super) fn crossings(outline: &[Point], offset: f64) -> Vec<Point> {
    // Along the line x + y is constant; an edge is crossed where that sum passes the offset.
    let side = |point: Point| point.0 + point.1 - offset;
    let next = outline.iter().cycle().skip(1);
    let mut found: Vec<Point> = outline
        .iter()
        .zip(next)
        .filter(|(from, to)| (side(**from) < 0.0) != (side(**to) < 0.0))
        .map(|(from, to)| {
            let share = side(*from) / (side(*from) - side(*to));
            (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            )
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

/// Slanted strokes over the inside of an outline.
pub(super) fn hatch(canvas: &mut Canvas<'_>, outline: &[Point], area: Rect) {
    let mut offset = ((area.left + area.top) / HATCH_GAP).floor() * HATCH_GAP;
    while offset < area.right + area.bottom {
        for pair in crossings(outline, offset).chunks_exact(2) {
            canvas.line(pair[0], pair[1], style::MID, 0.8);
        }
        offset += HATCH_GAP;
    }
}

impl Stage<'_> {
    /// The area of the data.
    pub fn plot(&self) -> Rect {
        self.view.plot()
    }

    /// The stretch of time in the plot, in seconds.
    pub fn stretch(&self) -> Point {
        let (low, high) = self.view.frame.x_ends();
        (low * self.view.unit, high * self.view.unit)
    }

    /// Readings that lie in the plot, without those that would fall on one already drawn.
    pub fn dots(&self) -> Vec<Point> {
        let mut seen = std::collections::HashSet::new();
        let places = self.content.readings.iter();
        places
            .map(|(time, value)| self.view.at(*time, *value))
            .filter(|at| self.plot().grown(0.5).holds(*at))
            .filter(|(x, y)| seen.insert(((x * 1.5).round() as i64, (y * 1.5).round() as i64)))
            .collect()
    }

    /// All arrows of this plot, from left to right.
    pub fn arrows(&self) -> Vec<Arrow> {
        let plot = self.plot();
        let mut arrows: Vec<Arrow> = self
            .shown
            .iter()
            .filter_map(|way| {
                let (at, [one, other]) = self.content.arrow(*way)?;
                let place = |value: f64| plot.nearest(self.view.at(at, value));
                let (one, other) = (place(one), place(other));
                Some(Arrow {
                    way: *way,
                    moment: one.0,
                    x: one.0,
                    ends: (one.1.min(other.1), one.1.max(other.1)),
                })
            })
            .collect();
        arrows.sort_by(|a, b| a.moment.total_cmp(&b.moment).then(a.way.cmp(&b.way)));
        let wanted: Vec<f64> = arrows.iter().map(|arrow| arrow.moment).collect();
        let bounds = (plot.left + RING + 3.0, plot.right - RING);
        for (arrow, x) in arrows.iter_mut().zip(spread(&wanted, ARROWS, bounds)) {
            arrow.x = x;
        }
        arrows
    }

    /// Solid and dashed pieces of both lines.
    pub fn strokes(&self) -> Vec<(bool, Point, Point)> {
        let mut strokes = Vec::new();
        for line in self.content.lines() {
            let (from, to) = (line.from.min(line.to), line.from.max(line.to));
            let (start, end) = self.content.reach(line);
            for (solid, a, b) in [(false, start, from), (true, from, to), (false, to, end)] {
                if b > a
                    && let Some((a, b)) = self.view.cut((a, line.at(a)), (b, line.at(b)))
                {
                    strokes.push((solid, a, b));
                }
            }
        }
        strokes
    }

    /// Horizontal helpers from the end of an arrow to the reading that it comes from.
    pub fn helpers(&self) -> Vec<(Point, Point)> {
        let mut helpers = Vec::new();
        for way in self.shown {
            let Some((at, values)) = self.content.arrow(*way) else {
                continue;
            };
            for value in values {
                let on_line = self
                    .content
                    .lines()
                    .any(|line| self.content.on_line(line, at, value));
                let on_record = self
                    .content
                    .record(at)
                    .is_some_and(|own| self.content.same(value, own));
                if on_line || on_record {
                    continue;
                }
                let before = self
                    .content
                    .readings
                    .iter()
                    .filter(|reading| reading.0 < at);
                // Of equally good readings the last one: its helper is the shortest.
                let source = before.min_by(|a, b| {
                    let off = |reading: &Point| (reading.1 - value).abs();
                    off(a).total_cmp(&off(b)).then(b.0.total_cmp(&a.0))
                });
                if let Some((time, own)) = source
                    && self.content.same(*own, value)
                {
                    helpers.extend(self.view.cut((*time, value), (at, value)));
                }
            }
        }
        helpers
    }

    /// Draws everything but words and rings.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        let plot = self.plot();
        if self.large {
            self.shade(canvas);
        }
        let mixing = self.view.at(0.0, 0.0).0;
        if mixing > plot.left && mixing < plot.right {
            canvas.line((mixing, plot.top), (mixing, plot.bottom), style::SOFT, 1.1);
        }
        let arrows = self.arrows();
        for arrow in &arrows {
            let (from, to) = ((arrow.moment, arrow.ends.1), (arrow.moment, plot.bottom));
            canvas.dashed(from, to, style::DOTTED, (style::MID, 1.2));
            // A light rim sets the arrow off from shades; readings beside it stay whole.
            let (top, bottom) = arrow.ends;
            let (from, to) = ((arrow.x, top), (arrow.x, bottom));
            canvas.line(from, to, style::PAPER, 4.0);
        }
        for (from, to) in self.helpers() {
            canvas.dashed(from, to, style::DOTTED, (style::MID, 1.2));
        }
        let dots = self.dots();
        let radius = match (self.large, dots.len() > 150) {
            (true, false) => 2.6,
            (true, true) => 1.7,
            (false, _) => 1.2,
        };
        for dot in &dots {
            canvas.dot(*dot, radius, style::INK);
        }
        for (solid, from, to) in self.strokes() {
            if solid {
                canvas.line(from, to, style::ACCENT, 2.1);
            } else {
                canvas.dashed(from, to, style::DASHED, (style::ACCENT, 1.8));
            }
        }
        for arrow in &arrows {
            draw_arrow(canvas, arrow);
        }
    }

    fn shade(&self, canvas: &mut Canvas<'_>) {
        let plot = self.plot();
        let outlines = self.content.outlines(self.stretch());
        for (index, outline) in outlines.iter().enumerate() {
            let outline: Vec<Point> = outline
                .iter()
                .map(|(time, value)| plot.nearest(self.view.at(*time, *value)))
                .collect();
            if index == 0 {
                canvas.polygon(&outline, style::FILL);
            } else {
                hatch(canvas, &outline, plot);
            }
        }
    }
}

/// An arrow with two heads.
fn draw_arrow(canvas: &mut Canvas<'_>, arrow: &Arrow) {
    let (x, (top, bottom)) = (arrow.x, arrow.ends);
    let color = style::INK;
    if bottom - top >= 22.0 {
        canvas.line((x, top + 6.0), (x, bottom - 6.0), color, 1.7);
        canvas.arrow_head((x, top), (0.0, -1.0), color);
        canvas.arrow_head((x, bottom), (0.0, 1.0), color);
    } else {
        // Too little room for heads: a bar between two end strokes.
        canvas.line((x, top), (x, bottom), color, 1.7);
    }
    for y in [top, bottom] {
        canvas.line((x - 6.0, y), (x + 6.0, y), color, 1.4);
        if (x - arrow.moment).abs() > 1.0 {
            // Leads back to the true moment of an arrow that was moved aside.
            canvas.line((arrow.moment, y), (x, y), color, 1.0);
            canvas.dot((arrow.moment, y), 2.8, color);
        }
    }
}

/// Frames the stretch that the large plot shows.
pub(super) fn frame_stretch(canvas: &mut Canvas<'_>, stage: &Stage<'_>, near: Point) {
    let plot = stage.plot();
    let ends = [near.0, near.1].map(|time| plot.nearest(stage.view.at(time, 0.0)).0);
    let area = Rect::new(ends[0], plot.top, ends[1], plot.bottom);
    canvas.fill_rect(area, style::TINT);
    let edge = [
        (area.left, area.bottom),
        (area.left, area.top),
        (area.right, area.top),
        (area.right, area.bottom),
    ];
    canvas.path(&edge, style::MID, 1.0);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_arrows_move_aside_and_keep_their_order() {
        for (wanted, ends) in [
            (vec![100.0, 101.0, 101.0, 140.0, 300.0], (50.0, 400.0)),
            (vec![52.0, 52.0, 52.0], (50.0, 400.0)),
            (vec![50.0, 399.0, 400.0, 400.0], (50.0, 400.0)),
        ] {
            let places = spread(&wanted, 21.0, ends);
            assert_eq!(places.len(), wanted.len());
            assert!(
                places.iter().all(|x| *x >= ends.0 && *x <= ends.1),
                "{places:?}"
            );
            assert!(
                places.windows(2).all(|pair| pair[1] - pair[0] > 20.99),
                "{places:?}"
            );
        }
        assert_eq!(spread(&[100.0, 200.0], 21.0, (0.0, 300.0)), [100.0, 200.0]);
    }
}
