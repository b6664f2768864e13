//! Distribution of a result: bars, interval, and where mean, median and accepted value stand.

use super::bins::Bins;
use super::canvas::{Canvas, paint};
use super::frame::{Axis, Frame, Words};
use super::geometry::Rect;
use super::histogram_parts::{
    Line, ROW, Stroke, draw_bars, draw_line, frame_width, inside, put_words, remarks,
};
use super::rows::{Flag, arrange};
use super::style::{self, LABEL, STRONG};
use super::text;
use super::ticks::{decimals_for, label};
use super::{ChartError, Mark, Picture, Span};

/// Height of a row with a span in it.
const SPAN_ROW: f64 = 24.0;
/// Far-off marks may widen the picture to so many widths of the bars, no more.
const WIDEST: f64 = 3.5;

/// Numbers are printed to about this fraction of the picture's width; finer digits could not
/// be told apart in it.
const FINEST: f64 = 100.0;

/// A histogram of trials with its summary drawn in.
#[derive(Debug, Clone, PartialEq)]
pub struct HistogramChart<'a> {
    /// Headline; a long one is made smaller or wrapped.
    pub title: String,
    /// The line under the headline; may be empty.
    pub subtitle: String,
    /// Name of the quantity with its unit, such as "molar enthalpy of solution, kJ/mol".
    pub x_title: String,
    /// The trials, in any order; values that are not finite are left out and counted.
    pub values: &'a [f64],
    /// Their mean, if they have one.
    pub mean: Option<f64>,
    /// Their median.
    pub median: f64,
    /// The interval to draw as a whisker; its ends are added to the label.
    pub interval: Span,
    /// The value the experiment is meant to find.
    pub accepted: Option<Mark>,
    /// A region to shade, such as the deviation that a handout permits.
    pub band: Option<Span>,
    /// Origin of the picture; may be empty.
    pub footer: String,
}

