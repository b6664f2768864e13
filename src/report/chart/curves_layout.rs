//! Where everything stands in a chart of curves.

use super::Mark;
use super::canvas::Canvas;
use super::curves::CurvesChart;
use super::curves_draw::{self, Drawn};
use super::curves_labels::{Direct, place};
use super::curves_range::{Reach, across, upward};
use super::curves_zones::Stretches;
use super::frame::{
    Axis, Frame, LEADING, SCALE_ROOM, Sheet, Words, draw_upward, draw_x_ticks, draw_x_title,
    draw_y_ticks, fitting_ticks, widest,
};
use super::geometry::{Point, Rect};
use super::legend::{Legend, Sample, letter};
use super::pens::pen;
use super::row_plot::remarks;
use super::style::{self, AXIS, TICK, Type};
use super::text;
use super::ticks::{Ticks, label, ticks};

/// Height of a sheet with one, two or three panels.
const HEIGHTS: [u32; 3] = [style::HEIGHT, 700, 840];
/// A panel is never lower than this; the sheet grows instead.
const LOWEST: [f64; 3] = [300.0, 190.0, 160.0];
/// Free room between two panels.
const GAP: f64 = 20.0;
/// About so many numbers stand beside each panel.
const NUMBERS: [usize; 3] = [6, 5, 4];
/// So many whole numbers are all printed below the axis.
const ALL_WHOLE: usize = 16;

/// Patterns of horizontal levels, in the order in which they take them.
const LEVELS: [&[f64]; 3] = [&[], &[13.0, 4.0], &[5.0, 3.0]];

/// The pattern of the level with this number.
pub(super) fn level_pattern(index: usize) -> &'static [f64] {
    LEVELS[index % LEVELS.len()]
}

/// One laid-out plot.
pub(super) struct Pane<'a> {
    /// Where the data go.
    pub plot: Rect,
    /// Values at its lower and upper end.
    pub ends: (f64, f64),
    /// Its curves.
    pub curves: Vec<Drawn>,
    /// Its levels.
    pub levels: &'a [Mark],
    /// Labels of its levels and of values beyond the scale.
    pub labels: Vec<Direct>,
    ticks: Ticks,
    title: (Vec<String>, Type),
}

impl Pane<'_> {
    /// Vertical place of a value.
    pub fn y(&self, value: f64) -> f64 {
        let (low, high) = self.ends;
        self.plot.bottom - (value - low) / (high - low) * self.plot.height()
    }
}

/// The laid-out chart.
pub(super) struct Layout<'a> {
    /// What is shown.
    pub chart: &'a CurvesChart,
    /// Height of the sheet.
    pub height: u32,
    /// The plots from top to bottom.
    pub panes: Vec<Pane<'a>>,
    /// Zones and window.
    pub stretches: Stretches,
    reach: Reach,
    sheet: Sheet,
    legend: Legend,
    x_ticks: Ticks,
}

/// The names of all curves, each once.
fn names(chart: &CurvesChart) -> Vec<&str> {
    let mut names: Vec<&str> = Vec::new();
    for curve in chart.panels.iter().flat_map(|panel| &panel.curves) {
        if !names.contains(&curve.name.as_str()) {
            names.push(&curve.name);
        }
    }
    names
}

/// What the first drafts of a layout have taught.
struct Draft {
    /// Levels whose names found no free place and stand in the key instead.
    keyed: Vec<Vec<bool>>,
    /// Height of a panel.
    tall: f64,
    /// What has to be said below the plots.
    remark: String,
}

impl<'a> Layout<'a> {
    /// Lays out a chart that has passed its checks.
    pub fn of(chart: &'a CurvesChart) -> Option<Self> {
        let reach = across(chart)?;
        let panels = chart.panels.iter();
        let mut draft = Draft {
            keyed: panels
                .map(|panel| vec![false; panel.levels.len()])
                .collect(),
            tall: f64::INFINITY,
            remark: String::new(),
        };
        // Keys, remarks and low panels take room, which a next draft has to grant: each draft
        // can only add to them, and few do.
        loop {
            let mut layout = Self::lay(chart, reach, &draft);
            let mut settled = true;
            let tall = layout.panes.first().map_or(0.0, |pane| pane.plot.height());
            if tall < draft.tall - 0.5 {
                (draft.tall, settled) = (tall, false);
            }
            let remark = curves_draw::remark(&layout);
            if remark.len() > draft.remark.len() {
                (draft.remark, settled) = (remark, false);
            }
            let placed: Vec<_> = layout
                .panes
                .iter()
                .zip(&draft.keyed)
                .map(|(pane, keyed)| place(&layout, pane, keyed))
                .collect();
            for (index, (labels, without)) in placed.into_iter().enumerate() {
                for level in without {
                    (draft.keyed[index][level], settled) = (true, false);
                }
                layout.panes[index].labels = labels;
            }
            if settled {
                return Some(layout);
            }
        }
    }

