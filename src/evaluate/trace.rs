//! One record, reduced in every way, and what may be wrong with it.
//!
//! Lines are fitted by least squares to the periods before mixing and from `settle` on. Between them, with g the slopes and T the
//! mean temperatures of both periods, Newton's law of cooling makes the leak `k = (g_f - g_a) / (T_a - T_f)`. The scatter
//! about the lines, s with n - 4 degrees of freedom, gives the standard uncertainty of each change of temperature by the weights
//! of its readings; without lines it is what the thermometer's statements give.
//!
//! Looked for in each period: a reading far off its line (more than six robust standard deviations), a step (a term
//! that jumps at a time, t > 6), and a bend of the line behind (a square of time, |t| > 4): late heat, or a leak that is too
//! large for a straight line.

use super::record::{MixedAt, ReducedRecord, moment_of_mixing, reduced};
use crate::forecast::SimulatedRecord;
use crate::measured::{FileProblem, MeasuredRecord};
use crate::quantity::Second;
use crate::scenario::{Record, ReductionMethod, Scenario, SourceId};
use crate::stats::Line;

/// Where the line behind begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Settle {
    /// Where the scenario says.
    Stated,
    /// So long after mixing, s.
    At(f64),
    /// At the first time from which on it does not bend.
    Found,
}

/// What is looked at.
#[derive(Debug, Clone, Copy)]
pub struct TraceOptions {
    /// Which leg: 0 for the calibration.
    pub leg: usize,
    /// The moment of mixing in the record's own time, s, where it is told.
    pub mixed_at: Option<f64>,
    /// Where the line behind begins.
    pub settle: Settle,
}

/// A way to reduce the record.
#[derive(Debug, Clone)]
pub struct WayFound {
    /// Which.
    pub way: ReductionMethod,
    /// What comes out, or why nothing does.
    pub found: Result<ReducedRecord, String>,
    /// Standard uncertainty of the change of temperature by noise and last digit, K; NaN where nothing came out.
    pub u: f64,
}

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

/// A record with all that was made of it.
#[derive(Debug, Clone)]
pub struct Traced {
    /// The scenario.
    pub scenario: Scenario,
    /// The leg.
    pub leg: usize,
    /// As it was read or simulated.
    pub measured: MeasuredRecord,
    /// The moment of mixing in its own time, s, and where that is known from.
    pub mixed_at: (f64, MixedAt),
    /// Where the line behind begins, s from mixing.
    pub settle: f64,
    /// Every way to reduce it.
    pub ways: Vec<WayFound>,
    /// Line before and line behind, where there are such.
    pub lines: Option<[Fitted; 2]>,
    /// Leak with its standard uncertainty, 1/s.
    pub leak: Option<[f64; 2]>,
    /// Standard deviation of a reading as the scenario states noise and last digit, K.
    pub stated: f64,
    /// What may be wrong.
    pub findings: Vec<String>,
    /// What is true, of a simulated record.
    pub simulated: Option<SimulatedRecord>,
}

