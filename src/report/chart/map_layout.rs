//! Where everything stands in a map.

use super::canvas::Canvas;
use super::frame::{
    Axis, LEADING, SCALE_ROOM, Sheet, Words, draw_upward, draw_x_ticks, draw_x_title, draw_y_ticks,
    fitting_ticks, widest,
};
use super::geometry::{Point, Rect};
use super::legend::{Legend, Sample, outline};
use super::map::MapChart;
use super::map_cells::Cells;
use super::map_labels::{Labels, set_labels};
use super::map_scale::{BAR, Shades};
use super::row_plot::remarks;
use super::style::{self, AXIS, TICK, Type};
use super::text;
use super::ticks::{Ticks, exact_decimals, label, ticks};

/// Usual height of the sheet.
const HEIGHT: u32 = 620;
/// The map is never lower than this; the sheet grows instead.
const LOWEST: f64 = 320.0;
/// Room between map and scale bar, and between the numbers and the name beside it.
const BESIDE: f64 = 24.0;
const GAP: f64 = 10.0;
/// Axes with more positions than this get round numbers instead.
const ALL: usize = 12;
/// Positions are told exactly up to so many decimals.
const EXACT: usize = 4;
/// Room of a number along the vertical axis.
const TALL: f64 = 17.0;

/// The laid-out chart.
pub(super) struct Layout<'a> {
    /// What is shown.
    pub chart: &'a MapChart,
    /// Height of the sheet.
    pub height: u32,
    /// The cells on the sheet.
    pub cells: Cells,
    /// Shades and contour values.
    pub shades: Shades,
    /// Thin contour lines on the sheet, with their value.
    pub lines: Vec<(f64, Vec<Point>)>,
    /// The pieces of the bold contour line on the sheet.
    pub target: Vec<Vec<Point>>,
    labels: Labels,
    bar: Rect,
    sheet: Sheet,
    legend: Legend,
    ticks: (Ticks, Ticks),
    titles: [(Vec<String>, Type); 2],
}

/// What the first drafts of a layout have taught.
struct Draft {
    /// Zones whose words do not fit into them.
    zones: Vec<bool>,
    /// Whether the words of the target found no place on its line.
    target: bool,
}

impl<'a> Layout<'a> {
    /// Lays out a chart that has passed its checks.
    pub fn of(chart: &'a MapChart) -> Option<Self> {
        let mut draft = Draft {
            zones: vec![false; chart.zones.len()],
            target: false,
        };
        // Keys take room, which a next draft has to grant: each draft can only add to them.
        loop {
            let mut layout = Self::lay(chart, &draft)?;
            let labels = set_labels(&layout, &draft.zones, draft.target);
            let mut settled = true;
            for zone in &labels.lettered {
                settled &= draft.zones[*zone];
                draft.zones[*zone] = true;
            }
            if labels.target_without_place {
                settled &= draft.target;
                draft.target = true;
            }
            layout.labels = labels;
            if settled {
                return Some(layout);
            }
        }
    }

    fn lay(chart: &'a MapChart, draft: &Draft) -> Option<Self> {
        let shades = Shades::of(chart)?;
        let grid = chart.grid();
        let bold = chart.target.as_ref().map(|mark| grid.contour(mark.at));
        let note = remarks(&[
            text::clean(&chart.note),
            unmet(chart, bold.as_deref()),
            shades.remark(chart),
        ]);
        let words = Words {
            title: &chart.title,
            subtitle: &chart.subtitle,
            note: &note,
            footer: &chart.footer,
        };
        let free = Sheet::lay(&words).free;
        let around = f64::from(style::HEIGHT) - free.height();
        let legend = Legend::flow(keys(chart, draft), (free.left, free.right));
        let strip = legend.height() + 8.0;
        let height = f64::from(HEIGHT).max((around + strip + LOWEST + SCALE_ROOM).ceil());
        let height = height.clamp(1.0, 20_000.0) as u32;
        let sheet = Sheet::lay_tall(&words, height);
        let (top, bottom) = (sheet.free.top + strip, sheet.free.bottom - SCALE_ROOM);

        let titles = [&chart.y_title, &chart.z_title]
            .map(|title| text::block(&text::clean(title), AXIS, bottom - top + 30.0));
        let wide = |(lines, face): &(Vec<String>, Type)| {
            (lines.len() as f64 * LEADING * face.size).max(AXIS.size)
        };
        let ys = Cells::edges(&chart.ys, chart.whole_y);
        let y_ticks = y_ticks(&chart.ys, &ys, chart.whole_y, bottom - top);
        let left = free.left + wide(&titles[0]) + 10.0 + widest(&y_ticks) + 10.0;
        let beside = widest(&shades.ticks) + 9.0 + GAP + wide(&titles[1]);
        let right = free.right - beside - BAR - BESIDE;
        let xs = Cells::edges(&chart.xs, chart.whole_x);
        let plot = Rect::new(left.round(), top.round(), right.round(), bottom.round());
        let x_ticks = x_ticks(&chart.xs, &xs, chart.whole_x, plot.width());
        let cells = Cells::lay(xs, ys, plot);

        let on_sheet = |lines: Vec<Vec<Point>>| -> Vec<Vec<Point>> {
            let place = |line: Vec<Point>| line.into_iter().map(|at| cells.at(at)).collect();
            lines.into_iter().map(place).collect()
        };
        let target = on_sheet(bold.unwrap_or_default());
        let mut lines = Vec::new();
        for level in &shades.contours {
            let found = on_sheet(grid.contour(*level));
            lines.extend(found.into_iter().map(|line| (*level, line)));
        }
        Some(Self {
            bar: Rect::new(right + BESIDE, plot.top, right + BESIDE + BAR, plot.bottom),
            chart,
            height,
            cells,
            shades,
            lines,
            target,
            labels: Labels::default(),
            sheet,
            legend,
            ticks: (x_ticks, y_ticks),
            titles,
        })
    }

