//! What values a map shows and how: the ramp with its labelled bar, and the contour lines.

use super::canvas::{Align, Canvas};
use super::curves_range::body;
use super::geometry::{Point, Rect};
use super::legend::outline;
use super::map::MapChart;
use super::ramp::{Ramp, shade};
use super::record_content::ends;
use super::style::{self, TICK};
use super::ticks::{Ticks, decimals_for, exact_decimals, label, ticks};

/// Width of the bar.
pub(super) const BAR: f64 = 18.0;
/// About so many numbers stand beside the bar, and as many contour lines are chosen.
const NUMBERS: usize = 6;
/// One value in so many may lie so far out that it is shaded like the end of the ramp.
const RARE: usize = 12;
const FEW: usize = 200;
/// Forbidden cells may make the ramp so many times as long.
const WIDER: f64 = 1.6;
/// The bar consists of so many steps.
const STEPS: u32 = 128;
/// Contour values are told exactly up to so many decimals.
const EXACT: usize = 6;

/// The shades of a map and its contour lines.
pub(super) struct Shades {
    /// The shade of each value.
    pub ramp: Ramp,
    /// Values of thin contour lines, and decimals for their labels.
    pub contours: Vec<f64>,
    decimals: usize,
    /// Round values along the ramp.
    pub ticks: Ticks,
    /// Whether values lie below or above the ramp.
    beyond: [bool; 2],
}

impl Shades {
    /// Chooses shades and contour lines for a map that has passed its checks.
    pub fn of(chart: &MapChart) -> Option<Self> {
        let forbidden = chart.forbidden();
        let all: Vec<f64> = chart.values().map(|(_, value)| value).collect();
        let allowed: Vec<f64> = chart
            .values()
            .filter(|(cell, _)| !forbidden.contains(cell))
            .map(|(_, value)| value)
            .collect();
        // What is forbidden must not squeeze the shades of what is not.
        let few = |values: &[f64]| (values.len() / RARE).min(FEW);
        let everything = body(&all, &[], few(&all))?;
        let range = match body(&allowed, &[], few(&allowed)) {
            Some((low, high)) if everything.1 - everything.0 > WIDER * (high - low) => (low, high),
            _ => everything,
        };
        let ramp = Ramp::over(range);
        let whole = ends(all.into_iter())?;
        let ticks = ticks(ramp.low, ramp.high, NUMBERS, false);
        let (contours, decimals) = contours(chart, whole, &ticks);
        Some(Self {
            beyond: [whole.0 < ramp.low, whole.1 > ramp.high],
            ramp,
            contours,
            decimals,
            ticks,
        })
    }

    /// The value of a contour line as its label tells it.
    pub fn print(&self, level: f64) -> String {
        label(level, self.decimals)
    }

    /// A cell's value in print, to the digits that tell neighbouring shades apart.
    pub fn print_cell(&self, value: f64) -> String {
        let decimals = decimals_for((self.ramp.high - self.ramp.low) / 40.0);
        label(value, decimals)
    }

    /// What has to be said about values whose shade does not tell them.
    pub fn remark(&self, chart: &MapChart) -> String {
        let Some((low, high)) = ends(chart.values().map(|(_, value)| value)) else {
            return String::new();
        };
        match self.beyond {
            [false, false] => String::new(),
            [true, false] => format!(
                "values down to {} are shaded as the lightest",
                self.print_cell(low)
            ),
            [false, true] => format!(
                "values up to {} are shaded as the darkest",
                self.print_cell(high)
            ),
            [true, true] => format!(
                "values from {} to {} are shaded as the ends of the scale",
                self.print_cell(low),
                self.print_cell(high)
            ),
        }
    }

    /// Vertical place of a value beside the bar.
    fn y(&self, bar: Rect, value: f64) -> f64 {
        bar.bottom - self.ramp.share(value) * bar.height()
    }

    /// Draws the bar with its numbers; contour lines and target are marked on it.
    pub fn draw_bar(&self, canvas: &mut Canvas<'_>, bar: Rect, target: Option<f64>) {
        for step in 0..STEPS {
            let share = |step: u32| f64::from(step) / f64::from(STEPS);
            // Each step reaches under its upper neighbour, so that no light seam shows.
            let bottom = bar.bottom - share(step) * bar.height();
            let area = Rect::new(bar.left, bar.top, bar.right, bottom);
            canvas.fill_rect(area, shade(share(step)));
        }
        for level in self.contours.iter().filter(|level| self.within(**level)) {
            let y = self.y(bar, *level);
            contour(canvas, &[(bar.left, y), (bar.right, y)], false);
        }
        if let Some(level) = target.filter(|level| self.within(*level)) {
            let y = self.y(bar, level);
            contour(canvas, &[(bar.left - 7.0, y), (bar.right, y)], true);
        }
        canvas.path(&outline(bar), style::INK, 1.0);
        for value in &self.ticks.at {
            let y = self.y(bar, *value);
            canvas.line((bar.right, y), (bar.right + 5.0, y), style::INK, 1.2);
            let words = label(*value, self.ticks.decimals);
            let at = (bar.right + 9.0, y + 0.36 * TICK.size);
            canvas.text(&words, at, Align::Start, TICK);
        }
        let middle = (bar.left + bar.right) / 2.0;
        for (beyond, y, way) in [
            (self.beyond[0], bar.bottom, 1.0),
            (self.beyond[1], bar.top, -1.0),
        ] {
            if beyond {
                let tip = (middle, y + 11.0 * way);
                canvas.arrow_head(tip, (0.0, way), style::INK);
            }
        }
    }

    fn within(&self, value: f64) -> bool {
        value >= self.ramp.low && value <= self.ramp.high
    }
}

/// Values of the thin contour lines and the decimals in which they are told.
fn contours(chart: &MapChart, (low, high): Point, ticks: &Ticks) -> (Vec<f64>, usize) {
    let target = chart.target.as_ref().map(|mark| mark.at);
    let mut levels: Vec<f64> = if chart.contours.is_empty() {
        let step = match ticks.at[..] {
            [first, second, ..] => second - first,
            _ => high - low,
        };
        // A round line right beside the target would only hide it.
        let near = |level: f64| target.is_some_and(|at| (level - at).abs() < 0.3 * step);
        let levels = ticks.at.iter().copied();
        levels.filter(|level| !near(*level)).collect()
    } else {
        let levels = chart.contours.iter().copied();
        levels.filter(|level| Some(*level) != target).collect()
    };
    levels.retain(|level| *level > low && *level <= high);
    levels.sort_by(f64::total_cmp);
    levels.dedup();
    let decimals = exact_decimals(&levels, EXACT).unwrap_or(ticks.decimals + 2);
    (levels, decimals)
}

/// Draws a contour line; a light rim sets it off from dark shades.
pub(super) fn contour(canvas: &mut Canvas<'_>, points: &[Point], bold: bool) {
    if bold {
        canvas.path(points, style::PAPER, 6.0);
        canvas.path(points, style::ACCENT, 3.4);
    } else {
        canvas.path(points, style::PAPER, 3.0);
        canvas.path(points, style::INK, 1.2);
    }
}
