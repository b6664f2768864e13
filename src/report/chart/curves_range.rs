//! Which values the axes of a chart of curves span.

use super::Span;
use super::curves::{CurvesChart, Panel};
use super::record_content::{ends, padded};
use super::row_scale::{Window, usable};

/// Stretches beyond the data may widen the picture to so many widths of the data, no more.
const WIDEST: f64 = 1.6;
/// Far values are set aside when the gap before them is so many times as wide as the rest.
const FAR: f64 = 1.5;
/// One value in so many may be set aside in a panel, and never more than a few.
const RARE: usize = 8;
const FEW: usize = 3;
/// A level may stretch the scale to so many times the data, or to so many times the largest.
const LEVEL_SPANS: f64 = 6.0;
const LEVEL_SIZES: f64 = 3.0;
/// A whisker so many times the usual length is not reached for its own sake.
const LONG: f64 = 3.0;
/// Free room above and below the data.
const ROOM: f64 = 0.07;

/// Ends of the values (which need not be sorted) after setting aside up to `most` that lie so
/// far out that the others would be squeezed; `kept` is shown in any case.
pub(super) fn body(values: &[f64], kept: &[f64], most: usize) -> Option<(f64, f64)> {
    let mut sorted: Vec<f64> = values.iter().copied().filter(|v| usable(*v)).collect();
    sorted.sort_by(f64::total_cmp);
    let last = sorted.len().checked_sub(1)?;
    let kept = ends(kept.iter().copied().filter(|v| usable(*v)));
    let rest = |lowest: usize, highest: usize| {
        let (low, high) = (sorted[lowest], sorted[last - highest]);
        kept.map_or((low, high), |kept| (low.min(kept.0), high.max(kept.1)))
    };
    let width = |(low, high): (f64, f64)| high - low;
    let mut found = rest(0, 0);
    for aside in 1..=most.min(last / 2) {
        for lowest in 0..=aside {
            let highest = aside - lowest;
            let (low, high) = rest(lowest, highest);
            // Only a gap tells far values from the steep end of a curve. A rest without any
            // width would make a spike out of every wobble.
            let gap = FAR * width((low, high));
            let below = lowest == 0 || low - sorted[lowest - 1] > gap;
            let above = highest == 0 || sorted[last + 1 - highest] - high > gap;
            if below && above && gap > 0.0 && width((low, high)) < width(found) {
                found = (low, high);
            }
        }
    }
    Some(found)
}

/// How the horizontal axis reaches: the stretch of the data and of what belongs to them, and
/// the ends of the axis with a little room beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Reach {
    /// The lowest and the highest place that is shown for its own sake.
    pub core: (f64, f64),
    /// Ends of the axis.
    pub axis: (f64, f64),
}

/// The horizontal axis over all points, and over stretches beside them that are not too long.
pub(super) fn across(chart: &CurvesChart) -> Option<Reach> {
    let points = chart.panels.iter().flat_map(|panel| &panel.curves);
    let data = ends(points.flat_map(|curve| curve.points.iter().map(|point| point.x)))?;
    let mut core = data;
    let limit = if data.1 > data.0 {
        WIDEST * (data.1 - data.0)
    } else {
        data.0.abs()
    };
    for Span { low, high, .. } in chart.zones.iter().chain(&chart.window) {
        for end in [*low, *high] {
            let wider = (core.0.min(end), core.1.max(end));
            if wider.1 - wider.0 <= limit {
                core = wider;
            }
        }
    }
    let least = if chart.whole_x {
        1.0
    } else if data.0 == 0.0 {
        0.5
    } else {
        0.2 * data.0.abs()
    };
    let mut axis = padded(core, 0.03, least);
    if chart.whole_x && core.1 - core.0 <= 30.0 {
        axis = (axis.0.min(core.0 - 0.5), axis.1.max(core.1 + 0.5));
    }
    Some(Reach { core, axis })
}

/// The vertical axis of a panel, chosen so that its curves fill it.
pub(super) fn upward(panel: &Panel) -> Option<(f64, f64)> {
    let points = || panel.curves.iter().flat_map(|curve| &curve.points);
    let own = points().filter(|point| !point.aside);
    let values: Vec<f64> = own.map(|point| point.y).collect();
    let kept: &[f64] = if panel.from_zero { &[0.0] } else { &[] };
    let most = (values.iter().filter(|v| usable(**v)).count() / RARE).min(FEW);
    let levels = panel.levels.iter().map(|level| level.at);
    let Some(mut core) = body(&values, kept, most) else {
        return padded_room(ends(levels.chain(kept.iter().copied()))?, panel.from_zero);
    };
    let data = core;
    let largest = data.0.abs().max(data.1.abs());
    let limit = (LEVEL_SPANS * (data.1 - data.0)).max(LEVEL_SIZES * largest);
    for level in levels {
        let wider = (core.0.min(level), core.1.max(level));
        if wider.1 - wider.0 <= limit || largest == 0.0 {
            core = wider;
        }
    }
    let mut halves: Vec<(f64, f64)> = points()
        .filter(|point| point.se > 0.0 && point.y >= core.0 && point.y <= core.1)
        .map(|point| (point.y, 2.0 * point.se))
        .filter(|(value, half)| usable(value - half) && usable(value + half))
        .collect();
    halves.sort_by(|a, b| a.1.total_cmp(&b.1));
    // Whiskers of the usual length belong to the picture; a far longer one may be cut.
    let usual = halves.get(halves.len() / 2).map_or(0.0, |half| half.1);
    let tips = |(value, half): &(f64, f64)| [value - half, value + half];
    let most = halves.partition_point(|half| half.1 <= LONG * usual);
    let shown: Vec<f64> = halves[..most].iter().flat_map(tips).collect();
    let whiskers: Vec<f64> = halves.iter().flat_map(tips).collect();
    if let Some((low, high)) = ends(shown.into_iter()) {
        core = (core.0.min(low), core.1.max(high));
    }
    let window = Window::over(&[core.0, core.1], &whiskers)?;
    padded_room((window.low, window.high), panel.from_zero)
}

