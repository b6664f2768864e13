//! Words inside the panels of a chart of curves: names of levels, and values beyond the scale.

use super::canvas::{Align, Canvas};
use super::curves_draw::{Beyond, MARKER, beyond, draw_arrow, whiskers};
use super::curves_layout::{Layout, Pane};
use super::geometry::{Point, Rect, distance};
use super::place::Places;
use super::style::{self, LABEL, NOTE, Type};
use super::text;
use super::ticks::{decimals_for, label};

/// Height of a line of words, in font sizes.
const LINE: f64 = 1.18;
/// Free room between a level and its name.
const ABOVE: f64 = 3.0;
/// Steps in which a name looks for a free place along its level.
const STEP: f64 = 6.0;
/// Room that the arrow of a level beyond the scale takes beside its name.
const ARROW: f64 = 16.0;
/// Values beyond the scale are printed to about this fraction of its width.
const FINEST: f64 = 20.0;
/// More values beyond the scale than this are left without a number.
const MOST_NUMBERS: usize = 6;

/// Words with their place.
pub(super) struct Direct {
    words: String,
    face: Type,
    at: Point,
    /// An arrow to the level beyond the scale: its tip, and up (-1) or down.
    arrow: Option<(Point, f64)>,
    /// A line to what the words name, when that is not next to them.
    pointer: Option<(Point, Point)>,
}

impl Direct {
    fn new(words: String, face: Type, area: Rect) -> Self {
        Self {
            words,
            face,
            at: (area.left, area.top + text::ASCENT * face.size + 1.6),
            arrow: None,
            pointer: None,
        }
    }

    /// Draws the words.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        if let Some((from, to)) = self.pointer {
            canvas.line(from, to, style::MID, 0.9);
        }
        if let Some((tip, way)) = self.arrow {
            draw_arrow(canvas, tip, way, style::MID);
        }
        canvas.text(&self.words, self.at, Align::Start, self.face);
    }
}

/// Marks what the data of a panel cover.
fn covered(layout: &Layout<'_>, pane: &Pane<'_>) -> Places {
    let mut places = Places::new(pane.plot);
    let plot = pane.plot;
    for curve in &pane.curves {
        for run in &curve.runs {
            let at: Vec<Point> = run
                .iter()
                .map(|point| layout.at(pane, (point.x, point.y)))
                .collect();
            for pair in at.windows(2) {
                places.block_line(pair[0], pair[1], 2);
            }
            for at in at {
                places.block_point(at, MARKER + 1.5, 3);
            }
        }
    }
    for whisker in whiskers(layout, pane) {
        let (from, to) = (whisker.from, whisker.to);
        places.block(Rect::new(from.0 - 4.0, from.1, to.0 + 4.0, to.1), 2);
    }
    for Beyond { at, .. } in beyond(layout, pane) {
        places.block(
            Rect::new(at.0 - 6.0, at.1 - 18.0, at.0 + 6.0, at.1 + 18.0),
            3,
        );
    }
    for x in layout.stretches.uprights() {
        places.block_line((x, plot.top), (x, plot.bottom), 1);
    }
    places
}

/// The free area for words of this size along a level, the one nearest to its right end.
fn along(places: &Places, plot: Rect, y: f64, wide: f64, others: &[f64]) -> Option<Rect> {
    let tall = LINE * LABEL.size;
    let mut right = plot.right - 4.0;
    while right - wide >= plot.left + 4.0 {
        for top in [y - ABOVE - tall, y + ABOVE] {
            let area = Rect::new(right - wide, top, right, top + tall);
            let inside = area.top >= plot.top + 1.0 && area.bottom <= plot.bottom - 1.0;
            let crossed = others
                .iter()
                .any(|other| *other > area.top - 2.0 && *other < area.bottom + 2.0);
            if inside && !crossed && places.covered(area.grown(2.0)) == 0 {
                return Some(area);
            }
        }
        right -= STEP;
    }
    None
}

/// Words for the levels of a panel that are not explained by a key, and for values beyond the
/// scale; also the levels whose words found no free place.
pub(super) fn place(
    layout: &Layout<'_>,
    pane: &Pane<'_>,
    keyed: &[bool],
) -> (Vec<Direct>, Vec<usize>) {
    let plot = pane.plot;
    let mut places = covered(layout, pane);
    let (mut labels, mut without) = (Vec::new(), Vec::new());
    let edge = |y: f64| y.max(plot.top).min(plot.bottom);
    let lines: Vec<f64> = pane.levels.iter().map(|level| pane.y(level.at)).collect();
    let decimals = decimals_for((pane.ends.1 - pane.ends.0) / FINEST);
    for (index, level) in pane.levels.iter().enumerate() {
        let off = (edge(lines[index]) - lines[index]).abs() > 0.01;
        let mut words = text::clean(&level.label);
        if off && !words.contains(|sign: char| sign.is_ascii_digit()) {
            // The scale does not tell where this level lies, so its words have to.
            words = format!("{words} {}", label(level.at, decimals));
        }
        if words.is_empty() || (keyed.get(index) == Some(&true) && !off) {
            continue;
        }
        let (words, face) = text::fit(&words, LABEL, 0.5 * plot.width());
        let wide = text::width(&words, face) + if off { ARROW } else { 0.0 };
        let others: Vec<f64> = lines
            .iter()
            .enumerate()
            .filter_map(|(other, y)| (other != index).then_some(*y))
            .collect();
        let y = edge(lines[index]);
        match along(&places, plot, y, wide, &others) {
            Some(area) => {
                places.block(area, 12);
                let mut found = Direct::new(words, face, area);
                if off {
                    let way = if lines[index] < y { -1.0 } else { 1.0 };
                    let tip = (area.right - 5.0, y);
                    found.arrow = Some((tip, way));
                }
                labels.push(found);
            }
            None if off => {}
            None => without.push(index),
        }
    }
    for y in &lines {
        places.block_line((plot.left, *y), (plot.right, *y), 2);
    }
    labels.extend(numbers(&mut places, decimals, &beyond(layout, pane)));
    (labels, without)
}

/// Numbers beside the arrows of values beyond the scale.
fn numbers(places: &mut Places, decimals: usize, beyond: &[Beyond]) -> Vec<Direct> {
    let mut labels = Vec::new();
    if beyond.len() > MOST_NUMBERS {
        return labels;
    }
    for Beyond { value, at, pen } in beyond {
        // Nobody reads more than three figures off an arrow.
        let figures = match value.abs() {
            x if x >= 100.0 => 0,
            x if x >= 10.0 => 1,
            _ => 2,
        };
        let words = label(*value, decimals.min(figures));
        let face = Type {
            color: pen.color,
            ..NOTE
        };
        let size = (text::width(&words, face), LINE * face.size);
        let (area, anchor) = places.seat(size, &[*at]);
        let near = area.grown(2.0).nearest(anchor);
        let mut found = Direct::new(words, face, area);
        if distance(near, anchor) > 24.0 {
            found.pointer = Some((near, anchor));
        }
        labels.push(found);
    }
    labels
}
