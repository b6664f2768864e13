//! A sweep in sentences: what to choose, where the target is reached, what limits.

use super::bounds::labels;
use super::choice::{Cheaper, Choice, WORTH, cheaper, choice, counts, now, rms};
use super::window::reached;
use super::words::{at, axis, bare, listed, name, value};
use crate::design::{Goal, Made, Outcome, Sweep, VarianceFit, Vary, set_apart};
use crate::report::words::{in_a_row, leg_of, percent, share};
use crate::scenario::{SourceId, schema};
use crate::stats::Estimate;

/// What to choose, and what it brings; `made` says where most of the spread is made.
pub(super) fn choose(s: &Sweep, made: Option<&Made>) -> Option<String> {
    if counts(s) {
        return match s.goal {
            Some(goal) => least_effort(s, goal),
            None if s.vary.len() == 1 => worthwhile(s),
            None => first_to_add(s),
        };
    }
    let c = choice(s)?;
    let error = rms(s, c.at)?;
    let brings = match now(s) {
        Some(now) if now == c.at => format!("the RMS error is {} %", share(error)),
        now => match now.and_then(|i| rms(s, i)) {
            Some(before) if (error.value / before.value - 1.0).abs() > c.within => {
                let way = match error.value < before.value {
                    true => "falls",
                    false => "grows",
                };
                let [before, after] = [before, error].map(share);
                format!("the RMS error {way} from {before} to {after} %")
            }
            Some(_) => format!("the RMS error stays {} %", share(error)),
            None => format!("the RMS error is {} %", share(error)),
        },
    };
    let because = made.filter(|m| s.vary.iter().any(|v| v.knob.path == m.path));
    let because = because.map_or(String::new(), |m| {
        format!(
            " Reading the change of temperature of the {} makes {:.0} % of the variance.",
            leg_of(&m.leg),
            100.0 * m.share
        )
    });
    Some(format!(
        "{}: {brings}.{}{because}",
        what_to_do(s, c.at),
        how_flat(s, &c)
    ))
}

/// The value in the words of a procedure, with its key and what it is now.
fn what_to_do(s: &Sweep, point: usize) -> String {
    let keep = now(s) == Some(point);
    let [vary] = s.vary.as_slice() else {
        let verb = if keep { "Keep" } else { "Choose" };
        return format!("{verb} {}", at(s, &s.points[point]));
    };
    let x = value(vary, s.points[point].at[0]);
    let (leg, tail) = schema::in_leg(&vary.knob.path);
    let before = match vary.knob.now {
        now if keep || now.is_nan() => String::new(),
        now => format!(", now {}", value(vary, now)),
    };
    let of = format!("(`{}`{before})", vary.knob.path);
    let legs = s.scenario.legs();
    let own = legs.iter().find(|l| l.name == leg);
    match (own, tail) {
        (Some(own), "charge.mass") => {
            let substance = own.reaction.substance.split(',').next().unwrap_or_default();
            let verb = if keep { "Keep to" } else { "Weigh" };
            format!("{verb} {x} of {substance} {of}")
        }
        _ if cheaper(vary) == Cheaper::Larger => {
            format!("{x} is good enough as {} {of}", name(vary))
        }
        _ => {
            let verb = if keep { "Keep" } else { "Choose" };
            format!("{verb} {x} as {} {of}", name(vary))
        }
    }
}

/// Says that an optimum is flat, or that it lies at an end of what was looked at.
fn how_flat(s: &Sweep, c: &Choice) -> String {
    let [low, high] = c.flat;
    let ends = s.vary.iter().zip(&s.points[c.at].at);
    let at_end = ends
        .into_iter()
        .any(|(v, x)| v.values.len() > 1 && [v.values.first(), v.values.last()].contains(&Some(x)));
    if low == high {
        return match at_end {
            true => " That is an end of the range looked at: look beyond it.".to_owned(),
            false => String::new(),
        };
    }
    let least = rms(s, c.best).map_or(String::new(), share);
    let value = |i: usize| at(s, &s.points[i]);
    format!(
        " The optimum is flat: from {} to {} the RMS error is within {} of the least, {least} %.",
        value(low),
        value(high),
        percent(c.within)
    )
}

