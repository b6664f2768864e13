//! What a sweep says in sentences, and the words of its axes.

use super::bounds::bounds;
use super::window::handout;
use crate::design::{Goal, Outcome, Sweep, SweepPoint, Vary, set_apart};
use crate::report::words::{in_a_row, leg_of, percent};
use crate::scenario::{SourceId, schema};

/// What a varied number is called on an axis or in a table, without its unit.
pub(in crate::report) fn name(vary: &Vary) -> String {
    let path = vary.knob.path.as_str();
    if path == "runs" {
        // Where nothing calibrates there is one kind.
        return match vary.knob.is_single() {
            true => "determinations".to_owned(),
            false => "runs of each kind".to_owned(),
        };
    }
    let (leg, tail) = (leg_of(path), schema::in_leg(path).1);
    let plain = match (tail, leg) {
        ("runs", "calibration") => return "calibration runs".to_owned(),
        ("runs", "determination") if !vary.knob.others => return "determinations".to_owned(),
        ("runs", _) => "runs",
        ("charge.window", _) => "half-width of the mass window",
        ("charge.mass", _) => "sample mass",
        ("charge.wait", _) => "waiting time before the release",
        ("liquid.volume", _) => "volume of liquid",
        ("record.after", _) => "record after mixing",
        ("record.fore", _) => "record before mixing",
        ("record.interval", _) => "time between readings",
        ("record.settle", _) => "beginning of the readings that count",
        ("dissolving.time", _) => "dissolving time",
        ("dissolving.mixing_time", _) => "mixing time",
        ("electrical.time", _) => "heating time",
        ("room.temperature", _) => "room temperature",
        ("thermometer.lag", _) => "lag of the thermometer",
        ("thermometer.resolution", _) => "last digit of the thermometer",
        _ => return path.to_owned(),
    };
    if leg.is_empty() {
        plain.to_owned()
    } else {
        format!("{plain} ({leg})")
    }
}

/// The same with its unit.
pub(in crate::report) fn axis(vary: &Vary) -> String {
    let (_, unit) = vary.axis();
    match unit.as_str() {
        "" => name(vary),
        unit => format!("{}, {unit}", name(vary)),
    }
}

/// A file's name for a sweep.
pub fn sweep_name(sweep: &Sweep) -> String {
    let slug = |v: &Vary| {
        let kept = v
            .knob
            .path
            .chars()
            .map(|c| if c.is_alphanumeric() { c } else { '-' });
        kept.collect::<String>().trim_matches('-').to_owned()
    };
    let all: Vec<String> = sweep.vary.iter().map(slug).collect();
    all.join("-and-")
}

/// The values of a point.
pub(in crate::report) fn at(sweep: &Sweep, point: &SweepPoint) -> String {
    let each: Vec<String> = sweep
        .vary
        .iter()
        .zip(&point.at)
        .map(|(v, x)| match v.knob.path.as_str() {
            "calibration.runs" => counted(*x, "calibration run"),
            "determination.runs" if !v.knob.others => counted(*x, "determination"),
            path if schema::in_leg(path).1 == "runs" && path != "runs" => {
                format!("{} ({})", counted(*x, "run"), leg_of(path))
            }
            "runs" if v.knob.is_single() => counted(*x, "determination"),
            "runs" => format!("{} of each kind", counted(*x, "run")),
            // A bare number says nothing.
            path if v.knob.is_count() => format!("{path} = {x:.0}"),
            _ => v.words(*x),
        })
        .collect();
    each.join(" and ")
}

fn counted(n: f64, what: &str) -> String {
    let s = if n == 1.0 { "" } else { "s" };
    format!("{n:.0} {what}{s}")
}

