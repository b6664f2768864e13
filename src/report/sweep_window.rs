//! The window of a sweep as a sentence for the handout.

use crate::design::{Beyond, Goal, Sweep, Vary, Window};
use crate::random::dist::Distribution;
use crate::scenario::{SourceId, schema};
use crate::stats::quote;

/// What can be kept to, and what ends it.
pub(super) fn handout(s: &Sweep, vary: &Vary, window: &Window, goal: Goal) -> String {
    let is_mass = schema::in_leg(&vary.knob.path).1 == "charge.mass";
    let verb = if is_mass { "Weigh" } else { "Keep it at" };
    let [low, high] = window.ends;
    let span = if low == high {
        vary.words(low)
    } else {
        format!("{} to {}", vary.words(low), vary.words(high))
    };
    let mut out = format!(
        "{verb} {span}: there the target, {}, is reached.",
        goal.words()
    );
    out.push_str(&beyond(window));
    out.push_str(&found(vary, window));
    if is_mass && let Some(width) = width(s, vary) {
        out.push_str(&format!(
            " These are target masses: at each of them anything within {width} of it was weighed."
        ));
    }
    out
}

fn beyond(window: &Window) -> String {
    let why = |b: Beyond| match b {
        Beyond::NotLookedAt => "nothing was looked at".to_owned(),
        Beyond::Missed => "it is missed".to_owned(),
        Beyond::Bound(bound) => format!("a bound is crossed ({})", bound.label()),
    };
    let [below, above] = window.beyond;
    if below == above {
        return match below {
            Beyond::NotLookedAt => " That is all of the range looked at.".to_owned(),
            b => format!(" Below and above, {}.", why(b)),
        };
    }
    format!(" Below, {}; above, {}.", why(below), why(above))
}

/// How finely the ends were looked for, and how well the trials know them.
fn found(vary: &Vary, window: &Window) -> String {
    let finest = window.fineness.iter().copied().fold(0.0, f64::max);
    if finest == 0.0 {
        return String::new();
    }
    let worst = window.se.iter().copied().fold(0.0, f64::max);
    let unit = vary.axis().1;
    let size = |x: f64, digits: u32| {
        let x = vary.on_axis(x);
        // Without the zeros that a step has behind it.
        let short: f64 = quote(x, x, digits).value.parse().unwrap_or(x);
        format!("{short} {unit}")
    };
    let error = if worst > 0.0 && worst.is_finite() {
        format!("; the trials know them to {}", size(worst, 1))
    } else {
        String::new()
    };
    format!(
        " Ends were looked for in steps of {}{error}.",
        size(finest, 2)
    )
}

/// Relative half-width of the window of a target mass, if it has one.
fn width(s: &Sweep, vary: &Vary) -> Option<String> {
    let name = schema::in_leg(&vary.knob.path).0;
    let leg = s
        .scenario
        .legs()
        .into_iter()
        .find(|leg| leg.name == name && leg.mass.0 > 0.0)?;
    let input = &leg.binding(SourceId::Window).input;
    if input.is_exact() {
        return None;
    }
    let [below, above] = [0.0, 1.0].map(|p| 100.0 * input.dist.quantile(p) / leg.mass.0);
    let short = |x: f64| quote(x, x.abs(), 2).value;
    Some(if (below + above).abs() < 1e-9 * above.abs() {
        format!("{} %", short(above))
    } else {
        format!("{} to +{} %", short(below), short(above))
    })
}