/// The runs of the least effort that reach a target.
fn least_effort(s: &Sweep, goal: Goal) -> Option<String> {
    let least = s.least()?;
    let p = &s.points[least];
    let there = goal.measure(p.outcome.as_ref()?);
    let (how, same) = match p.time() {
        Some(t) => (
            format!("the shortest way, {:.1} h,", t / 3600.0),
            "in the same time",
        ),
        None => ("the fewest runs".to_owned(), "with as many runs"),
    };
    let as_short = |i: &usize| {
        *i != least
            && s.points[*i].reaches(goal)
            && (s.effort(*i) / s.effort(least) - 1.0).abs() < 1e-6
    };
    let ties: Vec<usize> = (0..s.points.len()).filter(as_short).collect();
    let ties = match ties.as_slice() {
        [] => String::new(),
        some => format!(" {same}: {}.", listed(s, some)).replacen(' ', " Also ", 1),
    };
    let open = match goal.is_open(there) {
        true => ", too close to the target for these trials to tell",
        false => "",
    };
    Some(format!(
        "Do {}, {how} to reach the target, {}: the {} is {} %{open}.{ties}",
        at(s, p),
        goal.words(),
        goal.name(),
        share(there)
    ))
}

/// The runs from which on one step more gains little.
fn worthwhile(s: &Sweep) -> Option<String> {
    let at_least = choice(s)?.at;
    let p = &s.points[at_least];
    let next = (at_least + 1..s.points.len()).find(|i| rms(s, *i).is_some());
    let further = match next {
        Some(i) => format!(
            "; {} would lower it by less than {:.0} %",
            at(s, &s.points[i]),
            100.0 * WORTH
        ),
        None => "; that is the last number in bounds that was looked at".to_owned(),
    };
    Some(format!(
        "Without a target, do {}: the RMS error is {} %{further}.",
        at(s, p),
        share(rms(s, at_least)?)
    ))
}

/// Of two numbers of runs: of which kind one more gains more.
fn first_to_add(s: &Sweep) -> Option<String> {
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
        "After {} (RMS error {} %) add to the {} first: {} reach {} %, {} {} %.",
        at(s, &s.points[from]),
        share(here),
        name(&s.vary[usize::from(order[0].0 == other)]),
        better.0,
        better.1,
        worse.0,
        worse.1
    ))
}

/// Where the target is reached, unless the choice says so already.
pub(super) fn target(s: &Sweep) -> Option<String> {
    let goal = s.goal?;
    let target = goal.words();
    if let Some(n) = s.untold() {
        let points = if n == 1 { "point lies" } else { "points lie" };
        return Some(format!(
            "These trials cannot tell whether the target, {target}, is reached: {n} {points} too close to it. More --trials \
             would tell."
        ));
    }
    if s.least().is_none() {
        let sound = s.points.iter().filter(|p| p.zones.is_empty());
        let seen = sound.filter_map(|p| p.outcome.as_ref());
        let open = seen.filter(|o| goal.is_open(goal.measure(o))).count();
        return Some(match open {
            0 => format!("Nothing here reaches the target, {target}."),
            n => format!(
                "No point reaches the target, {target}; {n} of {} are too close to it for these trials to tell.",
                s.points.len()
            ),
        });
    }
    match (s.vary.as_slice(), &s.window) {
        _ if counts(s) => None,
        ([vary], Some(window)) => Some(reached(s, vary, window, goal)),
        ([_], None) => Some(format!(
            "The target, {target}, is reached with {}; values between them cannot be, or were not looked at.",
            listed(s, &s.further())
        )),
        _ => {
            let met = s.points.iter().filter(|p| p.reaches(goal)).count();
            Some(format!(
                "The target, {target}, is reached at {met} of {} points.",
                s.points.len()
            ))
        }
    }
}

/// What keeps the error from being smaller still.
pub(super) fn limit(s: &Sweep) -> Option<String> {
    if let Some(fit) = &s.fit {
        let one = s.points.iter().find_map(|p| p.outcome.as_ref())?;
        return Some(floor(fit, one.target, &whose(s), &kept(s)));
    }
    let c = choice(s)?;
    let [vary] = s.vary.as_slice() else {
        return None;
    };
    let [low, high] = c.flat;
    let beyond = |i: Option<usize>| {
        let p = s.points.get(i?)?;
        Some(labels(p)).filter(|words| !words.is_empty())
    };
    let at = |i: usize| value(vary, s.points[i].at[0]);
    if c.best == high
        && let Some(words) = beyond(Some(high + 1))
    {
        return Some(format!("Above {} a bound is crossed: {words}.", at(high)));
    }
    if c.best == low
        && let Some(words) = beyond(low.checked_sub(1))
    {
        return Some(format!("Below {} a bound is crossed: {words}.", at(low)));
    }
    let o: &Outcome = s.points[c.best].outcome.as_ref()?;
    let [spread, bias] = [o.relative(o.errors.spread), o.relative_bias()];
    (low < high || c.best > 0 && c.best + 1 < s.points.len()).then(|| {
        let seen = bias.value.abs() > (3.0 * bias.se).max(0.3 * spread.value);
        let bias = match seen {
            true => format!(" and a bias of {} %", signed(bias)),
            false => String::new(),
        };
        format!(
            "At the optimum a spread of {} %{bias} is left, which other errors make.",
            share(spread)
        )
    })
}

