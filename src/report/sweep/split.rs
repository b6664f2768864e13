//! The best split of runs.

use super::runs::floor;
use super::words::counted;
use crate::design::{Limit, NoSplit, Split, SplitPoint};
use crate::report::document::{
    Block, Cell, Column, Digits, J_PER_MOL, NONE, PERCENT, Place, Section, Table,
};
use crate::report::words::{in_a_row, percent, share};
use crate::stats::Estimate;

/// A time with three figures, without the zeros at its end.
fn hours(seconds: f64) -> String {
    let (per, unit) = match seconds {
        s if s < 120.0 => (1.0, "s"),
        s if s < 7_200.0 => (60.0, "min"),
        _ => (3600.0, "h"),
    };
    let text = crate::report::words::three(seconds / per);
    let short = text.trim_end_matches('0').trim_end_matches('.');
    let kept = if text.contains('.') { short } else { &text };
    format!("{kept} {unit}")
}

/// Why there is nothing to split.
pub(super) fn none(why: NoSplit) -> String {
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
            "{} in all: too few for one of each kind, which makes {needed}.",
            counted(f64::from(runs), "run")
        ),
        NoSplit::Impossible => "No numbers of runs that fit make an experiment.".to_owned(),
    }
}

/// What the runs have to fit into.
fn within(split: &Split) -> String {
    match split.limit {
        Limit::Total { runs, .. } => format!("of {runs} runs in all"),
        Limit::Session { length, .. } => format!("in a session of {}", hours(length)),
    }
}

/// A number of the column relative to the result, where there is one.
fn relative(split: &Split, e: Estimate) -> Estimate {
    let result = split.result.map_or(1.0, f64::abs);
    Estimate::new(e.value / result, e.se / result)
}

fn pair(p: &SplitPoint) -> String {
    format!("{} + {}", p.runs[0], p.runs[1])
}

/// What to do, what ties with it, and what the target makes of it.
pub(super) fn choose(split: &Split) -> String {
    let best = &split.points[split.best];
    let tied: Vec<String> = split
        .points
        .iter()
        .enumerate()
        .filter(|(i, p)| *i != split.best && p.more.value <= 3.0 * p.more.se)
        .map(|(_, p)| pair(p))
        .collect();
    let tied = match tied.as_slice() {
        [] => String::new(),
        [first, .., last] if tied.len() > 3 => {
            format!(
                " (a tie with {} others, from {first} to {last})",
                tied.len()
            )
        }
        some => format!(" (a tie with {})", in_a_row(some)),
    };
    let legs = match split.legs {
        0 | 1 => String::new(),
        n => format!(" of each of {n} legs"),
    };
    let target = split.held.map_or(String::new(), |(goal, there)| {
        let verdict = match (goal.is_open(there), goal.met(there.value)) {
            (true, _) => "is too close to tell",
            (_, true) => "is reached",
            (_, false) => "is missed even so",
        };
        format!("; the target {verdict}")
    });
    format!(
        "Best {}: {} and {}{legs}, with a spread of {} %{tied}{target}.",
        within(split),
        counted(f64::from(best.runs[0]), "calibration run"),
        counted(f64::from(best.runs[1]), "determination"),
        share(relative(split, best.spread)),
    )
}

/// What no split averages.
pub(super) fn limit(split: &Split) -> Option<String> {
    let fit = split.fit.as_ref()?;
    Some(floor(fit, split.result?, "runs", &[]))
}

/// All ways that were simulated, and how the best compares with others.
pub(super) fn section(split: &Split) -> Section {
    let best = &split.points[split.best];
    let points = &split.points;
    let runs = |i: usize| move |p: &SplitPoint| Cell::given(f64::from(p.runs[i]));
    let number = |key: &str| Column::number(key, J_PER_MOL).at(Place::File);
    let people = |head: &str| Column::number(head, PERCENT).at(Place::People);
    let of_legs = match split.legs > 1 {
        true => "of each leg",
        false => "determinations",
    };
    let t = Table::of("split", points)
        .column(points, Column::number("calibrations", NONE), runs(0))
        .column(
            points,
            Column::number(of_legs, NONE).key("determinations"),
            runs(1),
        )
        .column(points, people("spread"), |p| {
            Cell::figures(relative(split, p.spread).value, 3)
        })
        .column(points, people("larger than the best by"), |p| {
            if p.runs == best.runs {
                return Cell::text("best");
            }
            let more = Estimate::new(
                p.more.value / best.spread.value,
                p.more.se / best.spread.value,
            );
            Cell::Number {
                value: more.value,
                se: None,
                digits: Digits::By(more.se.max(1e-3), 1),
            }
        })
        .column(
            points,
            Column::estimate("spread", J_PER_MOL).at(Place::File),
            |p| Cell::all_of(p.spread),
        )
        .column(points, number("more_than_best"), |p| {
            Cell::given(p.more.value)
        })
        .column(points, number("more_se"), |p| Cell::given(p.more.se));
    let mut said = Vec::new();
    if let Some(equal) = split.equal.as_ref().filter(|e| e.runs != best.runs) {
        let all = |p: &SplitPoint| p.runs[0] + split.legs * p.runs[1];
        let fewer = match all(best).checked_sub(all(equal)) {
            Some(n) if n > 0 => format!(
                ", with {} fewer, since one more of each kind does not fit",
                counted(f64::from(n), "run")
            ),
            _ => String::new(),
        };
        said.push(format!(
            "The equal split, {}, gives a spread larger by {}{fewer}.",
            pair(equal),
            percent(equal.more.value / best.spread.value)
        ));
    }
    if let Some([c, d]) = split.ideal {
        said.push(format!(
            "In fractions of runs {c:.1} + {d:.1} would be best; errors that all runs share do not change it."
        ));
    }
    if points.len() < split.ways {
        said.push(format!(
            "Of {} ways {} were simulated: some evenly spaced, and those next to the optimum.",
            split.ways,
            points.len()
        ));
    }
    let first = split.best.saturating_sub(4);
    let near: Vec<usize> = (first..points.len()).take(9).collect();
    let section = Section::new(&format!("how to split | {}", &within(split)[3..]))
        .with(Block::Table(t.picked(near)));
    match said.is_empty() {
        true => section,
        false => section.detail(Block::List(said)),
    }
}
