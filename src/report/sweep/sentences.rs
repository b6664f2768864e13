//! A sweep in sentences: what to choose, and where the target is reached.

use super::bounds::labels;
use super::choice::{Cheaper, Choice, cheaper, choice, counts, now, rms};
use super::runs::{first_to_add, least_effort, worthwhile};
use super::window::reached;
use super::words::{at, listed, name, value};
use crate::design::{Made, Sweep};
use crate::report::document::figures;
use crate::report::words::{in_a_row, leg_of, share};
use crate::scenario::schema;

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
    if makes_no_difference(s) {
        let names: Vec<String> = s.vary.iter().map(name).collect();
        return Some(format!(
            "No difference is made by: {}. The RMS error is {} % throughout.",
            in_a_row(&names),
            share(error)
        ));
    }
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
    // With a target there is enough to read.
    let made = made.filter(|_| s.goal.is_none());
    let because = made.filter(|m| s.vary.iter().any(|v| v.parameter.path == m.path));
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

/// Whether the same random numbers give the same error at all points in bounds.
fn makes_no_difference(s: &Sweep) -> bool {
    let all: Vec<f64> = (0..s.points.len())
        .filter_map(|i| Some(rms(s, i)?.value))
        .collect();
    all.len() > 1 && all.iter().all(|x| (x / all[0] - 1.0).abs() < 1e-9)
}

/// The value in the words of a procedure, with its key and what it is now.
fn what_to_do(s: &Sweep, point: usize) -> String {
    let keep = now(s) == Some(point);
    let [vary] = s.vary.as_slice() else {
        let verb = if keep { "Keep" } else { "Choose" };
        return format!("{verb} {}", named(s, point));
    };
    let x = value(vary, s.points[point].at[0]);
    let (leg, tail) = schema::in_leg(&vary.parameter.path);
    let before = match vary.parameter.now {
        now if keep || now.is_nan() => String::new(),
        now => format!(", now {}", value(vary, now)),
    };
    let of = format!("(`{}`{before})", vary.parameter.path);
    let legs = s.scenario.legs();
    let own = legs.iter().find(|l| l.name == leg);
    match (own, tail) {
        (Some(own), "charge.mass") => {
            let substance = own.reaction.substance.split(',').next().unwrap_or_default();
            let verb = if keep { "Keep to" } else { "Weigh" };
            let more = s.points[point].at[0] > vary.parameter.now;
            let look = if more {
                "; look at its hazards again"
            } else {
                ""
            };
            format!(
                "{verb} {x} of {substance} (`{}`{before}{look})",
                vary.parameter.path
            )
        }
        _ if cheaper(vary) == Cheaper::Larger => {
            format!("Up to {x} is good enough as {} {of}", name(vary))
        }
        _ => {
            let verb = if keep { "Keep" } else { "Choose" };
            format!("{verb} {x} as {} {of}", name(vary))
        }
    }
}

/// Each value of a point with its name.
fn named(s: &Sweep, point: usize) -> String {
    let pairs = s.vary.iter().zip(&s.points[point].at);
    let each = pairs.map(|(v, x)| format!("{} {}", name(v), value(v, *x)));
    in_a_row(&each.collect::<Vec<_>>())
}

/// Says that an optimum is flat, or what ends it: a bound, or the range that was looked at.
fn how_flat(s: &Sweep, c: &Choice) -> String {
    let [low, high] = c.flat;
    let within = figures(100.0 * c.within, 1);
    let least = rms(s, c.best).map_or(String::new(), share);
    if c.about > 1 && s.vary.len() > 1 {
        return format!(
            " The optimum is flat: at {} of {} points it is within {within} % of the least, {least} %.",
            c.about,
            s.points.len()
        );
    }
    if low == high {
        let end = s.vary.iter().zip(&s.points[c.at].at).any(|(v, x)| {
            v.values.len() > 1 && [v.values.first(), v.values.last()].contains(&Some(x))
        });
        let beside = [c.at.checked_sub(1), Some(c.at + 1)].into_iter().flatten();
        let mut beyond = beside.filter_map(|i| s.points.get(i).map(labels));
        return match (end, beyond.find(|words| !words.is_empty())) {
            // A smaller error is always better.
            _ if s.vary.iter().all(|v| cheaper(v) == Cheaper::Larger) => String::new(),
            (true, _) if s.points.len() > 1 => {
                " It lies at an end of the range looked at: look beyond it.".to_owned()
            }
            (_, Some(bound)) if s.vary.len() == 1 && s.window.is_none() && !s.is_scattered() => {
                format!(" Next to it a bound is crossed: {bound}.")
            }
            _ => String::new(),
        };
    }
    let value = |i: usize| at(s, &s.points[i]);
    let [from, to] = [low, high].map(|i| s.points[i].at[0]);
    let now = s.vary[0].parameter.now;
    let included = match (from..=to).contains(&now) && now != s.points[c.at].at[0] {
        true => "; the present value is among them",
        false => "",
    };
    format!(
        " The optimum is flat: from {} to {} it is within {within} % of the least, {least} %{included}.",
        value(low),
        value(high)
    )
}

/// Where the target is reached, unless the choice says so already.
pub(super) fn target(s: &Sweep) -> Option<String> {
    let goal = s.goal?;
    if let Some(n) = s.untold() {
        let points = if n == 1 { "point lies" } else { "points lie" };
        return Some(format!(
            "These trials cannot tell whether the target is reached: {n} {points} too close to it. More --trials \
             would tell."
        ));
    }
    if s.least().is_none() {
        let sound = s.points.iter().filter(|p| p.zones.is_empty());
        let seen = sound.filter_map(|p| p.outcome.as_ref());
        let open = seen.filter(|o| goal.is_open(goal.measure(o))).count();
        return Some(match open {
            0 => "Nothing here reaches the target.".to_owned(),
            n => format!(
                "No point reaches the target; {n} of {} are too close to it for these trials to tell.",
                s.points.len()
            ),
        });
    }
    match (s.vary.as_slice(), &s.window) {
        _ if counts(s) => None,
        ([vary], Some(window)) => Some(reached(s, vary, window, goal)),
        ([_], None) => Some(format!(
            "The target is reached with {}; values between them cannot be, or were not looked at.",
            listed(s, &s.further())
        )),
        _ => {
            let met = s.points.iter().filter(|p| p.reaches(goal)).count();
            Some(format!(
                "The target is reached at {met} of {} points.",
                s.points.len()
            ))
        }
    }
}
