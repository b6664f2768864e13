//! A sheet to draw on, in nominal pixels with fractions, which remembers what stands where.

use super::geometry::{Point, Rect, distance};
use super::picture::{ChartError, Picture};
use super::places::{LINE, Places, SOLID};
use super::style::{self, Type};
use super::text;
use plotters::prelude::{DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontDesc, FontFamily, FontStyle, RGBColor, ShapeStyle, TextStyle};

/// Units of the drawing library per nominal pixel: it knows whole numbers only, and a slowly drifting temperature drawn in
/// whole pixels would look like a staircase.
const FINE: f64 = 10.0;
/// The library divides every font size by this before it writes it.
const FONT_DIVISOR: f64 = 1.24;
/// The library lowers top-anchored text by this many font sizes; anchoring at the top is the one choice that browsers and the
/// rasteriser agree on.
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
    /// The first failure; later strokes change nothing, and checking once at the end keeps drawing code readable.
    failed: Option<String>,
    /// What is taken by lines, markers and words.
    pub places: Places,
    /// Where words stand, for tests.
    pub words: Vec<(Rect, String)>,
}

/// A finished sheet: the picture, and where its words stand.
pub(super) struct Sheet {
    /// The picture.
    pub picture: Picture,
    /// Every line of words with the room that it takes.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "only tests ask where words stand")
    )]
    pub words: Vec<(Rect, String)>,
}

