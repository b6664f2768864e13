//! The factor by which an error may grow until a target is just met, on common random numbers.
//!
//! The same draws serve every factor, so the number compared with the target is a smooth function of the factor and
//! its root is found like that of any function. In a linear chain the square of a spread is linear in the square of
//! the factor: the search is made there, by false position (the Illinois variant; M. Dowell and P. Jarratt, BIT 11
//! (1971) 168, from memory).

use crate::stats::Estimate;

/// How near the root is found, relative to the factor.
const NEAR: f64 = 1e-3;

/// Most evaluations of one search.
const MOST: u32 = 40;

/// Steps to the same side after which the middle is taken.
const STUCK: u32 = 3;

/// Upwards the factor grows by as much until the target is missed: by the second where what was seen has hardly moved
/// towards it, by less than [`HARDLY`] of the way, so that what grows with its square still stays short of it.
const GROWTH: [f64; 2] = [2.0, 4.0];

/// Part of the way to the target.
const HARDLY: f64 = 0.02;

/// Factors that are looked at where neither the present error nor none at all meets the target.
const SMALLER: [f64; 2] = [0.5, 0.25];

/// The slope at the root is taken over this ratio of factors to either side: over less a curve of few trials is jagged, and
/// may look much steeper or flatter than it is.
pub(super) const WIDE: f64 = 1.25;

/// How loose something may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    /// The factor at which the target is just met, with its standard error.
    Factor(Estimate),
    /// The target is still met at this factor, the largest that makes sense.
    Any(f64),
    /// The target is missed even with no error of this kind at all, and with a half or a quarter of it; the number reached
    /// without any.
    Never(Estimate),
}

/// The factor up to `limit` at which `excess` (above zero where the target is missed) first rises above zero; if it is above
/// zero now, a smaller one at which it is not. `measure` gives the number that is compared with the target at a factor, with its standard error.
///
/// The factor returned meets the target on these random numbers; its error is that of the number at the root over
/// the slope there (`slope_about`).
///
/// # Errors
/// What `measure` gives.
pub fn largest<E>(
    measure: &mut dyn FnMut(f64) -> Result<Estimate, E>,
    excess: &dyn Fn(f64) -> f64,
    squared: bool,
    limit: f64,
) -> Result<Answer, E> {
    let now = measure(1.0)?;
    // NaN meets nothing.
    let met = |e: Estimate| excess(e.value) <= 0.0;
    let (mut low, mut high): ((f64, Estimate), (f64, Estimate));
    if met(now) {
        low = (1.0, now);
        // Not the far end at once: a number that is fine there may be anything but fine between.
        let way = excess(now.value).abs();
        loop {
            let hardly = low.0 > 1.0 && excess(low.1.value) + way < HARDLY * way;
            let next = (low.0 * GROWTH[usize::from(hardly)]).min(limit);
            let there = measure(next)?;
            if !met(there) {
                high = (next, there);
                break;
            }
            low = (next, there);
            if next >= limit {
                return Ok(Answer::Any(limit));
            }
        }
    } else {
        let perfect = measure(0.0)?;
        high = (1.0, now);
        if met(perfect) {
            low = (0.0, perfect);
        } else {
            // A little of an error may do what none does: noise makes digits readable.
            let Some(found) = smaller(measure, &met, &mut high)? else {
                return Ok(Answer::Never(perfect));
            };
            low = found;
        }
    }
    let bend = |x: f64| if squared { x * x } else { x };
    // The same transformation on both axes keeps the sign and straightens the curve.
    let height = |e: Estimate| {
        let target = e.value - excess(e.value);
        if squared && target.is_finite() {
            bend(e.value) - bend(target)
        } else {
            excess(e.value)
        }
    };
    let (mut below, mut above) = (height(low.1), height(high.1));
    let (mut last, mut stuck) = (0i32, 0);
    for _ in 0..MOST {
        if high.0 - low.0 <= NEAR * high.0 {
            break;
        }
        let (a, b) = (bend(low.0), bend(high.0));
        let x = a - below * (b - a) / (above - below);
        // A height that is no number (a spread of runs that went wrong) leaves the middle; so does a step that
        // hardly moves, where the curve is nothing like a straight line.
        let mut factor = if squared { x.sqrt() } else { x };
        if !(x > a && x < b) || stuck >= STUCK {
            factor = if low.0 > 0.0 {
                (low.0 * high.0).sqrt()
            } else {
                0.5 * (low.0 + high.0)
            };
            stuck = 0;
        }
        // Stay off the ends: close to a root false position creeps along one of them.
        let margin = 0.4 * NEAR * high.0;
        factor = factor.clamp(low.0 + margin, high.0 - margin);
        let there = measure(factor)?;
        if met(there) {
            low = (factor, there);
            below = height(there);
            if last < 0 {
                above *= 0.5;
                stuck += 1;
            } else {
                stuck = 0;
            }
            last = -1;
        } else {
            high = (factor, there);
            above = height(there);
            if last > 0 {
                below *= 0.5;
                stuck += 1;
            } else {
                stuck = 0;
            }
            last = 1;
        }
    }
    // The bracket is the rest of the error, and all of it where something else than the target ends the search.
    let bracket = high.0 - low.0;
    if !high.1.value.is_finite() {
        return Ok(Answer::Factor(Estimate::new(low.0, bracket)));
    }
    let ends = [low.0 / WIDE, low.0 * WIDE];
    let heights = [height(measure(ends[0])?), height(measure(ends[1])?)];
    let slope = slope_about((bend(low.0), height(low.1)), ends.map(bend), heights);
    // From the transformed axes back: d(x^2) = 2 x dx.
    let back = if squared { low.1.value / low.0 } else { 1.0 };
    // Where the curve is level the factor is not known at all.
    let of_trials = (low.1.se * back / slope).min(low.0);
    let se = if of_trials.is_finite() {
        of_trials.hypot(bracket)
    } else {
        bracket
    };
    Ok(Answer::Factor(Estimate::new(low.0, se)))
}

