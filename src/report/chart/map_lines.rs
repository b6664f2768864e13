//! Finding places for words on contour lines.

use super::geometry::{Point, Rect, distance};

/// A line must be so many times as long as the words that interrupt it.
const LONGER: f64 = 1.6;
/// Places along a line that are tried to either side of its middle.
const TRIES: u32 = 24;

/// Whether two areas have no point in common.
pub(super) fn apart(one: Rect, other: Rect) -> bool {
    one.right <= other.left
        || other.right <= one.left
        || one.bottom <= other.top
        || other.bottom <= one.top
}

/// Whether a line runs through an area.
pub(super) fn crosses(area: Rect, line: &[Point]) -> bool {
    line.windows(2)
        .any(|pair| area.cut(pair[0], pair[1]).is_some())
}

/// Length of a line through many points.
pub(super) fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|pair| distance(pair[0], pair[1])).sum()
}

/// The point at this distance from the start of a line.
fn along(line: &[Point], mut far: f64) -> Option<Point> {
    for pair in line.windows(2) {
        let step = distance(pair[0], pair[1]);
        if far <= step && step > 0.0 {
            let share = far / step;
            let between = |from: f64, to: f64| from + share * (to - from);
            let (from, to) = (pair[0], pair[1]);
            return Some((between(from.0, to.0), between(from.1, to.1)));
        }
        far -= step;
    }
    line.last().copied()
}

/// The area for words of this size centred on a line, as near to its middle as is acceptable.
pub(super) fn seat_on(
    line: &[Point],
    (wide, tall): Point,
    plot: Rect,
    accept: &dyn Fn(Rect) -> bool,
) -> Option<Rect> {
    let whole = length(line);
    if whole < LONGER * wide {
        return None;
    }
    let inner = plot.grown(-3.0);
    (0..2 * TRIES)
        .filter_map(|step| {
            // In turn before and behind the middle, ever further away from it.
            let off = f64::from(step.div_ceil(2)) / f64::from(TRIES);
            let share = 0.5 + 0.5 * if step % 2 == 0 { off } else { -off };
            let (x, y) = along(line, share * whole)?;
            Some(Rect::new(
                x - wide / 2.0,
                y - tall / 2.0,
                x + wide / 2.0,
                y + tall / 2.0,
            ))
        })
        .find(|area| {
            let inside =
                inner.holds((area.left, area.top)) && inner.holds((area.right, area.bottom));
            inside && accept(*area)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_sit_on_the_line_and_move_aside_when_they_must() {
        let line = [(10.0, 100.0), (110.0, 100.0), (110.0, 200.0)];
        let plot = Rect::new(0.0, 0.0, 300.0, 300.0);
        assert!((length(&line) - 200.0).abs() < 1e-12);
        let seat = seat_on(&line, (40.0, 16.0), plot, &|_| true).expect("has room");
        assert!(seat.holds((110.0, 100.0)));
        let below = seat_on(&line, (40.0, 16.0), plot, &|area| area.top > 120.0);
        let below = below.expect("has room");
        assert!(crosses(below, &line) && below.top > 120.0 && below.top < 130.0);
        assert_eq!(seat_on(&line, (40.0, 16.0), plot, &|_| false), None);
        assert_eq!(seat_on(&line, (190.0, 16.0), plot, &|_| true), None);
        assert!(!crosses(Rect::new(0.0, 0.0, 50.0, 50.0), &line));
    }

    #[test]
    fn areas_that_only_touch_are_apart() {
        let one = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(apart(one, Rect::new(10.0, 0.0, 20.0, 10.0)));
        assert!(!apart(one, Rect::new(9.0, 9.0, 20.0, 20.0)));
    }
}
