//! What all pictures share: headline, axes, grid, remarks and the line of origin.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect};
use super::style::{self, AXIS, FOOTER, NOTE, SUBTITLE, TICK, TITLE, Type};
use super::text;
use super::ticks::{Ticks, label, ticks};

/// Free rim of the sheet.
const RIM: f64 = 18.0;
/// Line height in font sizes.
pub(super) const LEADING: f64 = 1.32;
/// Room below a plot for its scale: the axis itself, the numbers, then the name of the axis.
pub(super) const SCALE_ROOM: f64 = 8.0 + AXIS.size + 6.0 + TICK.size + 12.0;

/// One axis: its name with the unit, and its ends.
#[derive(Debug, Clone)]
pub(super) struct Axis {
    /// Name and unit.
    pub title: String,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Whether only whole numbers make sense.
    pub whole: bool,
}

/// The words around the plot.
pub(super) struct Words<'a> {
    /// Headline.
    pub title: &'a str,
    /// The line under it; may be empty.
    pub subtitle: &'a str,
    /// Remarks about what is not drawn; may be empty.
    pub note: &'a str,
    /// Origin of the picture; may be empty.
    pub footer: &'a str,
}

type Line = (String, Point, Type);

/// The laid-out surroundings of a plot.
pub(super) struct Frame {
    /// Where the data go.
    pub plot: Rect,
    /// The strip above the plot that was asked for.
    pub strip: Rect,
    x: Axis,
    y: Axis,
    x_ticks: Ticks,
    y_ticks: Ticks,
    /// The part of the sheet in which the names of the axes must stay.
    cell: Rect,
    lines: Vec<Line>,
}

/// The room that headline, remarks and origin leave, and the lines of text they need.
pub(super) struct Sheet {
    /// What is free for plots and tables.
    pub free: Rect,
    lines: Vec<Line>,
}

/// Width of the widest number along an axis.
pub(super) fn widest(ticks: &Ticks) -> f64 {
    ticks
        .at
        .iter()
        .map(|value| text::width(&label(*value, ticks.decimals), TICK))
        .fold(0.0, f64::max)
}

/// Round positions along a horizontal axis whose numbers do not run into each other.
pub(super) fn fitting_ticks(x: &Axis, width: f64) -> Ticks {
    // Wide labels need wider steps; the last resort is a single label.
    [8, 6, 5, 4, 3, 2, 1]
        .into_iter()
        .map(|wanted| ticks(x.low, x.high, wanted, x.whole))
        .find(|found| found.at.len() as f64 * (widest(found) + 22.0) < width)
        .unwrap_or_else(|| ticks(x.low, x.high, 1, x.whole))
}

/// The numbers below a horizontal axis; `x` gives the place of a value.
pub(super) fn draw_x_ticks(
    canvas: &mut Canvas<'_>,
    plot: Rect,
    ticks: &Ticks,
    x: impl Fn(f64) -> f64,
) {
    for value in &ticks.at {
        let x = x(*value);
        canvas.line((x, plot.bottom), (x, plot.bottom + 5.0), style::INK, 1.2);
        let baseline = plot.bottom + 9.0 + text::ASCENT * TICK.size;
        let words = label(*value, ticks.decimals);
        canvas.text(&words, (x, baseline), Align::Middle, TICK);
    }
}

/// The numbers beside a vertical axis; `y` gives the place of a value.
pub(super) fn draw_y_ticks(
    canvas: &mut Canvas<'_>,
    plot: Rect,
    ticks: &Ticks,
    y: impl Fn(f64) -> f64,
) {
    for value in &ticks.at {
        let y = y(*value);
        canvas.line((plot.left - 5.0, y), (plot.left, y), style::INK, 1.2);
        let words = label(*value, ticks.decimals);
        let at = (plot.left - 9.0, y + 0.36 * TICK.size);
        canvas.text(&words, at, Align::End, TICK);
    }
}

/// Lines of words that read upwards, the first of them at the left, centred beside a height.
pub(super) fn draw_upward(
    canvas: &mut Canvas<'_>,
    (lines, face): &(Vec<String>, Type),
    (left, middle): Point,
) {
    for (index, line) in lines.iter().enumerate() {
        let baseline = left + face.size - 2.0 + index as f64 * LEADING * face.size;
        canvas.text_upward(line, (baseline, middle), *face);
    }
}

/// The name of a horizontal axis, kept within the cell.
pub(super) fn draw_x_title(canvas: &mut Canvas<'_>, plot: Rect, title: &str, cell: Rect) {
    let center = (plot.left + plot.right) / 2.0;
    let room = cell.width();
    let (words, face) = text::fit(&text::clean(title), AXIS, room);
    let half = text::width(&words, face) / 2.0;
    // A title wider than the plot stays on the sheet rather than under the plot's middle.
    let left = cell.left;
    let x = center.max(left + half).min(left + room - half);
    let baseline = plot.bottom + 12.0 + TICK.size + 6.0 + text::ASCENT * AXIS.size;
    canvas.text(&words, (x, baseline), Align::Middle, face);
}

/// A remark on one line, made smaller if need be, or else on as many lines as it may take: it
/// may say what the picture must not be read without.
fn rim_lines(words: &str, face: Type, room: f64, most: usize) -> (Vec<String>, Type) {
    let (line, small) = text::fit(words, face, room);
    if line == words || most == 1 {
        return (vec![line], small);
    }
    let mut lines = text::wrap(words, face, room);
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            *last = text::shorten(&format!("{last} …"), face, room);
        }
    }
    (lines, face)
}