/// Size of the slope of a curve at a point, from a point to either side of it: that of the flatter side, for at a kink that is
/// the side to which an answer may be far off; but no less than half of the slope over both, which a jagged curve knows better.
/// What is no number (a bound) has no say; NaN if neither side has.
pub(super) fn slope_about((x, y): (f64, f64), ends: [f64; 2], heights: [f64; 2]) -> f64 {
    let side = |i: usize| ((heights[i] - y) / (ends[i] - x)).abs();
    let both = ((heights[1] - heights[0]) / (ends[1] - ends[0])).abs();
    // The smaller of the two that are numbers.
    let flatter = side(0).min(side(1));
    flatter.max(0.5 * both)
}

type Point = (f64, Estimate);

/// The first of some smaller factors that meets the target; `high` is the last that does not.
fn smaller<E>(
    measure: &mut dyn FnMut(f64) -> Result<Estimate, E>,
    met: &dyn Fn(Estimate) -> bool,
    high: &mut Point,
) -> Result<Option<Point>, E> {
    for factor in SMALLER {
        let there = (factor, measure(factor)?);
        if met(there.1) {
            return Ok(Some(there));
        }
        *high = there;
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::convert::Infallible;

    fn root(target: f64, limit: f64, f: impl Fn(f64) -> f64) -> (Answer, u32) {
        let mut n = 0;
        let mut measure = |x: f64| {
            n += 1;
            Ok::<_, Infallible>(Estimate::new(f(x), 0.01))
        };
        let answer = largest(&mut measure, &|m| m - target, true, limit);
        (answer.unwrap_or_else(|e| match e {}), n)
    }

    #[test]
    fn a_root_sum_of_squares_is_found_in_few_steps() {
        // sqrt(1 + x^2) = 3 at x = sqrt 8; slope there x / 3.
        let (answer, n) = root(3.0, 100.0, |x| (1.0 + x * x).sqrt());
        let Answer::Factor(found) = answer else {
            panic!("{answer:?}");
        };
        let exact = 8f64.sqrt();
        assert!(
            found.value <= exact && found.value > exact * (1.0 - 2.0 * NEAR),
            "{found:?}"
        );
        assert!((found.se - 0.03 / exact).abs() < 0.002, "{found:?}");
        assert!(n <= 9, "{n}");
    }

    #[test]
    fn a_target_that_is_missed_now_asks_for_less_and_may_be_out_of_reach() {
        let f = |x: f64| (1.0 + x * x).sqrt();
        let (answer, _) = root(1.1, 100.0, f);
        let Answer::Factor(found) = answer else {
            panic!("{answer:?}");
        };
        assert!(
            (found.value / 0.21f64.sqrt() - 1.0).abs() < 2.0 * NEAR,
            "{found:?}"
        );
        assert!(matches!(root(0.9, 100.0, f).0, Answer::Never(_)));
        assert_eq!(root(200.0, 100.0, f).0, Answer::Any(100.0));
    }

    #[test]
    fn a_curve_with_a_kink_or_with_no_number_is_bisected() {
        let kinked = |x: f64| if x < 5.0 { 1.0 } else { 1.0 + 40.0 * (x - 5.0) };
        let (answer, _) = root(2.0, 100.0, kinked);
        let Answer::Factor(found) = answer else {
            panic!("{answer:?}");
        };
        assert!((found.value - 5.025).abs() < 0.011, "{found:?}");
        // Fine as it is, and fine far off, but not between.
        let hump = |x: f64| if (5.0..60.0).contains(&x) { 3.0 } else { 1.0 };
        let Answer::Factor(found) = root(2.0, 100.0, hump).0 else {
            panic!();
        };
        assert!((found.value - 5.0).abs() < 0.02, "{found:?}");
        // A little noise is better than none, and than more.
        let dip = |x: f64| if (0.2..0.7).contains(&x) { 1.0 } else { 3.0 };
        let Answer::Factor(found) = root(2.0, 100.0, dip).0 else {
            panic!();
        };
        assert!((found.value - 0.7).abs() < 0.005, "{found:?}");
        let broken = |x: f64| if x < 7.0 { 1.0 } else { f64::NAN };
        let Answer::Factor(found) = root(2.0, 100.0, broken).0 else {
            panic!();
        };
        assert!((found.value - 7.0).abs() < 0.02, "{found:?}");
    }
}
