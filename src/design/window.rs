//! The stretch of one number over which a target is reached, with its ends found between the points of a sweep.

use super::bounds::Bound;
use super::goal::Goal;
use super::outcome::Outcome;
use super::sweep::SweepPoint;
use crate::engine::EngineError;
use crate::quantity::decimal;
use crate::stats::Estimate;

/// Parts of a step in which an end is looked for.
const PARTS: u32 = 10;

/// The slope at an end is taken over a stretch on which what is compared with the target moves by so many of its standard
/// errors.
const WIDE: f64 = 4.0;

/// A stretch without a gap.
#[derive(Debug, Clone)]
pub struct Window {
    /// Its ends: values at which the target was seen to be reached.
    pub ends: [f64; 2],
    /// What is beyond each end.
    pub beyond: [Beyond; 2],
    /// How far beyond each end the target was seen to be missed; 0 where nothing was looked at.
    pub fineness: [f64; 2],
    /// Standard error of each end: that of what is compared with the target, or of the share of runs that run short, over its slope
    /// there; NaN where the range or the plan ends it, which the trials have no say in.
    pub se: [f64; 2],
    /// What was simulated at its ends, where these lie between the points of the sweep.
    pub points: Vec<SweepPoint>,
}

/// What ends a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// The range that was looked at.
    NotLookedAt,
    /// The target is missed.
    Missed,
    /// A bound.
    Bound(Bound),
}

type Simulate<'a> = &'a dyn Fn(f64) -> Result<SweepPoint, EngineError>;

/// The window about a point `best` that reaches the goal; `simulate` makes a point of any value in between.
pub(super) fn window(
    points: &[SweepPoint],
    best: usize,
    goal: Goal,
    simulate: Simulate,
) -> Result<Window, EngineError> {
    let good = |i: &usize| points[*i].reaches(goal);
    let low = (0..=best).rev().take_while(good).last().unwrap_or(best);
    let high = (best..points.len()).take_while(good).last().unwrap_or(best);
    let beyond_high = Some(high + 1).filter(|i| *i < points.len());
    let sides = [(low, low.checked_sub(1)), (high, beyond_high)];
    let mut window = Window {
        ends: [points[low].at[0], points[high].at[0]],
        beyond: [Beyond::NotLookedAt; 2],
        fineness: [0.0; 2],
        se: [f64::NAN; 2],
        points: Vec::new(),
    };
    for (side, (inside, outside)) in sides.into_iter().enumerate() {
        let Some(outside) = outside else { continue };
        let (last, first) = narrowed(&points[inside], &points[outside], goal, simulate)?;
        let gap = (first.at[0] - last.at[0]).abs();
        window.ends[side] = last.at[0];
        window.fineness[side] = gap;
        let of = |measure: &dyn Fn(&Outcome) -> Estimate| {
            error(points, [inside, outside], measure, &last)
        };
        window.beyond[side] = match first.zones.iter().map(|z| z.bound).min() {
            Some(bound) => {
                if bound == Bound::Excess {
                    window.se[side] = of(&|o| o.ran_out);
                }
                Beyond::Bound(bound)
            }
            None => {
                window.se[side] = of(&|o| goal.measure(o));
                Beyond::Missed
            }
        };
        window.points.push(last);
    }
    Ok(window)
}

/// Halves the tenths of a step between a point inside and one outside: the last inside, and the first outside.
fn narrowed(
    inside: &SweepPoint,
    outside: &SweepPoint,
    goal: Goal,
    simulate: Simulate,
) -> Result<(SweepPoint, SweepPoint), EngineError> {
    let (from, to) = (inside.at[0], outside.at[0]);
    let (mut last, mut first) = (inside.clone(), outside.clone());
    let (mut good, mut bad) = (0, PARTS);
    while bad - good > 1 {
        let middle = (good + bad) / 2;
        let part = f64::from(middle) / f64::from(PARTS);
        let point = simulate(decimal(from + (to - from) * part))?;
        if point.reaches(goal) {
            (good, last) = (middle, point);
        } else {
            (bad, first) = (middle, point);
        }
    }
    Ok((last, first))
}

/// Standard error of an end: that of what is compared with the target there, over its slope about that step. Over a tenth of a
/// step a curve of few trials is jagged, and would often look much steeper than it is; over a small step too: so the slope
/// is taken over as many steps to both sides as it takes to move by more than the trials leave open.
fn error(
    points: &[SweepPoint],
    [mut inside, mut outside]: [usize; 2],
    measure: &dyn Fn(&Outcome) -> Estimate,
    last: &SweepPoint,
) -> f64 {
    let of = |p: &SweepPoint| p.outcome.as_ref().map(measure);
    let Some(there) = of(last) else {
        return f64::NAN;
    };
    let at = |i: usize| of(&points[i]).map_or(f64::NAN, |e| e.value);
    let usable = |i: &usize| points.get(*i).and_then(of).is_some();
    let up = outside > inside;
    let next = |i: usize, up: bool| if up { Some(i + 1) } else { i.checked_sub(1) };
    loop {
        let change = (at(outside) - at(inside)).abs();
        let wider = [next(inside, !up), next(outside, up)].map(|i| i.filter(usable));
        if change.is_nan() || change > WIDE * there.se || wider == [None; 2] {
            let step = (points[outside].at[0] - points[inside].at[0]).abs();
            let se = there.se * step / change;
            return if change > 0.0 { se } else { f64::NAN };
        }
        inside = wider[0].unwrap_or(inside);
        outside = wider[1].unwrap_or(outside);
    }
}
