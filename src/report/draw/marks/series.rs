//! Points and curves.

use crate::report::draw::canvas::Canvas;
use crate::report::draw::geometry::{Point as Place2, between};
use crate::report::draw::key::Sample;
use crate::report::draw::mark::{Draw, Place, Wish};
use crate::report::draw::pens::{marker, stroke, whisker};
use crate::report::draw::reach::{Reach, usable};
use crate::report::draw::style::{LABEL, Type, color};
use crate::report::draw::view::View;
use crate::report::figure::{Point, Series, Shape, Stroke};
use std::collections::HashSet;

/// A whisker shorter than this hides behind its marker.
const SHORT: f64 = 5.0;

impl Series {
    /// Stretches of the line without a gap.
    fn stretches(&self, view: &View) -> Vec<Vec<Place2>> {
        let whole = self.points.split(|p| !(usable(p.x) && usable(p.y)));
        let on_sheet = |points: &[Point]| points.iter().map(|p| view.at(p.x, p.y)).collect();
        whole.map(on_sheet).collect()
    }

    fn face(&self) -> Type {
        Type {
            color: color(self.look.tone),
            ..LABEL
        }
    }
}

/// The parts of a line within the panel.
fn inside(view: &View, points: &[Place2]) -> Vec<Vec<Place2>> {
    let mut parts: Vec<Vec<Place2>> = Vec::new();
    for pair in points.windows(2) {
        let Some((from, to)) = view.plot.cut(pair[0], pair[1]) else {
            continue;
        };
        match parts.last_mut() {
            Some(part) if part.last() == Some(&from) => part.push(to),
            _ => parts.push(vec![from, to]),
        }
    }
    parts
}

impl Draw for Series {
    fn reach(&self, reach: &mut Reach, rows: bool) {
        for p in &self.points {
            let on = |v: f64| match rows {
                true => (v, f64::NAN),
                false => (p.x, v),
            };
            if p.aside {
                reach.points.push((p.x, f64::NAN));
                continue;
            }
            reach.points.push((p.x, p.y));
            reach.tips.extend(p.error.into_iter().flatten().map(on));
            if !p.label.is_empty() && rows {
                let wide = crate::report::draw::text::width(&p.label, LABEL) + 14.0;
                let tip = p.error.map_or(p.x, |e| e[1]);
                reach.rooms.push((tip, [0.0, wide]));
            }
        }
    }

    fn key(&self) -> Vec<(Sample, String)> {
        vec![(Sample::Look(self.look), self.name.clone())]
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        for points in self.stretches(view) {
            for part in inside(view, &points) {
                stroke(canvas, &part, self.look);
            }
        }
        let mut seen = HashSet::new();
        for p in self.points.iter().filter(|p| usable(p.x) && usable(p.y)) {
            let (at, limits) = (view.at(p.x, p.y), view.plot.grown(0.5));
            if let Some([low, high]) = p.error.filter(|e| e.iter().all(|v| usable(*v))) {
                let (from, to) = match view.rows() {
                    true => (view.at(low, p.y), view.at(high, p.y)),
                    false => (view.at(p.x, low), view.at(p.x, high)),
                };
                let long = (from.0 - to.0).abs() + (from.1 - to.1).abs() > 2.0 * SHORT;
                if long && limits.holds(at) {
                    whisker(canvas, from, to, limits, (color(self.look.tone), 1.5));
                }
            }
            // Thousands of dots on top of each other make a large file and no other picture.
            let fresh = self.look.shape != Shape::Dot
                || seen.insert(((at.0 * 1.5).round() as i64, (at.1 * 1.5).round() as i64));
            if limits.holds(at) && fresh {
                marker(canvas, at, self.look);
            } else if self.look.shape != Shape::None && view.x.holds(p.x) && fresh {
                let way = if at.1 < view.plot.top { -1.0 } else { 1.0 };
                canvas.arrow_head(view.plot.nearest(at), (0.0, way), color(self.look.tone));
            }
        }
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        let mut wishes = Vec::new();
        for p in self
            .points
            .iter()
            .filter(|p| !p.label.is_empty() && usable(p.x))
        {
            let at = view.plot.nearest(view.at(p.x, p.y));
            let tip = p.error.map_or(p.x, |e| e[1]);
            let place = match view.rows() {
                true => Place::Beside((view.x.px(tip).min(view.plot.right).max(at.0), at.1), 1.0),
                false => Place::Near(vec![at]),
            };
            wishes.push(Wish {
                words: p.label.clone(),
                face: LABEL,
                place,
            });
        }
        let along: Vec<Place2> = self
            .stretches(view)
            .iter()
            .flat_map(|points| inside(view, points))
            .flat_map(|part| {
                part.windows(2)
                    .flat_map(|p| [0.1, 0.5, 0.9].map(|s| between(p[0], p[1], s)))
                    .collect::<Vec<_>>()
            })
            .collect();
        if !self.label.is_empty() && self.look.stroke != Stroke::None && !along.is_empty() {
            let step = along.len().div_ceil(12);
            wishes.push(Wish {
                words: self.label.clone(),
                face: self.face(),
                place: Place::Near(along.into_iter().step_by(step).collect()),
            });
        }
        wishes
    }
}