/// The ends with room for words and markers, without leaving zero for nothing.
fn padded_room((low, high): (f64, f64), from_zero: bool) -> Option<(f64, f64)> {
    let (mut wide_low, mut wide_high) = padded((low, high), ROOM, 0.5 * low.abs().max(high.abs()));
    if low == high && low == 0.0 {
        (wide_low, wide_high) = (-1.0, 1.0);
    }
    if low >= 0.0 {
        wide_low = if from_zero { 0.0 } else { wide_low.max(0.0) };
    }
    if high <= 0.0 && from_zero && low < 0.0 {
        wide_high = 0.0;
    }
    (wide_high > wide_low).then_some((wide_low, wide_high))
}

#[cfg(test)]
mod tests {
    use super::super::Mark;
    use super::super::curves::{Curve, CurvePoint};
    use super::*;

    fn panel(values: &[f64], levels: &[f64], from_zero: bool) -> Panel {
        let points = values.iter().enumerate().map(|(index, y)| CurvePoint {
            x: index as f64,
            y: *y,
            ..CurvePoint::default()
        });
        Panel {
            curves: vec![Curve {
                points: points.collect(),
                ..Curve::default()
            }],
            levels: levels
                .iter()
                .map(|at| Mark {
                    at: *at,
                    label: String::new(),
                })
                .collect(),
            from_zero,
            ..Panel::default()
        }
    }

    #[test]
    fn far_values_are_set_aside_only_when_they_squeeze_the_rest() {
        let mut values: Vec<f64> = (0..16).map(|n| 1.0 + f64::from(n) / 16.0).collect();
        assert_eq!(body(&values, &[], 2), Some((1.0, 1.9375)));
        values.push(40.0);
        assert_eq!(body(&values, &[], 2), Some((1.0, 1.9375)));
        assert_eq!(body(&values, &[], 0), Some((1.0, 40.0)));
        values.push(-90.0);
        assert_eq!(body(&values, &[], 2), Some((1.0, 1.9375)));
        assert_eq!(body(&values, &[-90.0], 2), Some((-90.0, 40.0)));
        assert_eq!(body(&[1.0, 1.0, 1.0, 5.0], &[], 1), Some((1.0, 5.0)));
        assert_eq!(body(&[f64::NAN], &[], 1), None);
        // A steep end without a gap belongs to its curve.
        let steep: Vec<f64> = (1..40).map(|n| 1.0 / f64::from(n)).collect();
        assert_eq!(body(&steep, &[0.0], 5), Some((0.0, 1.0)));
    }

    #[test]
    fn vertical_axes_have_room_and_keep_zero() {
        let (low, high) = upward(&panel(&[0.3, 0.6], &[], true)).expect("has values");
        assert!(low == 0.0 && high > 0.62 && high < 0.7);
        let (low, high) = upward(&panel(&[0.3, 0.6], &[], false)).expect("has values");
        assert!(low > 0.25 && low < 0.29 && high > 0.61);
        let (low, high) = upward(&panel(&[-0.3, 0.6], &[], true)).expect("has values");
        assert!(low < -0.3 && high > 0.6);
        let (low, high) = upward(&panel(&[-0.3, -0.6], &[], true)).expect("has values");
        assert!(low < -0.6 && high == 0.0);
        let (low, high) = upward(&panel(&[0.5], &[], false)).expect("has a value");
        assert!(low < 0.4 && high > 0.6);
        let (low, high) = upward(&panel(&[0.0], &[], true)).expect("has a value");
        assert!(low == 0.0 && high > 1.0);
        assert_eq!(upward(&panel(&[f64::NAN], &[], false)), None);
    }

    #[test]
    fn levels_are_reached_unless_they_squeeze_the_curves() {
        let (_, high) = upward(&panel(&[0.3, 0.6], &[1.0], true)).expect("has values");
        assert!(high > 1.0);
        let (_, high) = upward(&panel(&[0.3, 0.6], &[100.0], true)).expect("has values");
        assert!(high < 1.0);
        let mut whiskered = panel(&[0.43], &[0.4], false);
        whiskered.curves[0].points[0].se = 0.05;
        let (low, high) = upward(&whiskered).expect("has a value");
        assert!(low < 0.33 && high > 0.53);
        let (low, high) = upward(&panel(&[f64::NAN], &[2.0, 3.0], false)).expect("has levels");
        assert!(low < 2.0 && high > 3.0);
    }

    #[test]
    fn the_horizontal_axis_takes_in_stretches_nearby() {
        let span = |low: f64, high: f64| Span {
            low,
            high,
            label: String::new(),
        };
        let mut chart = CurvesChart {
            panels: vec![panel(&[1.0, 2.0, 3.0], &[], true)],
            ..CurvesChart::default()
        };
        assert_eq!(across(&chart).expect("has data").core, (0.0, 2.0));
        chart.zones = vec![span(-1.0, 0.0), span(1.5, f64::INFINITY), span(90.0, 99.0)];
        assert_eq!(across(&chart).expect("has data").core, (-1.0, 2.0));
        chart.whole_x = true;
        assert_eq!(across(&chart).expect("has data").axis, (-1.5, 2.5));
        chart.panels.clear();
        assert_eq!(across(&chart), None);
    }
}
