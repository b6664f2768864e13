//! What of a reduced record can be drawn, and which stretch of it deserves the large plot.

use super::geometry::Point;
use super::record::FittedLine;
use super::record_content::{TALLEST, ends, finite, padded};
use super::reductions::{EqualAreas, ReductionChart, ReductionWay};

/// More ways than this would leave no room for the whole record beside the table.
pub(super) const MOST_WAYS: usize = 8;
/// Moments nearer than this, in pixels, make it worth leaving a late one to the small plot.
const APART: f64 = 24.0;
/// A record this near to the later line, as a share of the rise, counts as settled.
const SETTLED: f64 = 0.04;

/// The usable parts of the chart.
pub(super) struct Content<'a> {
    /// Usable readings in the order of time.
    pub readings: Vec<Point>,
    /// The line before, if usable.
    pub fore: Option<&'a FittedLine>,
    /// The line after, if usable.
    pub after: Option<&'a FittedLine>,
    /// The ways that are listed.
    pub ways: &'a [ReductionWay],
    /// The areas, if usable and in order.
    pub areas: Option<EqualAreas>,
    /// Roughly the size of the rise, in K.
    pub size: f64,
}

fn usable(value: f64) -> bool {
    value.abs() <= 1e100
}

fn line(line: &FittedLine) -> Option<&FittedLine> {
    let numbers = [
        line.from,
        line.to,
        line.intercept_at,
        line.value,
        line.slope,
    ];
    // The product guards against a slope that leads out of the range of numbers.
    (numbers.into_iter().all(usable) && usable(line.at(line.from)) && usable(line.at(line.to)))
        .then_some(line)
}

impl<'a> Content<'a> {
    /// The usable parts, or nothing if no reading is.
    pub fn of(chart: &'a ReductionChart) -> Option<Self> {
        let mut readings = finite(&chart.readings);
        readings.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (low, high) = ends(readings.iter().map(|reading| reading.1))?;
        let areas = chart.areas.filter(|areas| {
            let EqualAreas { from, at, to } = *areas;
            usable(from) && usable(to) && from <= at && at <= to
        });
        let ways = &chart.ways[..chart.ways.len().min(MOST_WAYS)];
        let sizes = ways.iter().map(|way| way.rise.abs());
        let known = ends(sizes.filter(|size| usable(*size) && *size > 0.0));
        Some(Self {
            readings,
            fore: line(&chart.fore),
            after: line(&chart.after),
            ways,
            areas,
            size: known.map_or(high - low, |(_, largest)| largest),
        })
    }

    /// The moment of a way and the two ends of its difference, if it can be drawn.
    pub fn arrow(&self, way: usize) -> Option<(f64, [f64; 2])> {
        let way = self.ways.get(way)?;
        let at = way.at?;
        (usable(at) && usable(way.low) && usable(way.high)).then_some((at, [way.low, way.high]))
    }

    /// The record at a time, between the readings on a straight line.
    pub fn record(&self, time: f64) -> Option<f64> {
        let next = self.readings.partition_point(|reading| reading.0 < time);
        let after = *self.readings.get(next)?;
        if next == 0 {
            return (after.0 <= time).then_some(after.1);
        }
        let before = self.readings[next - 1];
        let share = (time - before.0) / (after.0 - before.0);
        Some(before.1 + share * (after.1 - before.1))
    }

    /// Whether a difference that ends at this temperature ends on the line. Strict, since a
    /// level fore-period passes near every early reading.
    pub fn on_line(&self, line: &FittedLine, time: f64, value: f64) -> bool {
        (line.at(time) - value).abs() <= 0.001 * self.size
    }

    /// Whether two temperatures are the same as far as the eye can tell.
    pub fn same(&self, one: f64, other: f64) -> bool {
        (one - other).abs() <= 0.01 * self.size
    }

    /// The stretch of a line from its window to all moments that use it.
    pub fn reach(&self, line: &FittedLine) -> Point {
        let on_line = (0..self.ways.len())
            .filter_map(|way| self.arrow(way))
            .filter(|(at, values)| values.iter().any(|value| self.on_line(line, *at, *value)));
        let moments = on_line
            .map(|(at, _)| at)
            .chain(self.areas.map(|areas| areas.at));
        // Without any moment the line is carried to mixing, where everything begins.
        let (from, to) = ends(moments).unwrap_or((0.0, 0.0));
        (
            from.min(line.from).min(line.to),
            to.max(line.from).max(line.to),
        )
    }

