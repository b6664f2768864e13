//! The best split of runs, for people.

use crate::design::{Goal, Limit, NoSplit, Split, SplitPoint};
use crate::report::words::{entry, heading_of, percent, table, three};
use crate::stats::Estimate;

fn hours(seconds: f64) -> String {
    if seconds < 120.0 {
        format!("{} s", three(seconds))
    } else if seconds < 7_200.0 {
        format!("{} min", three(seconds / 60.0))
    } else {
        format!("{} h", three(seconds / 3600.0))
    }
}

/// The best split, or why there is none.
pub(in crate::report) fn split_text(split: &Result<Split, NoSplit>) -> String {
    match split {
        Ok(split) => of(split),
        Err(why) => heading_of("best split of runs", "") + &entry("-", &none(*why)),
    }
}

fn none(why: NoSplit) -> String {
    match why {
        NoSplit::NothingCalibrates => {
            "Nothing calibrates here: all runs are determinations, and there is nothing to split."
                .to_owned()
        }
        NoSplit::TooShort { session, needed } => format!(
            "A session of {} is too short for one run of each kind, which needs {}.",
            hours(session),
            hours(needed)
        ),
        NoSplit::TooFew { runs, needed } => format!(
            "{runs} run{} in all: too few for one of each kind, which makes {needed}.",
            if runs == 1 { "" } else { "s" }
        ),
        NoSplit::Impossible => {
            "With no numbers of runs that fit is there an experiment.".to_owned()
        }
    }
}

fn of(split: &Split) -> String {
    let within = match split.limit {
        Limit::Total { runs, .. } => format!("{runs} runs in all"),
        Limit::Session { length, .. } => format!("a session of {}", hours(length)),
    };
    let mut out = heading_of("best split of runs:", &within);
    let best = &split.points[split.best];
    let all = split.points.len() == split.ways;
    let tied: Vec<String> = split
        .points
        .iter()
        .enumerate()
        .filter(|(i, p)| *i != split.best && p.more.value <= 3.0 * p.more.se)
        .map(|(_, p)| pair(p))
        .collect();
    let tied = match tied.as_slice() {
        [] => String::new(),
        [first, .., last] if tied.len() > 3 => format!(
            "; these trials cannot tell {} of the others from it, from {first} to {last}",
            tied.len()
        ),
        some => format!("; these trials cannot tell {} from it", some.join(" and ")),
    };
    let s = |n: u32| if n == 1 { "" } else { "s" };
    out.push_str(&entry(
        "-",
        &format!(
            "{} calibration run{} and {} determination{}{} give the smallest spread{}{tied}.",
            best.runs[0],
            s(best.runs[0]),
            best.runs[1],
            s(best.runs[1]),
            each_leg(split),
            if all { "" } else { " of those simulated" }
        ),
    ));
    if let Some((goal, there)) = split.held {
        out.push_str(&entry("-", &reached(goal, there)));
    }
    if let Some(equal) = &split.equal {
        out.push_str(&entry("-", &against_equal(best, equal, split.legs)));
    }
    if let Some([c, d]) = split.ideal {
        out.push_str(&entry(
            "-",
            &format!(
                "Whole numbers aside, what runs of each kind draw anew would like {c:.1} + {d:.1} best; what all runs share \
                 has no say in it."
            ),
        ));
    }
    if !all {
        out.push_str(&entry(
            "-",
            &format!(
                "Of {} ways {} were simulated: some all along, and those next to the optimum.",
                split.ways,
                split.points.len()
            ),
        ));
    }
    out.push('\n');
    let rows: Vec<Vec<String>> = split
        .points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            vec![
                p.runs[0].to_string(),
                p.runs[1].to_string(),
                match split.result {
                    Some(result) => three(100.0 * p.spread.value / result.abs()),
                    None => three(p.spread.value),
                },
                if i == split.best {
                    "best".to_owned()
                } else {
                    format!("+{}", percent(p.more.value / best.spread.value))
                },
            ]
        })
        .collect();
    let spread = if split.result.is_some() {
        "spread, %"
    } else {
        "spread"
    };
    out.push_str(&table(
        &[
            "calibrations",
            if split.legs > 1 {
                "of each leg"
            } else {
                "determinations"
            },
            spread,
            "larger than the best by",
        ],
        rows,
        &[0, 1, 2, 3],
    ));
    out
}

/// Whether the best split reaches a target.
fn reached(goal: Goal, there: Estimate) -> String {
    let verdict = match (goal.is_open(there), goal.met(there.value)) {
        (true, _) => "as well as reached, as far as these trials can tell",
        (_, true) => "reached with it",
        (_, false) => "missed even with it",
    };
    format!(
        "The target, {}, is {verdict}: the {} is {}.",
        goal.words(),
        goal.name(),
        percent(there.value)
    )
}

fn each_leg(split: &Split) -> String {
    match split.legs {
        0 | 1 => String::new(),
        n => format!(" of each of {n} legs"),
    }
}

fn pair(p: &SplitPoint) -> String {
    format!("{} + {}", p.runs[0], p.runs[1])
}

fn against_equal(best: &SplitPoint, equal: &SplitPoint, legs: u32) -> String {
    if equal.runs == best.runs {
        return "That is the equal split.".to_owned();
    }
    let all = |p: &SplitPoint| p.runs[0] + legs * p.runs[1];
    let fewer = match all(best).checked_sub(all(equal)) {
        Some(n) if n > 0 => format!(
            "; it has {n} run{} fewer than the best one, since one more of each kind does not fit",
            if n == 1 { "" } else { "s" }
        ),
        _ => String::new(),
    };
    format!(
        "The equal split, {}, gives a spread larger by {} of it{fewer}.",
        pair(equal),
        percent(equal.more.value / best.spread.value)
    )
}
