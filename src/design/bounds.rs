//! Where a procedure cannot or should not go.

use super::outcome::Outcome;
use crate::engine::Table;
use crate::experiment::{ResultColumn, unfelt};
use crate::quantity::{decimal, texts};
use crate::scenario::{Concern, Problems, Scenario, Severity, SourceId};
use crate::stats::Moments;

texts! {
    /// Why a point of a study is out of bounds.
    Bound::label:
    /// More solid than dissolves.
    Solubility = "more than dissolves",
    /// What should be in excess runs out.
    Excess = "excess runs out",
    /// The solid is not dissolved when it should be.
    Slow = "not dissolved in time",
    /// Heat comes too late for the readings: a heater is still on, mixing or the thermometer is slow.
    Late = "heat comes too late to be read",
    /// The change of temperature is too small for the thermometer.
    SmallChange = "ΔT too small to read",
    /// The change of temperature is larger than a study may suggest.
    LargeChange = "ΔT above the cap",
    /// The solution freezes or boils.
    Phase = "freezes or boils",
    /// A solution of another strength than its tables are for.
    Strength = "other strength than tabulated",
    /// More dangerous than a study may suggest.
    Hazard = "too dangerous to suggest",
    /// The reaction that calibrates is the one that is determined: the result would be the tabulated value.
    Circular = "calibrated by what is determined",
    /// The runs take longer than the session.
    Session = "longer than the session",
    /// A few results lie so far out that there is no spread to speak of.
    RunsAway = "single results run away",
    /// The scenario cannot be.
    Impossible = "not possible",
}

/// A point that is out of bounds, and why.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct OutOfBounds {
    /// Which bound.
    pub bound: Bound,
    /// The leg it holds in; empty if it is not one leg's.
    pub leg: String,
    /// In full.
    pub words: String,
}

impl Bound {
    /// The same with its limit in a scenario, where that is one number.
    pub fn words(self, scenario: &Scenario) -> String {
        let legs = scenario.legs().into_iter().filter(|leg| leg.runs > 0);
        let steps = scenario.target.display_steps;
        match self {
            Self::SmallChange => {
                let mut least: Vec<String> = legs
                    .map(|leg| format!("{} K", decimal(steps * leg.reading_step())))
                    .collect();
                least.dedup();
                format!(
                    "{}: less than {steps} steps of the display or widths of its noise, {}",
                    self.label(),
                    least.join(" and ")
                )
            }
            Self::Late => format!(
                "{}: more than {} % of it not felt when readings begin to count",
                self.label(),
                100.0 * MOST_UNFELT
            ),
            Self::Excess => format!(
                "{} in more than {} % of the runs",
                self.label(),
                100.0 * MOST_SHORT
            ),
            _ => self.label().to_owned(),
        }
    }

    fn of(concern: Option<Concern>) -> Self {
        match concern {
            Some(Concern::Solubility) => Self::Solubility,
            Some(Concern::Excess) => Self::Excess,
            Some(Concern::Slow) => Self::Slow,
            Some(Concern::Late) => Self::Late,
            Some(Concern::SmallChange) => Self::SmallChange,
            Some(Concern::Phase) => Self::Phase,
            Some(Concern::Strength) => Self::Strength,
            Some(Concern::Hazard) => Self::Hazard,
            Some(Concern::Circular) => Self::Circular,
            Some(Concern::NoSpread) | None => Self::Impossible,
        }
    }
}

/// Largest change of temperature that a study suggests without being told so, K: hot enough for a lid to come off
/// and for tables to end.
pub const CAP: f64 = 20.0;

/// Share of the runs in which what should be in excess may run out: each of them gives a wrong value that nobody notices.
pub const MOST_SHORT: f64 = 0.01;

/// Share of the heat of a typical run that the thermometer may not have felt when readings begin to count: what a solid
/// that dissolves by the first-order law leaves after three time constants.
pub const MOST_UNFELT: f64 = 0.05;

/// The cap for a scenario, K: [`CAP`], or what its own procedure reaches if that is more. A study proposes no more
/// than its author did.
pub fn cap(scenario: &Scenario) -> f64 {
    scenario
        .legs()
        .iter()
        .filter(|leg| leg.runs > 0)
        .map(|leg| leg.largest_change(&scenario.room).0)
        .fold(CAP, f64::max)
}

/// The zone of a scenario that could not be read.
pub fn refused(problems: &Problems) -> OutOfBounds {
    let worst = problems
        .0
        .iter()
        .find(|p| p.severity == Severity::Error)
        .or(problems.0.first());
    worst.map_or(
        OutOfBounds {
            bound: Bound::Impossible,
            leg: String::new(),
            words: "the scenario cannot be read".to_owned(),
        },
        |p| OutOfBounds {
            bound: Bound::of(p.concern),
            leg: leg_of(&p.path),
            words: p.message.clone(),
        },
    )
}

