//! One simulated run to be drawn: the first determination of the first group.

use super::chart::{FittedLine, ReductionWay};
use crate::experiment::Experiment;
use crate::forecast::Forecast;
use crate::lab::{Line, Reduction, all_readings};
use crate::nature::{Group, Rounding, Run};
use crate::quantity::{Celsius, Second};
use crate::random::{Column, Draws, Layout, Plan};
use crate::scenario::{Record, SourceId, Way};

/// A run with its record, its lines and what each reduction makes of it.
pub(super) struct SampleRun {
    pub(super) record: Record,
    pub(super) way: Way,
    /// Time since mixing, s, and shown temperature, °C.
    pub(super) readings: Vec<(f64, f64)>,
    /// Temperature of the contents.
    pub(super) curve: Vec<(f64, f64)>,
    /// Line before and line after, where the record has them.
    pub(super) lines: Option<[Line; 2]>,
    /// Change of temperature and moment by each reduction.
    seen: Vec<(Way, f64, f64)>,
    pub(super) true_rise: f64,
    /// Standard deviation of one reading, K, for rounding.
    pub(super) noise: f64,
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

impl SampleRun {
    /// Carries the run out.
    pub(super) fn of(f: &Forecast) -> Self {
        let model = Experiment::without_claims(f.scenario.clone());
        let leg = &model.scenario().determination;
        let plan = Plan::new();
        let draws = Draws::new(f.seed, 0, Layout::MARGINAL, &plan);
        let group = Group::new(leg, model.scenario(), &draws, Rounding::True);
        let run = Run::new(&group, draws, 0, 0);
        let all = all_readings(&leg.record);
        let shown = shown(&run, &all);
        let (start, end) = match leg.record {
            Record::TwoReadings { before, read_at } => (-before.0, read_at.0),
            Record::Trace { fore, after, .. } => (-fore.0, after.0),
        };
        let ways: &[Way] = match leg.record {
            Record::Trace { .. } => &Way::ALL,
            Record::TwoReadings { .. } => &[Way::TwoReadings],
        };
        let reduce = |way: Way| {
            let mut recorder = run.recorder();
            let reduced =
                Reduction::with(&leg.record, way).reduce(|n, t, out| recorder.reading(n, t, out));
            (way, reduced.rise[0].0, reduced.moment[0])
        };
        let lines = Reduction::with(&leg.record, Way::BackToMixing).lines(|number, _| {
            let at = all.iter().position(|(n, _)| *n == number);
            Celsius(shown[at.expect("a reading of the record")])
        });
        Self {
            record: leg.record.clone(),
            way: leg.way,
            readings: all.iter().map(|r| r.1.0).zip(shown).collect(),
            curve: (0..=600)
                .map(|i| start + (end - start) * f64::from(i) / 600.0)
                .map(|t| (t, run.truth(0, Second(t)).0))
                .collect(),
            lines: lines.try_into().ok(),
            seen: ways.iter().map(|way| reduce(*way)).collect(),
            true_rise: run.true_rise(0).0,
            noise: leg.binding(SourceId::Noise).input.dist.sd(),
        }
    }

    /// Moment at which a reduction takes its lines, if it takes any.
    pub(super) fn moment(&self, way: Way) -> Option<f64> {
        let found = self.seen.iter().find(|s| s.0 == way)?;
        found.2.is_finite().then_some(found.2)
    }

    /// Every reduction as it stands on the record.
    pub(super) fn ways(&self) -> Vec<ReductionWay> {
        self.seen.iter().map(|s| self.on_paper(*s)).collect()
    }

    /// The reduction that the lab uses, as it stands on the record.
    pub(super) fn own_way(&self) -> Option<ReductionWay> {
        let own = self.seen.iter().find(|s| s.0 == self.way)?;
        Some(self.on_paper(*own))
    }

    fn on_paper(&self, (way, rise, moment): (Way, f64, f64)) -> ReductionWay {
        let before = self.readings.iter().rev().find(|r| r.0 < 0.0);
        let last_before = before.map_or(f64::NAN, |r| r.1);
        let at_line = |i: usize, t: f64| {
            let line = self.lines.map(|l| l[i]);
            line.map_or(f64::NAN, |l| l.at_mixing.0 + l.slope * t)
        };
        let (at, low, high) = match way {
            Way::TwoReadings | Way::Extreme => {
                let high = last_before + rise;
                let (Record::Trace { read_at, .. } | Record::TwoReadings { read_at, .. }) =
                    self.record;
                let found = self.readings.iter().filter(|r| r.0 > 0.0).find(|r| {
                    let due = way == Way::Extreme || r.0 >= read_at.0 - 1e-6;
                    due && (r.1 - high).abs() < 1e-9
                });
                (found.map(|r| r.0), last_before, high)
            }
            Way::RegnaultPfaundler => (None, at_line(0, 0.0), at_line(0, 0.0) + rise),
            Way::BackToMixing | Way::SixtyThree | Way::EqualAreas => {
                (Some(moment), at_line(0, moment), at_line(1, moment))
            }
        };
        ReductionWay {
            name: way.title().to_owned(),
            at,
            low,
            high,
            rise,
        }
    }
}

/// A line as charts draw it.
pub(super) fn drawn(line: Line, label: &str) -> FittedLine {
    FittedLine {
        from: line.from.0,
        to: line.to.0,
        intercept_at: 0.0,
        value: line.at_mixing.0,
        slope: line.slope,
        label: label.to_owned(),
    }
}
