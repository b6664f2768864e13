//! The data of a chart of curves: lines, markers, whiskers and levels.

use plotters::style::RGBColor;

use super::canvas::{Align, Canvas};
use super::curves::{Curve, CurvePoint, Panel};
use super::curves_layout::{Layout, Pane, level_pattern};
use super::curves_range::upward;
use super::geometry::{Point, Rect};
use super::legend::LEVEL_WIDTH;
use super::pens::{Pen, dashed_path, pen};
use super::row_plot::remarks;
use super::row_scale::usable;
use super::style::{self, NOTE};

/// Radius of a marker.
pub(super) const MARKER: f64 = 4.2;
/// A whisker shorter than this to either side hides behind its marker.
const SHORTEST: f64 = MARKER + 2.0;
/// Length of an arrow to something beyond the scale.
const ARROW: f64 = 17.0;
/// Markers closer together than this on average would run into one band.
const CROWDED: f64 = 11.0;
/// A band thinner than this to either side hides behind its line.
const THIN: f64 = 1.5;
/// Radius of a point that stands alone on a curve without markers.
const LONELY: f64 = 2.4;

/// A curve, cleaned and ready to be drawn.
pub(super) struct Drawn {
    /// Its look.
    pub pen: Pen,
    /// Its values from left to right, apart where values are missing.
    pub runs: Vec<Vec<CurvePoint>>,
    /// Whether its markers are drawn.
    pub marked: bool,
}

/// The curves of a panel that have a value.
pub(super) fn drawn(panel: &Panel, names: &[&str], width: f64) -> Vec<Drawn> {
    let axis = upward(panel);
    let off = |point: &CurvePoint| {
        let shown = axis.is_some_and(|(low, high)| (low..=high).contains(&point.y));
        point.aside && !shown
    };
    let curves = panel.curves.iter().filter_map(|curve| {
        let runs = runs(curve, &off);
        let values: usize = runs.iter().map(Vec::len).sum();
        let name = names.iter().position(|name| *name == curve.name);
        (values > 0).then(|| Drawn {
            pen: pen(name.unwrap_or(0)),
            marked: width / values as f64 >= CROWDED,
            runs,
        })
    });
    curves.collect()
}

/// The values of a curve from left to right, apart where values are missing; and no line leads to what is `off` the scale,
/// which does not reach for it, since it would be nearly upright and look like a fall or a rise of its own.
fn runs(curve: &Curve, off: &dyn Fn(&CurvePoint) -> bool) -> Vec<Vec<CurvePoint>> {
    let mut points = curve.points.clone();
    points.sort_by(|a, b| a.x.total_cmp(&b.x));
    points
        .split(|point| !usable(point.y))
        .flat_map(|run| run.chunk_by(|a, b| off(a) == off(b)))
        .filter(|run| !run.is_empty())
        .map(<[CurvePoint]>::to_vec)
        .collect()
}

/// Ends of the whisker of a value: two standard errors to either side.
fn whisker(point: &CurvePoint) -> Option<(f64, f64)> {
    let ends = (point.y - 2.0 * point.se, point.y + 2.0 * point.se);
    (point.se > 0.0 && usable(ends.0) && usable(ends.1)).then_some(ends)
}

/// Says what whiskers and bands are, if the panels have any.
pub(super) fn remark(layout: &Layout<'_>) -> String {
    let what = "two standard errors to either side";
    let whiskers = layout
        .panes
        .iter()
        .any(|pane| !whiskers(layout, pane).is_empty());
    let bands = layout
        .panes
        .iter()
        .any(|pane| !bands(layout, pane).is_empty());
    let beyond = layout
        .panes
        .iter()
        .any(|pane| !beyond(layout, pane).is_empty());
    let errors = match (whiskers, bands) {
        (true, true) => format!("whiskers and bands: {what}"),
        (true, false) => format!("whiskers: {what}, where longer than the marker"),
        (false, true) => format!("band: {what}"),
        (false, false) => String::new(),
    };
    let arrows = if beyond {
        "arrows at the edge: values beyond the scale"
    } else {
        ""
    };
    let hidden = match layout.stretches.hidden {
        0 => String::new(),
        1 => "1 stretch beyond the axis is not shown".to_owned(),
        many => format!("{many} stretches beyond the axis are not shown"),
    };
    remarks(&[errors, arrows.to_owned(), hidden])
}

/// The pieces of a line that lie in the plot.
pub(super) fn pieces(plot: Rect, points: &[Point]) -> Vec<Vec<Point>> {
    let mut pieces: Vec<Vec<Point>> = Vec::new();
    for pair in points.windows(2) {
        let Some((from, to)) = plot.cut(pair[0], pair[1]) else {
            continue;
        };
        match pieces.last_mut() {
            Some(piece) if piece.last() == Some(&from) => piece.push(to),
            _ => pieces.push(vec![from, to]),
        }
    }
    pieces
}

/// A value beyond the scale of its panel.
pub(super) struct Beyond {
    /// The value.
    pub value: f64,
    /// Where its arrow points at the edge of the plot.
    pub at: Point,
    /// The look of its curve.
    pub pen: Pen,
}

/// The values that lie beyond the scale of their panel.
pub(super) fn beyond(layout: &Layout<'_>, pane: &Pane<'_>) -> Vec<Beyond> {
    let mut found = Vec::new();
    for curve in &pane.curves {
        for point in curve.runs.iter().flatten() {
            let (x, y) = layout.at(pane, (point.x, point.y));
            let inside = y.max(pane.plot.top).min(pane.plot.bottom);
            if (y - inside).abs() > 0.5 {
                found.push(Beyond {
                    value: point.y,
                    at: (x, inside),
                    pen: curve.pen,
                });
            }
        }
    }
    found
}

