//! Keys in rows above the plot, where they cannot cover anything.

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect};
use super::pens::{Pen, dashed_path};
use super::style::{self, LABEL, STRONG, Type};
use super::text;

/// Height of a row of keys.
const ROW: f64 = 23.0;
/// Room between a sample and its words, and between two keys.
const GAP: f64 = 7.0;
const BETWEEN: f64 = 26.0;
/// Width of the box of a letter.
pub(super) const LETTER: f64 = 18.0;
/// Radius of a marker in a sample.
const MARKER: f64 = 4.2;

/// What a key explains.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Sample {
    /// A curve with its markers.
    Pen(Pen),
    /// A horizontal level, by its pattern.
    Level(&'static [f64]),
    /// The bold contour line of a map.
    Bold,
    /// A cell without a value.
    Blank,
    /// A letter that stands in the picture for words too long to stand there.
    Letter(String),
}

impl Sample {
    fn width(&self) -> f64 {
        match self {
            Self::Pen(_) | Self::Level(_) => 50.0,
            Self::Bold => 36.0,
            Self::Letter(_) | Self::Blank => LETTER,
        }
    }

    fn draw(&self, canvas: &mut Canvas<'_>, (x, y): Point) {
        let wide = self.width();
        let ends = [(x, y), (x + wide, y)];
        match self {
            Self::Pen(pen) => {
                pen.stroke(canvas, &ends);
                pen.mark(canvas, (x + wide / 2.0, y), MARKER);
            }
            Self::Level(pattern) => {
                dashed_path(canvas, &ends, pattern, (style::MID, LEVEL_WIDTH));
            }
            Self::Letter(letter) => {
                let area = Rect::new(x, y - 8.5, x + wide, y + 8.5);
                draw_letter(canvas, letter, area);
            }
            Self::Bold => canvas.path(&ends, style::ACCENT, 3.4),
            Self::Blank => {
                let area = Rect::new(x, y - 7.0, x + wide, y + 7.0);
                draw_blank(canvas, area);
                canvas.path(&outline(area), style::EDGE, 0.8);
            }
        }
    }
}

/// Width of a horizontal level.
pub(super) const LEVEL_WIDTH: f64 = 1.4;

/// The closed outline of an area.
pub(super) fn outline(area: Rect) -> [Point; 5] {
    [
        (area.left, area.top),
        (area.right, area.top),
        (area.right, area.bottom),
        (area.left, area.bottom),
        (area.left, area.top),
    ]
}

/// A letter in a box, in the picture as in its key.
pub(super) fn draw_letter(canvas: &mut Canvas<'_>, letter: &str, area: Rect) {
    canvas.fill_rect(area, style::PAPER);
    canvas.path(&outline(area), style::MID, 1.0);
    let at = (
        (area.left + area.right) / 2.0,
        (area.top + area.bottom) / 2.0 + 0.36 * STRONG.size,
    );
    canvas.text(letter, at, Align::Middle, STRONG);
}

/// An area for which there is no value: white with a small cross.
pub(super) fn draw_blank(canvas: &mut Canvas<'_>, area: Rect) {
    canvas.fill_rect(area, style::PAPER);
    let middle = (
        (area.left + area.right) / 2.0,
        (area.top + area.bottom) / 2.0,
    );
    let half = 3.0_f64.min(0.3 * area.width()).min(0.3 * area.height());
    for way in [-1.0, 1.0] {
        let from = (middle.0 - half, middle.1 - way * half);
        let to = (middle.0 + half, middle.1 + way * half);
        canvas.line(from, to, style::SOFT, 1.0);
    }
}

/// The letter for the word with this number.
pub(super) fn letter(index: usize) -> String {
    match u8::try_from(index) {
        Ok(step @ 0..26) => char::from(b'A' + step).to_string(),
        _ => (index + 1).to_string(),
    }
}

/// A key with its place: left end, row, and words as they fit.
struct Seat {
    sample: Sample,
    left: f64,
    row: usize,
    words: String,
    face: Type,
}

/// Keys set in as many rows as they need.
pub(super) struct Legend {
    seats: Vec<Seat>,
    rows: usize,
}

impl Legend {
    /// Sets the keys one after the other between two edges; those without words are left out.
    pub fn flow(keys: Vec<(Sample, String)>, (left, right): (f64, f64)) -> Self {
        let mut seats = Vec::new();
        let (mut x, mut row) = (left, 0);
        for (sample, words) in keys {
            let words = text::clean(&words);
            if words.is_empty() {
                continue;
            }
            let before = sample.width() + GAP;
            let (words, face) = text::fit(&words, LABEL, right - left - before);
            let wide = before + text::width(&words, face);
            if x > left && x + wide > right {
                (x, row) = (left, row + 1);
            }
            seats.push(Seat {
                sample,
                left: x,
                row,
                words,
                face,
            });
            x += wide + BETWEEN;
        }
        let rows = seats.last().map_or(0, |seat| seat.row + 1);
        Self { seats, rows }
    }

    /// Height of all rows.
    pub fn height(&self) -> f64 {
        self.rows as f64 * ROW
    }

    /// Draws the keys below the given place.
    pub fn draw(&self, canvas: &mut Canvas<'_>, top: f64) {
        for seat in &self.seats {
            let y = top + (seat.row as f64 + 0.5) * ROW - 2.0;
            seat.sample.draw(canvas, (seat.left, y));
            let at = (
                seat.left + seat.sample.width() + GAP,
                y + 0.36 * seat.face.size,
            );
            canvas.text(&seat.words, at, Align::Start, seat.face);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_wrap_and_stay_within_the_edges() {
        let words = ["short", "", "a name that is a good deal longer", "y", "z"];
        let many: Vec<(Sample, String)> = (0..20)
            .map(|index| {
                (
                    Sample::Level(&[]),
                    words[index % words.len()].repeat(1 + index / 8),
                )
            })
            .collect();
        let legend = Legend::flow(many, (18.0, 882.0));
        assert_eq!(legend.seats.len(), 16);
        assert!(legend.rows > 1 && legend.height() > ROW);
        for (index, seat) in legend.seats.iter().enumerate() {
            let end = |seat: &Seat| {
                seat.left + seat.sample.width() + GAP + text::width(&seat.words, seat.face)
            };
            assert!(end(seat) <= 882.1);
            for other in &legend.seats[..index] {
                assert!(other.row < seat.row || end(other) < seat.left);
            }
        }
        assert_eq!(Legend::flow(Vec::new(), (0.0, 100.0)).height(), 0.0);
        let long = vec![(Sample::Letter(letter(0)), "w".repeat(4000))];
        assert_eq!(Legend::flow(long, (18.0, 882.0)).rows, 1);
    }

    #[test]
    fn letters_give_way_to_numbers() {
        assert_eq!([letter(0), letter(25), letter(26)], ["A", "Z", "27"]);
    }
}
