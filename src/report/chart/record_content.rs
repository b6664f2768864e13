//! The drawn part of a temperature record: what is usable, where it lies, how it looks.

use super::Spot;
use super::canvas::Canvas;
use super::frame::Frame;
use super::geometry::{Point, Rect};
use super::record::{FittedLine, RecordChart, Rise};
use super::record_labels::Key;
use super::style;

/// A fitted line may widen the picture to so many heights of the readings, no more.
pub(super) const TALLEST: f64 = 3.0;
/// The points that can be drawn.
pub(super) fn finite(points: &[(f64, f64)]) -> Vec<Point> {
    points
        .iter()
        .copied()
        .filter(|(time, value)| time.abs() <= 1e100 && value.abs() <= 1e100)
        .collect()
}

/// The smallest and the largest value.
pub(super) fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |ends, value| match ends {
        None => Some((value, value)),
        Some((low, high)) => Some((value.min(low), value.max(high))),
    })
}

/// The ends moved outwards by a share of their distance, or a little when they coincide.
pub(super) fn padded((low, high): (f64, f64), share: f64, least: f64) -> (f64, f64) {
    let pad = (share * (high - low))
        .max(if high > low { 0.0 } else { least })
        // Below this the ends would be the same number.
        .max(1e-9 * low.abs().max(high.abs()));
    (low - pad, high + pad)
}

/// The usable parts of the record, cleaned and ready to draw.
pub(super) struct Content<'a> {
    /// The chart they come from.
    pub chart: &'a RecordChart,
    /// Usable readings.
    pub readings: Vec<Point>,
    /// Usable points of the curve without errors.
    pub curve: Vec<Point>,
    /// Usable lines.
    pub lines: Vec<&'a FittedLine>,
    /// Usable single readings.
    pub spots: Vec<&'a Spot>,
    /// Where the change is drawn.
    pub rise_at: f64,
    /// The change, if usable.
    pub rise: Option<&'a Rise>,
}

/// From seconds and degrees to places on the sheet.
pub(super) struct View<'a> {
    /// The surroundings.
    pub frame: &'a Frame,
    /// Seconds in the unit of the time axis.
    pub unit: f64,
}

impl View<'_> {
    /// Place of a reading.
    pub fn at(&self, time: f64, value: f64) -> Point {
        self.frame.at((time / self.unit, value))
    }

    /// The area of the data.
    pub fn plot(&self) -> Rect {
        self.frame.plot
    }

    /// The visible part of a line between two readings.
    pub fn cut(&self, from: Point, to: Point) -> Option<(Point, Point)> {
        self.plot()
            .cut(self.at(from.0, from.1), self.at(to.0, to.1))
    }
}

