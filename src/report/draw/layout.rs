//! Where everything stands on the sheet: headline, key, panels below each other, remarks.

use super::axis::{self, NAME, NUMBERS, Named};
use super::canvas::{Align, Canvas, Sheet, paint};
use super::flags::Flags;
use super::geometry::Rect;
use super::key::Key;
use super::mark::of;
use super::picture::ChartError;
use super::reach::{Reach, usable};
use super::style::{AXIS, FOOTER, NOTE, RIM, SUBTITLE, TITLE, Type, WIDTH};
use super::text;
use super::ticks::Ticks;
use super::view::{Scale, View};
use super::words;
use crate::report::figure::{Figure, Height, Panel, Scale as Kind};

/// Room of a strip above a panel.
const STRIP: f64 = 20.0;
/// Room between panels.
const BETWEEN: f64 = 14.0;

/// Lines of words from the top down.
struct Lines(Vec<(String, Type)>);

impl Lines {
    fn of(text: &str, face: Type, most: usize) -> Self {
        let lines = text::wrap(text, face, WIDTH - 2.0 * RIM, most);
        Self(lines.into_iter().map(|line| (line, face)).collect())
    }

    fn height(&self) -> f64 {
        self.0.iter().map(|(_, face)| face.leading()).sum()
    }

    fn draw(&self, canvas: &mut Canvas<'_>, mut top: f64) {
        for (line, face) in &self.0 {
            canvas.text(line, (RIM, top + face.size), Align::Start, *face);
            top += face.leading();
        }
    }
}

/// A panel with its place.
struct Placed<'a> {
    panel: &'a Panel,
    rows: Vec<Named>,
    ticks: [Ticks; 2],
    title: Lines,
    flags: Flags,
    view: View,
    top: f64,
    /// Whether numbers and the name of the horizontal axis stand below.
    last: bool,
}

/// Draws a figure on a sheet.
pub(super) fn sheet(figure: &Figure) -> Result<Sheet, ChartError> {
    let reaches: Vec<Reach> = figure.panels.iter().map(reach).collect();
    let seen = |r: &Reach| r.points.iter().any(|p| usable(p.0) || usable(p.1));
    if !reaches.iter().any(seen) {
        return Err(ChartError::NoData);
    }
    let mut head = Lines::of(&figure.title, TITLE, 3);
    head.0.extend(Lines::of(&figure.subtitle, SUBTITLE, 3).0);
    let marks = figure.panels.iter().flat_map(|panel| &panel.marks);
    let key = Key::flow(marks.flat_map(|mark| of(mark).key()).collect());
    let mut foot = Lines::of(&figure.notes.join("; "), NOTE, 5);
    foot.0.extend(Lines::of(&figure.footer, FOOTER, 2).0);

    let key_top = 14.0 + head.height() + 6.0;
    let (panels, bottom) = panels(figure, &reaches, key_top + key.height() + 6.0);
    let height = bottom + 8.0 + foot.height() + 12.0;
    paint(height, (&figure.title, &figure.alt), |canvas| {
        head.draw(canvas, 14.0);
        key.draw(canvas, key_top);
        foot.draw(canvas, bottom + 8.0);
        for panel in &panels {
            panel.draw(canvas);
        }
    })
}

fn reach(panel: &Panel) -> Reach {
    let mut reach = Reach::default();
    let rows = matches!(panel.y.scale, Kind::Rows(_));
    for mark in &panel.marks {
        of(mark).reach(&mut reach, rows);
    }
    reach
}