/// Reduces a measured record in every way.
///
/// # Errors
/// If no reading lies before mixing, or none after it.
pub fn trace(
    scenario: &Scenario,
    measured: MeasuredRecord,
    options: &TraceOptions,
) -> Result<Traced, Vec<FileProblem>> {
    let leg = scenario.legs()[options.leg];
    let mixed_at = moment_of_mixing(&measured, options.mixed_at);
    let of_leg = |settle: Option<f64>| {
        let mut own = leg.clone();
        own.record = with_settle(&leg.record, &measured, mixed_at.0, settle);
        own
    };
    let behind: Vec<(f64, f64)> = relative(&measured, mixed_at.0)
        .filter(|r| r.0 > 0.0)
        .collect();
    let settle = match options.settle {
        Settle::Stated => None,
        Settle::At(t) => Some(t),
        Settle::Found => Some(settled(&behind)),
    };
    let own = of_leg(settle);
    let noise = leg.binding(SourceId::Noise).input.dist.sd();
    let digit = leg.binding(SourceId::Resolution).input.dist.mean();
    let stated = noise.hypot(digit / 12f64.sqrt());
    let all: Vec<Result<ReducedRecord, Vec<FileProblem>>> = ReductionMethod::ALL
        .iter()
        .map(|way| reduced(&own, &measured, mixed_at, *way))
        .collect();
    if all.iter().all(Result::is_err) {
        let first = all.into_iter().find_map(Result::err);
        return Err(first.unwrap_or_default());
    }
    let settle = match &own.record {
        Record::Trace { settle, .. } => settle.0,
        Record::TwoReadings { read_at, .. } => read_at.0,
    };
    let before: Vec<(f64, f64)> = relative(&measured, mixed_at.0)
        .filter(|r| r.0 < 0.0)
        .collect();
    let after: Vec<(f64, f64)> = behind
        .iter()
        .copied()
        .filter(|r| r.0 >= settle - 1e-9)
        .collect();
    let lines = Fitted::of(&before)
        .zip(Fitted::of(&after))
        .map(|(a, b)| [a, b]);
    let reading = lines.map_or(stated, |[a, b]| {
        let dof = (a.n + b.n) as f64 - 4.0;
        let squares = |l: Fitted| l.scatter * l.scatter * (l.n as f64 - 2.0);
        ((squares(a) + squares(b)) / dof)
            .sqrt()
            .max(digit / 12f64.sqrt())
    });
    let ways = ReductionMethod::ALL.iter().zip(all).map(|(way, found)| {
        let found = found.map_err(|all| all.first().map_or(String::new(), |p| p.message.clone()));
        let u = found.as_ref().map_or(f64::NAN, |r| {
            reading * r.reduction.noise_squares(r.weighed_at)[0].sqrt()
        });
        WayFound {
            way: *way,
            found,
            u,
        }
    });
    let ways: Vec<WayFound> = ways.collect();
    let leak = lines.map(|[a, b]| {
        let apart = b.mean[1] - a.mean[1];
        let u = a.slope[1].hypot(b.slope[1]) / apart.abs();
        [(a.slope[0] - b.slope[0]) / apart, u]
    });
    let change = ways
        .iter()
        .find_map(|w| w.found.as_ref().ok().map(|r| r.change))
        .unwrap_or(f64::NAN);
    let mut findings = measured.notes.clone();
    findings.extend(odd("before mixing", &before, stated));
    findings.extend(odd("of the line behind", &after, stated));
    findings.extend(bend(&after, change));
    findings.extend(lines.and_then(|l| noisy(&l, stated)));
    Ok(Traced {
        scenario: scenario.clone(),
        leg: options.leg,
        mixed_at,
        settle,
        ways,
        lines,
        leak,
        stated,
        findings,
        simulated: None,
        measured,
    })
}

/// Simulates a record of a leg and reduces it in every way.
///
/// # Errors
/// As [`trace`].
pub fn trace_simulated(
    scenario: &Scenario,
    seed: u64,
    options: &TraceOptions,
) -> Result<Traced, Vec<FileProblem>> {
    let simulated = SimulatedRecord::of(scenario, options.leg, seed);
    let (times, temperatures) = simulated.readings.iter().copied().unzip();
    let measured = MeasuredRecord {
        file: "simulated record".to_owned(),
        times,
        temperatures,
        lines: Vec::new(),
        mixed_at: Some(0.0),
        notes: Vec::new(),
    };
    let traced = trace(scenario, measured, options)?;
    Ok(Traced {
        simulated: Some(simulated),
        ..traced
    })
}

fn relative(measured: &MeasuredRecord, zero: f64) -> impl Iterator<Item = (f64, f64)> {
    let all = measured.times.iter().zip(&measured.temperatures);
    all.map(move |(t, y)| (t - zero, *y))
}

/// The record of a leg with all of what was measured in its windows; of two readings a trace of the whole record.
fn with_settle(record: &Record, measured: &MeasuredRecord, zero: f64, own: Option<f64>) -> Record {
    let times: Vec<Second> = relative(measured, zero).map(|r| Second(r.0)).collect();
    let ends = [times.first(), times.last()].map(|t| t.map_or(0.0, |t| t.0));
    let (fore, after, settle, read_at) = match record {
        Record::TwoReadings { read_at, .. } => (-ends[0], ends[1], read_at.0, read_at.0),
        Record::Trace {
            fore,
            after,
            settle,
            read_at,
            ..
        } => (fore.0, after.0, settle.0, read_at.0),
    };
    // The windows of a measured record are its own where it is longer.
    Record::Trace {
        pace: crate::scenario::Pace::At(times.into()),
        fore: Second(fore.max(-ends[0])),
        after: Second(after.max(ends[1])),
        settle: Second(own.unwrap_or(settle)),
        read_at: Second(read_at),
    }
}

impl Fitted {
    /// Through at least three readings.
    fn of(points: &[(f64, f64)]) -> Option<Self> {
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
fn odd(period: &str, points: &[(f64, f64)], stated: f64) -> Vec<String> {
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
fn bend(after: &[(f64, f64)], change: f64) -> Option<String> {
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
fn noisy(lines: &[Fitted; 2], stated: f64) -> Option<String> {
    let worst = lines.iter().map(|l| l.scatter).fold(0.0, f64::max);
    (worst > 2.0 * stated).then(|| {
        format!(
            "readings scatter by {worst:.4} K about their lines, more than the {stated:.4} K that noise and last digit state"
        )
    })
}

/// The first of twenty times from which on the line behind does not bend.
fn settled(behind: &[(f64, f64)]) -> f64 {
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
