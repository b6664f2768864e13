//! The pieces of a histogram: bars, upright lines with their labels, words beside spans.

use plotters::style::RGBColor;

use super::bins::Bins;
use super::canvas::{Align, Canvas};
use super::frame::Frame;
use super::geometry::Rect;
use super::rows::{Flag, Seat};
use super::style::{self, LABEL, Type};
use super::text;
use super::ticks::label;

/// Height of a row of labels.
pub(super) const ROW: f64 = 19.0;

/// How an upright line is drawn.
#[derive(Clone, Copy)]
pub(super) enum Stroke {
    /// One stroke.
    Solid,
    /// A pattern, and how far above the axis it begins.
    Dashed(&'static [f64], f64),
}

/// An upright line with a label.
pub(super) struct Line {
    /// Where it stands, in the unit of the axis.
    pub at: f64,
    /// Its label.
    pub words: String,
    /// The face of the label.
    pub face: Type,
    /// How it is drawn.
    pub stroke: Stroke,
    /// Colour of line and label.
    pub color: RGBColor,
    /// Width of the line.
    pub width: f64,
}

/// Extent of the horizontal axis, in its unit.
pub(super) fn frame_width(frame: &Frame) -> f64 {
    let (low, high) = frame.x_ends();
    high - low
}

/// The place itself, or the edge of the plot beyond which it lies.
pub(super) fn inside(x: f64, plot: Rect) -> f64 {
    x.max(plot.left).min(plot.right)
}

/// What the bars leave out, in words.
pub(super) fn remarks(bins: &Bins) -> String {
    let mut parts = Vec::new();
    if bins.outside > 0 {
        let share = 100.0 * bins.outside as f64 / bins.usable as f64;
        let share = if share < 0.01 {
            "less than 0.01".to_owned()
        } else {
            label(share, if share < 0.1 { 2 } else { 1 })
        };
        parts.push(format!("{share} % of the trials lie outside the bars"));
    }
    match bins.unusable {
        0 => {}
        1 => parts.push("1 trial without a finite value is left out".to_owned()),
        many => parts.push(format!(
            "{} trials without a finite value are left out",
            label(many as f64, 0)
        )),
    }
    parts.join("; ")
}

/// The bars; `unit` is what one trial counts on the upright axis.
pub(super) fn draw_bars(canvas: &mut Canvas<'_>, frame: &Frame, bins: &Bins, unit: f64) {
    for (index, count) in bins.counts.iter().enumerate() {
        if *count == 0 {
            continue;
        }
        let left = frame.x(bins.start + bins.width * index as f64);
        let right = frame.x(bins.start + bins.width * (index + 1) as f64);
        let (top, bottom) = (frame.y(*count as f64 * unit), frame.plot.bottom);
        canvas.fill_rect(Rect::new(left, top, right, bottom), style::FILL);
        let outline = [(left, bottom), (left, top), (right, top), (right, bottom)];
        canvas.path(&outline, style::EDGE, 0.7);
    }
}

/// One upright line with its flag, or an arrow at the edge when it stands outside.
pub(super) fn draw_line(
    canvas: &mut Canvas<'_>,
    frame: &Frame,
    line: &Line,
    seat: Seat,
    (x, base): (f64, f64),
) {
    let top = base - (seat.row as f64 + 1.0) * ROW + 3.0;
    let baseline = base - seat.row as f64 * ROW - 5.0;
    let bottom = frame.plot.bottom;
    let true_x = frame.x(line.at);
    if (true_x - x).abs() > 0.5 {
        let outward = if true_x > x { 1.0 } else { -1.0 };
        canvas.arrow_head(
            (x + 10.0 * outward, baseline - 4.5),
            (outward, 0.0),
            line.color,
        );
    } else {
        match line.stroke {
            Stroke::Solid => canvas.line((x, top), (x, bottom), line.color, line.width),
            Stroke::Dashed(pattern, start) => {
                let look = (line.color, line.width);
                canvas.dashed((x, bottom - start), (x, top), pattern, look);
            }
        }
    }
    let face = Type {
        color: line.color,
        ..line.face
    };
    canvas.text(&line.words, (seat.left, baseline), Align::Start, face);
}

/// The words of a span: beside it where no upright line runs, else across it on clear ground,
/// else beside it in smaller letters.
pub(super) fn put_words(canvas: &mut Canvas<'_>, words: &str, span: Rect, y: f64, flags: &[Flag]) {
    let (low, high) = Frame::sides();
    let full = text::clean(words);
    let (words, face) = text::fit(&full, LABEL, 420.0);
    let wide = text::width(&words, face);
    let middle = (span.left + span.right - wide) / 2.0;
    let free = |left: f64, wide: f64| {
        left >= low
            && left + wide <= high + 0.1
            && flags
                .iter()
                .all(|flag| flag.x < left - 8.0 || flag.x > left + wide + 8.0)
    };
    let across = (0..100)
        .flat_map(|step| [-1.0, 1.0].map(|way| middle + way * 6.0 * f64::from(step)))
        .filter(|left| *left > span.left + 24.0 && left + wide < span.right - 24.0);
    let chosen = [span.right + 10.0, span.left - 10.0 - wide]
        .into_iter()
        .chain(across)
        .find(|left| free(*left, wide))
        .map(|left| (left, words.clone(), face));
    let smaller = || {
        let rooms = [high - span.right - 10.0, span.left - 10.0 - low];
        let set = rooms.map(|room| text::fit(&full, LABEL, room));
        let [(right, right_face), (left, left_face)] = set;
        let before = span.left - 10.0 - text::width(&left, left_face);
        [
            (span.right + 10.0, right, right_face),
            (before, left, left_face),
        ]
        .into_iter()
        .find(|(at, words, face)| *words == full && free(*at, text::width(words, *face)))
    };
    let (left, words, face) =
        chosen
            .or_else(smaller)
            .unwrap_or((middle.min(high - wide).max(low), words, face));
    let wide = text::width(&words, face);
    let ground = Rect::new(left - 4.0, y - 8.5, left + wide + 4.0, y + 8.5);
    canvas.fill_rect(ground, style::PAPER);
    let baseline = y + 0.36 * face.size;
    canvas.text(&words, (left, baseline), Align::Start, face);
}
