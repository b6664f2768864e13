//! The ways that are not a fixed weighted sum of readings, for one record.
//!
//! With the line before L_f(t), the line behind L_a(t), and the main period from mixing (t = 0, where
//! the record is taken to be at L_f(0)) to the first reading t_2 of the line behind:
//!
//! - 63 % (Dickinson, Bull. Bur. Stand. 11 (1914) 189): both lines at the time t_x when the record has
//!   covered 1 - 1/e of L_a(t_x) - L_f(t_x), between readings by straight interpolation;
//! - equal areas: t_x from integral_0^tx (T - L_f) dt = integral_tx^t2 (L_a - T) dt, the record
//!   integrated by trapezoids, which leaves a quadratic equation;
//! - Regnault-Pfaundler: L_a(t_2) - L_f(0) + integral_0^t2 [g_i + (g_f - g_i) (T - T_i) / (T_f - T_i)] dt
//!   with g = -slope and the mean temperature of each period;
//! - extreme: the highest or the lowest reading after mixing, minus the last reading before. Which of the two it is goes by
//!   the record between mixing and the line behind: the direction in which it departs most from the line before, carried on.
//!
//! All but the extreme are, to first order, the distance of the two lines at one moment: t_x; for Regnault-Pfaundler
//! t_2 - W, with W the integral of (T - T_i) / (T_f - T_i), since collecting the two slopes leaves L_a(t_2 - W) - L_f(t_2 - W).

use super::lines::Span;
use crate::random::elementary::exp;
use crate::random::{BLOCK, Column};
use crate::scenario::ReductionMethod;
use multiversion::multiversion;

/// One fitted line, in K above the first reading.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct LineSeen {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
    pub(super) mean: f64,
}

/// The same in each trial of a block.
#[derive(Debug, Clone)]
pub(super) struct LinesSeen {
    pub(super) at_zero: Column<f64>,
    pub(super) slope: Column<f64>,
    mean: Column<f64>,
}

impl LinesSeen {
    /// From the sums over the readings of a line.
    pub(super) fn of(span: &Span, [sum, moment]: &[Column<f64>; 2]) -> Self {
        let zero = || Column::splat(0.0);
        let mut own = Self {
            at_zero: zero(),
            slope: zero(),
            mean: zero(),
        };
        for i in 0..BLOCK {
            let LineSeen {
                at_zero,
                slope,
                mean,
            } = span.line(sum[i], moment[i]);
            (own.at_zero[i], own.slope[i], own.mean[i]) = (at_zero, slope, mean);
        }
        own
    }

    #[inline(always)]
    pub(super) fn at(&self, i: usize, t: f64) -> f64 {
        self.at_zero.0[i] + self.slope.0[i] * t
    }
}

/// What the nonlinear ways need of the records of a block; temperatures in K above the first reading.
pub(super) struct RecordsSeen<'r> {
    pub(super) fore: &'r LinesSeen,
    pub(super) after: &'r LinesSeen,
    /// Times of the readings that the way looks at: those of the main period up to the first of the line behind; for the
    /// extreme the last one before, and all after mixing.
    pub(super) times: &'r [f64],
    /// Their temperatures.
    pub(super) main: &'r [Column<f64>],
    /// How many of them are not after the first reading of the line behind.
    pub(super) behind: usize,
}

/// What a way makes of the records of a block.
#[derive(Debug, Clone)]
pub(super) struct Taken {
    /// Change of temperature.
    pub(super) change: Column<f64>,
    /// Moment at which the lines were taken; NaN if there is none.
    pub(super) moment: Column<f64>,
    /// Moment that the weights of the readings go by to first order: that one, or the time of the extreme.
    pub(super) weighed_at: Column<f64>,
}

/// Reduces the records of a block.
pub(super) fn take(way: ReductionMethod, r: &RecordsSeen) -> Taken {
    let lines_at = |moment: Column<f64>| Taken {
        change: Column::from_fn(|i| r.after.at(i, moment[i]) - r.fore.at(i, moment[i])),
        weighed_at: moment.clone(),
        moment,
    };
    match way {
        ReductionMethod::Extreme => extreme(r),
        ReductionMethod::SixtyThree => lines_at(sixty_three(r)),
        ReductionMethod::EqualAreas => lines_at(equal_areas(r)),
        ReductionMethod::RegnaultPfaundler => regnault_pfaundler(r),
        ReductionMethod::TwoReadings | ReductionMethod::BackToMixing => {
            lines_at(Column::splat(0.0))
        }
    }
}