/// A whisker on the sheet, cut at the plot.
pub(super) struct Whisker {
    /// Its upper end.
    pub from: Point,
    /// Its lower end.
    pub to: Point,
    /// Whether it really ends there.
    whole: [bool; 2],
    pen: Pen,
}

/// The whiskers that their markers do not hide.
pub(super) fn whiskers(layout: &Layout<'_>, pane: &Pane<'_>) -> Vec<Whisker> {
    let mut found = Vec::new();
    let plot = pane.plot;
    for curve in pane.curves.iter().filter(|curve| curve.marked) {
        for point in curve.runs.iter().flatten() {
            let Some((low, high)) = whisker(point) else {
                continue;
            };
            let (x, y) = layout.at(pane, (point.x, point.y));
            let (low, high) = (pane.y(low), pane.y(high));
            if plot.grown(0.5).holds((x, y)) && low - y > SHORTEST {
                found.push(Whisker {
                    from: (x, high.max(plot.top)),
                    to: (x, low.min(plot.bottom)),
                    whole: [high >= plot.top, low <= plot.bottom],
                    pen: curve.pen,
                });
            }
        }
    }
    found
}

/// The bands of two standard errors around curves whose points are too many for whiskers.
pub(super) fn bands(layout: &Layout<'_>, pane: &Pane<'_>) -> Vec<Vec<Point>> {
    let plot = pane.plot;
    let mut found = Vec::new();
    let runs = pane.curves.iter().filter(|curve| !curve.marked);
    for run in runs.flat_map(|curve| &curve.runs) {
        let place = |point: &CurvePoint, upper: bool| {
            let (low, high) = whisker(point).unwrap_or((point.y, point.y));
            let at = layout.at(pane, (point.x, if upper { high } else { low }));
            plot.nearest(at)
        };
        let upper: Vec<Point> = run.iter().map(|point| place(point, true)).collect();
        let lower: Vec<Point> = run.iter().map(|point| place(point, false)).collect();
        let apart = |(high, low): (&Point, &Point)| low.1 - high.1 > 2.0 * THIN;
        if run.len() > 1 && upper.iter().zip(&lower).any(apart) {
            found.push(upper.into_iter().chain(lower.into_iter().rev()).collect());
        }
    }
    found
}

/// Draws levels and curves of one panel with their labels.
pub(super) fn draw_pane(canvas: &mut Canvas<'_>, layout: &Layout<'_>, pane: &Pane<'_>) {
    let plot = pane.plot;
    for band in bands(layout, pane) {
        canvas.polygon(&band, style::FILL);
    }
    for (index, level) in pane.levels.iter().enumerate() {
        let y = pane.y(level.at);
        if y > plot.top - 0.01 && y < plot.bottom + 0.01 {
            let ends = [(plot.left, y), (plot.right, y)];
            let look = (style::MID, LEVEL_WIDTH);
            dashed_path(canvas, &ends, level_pattern(index), look);
        }
    }
    for whisker in whiskers(layout, pane) {
        let color = whisker.pen.color;
        canvas.line(whisker.from, whisker.to, color, 1.2);
        for ((x, y), whole) in [whisker.from, whisker.to].into_iter().zip(whisker.whole) {
            if whole {
                canvas.line((x - 3.5, y), (x + 3.5, y), color, 1.2);
            }
        }
    }
    draw_curves(canvas, layout, pane);
    for Beyond { at, pen, .. } in beyond(layout, pane) {
        let upper = at.1 < (plot.top + plot.bottom) / 2.0;
        draw_arrow(canvas, at, if upper { -1.0 } else { 1.0 }, pen.color);
    }
    for words in &pane.labels {
        words.draw(canvas);
    }
    if pane.curves.is_empty() {
        let middle = (plot.left + plot.right) / 2.0;
        let at = (middle, (plot.top + plot.bottom) / 2.0);
        canvas.text("no value", at, Align::Middle, NOTE);
    }
}

/// An arrow up or down; its stem tells it from a triangular marker.
pub(super) fn draw_arrow(canvas: &mut Canvas<'_>, tip: Point, way: f64, color: RGBColor) {
    let stem = (tip.0, tip.1 - way * ARROW);
    canvas.line((tip.0, tip.1 - way * 4.0), stem, color, 1.8);
    canvas.arrow_head(tip, (0.0, way), color);
}

/// Lines first, then all markers, so that no line runs over a marker.
fn draw_curves(canvas: &mut Canvas<'_>, layout: &Layout<'_>, pane: &Pane<'_>) {
    let plot = pane.plot;
    let places = |run: &[CurvePoint]| -> Vec<Point> {
        let points = run.iter().map(|point| (point.x, point.y));
        points.map(|at| layout.at(pane, at)).collect()
    };
    for curve in &pane.curves {
        for run in &curve.runs {
            for piece in pieces(plot, &places(run)) {
                curve.pen.stroke(canvas, &piece);
            }
        }
    }
    for curve in &pane.curves {
        for run in &curve.runs {
            for at in places(run) {
                if !plot.grown(0.5).holds(at) {
                    continue;
                }
                if curve.marked {
                    curve.pen.mark(canvas, at, MARKER);
                } else if run.len() == 1 {
                    canvas.dot(at, LONELY, curve.pen.color);
                }
            }
        }
    }
}