    /// Draws everything.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        let plot = self.cells.plot;
        self.draw_cells(canvas);
        self.labels.draw(canvas);
        canvas.path(&outline(plot), style::INK, 1.2);
        draw_x_ticks(canvas, plot, &self.ticks.0, |value| self.cells.x(value));
        draw_y_ticks(canvas, plot, &self.ticks.1, |value| self.cells.y(value));
        draw_x_title(canvas, plot, &self.chart.x_title, self.sheet.free);
        let middle = (plot.top + plot.bottom) / 2.0;
        draw_upward(canvas, &self.titles[0], (self.sheet.free.left, middle));
        let target = self.chart.target.as_ref().map(|mark| mark.at);
        self.shades.draw_bar(canvas, self.bar, target);
        let left = self.bar.right + 9.0 + widest(&self.shades.ticks) + GAP;
        draw_upward(canvas, &self.titles[1], (left, middle));
        self.legend.draw(canvas, self.sheet.free.top);
        self.sheet.draw(canvas);
    }
}

/// Says why there is no bold line, if there is none.
fn unmet(chart: &MapChart, lines: Option<&[Vec<Point>]>) -> String {
    let (Some(target), Some([])) = (&chart.target, lines) else {
        return String::new();
    };
    let name = text::clean(&target.label);
    let name = if name.is_empty() { "target" } else { &name };
    let above = chart.values().filter(|(_, value)| *value >= target.at);
    let (above, all) = (above.count(), chart.values().count());
    if above == all {
        format!("{name}: no line, all values lie above")
    } else if above == 0 {
        format!("{name}: no line, all values lie below")
    } else {
        // Single cells between missing ones give a line no square to run through.
        format!("{name}: no line between the cells")
    }
}

/// The keys of letters, cells without a value, and a target without words on its line.
fn keys(chart: &MapChart, draft: &Draft) -> Vec<(Sample, String)> {
    let mut keys = Vec::new();
    if let Some(target) = chart.target.as_ref().filter(|_| draft.target) {
        keys.push((Sample::Bold, target.label.clone()));
    }
    for (index, zone) in chart.zones.iter().enumerate() {
        if draft.zones[index] {
            keys.push((Sample::Letter(zone.letter(index)), zone.label.clone()));
        }
    }
    let forbidden = chart.forbidden();
    let blank = |row: usize, column: usize| {
        chart.grid().value(column, row).is_none() && !forbidden.contains(&(column, row))
    };
    let columns = chart.xs.len();
    if (0..chart.ys.len()).any(|row| (0..columns).any(|column| blank(row, column))) {
        keys.push((Sample::Blank, "no value".to_owned()));
    }
    keys
}

/// The positions of the grid, where all of them can be told exactly and lie apart.
fn all_positions(positions: &[f64]) -> Option<Ticks> {
    let decimals = exact_decimals(positions, EXACT).filter(|_| positions.len() <= ALL)?;
    Some(Ticks {
        at: positions.to_vec(),
        decimals,
    })
}

fn x_ticks(positions: &[f64], edges: &[f64], whole: bool, width: f64) -> Ticks {
    let (low, high) = outer(edges);
    let apart = |found: &Ticks| {
        let room = widest(found) + 12.0;
        let mut pairs = positions.windows(2);
        pairs.all(|pair| (pair[1] - pair[0]) / (high - low) * width >= room)
    };
    let axis = Axis {
        title: String::new(),
        low,
        high,
        whole,
    };
    let mut found = all_positions(positions)
        .filter(apart)
        .unwrap_or_else(|| fitting_ticks(&axis, width));
    let decimals = found.decimals;
    found.at.retain(|value| {
        // A number at the left end must not come close to those of the other axis.
        let half = text::width(&label(*value, decimals), TICK) / 2.0;
        (value - low) / (high - low) * width >= half - 8.5
    });
    found
}

fn y_ticks(positions: &[f64], edges: &[f64], whole: bool, height: f64) -> Ticks {
    let (low, high) = outer(edges);
    let apart = |_: &Ticks| {
        let mut pairs = positions.windows(2);
        pairs.all(|pair| (pair[1] - pair[0]) / (high - low) * height >= TALL)
    };
    all_positions(positions)
        .filter(apart)
        .unwrap_or_else(|| ticks(low, high, 6, whole))
}

fn outer(edges: &[f64]) -> Point {
    match edges {
        [first, .., last] => (*first, *last),
        _ => (0.0, 1.0),
    }
}
