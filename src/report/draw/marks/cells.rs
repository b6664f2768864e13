//! Maps: shaded cells, lines of equal values, cells out of bounds.

use super::contour::Piece;
use crate::report::draw::canvas::{Align, Canvas};
use crate::report::draw::geometry::{Point, Rect};
use crate::report::draw::key::{Sample, bold, letter};
use crate::report::draw::mark::{Draw, Place, Wish};
use crate::report::draw::pens::outline;
use crate::report::draw::reach::Reach;
use crate::report::draw::style::{self, ACCENT, INK, LABEL, PAPER, TICK, Type, lightness, shade};
use crate::report::draw::text;
use crate::report::draw::ticks::number;
use crate::report::draw::view::View;
use crate::report::figure::Cells;

/// Words are dark on ground lighter than this.
const DIVIDE: f64 = 140.0;
/// Distance of the strokes over cells that are out of bounds.
const HATCH: f64 = 9.0;

/// Edges of cells midway between their places, mirrored outwards.
pub(super) fn edges(places: &[f64], whole: bool) -> Vec<f64> {
    let (Some(first), Some(last)) = (places.first(), places.last()) else {
        return Vec::new();
    };
    let between: Vec<f64> = places.windows(2).map(|p| (p[0] + p[1]) / 2.0).collect();
    let alone = if whole || *first == 0.0 {
        0.5
    } else {
        0.1 * first.abs()
    };
    let before = between.first().map_or(alone, |edge| edge - first);
    let behind = between.last().map_or(alone, |edge| last - edge);
    let inner = std::iter::once(first - before).chain(between.iter().copied());
    inner.chain([last + behind]).collect()
}

impl Cells {
    fn values(&self) -> impl Iterator<Item = f64> {
        let all = (0..self.ys.len()).flat_map(|row| (0..self.xs.len()).map(move |c| (c, row)));
        all.filter_map(|(column, row)| self.value(column, row))
    }

    fn ends(&self) -> Option<(f64, f64)> {
        self.values().fold(None, |ends: Option<(f64, f64)>, v| {
            Some(ends.map_or((v, v), |(low, high)| (low.min(v), high.max(v))))
        })
    }

    /// The number of a cell: digits as far as shades could be told apart.
    fn written(&self, value: f64) -> String {
        let (low, high) = self.ends().unwrap_or((value, value));
        let step = ((high - low) / 40.0).max(1e-3 * low.abs().max(high.abs()));
        let decimals = (-libm::floor(libm::log10(step.max(1e-12)))).clamp(0.0, 6.0);
        number(value, decimals as usize)
    }

    fn shade(&self, value: f64) -> plotters::style::RGBColor {
        match self.ends() {
            Some((low, high)) if high > low => shade((value - low) / (high - low)),
            _ => shade(0.3),
        }
    }

    /// Whether a cell is out of bounds.
    fn barred(&self, cell: (usize, usize)) -> bool {
        self.zones.iter().any(|zone| zone.cells.contains(&cell))
    }

    /// The cell of a zone that is nearest to its middle: its letter stands there.
    fn middle(cells: &[(usize, usize)]) -> Option<(usize, usize)> {
        let n = cells.len().max(1) as f64;
        let mean =
            |of: fn(&(usize, usize)) -> usize| cells.iter().map(|c| of(c) as f64).sum::<f64>() / n;
        let (x, y) = (mean(|c| c.0), mean(|c| c.1));
        let off = |c: &(usize, usize)| {
            let [dx, dy] = [c.0 as f64 - x, c.1 as f64 - y];
            dx * dx + dy * dy
        };
        cells
            .iter()
            .copied()
            .min_by(|a, b| off(a).total_cmp(&off(b)))
    }
}

/// The cells of a map on the sheet.
struct Grid {
    columns: Vec<f64>,
    rows: Vec<f64>,
}

impl Grid {
    fn of(cells: &Cells, view: &View) -> Self {
        // Edges on whole pixels leave no light seams between cells.
        let on = |edges: Vec<f64>, px: &dyn Fn(f64) -> f64| {
            edges.iter().map(|e| px(*e).round()).collect()
        };
        Self {
            columns: on(edges(&cells.xs, false), &|v| view.x.px(v)),
            rows: on(edges(&cells.ys, false), &|v| view.y.px(v)),
        }
    }

    fn area(&self, (column, row): (usize, usize)) -> Option<Rect> {
        let (left, right) = (self.columns.get(column)?, self.columns.get(column + 1)?);
        let (bottom, top) = (self.rows.get(row)?, self.rows.get(row + 1)?);
        Some(Rect::new(*left, *top, *right, *bottom))
    }
}

fn contour(canvas: &mut Canvas<'_>, pieces: &[[Point; 2]], strong: bool) {
    let layers = match strong {
        true => [(PAPER, 6.0), (ACCENT, 3.4)],
        false => [(PAPER, 3.0), (INK, 1.2)],
    };
    for (color, width) in layers {
        for [from, to] in pieces {
            canvas.line(*from, *to, color, width);
        }
    }
}

impl Draw for Cells {
    fn reach(&self, reach: &mut Reach, _rows: bool) {
        let (xs, ys) = (edges(&self.xs, self.stepped), edges(&self.ys, self.stepped));
        let corner = |at: fn(&[f64]) -> Option<&f64>| Some((*at(&xs)?, *at(&ys)?));
        if self.values().next().is_some() || !self.zones.is_empty() {
            reach.points.extend(
                corner(<[f64]>::first)
                    .into_iter()
                    .chain(corner(<[f64]>::last)),
            );
        }
        reach.tight = true;
    }