    fn lay(chart: &'a CurvesChart, reach: Reach, draft: &Draft) -> Self {
        let names = names(chart);
        let note = remarks(&[text::clean(&chart.note), draft.remark.clone()]);
        let words = Words {
            title: &chart.title,
            subtitle: &chart.subtitle,
            note: &note,
            footer: &chart.footer,
        };
        let count = chart.panels.len();
        let shape = count.clamp(1, HEIGHTS.len()) - 1;
        let free = Sheet::lay(&words).free;
        let around = f64::from(style::HEIGHT) - free.height();
        let gaps = GAP * (count - 1) as f64;

        let ends: Vec<(f64, f64)> = chart
            .panels
            .iter()
            .map(|panel| upward(panel).unwrap_or((0.0, 1.0)))
            .collect();
        let y_ticks: Vec<Ticks> = ends
            .iter()
            .map(|(low, high)| ticks(*low, *high, NUMBERS[shape], false))
            .collect();
        let most = (f64::from(HEIGHTS[shape]) - around - SCALE_ROOM - gaps) / count as f64;
        let room = draft.tall.min(most) + if count == 1 { 30.0 } else { GAP - 6.0 };
        let titles: Vec<(Vec<String>, Type)> = chart
            .panels
            .iter()
            .map(|panel| text::block(&text::clean(&panel.y_title), AXIS, room))
            .collect();
        let left = free.left + margin(&y_ticks, &titles);
        let right = free.right - 12.0;
        let x_place = |value: f64| place_x(reach, (left, right), value);
        let stretches = Stretches::lay(chart, reach, (left, right), x_place);
        let keys = keys(chart, &names, &draft.keyed, &stretches);
        let legend = Legend::flow(keys, (free.left, free.right));
        let strip = legend.height() + stretches.height() + 4.0;
        let least = around + strip + LOWEST[shape] * count as f64 + gaps + SCALE_ROOM;
        let height = f64::from(HEIGHTS[shape]).max(least.ceil());
        let height = height.clamp(1.0, 20_000.0) as u32;

        let sheet = Sheet::lay_tall(&words, height);
        let top = sheet.free.top + strip;
        let tall = (sheet.free.bottom - SCALE_ROOM - top - gaps) / count as f64;
        let plots = (0..count).map(|index| {
            let top = top + index as f64 * (tall + GAP);
            Rect::new(left, top, right, top + tall)
        });
        let axes = ends.into_iter().zip(y_ticks).zip(titles);
        let panes = plots.zip(axes).zip(&chart.panels);
        let panes = panes.map(|((plot, ((ends, ticks), title)), panel)| Pane {
            curves: curves_draw::drawn(panel, &names, plot.width()),
            levels: &panel.levels,
            labels: Vec::new(),
            plot,
            ends,
            ticks,
            title,
        });
        Self {
            panes: panes.collect(),
            x_ticks: x_ticks(reach, (left, right), chart.whole_x),
            chart,
            height,
            stretches,
            reach,
            sheet,
            legend,
        }
    }

    /// The area of all panels and of the gaps between them.
    pub fn tower(&self) -> Rect {
        let plots = self.panes.iter().map(|pane| pane.plot);
        plots
            .reduce(|one, other| Rect::new(one.left, one.top, one.right, other.bottom))
            .unwrap_or(self.sheet.free)
    }

    /// Horizontal place of a value.
    pub fn x(&self, value: f64) -> f64 {
        let tower = self.tower();
        place_x(self.reach, (tower.left, tower.right), value)
    }

    /// Place of a value in a panel.
    pub fn at(&self, pane: &Pane<'_>, (x, y): Point) -> Point {
        (self.x(x), pane.y(y))
    }