/// Places the panels from a place downwards; also their lower end.
fn panels<'a>(figure: &'a Figure, reaches: &[Reach], mut top: f64) -> (Vec<Placed<'a>>, f64) {
    let all = &figure.panels;
    let rows: Vec<Vec<Named>> = all
        .iter()
        .map(|panel| match &panel.y.scale {
            Kind::Rows(rows) => axis::named(rows),
            _ => Vec::new(),
        })
        .collect();
    let alike = |i: usize, j: usize| all[i].x.title == all[j].x.title;
    // Vertical axes first, over everything: their numbers decide how wide the panels are.
    let tall = |(panel, rows): (&Panel, &Vec<Named>)| match panel.height {
        _ if !rows.is_empty() => rows.iter().map(|row| row.height).sum(),
        Height::Usual => 390.0,
        Height::Low => 240.0,
        Height::Tall => 430.0,
    };
    let heights: Vec<f64> = all.iter().zip(&rows).map(tall).collect();
    let numbered: Vec<bool> = rows.iter().map(Vec::is_empty).collect();
    let x_ends = |i: usize, length: f64| {
        let mut joined = reaches[i].clone();
        for j in (0..all.len()).filter(|j| *j != i && alike(i, *j)) {
            joined.join(&reaches[j]);
        }
        joined.across(&all[i].x, length)
    };
    let upward = |i: usize, x: (f64, f64)| {
        let ends = reaches[i].upward(&all[i].y, x);
        let ticks = match numbered[i] {
            true => axis::upward(&all[i].y, ends, heights[i]),
            false => Ticks::default(),
        };
        (ends, ticks)
    };
    let left = (0..all.len()).map(|i| match numbered[i] {
        true => axis::numbers_width(&upward(i, x_ends(i, 700.0)).1),
        false => axis::names_width(&rows[i]),
    });
    let left = RIM + left.collect::<Vec<f64>>().into_iter().fold(28.0, f64::max);
    let right = WIDTH - RIM - 14.0;
    let mut placed = Vec::new();
    for (i, (panel, rows)) in all.iter().zip(rows).enumerate() {
        let (x, tall) = (x_ends(i, right - left), heights[i]);
        let (y, y_ticks) = upward(i, x);
        let title = Lines::of(&panel.y.title, AXIS, 2);
        let flags = panel.marks.iter().filter_map(|mark| of(mark).flag(x));
        let mut plot = Rect::new(left, 0.0, right, tall);
        let x_scale = Scale {
            low: x.0,
            high: x.1,
            from: left,
            to: right,
            rows: Vec::new(),
        };
        let on_sheet = flags.map(|flag| super::flags::Flag {
            at: x_scale.px(flag.at),
            ..flag
        });
        let flags = Flags::arrange(on_sheet.collect(), plot);
        let strips = panel.marks.iter().filter(|mark| of(mark).above()).count() as f64;
        let start = top;
        plot.top = top + title.height() + 4.0 + flags.height() + strips * STRIP + 4.0;
        plot.bottom = plot.top + tall;
        let mut edge = plot.top;
        let middles = rows.iter().map(|row| {
            edge += row.height;
            edge - row.height / 2.0
        });
        let view = View {
            y: Scale {
                low: y.0,
                high: y.1,
                from: plot.bottom,
                to: plot.top,
                rows: middles.collect(),
            },
            above: plot.top - 4.0 - STRIP / 2.0,
            x: x_scale,
            plot,
        };
        let last = i + 1 == all.len() || !alike(i, i + 1);
        top = plot.bottom + if last { NUMBERS + NAME } else { 0.0 } + BETWEEN;
        placed.push(Placed {
            ticks: [axis::across(&panel.x, x, plot.width()), y_ticks],
            panel,
            rows,
            title,
            flags,
            view,
            top: start,
            last,
        });
    }
    (placed, top - BETWEEN)
}

impl Placed<'_> {
    fn draw(&self, canvas: &mut Canvas<'_>) {
        let (view, plot) = (&self.view, self.view.plot);
        let [x, y] = &self.ticks;
        self.title.draw(canvas, self.top);
        axis::grid(canvas, view, x, y);
        for mark in &self.panel.marks {
            of(mark).paint(canvas, view);
        }
        axis::draw(canvas, view, x, y, self.last);
        axis::draw_rows(canvas, view, &self.rows);
        if self.last {
            axis::name(canvas, plot, &self.panel.x.title);
        }
        let base = self.top + self.title.height() + 4.0 + self.flags.height();
        self.flags.draw(canvas, base, plot);
        let marks = self.panel.marks.iter();
        let wishes = marks.flat_map(|mark| of(mark).words(view)).collect();
        words::place(canvas, wishes, plot);
    }
}