    fn key(&self) -> Vec<(Sample, String)> {
        let mut keys = Vec::new();
        if let Some((low, high)) = self.ends() {
            keys.push((
                Sample::Ramp([low, high].map(|v| self.written(v))),
                self.name.clone(),
            ));
        }
        let strong = self.levels.iter().filter(|level| level.bold);
        keys.extend(strong.map(|level| (bold(), level.label.clone())));
        keys.extend(self.best.iter().map(|best| (Sample::Frame, best.1.clone())));
        let zones = self.zones.iter();
        keys.extend(zones.map(|zone| (Sample::Hatched(zone.mark.clone()), zone.label.clone())));
        keys
    }

    fn paint(&self, canvas: &mut Canvas<'_>, view: &View) {
        let grid = Grid::of(self, view);
        let all = (0..self.ys.len()).flat_map(|row| (0..self.xs.len()).map(move |c| (c, row)));
        for cell in all {
            let Some(area) = grid.area(cell) else {
                continue;
            };
            match self.value(cell.0, cell.1) {
                Some(value) => canvas.fill(area, self.shade(value)),
                None => canvas.fill(area, PAPER),
            }
            if self.barred(cell) {
                // A light rim keeps the strokes visible on dark shades.
                canvas.hatch(&area.corners(), HATCH, PAPER, 2.6);
                canvas.hatch(&area.corners(), HATCH, style::MID, 1.1);
            }
        }
        let on_sheet = |pieces: Vec<Piece>| -> Vec<[Point; 2]> {
            pieces
                .into_iter()
                .map(|p| p.map(|(x, y)| view.at(x, y)))
                .collect()
        };
        let edges = |pieces: Vec<[(usize, usize); 2]>| -> Vec<[Point; 2]> {
            let at = |(column, row): (usize, usize)| (grid.columns[column], grid.rows[row]);
            pieces.into_iter().map(|p| p.map(at)).collect()
        };
        contour(
            canvas,
            &edges(self.steps(&|c, r| self.barred((c, r)))),
            false,
        );
        let mut levels: Vec<_> = self.levels.iter().collect();
        levels.sort_by_key(|level| level.bold);
        for level in levels {
            if !self.stepped {
                contour(canvas, &on_sheet(self.contour(level.at)), level.bold);
            } else if level.bold {
                let met = |c: usize, r: usize| {
                    let ok = self
                        .value(c, r)
                        .is_some_and(|v| (v <= level.at) != level.above);
                    ok && !self.barred((c, r))
                };
                contour(canvas, &edges(self.steps(&met)), true);
            }
        }
        let lettered: Vec<_> = self
            .zones
            .iter()
            .filter_map(|zone| Self::middle(&zone.cells))
            .collect();
        for (zone, cell) in self.zones.iter().zip(&lettered) {
            if let Some(area) = grid.area(*cell) {
                letter(canvas, area.center(), &zone.mark);
            }
        }
        if let Some(area) = self.best.as_ref().and_then(|best| grid.area(best.0)) {
            outline(canvas, area.grown(-3.5), PAPER, 6.0);
            outline(canvas, area.grown(-3.5), ACCENT, 3.0);
        }
        if self.stepped || self.levels.is_empty() {
            self.numbers(canvas, &grid, &lettered);
        }
        outline(canvas, view.plot, INK, 1.2);
    }

    fn words(&self, view: &View) -> Vec<Wish> {
        let thin = self
            .levels
            .iter()
            .filter(|level| !level.bold && !self.stepped);
        let wish = |level: &crate::report::figure::Level| {
            let middle = |[a, b]: [Point; 2]| ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
            let pieces = self.contour(level.at);
            let step = pieces.len().div_ceil(8).max(1);
            let on_sheet = pieces
                .into_iter()
                .map(|p| middle(p.map(|(x, y)| view.at(x, y))));
            Wish {
                words: level.label.clone(),
                face: LABEL,
                place: Place::On(on_sheet.step_by(step).collect()),
            }
        };
        thin.map(wish).collect()
    }
}

impl Cells {
    /// Writes the values into their cells, where all find room.
    fn numbers(&self, canvas: &mut Canvas<'_>, grid: &Grid, lettered: &[(usize, usize)]) {
        let widest = self
            .values()
            .map(|v| text::width(&self.written(v), TICK))
            .fold(0.0, f64::max);
        let all = (0..self.ys.len()).flat_map(|row| (0..self.xs.len()).map(move |c| (c, row)));
        let cells: Vec<_> = all
            .filter_map(|cell| Some((cell, grid.area(cell)?)))
            .collect();
        if cells
            .iter()
            .any(|(_, area)| area.width() < widest + 10.0 || area.height() < 24.0)
        {
            return;
        }
        for (cell, area) in cells
            .into_iter()
            .filter(|(cell, _)| !lettered.contains(cell))
        {
            let Some(value) = self.value(cell.0, cell.1) else {
                continue;
            };
            let ground = self.shade(value);
            let color = if lightness(ground) >= DIVIDE || self.barred(cell) {
                INK
            } else {
                PAPER
            };
            let (x, y) = area.center();
            let words = self.written(value);
            if self.barred(cell) {
                let half = text::width(&words, TICK) / 2.0 + 2.0;
                canvas.fill(Rect::new(x - half, y - 8.0, x + half, y + 8.0), PAPER);
            }
            let face = Type { color, ..TICK };
            canvas.text(&words, (x, y + 0.36 * TICK.size), Align::Middle, face);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_lie_midway_and_mirror_outwards() {
        assert_eq!(edges(&[1.0, 2.0, 4.0], false), [0.5, 1.5, 3.0, 5.0]);
        assert_eq!(edges(&[3.0], true), [2.5, 3.5]);
        assert_eq!(edges(&[100.0], false), [90.0, 110.0]);
        assert!(edges(&[], false).is_empty());
    }
}