impl Content<'_> {
    /// Ends of both axes.
    pub fn ends(&self) -> Option<(Point, Point)> {
        let points = || self.readings.iter().chain(&self.curve).copied();
        let spots = || self.spots.iter().map(|spot| (spot.x, spot.y));
        let marks = [self.chart.moment_at(), self.chart.break_at];
        let marks = marks.into_iter().flatten().filter(|at| at.is_finite());
        let windows = self.lines.iter().flat_map(|line| [line.from, line.to]);
        let bare = ends(points().chain(spots()).map(|point| point.1))?;
        let time = ends(
            points()
                .chain(spots())
                .map(|point| point.0)
                .chain(marks)
                .chain(windows),
        )?;
        let change = self.rise.iter().flat_map(|rise| [rise.low, rise.high]);
        let fitted = self.lines.iter().flat_map(|line| {
            let (from, to) = self.reach(line);
            [line.at(from), line.at(to)]
        });
        let limit = TALLEST * (bare.1 - bare.0).max(1e-3);
        let (mut low, mut high) = bare;
        for value in change.chain(fitted) {
            if high.max(value) - low.min(value) <= limit {
                low = low.min(value);
                high = high.max(value);
            }
        }
        Some((padded(time, 0.03, 1.0), padded((low, high), 0.13, 0.05)))
    }

    /// The stretch over which a line is drawn: its window and the way to the moment.
    fn reach(&self, line: &FittedLine) -> Point {
        let (from, to) = (line.from.min(line.to), line.from.max(line.to));
        let moment = self.chart.moment_at().unwrap_or(from);
        (from.min(moment), to.max(moment))
    }

    /// The solid part of a line and its dashed parts, as places on the sheet.
    pub fn strokes(&self, line: &FittedLine, view: &View<'_>) -> (Option<Stretch>, Vec<Stretch>) {
        let (from, to) = (line.from.min(line.to), line.from.max(line.to));
        let (start, end) = self.reach(line);
        let piece = |a: f64, b: f64| (b > a).then(|| view.cut((a, line.at(a)), (b, line.at(b))))?;
        let dashed = [piece(start, from), piece(to, end)];
        (piece(from, to), dashed.into_iter().flatten().collect())
    }

    /// Draws everything but the words and returns what the key has to explain.
    pub fn draw(&self, canvas: &mut Canvas<'_>, view: &View<'_>) -> Vec<Key> {
        let plot = view.plot();
        let mut key = Vec::new();
        if let Some(at) = self.chart.break_at.filter(|at| at.is_finite()) {
            let x = view.at(at, 0.0).0;
            canvas.line((x, plot.top), (x, plot.bottom), style::SOFT, 1.1);
        }
        if let Some(at) = self.chart.moment_at() {
            let x = view.at(at, 0.0).0;
            let stroke = (style::MID, 1.3);
            canvas.dashed((x, plot.bottom), (x, plot.top), style::DASH_DOT, stroke);
        }
        if self.curve.len() > 1 {
            let points: Vec<Point> = self
                .curve
                .iter()
                .map(|(time, value)| view.at(*time, *value))
                .collect();
            canvas.path(&points, style::SOFT, 3.4);
            key.push(Key::Curve);
        }
        let dots = self.dots(view);
        let radius = if dots.len() > 150 { 1.5 } else { 2.6 };
        for dot in &dots {
            canvas.dot(*dot, radius, style::INK);
        }
        if !dots.is_empty() {
            key.insert(0, Key::Reading);
        }
        self.draw_lines(canvas, view, &mut key);
        for spot in &self.spots {
            let at = view.at(spot.x, spot.y);
            if self.rise.is_some() {
                // Leads the eye from the reading to its end of the arrow.
                let beside = view.at(self.rise_at, spot.y);
                canvas.dashed(at, beside, style::DOTTED, (style::MID, 1.2));
            }
            canvas.dot(at, 7.0, style::ACCENT);
            canvas.dot(at, 4.6, style::PAPER);
            canvas.dot(at, 2.6, style::INK);
        }
        if !self.spots.is_empty() {
            key.push(Key::Spot);
        }
        self.draw_rise(canvas, view);
        key
    }

    fn draw_lines(&self, canvas: &mut Canvas<'_>, view: &View<'_>, key: &mut Vec<Key>) {
        let (mut fitted, mut carried) = (false, false);
        for line in &self.lines {
            let (solid, dashed) = self.strokes(line, view);
            for (from, to) in &dashed {
                canvas.dashed(*from, *to, style::DASHED, (style::ACCENT, 1.8));
                carried = true;
            }
            if let Some((from, to)) = solid {
                canvas.line(from, to, style::ACCENT, 2.1);
                fitted = true;
            }
        }
        key.extend(fitted.then_some(Key::Fitted));
        key.extend(carried.then_some(Key::Carried));
    }

    /// The readings as places, without those that would fall on one already drawn: thousands
    /// of dots on top of each other make a large file and no other picture.
    pub fn dots(&self, view: &View<'_>) -> Vec<Point> {
        let mut seen = std::collections::HashSet::new();
        let places = self
            .readings
            .iter()
            .map(|(time, value)| view.at(*time, *value));
        places
            .filter(|(x, y)| seen.insert(((x * 1.5).round() as i64, (y * 1.5).round() as i64)))
            .collect()
    }

    /// The arrow of the change, with short strokes at both ends.
    fn draw_rise(&self, canvas: &mut Canvas<'_>, view: &View<'_>) {
        let Some((upper, lower)) = self.rise_ends(view) else {
            return;
        };
        let color = style::INK;
        for (x, y) in [upper, lower] {
            canvas.line((x - 10.0, y), (x + 10.0, y), color, 1.6);
        }
        let (x, tall) = (upper.0, lower.1 - upper.1);
        if tall >= 22.0 {
            canvas.line((x, upper.1 + 6.0), (x, lower.1 - 6.0), color, 2.0);
            canvas.arrow_head(upper, (0.0, -1.0), color);
            canvas.arrow_head(lower, (0.0, 1.0), color);
        } else {
            // Too little room between the ends: the heads point inwards from outside.
            canvas.line((x, upper.1 - 24.0), (x, upper.1 - 6.0), color, 2.0);
            canvas.line((x, lower.1 + 6.0), (x, lower.1 + 24.0), color, 2.0);
            canvas.arrow_head(upper, (0.0, 1.0), color);
            canvas.arrow_head(lower, (0.0, -1.0), color);
        }
    }

    /// Upper and lower end of the arrow on the sheet.
    pub fn rise_ends(&self, view: &View<'_>) -> Option<Stretch> {
        let rise = self.rise?;
        let low = view.at(self.rise_at, rise.low.min(rise.high));
        let high = view.at(self.rise_at, rise.low.max(rise.high));
        let plot = view.plot();
        Some((plot.nearest(high), plot.nearest(low)))
    }
}

/// A straight piece between two places on the sheet.
pub(super) type Stretch = (Point, Point);