impl HistogramChart<'_> {
    /// Draws the chart.
    ///
    /// # Errors
    ///
    /// [`ChartError::NoData`] when no value is finite, [`ChartError::NotFinite`] when mean,
    /// median or interval are not.
    pub fn draw(&self) -> Result<Picture, ChartError> {
        for (value, name) in [
            (self.mean.unwrap_or(0.0), "the mean"),
            (self.median, "the median"),
            (self.interval.low, "the lower end of the interval"),
            (self.interval.high, "the upper end of the interval"),
        ] {
            if !value.is_finite() {
                return Err(ChartError::NotFinite(name));
            }
        }
        let bins = Bins::count(self.values).ok_or(ChartError::NoData)?;
        let (low, high) = self.window(&bins);
        let lines = self.lines(decimals_for((high - low) / FINEST));
        let spans = usize::from(self.band_drawn().is_some()) + 1;

        let share = bins.usable >= 100;
        let unit = if share {
            100.0 / bins.usable as f64
        } else {
            1.0
        };
        let x = Axis {
            title: self.x_title.clone(),
            low,
            high,
            whole: false,
        };
        let y = Axis {
            title: if share {
                "share of trials per bar, %".to_owned()
            } else {
                "trials per bar".to_owned()
            },
            low: 0.0,
            high: bins.tallest().max(1) as f64 * unit * 1.04,
            whole: !share,
        };
        let note = remarks(&bins);
        let words = Words {
            title: &self.title,
            subtitle: &self.subtitle,
            note: &note,
            footer: &self.footer,
        };

        // The seats depend on the horizontal layout only, which the strip does not change.
        let draft = Frame::lay(&words, x.clone(), y.clone(), 0.0);
        let sides = Frame::sides();
        let flags: Vec<Flag> = lines
            .iter()
            .map(|line| Flag {
                x: inside(draft.x(line.at), draft.plot),
                width: text::width(&line.words, line.face),
            })
            .collect();
        let seats = arrange(&flags, sides);
        let rows = seats.iter().map(|seat| seat.row + 1).max().unwrap_or(0);
        let strip = rows as f64 * ROW + spans as f64 * SPAN_ROW + 4.0;
        let frame = Frame::lay(&words, x, y, strip);

        paint(|canvas| {
            self.draw_band_ground(canvas, &frame);
            frame.draw_grid(canvas, false);
            draw_bars(canvas, &frame, &bins, unit);
            self.draw_band_edges(canvas, &frame);
            let base = frame.plot.top - spans as f64 * SPAN_ROW;
            for ((line, seat), flag) in lines.iter().zip(&seats).zip(&flags) {
                draw_line(canvas, &frame, line, *seat, (flag.x, base));
            }
            self.draw_spans(canvas, &frame, &flags);
            frame.draw_axes(canvas);
        })
    }

    fn band_drawn(&self) -> Option<&Span> {
        self.band.as_ref().filter(|band| band.low <= band.high)
    }

    /// The ends of the horizontal axis: the bars, and what else can be shown beside them
    /// without squeezing them.
    fn window(&self, bins: &Bins) -> (f64, f64) {
        let bars = bins.end() - bins.start;
        let single = bins.counts.len() == 1;
        let limit = WIDEST * bars * if single { 10.0 } else { 1.0 };
        let (mut low, mut high) = (bins.start, bins.end());
        let interval = (self.interval.low, self.interval.high);
        let mut wanted = vec![(self.median, self.median), interval];
        wanted.extend(self.mean.map(|mean| (mean, mean)));
        wanted.extend(self.accepted.iter().map(|mark| (mark.at, mark.at)));
        wanted.extend(self.band_drawn().map(|band| (band.low, band.high)));
        for (from, to) in wanted {
            let (wider_low, wider_high) = (low.min(from).min(to), high.max(from).max(to));
            // A span is taken in whole or not at all: half of a band would look like all of it.
            if wider_high - wider_low <= limit {
                (low, high) = (wider_low, wider_high);
            }
        }
        let pad = if single {
            2.0 * bars
        } else {
            0.03 * (high - low)
        };
        (low - pad, high + pad)
    }

    fn lines(&self, decimals: usize) -> Vec<Line> {
        let number = |name: &str, value: f64| format!("{name} {}", label(value, decimals));
        let mut lines = Vec::new();
        if let Some(mark) = self.accepted.as_ref().filter(|mark| mark.at.is_finite()) {
            lines.push(Line {
                at: mark.at,
                words: mark.label.clone(),
                face: STRONG,
                stroke: Stroke::Solid,
                color: style::ACCENT,
                width: 3.2,
            });
        }
        for (name, at, pattern, start) in [
            ("mean", self.mean, style::DASHED, 0.0),
            ("median", Some(self.median), style::DOTTED, style::DOT_START),
        ] {
            let Some(at) = at else { continue };
            lines.push(Line {
                at,
                words: number(name, at),
                face: LABEL,
                stroke: Stroke::Dashed(pattern, start),
                color: style::INK,
                width: 1.9,
            });
        }
        for line in &mut lines {
            (line.words, line.face) = text::fit(&text::clean(&line.words), line.face, 380.0);
        }
        lines
    }

    fn band_area(&self, frame: &Frame) -> Option<Rect> {
        let band = self.band_drawn()?;
        let plot = frame.plot;
        let (left, right) = (frame.x(band.low), frame.x(band.high));
        (right >= plot.left && left <= plot.right).then(|| {
            // The region reaches up into its row of the strip, where its words stand.
            Rect::new(
                inside(left, plot),
                plot.top - SPAN_ROW + 4.0,
                inside(right, plot),
                plot.bottom,
            )
        })
    }

    fn draw_band_ground(&self, canvas: &mut Canvas<'_>, frame: &Frame) {
        if let Some(area) = self.band_area(frame) {
            canvas.fill_rect(area, style::TINT);
            canvas.hatch(area, 9.0, style::HATCH);
        }
    }

    /// The edges go over the bars, which hide the ground.
    fn draw_band_edges(&self, canvas: &mut Canvas<'_>, frame: &Frame) {
        if let (Some(area), Some(band)) = (self.band_area(frame), self.band_drawn()) {
            for value in [band.low, band.high] {
                let x = frame.x(value);
                if x >= area.left && x <= area.right {
                    canvas.line((x, area.top), (x, area.bottom), style::MID, 0.8);
                }
            }
        }
    }

    fn draw_spans(&self, canvas: &mut Canvas<'_>, frame: &Frame, flags: &[Flag]) {
        let plot = frame.plot;
        let mut y = plot.top - SPAN_ROW / 2.0 - 2.0;
        let decimals = decimals_for(frame_width(frame) / FINEST);
        let whisker = Span {
            label: format!(
                "{}: {} to {}",
                self.interval.label,
                label(self.interval.low, decimals),
                label(self.interval.high, decimals)
            ),
            ..self.interval.clone()
        };
        if let (Some(band), Some(area)) = (self.band_drawn(), self.band_area(frame)) {
            let bar = Rect::new(area.left, y - 6.0, area.right, y + 6.0);
            put_words(canvas, &band.label, bar, y, flags);
        }
        if self.band_drawn().is_some() {
            y -= SPAN_ROW;
        }
        let (left, right) = (frame.x(whisker.low), frame.x(whisker.high));
        let (from, to) = (inside(left.min(right), plot), inside(left.max(right), plot));
        canvas.line((from, y), (to, y), style::INK, 2.2);
        for (end, shown, outward) in [(left, from, -1.0), (right, to, 1.0)] {
            if (end - shown).abs() < 0.5 {
                canvas.line((shown, y - 6.0), (shown, y + 6.0), style::INK, 2.2);
            } else {
                canvas.arrow_head((shown, y), (outward, 0.0), style::INK);
            }
        }
        let bar = Rect::new(from, y - 6.0, to, y + 6.0);
        put_words(canvas, &whisker.label, bar, y, flags);
    }
}