impl Sheet {
    /// Lays out the words at the upper and lower end of a sheet of the usual size.
    pub fn lay(words: &Words<'_>) -> Self {
        Self::lay_tall(words, style::HEIGHT)
    }

    /// Lays out the words at the upper and lower end of a sheet of the given height.
    pub fn lay_tall(words: &Words<'_>, height: u32) -> Self {
        let sheet = (f64::from(style::WIDTH), f64::from(height));
        let room = sheet.0 - 2.0 * RIM;
        let mut lines = Vec::new();

        let mut top = 14.0;
        for (words, face, gap) in [(words.title, TITLE, 2.0), (words.subtitle, SUBTITLE, 2.0)] {
            let (block, face) = text::block(&text::clean(words), face, room);
            for line in block {
                let baseline = top + text::ASCENT * face.size + 2.0;
                lines.push((line, (RIM, baseline), face));
                top += LEADING * face.size;
            }
            top += gap;
        }
        top += 6.0;

        let mut bottom = sheet.1 - 12.0;
        for (words, face, most) in [(words.footer, FOOTER, 1), (words.note, NOTE, 4)] {
            let words = text::clean(words);
            if words.is_empty() {
                continue;
            }
            let (block, face) = rim_lines(&words, face, room, most);
            for line in block.into_iter().rev() {
                lines.push((line, (RIM, bottom), face));
                bottom -= LEADING * face.size;
            }
            bottom -= 3.0;
        }
        Self {
            free: Rect::new(RIM, top, sheet.0 - RIM, bottom),
            lines,
        }
    }

    /// Writes these words.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        for (words, at, face) in &self.lines {
            canvas.text(words, *at, Align::Start, *face);
        }
    }
}

impl Frame {
    /// Lays out everything around the plot, with a strip of the given height above it.
    pub fn lay(words: &Words<'_>, x: Axis, y: Axis, strip: f64) -> Self {
        let sheet = Sheet::lay(words);
        Self {
            lines: sheet.lines,
            ..Self::panel(sheet.free, x, y, strip)
        }
    }

    /// Lays out one plot with its axes in a part of the sheet, so that a sheet can hold two.
    pub fn panel(cell: Rect, x: Axis, y: Axis, strip: f64) -> Self {
        let top = cell.top;
        let bottom = cell.bottom - SCALE_ROOM;

        // A low plot has room for fewer numbers.
        let wanted = if bottom - top < 220.0 { 3 } else { 6 };
        let y_ticks = ticks(y.low, y.high, wanted, y.whole);
        let left = cell.left + AXIS.size + 12.0 + widest(&y_ticks) + 10.0;
        let right = cell.right - 12.0;
        let plot = Rect::new(left, top + strip, right, bottom);
        let x_ticks = fitting_ticks(&x, plot.width());
        Self {
            plot,
            strip: Rect::new(left, top, right, top + strip),
            x,
            y,
            x_ticks,
            y_ticks,
            cell,
            lines: Vec::new(),
        }
    }

    /// The whole width in which labels may stand.
    pub fn sides() -> (f64, f64) {
        (RIM, f64::from(style::WIDTH) - RIM)
    }

    /// The values at both ends of the horizontal axis.
    pub fn x_ends(&self) -> (f64, f64) {
        (self.x.low, self.x.high)
    }

    /// Horizontal place of a value.
    pub fn x(&self, value: f64) -> f64 {
        let share = (value - self.x.low) / (self.x.high - self.x.low);
        self.plot.left + share * self.plot.width()
    }

    /// Vertical place of a value.
    pub fn y(&self, value: f64) -> f64 {
        let share = (value - self.y.low) / (self.y.high - self.y.low);
        self.plot.bottom - share * self.plot.height()
    }

    /// Place of a pair of values.
    pub fn at(&self, (x, y): Point) -> Point {
        (self.x(x), self.y(y))
    }

    /// Faint lines across the plot, with or without the upright ones.
    pub fn draw_grid(&self, canvas: &mut Canvas<'_>, upright: bool) {
        let plot = self.plot;
        for value in &self.y_ticks.at {
            let y = self.y(*value);
            canvas.line((plot.left, y), (plot.right, y), style::GRID, 1.0);
        }
        if upright {
            for value in &self.x_ticks.at {
                let x = self.x(*value);
                canvas.line((x, plot.top), (x, plot.bottom), style::GRID, 1.0);
            }
        }
    }

    /// Axes with their numbers and names, headline, remarks and origin.
    pub fn draw_axes(&self, canvas: &mut Canvas<'_>) {
        let plot = self.plot;
        let corner = (plot.left, plot.bottom);
        canvas.path(
            &[(plot.left, plot.top), corner, (plot.right, plot.bottom)],
            style::INK,
            1.2,
        );
        draw_x_ticks(canvas, plot, &self.x_ticks, |value| self.x(value));
        draw_y_ticks(canvas, plot, &self.y_ticks, |value| self.y(value));
        draw_x_title(canvas, plot, &self.x.title, self.cell);
        let (words, face) = text::fit(&text::clean(&self.y.title), AXIS, plot.height() + 40.0);
        let beside = (
            self.cell.left + AXIS.size - 2.0,
            (plot.top + plot.bottom) / 2.0,
        );
        canvas.text_upward(&words, beside, face);
        for (words, at, face) in &self.lines {
            canvas.text(words, *at, Align::Start, *face);
        }
    }
}
