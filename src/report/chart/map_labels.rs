//! Words on a map. They stand on plates of their own, so that no shade makes them hard to read,
//! and numbers of cells in the colour that their shade allows.

use std::collections::BTreeSet;

use plotters::style::RGBColor;

use super::canvas::{Align, Canvas};
use super::geometry::{Point, Rect, distance};
use super::legend::{LETTER, draw_letter, outline};
use super::map_layout::Layout;
use super::map_lines::{apart, crosses, length, seat_on};
use super::place::Places;
use super::style::{self, LABEL, STRONG, Type};
use super::text;

/// Height of a line of words, in font sizes.
pub(super) const LINE: f64 = 1.2;
/// Free rim of a plate.
const RIM: f64 = 4.0;
/// Radius of the marker of the best point with its rim.
const BEST: f64 = 9.0;
/// Steps in which a place within a zone is searched.
const STEP: f64 = 4.0;

/// Words on a ground of their own.
pub(super) struct Plate {
    lines: Vec<String>,
    face: Type,
    area: Rect,
    /// Colour of the ground.
    pub ground: RGBColor,
    framed: bool,
    /// A line to what the words name, when that is not next to them.
    pointer: Option<(Point, Point)>,
}

/// All words on a map with their places.
#[derive(Default)]
pub(super) struct Labels {
    plates: Vec<Plate>,
    letters: Vec<(String, Rect)>,
    best: Option<Point>,
    /// Zones that carry a letter because their words do not fit.
    pub lettered: Vec<usize>,
    /// Whether the target's line offers no place for its words.
    pub target_without_place: bool,
    /// What must not be covered: words and the marker of the best point.
    taken: Vec<Rect>,
}

/// Width and height of a plate for these lines.
pub(super) fn size(lines: &[String], face: Type) -> (f64, f64) {
    let widths = lines.iter().map(|line| text::width(line, face));
    let tall = lines.len() as f64 * LINE * face.size;
    (widths.fold(0.0, f64::max) + 2.0 * RIM, tall + 3.0)
}

/// Finds places for all words, the most important first.
pub(super) fn set_labels(layout: &Layout<'_>, keyed: &[bool], target_keyed: bool) -> Labels {
    let mut labels = Labels::default();
    if let Some(spot) = &layout.chart.best {
        let at = layout.cells.at((spot.x, spot.y));
        labels.best = Some(at);
        labels
            .taken
            .push(Rect::new(at.0, at.1, at.0, at.1).grown(BEST + 2.0));
    }
    for (zone, keyed) in keyed.iter().enumerate() {
        labels.set_zone(layout, zone, *keyed);
    }
    if !target_keyed {
        labels.set_target(layout);
    }
    labels.set_numbers(layout);
    labels.set_best(layout);
    labels.set_contours(layout);
    labels
}

impl Labels {
    /// Adds words in a place that is taken from then on.
    pub fn put(&mut self, lines: Vec<String>, face: Type, area: Rect) -> &mut Plate {
        self.taken.push(area);
        let index = self.plates.len();
        self.plates.push(Plate {
            lines,
            face,
            area,
            ground: style::PAPER,
            framed: false,
            pointer: None,
        });
        &mut self.plates[index]
    }

    /// The words of a zone inside it where they fit, else a letter.
    fn set_zone(&mut self, layout: &Layout<'_>, zone: usize, keyed: bool) {
        let zone_of = &layout.chart.zones[zone];
        let words = text::clean(&zone_of.label);
        let cells: BTreeSet<(usize, usize)> = zone_of.cells.iter().copied().collect();
        if words.is_empty() || cells.is_empty() {
            return;
        }
        let small = Type {
            size: 0.9 * LABEL.size,
            ..LABEL
        };
        if !keyed {
            for (face, room) in [
                (LABEL, 300.0),
                (small, 200.0),
                (small, 130.0),
                (small, 90.0),
            ] {
                let lines = text::wrap(&words, face, room);
                let broken = words
                    .split_whitespace()
                    .any(|word| text::width(word, face) > room);
                if broken || lines.len() > 4 {
                    continue;
                }
                if let Some(area) = self.inside(layout, &cells, size(&lines, face)) {
                    self.put(lines, face, area).framed = true;
                    return;
                }
            }
        }
        let size = (LETTER, LETTER);
        let area = self.inside(layout, &cells, size).unwrap_or_else(|| {
            let (x, y) = centre(layout, &cells);
            self.nearest(layout.cells.plot, (x, y), size)
        });
        self.taken.push(area);
        self.letters.push((zone_of.letter(zone), area));
        self.lettered.push(zone);
    }

    /// A free place within cells, the one nearest to their middle.
    fn inside(
        &self,
        layout: &Layout<'_>,
        cells: &BTreeSet<(usize, usize)>,
        (wide, tall): Point,
    ) -> Option<Rect> {
        let areas = cells.iter().map(|cell| layout.cells.area(*cell));
        let all = areas.reduce(|one, other| {
            Rect::new(
                one.left.min(other.left),
                one.top.min(other.top),
                one.right.max(other.right),
                one.bottom.max(other.bottom),
            )
        })?;
        let middle = centre(layout, cells);
        let mut best: Option<(f64, Rect)> = None;
        let mut top = all.top + 2.0;
        while top + tall <= all.bottom - 2.0 {
            let mut left = all.left + 2.0;
            while left + wide <= all.right - 2.0 {
                let area = Rect::new(left, top, left + wide, top + tall);
                let off = distance((left + wide / 2.0, top + tall / 2.0), middle);
                if best.is_none_or(|(least, _)| off < least)
                    && layout.cells.within(area.grown(1.5), cells)
                    && self.free(area)
                {
                    best = Some((off, area));
                }
                left += STEP;
            }
            top += STEP;
        }
        best.map(|(_, area)| area)
    }

