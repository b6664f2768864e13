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

use crate::random::elementary::exp;
use crate::scenario::Way;

/// One fitted line, in K above the first reading.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct LineSeen {
    pub(super) at_zero: f64,
    pub(super) slope: f64,
    pub(super) mean: f64,
}

impl LineSeen {
    fn at(&self, t: f64) -> f64 {
        self.at_zero + self.slope * t
    }
}

/// What the nonlinear ways need of one record; temperatures in K above the first reading.
pub(super) struct RecordSeen<'r> {
    pub(super) fore: LineSeen,
    pub(super) after: LineSeen,
    /// Times of the readings that the way looks at: those of the main period up to the first of the line behind; for the
    /// extreme the last one before, and all after mixing.
    pub(super) times: &'r [f64],
    /// Their temperatures.
    pub(super) main: &'r [f64],
    /// How many of them are not after the first reading of the line behind.
    pub(super) behind: usize,
}

/// What a way makes of a record.
#[derive(Debug, Clone, Copy)]
pub(super) struct Taken {
    /// Change of temperature.
    pub(super) rise: f64,
    /// Moment at which the lines were taken; NaN if there is none.
    pub(super) moment: f64,
    /// Moment that the weights of the readings go by to first order: that one, or the time of the extreme.
    pub(super) weighed_at: f64,
}

/// Reduces one record.
pub(super) fn take(way: Way, r: &RecordSeen) -> Taken {
    let lines_at = |t: f64| Taken {
        rise: r.after.at(t) - r.fore.at(t),
        moment: t,
        weighed_at: t,
    };
    match way {
        Way::Extreme => extreme(r),
        Way::SixtyThree => lines_at(sixty_three(r)),
        Way::EqualAreas => lines_at(equal_areas(r)),
        Way::RegnaultPfaundler => regnault_pfaundler(r),
        Way::TwoReadings | Way::BackToMixing => lines_at(0.0),
    }
}

/// The reading after mixing that lies farthest in the direction of the change.
fn extreme(r: &RecordSeen) -> Taken {
    let (mut highest, mut lowest) = ((f64::NAN, f64::NEG_INFINITY), (f64::NAN, f64::INFINITY));
    let mut departure: f64 = 0.0;
    for (at, (&t, &shown)) in r.times.iter().zip(r.main).enumerate().skip(1) {
        if shown > highest.1 {
            highest = (t, shown);
        }
        if shown < lowest.1 {
            lowest = (t, shown);
        }
        let away = shown - r.fore.at(t);
        if at < r.behind && away.abs() > departure.abs() {
            departure = away;
        }
    }
    let (at, far) = if departure >= 0.0 { highest } else { lowest };
    Taken {
        rise: far - r.main[0],
        moment: f64::NAN,
        weighed_at: at,
    }
}

/// First time at which the record has covered 1 - 1/e of the distance between the lines.
fn sixty_three(r: &RecordSeen) -> f64 {
    let share = 1.0 - exp(-1.0);
    let direction = (r.after.at_zero - r.fore.at_zero).signum();
    // How far the record is beyond the mark, in the direction of the change.
    let beyond = |t: f64, shown: f64| {
        let fore = r.fore.at(t);
        direction * (shown - fore - share * (r.after.at(t) - fore))
    };
    let mut before = (0.0, beyond(0.0, r.fore.at_zero));
    for (&t, &shown) in r.times.iter().zip(r.main) {
        let now = beyond(t, shown);
        if now >= 0.0 && before.1 < 0.0 {
            return before.0 + (t - before.0) * before.1 / (before.1 - now);
        }
        before = (t, now);
    }
    // Never reached before the line behind begins: taken there.
    before.0
}

/// Integral of the record over the main period, by trapezoids.
fn integral(r: &RecordSeen) -> f64 {
    let mut before = (0.0, r.fore.at_zero);
    let mut sum = 0.0;
    for (&t, &shown) in r.times.iter().zip(r.main) {
        sum += 0.5 * (t - before.0) * (shown + before.1);
        before = (t, shown);
    }
    sum
}

fn end(r: &RecordSeen) -> f64 {
    r.times.last().copied().unwrap_or(0.0)
}

fn equal_areas(r: &RecordSeen) -> f64 {
    let t2 = end(r);
    // integral_0^t L_f + integral_t^t2 L_a - integral T = a t^2 + b t + c = 0
    let a = 0.5 * (r.fore.slope - r.after.slope);
    let b = r.fore.at_zero - r.after.at_zero;
    let c = r.after.at_zero * t2 + 0.5 * r.after.slope * t2 * t2 - integral(r);
    // The root that stays finite when the lines are parallel.
    let root = (b * b - 4.0 * a * c).max(0.0).sqrt();
    -2.0 * c / (b + root.copysign(b))
}

fn regnault_pfaundler(r: &RecordSeen) -> Taken {
    let t2 = end(r);
    let (g_i, g_f) = (-r.fore.slope, -r.after.slope);
    let warmth = (integral(r) - r.fore.mean * t2) / (r.after.mean - r.fore.mean);
    Taken {
        rise: r.after.at(t2) - r.fore.at_zero + g_i * t2 + (g_f - g_i) * warmth,
        moment: f64::NAN,
        weighed_at: t2 - warmth,
    }
}
