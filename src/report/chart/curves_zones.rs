//! Stretches of the horizontal axis: forbidden zones through all panels, and the window that
//! meets the target. Their words stand in the strip above, where no data run.

use super::canvas::{Align, Canvas};
use super::curves::CurvesChart;
use super::curves_range::Reach;
use super::curves_tabs::{LEAD, LINE, Words, Zone, arrange, spread_letters};
use super::geometry::{Point, Rect};
use super::histogram_parts::put_words;
use super::legend::{draw_letter, letter, outline};
use super::style;
use super::text;

/// Height of the row in which the window and its words stand.
const WINDOW_ROW: f64 = 24.0;
/// A narrower zone or window is drawn this wide, or it would be taken for a line.
const NARROWEST: f64 = 5.0;
/// Distance of the strokes that hatch a zone.
const HATCH: f64 = 9.0;

/// Zones and window of a chart on the sheet.
pub(super) struct Stretches {
    zones: Vec<Zone>,
    rows: usize,
    row: f64,
    window: Option<(Point, [bool; 2], String)>,
    /// How many lie beyond the axis.
    pub hidden: usize,
}

/// Left and right edge of a stretch on the sheet and whether it ends there; nothing for one
/// that lies beyond the axis.
fn shown(
    (low, high): Point,
    reach: Reach,
    (left, right): Point,
    x: &impl Fn(f64) -> f64,
) -> Option<(Point, [bool; 2])> {
    // Beyond the outermost value nothing was studied: a stretch that begins there has no edge.
    let slack = 1e-9 * (reach.core.1 - reach.core.0);
    let edges = [low > reach.core.0 + slack, high < reach.core.1 - slack];
    if low > reach.core.1 + slack || high < reach.core.0 - slack {
        return None;
    }
    let from = if edges[0] { x(low) } else { left };
    let to = if edges[1] { x(high) } else { right };
    let lack = (NARROWEST - (to - from)).max(0.0) / 2.0;
    Some((((from - lack).max(left), (to + lack).min(right)), edges))
}

impl Stretches {
    /// Lays out zones and window between the two edges of the plot.
    pub fn lay(chart: &CurvesChart, reach: Reach, bounds: Point, x: impl Fn(f64) -> f64) -> Self {
        let mut zones = Vec::new();
        for (index, span) in chart.zones.iter().enumerate() {
            if let Some(place) = shown((span.low, span.high), reach, bounds, &x) {
                zones.push(Zone::new(index, place, &span.label));
            }
        }
        spread_letters(&mut zones, bounds);
        let rows = arrange(&mut zones);
        let window = chart.window.as_ref().and_then(|span| {
            let (ends, edges) = shown((span.low, span.high), reach, bounds, &x)?;
            Some((ends, edges, span.label.clone()))
        });
        let stretches = chart.zones.len() + usize::from(chart.window.is_some());
        Self {
            row: zones.iter().map(Zone::height).fold(0.0, f64::max),
            hidden: stretches - zones.len() - usize::from(window.is_some()),
            rows,
            zones,
            window,
        }
    }

    /// Height of the strip that the words need.
    pub fn height(&self) -> f64 {
        self.tabs()
            + if self.window.is_some() {
                WINDOW_ROW
            } else {
                0.0
            }
    }

    fn tabs(&self) -> f64 {
        self.rows as f64 * self.row
    }

    /// The zones that carry a letter.
    pub fn lettered(&self) -> impl Iterator<Item = usize> {
        let zones = self.zones.iter();
        zones
            .filter(|zone| zone.words == Words::Letter)
            .map(|zone| zone.index)
    }

    /// The upright lines that labels had better not stand on.
    pub fn uprights(&self) -> Vec<f64> {
        let zones = self.zones.iter().map(|zone| (zone.ends, zone.edges));
        let window = self.window.iter().map(|(ends, edges, _)| (*ends, *edges));
        zones
            .chain(window)
            .flat_map(|(ends, edges)| [(ends.0, edges[0]), (ends.1, edges[1])])
            .filter_map(|(x, edge)| edge.then_some(x))
            .collect()
    }

    /// Ground and hatching of the zones in one plot, below everything else.
    pub fn draw_ground(&self, canvas: &mut Canvas<'_>, plot: Rect) {
        let area = |zone: &Zone| Rect::new(zone.ends.0, plot.top, zone.ends.1, plot.bottom);
        for zone in &self.zones {
            canvas.fill_rect(area(zone), style::TINT);
        }
        for zone in &self.zones {
            canvas.hatch(area(zone), HATCH, style::HATCH);
        }
    }