/// Sentences: what the numbers say, then what the handout can say.
pub(in crate::report) fn sentences(s: &Sweep) -> Vec<String> {
    let mut out = Vec::new();
    out.extend(range_of_spread(s));
    out.extend(floor(s));
    match s.goal {
        Some(goal) => out.extend(reached(s, goal)),
        None => out.extend(best(s)),
    }
    out.extend(s.vary.iter().filter_map(|v| {
        let missed = v.words(v.missed?);
        let last = v.words(*v.values.last()?);
        Some(format!("The steps end at {last}, before {missed}."))
    }));
    out.extend(bounds(s));
    out.extend(kept_leak(s));
    out.extend(s.vary.iter().filter_map(|v| apart(s, v)));
    out.extend(s.vary.iter().filter_map(of_mean));
    out
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
    let key = vary
        .knob
        .path
        .trim_start_matches("u(")
        .trim_end_matches(')');
    let (leg, site) = set_apart(&s.scenario, key)?;
    let leg = leg_of(leg);
    Some(format!(
        "Stated for `{leg}` alone, this gives it a {site} of its own: errors of the {site} that all legs share now are \
         drawn apart, and cancel no more. `{}` varies it for all legs.",
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
        "The heat leak is kept as the rate that is stated; in truth it falls as the heat capacity of the contents rises. \
         Vary `vessel.leak` as well to see whether that matters."
            .to_owned()
    })
}

fn range_of_spread(s: &Sweep) -> Option<String> {
    let spread = |p: &&SweepPoint| {
        let o = p.outcome.as_ref()?;
        let x = o.relative(o.errors.spread).value;
        x.is_finite().then_some(x)
    };
    let seen: Vec<(&SweepPoint, f64)> = s
        .points
        .iter()
        .filter(|p| p.zones.is_empty())
        .filter_map(|p| Some((p, spread(&p)?)))
        .collect();
    let (low, high) = (
        seen.iter().min_by(|a, b| a.1.total_cmp(&b.1))?,
        seen.iter().max_by(|a, b| a.1.total_cmp(&b.1))?,
    );
    if seen.len() == 1 && s.points.len() > 1 {
        return Some(format!(
            "Of these points only {} is in bounds, with a spread of {}.",
            at(s, low.0),
            percent(low.1)
        ));
    }
    if percent(low.1) == percent(high.1) {
        return Some(format!("The spread is {} all along.", percent(low.1)));
    }
    Some(format!(
        "The spread goes from {} with {} down to {} with {}.",
        percent(high.1),
        at(s, high.0),
        percent(low.1),
        at(s, low.0)
    ))
}

fn floor(s: &Sweep) -> Option<String> {
    let fit = s.fit.as_ref()?;
    let target = s
        .points
        .iter()
        .find_map(|p| Some(p.outcome.as_ref()?.target.abs()))?;
    let [floor, se] = [fit.floor.value, fit.floor.se].map(|x| x / target);
    let legs = s.scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    let kept: Vec<String> = legs
        .filter(|leg| !s.vary.iter().any(|v| v.knob.sets(&leg.name, "runs")))
        .map(|leg| format!("`{}`", leg.title()))
        .collect();
    let whose = match (s.vary.as_slice(), kept.is_empty()) {
        ([one], false) if leg_of(&one.knob.path) == "calibration" => {
            "Infinitely many calibration runs".to_owned()
        }
        ([one], false) if !one.knob.others => "Infinitely many determinations".to_owned(),
        ([one], false) => format!("Infinitely many runs of `{}`", leg_of(&one.knob.path)),
        _ if s.scenario.calibration.runs == 0 && !s.scenario.is_cycle() => {
            "Infinitely many determinations".to_owned()
        }
        (_, true) => "Infinitely many runs of every kind".to_owned(),
        _ => "Infinitely many runs of these kinds".to_owned(),
    };
    let rest = if kept.is_empty() {
        String::new()
    } else {
        format!(
            "the runs of {}, which stay as they are, and ",
            kept.join(" and ")
        )
    };
    Some(if floor < 2.0 * se {
        format!(
            "{whose} would leave no more spread than these trials can see ({} at most).",
            percent(2.0 * se)
        )
    } else {
        format!(
            "{whose} would still leave a spread of {} (standard error {}), from {rest}what all runs of a group or of a \
             course share.",
            percent(floor),
            percent(se)
        )
    })
}

