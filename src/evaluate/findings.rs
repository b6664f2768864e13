//! The straight line of a period of a record, and what may be wrong there.
//!
//! Looked for in each period: a reading far off its line (more than six robust standard deviations), a step (a term that jumps at
//! a time, t > 6), and a bend of the line behind (a square of time, |t| > 4): late heat, or a leak that is too large for a
//! straight line.

use crate::stats::Line;

/// A straight line through a period.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Number of readings.
    pub n: usize,
    /// Ends of the period, s from mixing.
    pub ends: [f64; 2],
    /// Mean time, s, and mean temperature, °C.
    pub mean: [f64; 2],
    /// Slope, K/s, and its standard uncertainty.
    pub slope: [f64; 2],
    /// Scatter about it, K (n - 2).
    pub scatter: f64,
}

impl Fitted {
    /// Through at least three readings.
    pub(super) fn of(points: &[(f64, f64)]) -> Option<Self> {
        let line = Line::through(points)?;
        let n = points.len();
        let time = points.iter().map(|p| p.0).sum::<f64>() / n as f64;
        let slope = line.slope();
        Some(Self {
            n,
            ends: [points[0].0, points[n - 1].0],
            mean: [time, line.at(time).value],
            slope: [slope.value, slope.se],
            scatter: line.residual_sd(),
        })
    }

    fn off(&self, p: &(f64, f64)) -> f64 {
        p.1 - self.mean[1] - self.slope[0] * (p.0 - self.mean[0])
    }
}

/// Coefficient and t of a further term beside a straight line; `None` with too few readings, or where nothing scatters.
fn further(points: &[(f64, f64)], term: impl Fn(f64) -> f64) -> Option<[f64; 2]> {
    let line = Fitted::of(points)?;
    let of_term: Vec<(f64, f64)> = points.iter().map(|p| (p.0, term(p.0))).collect();
    let bare = Fitted::of(&of_term)?;
    let mut sums = [0.0; 3];
    for (p, q) in points.iter().zip(&of_term) {
        let (x, y) = (bare.off(q), line.off(p));
        sums = [sums[0] + x * x, sums[1] + x * y, sums[2] + y * y];
    }
    let [xx, xy, yy] = sums;
    let coefficient = xy / xx;
    let dof = points.len() as f64 - 3.0;
    let left = ((yy - coefficient * xy) / dof).sqrt();
    let t = coefficient * xx.sqrt() / left;
    (dof >= 3.0 && xx > 0.0 && t.is_finite()).then_some([coefficient, t])
}

/// Robust standard deviations beyond which a reading is called far off, and t beyond which a step is.
const FAR: f64 = 6.0;

/// Places at which a step is looked for.
const STEPS: usize = 100;

/// Readings that lie far off their line, and steps.
pub(super) fn odd(period: &str, points: &[(f64, f64)], stated: f64) -> Vec<String> {
    let Some(line) = Fitted::of(points).filter(|l| l.n >= 6) else {
        return Vec::new();
    };
    let mut sizes: Vec<f64> = points.iter().map(|p| line.off(p).abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let robust = (1.4826 * sizes[sizes.len() / 2]).max(stated);
    let far: Vec<&(f64, f64)> = points
        .iter()
        .filter(|p| line.off(p).abs() > FAR * robust)
        .collect();
    let mut all = Vec::new();
    if let [first, rest @ ..] = far.as_slice() {
        let more = match rest.len() {
            0 => String::new(),
            n => format!(", and {n} more"),
        };
        all.push(format!(
            "a reading {period} lies {:+.3} K off its line at {} s{more}: a spike? it is kept",
            line.off(first),
            first.0
        ));
    }
    let every = (points.len() / STEPS).max(1);
    let step = (3..points.len().saturating_sub(3))
        .step_by(every)
        .filter_map(|i| {
            let at = points[i].0;
            further(points, |t| f64::from(u8::from(t >= at))).map(|[size, t]| (at, size, t))
        })
        .max_by(|a, b| a.2.abs().total_cmp(&b.2.abs()));
    if let Some((at, size, _)) =
        step.filter(|s| s.2.abs() > FAR && s.1.abs() > 3.0 * stated && far.is_empty())
    {
        all.push(format!("a step of {size:+.3} K {period} at {at} s"));
    }
    all
}

/// t beyond which a line bends.
const BENDS: f64 = 4.0;

/// A line behind that bends by more than a thousandth of the change.
pub(super) fn bend(after: &[(f64, f64)], change: f64) -> Option<String> {
    let [coefficient, t] = further(after, |t| t * t)?;
    let length = after.last()?.0 - after.first()?.0;
    let size = coefficient * length * length / 6.0;
    (t.abs() > BENDS && size.abs() > 1e-3 * change.abs()).then(|| {
        format!(
            "the line behind bends ({size:+.4} K, t = {t:.1}): heat that comes late, or a leak too large for a straight line; \
             begin it later (`--settle`)"
        )
    })
}

/// Scatter about the lines that is not the thermometer's.
pub(super) fn noisy(lines: &[Fitted; 2], stated: f64) -> Option<String> {
    let worst = lines.iter().map(|l| l.scatter).fold(0.0, f64::max);
    (worst > 2.0 * stated).then(|| {
        format!(
            "readings scatter by {worst:.4} K about their lines, more than the {stated:.4} K that noise and last digit state"
        )
    })
}

/// The first of twenty times from which on the line behind does not bend.
pub(super) fn settled(behind: &[(f64, f64)]) -> f64 {
    let Some(last) = behind.last() else {
        return 0.0;
    };
    let candidates = (1..=14).map(|i| last.0 * f64::from(i) / 20.0);
    let straight = |from: &f64| {
        let rest: Vec<(f64, f64)> = behind.iter().copied().filter(|r| r.0 >= *from).collect();
        rest.len() >= 6 && further(&rest, |t| t * t).is_none_or(|[_, t]| t.abs() < BENDS / 2.0)
    };
    candidates.clone().find(straight).unwrap_or(0.5 * last.0)
}