/// The zones that a simulated scenario lies in: those of its plan, and those that only its runs show.
pub fn zones(scenario: &Scenario, outcome: &Outcome, cap: f64) -> Vec<OutOfBounds> {
    let mut zones = planned(scenario, cap);
    let short = outcome.ran_out.value;
    if short > MOST_SHORT {
        let leg = &scenario.determination.name;
        zones.retain(|z| z.bound != Bound::Excess || z.leg != *leg);
        zones.push(OutOfBounds {
            bound: Bound::Excess,
            leg: leg.clone(),
            words: format!(
                "what should be in excess runs out in {} of the determinations",
                percent(short)
            ),
        });
    }
    let session = scenario.times.session.map(|t| t.0);
    if let (Some(time), Some(length)) = (outcome.cost.time, session)
        && time > length * (1.0 + 1e-12)
    {
        zones.push(OutOfBounds {
            bound: Bound::Session,
            leg: String::new(),
            words: format!(
                "the runs take {:.2} h, the session {:.2} h",
                time / 3600.0,
                length / 3600.0
            ),
        });
    }
    zones
}

/// A share with two figures, never more than there is to say.
fn percent(x: f64) -> String {
    if x >= 0.995 {
        "all".to_owned()
    } else {
        format!("{} %", crate::stats::quote(100.0 * x, 100.0 * x, 2).value)
    }
}

/// Whether two zones are the same bound of the same leg.
pub(super) fn same(a: &OutOfBounds, b: &OutOfBounds) -> bool {
    a.bound == b.bound && a.leg == b.leg
}

/// The first of some zones that is none of a scenario's own.
pub(super) fn crossed(found: &[OutOfBounds], own: &[OutOfBounds]) -> Option<Bound> {
    let mut new = found.iter().filter(|z| !own.iter().any(|o| same(o, z)));
    new.next().map(|z| z.bound)
}

/// Excess kurtosis from which on a few results make the spread: then it depends on which trials were drawn, and more trials give another.
/// A normal distribution has 0, an exponential one 6.
const FAR_OUT: f64 = 50.0;

/// Whether a few of some errors lie so far out that their standard deviation says nothing.
pub(super) fn runs_away(errors: &[f64]) -> bool {
    Moments::of(errors).excess_kurtosis() > FAR_OUT
}

/// Whether what should be in excess runs out too often in the trials of a table.
pub(super) fn short_of(table: &Table) -> bool {
    let share = Moments::of(&table.columns[ResultColumn::RanOutShare as usize]).mean();
    share.value > MOST_SHORT
}

/// The zones that the plan of a readable scenario lies in.
pub(super) fn planned(scenario: &Scenario, cap: f64) -> Vec<OutOfBounds> {
    let mut zones: Vec<OutOfBounds> = scenario
        .warnings
        .iter()
        .filter(|p| p.concern.is_some())
        .map(|p| OutOfBounds {
            bound: Bound::of(p.concern),
            leg: leg_of(&p.path),
            words: p.message.clone(),
        })
        .collect();
    let calibration = &scenario.calibration;
    let of_calibration = |z: &OutOfBounds| z.bound == Bound::Excess && z.leg == calibration.name;
    // How often it runs out is counted in determinations only: here the plan has to do.
    if calibration.runs > 0
        && calibration.heaviest().nominal_margin(&scenario.room) < Some(0.0)
        && calibration.nominal_margin(&scenario.room).is_some()
        && !zones.iter().any(of_calibration)
    {
        zones.push(OutOfBounds {
            bound: Bound::Excess,
            leg: calibration.name.clone(),
            words: "what should be in excess runs out in the calibration with the heaviest mass of its window"
                .to_owned(),
        });
    }
    for leg in scenario.legs().into_iter().filter(|leg| leg.runs > 0) {
        let told =
            |z: &OutOfBounds| z.leg == leg.name && matches!(z.bound, Bound::Slow | Bound::Late);
        let left = unfelt(leg);
        if left > MOST_UNFELT && !zones.iter().any(told) {
            zones.push(OutOfBounds {
                bound: Bound::Late,
                leg: leg.name.clone(),
                words: format!(
                    "the thermometer has not felt {} of the heat of the {} when readings begin to count, at {} s",
                    percent(left),
                    leg.title(),
                    decimal(leg.read_from().0)
                ),
            });
        }
        let change = leg.largest_change(&scenario.room).0;
        // The scenario's own change is the cap of a warm one: rounding must not put it above itself.
        if change > cap * (1.0 + 1e-12) {
            zones.push(OutOfBounds {
                bound: Bound::LargeChange,
                leg: leg.name.clone(),
                words: format!(
                    "the temperature of the {} changes by {change:.1} K{}, more than the cap of {cap} K",
                    leg.title(),
                    if leg.binding(SourceId::Window).input.is_exact() {
                        ""
                    } else {
                        " with the heaviest mass of its window"
                    }
                ),
            });
        }
    }
    zones
}

fn leg_of(path: &str) -> String {
    crate::scenario::schema::in_leg(path).0.to_owned()
}
