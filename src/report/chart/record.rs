//! Temperature against time: readings, fitted lines, and the change read off between them.

use super::canvas::paint;
use super::frame::{Axis, Frame, Words};
use super::record_content::{Content, View, ends, finite};
use super::record_labels;
use super::{ChartError, Mark, Picture, Spot};

/// Longer records than this many seconds get an axis in minutes.
const LONGEST_IN_SECONDS: f64 = 1200.0;
/// Height of the row that explains the strokes.
const KEY_ROW: f64 = 24.0;

/// A straight line fitted to part of a record.
#[derive(Debug, Clone, PartialEq)]
pub struct FittedLine {
    /// Start of the window that was fitted, in seconds.
    pub from: f64,
    /// End of that window, in seconds.
    pub to: f64,
    /// The time at which the line has the given value, in seconds.
    pub intercept_at: f64,
    /// The temperature at that time, in °C.
    pub value: f64,
    /// The slope, in K/s.
    pub slope: f64,
    /// A few words beside the line, best no longer than the line itself; may be empty.
    pub label: String,
}

impl FittedLine {
    /// The temperature on the line at a time.
    pub(super) fn at(&self, time: f64) -> f64 {
        self.value + self.slope * (time - self.intercept_at)
    }
}

/// The temperature change that is read off, drawn as an arrow with two heads.
#[derive(Debug, Clone, PartialEq)]
pub struct Rise {
    /// The lower temperature, in °C.
    pub low: f64,
    /// The higher temperature, in °C.
    pub high: f64,
    /// The words beside the arrow, such as "ΔT = −0.341 K".
    pub label: String,
}

/// A record of temperature against time with its evaluation drawn in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RecordChart {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// The readings: time in seconds and temperature in °C.
    pub readings: Vec<(f64, f64)>,
    /// The temperature without errors of measurement, in the same units.
    pub true_curve: Option<Vec<(f64, f64)>>,
    /// Fitted lines, solid where fitted and dashed up to the moment of evaluation.
    pub lines: Vec<FittedLine>,
    /// The moment at which the change is read off, in seconds.
    pub moment: Option<Mark>,
    /// The change read off at that moment; without one it stands midway between the single
    /// readings, or in the middle of the record.
    pub rise: Option<Rise>,
    /// The moment of mixing or release, in seconds.
    pub break_at: Option<f64>,
    /// Single readings that the evaluation uses: time in seconds, temperature in °C.
    pub points_only: Vec<Spot>,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

impl RecordChart {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NoData`] when there is neither a finite reading nor a finite curve.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        let content = self.content();
        let (time, temperature) = content.ends().ok_or(ChartError::NoData)?;
        let minutes = time.1 - time.0 > LONGEST_IN_SECONDS;
        let unit = if minutes { 60.0 } else { 1.0 };
        let x = Axis {
            title: format!("time since mixing, {}", if minutes { "min" } else { "s" }),
            low: time.0 / unit,
            high: time.1 / unit,
            whole: false,
        };
        let y = Axis {
            title: "temperature, °C".to_owned(),
            low: temperature.0,
            high: temperature.1,
            whole: false,
        };
        let lost = self.readings.len() - finite(&self.readings).len();
        let note = match lost {
            0 => String::new(),
            1 => "1 reading without a finite value is left out".to_owned(),
            many => format!("{many} readings without a finite value are left out"),
        };
        let words = Words {
            title: &self.title,
            subtitle: &self.subtitle,
            note: &note,
            footer: &self.footer,
        };
        let frame = Frame::lay(&words, x, y, KEY_ROW);
        let view = View {
            frame: &frame,
            unit,
        };
        paint(|canvas| {
            frame.draw_grid(canvas, true);
            let key = content.draw(canvas, &view);
            frame.draw_axes(canvas);
            record_labels::draw_key(canvas, frame.strip, key);
            record_labels::draw_labels(canvas, &view, &content);
        })
    }

    fn content(&self) -> Content<'_> {
        let readings = finite(&self.readings);
        let curve = finite(self.true_curve.as_deref().unwrap_or_default());
        let usable = |value: &f64| value.abs() <= 1e100;
        let lines = self.lines.iter().filter(|line| {
            [
                line.from,
                line.to,
                line.intercept_at,
                line.value,
                line.slope,
            ]
            .iter()
            .all(usable)
        });
        let spots: Vec<&Spot> = self
            .points_only
            .iter()
            .filter(|spot| usable(&spot.x) && usable(&spot.y))
            .collect();
        let middle = ends(spots.iter().map(|spot| spot.x))
            .or_else(|| ends(readings.iter().chain(&curve).map(|point| point.0)))
            .map_or(0.0, |(low, high)| (low + high) / 2.0);
        Content {
            chart: self,
            lines: lines.collect(),
            spots,
            rise_at: self.moment_at().unwrap_or(middle),
            rise: self
                .rise
                .as_ref()
                .filter(|rise| usable(&rise.low) && usable(&rise.high)),
            readings,
            curve,
        }
    }

    /// The moment of evaluation, if it can be drawn.
    pub(super) fn moment_at(&self) -> Option<f64> {
        let at = self.moment.as_ref()?.at;
        (at.abs() <= 1e100).then_some(at)
    }
}
