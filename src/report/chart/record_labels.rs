//! The words in a temperature record, put where no data run.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect, distance};
use super::place::Places;
use super::record_content::{Content, View};
use super::style::{self, LABEL, STRONG, Type};
use super::text;

/// A stroke that the row above the plot explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    /// Single readings.
    Reading,
    /// The temperature without errors.
    Curve,
    /// A line where it was fitted.
    Fitted,
    /// A line where it is carried on.
    Carried,
    /// A reading that the evaluation uses.
    Spot,
}

impl Key {
    fn words(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Curve => "true temperature",
            Self::Fitted => "fitted line",
            Self::Carried => "extrapolated",
            Self::Spot => "reading used",
        }
    }

    fn draw(self, canvas: &mut Canvas<'_>, (x, y): Point, wide: f64) {
        let end = (x + wide, y);
        let middle = (x + wide / 2.0, y);
        match self {
            Self::Reading => canvas.dot(middle, 2.6, style::INK),
            Self::Curve => canvas.line((x, y), end, style::SOFT, 3.4),
            Self::Fitted => canvas.line((x, y), end, style::ACCENT, 2.1),
            Self::Carried => canvas.dashed((x, y), end, style::DASHED, (style::ACCENT, 1.8)),
            Self::Spot => {
                canvas.dot(middle, 7.0, style::ACCENT);
                canvas.dot(middle, 4.6, style::PAPER);
                canvas.dot(middle, 2.6, style::INK);
            }
        }
    }
}

/// Explains the strokes in one row above the plot, where they cannot cover anything.
pub(super) fn draw_key(canvas: &mut Canvas<'_>, strip: Rect, key: Vec<Key>) {
    let mut x = strip.left;
    let y = strip.top + strip.height() / 2.0 - 3.0;
    for entry in key {
        let wide = match entry {
            Key::Reading | Key::Spot => 14.0,
            _ => 38.0,
        };
        entry.draw(canvas, (x, y), wide);
        x += wide + 7.0;
        let at = (x, y + 0.36 * LABEL.size);
        canvas.text(entry.words(), at, Align::Start, LABEL);
        x += text::width(entry.words(), LABEL) + 26.0;
    }
}

/// A label and the places it may name, the best first.
struct Wish {
    words: String,
    face: Type,
    anchors: Vec<Point>,
}

/// Puts all labels of the plot into free room near what they name.
pub(super) fn draw_labels(canvas: &mut Canvas<'_>, view: &View<'_>, content: &Content<'_>) {
    let mut places = Places::new(view.plot());
    block_data(&mut places, view, content);
    for wish in wishes(view, content) {
        let words = text::clean(&wish.words);
        if words.is_empty() {
            continue;
        }
        let (words, face) = text::fit(&words, wish.face, view.plot().width() * 0.45);
        let size = (text::width(&words, face), 1.15 * face.size);
        let (seat, anchor) = places.seat(size, &wish.anchors);
        let near = seat.grown(3.0).nearest(anchor);
        if distance(near, anchor) > 22.0 {
            // Too far away to be understood without a pointer.
            canvas.line(near, anchor, style::MID, 0.9);
            places.block_line(near, anchor, 4);
        }
        let baseline = seat.top + text::ASCENT * face.size + 1.5;
        canvas.text(&words, (seat.left, baseline), Align::Start, face);
    }
}

fn block_data(places: &mut Places, view: &View<'_>, content: &Content<'_>) {
    let plot = view.plot();
    for dot in content.dots(view) {
        places.block_point(dot, 2.0, 1);
    }
    for pair in content.curve.windows(2) {
        let (from, to) = (view.at(pair[0].0, pair[0].1), view.at(pair[1].0, pair[1].1));
        places.block_line(from, to, 1);
    }
    for line in &content.lines {
        let (solid, dashed) = content.strokes(line, view);
        for (from, to) in solid.into_iter().chain(dashed) {
            places.block_line(from, to, 2);
        }
    }
    for at in [content.chart.break_at, content.chart.moment_at()]
        .into_iter()
        .flatten()
    {
        let x = view.at(at, 0.0).0;
        places.block_line((x, plot.top), (x, plot.bottom), 2);
    }
    if let Some((upper, lower)) = content.rise_ends(view) {
        let arrow = Rect::new(upper.0 - 10.0, upper.1, upper.0 + 10.0, lower.1);
        places.block(arrow, 3);
    }
    for spot in &content.spots {
        let at = view.at(spot.x, spot.y);
        places.block_point(at, 8.0, 3);
        if content.rise.is_some() {
            places.block_line(at, view.at(content.rise_at, spot.y), 1);
        }
    }
}

/// All labels, the most important first: it gets the best place.
fn wishes(view: &View<'_>, content: &Content<'_>) -> Vec<Wish> {
    let plot = view.plot();
    let mut wishes = Vec::new();
    let mut wish = |words: &str, face: Type, anchors: Vec<Point>| {
        wishes.push(Wish {
            words: words.to_owned(),
            face,
            anchors,
        });
    };
    if let (Some(rise), Some((upper, lower))) = (content.rise, content.rise_ends(view)) {
        let anchors = [0.5, 0.35, 0.65, 0.2, 0.8]
            .map(|share| (upper.0, upper.1 + share * (lower.1 - upper.1)))
            .to_vec();
        wish(&rise.label, STRONG, anchors);
    }
    for spot in &content.spots {
        wish(&spot.label, LABEL, vec![view.at(spot.x, spot.y)]);
    }
    for line in &content.lines {
        if let (Some((from, to)), _) = content.strokes(line, view) {
            let along = |share: f64| {
                (
                    from.0 + share * (to.0 - from.0),
                    from.1 + share * (to.1 - from.1),
                )
            };
            let face = Type {
                color: style::ACCENT,
                ..LABEL
            };
            wish(&line.label, face, [0.5, 0.3, 0.7].map(along).to_vec());
        }
    }
    // Words of upright lines go near an end of the line, where the data rarely are.
    let upright = |at: f64| {
        let x = view.at(at, 0.0).0;
        let tall = plot.height();
        [0.03, 0.97, 0.12, 0.88, 0.5]
            .map(|share| (x, plot.top + share * tall))
            .to_vec()
    };
    if let (Some(mark), Some(at)) = (&content.chart.moment, content.chart.moment_at()) {
        wish(&mark.label, LABEL, upright(at));
    }
    if let Some(at) = content.chart.break_at.filter(|at| at.is_finite()) {
        let face = Type {
            color: style::MID,
            ..LABEL
        };
        wish("mixing", face, upright(at));
    }
    wishes
}
