//! The window of a sweep: from where to where the target is reached, and how well the ends are known.

use super::words::listed;
use crate::design::{Beyond, Goal, Sweep, SweepPoint, Vary, Window};
use crate::report::words::percent;
use crate::scenario::{SourceId, schema};
use crate::stats::quote;

/// From where to where, and what ends it.
pub(super) fn reached(s: &Sweep, vary: &Vary, window: &Window, goal: Goal) -> String {
    let [low, high] = window.ends;
    let span = if low == high {
        format!("at {}", vary.words(low))
    } else {
        format!("from {} to {}", vary.words(low), vary.words(high))
    };
    let mut out = format!("The target is reached {span} ({}).", beyond(window));
    let open = open(s, window, goal);
    let outside = |i: &usize| {
        let x = s.points[*i].at[0];
        let [low, high] = [0, 1].map(|i| open[i].unwrap_or(window.ends[i]));
        x < low || x > high
    };
    let further: Vec<usize> = s.further().into_iter().filter(outside).collect();
    if !further.is_empty() {
        out.push_str(&format!(
            " It is reached as well, beyond a gap, at {}.",
            listed(s, &further)
        ));
    }
    out
}

/// How well the ends are known, and what the target does not look at.
pub(super) fn details(s: &Sweep, vary: &Vary, window: &Window, goal: Goal) -> Vec<String> {
    let edges = open(s, window, goal);
    let untold = ["down to", "up to"].into_iter().zip(edges);
    let untold: Vec<String> = untold
        .filter_map(|(way, x)| Some(format!("{way} {}", vary.words(x?))))
        .collect();
    let open = (!untold.is_empty()).then(|| {
        format!(
            "Beyond these ends, {}, these trials cannot tell whether the target is reached.",
            untold.join(" and ")
        )
    });
    let is_mass = schema::in_leg(&vary.parameter.path).1 == "charge.mass";
    let width = width(s, vary).filter(|_| is_mass).map(|width| {
        format!(
            "These are target masses: at each of them anything within {width} of it was weighed."
        )
    });
    let all = [open, found(vary, window), biased(s, window, goal), width];
    all.into_iter().flatten().collect()
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
        Beyond::NotLookedAt => "not looked at",
        Beyond::Missed => "missed",
        Beyond::Bound(bound) => bound.label(),
    };
    match window.beyond {
        [Beyond::NotLookedAt, Beyond::NotLookedAt] => "all of the range looked at".to_owned(),
        [below, above] if below == above => format!("below and above: {}", why(below)),
        [below, above] => format!("below: {}; above: {}", why(below), why(above)),
    }
}

/// The error of an end is told from this part of the steps on in which it was looked for.
const TOLD: f64 = 0.1;

/// How finely the ends were looked for, and how well the trials know them.
fn found(vary: &Vary, window: &Window) -> Option<String> {
    let finest = window.fineness.iter().copied().fold(0.0, f64::max);
    if finest == 0.0 {
        return None;
    }
    let unit = vary.axis().1;
    let size = |x: f64, digits: u32| {
        let x = vary.on_axis(x);
        // Without the zeros that a step has behind it.
        let short: f64 = quote(x, x, digits).value.parse().unwrap_or(x);
        // A step of three figures is not cut to two.
        let exact = digits > 1 && format!("{x}").len() <= 6;
        format!("{} {unit}", if exact { x } else { short })
    };
    // Of an error far below the steps there is nothing to say.
    let told = |se: f64| se.is_finite() && se > TOLD * finest;
    let worst = window.se.into_iter().filter(|se| told(*se));
    let worst = worst.fold(0.0, f64::max);
    let which = match window.se.map(told) {
        [true, false] => "the lower end",
        [false, true] => "the upper end",
        _ => "them",
    };
    let error = if worst > 0.0 {
        format!(
            "; the trials know {which} to {} (standard error)",
            size(worst, 1)
        )
    } else {
        String::new()
    };
    Some(format!(
        "Ends were looked for in steps of {}{error}.",
        size(finest, 2)
    ))
}

/// A bias is worth a word from this share of the target on.
const WORTH_SAYING: f64 = 0.5;

/// What the bias does over a window whose target looks at the spread alone.
fn biased(s: &Sweep, window: &Window, goal: Goal) -> Option<String> {
    let Goal::Spread(target) = goal else {
        return None;
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
        return None;
    }
    let signed = |x: f64| format!("{}{}", if x > 0.0 { "+" } else { "" }, percent(x));
    let range = if percent(least) == percent(most) {
        format!("is {}", signed(least))
    } else {
        format!("goes from {} to {}", signed(least), signed(most))
    };
    Some(format!(
        "The bias, which this target does not look at, {range} there; --within looks at both."
    ))
}

/// Relative half-width of the window of a target mass, if it has one.
fn width(s: &Sweep, vary: &Vary) -> Option<String> {
    let name = schema::in_leg(&vary.parameter.path).0;
    let legs = s.scenario.legs();
    let leg = legs
        .iter()
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