/// The reading after mixing that lies farthest in the direction of the change.
fn extreme(r: &RecordsSeen) -> Taken {
    let column = |x: f64| Column::splat(x);
    let mut highest = (column(f64::NAN), column(f64::NEG_INFINITY));
    let mut lowest = (column(f64::NAN), column(f64::INFINITY));
    let mut departure = column(0.0);
    for (at, (&t, shown)) in r.times.iter().zip(r.main).enumerate().skip(1) {
        for i in 0..BLOCK {
            let shown = shown[i];
            if shown > highest.1[i] {
                (highest.0[i], highest.1[i]) = (t, shown);
            }
            if shown < lowest.1[i] {
                (lowest.0[i], lowest.1[i]) = (t, shown);
            }
            let away = shown - r.fore.at(i, t);
            if at < r.behind && away.abs() > departure[i].abs() {
                departure[i] = away;
            }
        }
    }
    let far = |i: usize| match departure[i] >= 0.0 {
        true => (highest.0[i], highest.1[i]),
        false => (lowest.0[i], lowest.1[i]),
    };
    Taken {
        change: Column::from_fn(|i| far(i).1 - r.main[0][i]),
        moment: Column::splat(f64::NAN),
        weighed_at: Column::from_fn(|i| far(i).0),
    }
}

/// First time at which the record has covered 1 - 1/e of the distance between the lines; where it never does before the line
/// behind begins, that time.
fn sixty_three(r: &RecordsSeen) -> Column<f64> {
    let share = 1.0 - exp(-1.0);
    let [mut was, mut is] = [Column::splat(0.0), Column::splat(0.0)];
    let mut crossed = Column::splat(f64::NAN);
    let mut before = 0.0;
    let start = (&0.0, &r.fore.at_zero);
    for (&t, shown) in std::iter::once(start).chain(r.times.iter().zip(r.main)) {
        let all = covered(
            r,
            (t, shown),
            share,
            (before, &was),
            (&mut is, &mut crossed),
        );
        std::mem::swap(&mut was, &mut is);
        before = t;
        if all {
            return crossed;
        }
    }
    Column::from_fn(|i| {
        if crossed[i].is_nan() {
            before
        } else {
            crossed[i]
        }
    })
}

/// How far records are beyond the mark at a time, in the direction of the change, and when they crossed it if they just did;
/// whether all have.
#[multiversion(targets("x86_64+avx2"))]
fn covered(
    r: &RecordsSeen,
    (t, shown): (f64, &Column<f64>),
    share: f64,
    (before, was): (f64, &Column<f64>),
    (beyond, crossed): (&mut Column<f64>, &mut Column<f64>),
) -> bool {
    let mut left = 0.0f64;
    for i in 0..BLOCK {
        let direction = (r.after.at_zero.0[i] - r.fore.at_zero.0[i]).signum();
        let fore = r.fore.at(i, t);
        let now = direction * (shown.0[i] - fore - share * (r.after.at(i, t) - fore));
        let then = was.0[i];
        let here = before + (t - before) * then / (then - now);
        let first = now >= 0.0 && then < 0.0 && crossed.0[i].is_nan();
        crossed.0[i] = if first { here } else { crossed.0[i] };
        left += if crossed.0[i].is_nan() { 1.0 } else { 0.0 };
        beyond.0[i] = now;
    }
    left == 0.0
}

/// Integrals of the records over the main period, by trapezoids.
fn integral(r: &RecordsSeen) -> Column<f64> {
    let mut sum = Column::splat(0.0);
    let mut before = (0.0, &r.fore.at_zero);
    for (&t, shown) in r.times.iter().zip(r.main) {
        trapezoid(&mut sum, t - before.0, before.1, shown);
        before = (t, shown);
    }
    sum
}

#[multiversion(targets("x86_64+avx2"))]
fn trapezoid(sum: &mut Column<f64>, width: f64, one: &Column<f64>, other: &Column<f64>) {
    for i in 0..BLOCK {
        sum.0[i] += 0.5 * width * (other.0[i] + one.0[i]);
    }
}

fn end(r: &RecordsSeen) -> f64 {
    r.times.last().copied().unwrap_or(0.0)
}

fn equal_areas(r: &RecordsSeen) -> Column<f64> {
    let t2 = end(r);
    let integral = integral(r);
    let (fore, after) = (r.fore, r.after);
    Column::from_fn(|i| {
        // integral_0^t L_f + integral_t^t2 L_a - integral T = a t^2 + b t + c = 0
        let a = 0.5 * (fore.slope[i] - after.slope[i]);
        let b = fore.at_zero[i] - after.at_zero[i];
        let c = after.at_zero[i] * t2 + 0.5 * after.slope[i] * t2 * t2 - integral[i];
        // The root that stays finite when the lines are parallel.
        let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
        -2.0 * c / (b + root.copysign(b))
    })
}

fn regnault_pfaundler(r: &RecordsSeen) -> Taken {
    let t2 = end(r);
    let integral = integral(r);
    let (fore, after) = (r.fore, r.after);
    let warmth = |i: usize| (integral[i] - fore.mean[i] * t2) / (after.mean[i] - fore.mean[i]);
    Taken {
        change: Column::from_fn(|i| {
            let (g_i, g_f) = (-fore.slope[i], -after.slope[i]);
            after.at(i, t2) - fore.at_zero[i] + g_i * t2 + (g_f - g_i) * warmth(i)
        }),
        moment: Column::splat(f64::NAN),
        weighed_at: Column::from_fn(|i| t2 - warmth(i)),
    }
}
