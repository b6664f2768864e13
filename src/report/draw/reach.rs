//! How far the axes reach: what matters fills them, and what lies far off does not squeeze it.

use super::geometry::Point;
use crate::report::figure::{Axis, Scale as Kind};

/// Larger numbers cannot be drawn.
const LARGEST: f64 = 1e100;
/// Far values are set aside when the gap before them is so many times as wide as the rest.
const FAR: f64 = 4.0;
/// One value in so many may be set aside, and never more than a few.
const RARE: usize = 8;
const FEW: usize = 3;
/// Ends of errors may widen a scale so many times.
const TIPS: f64 = 3.0;
/// Lines and stretches may widen a scale so many times.
const WISHES: f64 = 2.2;
/// Free room beside the data: along, and above.
const ROOM: [f64; 2] = [0.03, 0.07];

/// What the marks of a panel want to be seen.
#[derive(Debug, Clone, Default)]
pub(super) struct Reach {
    /// Places of the data; NaN where they have none on an axis.
    pub points: Vec<Point>,
    /// Ends of their errors, likewise.
    pub tips: Vec<Point>,
    /// Stretches of both axes that are seen if the scale is not stretched too far for it.
    pub wishes: [Vec<[f64; 2]>; 2],
    /// Words beside a place on the horizontal axis: the place, and the room that they take at its left and right.
    pub rooms: Vec<(f64, [f64; 2])>,
    /// Whether the data fill the panel to its edges.
    pub tight: bool,
}

/// Whether a number can be drawn.
pub(super) fn usable(value: f64) -> bool {
    value.abs() <= LARGEST
}

impl Reach {
    /// Joins what two panels with a common axis want.
    pub fn join(&mut self, other: &Self) {
        self.points.extend(&other.points);
        self.tips.extend(&other.tips);
        self.wishes[0].extend(&other.wishes[0]);
        self.rooms.extend(&other.rooms);
        self.tight |= other.tight;
    }

    /// Ends of the horizontal axis that is so many pixels long.
    pub fn across(&self, axis: &Axis, length: f64) -> (f64, f64) {
        if let Some([low, high]) = axis.ends {
            return (low, high);
        }
        let reached = self
            .points
            .iter()
            .map(|p| p.0)
            .chain(axis.reach.iter().copied());
        let values = usables(reached);
        let tips = usables(self.tips.iter().map(|p| p.0));
        let core = ends(&values, axis.from_zero);
        let (low, high) = self.widened(core, &tips, 0, axis);
        let pad = match axis.scale {
            _ if self.tight => [0.0; 2],
            Kind::Whole if high - low <= 30.0 => [0.5; 2],
            _ => [ROOM[0] * (high - low); 2],
        };
        let mut found = (low - pad[0], high + pad[1]);
        if axis.from_zero {
            found = kept_at_zero((low, high), found);
        }
        // Each round leaves less to be added.
        for _ in 0..6 {
            let unit = (found.1 - found.0) / length;
            let over = |side: f64, room: usize, edge: f64| {
                let beyond = |(at, rooms): &(f64, [f64; 2])| {
                    let at = at.clamp(found.0, found.1);
                    side * (at - edge) + rooms[room] * unit
                };
                let rooms = self.rooms.iter().filter(|r| usable(r.0));
                rooms
                    .map(beyond)
                    .fold(0.0, f64::max)
                    .min(0.5 * (found.1 - found.0))
            };
            found = (
                found.0 - over(-1.0, 0, found.0),
                found.1 + over(1.0, 1, found.1),
            );
        }
        found
    }

    /// Ends of the vertical axis, over what lies between the ends of the horizontal one.
    pub fn upward(&self, axis: &Axis, x: (f64, f64)) -> (f64, f64) {
        if let Some([low, high]) = axis.ends {
            return (low, high);
        }
        if let Kind::Rows(rows) = &axis.scale {
            return (-0.5, rows.len() as f64 - 0.5);
        }
        let seen = |p: &&Point| p.0.is_nan() || (x.0..=x.1).contains(&p.0);
        let reached = self.points.iter().filter(seen).map(|p| p.1);
        let values = usables(reached.chain(axis.reach.iter().copied()));
        let core = body(&values, axis.from_zero).unwrap_or_else(|| ends(&values, axis.from_zero));
        let near = |p: &&Point| seen(p) && usable(p.1);
        let tips = usables(self.tips.iter().filter(near).map(|p| p.1));
        let (low, high) = self.widened(core, &tips, 1, axis);
        let found = match axis.scale {
            _ if self.tight => (low, high),
            Kind::Whole => (low - 0.5, high + 0.5),
            _ => {
                let pad = ROOM[1] * (high - low);
                (low - pad, high + pad)
            }
        };
        if axis.from_zero {
            kept_at_zero((low, high), found)
        } else {
            found
        }
    }

