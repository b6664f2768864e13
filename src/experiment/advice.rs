//! What a record will do to the result before any error is drawn.
//!
//! The smooth record of a typical run, and of one whose solid dissolves as slowly as one run in
//! twenty, is reduced as the lab would; what the change of temperature lacks beyond that of a solid
//! dissolved at once is late heat.

use super::trial::typical_plan;
use crate::lab::Reduction;
use crate::nature::{Group, Run};
use crate::random::{Draws, Layout, Plan, Treatment};
use crate::scenario::{Charge, Leg, Problem, Scenario, SourceId, locate};

/// Late heat below these shares is not worth a warning: typical run, slow run.
const WORTH_SAYING: [f64; 2] = [0.002, 0.01];

/// A line whose extension multiplies the noise of one reading by more than this is too short.
const LARGEST_FACTOR: f64 = 2.0;

/// Relative error of the change of temperature that a reduction makes of a smooth record.
pub fn reduction_error(scenario: &Scenario, leg: &Leg, plan: &Plan) -> f64 {
    let draws = Draws::new(0, 0, Layout::MARGINAL, plan);
    let group = Group::new(leg, scenario, &draws);
    let run = Run::new(&group, draws, 0, 0);
    let reduced = Reduction::of(leg).reduce(|_, t| run.smooth_reading(t));
    reduced.rise[0] / run.true_rise(0) - 1.0
}

/// The reader's plainer warnings of the same thing.
const PLAINER: [&str; 2] = ["still dissolving", "not dissolved when"];

/// Adds the advice to a scenario's warnings, each at its place in the file; it takes the place of the
/// reader's plainer warning that a run is still dissolving.
pub fn advise(scenario: &mut Scenario) {
    for mut found in advice(scenario) {
        let with_rate = found.path.replace(".time", ".rate");
        for path in [found.path.clone(), with_rate] {
            if found.span.is_none() {
                found.span = locate(&scenario.text, &path);
            }
        }
        scenario
            .warnings
            .retain(|w| w.path != found.path || !PLAINER.iter().any(|p| w.message.contains(p)));
        scenario.warnings.push(found);
    }
}

/// Warnings about the records of both legs.
pub fn advice(scenario: &Scenario) -> Vec<Problem> {
    let mut found = Vec::new();
    for leg in scenario.legs().into_iter().filter(|leg| leg.runs > 0) {
        let time = SourceId::DissolvingTime.source().tag();
        let with = |t: Treatment| {
            let plan = typical_plan().with(time, t);
            reduction_error(scenario, leg, &plan)
        };
        let at_once = with(Treatment::Perfect);
        let late = [Treatment::At(0.5), Treatment::At(0.95)].map(|t| with(t) - at_once);
        let path = format!("{}.dissolving.time", leg.name);
        // Heat that comes later also leaks less, which makes a change too large by a little; that is no
        // heat missed.
        if late[0] < -WORTH_SAYING[0] || late[1] < -WORTH_SAYING[1] {
            let size = |x: f64| {
                let way = if x < 0.0 { "small" } else { "large" };
                format!("{:.2} % too {way}", 100.0 * x.abs())
            };
            found.push(
                Problem::warning(
                    &path,
                    format!(
                        "late heat: the change of temperature comes out {} in a typical run, {} in \
                         the slowest of twenty",
                        size(late[0]),
                        size(late[1])
                    ),
                )
                .hint(match leg.charge {
                    Charge::Beforehand { .. } => {
                        "this is what a powder that is not dissolved at the break adds to the bias: its \
                         heat is that of the solid, and comes late; wait longer, or grind finer"
                    }
                    _ => {
                        "this is what a solid that takes its time adds to the bias; read later, grind \
                         finer, or reduce the record in another way"
                    }
                }),
            );
        }
        let factor = Reduction::of(leg).noise_squares()[0].sqrt();
        if leg.way.is_linear() && factor > LARGEST_FACTOR {
            found.push(
                Problem::warning(
                    &format!("{}.record.after", leg.name),
                    format!(
                        "the lines are short for the distance they are extended over: the noise of \
                         one reading counts {factor:.1} times"
                    ),
                )
                .hint("a longer period before or after mixing, or a shorter interval"),
            );
        }
    }
    found
}
