//! Words within a panel: placed last, where nothing else stands.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect, distance};
use super::mark::{Place, Wish};
use super::places::SOLID;
use super::style::{self, WIDTH};
use super::text;

/// Words farther than this from what they name are led to it by a line.
const FAR: f64 = 20.0;
/// How far words behind a point may move to find free room.
const ALONG: u32 = 40;

/// Places words, those with the narrowest choice first.
pub(super) fn place(canvas: &mut Canvas<'_>, wishes: Vec<Wish>, plot: Rect) {
    let (beside, near): (Vec<Wish>, Vec<Wish>) = wishes
        .into_iter()
        .partition(|wish| matches!(wish.place, Place::Beside(..)));
    for wish in beside.into_iter().chain(near) {
        let words = text::shortened(&text::clean(&wish.words), wish.face, 0.6 * plot.width());
        if words.is_empty() {
            continue;
        }
        let size = (text::width(&words, wish.face), text::TALL * wish.face.size);
        let area = match &wish.place {
            Place::Beside(at, side) => {
                let edge = Rect::new(style::RIM, 0.0, WIDTH - 6.0, f64::INFINITY);
                let tries = (0..ALONG).map(|step| {
                    let start = at.0 + side * (7.0 + 3.0 * f64::from(step));
                    let left = if *side > 0.0 { start } else { start - size.0 };
                    let left = left.min(edge.right - size.0).max(edge.left);
                    let top = at.1 - size.1 / 2.0;
                    Rect::new(left, top, left + size.0, top + size.1)
                });
                // Rows are narrow: the room above and below the digits may be shared.
                let digits =
                    |a: &Rect| Rect::new(a.left - 2.0, a.top + 3.0, a.right + 2.0, a.bottom - 3.0);
                let best = tries.min_by_key(|area| canvas.places.covered(digits(area)));
                best.filter(|area| canvas.places.covered(digits(area)) < SOLID)
            }
            Place::On(points) => {
                let around = |at: &Point| {
                    let inner = plot.grown(-4.0);
                    let left = (at.0 - size.0 / 2.0)
                        .min(inner.right - size.0)
                        .max(inner.left);
                    let top = (at.1 - size.1 / 2.0)
                        .min(inner.bottom - size.1)
                        .max(inner.top);
                    Rect::new(left, top, left + size.0, top + size.1)
                };
                let tries = points.iter().map(around);
                let best = tries.min_by_key(|area| canvas.places.covered(area.grown(2.0)));
                best.filter(|area| canvas.places.covered(area.grown(2.0)) < SOLID)
            }
            Place::Near(anchors) => {
                canvas
                    .places
                    .seat(size, anchors, plot)
                    .map(|(area, anchor)| {
                        let start = area.grown(2.0).nearest(anchor);
                        if distance(start, anchor) > FAR {
                            canvas.faint(start, anchor, style::MID, 0.9);
                        }
                        area
                    })
            }
        };
        let Some(area) = area else { continue };
        if !matches!(wish.place, Place::Beside(..)) {
            canvas.fill(area.grown(1.5), style::PAPER);
        }
        let baseline = area.top + text::ASCENT * wish.face.size;
        canvas.text(&words, (area.left, baseline), Align::Start, wish.face);
    }
}