    /// Widens the ends for errors and wishes as far as that leaves the data room.
    fn widened(&self, core: (f64, f64), tips: &[f64], which: usize, axis: &Axis) -> (f64, f64) {
        let width = core.1 - core.0;
        let mut found = core;
        let mut take = |[from, to]: [f64; 2], limit: f64| {
            let wider = (found.0.min(from).min(to), found.1.max(from).max(to));
            // A stretch is taken in whole or not at all: half of it would look like all of it.
            if wider.1 - wider.0 <= limit && usable(from) && usable(to) {
                found = wider;
            }
            found
        };
        let mut sorted = tips.to_vec();
        let outside = |v: &f64| (core.0 - v).max(v - core.1);
        sorted.sort_by(|a, b| outside(a).total_cmp(&outside(b)));
        // Errors of the usual length are shown whole even where the data lie closer together than that.
        let usual = sorted.get(sorted.len() / 2).map_or(0.0, outside).max(0.0);
        for tip in sorted {
            take([tip; 2], TIPS * (width + usual));
        }
        let largest = core.0.abs().max(core.1.abs());
        let limit = WISHES
            * if axis.from_zero {
                width.max(largest)
            } else {
                width
            };
        for wish in &self.wishes[which] {
            take(*wish, limit);
        }
        take([core.0, core.1], f64::INFINITY)
    }
}

fn usables(values: impl Iterator<Item = f64>) -> Vec<f64> {
    values.filter(|v| usable(*v)).collect()
}

/// Zero stays the end of a scale that nothing leads beyond.
fn kept_at_zero((low, high): (f64, f64), padded: (f64, f64)) -> (f64, f64) {
    (
        if low == 0.0 { 0.0 } else { padded.0 },
        if high == 0.0 && low < 0.0 {
            0.0
        } else {
            padded.1
        },
    )
}

/// Smallest and largest value, a little apart where they coincide.
fn ends(values: &[f64], from_zero: bool) -> (f64, f64) {
    let zero = from_zero.then_some(0.0);
    let all = values.iter().copied().chain(zero);
    let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |e, v| {
        (e.0.min(v), e.1.max(v))
    });
    let pad = match low.abs().max(high.abs()) {
        _ if low > high => return (0.0, 1.0),
        0.0 => 1.0,
        size => 0.1 * size,
    };
    if high - low > 1e-9 * low.abs().max(high.abs()) {
        (low, high)
    } else if from_zero {
        (low, high + pad)
    } else {
        (low - pad, high + pad)
    }
}

/// Ends of the values after setting aside a few that lie so far out that the others would be squeezed.
fn body(values: &[f64], from_zero: bool) -> Option<(f64, f64)> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    let mut found = ends(&sorted, from_zero);
    let width = |(low, high): (f64, f64)| high - low;
    for aside in 1..=(sorted.len() / RARE).min(FEW) {
        for lowest in 0..=aside {
            let highest = aside - lowest;
            let rest = &sorted[lowest..=last - highest];
            let (low, high) = ends(rest, from_zero);
            // Only a gap tells far values from the steep end of a curve.
            let gap = FAR * width((low, high));
            let below = lowest == 0 || low - sorted[lowest - 1] > gap;
            let above = highest == 0 || sorted[last + 1 - highest] - high > gap;
            if below && above && width((low, high)) < width(found) {
                found = (low, high);
            }
        }
    }
    Some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn up(values: &[f64], wish: f64, from_zero: bool) -> (f64, f64) {
        let points = values.iter().enumerate().map(|(i, v)| (i as f64, *v));
        let reach = Reach {
            points: points.collect(),
            wishes: [Vec::new(), vec![[wish; 2]]],
            ..Reach::default()
        };
        let axis = Axis {
            from_zero,
            ..Axis::default()
        };
        reach.upward(&axis, (f64::NEG_INFINITY, f64::INFINITY))
    }

    #[test]
    fn what_matters_fills_the_axis() {
        let calm: Vec<f64> = (0..24).map(|i| 1.0 + 0.01 * f64::from(i % 5)).collect();
        let (low, high) = up(&calm, 1.0, false);
        assert!(low > 0.9 && high < 1.1);
        // One spike is left to an arrow; a steep curve is not.
        let spike: Vec<f64> = calm.iter().copied().chain([50.0]).collect();
        assert!(up(&spike, 1.0, false).1 < 1.2);
        let steep: Vec<f64> = (1..10).map(|n| 9.0 / f64::from(n)).collect();
        assert!(up(&steep, 1.0, true).1 > 9.0 && up(&steep, 1.0, true).0 == 0.0);
        // A line nearby is shown, one far off is not.
        assert!(up(&calm, 1.9, true).1 > 1.9 && up(&calm, 9.0, true).1 < 2.0);
    }

    #[test]
    fn odd_values_give_an_axis_all_the_same() {
        for values in [
            &[][..],
            &[f64::NAN],
            &[0.0],
            &[3.0, 3.0],
            &[-2.0],
            &[1e200],
            &[1e99, -1e99],
        ] {
            for from_zero in [true, false] {
                let (low, high) = up(values, f64::NAN, from_zero);
                assert!(low < high && (high - low).is_finite(), "{values:?}");
            }
        }
    }
}