    /// Whether neither words nor the marker of the best point are there.
    pub fn free(&self, area: Rect) -> bool {
        self.taken
            .iter()
            .all(|taken| apart(*taken, area.grown(2.0)))
    }

    /// The free place in the plot that is nearest to a point.
    fn nearest(&self, plot: Rect, (x, y): Point, (wide, tall): Point) -> Rect {
        let left = (x - wide / 2.0)
            .min(plot.right - wide - 2.0)
            .max(plot.left + 2.0);
        let top = (y - tall / 2.0)
            .min(plot.bottom - tall - 2.0)
            .max(plot.top + 2.0);
        let at =
            |dx: f64, dy: f64| Rect::new(left + dx, top + dy, left + dx + wide, top + dy + tall);
        let rings = (0..40).map(|ring| STEP * f64::from(ring));
        rings
            .flat_map(|step| [(0.0, -step), (step, 0.0), (0.0, step), (-step, 0.0)])
            .map(|(dx, dy)| at(dx, dy))
            .find(|area| {
                let inside =
                    plot.holds((area.left, area.top)) && plot.holds((area.right, area.bottom));
                inside && self.free(*area)
            })
            .unwrap_or_else(|| at(0.0, 0.0))
    }

    /// The words of the target across its line.
    fn set_target(&mut self, layout: &Layout<'_>) {
        let Some(target) = &layout.chart.target else {
            return;
        };
        let words = text::clean(&target.label);
        let longest = layout
            .target
            .iter()
            .max_by(|a, b| length(a).total_cmp(&length(b)));
        let (Some(line), false) = (longest, words.is_empty()) else {
            return;
        };
        let face = Type {
            color: style::ACCENT,
            ..STRONG
        };
        let (words, face) = text::fit(&words, face, 0.5 * layout.cells.plot.width());
        let lines = vec![words];
        let thin = || layout.lines.iter().map(|(_, line)| line.as_slice());
        let free = |area: Rect| self.free(area);
        let seat = seat_on(line, size(&lines, face), layout.cells.plot, &|area| {
            free(area) && !thin().any(|line| crosses(area, line))
        });
        let seat = seat.or_else(|| seat_on(line, size(&lines, face), layout.cells.plot, &free));
        match seat {
            Some(area) => {
                self.put(lines, face, area);
            }
            None => self.target_without_place = true,
        }
    }

    /// The words of the best point beside its marker.
    fn set_best(&mut self, layout: &Layout<'_>) {
        let (Some(spot), Some(at)) = (&layout.chart.best, self.best) else {
            return;
        };
        let words = text::clean(&spot.label);
        if words.is_empty() {
            return;
        }
        let plot = layout.cells.plot;
        let (lines, face) = text::block(&words, STRONG, 0.42 * plot.width());
        let mut places = Places::new(plot);
        for line in &layout.target {
            for pair in line.windows(2) {
                places.block_line(pair[0], pair[1], 3);
            }
        }
        for taken in &self.taken {
            places.block(*taken, 12);
        }
        let (area, anchor) = places.seat(size(&lines, face), &[at]);
        let near = area.nearest(anchor);
        let plate = self.put(lines, face, area);
        plate.framed = true;
        if distance(near, anchor) > BEST + 12.0 {
            plate.pointer = Some((near, anchor));
        }
    }

    /// Draws the words and the marker of the best point.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        for plate in &self.plates {
            if let Some((from, to)) = plate.pointer {
                canvas.line(from, to, style::PAPER, 4.0);
                canvas.line(from, to, style::INK, 1.3);
            }
        }
        for plate in &self.plates {
            let area = plate.area;
            canvas.fill_rect(area, plate.ground);
            if plate.framed {
                canvas.path(&outline(area), style::MID, 0.9);
            }
            let middle = (area.left + area.right) / 2.0;
            let tall = LINE * plate.face.size;
            let count = plate.lines.len() as f64;
            let first = (area.top + area.bottom - tall * (count - 1.0)) / 2.0;
            for (index, line) in plate.lines.iter().enumerate() {
                let baseline = first + index as f64 * tall + 0.36 * plate.face.size;
                canvas.text(line, (middle, baseline), Align::Middle, plate.face);
            }
        }
        for (letter, area) in &self.letters {
            draw_letter(canvas, letter, *area);
        }
        if let Some(at) = self.best {
            canvas.dot(at, BEST, style::PAPER);
            canvas.dot(at, 7.2, style::ACCENT);
            canvas.dot(at, 4.8, style::PAPER);
            canvas.dot(at, 2.7, style::INK);
        }
    }
}

/// The middle of cells, each counted by its area.
fn centre(layout: &Layout<'_>, cells: &BTreeSet<(usize, usize)>) -> Point {
    let (mut x, mut y, mut sum) = (0.0, 0.0, 0.0);
    for cell in cells {
        let area = layout.cells.area(*cell);
        let weight = (area.width() * area.height()).max(1e-6);
        x += weight * (area.left + area.right) / 2.0;
        y += weight * (area.top + area.bottom) / 2.0;
        sum += weight;
    }
    (x / sum, y / sum)
}
