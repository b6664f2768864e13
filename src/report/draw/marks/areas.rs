//! Areas between curves, and stretches of an axis.

use crate::report::draw::canvas::Canvas;
use crate::report::draw::flags::Flag;
use crate::report::draw::geometry::{Point, Rect};
use crate::report::draw::key::{Sample, bold};
use crate::report::draw::mark::Draw;
use crate::report::draw::pens::{fill, stroke};
use crate::report::draw::reach::{Reach, usable};
use crate::report::draw::style::{self, ACCENT, LABEL, STRONG, Type};
use crate::report::draw::view::View;
use crate::report::figure::{Band, Direction, Look, Span, Stroke, Tone};

impl Draw for Band {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        reach.points.extend(
            self.points
                .iter()
                .flat_map(|(x, ends)| ends.map(|y| (*x, y))),
        );
    }

    fn key(&self) -> Vec<(Sample, String)> {
        vec![(Sample::Fill(self.fill), self.name.clone())]
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        let sound = |p: &&(f64, [f64; 2])| usable(p.0) && p.1.iter().all(|y| usable(*y));
        let points: Vec<_> = self.points.iter().filter(sound).collect();
        let edge = |i: usize| {
            points
                .iter()
                .map(move |p| view.plot.nearest(view.at(p.0, p.1[i])))
        };
        let outline: Vec<Point> = edge(0).chain(edge(1).rev()).collect();
        if outline.len() > 3 {
            fill(canvas, &outline, self.fill);
        }
    }
}

impl Span {
    /// Its ends within those of the axis; `None` where it lies beyond.
    fn seen(&self, (low, high): (f64, f64)) -> Option<[f64; 2]> {
        let [a, b] = self.ends;
        let (from, to) = (a.min(b), a.max(b));
        (from <= high && to >= low).then(|| [from.max(low), to.min(high)])
    }
}

impl Draw for Span {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        // A stretch without an end goes on beyond the axis.
        let [a, b] = self.ends;
        let known = [if usable(a) { a } else { b }, if usable(b) { b } else { a }];
        reach.wishes[usize::from(self.direction == Direction::Across)].push(known);
    }

    fn key(&self) -> Vec<(Sample, String)> {
        let sample = self.fill.map_or_else(bold, Sample::Fill);
        let shown = self.in_key || self.direction == Direction::Across;
        shown
            .then(|| (sample, self.label.clone()))
            .into_iter()
            .collect()
    }

    fn flag(&self, ends: (f64, f64)) -> Option<Flag> {
        if self.in_key || self.direction == Direction::Across {
            return None;
        }
        let [low, high] = self.seen(ends)?;
        let face = match self.fill {
            Some(_) => LABEL,
            None => Type {
                color: ACCENT,
                ..STRONG
            },
        };
        Some(Flag {
            at: (low + high) / 2.0,
            words: self.label.clone(),
            face,
            stem: None,
            over: true,
        })
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        let upright = self.direction == Direction::Upright;
        let axis = if upright { &view.x } else { &view.y };
        let Some([low, high]) = self.seen((axis.low, axis.high)) else {
            return;
        };
        let (plot, [from, to]) = (view.plot, [low, high].map(|v| axis.px(v)));
        let area = match upright {
            true => Rect::new(from, plot.top, to, plot.bottom),
            false => Rect::new(plot.left, to, plot.right, from),
        };
        if let Some(kind) = self.fill {
            fill(canvas, &area.corners(), kind);
        }
        let look = match self.fill {
            Some(_) => Look::line(Tone::Mid, Stroke::Thin),
            None => Look::line(Tone::Accent, Stroke::Dashed),
        };
        // An edge is drawn where the stretch ends within the panel.
        for (own, shown) in [
            (self.ends[0].min(self.ends[1]), from),
            (self.ends[0].max(self.ends[1]), to),
        ] {
            if axis.holds(own) {
                let ends = match upright {
                    true => [(shown, plot.top), (shown, plot.bottom)],
                    false => [(plot.left, shown), (plot.right, shown)],
                };
                stroke(canvas, &ends, look);
            }
        }
        if upright && !self.in_key && !self.label.is_empty() {
            let color = if self.fill.is_some() {
                style::MID
            } else {
                ACCENT
            };
            let width = if self.fill.is_some() { 2.0 } else { 4.0 };
            canvas.line((from, plot.top), (to, plot.top), color, width);
            if self.fill.is_none() {
                canvas.line((from, plot.bottom), (to, plot.bottom), color, width);
            }
        }
    }
}
