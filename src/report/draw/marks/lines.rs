//! Lines across a panel, differences, intervals above it, and places with words.

use crate::report::draw::canvas::Canvas;
use crate::report::draw::flags::Flag;
use crate::report::draw::geometry::between;
use crate::report::draw::key::Sample;
use crate::report::draw::mark::{Draw, Place, Wish};
use crate::report::draw::pens::{marker, stroke, whisker};
use crate::report::draw::reach::{Reach, usable};
use crate::report::draw::style::{INK, LABEL, STRONG, Type, color};
use crate::report::draw::view::View;
use crate::report::figure::{Arrow, Direction, Look, Note, Rule, Shape, Tone, Whisker};

impl Rule {
    fn face(&self) -> Type {
        let strong = if self.look.tone == Tone::Accent {
            STRONG
        } else {
            LABEL
        };
        Type {
            color: color(self.look.tone),
            ..strong
        }
    }
}

impl Draw for Rule {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        reach.wishes[usize::from(self.direction == Direction::Across)].push([self.at; 2]);
    }

    fn flag(&self, _ends: (f64, f64)) -> Option<Flag> {
        (self.direction == Direction::Upright && usable(self.at)).then(|| Flag {
            at: self.at,
            words: self.label.clone(),
            face: self.face(),
            stem: Some(self.look),
            over: false,
        })
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        let plot = view.plot;
        let (axis, upright) = match self.direction {
            Direction::Upright => (&view.x, true),
            Direction::Across => (&view.y, false),
        };
        if axis.holds(self.at) {
            let at = axis.px(self.at);
            let ends = match upright {
                true => [(at, plot.bottom), (at, plot.top)],
                false => [(plot.left, at), (plot.right, at)],
            };
            stroke(canvas, &ends, self.look);
        }
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        if self.direction == Direction::Upright || !usable(self.at) {
            return Vec::new();
        }
        let y = view.plot.nearest((0.0, view.y.px(self.at))).1;
        let along = |share: f64| between((view.plot.left, y), (view.plot.right, y), share);
        let (words, way) = match view.y.holds(self.at) {
            true => (self.label.clone(), ""),
            false if self.at > view.y.high => (self.label.clone(), " ↑"),
            false => (self.label.clone(), " ↓"),
        };
        vec![Wish {
            words: if words.is_empty() { words } else { words + way },
            face: self.face(),
            place: Place::Near([0.9, 0.97, 0.8, 0.7, 0.6, 0.5, 0.3].map(along).to_vec()),
        }]
    }
}

impl Draw for Arrow {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        reach.wishes[0].push([self.x; 2]);
        reach.wishes[1].push(self.ends);
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        if !view.x.holds(self.x) || !self.ends.iter().all(|y| usable(*y)) {
            return;
        }
        let x = view.x.px(self.x);
        let [a, b] = self.ends.map(|y| view.plot.nearest((x, view.y.px(y))).1);
        let (top, bottom) = (a.min(b), a.max(b));
        for y in [top, bottom] {
            canvas.line((x - 7.0, y), (x + 7.0, y), INK, 1.5);
        }
        if bottom - top >= 22.0 {
            canvas.line((x, top + 6.0), (x, bottom - 6.0), INK, 1.8);
            canvas.arrow_head((x, top), (0.0, -1.0), INK);
            canvas.arrow_head((x, bottom), (0.0, 1.0), INK);
        } else {
            // Too little room between the ends: the heads point inwards from outside.
            for (y, way) in [(top, 1.0), (bottom, -1.0)] {
                canvas.line((x, y - 24.0 * way), (x, y - 6.0 * way), INK, 1.8);
                canvas.arrow_head((x, y), (0.0, way), INK);
            }
        }
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        let [from, to] = self.ends.map(|y| view.plot.nearest(view.at(self.x, y)));
        vec![Wish {
            words: self.label.clone(),
            face: STRONG,
            place: Place::Near(
                [0.5, 0.4, 0.6, 0.3, 0.7]
                    .map(|s| between(from, to, s))
                    .to_vec(),
            ),
        }]
    }
}

impl Draw for Whisker {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        reach.wishes[0].push(self.ends);
    }

    fn key(&self) -> Vec<(Sample, String)> {
        vec![(Sample::Whisker, self.name.clone())]
    }

    fn above(&self) -> bool {
        true
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        if self.ends.iter().all(|x| usable(*x)) {
            let [from, to] = self.ends.map(|x| (view.x.px(x), view.above));
            let mut limits = view.plot;
            limits.top = 0.0;
            whisker(canvas, from, to, limits, (INK, 2.2));
        }
    }
}

impl Draw for Note {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        reach.wishes[0].push([self.x; 2]);
        reach.wishes[1].push([self.y; 2]);
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        if view.x.holds(self.x) && view.y.holds(self.y) {
            marker(
                canvas,
                view.at(self.x, self.y),
                Look::marker(Tone::Accent, Shape::Target),
            );
        }
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        vec![Wish {
            words: self.label.clone(),
            face: STRONG,
            place: Place::Near(vec![view.plot.nearest(view.at(self.x, self.y))]),
        }]
    }
}