/// A share in percent with its sign.
pub(super) fn signed(e: Estimate) -> String {
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
            let q = crate::stats::quote(value, se, 1);
            format!("{} ± {}", q.value, q.u)
        }
        false => share(floor),
    };
    format!(
        "No number of {whose} brings the spread below {known} %: that comes from {rest}what all runs of a group or of a course \
         share."
    )
}

/// Runs of which kind are varied.
fn whose(s: &Sweep) -> String {
    match s.vary.as_slice() {
        [one] if !kept(s).is_empty() => match leg_of(&one.knob.path) {
            "calibration" => "calibration runs".to_owned(),
            _ if !one.knob.others => "determinations".to_owned(),
            leg => format!("runs of `{leg}`"),
        },
        _ if s.scenario.calibration.runs == 0 && !s.scenario.is_cycle() => {
            "determinations".to_owned()
        }
        _ if kept(s).is_empty() => "runs of every kind".to_owned(),
        _ => "runs of these kinds".to_owned(),
    }
}

/// Legs whose runs stay as they are.
fn kept(s: &Sweep) -> Vec<String> {
    let legs = s.scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    legs.filter(|leg| !s.vary.iter().any(|v| v.knob.sets(&leg.name, "runs")))
        .map(|leg| format!("`{}`", leg.title()))
        .collect()
}

/// What a reader may not expect of what is varied.
pub(super) fn notes(s: &Sweep) -> Vec<String> {
    let each = |v: &Vary| [missed(v), of_mean(v), apart(s, v)];
    let mut all: Vec<String> = s.vary.iter().flat_map(each).flatten().collect();
    all.extend(kept_leak(s));
    all
}

fn missed(v: &Vary) -> Option<String> {
    let end = v.words(v.missed?);
    let last = v.words(*v.values.last()?);
    Some(format!(
        "{}: the steps end at {last}, before {end}.",
        axis(v)
    ))
}

/// Says what is varied of an error that can only go one way.
fn of_mean(vary: &Vary) -> Option<String> {
    vary.knob.is_loss().then(|| {
        format!(
            "`{0}` goes one way only: its mean over runs is varied. A single known incident is set by its size: `compare \
             --set \"{0} = exactly ...\"`.",
            vary.knob.path
        )
    })
}

/// Says that a leg gets an instrument of its own, which nobody would think of who varies one of its numbers.
fn apart(s: &Sweep, vary: &Vary) -> Option<String> {
    let key = bare(vary);
    let (leg, site) = set_apart(&s.scenario, key)?;
    let leg = leg_of(leg);
    Some(format!(
        "Stated for `{leg}` alone, this gives it a {site} of its own: errors of the {site} that all legs share now no longer \
         cancel. `{}` varies it for all legs.",
        key.split_once(&format!("{leg}."))
            .map_or(key, |(_, tail)| tail)
    ))
}

/// A leak is stated as a rate, which belongs to a filling.
fn kept_leak(s: &Sweep) -> Option<String> {
    let of_filling = |v: &Vary| {
        let (_, tail) = schema::in_leg(&v.knob.path);
        matches!(tail, "liquid.volume" | "liquid.mass")
    };
    let leaks = s.scenario.legs().into_iter().any(|leg| {
        let leak = &leg.binding(SourceId::Leak).input.dist;
        leg.runs > 0 && leak.mean() > 0.0
    });
    (leaks && s.vary.iter().any(of_filling)).then(|| {
        "The heat leak is kept as the rate that is stated; in truth it falls as the heat capacity of the contents increases. \
         Vary `vessel.leak` as well to see whether that matters."
            .to_owned()
    })
}