/// Draws one picture on a white sheet of the usual width; title and description are for who cannot see it.
pub(super) fn paint(
    height: f64,
    (title, alt): (&str, &str),
    draw: impl FnOnce(&mut Canvas<'_>),
) -> Result<Sheet, ChartError> {
    let mut svg = String::new();
    let (width, height) = (style::WIDTH, height.ceil());
    let fine = |nominal: f64| (nominal * FINE) as u32;
    let (failed, words) = {
        let mut canvas = Canvas {
            sheet: SVGBackend::with_string(&mut svg, (fine(width), fine(height))),
            failed: None,
            places: Places::new(width, height),
            words: Vec::new(),
        };
        canvas.fill(Rect::new(0.0, 0.0, width, height), style::PAPER);
        draw(&mut canvas);
        let closed = canvas.sheet.present().map_err(|why| why.to_string());
        (canvas.failed.or(closed.err()), canvas.words)
    };
    if let Some(why) = failed {
        return Err(ChartError::Draw(why));
    }
    let old = format!(r#"width="{}" height="{}""#, fine(width), fine(height));
    let new = format!(r#"width="{width}" height="{height}" role="img""#);
    let escaped = |words: &str| {
        let words = text::clean(words).replace('&', "&amp;");
        words.replace('<', "&lt;").replace('>', "&gt;")
    };
    let told = format!(
        "<title>{}</title>\n<desc>{}</desc>\n",
        escaped(title),
        escaped(alt)
    );
    let mut svg = svg.replacen(&old, &new, 1);
    let behind = svg.find(">\n").map_or(0, |at| at + 2);
    svg.insert_str(behind, &told);
    Ok(Sheet {
        picture: Picture { svg },
        words,
    })
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

    /// A thin line in the background, which words may cover.
    pub fn faint(&mut self, from: Point, to: Point, color: RGBColor, width: f64) {
        let done = self
            .sheet
            .draw_line(place(from), place(to), &stroke(color, width));
        self.keep(done);
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, color: RGBColor, width: f64) {
        self.places.take_line(from, to);
        self.faint(from, to, color, width);
    }

    /// A line through many points.
    pub fn path(&mut self, points: &[Point], color: RGBColor, width: f64) {
        if points.len() > 1 {
            for pair in points.windows(2) {
                self.places.take_line(pair[0], pair[1]);
            }
            let fine = points.iter().copied().map(place);
            let done = self.sheet.draw_path(fine, &stroke(color, width));
            self.keep(done);
        }
    }

    /// A filled shape, which words may cover.
    pub fn polygon(&mut self, points: &[Point], color: RGBColor) {
        let fine = points.iter().copied().map(place);
        let done = self.sheet.fill_polygon(fine, &stroke(color, 0.0));
        self.keep(done);
    }

    /// A filled rectangle, which words may cover.
    pub fn fill(&mut self, area: Rect, color: RGBColor) {
        let (from, to) = ((area.left, area.top), (area.right, area.bottom));
        let done = self
            .sheet
            .draw_rect(place(from), place(to), &stroke(color, 0.0), true);
        self.keep(done);
    }

    /// A filled dot.
    pub fn dot(&mut self, center: Point, radius: f64, color: RGBColor) {
        let area = Rect::spanned(center, center).grown(radius);
        self.places
            .take(area, if radius > 3.0 { SOLID } else { LINE });
        let radius = units(radius).unsigned_abs();
        let done = self
            .sheet
            .draw_circle(place(center), radius, &stroke(color, 0.0), true);
        self.keep(done);
    }

    /// Slanted strokes over the inside of an outline, which words may cover.
    pub fn hatch(&mut self, outline: &[Point], gap: f64, color: RGBColor, width: f64) {
        let sums = outline.iter().map(|(x, y)| x + y);
        let ends = sums.fold((f64::INFINITY, f64::NEG_INFINITY), |e, s| {
            (e.0.min(s), e.1.max(s))
        });
        // Counting from the corner of the sheet makes neighbouring areas line up.
        let mut sum = (ends.0 / gap).floor() * gap;
        while sum < ends.1 {
            for pair in crossings(outline, sum).chunks_exact(2) {
                if distance(pair[0], pair[1]) > 0.5 {
                    self.faint(pair[0], pair[1], color, width);
                }
            }
            sum += gap;
        }
    }

    /// A head of an arrow whose tip is at the point; `toward` tells where it points.
    pub fn arrow_head(&mut self, (x, y): Point, (dx, dy): Point, color: RGBColor) {
        let (length, half) = (9.0, 4.0);
        let (foot, aside) = ((x - length * dx, y - length * dy), (half * dy, half * dx));
        let corners = [
            (x, y),
            (foot.0 - aside.0, foot.1 + aside.1),
            (foot.0 + aside.0, foot.1 - aside.1),
        ];
        self.places
            .take(Rect::spanned(foot, (x, y)).grown(half), SOLID);
        self.polygon(&corners, color);
    }

    /// A line of text on its baseline.
    pub fn text(&mut self, words: &str, (x, baseline): Point, align: Align, face: Type) {
        let words = text::clean(words);
        if words.is_empty() {
            return;
        }
        let wide = text::width(&words, face);
        let left = match align {
            Align::Start => x,
            Align::Middle => x - wide / 2.0,
            Align::End => x - wide,
        };
        let top = baseline - text::ASCENT * face.size;
        let area = Rect::new(left, top, left + wide, top + text::TALL * face.size);
        self.places.take(area, SOLID);
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
        let font = FontDesc::new(FontFamily::Name(style::FONT), size, weight);
        let look: TextStyle<'_> = font.color(&face.color);
        let look = look.pos(Pos::new(end, VPos::Top));
        let at = place((x, baseline - TOP_SHIFT * face.size));
        let done = self.sheet.draw_text(&words, &look, at);
        self.keep(done);
        self.words.push((area, words));
    }
}

/// Where a slanted line, along which x + y is constant, enters and leaves an outline.
fn crossings(outline: &[Point], sum: f64) -> Vec<Point> {
    let side = |point: &Point| point.0 + point.1 - sum;
    let next = outline.iter().cycle().skip(1);
    let mut found: Vec<Point> = outline
        .iter()
        .zip(next)
        .filter(|(from, to)| (side(from) < 0.0) != (side(to) < 0.0))
        .map(|(from, to)| {
            super::geometry::between(*from, *to, side(from) / (side(from) - side(to)))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_its_outline() {
        let area = Rect::new(10.0, 10.0, 60.0, 40.0);
        for sum in 20..100 {
            let found = crossings(&area.corners(), f64::from(sum) + 0.5);
            assert_eq!(found.len(), 2, "{sum}");
            assert!(found.iter().all(|at| area.grown(1e-9).holds(*at)));
        }
        assert!(crossings(&area.corners(), 5.0).is_empty());
    }
}