    /// Both lines, as far as they are usable.
    pub fn lines(&self) -> impl Iterator<Item = &'a FittedLine> {
        self.fore.into_iter().chain(self.after)
    }

    /// Ends of the time axis for the whole record.
    pub fn whole(&self) -> Point {
        let arrows = (0..self.ways.len()).filter_map(|way| self.arrow(way));
        let times = self.readings.iter().map(|reading| reading.0);
        let windows = self.lines().flat_map(|line| [line.from, line.to]);
        let all = times.chain(windows).chain(arrows.map(|arrow| arrow.0));
        padded(ends(all).unwrap_or((0.0, 1.0)), 0.03, 1.0)
    }

    /// When the record has come near the later line.
    fn settled(&self) -> Option<f64> {
        let after = self.after?;
        // With a noisy or coarse record the first touch is the one that can be trusted: later
        // readings leave the line again by chance.
        let touch = self.readings.iter().find(|(time, value)| {
            *time > 0.0 && (value - after.at(*time)).abs() <= SETTLED * self.size
        });
        let least = self.areas.map_or(0.0, |areas| 1.5 * areas.at);
        let found = touch.map_or(after.from, |reading| reading.0).max(least);
        (found > 0.0).then_some(found)
    }

    /// The stretch of time for the large plot, `wide` pixels wide.
    pub fn stretch(&self, whole: Point, wide: f64) -> Point {
        let Some(settled) = self.settled() else {
            return whole;
        };
        let mut moments: Vec<f64> = (0..self.ways.len())
            .filter_map(|way| self.arrow(way))
            .map(|arrow| arrow.0)
            .collect();
        moments.sort_by(f64::total_cmp);
        moments.dedup();
        let end = |moments: &[f64]| {
            let last = moments.last().copied().unwrap_or(0.0);
            (1.35 * settled).max(1.1 * last)
        };
        let tightest = |moments: &[f64]| {
            let steps = moments.windows(2).map(|pair| pair[1] - pair[0]);
            steps.fold(f64::INFINITY, f64::min)
        };
        while moments.len() > 1 {
            let fewer = &moments[..moments.len() - 1];
            let crowded = tightest(&moments) / (1.25 * end(&moments)) * wide < APART;
            // Giving up a late moment must pay in room for the early ones.
            if !crowded || end(fewer) > 0.7 * end(&moments) {
                break;
            }
            moments.pop();
        }
        let end = end(&moments);
        let first = moments.first().copied().unwrap_or(0.0).min(0.0);
        let stretch = ((first - 0.25 * end).max(whole.0), end.min(whole.1));
        if stretch.1 - stretch.0 > 1e-6 * (whole.1 - whole.0) {
            stretch
        } else {
            whole
        }
    }

    /// The ways whose arrows stand in the large plot, and those left to the small one.
    pub fn split(&self, (low, high): Point) -> (Vec<usize>, Vec<usize>) {
        (0..self.ways.len())
            .filter(|way| self.arrow(*way).is_some())
            .partition(|way| {
                self.arrow(*way)
                    .is_some_and(|(at, _)| at >= low && at <= high)
            })
    }

    /// Ends of the temperature axis for a stretch with these arrows.
    pub fn temperatures(&self, (low, high): Point, shown: &[usize]) -> Point {
        let inside = self.readings.iter().filter(|r| r.0 >= low && r.0 <= high);
        let bare = ends(inside.map(|reading| reading.1))
            .or_else(|| ends(self.readings.iter().map(|reading| reading.1)))
            .unwrap_or((0.0, 1.0));
        let arrows = shown.iter().filter_map(|way| self.arrow(*way));
        let fitted = self.lines().flat_map(|line| {
            let (from, to) = self.reach(line);
            [
                line.at(from.max(low).min(high)),
                line.at(to.max(low).min(high)),
            ]
        });
        let limit = TALLEST * (bare.1 - bare.0).max(1e-3);
        let (mut least, mut most) = bare;
        for value in arrows.flat_map(|arrow| arrow.1).chain(fitted) {
            if most.max(value) - least.min(value) <= limit {
                least = least.min(value);
                most = most.max(value);
            }
        }
        let (least, most) = padded((least, most), 0.11, 0.05);
        // The numbers of the arrows stand above them.
        let more = if shown.is_empty() { 0.0 } else { 0.05 };
        (least, most + more * (most - least))
    }

    /// Whether there are areas to shade.
    pub fn shaded(&self) -> bool {
        self.areas.is_some() && self.fore.is_some() && self.after.is_some()
    }

    /// Outlines of both areas in time and temperature, as far as they lie in the stretch.
    pub fn outlines(&self, (low, high): Point) -> Vec<Vec<Point>> {
        let (Some(areas), Some(fore), Some(after)) = (self.areas, self.fore, self.after) else {
            return Vec::new();
        };
        let inside = |time: f64| time.max(low).min(high);
        [(areas.from, areas.at, fore), (areas.at, areas.to, after)]
            .into_iter()
            .map(|(from, to, line)| {
                let (from, to) = (inside(from), inside(to));
                let mut outline = vec![(from, line.at(from))];
                // Between mixing and the first reading the record is taken to set out from the line
                // before, as the reduction takes it.
                let begins = (areas.from, fore.at(areas.from));
                let first = self.readings.iter().find(|r| r.0 > areas.from);
                let record = |time: f64| match first {
                    Some(r) if time < r.0 => {
                        Some(begins.1 + (r.1 - begins.1) * (time - begins.0) / (r.0 - begins.0))
                    }
                    _ => self.record(time),
                };
                outline.extend(record(from).map(|value| (from, value)));
                let between = self.readings.iter().filter(|r| r.0 > from && r.0 < to);
                outline.extend(between.copied());
                outline.extend(record(to).map(|value| (to, value)));
                outline.push((to, line.at(to)));
                outline
            })
            .collect()
    }
}
