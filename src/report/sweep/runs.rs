//! How many runs to do, and what more of them cannot average.

use super::choice::{WORTH, choice, now, rms};
use super::words::{at, listed, name};
use crate::design::{Goal, Sweep, VarianceFit};
use crate::report::words::{in_a_row, leg_of, percent, share};
use crate::stats::{Estimate, quote};

/// The runs of the least effort that reach a target.
pub(super) fn least_effort(s: &Sweep, goal: Goal) -> Option<String> {
    let least = s.least()?;
    let p = &s.points[least];
    let there = goal.measure(p.outcome.as_ref()?);
    let (how, same) = match p.time() {
        Some(t) => (
            format!("the shortest way ({:.1} h)", t / 3600.0),
            "Also in that time",
        ),
        None => ("the fewest runs".to_owned(), "Also with as many runs"),
    };
    let as_short = |i: &usize| {
        *i != least
            && s.points[*i].reaches(goal)
            && (s.effort(*i) / s.effort(least) - 1.0).abs() < 1e-6
    };
    let ties: Vec<usize> = (0..s.points.len()).filter(as_short).collect();
    let ties = match ties.as_slice() {
        [] => String::new(),
        some => format!(" {same}: {}.", listed(s, some)),
    };
    let open = match goal.is_open(there) {
        true => ", too close to tell",
        false => "",
    };
    Some(format!(
        "Do {}, {how} to reach the target: the {} is {} %{open}.{ties}",
        at(s, p),
        goal.name(),
        share(there)
    ))
}

/// The runs from which on one step more gains little.
pub(super) fn worthwhile(s: &Sweep) -> Option<String> {
    let chosen = choice(s)?.at;
    let next = (chosen + 1..s.points.len()).find(|i| rms(s, *i).is_some());
    let further = match next {
        Some(i) => format!(
            ", which {:.0} lower by less than {:.0} %",
            s.points[i].at[0],
            100.0 * WORTH
        ),
        None => ", the last number in bounds that was looked at".to_owned(),
    };
    Some(format!(
        "Do {}: the RMS error is {} %{further}.",
        at(s, &s.points[chosen]),
        share(rms(s, chosen)?)
    ))
}

/// Of two numbers of runs: of which kind one more gains more.
pub(super) fn first_to_add(s: &Sweep) -> Option<String> {
    let across = s.vary.first()?.values.len();
    let sound = |i: &usize| rms(s, *i).is_some();
    let from = now(s).filter(sound).unwrap_or(0);
    let next = [
        (from % across + 1 < across).then_some(from + 1),
        Some(from + across).filter(|i| *i < s.points.len()),
    ];
    let [one, other] = next.map(|i| i.filter(sound));
    let (one, other) = (one?, other?);
    let errors = [from, one, other].map(|i| rms(s, i));
    let [Some(here), Some(first), Some(second)] = errors else {
        return None;
    };
    let order = match first.value < second.value {
        true => [(one, first), (other, second)],
        false => [(other, second), (one, first)],
    };
    let [better, worse] = order.map(|(i, e)| (at(s, &s.points[i]), share(e)));
    Some(format!(
        "After {} (RMS error {} %) add {} first: {} give {} %, {} {} %.",
        at(s, &s.points[from]),
        share(here),
        name(&s.vary[usize::from(order[0].0 == other)]),
        better.0,
        better.1,
        worse.0,
        worse.1
    ))
}

/// A bias is worth a word from this share of the floor on.
const BIASED: f64 = 0.3;

/// What more runs cannot average, where only their numbers are varied.
pub(super) fn limit(s: &Sweep) -> Option<String> {
    let last = s.points.iter().rev().find_map(|p| p.outcome.as_ref())?;
    let fit = s.fit.as_ref()?;
    let floor = floor(fit, last.target, &whose(s), &kept(s));
    let bias = last.relative_bias();
    let seen = last.errors.bias.value.abs() > BIASED * fit.floor.value;
    Some(match seen && bias.is_seen() {
        true => format!("{floor} The bias, {} %, stays as well.", signed(bias)),
        false => floor,
    })
}

/// A share in percent with its sign.
fn signed(e: Estimate) -> String {
    let sign = if e.value > 0.0 { "+" } else { "" };
    format!("{sign}{}", share(e))
}

/// What more runs of which kind cannot average.
pub(super) fn floor(fit: &VarianceFit, result: f64, whose: &str, kept: &[String]) -> String {
    let floor = Estimate::new(fit.floor.value / result.abs(), fit.floor.se / result.abs());
    if floor.value < 2.0 * floor.se {
        return format!(
            "With more and more {whose} the spread falls to less than these trials can detect, {}.",
            percent(2.0 * floor.se)
        );
    }
    let rest = match kept {
        [] => String::new(),
        some => format!(
            "the runs of {}, which stay as they are, and ",
            in_a_row(some)
        ),
    };
    let [value, se] = [floor.value, floor.se].map(|x| 100.0 * x);
    let known = match se > 0.0 {
        true => {
            let q = quote(value, se, 1);
            format!("{} ± {}", q.value, q.u)
        }
        false => share(floor),
    };
    format!(
        "No number of {whose} brings the spread below {known} %, which comes from {rest}what all runs share."
    )
}

/// Runs of which kind are varied.
fn whose(s: &Sweep) -> String {
    match s.vary.as_slice() {
        [one] if !kept(s).is_empty() => match leg_of(&one.parameter.path) {
            "calibration" => "calibration runs".to_owned(),
            _ if !one.parameter.others => "determinations".to_owned(),
            leg => format!("runs of `{leg}`"),
        },
        _ if s.scenario.calibration.runs == 0 && !s.scenario.is_cycle() => {
            "determinations".to_owned()
        }
        _ if kept(s).is_empty() => "runs".to_owned(),
        _ => "runs of these kinds".to_owned(),
    }
}

/// Legs whose runs stay as they are.
fn kept(s: &Sweep) -> Vec<String> {
    let legs = s.scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    legs.filter(|leg| !s.vary.iter().any(|v| v.parameter.sets(&leg.name, "runs")))
        .map(|leg| format!("`{}`", leg.title()))
        .collect()
}