    /// Draws everything.
    pub fn draw(&self, canvas: &mut Canvas<'_>) {
        let tower = self.tower();
        for pane in &self.panes {
            self.stretches.draw_ground(canvas, pane.plot);
        }
        for pane in &self.panes {
            self.draw_grid(canvas, pane);
        }
        self.stretches.draw_edges(canvas, tower);
        for pane in &self.panes {
            curves_draw::draw_pane(canvas, self, pane);
        }
        for pane in &self.panes {
            draw_axis(canvas, pane, self.sheet.free.left);
            for value in &self.x_ticks.at {
                let (x, y) = (self.x(*value), pane.plot.bottom);
                canvas.line((x, y), (x, y + 5.0), style::INK, 1.2);
            }
        }
        if let Some(last) = self.panes.last() {
            draw_x_ticks(canvas, last.plot, &self.x_ticks, |value| self.x(value));
            draw_x_title(canvas, last.plot, &self.chart.x_title, self.sheet.free);
        }
        self.stretches.draw_words(canvas, tower);
        self.legend.draw(canvas, self.sheet.free.top);
        self.sheet.draw(canvas);
    }

    fn draw_grid(&self, canvas: &mut Canvas<'_>, pane: &Pane<'_>) {
        let plot = pane.plot;
        for value in &self.x_ticks.at {
            let x = self.x(*value);
            canvas.line((x, plot.top), (x, plot.bottom), style::GRID, 1.0);
        }
        for value in &pane.ticks.at {
            let y = pane.y(*value);
            canvas.line((plot.left, y), (plot.right, y), style::GRID, 1.0);
        }
        if pane.ends.0 < 0.0 && pane.ends.1 > 0.0 {
            let y = pane.y(0.0);
            canvas.line((plot.left, y), (plot.right, y), style::EDGE, 1.2);
        }
    }
}

fn place_x(reach: Reach, (left, right): Point, value: f64) -> f64 {
    let (low, high) = reach.axis;
    left + (value - low) / (high - low) * (right - left)
}

/// Room that titles and numbers of the vertical axes take.
fn margin(ticks: &[Ticks], titles: &[(Vec<String>, Type)]) -> f64 {
    let titles = titles
        .iter()
        .map(|(lines, face)| lines.len() as f64 * LEADING * face.size);
    titles.fold(0.0, f64::max).max(AXIS.size)
        + 10.0
        + ticks.iter().map(widest).fold(0.0, f64::max)
        + 10.0
}

/// The keys of curves, levels and zones, in this order.
fn keys(
    chart: &CurvesChart,
    names: &[&str],
    keyed: &[Vec<bool>],
    stretches: &Stretches,
) -> Vec<(Sample, String)> {
    let mut keys: Vec<(Sample, String)> = names
        .iter()
        .enumerate()
        .map(|(index, name)| (Sample::Pen(pen(index)), (*name).to_owned()))
        .collect();
    for (panel, keyed) in chart.panels.iter().zip(keyed) {
        for (index, level) in panel.levels.iter().enumerate() {
            if keyed.get(index) == Some(&true) {
                let key = Sample::Level(level_pattern(index));
                keys.push((key, level.label.clone()));
            }
        }
    }
    for zone in stretches.lettered() {
        if let Some(span) = chart.zones.get(zone) {
            keys.push((Sample::Letter(letter(zone)), span.label.clone()));
        }
    }
    keys
}

/// Numbers below the axis; a handful of whole numbers is printed in full.
fn x_ticks(reach: Reach, ends: Point, whole: bool) -> Ticks {
    let axis = &Axis {
        title: String::new(),
        low: reach.axis.0,
        high: reach.axis.1,
        whole,
    };
    let (left, right) = ends;
    let width = right - left;
    if axis.whole && axis.high - axis.low <= ALL_WHOLE as f64 + 1.0 {
        let all = ticks(axis.low, axis.high, 2 * ALL_WHOLE, true);
        if all.at.len() > 1 && width / all.at.len() as f64 > 30.0 {
            return all;
        }
    }
    let mut found = fitting_ticks(axis, width);
    let decimals = found.decimals;
    found.at.retain(|value| {
        // A long number at an end of the axis must not stick out of the sheet, nor come close
        // to the numbers of the other axis.
        let half = text::width(&label(*value, decimals), TICK) / 2.0;
        let x = place_x(reach, ends, *value);
        x + half <= Frame::sides().1 + 10.0 && x - half >= left - 8.5
    });
    found
}

/// The vertical axis of a panel with its numbers and its name.
fn draw_axis(canvas: &mut Canvas<'_>, pane: &Pane<'_>, left: f64) {
    let plot = pane.plot;
    let corner = (plot.left, plot.bottom);
    let ends = [(plot.left, plot.top), corner, (plot.right, plot.bottom)];
    canvas.path(&ends, style::INK, 1.2);
    if !pane.curves.is_empty() || !pane.levels.is_empty() {
        draw_y_ticks(canvas, plot, &pane.ticks, |value| pane.y(value));
    }
    draw_upward(canvas, &pane.title, (left, (plot.top + plot.bottom) / 2.0));
}
