//! One record, reduced in every way, and what may be wrong with it.
//!
//! Lines are fitted by least squares to the periods before mixing and from `settle` on. Between them, with g the slopes and T the
//! mean temperatures of both periods, Newton's law of cooling makes the leak `k = (g_f - g_a) / (T_a - T_f)`. The scatter
//! about the lines, s with n - 4 degrees of freedom, gives the standard uncertainty of each change of temperature by the weights
//! of its readings; without lines it is what the thermometer's statements give.

use super::findings::{Fitted, bend, noisy, odd, settled};
use super::record::{MixedAt, ReducedRecord, moment_of_mixing, reduced};
use crate::forecast::SimulatedRecord;
use crate::measured::{FileProblem, MeasuredRecord};
use crate::quantity::Second;
use crate::scenario::{Record, ReductionMethod, Scenario, SourceId};

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

impl Traced {
    /// The two reductions that differ most for the uncertainty of their difference, as if readings that they share erred
    /// apart in each: mostly it is less. `None` where fewer than two have a result.
    pub fn farthest(&self) -> Option<[&WayFound; 2]> {
        let change = |w: &WayFound| w.found.as_ref().map_or(f64::NAN, |r| r.change);
        let good: Vec<&WayFound> = self.ways.iter().filter(|w| w.found.is_ok()).collect();
        let pairs = good
            .iter()
            .enumerate()
            .flat_map(|(i, a)| good[..i].iter().map(|b| [*b, *a]));
        let off = |[a, b]: [&WayFound; 2]| (change(a) - change(b)).abs() / a.u.hypot(b.u);
        pairs
            .filter(|pair| off(*pair).is_finite())
            .max_by(|a, b| off(*a).total_cmp(&off(*b)))
    }
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
