//! The window of a sweep as a sentence for the handout.

use super::words::listed;
use crate::design::{Beyond, Goal, Sweep, SweepPoint, Vary, Window};
use crate::report::words::percent;
use crate::scenario::{SourceId, schema};
use crate::stats::quote;

/// What can be kept to, and what ends it.
pub(in crate::report) fn handout(s: &Sweep, vary: &Vary, window: &Window, goal: Goal) -> String {
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
    let open = open(s, window, goal);
    let edges = open.map(|x| x.map(|x| vary.words(x)));
    out.push_str(&match &edges {
        [None, None] => String::new(),
        [Some(low), None] => format!(" Down to {low} the trials do not tell."),
        [None, Some(high)] => format!(" Up to {high} the trials do not tell."),
        [Some(low), Some(high)] => {
            format!(" Down to {low} and up to {high} the trials do not tell.")
        }
    });
    let told = |i: &usize| {
        let x = s.points[*i].at[0];
        let low = open[0].is_none_or(|low| x < low);
        let high = open[1].is_none_or(|high| x > high);
        if x < window.ends[0] { low } else { high }
    };
    let further: Vec<usize> = s.further().into_iter().filter(told).collect();
    if !further.is_empty() {
        out.push_str(&format!(
            " It is reached as well, beyond a gap, at {}.",
            listed(s, vary, &further)
        ));
    }
    out.push_str(&found(vary, window));
    out.push_str(&biased(s, window, goal));
    if is_mass && let Some(width) = width(s, vary) {
        out.push_str(&format!(
            " These are target masses: at each of them anything within {width} of it was weighed."
        ));
    }
    out
}

/// How far beyond each end of a window points follow that the trials do not tell from the target; `None` where that is one
/// step at most, of which the error of the end tells enough.
fn open(s: &Sweep, window: &Window, goal: Goal) -> [Option<f64>; 2] {
    let is_open = |p: &&SweepPoint| {
        let o = p.outcome.as_ref().filter(|_| p.zones.is_empty());
        o.is_some_and(|o| goal.is_open(goal.measure(o)))
    };
    let [low, high] = window.ends;
    let below = s.points.iter().rev().skip_while(|p| p.at[0] >= low);
    let above = s.points.iter().skip_while(|p| p.at[0] <= high);
    let last = |open: Vec<&SweepPoint>| open.last().filter(|_| open.len() > 1).map(|p| p.at[0]);
    [
        last(below.take_while(is_open).collect()),
        last(above.take_while(is_open).collect()),
    ]
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

/// The error of an end is told from this part of the steps on in which it was looked for.
const TOLD: f64 = 0.1;

/// How finely the ends were looked for, and how well the trials know them.
fn found(vary: &Vary, window: &Window) -> String {
    let finest = window.fineness.iter().copied().fold(0.0, f64::max);
    if finest == 0.0 {
        return String::new();
    }
    // Of an error far below the steps there is nothing to say.
    let told = |se: f64| se.is_finite() && se > TOLD * finest;
    let known = window.se.iter().filter(|se| told(**se));
    let which = match window.se.map(told) {
        [true, false] => "the lower one",
        [false, true] => "the upper one",
        _ => "them",
    };
    let worst = known.copied().fold(0.0, f64::max);
    let unit = vary.axis().1;
    let size = |x: f64, digits: u32| {
        let x = vary.on_axis(x);
        // Without the zeros that a step has behind it.
        let short: f64 = quote(x, x, digits).value.parse().unwrap_or(x);
        // A step of three figures is not cut to two.
        let exact = digits > 1 && format!("{x}").len() <= 6;
        let short = if exact { x } else { short };
        format!("{short} {unit}")
    };
    let error = if worst > 0.0 && worst.is_finite() {
        format!(
            "; the trials know {which} to {} (standard error)",
            size(worst, 1)
        )
    } else {
        String::new()
    };
    format!(
        " Ends were looked for in steps of {}{error}.",
        size(finest, 2)
    )
}

/// A bias is worth a word from this share of the target on.
const WORTH_SAYING: f64 = 0.5;

/// What the bias does over a window whose target looks at the spread alone.
fn biased(s: &Sweep, window: &Window, goal: Goal) -> String {
    let Goal::Spread(target) = goal else {
        return String::new();
    };
    let [low, high] = window.ends;
    let inside = s
        .points
        .iter()
        .filter(|p| (low..=high).contains(&p.at[0]))
        .filter_map(|p| Some(p.outcome.as_ref()?.relative_bias().value));
    let all: Vec<f64> = inside.collect();
    let [least, most] = [f64::min, f64::max].map(|f| all.iter().copied().fold(f64::NAN, f));
    let size = least.abs().max(most.abs());
    if size.is_nan() || size <= WORTH_SAYING * target {
        return String::new();
    }
    let signed = |x: f64| format!("{}{}", if x > 0.0 { "+" } else { "" }, percent(x));
    let range = if percent(least) == percent(most) {
        format!("is {}", signed(least))
    } else {
        format!("goes from {} to {}", signed(least), signed(most))
    };
    format!(" The bias, which this target does not look at, {range} there; --within looks at both.")
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
