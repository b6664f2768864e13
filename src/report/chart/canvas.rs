//! A sheet to draw on, in nominal pixels with fractions.

use plotters::prelude::{DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{
    Color, FontDesc, FontFamily, FontStyle, FontTransform, RGBColor, ShapeStyle, TextStyle,
};

use super::geometry::{Point, Rect, distance};
use super::picture::{ChartError, Picture};
use super::style::{self, Type};
use super::text;

/// Units of the drawing library per nominal pixel: it knows whole numbers only, and a slowly
/// drifting temperature drawn in whole pixels would look like a staircase.
const FINE: f64 = 10.0;

/// The library divides every font size by this before it writes it.
const FONT_DIVISOR: f64 = 1.24;

/// The library lowers top-anchored text by this many font sizes; anchoring at the top is the
/// one choice that browsers and the rasteriser agree on.
const TOP_SHIFT: f64 = 0.76;

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Align {
    /// The text begins there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// The sheet.
pub(super) struct Canvas<'a> {
    sheet: SVGBackend<'a>,
    /// The first failure; later strokes change nothing, and checking once at the end keeps
    /// drawing code readable.
    failed: Option<String>,
}

/// Draws one picture on a white sheet of the usual size.
pub(super) fn paint(draw: impl FnOnce(&mut Canvas<'_>)) -> Result<Picture, ChartError> {
    paint_tall(style::HEIGHT, draw)
}

/// Draws one picture on a white sheet of the usual width and the given height.
pub(super) fn paint_tall(
    height: u32,
    draw: impl FnOnce(&mut Canvas<'_>),
) -> Result<Picture, ChartError> {
    let mut svg = String::new();
    let width = style::WIDTH;
    let fine = |nominal: u32| nominal * FINE as u32;
    let failed = {
        let mut canvas = Canvas {
            sheet: SVGBackend::with_string(&mut svg, (fine(width), fine(height))),
            failed: None,
        };
        let all = Rect::new(0.0, 0.0, f64::from(width), f64::from(height));
        canvas.fill_rect(all, style::PAPER);
        draw(&mut canvas);
        let closed = canvas.sheet.present().map_err(|why| why.to_string());
        canvas.failed.or(closed.err())
    };
    match failed {
        Some(why) => Err(ChartError::Draw(why)),
        None => Ok(Picture {
            svg: svg.replacen(
                &format!(r#"width="{}" height="{}""#, fine(width), fine(height)),
                &format!(r#"width="{width}" height="{height}""#),
                1,
            ),
        }),
    }
}

fn units(length: f64) -> i32 {
    (length * FINE).round().clamp(-1e6, 1e6) as i32
}

fn place((x, y): Point) -> (i32, i32) {
    (units(x), units(y))
}

fn stroke(color: RGBColor, width: f64) -> ShapeStyle {
    ShapeStyle {
        color: color.to_rgba(),
        filled: false,
        stroke_width: units(width).unsigned_abs(),
    }
}

impl Canvas<'_> {
    fn keep<E: std::fmt::Display>(&mut self, done: Result<(), E>) {
        if let Err(why) = done {
            self.failed.get_or_insert(why.to_string());
        }
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, color: RGBColor, width: f64) {
        let done = self
            .sheet
            .draw_line(place(from), place(to), &stroke(color, width));
        self.keep(done);
    }

    /// A straight line made of strokes and gaps in turn.
    pub fn dashed(
        &mut self,
        from: Point,
        to: Point,
        pattern: &[f64],
        (color, width): (RGBColor, f64),
    ) {
        let length = distance(from, to);
        let toward = |along: f64| {
            let share = along / length;
            (
                from.0 + share * (to.0 - from.0),
                from.1 + share * (to.1 - from.1),
            )
        };
        let mut along = 0.0;
        for (index, piece) in pattern.iter().cycle().enumerate() {
            if along >= length || *piece <= 0.0 {
                break;
            }
            let end = (along + piece).min(length);
            if index % 2 == 0 {
                self.line(toward(along), toward(end), color, width);
            }
            along = end;
        }
    }

    /// A line through many points.
    pub fn path(&mut self, points: &[Point], color: RGBColor, width: f64) {
        if points.len() > 1 {
            let fine = points.iter().copied().map(place);
            let done = self.sheet.draw_path(fine, &stroke(color, width));
            self.keep(done);
        }
    }

    /// A filled shape.
    pub fn polygon(&mut self, points: &[Point], color: RGBColor) {
        let fine = points.iter().copied().map(place);
        let done = self.sheet.fill_polygon(fine, &stroke(color, 0.0));
        self.keep(done);
    }

    /// A filled rectangle.
    pub fn fill_rect(&mut self, area: Rect, color: RGBColor) {
        let done = self.sheet.draw_rect(
            place((area.left, area.top)),
            place((area.right, area.bottom)),
            &stroke(color, 0.0),
            true,
        );
        self.keep(done);
    }

    /// A filled dot.
    pub fn dot(&mut self, center: Point, radius: f64, color: RGBColor) {
        let done = self.sheet.draw_circle(
            place(center),
            units(radius).unsigned_abs(),
            &stroke(color, 0.0),
            true,
        );
        self.keep(done);
    }

    /// A dot with a white heart, which keeps what lies under it from showing through.
    pub fn ring(&mut self, center: Point, radius: f64, (color, width): (RGBColor, f64)) {
        self.dot(center, radius + width / 2.0, color);
        self.dot(center, radius - width / 2.0, style::PAPER);
    }

    /// Slanted strokes over an area.
    pub fn hatch(&mut self, area: Rect, gap: f64, color: RGBColor) {
        let height = area.height();
        // Counting from the left edge of the sheet makes neighbouring areas line up.
        let mut start = ((area.left - height) / gap).floor() * gap;
        while start < area.right {
            let ends = ((start, area.bottom), (start + height, area.top));
            if let Some((from, to)) = area.cut(ends.0, ends.1) {
                self.line(from, to, color, 1.0);
            }
            start += gap;
        }
    }

    /// A head of an arrow whose tip is at the point; `toward` tells where it points.
    pub fn arrow_head(&mut self, tip: Point, toward: Point, color: RGBColor) {
        let (x, y) = tip;
        let (dx, dy) = toward;
        let (length, half) = (9.0, 4.0);
        self.polygon(
            &[
                tip,
                (x - length * dx - half * dy, y - length * dy + half * dx),
                (x - length * dx + half * dy, y - length * dy - half * dx),
            ],
            color,
        );
    }

    /// A line of text on its baseline.
    pub fn text(&mut self, words: &str, (x, baseline): Point, align: Align, face: Type) {
        let at = (x, baseline - TOP_SHIFT * face.size);
        self.write(words, at, align, face, FontTransform::None);
    }

    /// A line of text that reads upwards and is centred beside the point.
    pub fn text_upward(&mut self, words: &str, (baseline, y): Point, face: Type) {
        let at = (baseline - TOP_SHIFT * face.size, y);
        self.write(words, at, Align::Middle, face, FontTransform::Rotate270);
    }

    fn write(&mut self, words: &str, at: Point, align: Align, face: Type, turn: FontTransform) {
        let words = text::clean(words);
        if words.is_empty() {
            return;
        }
        let weight = if face.bold {
            FontStyle::Bold
        } else {
            FontStyle::Normal
        };
        let end = match align {
            Align::Start => HPos::Left,
            Align::Middle => HPos::Center,
            Align::End => HPos::Right,
        };
        let size = (face.size * FINE).round() * FONT_DIVISOR;
        let font = FontDesc::new(FontFamily::Name(style::FONT), size, weight).transform(turn);
        let look: TextStyle<'_> = font.color(&face.color);
        let look = look.pos(Pos::new(end, VPos::Top));
        let done = self.sheet.draw_text(&words, &look, place(at));
        self.keep(done);
    }
}