    /// Edges of zones and window, over the grid.
    pub fn draw_edges(&self, canvas: &mut Canvas<'_>, tower: Rect) {
        for zone in &self.zones {
            for (x, edge) in [(zone.ends.0, zone.edges[0]), (zone.ends.1, zone.edges[1])] {
                if edge {
                    canvas.line((x, tower.top), (x, tower.bottom), style::MID, 0.9);
                }
            }
        }
        if let Some((ends, edges, _)) = &self.window {
            let top = tower.top - self.tabs() - WINDOW_ROW / 2.0 - 2.0;
            for (x, edge) in [(ends.0, edges[0]), (ends.1, edges[1])] {
                if edge {
                    let look = (style::ACCENT, 1.6);
                    canvas.dashed((x, top), (x, tower.bottom), style::DASHED, look);
                }
            }
        }
    }

    /// Tabs, and the window above them and on the axis.
    pub fn draw_words(&self, canvas: &mut Canvas<'_>, tower: Rect) {
        for zone in &self.zones {
            let bottom = tower.top - zone.row as f64 * self.row;
            let tab = Rect::new(zone.tab.0, bottom - self.row, zone.tab.1, bottom);
            match &zone.words {
                Words::None => {}
                Words::Letter => {
                    let bottom = tab.bottom - LEAD;
                    let area = Rect::new(tab.left, bottom - 17.0, tab.right, bottom);
                    let foot = ((zone.ends.0 + zone.ends.1) / 2.0, tower.top);
                    let middle = (area.left + area.right) / 2.0;
                    canvas.line((middle, bottom), foot, style::MID, 0.9);
                    draw_letter(canvas, &letter(zone.index), area);
                }
                Words::Lines(lines, face) => {
                    canvas.fill_rect(tab, style::TINT);
                    canvas.path(&outline(tab)[..], style::MID, 0.9);
                    let x = (tab.left + tab.right) / 2.0;
                    let tall = LINE * face.size;
                    let first = (tab.top + tab.bottom - tall * (lines.len() - 1) as f64) / 2.0;
                    for (index, line) in lines.iter().enumerate() {
                        let y = first + index as f64 * tall + 0.36 * face.size;
                        canvas.text(line, (x, y), Align::Middle, *face);
                    }
                }
            }
        }
        if let Some((ends, edges, words)) = &self.window {
            let y = tower.top - self.tabs() - WINDOW_ROW / 2.0 - 2.0;
            for (height, width) in [(y, 3.0), (tower.bottom, 4.5)] {
                canvas.line((ends.0, height), (ends.1, height), style::ACCENT, width);
            }
            for (x, edge, outward) in [(ends.0, edges[0], -1.0), (ends.1, edges[1], 1.0)] {
                if edge {
                    canvas.line((x, y - 6.0), (x, y + 6.0), style::ACCENT, 2.0);
                } else {
                    canvas.arrow_head((x + 4.0 * outward, y), (outward, 0.0), style::ACCENT);
                }
            }
            if !text::clean(words).is_empty() {
                put_words(
                    canvas,
                    words,
                    Rect::new(ends.0, y - 6.0, ends.1, y + 6.0),
                    y,
                    &[],
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Span;
    use super::*;

    fn lay(zones: &[(f64, f64, &str)]) -> Stretches {
        let chart = CurvesChart {
            zones: zones
                .iter()
                .map(|(low, high, label)| Span {
                    low: *low,
                    high: *high,
                    label: (*label).to_owned(),
                })
                .collect(),
            ..CurvesChart::default()
        };
        let reach = Reach {
            core: (0.0, 10.0),
            axis: (-0.5, 10.5),
        };
        Stretches::lay(&chart, reach, (100.0, 800.0), |value| {
            100.0 + (value + 0.5) / 11.0 * 700.0
        })
    }

    #[test]
    fn zones_reach_the_edge_where_nothing_lies_beyond() {
        let found = lay(&[(0.0, 2.0, "low"), (7.0, f64::INFINITY, "high")]);
        assert_eq!(found.zones[0].ends.0, 100.0);
        assert_eq!(found.zones[1].ends.1, 800.0);
        assert_eq!(found.uprights().len(), 2);
        let off = lay(&[(11.0, 12.0, "off"), (1.0, 2.0, "on")]);
        assert_eq!((off.zones.len(), off.hidden), (1, 1));
        let thin = lay(&[(5.0, 5.0, "thin")]);
        let (left, right) = thin.zones[0].ends;
        assert!((right - left - NARROWEST).abs() < 1e-9);
        assert_eq!(thin.lettered().collect::<Vec<_>>(), [0]);
    }
}