fn reached(s: &Sweep, goal: Goal) -> Option<String> {
    let target = goal.words();
    if let Some(n) = s.untold() {
        let points = if n == 1 { "point lies" } else { "points lie" };
        return Some(format!(
            "These trials cannot tell whether the target, {target}, is reached: {n} {points} closer to it than they know, and no \
             point is told to reach it. More --trials would tell.",
        ));
    }
    let Some(least) = s.least() else {
        let sound = s.points.iter().filter(|p| p.zones.is_empty());
        let seen = sound.filter_map(|p| p.outcome.as_ref());
        let open = seen.filter(|o| goal.is_open(goal.measure(o))).count();
        return Some(match open {
            0 => format!("Nothing here reaches the target, {target}."),
            n => format!(
                "Nothing here is seen to reach the target, {target}; of {n} of {} points these trials cannot tell.",
                s.points.len()
            ),
        });
    };
    if s.vary.len() == 2 {
        let counts = s.vary.iter().all(|v| v.knob.is_count());
        let how = if counts {
            "with the least effort"
        } else {
            "with the smallest RMS error"
        };
        let point = &s.points[least];
        let edge = if !counts && at_an_end(s, point) {
            ", at an end of the range looked at"
        } else {
            ""
        };
        return Some(format!(
            "The target, {target}, is reached {how} with {}{edge}.",
            at(s, point)
        ));
    }
    let vary = &s.vary[0];
    if vary.knob.is_count() {
        return Some(format!(
            "The target, {target}, is first reached with {}.",
            at(s, &s.points[least])
        ));
    }
    match &s.window {
        Some(window) => Some(handout(s, vary, window, goal)),
        None => Some(format!(
            "The target, {target}, is reached with {}. Values between them were not looked at: some cannot be.",
            listed(s, vary, &s.further())
        )),
    }
}

/// Some points by their values.
pub(in crate::report) fn listed(s: &Sweep, vary: &Vary, points: &[usize]) -> String {
    let words: Vec<String> = points
        .iter()
        .map(|i| vary.words(s.points[*i].at[0]))
        .collect();
    in_a_row(&words)
}

/// Whether a point lies at an end of what was looked at.
fn at_an_end(s: &Sweep, p: &SweepPoint) -> bool {
    let ends = |v: &Vary| [v.values.first().copied(), v.values.last().copied()];
    let mut all = s.vary.iter().zip(&p.at);
    all.any(|(v, x)| v.values.len() > 1 && ends(v).contains(&Some(*x)))
}

fn best(s: &Sweep) -> Option<String> {
    let best = s.best()?;
    let p = &s.points[best];
    let o = p.outcome.as_ref()?;
    let edge = if at_an_end(s, p) {
        ", at an end of the range looked at"
    } else {
        ""
    };
    let flat = match (s.vary.as_slice(), flat(s, best)) {
        ([v], Some((low, high))) if !v.knob.is_count() && low < high => format!(
            " From {} to {} it is within {} of that.",
            v.words(s.points[low].at[0]),
            v.words(s.points[high].at[0]),
            format_args!("{} %", crate::quantity::decimal(100.0 * FLAT))
        ),
        _ => String::new(),
    };
    Some(format!(
        "The RMS error (bias and spread together) is smallest, {}, with {}{edge}.{flat}",
        percent(o.relative(o.errors.rms).value),
        at(s, p)
    ))
}

/// An error that is larger by less than this share of itself is no reason to do anything.
const FLAT: f64 = 0.03;

/// The stretch of points about the best whose RMS error is hardly larger.
fn flat(s: &Sweep, best: usize) -> Option<(usize, usize)> {
    let rms = |i: usize| {
        let p = &s.points[i];
        let o = p.outcome.as_ref().filter(|_| p.zones.is_empty())?;
        Some(o.relative(o.errors.rms).value)
    };
    let most = rms(best)? * (1.0 + FLAT);
    let good = |i: &usize| rms(*i).is_some_and(|x| x <= most);
    let low = (0..=best).rev().take_while(good).last()?;
    let high = (best..s.points.len()).take_while(good).last()?;
    Some((low, high))
}

/// What a map shows of an outcome, as a fraction: what the target is about, the spread without one.
pub(in crate::report) fn measured_of(goal: Option<Goal>, o: &Outcome) -> f64 {
    match goal {
        Some(goal) => goal.measure(o).value,
        None => o.relative(o.errors.spread).value,
    }
}

/// What that is called, with its unit.
pub(in crate::report) fn measured(goal: Option<Goal>) -> &'static str {
    match goal {
        Some(Goal::Within(_)) => "95 % of results within, %",
        Some(Goal::Pass(_)) => "share in the fair band, %",
        _ => "spread, %",
    }
}
