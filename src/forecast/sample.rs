//! One simulated run to look at: the first determination of the first group, reduced in every way.

use super::Forecast;
use crate::lab::{Line, Reduction, all_readings};
use crate::nature::{Group, Rounding, Run};
use crate::quantity::{Celsius, Second};
use crate::random::{Column, Draws, Layout, Plan};
use crate::scenario::{Leg, Record, ReductionMethod, Scenario, SourceId};

/// Points of the curve of the true temperature.
const CURVE: u32 = 600;

/// A run with its record, its lines and what each reduction makes of it.
#[derive(Debug, Clone)]
pub struct Sample {
    /// How it is recorded.
    pub record: Record,
    /// The reduction that the lab uses.
    pub way: ReductionMethod,
    /// Time since mixing, s, and shown temperature, °C.
    pub readings: Vec<(f64, f64)>,
    /// The same of the contents.
    pub curve: Vec<(f64, f64)>,
    /// Line before and line after, where the record has them.
    pub lines: Option<[Line; 2]>,
    /// What each reduction makes of the record.
    pub reduced: Vec<OnRecord>,
    /// The true change of temperature, K.
    pub true_change: f64,
    /// Standard deviation of one reading, K.
    pub noise: f64,
}

/// A reduction as it stands on a record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnRecord {
    /// Which.
    pub way: ReductionMethod,
    /// Time since mixing at which the change is taken, s; `None` where it is not taken at a moment.
    pub at: Option<f64>,
    /// Temperatures between which it is taken, °C: before, after.
    pub ends: [f64; 2],
    /// The change, K.
    pub change: f64,
}

/// One run of a leg as it is simulated.
#[derive(Debug, Clone)]
pub struct SimulatedRecord {
    /// Time since mixing, s, and shown temperature, °C.
    pub readings: Vec<(f64, f64)>,
    /// The same of the contents.
    pub curve: Vec<(f64, f64)>,
    /// The true change of temperature, K.
    pub true_change: f64,
}

impl SimulatedRecord {
    /// The first run of a leg (0: calibration) in the first group of this seed.
    pub fn of(scenario: &Scenario, leg: usize, seed: u64) -> Self {
        first_run(scenario, leg, seed, Self::of_run)
    }

    fn of_run(leg: &Leg, run: &Run) -> Self {
        let all = all_readings(&leg.record);
        let shown = shown(run, &all);
        let (start, end) = match leg.record {
            Record::TwoReadings { before, read_at } => (-before.0, read_at.0),
            Record::Trace { fore, after, .. } => (-fore.0, after.0),
        };
        let time = |i: u32| start + (end - start) * f64::from(i) / f64::from(CURVE);
        Self {
            readings: all.iter().map(|r| r.1.0).zip(shown).collect(),
            curve: (0..=CURVE)
                .map(time)
                .map(|t| (t, run.truth(0, Second(t)).0))
                .collect(),
            true_change: run.true_change(0).0,
        }
    }
}

impl Sample {
    /// Carries the run out.
    pub fn of(f: &Forecast) -> Self {
        first_run(&f.scenario, 1, f.seed, Self::of_run)
    }

    fn of_run(leg: &Leg, run: &Run) -> Self {
        let simulated = SimulatedRecord::of_run(leg, run);
        let all = all_readings(&leg.record);
        let lines =
            Reduction::with(&leg.record, ReductionMethod::BackToMixing).lines(|number, _| {
                let at = all.iter().position(|(n, _)| *n == number);
                Celsius(simulated.readings[at.expect("a reading of the record")].1)
            });
        let mut sample = Self {
            record: leg.record.clone(),
            way: leg.way,
            readings: simulated.readings,
            curve: simulated.curve,
            lines: lines.try_into().ok(),
            reduced: Vec::new(),
            true_change: simulated.true_change,
            noise: leg.binding(SourceId::Noise).input.dist.sd(),
        };
        let ways: &[ReductionMethod] = match leg.record {
            Record::Trace { .. } => &ReductionMethod::ALL,
            Record::TwoReadings { .. } => &[ReductionMethod::TwoReadings],
        };
        let reduce = |way: &ReductionMethod| {
            let mut recorder = run.recorder();
            let reduced =
                Reduction::with(&leg.record, *way).reduce(|n, t, out| recorder.reading(n, t, out));
            sample.on_record(*way, reduced.change[0].0, reduced.moment[0])
        };
        sample.reduced = ways.iter().map(reduce).collect();
        sample
    }

    /// A reduction by its name, if the record allows it.
    pub fn by(&self, way: ReductionMethod) -> Option<OnRecord> {
        self.reduced.iter().find(|r| r.way == way).copied()
    }

    /// Where a change stands on the record that was found at a moment.
    fn on_record(&self, way: ReductionMethod, change: f64, moment: f64) -> OnRecord {
        let before = self.readings.iter().rev().find(|r| r.0 < 0.0);
        let last_before = before.map_or(f64::NAN, |r| r.1);
        let on_line = |i: usize, t: f64| {
            let line = self.lines.map(|l| l[i]);
            line.map_or(f64::NAN, |l| l.at_mixing.0 + l.slope * t)
        };
        let (at, ends) = match way {
            ReductionMethod::TwoReadings | ReductionMethod::Extreme => {
                let high = last_before + change;
                let (Record::Trace { read_at, .. } | Record::TwoReadings { read_at, .. }) =
                    self.record;
                let found = self.readings.iter().filter(|r| r.0 > 0.0).find(|r| {
                    let due = way == ReductionMethod::Extreme || r.0 >= read_at.0 - 1e-6;
                    due && (r.1 - high).abs() < 1e-9
                });
                (found.map(|r| r.0), [last_before, high])
            }
            ReductionMethod::RegnaultPfaundler => {
                (None, [on_line(0, 0.0), on_line(0, 0.0) + change])
            }
            ReductionMethod::BackToMixing
            | ReductionMethod::SixtyThree
            | ReductionMethod::EqualAreas => {
                (Some(moment), [on_line(0, moment), on_line(1, moment)])
            }
        };
        OnRecord {
            way,
            at: at.filter(|t| t.is_finite()),
            ends,
            change,
        }
    }
}

/// Looks at the first run of a leg in the first group of a seed.
fn first_run<T>(
    scenario: &Scenario,
    leg: usize,
    seed: u64,
    look: impl FnOnce(&Leg, &Run) -> T,
) -> T {
    let leg = scenario.legs()[leg];
    let plan = Plan::new();
    let draws = Draws::new(seed, 0, Layout::MARGINAL, &plan);
    let group = Group::new(leg, scenario, &draws, Rounding::True);
    look(leg, &Run::new(&group, draws, 0, 0))
}

/// What the thermometer of the first trial shows at these readings.
fn shown(run: &Run, all: &[(u32, Second)]) -> Vec<f64> {
    let mut recorder = run.recorder();
    let mut out = Column::splat(Celsius(0.0));
    let readings = all.iter().map(|(number, t)| {
        recorder.reading(*number, *t, &mut out);
        out[0].0
    });
    readings.collect()
}
