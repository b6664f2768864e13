//! What a record will do to the result before any error is drawn.
//!
//! The smooth record of a typical run, and of one whose solid dissolves as slowly as one run in
//! twenty, is reduced as the lab would; what the change of temperature lacks beyond that of a solid
//! dissolved at once is late heat. Mixing that takes its time and a thermometer that lags make heat late likewise.

use super::trial::typical_plan;
use crate::lab::Reduction;
use crate::nature::{Group, Rounding, Run};
use crate::random::{Draws, Layout, Plan, Treatment};
use crate::scenario::{Charge, Leg, Problem, Scenario, SourceId, locate};

/// Late heat below these shares is not worth a warning: typical run, slow run.
const WORTH_SAYING: [f64; 2] = [0.002, 0.01];

/// A line whose extension multiplies the noise of one reading by more than this is too short.
const LARGEST_FACTOR: f64 = 2.0;

/// Relative error of the change of temperature that a reduction makes of a smooth record.
pub fn reduction_error(scenario: &Scenario, leg: &Leg, plan: &Plan) -> f64 {
    let draws = Draws::new(0, 0, Layout::MARGINAL, plan);
    let group = Group::new(leg, scenario, &draws, Rounding::True);
    let run = Run::new(&group, draws, 0, 0);
    let mut recorder = run.recorder();
    let reduced = Reduction::of(leg).reduce(|_, t, out| recorder.smooth_reading(t, out));
    reduced.change[0] / run.true_change(0) - 1.0
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
        let plainer =
            |w: &Problem| w.path == found.path && PLAINER.iter().any(|p| w.message.contains(p));
        // It is about the same limit, which a study must know of.
        let same = scenario.warnings.iter().find(|w| plainer(w));
        let concern = same.and_then(|w| w.concern);
        scenario.warnings.retain(|w| !plainer(w));
        found.concern = concern;
        scenario.warnings.push(found);
    }
}

/// What makes heat come late.
const CAUSES: [SourceId; 3] = [
    SourceId::DissolvingTime,
    SourceId::MixingTime,
    SourceId::Lag,
];

/// What to do about heat that comes late.
fn remedy(cause: SourceId, leg: &Leg) -> &'static str {
    match (cause, leg.charge) {
        (SourceId::MixingTime, _) => {
            "this is what mixing that takes its time adds to the bias: stir better, or read later"
        }
        (SourceId::Lag, _) => {
            "this is what a thermometer that lags behind adds to the bias: read later, or use a faster one"
        }
        (_, Charge::Beforehand { .. }) => {
            "this is what a powder that is not dissolved at the break adds to the bias: its \
             heat is that of the solid, and comes late; wait longer, or grind finer"
        }
        _ => {
            "this is what a solid that takes its time adds to the bias; read later, grind \
             finer, or reduce the record in another way"
        }
    }
}

/// Relative error of the change of temperature that a cause makes, in a typical run and in the slowest of twenty: by itself,
/// or beside the others, whichever is less. One cause is not to be blamed for what another does.
fn lateness(scenario: &Scenario, leg: &Leg, cause: SourceId) -> [f64; 2] {
    if leg.runs == 0 || leg.binding(cause).input.is_exact() {
        return [0.0; 2];
    }
    let tag = cause.source().tag();
    let alone = CAUSES.iter().fold(typical_plan(), |plan, c| {
        plan.with(c.source().tag(), Treatment::Perfect)
    });
    let beside = typical_plan();
    [Treatment::At(0.5), Treatment::At(0.95)].map(|t| {
        let of = |plan: &Plan| {
            let with = |t| reduction_error(scenario, leg, &plan.clone().with(tag, t));
            with(t) - with(Treatment::Perfect)
        };
        let [alone, beside] = [of(&alone), of(&beside)];
        if alone.abs() < beside.abs() {
            alone
        } else {
            beside
        }
    })
}

fn too_small(late: [f64; 2]) -> String {
    let size = |x: f64| {
        let way = if x < 0.0 { "small" } else { "large" };
        format!("{:.2} % too {way}", 100.0 * x.abs())
    };
    format!(
        "{} in a typical run, {} in the slowest of twenty",
        size(late[0]),
        size(late[1])
    )
}

/// What a cause does in a leg.
struct Late {
    cause: SourceId,
    /// What it does by itself, in a typical run and in the slowest of twenty.
    own: [f64; 2],
    /// What the same thermometer does on the other side, of which that much cancels; 0 for other causes.
    there: [f64; 2],
}

impl Late {
    fn of(scenario: &Scenario, leg: &Leg, cause: SourceId) -> Self {
        let other = if leg.calibrates() {
            &scenario.determination
        } else {
            &scenario.calibration
        };
        let there = match cause {
            SourceId::Lag => lateness(scenario, other, cause),
            _ => [0.0; 2],
        };
        Self {
            cause,
            own: lateness(scenario, leg, cause),
            there,
        }
    }

    /// How many times what is worth saying; heat that comes later also leaks less, which makes a change too large by a
    /// little: that is no heat missed. Of a lag on both sides that side is told where it does more.
    fn weight(&self) -> f64 {
        let missed = |i: usize| (self.there[i] - self.own[i]).min(-self.own[i]) / WORTH_SAYING[i];
        missed(0).max(missed(1))
    }

    fn told(&self, leg: &Leg) -> Problem {
        let mut message = format!(
            "late heat: the change of temperature comes out {}",
            too_small(self.own)
        );
        if self.there != [0.0; 2] {
            let other = if leg.calibrates() {
                "determination"
            } else {
                "calibration"
            };
            message.push_str(&format!("; that of the {other} {}", too_small(self.there)));
        }
        let path = format!("{}.{}", leg.name, self.cause.source().key);
        Problem::warning(&path, message).hint(remedy(self.cause, leg))
    }
}

/// Warnings about the records of both legs.
pub fn advice(scenario: &Scenario) -> Vec<Problem> {
    let mut found = Vec::new();
    for leg in scenario.legs().into_iter().filter(|leg| leg.runs > 0) {
        let causes = CAUSES.map(|cause| Late::of(scenario, leg, cause));
        let worst = causes
            .iter()
            .max_by(|a, b| a.weight().total_cmp(&b.weight()));
        found.extend(worst.filter(|l| l.weight() > 1.0).map(|l| l.told(leg)));
        let factor = Reduction::of(leg).noise_squares(0.0)[0].sqrt();
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
