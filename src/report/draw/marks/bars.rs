//! Bars: upright ones of a histogram, level ones of rows.

use crate::report::draw::canvas::Canvas;
use crate::report::draw::geometry::Rect;
use crate::report::draw::key::Sample;
use crate::report::draw::mark::{Draw, Place, Wish};
use crate::report::draw::pens::{boxed, whisker};
use crate::report::draw::reach::{Reach, usable};
use crate::report::draw::style::{INK, LABEL};
use crate::report::draw::text;
use crate::report::draw::view::View;
use crate::report::figure::{Bar, Bars};

impl Bars {
    fn usable(&self) -> impl Iterator<Item = &Bar> {
        self.bars
            .iter()
            .filter(|b| usable(b.value) && b.sides.iter().all(|s| usable(*s)))
    }

    /// The end of a bar with its error, on the side to which it points.
    fn tip(&self, bar: &Bar) -> f64 {
        let ends = bar.error.unwrap_or([bar.value; 2]);
        if bar.value < self.base {
            bar.value.min(ends[0]).min(ends[1])
        } else {
            bar.value.max(ends[0]).max(ends[1])
        }
    }

    fn side(&self, bar: &Bar) -> f64 {
        if bar.value < self.base { -1.0 } else { 1.0 }
    }
}

impl Draw for Bars {
    fn reach(&self, reach: &mut Reach, rows: bool) {
        let along = |v: f64| if rows { (v, f64::NAN) } else { (f64::NAN, v) };
        for bar in self.usable() {
            reach.points.extend([along(self.base), along(bar.value)]);
            reach
                .tips
                .extend(bar.error.into_iter().flatten().map(along));
            if !rows {
                reach.points.extend(bar.sides.map(|side| (side, f64::NAN)));
            } else if !bar.label.is_empty() {
                let wide = text::width(&bar.label, LABEL) + 14.0;
                let room = if self.side(bar) < 0.0 {
                    [wide, 0.0]
                } else {
                    [0.0, wide]
                };
                reach.rooms.push((self.tip(bar), room));
            }
        }
    }

    fn key(&self) -> Vec<(Sample, String)> {
        vec![(Sample::Fill(self.fill), self.name.clone())]
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        for bar in self.usable() {
            let [a, b] = bar.sides;
            let (from, to) = match view.rows() {
                true => (view.at(self.base, a), view.at(bar.value, b)),
                false => (view.at(a, self.base), view.at(b, bar.value)),
            };
            let [from, to] = [from, to].map(|at| view.plot.nearest(at));
            if from.0 != to.0 && from.1 != to.1 {
                boxed(canvas, Rect::spanned(from, to), self.fill);
            }
            if let Some([low, high]) = bar.error.filter(|e| e.iter().all(|v| usable(*v))) {
                let middle = (a + b) / 2.0;
                let (from, to) = match view.rows() {
                    true => (view.at(low, middle), view.at(high, middle)),
                    false => (view.at(middle, low), view.at(middle, high)),
                };
                whisker(canvas, from, to, view.plot.grown(0.5), (INK, 1.6));
            }
        }
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        let wish = |bar: &Bar| {
            let middle = (bar.sides[0] + bar.sides[1]) / 2.0;
            let at = view.plot.nearest(view.at(self.tip(bar), middle));
            Wish {
                words: bar.label.clone(),
                face: LABEL,
                place: match view.rows() {
                    true => Place::Beside(at, self.side(bar)),
                    false => Place::Near(vec![view.at(middle, bar.value)]),
                },
            }
        };
        self.usable().map(wish).collect()
    }
}
