//! Words in the plots of a reduced record, the numbers of its arrows, and the row of keys.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect, distance};
use super::place::Places;
use super::reductions_content::Content;
use super::reductions_draw::{HATCH_GAP, Stage, crossings, hatch};
use super::reductions_table::{RING, ring};
use super::style::{self, LABEL, Type};
use super::text;

impl Stage<'_> {
    /// Rings above the arrows and, in the large plot, words where no data run.
    pub fn draw_words(&self, canvas: &mut Canvas<'_>) {
        let plot = self.plot();
        let mut places = Places::new(plot);
        let dots = self.dots();
        for dot in &dots {
            places.block_point(*dot, 2.0, 1);
        }
        for (_, from, to) in self.strokes() {
            places.block_line(from, to, 2);
        }
        for arrow in self.arrows() {
            // Readings and lines above the arrow push its number up rather than vanish.
            let near = dots
                .iter()
                .filter(|dot| (dot.0 - arrow.x).abs() < RING + 2.0);
            let crossed = self.strokes().into_iter().filter_map(|(_, from, to)| {
                let share = (arrow.x - from.0) / (to.0 - from.0);
                (0.0..=1.0)
                    .contains(&share)
                    .then_some(from.1 + share * (to.1 - from.1))
            });
            let above = near
                .map(|dot| dot.1)
                .chain(crossed)
                .filter(|y| *y < arrow.ends.0 && *y > arrow.ends.0 - 4.0 * RING)
                .fold(arrow.ends.0, f64::min);
            let y = (above - RING - 6.0).max(plot.top + RING);
            ring(canvas, (arrow.x, y), arrow.way + 1);
            let (top, bottom) = (y - RING, arrow.ends.1);
            places.block(Rect::new(arrow.x - RING, top, arrow.x + RING, bottom), 12);
            places.block_line((arrow.moment, bottom), (arrow.moment, plot.bottom), 2);
        }
        if self.large {
            self.put_words(canvas, &mut places);
        }
    }

    fn put_words(&self, canvas: &mut Canvas<'_>, places: &mut Places) {
        let plot = self.plot();
        let mixing = self.view.at(0.0, 0.0).0;
        places.block_line((mixing, plot.top), (mixing, plot.bottom), 2);
        for outline in self.content.outlines(self.stretch()) {
            let outline: Vec<Point> = outline
                .iter()
                .map(|(time, value)| self.view.at(*time, *value))
                .collect();
            let mut offset = plot.left + plot.top;
            while offset < plot.right + plot.bottom {
                for pair in crossings(&outline, offset).chunks_exact(2) {
                    places.block_line(pair[0], pair[1], 1);
                }
                offset += HATCH_GAP;
            }
        }
        let mut wishes = Vec::new();
        for line in self.content.lines() {
            let (from, to) = self.content.reach(line);
            let seen = self.view.cut((from, line.at(from)), (to, line.at(to)));
            if let Some((from, to)) = seen {
                // The outer end lies away from the arrows.
                let outer = if from.0 - plot.left < plot.right - to.0 {
                    0.1
                } else {
                    0.9
                };
                let along = |share: f64| {
                    let end = |a: f64, b: f64| a + share * (b - a);
                    (end(from.0, to.0), end(from.1, to.1))
                };
                let face = Type {
                    color: style::ACCENT,
                    ..LABEL
                };
                wishes.push((
                    line.label.as_str(),
                    face,
                    [outer, 0.5, 0.3, 0.7, 0.0, 1.0].map(along).to_vec(),
                ));
            }
        }
        if mixing > plot.left && mixing < plot.right {
            let face = Type {
                color: style::MID,
                ..LABEL
            };
            let anchors = [0.97, 0.03, 0.88, 0.12].map(|s| (mixing, plot.top + s * plot.height()));
            wishes.push(("mixing", face, anchors.to_vec()));
        }
        for (words, face, anchors) in wishes {
            let (words, face) = text::fit(&text::clean(words), face, plot.width() * 0.45);
            if words.is_empty() {
                continue;
            }
            let size = (text::width(&words, face), 1.15 * face.size);
            let (seat, anchor) = places.seat(size, &anchors);
            let near = seat.grown(3.0).nearest(anchor);
            if distance(near, anchor) > 22.0 {
                canvas.line(near, anchor, style::MID, 0.9);
            }
            let baseline = seat.top + text::ASCENT * face.size + 1.5;
            canvas.text(&words, (seat.left, baseline), Align::Start, face);
        }
    }
}

/// What the row above the plots explains.
#[derive(Clone, Copy)]
enum Key {
    Reading,
    Fitted,
    Carried,
    First,
    Second,
}

impl Key {
    fn words(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Fitted => "fitted line",
            Self::Carried => "extrapolated",
            Self::First => "area up to the moment",
            Self::Second => "equal area after it",
        }
    }

    fn draw(self, canvas: &mut Canvas<'_>, (x, y): Point, wide: f64) {
        let end = (x + wide, y);
        let swatch = Rect::new(x, y - 7.0, x + wide, y + 7.0);
        match self {
            Self::Reading => canvas.dot((x + wide / 2.0, y), 2.6, style::INK),
            Self::Fitted => canvas.line((x, y), end, style::ACCENT, 2.1),
            Self::Carried => canvas.dashed((x, y), end, style::DASHED, (style::ACCENT, 1.8)),
            Self::First => canvas.fill_rect(swatch, style::FILL),
            Self::Second => {
                let corners = [
                    (swatch.left, swatch.top),
                    (swatch.right, swatch.top),
                    (swatch.right, swatch.bottom),
                    (swatch.left, swatch.bottom),
                ];
                hatch(canvas, &corners, swatch);
            }
        }
    }
}

/// Explains strokes and shades in one row.
pub(super) fn draw_key(canvas: &mut Canvas<'_>, strip: Rect, content: &Content<'_>) {
    let mut keys = vec![Key::Reading];
    if content.lines().next().is_some() {
        keys.extend([Key::Fitted, Key::Carried]);
    }
    if content.shaded() {
        keys.extend([Key::First, Key::Second]);
    }
    let y = strip.top + strip.height() / 2.0 - 3.0;
    let mut x = strip.left;
    for key in keys {
        let wide = match key {
            Key::Reading => 14.0,
            _ => 34.0,
        };
        key.draw(canvas, (x, y), wide);
        x += wide + 7.0;
        let at = (x, y + 0.36 * LABEL.size);
        canvas.text(key.words(), at, Align::Start, LABEL);
        x += text::width(key.words(), LABEL) + 24.0;
    }
}
