//! The table of a sweep: for people in % of the result, for programs in the unit of the result.

use super::bounds::{labels, letters, noted};
use super::choice::{choice, now};
use super::map::map;
use super::notes::notes;
use super::words::{name, sweep_name};
use crate::design::{Goal, Outcome, Sweep, SweepPoint, Vary};
use crate::quantity::{Dimension, decimal};
use crate::report::document::{
    Block, Cell, Column, Digits, HOUR, J_PER_MOL, KELVIN, Kind, NONE, PERCENT, Place, Section,
    Table, Unit,
};
use crate::scenario::schema;
use crate::stats::Estimate;

/// A sweep with so many rows in brief.
pub(super) fn section(s: &Sweep, rows: usize) -> Section {
    let names: Vec<String> = s.vary.iter().map(name).collect();
    let keys: Vec<String> = s
        .vary
        .iter()
        .filter(|v| !v.parameter.is_count())
        .map(|v| format!("`{}`", v.parameter.path))
        .collect();
    let heading = format!("{} | {}", names.join(" and "), keys.join(", "));
    let mut section = Section::new(heading.trim_end_matches(" | "));
    section = match s.vary.as_slice() {
        [one] => section.with(Block::Table(line(s, one).0.picked(picked(s, rows)))),
        _ => map(s, rows, section),
    };
    section = section.with(Block::Table(points(s)));
    section = noted(section, s);
    for note in notes(s) {
        section = section.with(Block::note(note));
    }
    section
}

/// What the columns of a sweep of one number mean.
pub(super) fn legends(s: &Sweep) -> Vec<String> {
    match s.vary.as_slice() {
        [one] => line(s, one).1,
        _ => Vec::new(),
    }
}

/// So many rows: what is chosen, what is now, and others evenly between those in bounds.
fn picked(s: &Sweep, rows: usize) -> Vec<usize> {
    let sound = |i: &usize| s.points[*i].zones.is_empty();
    let all: Vec<usize> = (0..s.points.len()).filter(sound).collect();
    let c = choice(s);
    let must = c.iter().map(|c| c.at).chain(now(s));
    let [low, high] = [all.first(), all.last()].map(|i| i.copied());
    let must = must.chain(low).chain(high).chain(c.iter().map(|c| c.best));
    match all.is_empty() {
        true => even(&(0..s.points.len()).collect::<Vec<_>>(), rows, &[]),
        false => even(&all, rows, &must.collect::<Vec<_>>()),
    }
}

/// At most so many positions, those that must be first, in order.
pub(super) fn even(all: &[usize], most: usize, must: &[usize]) -> Vec<usize> {
    let last = all.len().saturating_sub(1);
    let mut kept: Vec<usize> = Vec::new();
    let between = (1..=last.max(1)).flat_map(|n| (0..=n).map(move |i| all[i * last / n]));
    for i in must.iter().copied().chain(between) {
        if kept.len() < most && !kept.contains(&i) {
            kept.push(i);
        }
    }
    kept.sort_unstable();
    kept
}

/// What is to be said of a point beside its numbers, where that of now and the chosen one are known.
pub(super) fn standing(s: &Sweep, point: usize, [now, chosen]: [Option<usize>; 2]) -> String {
    let p = &s.points[point];
    let mut all = Vec::new();
    match (&p.outcome, s.goal) {
        _ if !p.zones.is_empty() => all.push(format!("out: {}", letters(s, p))),
        (Some(o), Some(goal)) => all.push(verdict(goal, o).to_owned()),
        _ => {}
    }
    if now == Some(point) {
        all.push("now".to_owned());
    }
    if chosen == Some(point) {
        all.push("chosen".to_owned());
    }
    all.join(", ")
}

fn verdict(goal: Goal, o: &Outcome) -> &'static str {
    let e = goal.measure(o);
    match (goal.is_open(e), goal.met(e.value)) {
        (true, _) => "too close",
        (_, true) => "met",
        (_, false) => "missed",
    }
}

/// As far as its error reaches, but no more than three figures.
fn by_error(e: Estimate) -> Cell {
    Cell::Number {
        value: e.value,
        se: None,
        // More would only look like a trend.
        digits: Digits::By(e.se.max(0.01 * e.value.abs()), 1),
    }
}

/// A share of results or of runs, to a tenth of a percent at most.
fn of_runs(e: Estimate) -> Cell {
    Cell::Number {
        value: e.value,
        se: None,
        digits: Digits::By(e.se.max(1e-3), 1),
    }
}

/// Fewer runs than this share of the planned ones are repeated without a word.
const REPEATED: f64 = 0.01;

/// The table of one number for people, and what its columns mean.
fn line(s: &Sweep, vary: &Vary) -> (Table, Vec<String>) {
    let all: Vec<usize> = (0..s.points.len()).collect();
    let outcome = |i: &usize| s.points[*i].outcome.as_ref();
    let any = |f: &dyn Fn(&Outcome) -> bool| all.iter().filter_map(outcome).any(f);
    let (values, unit) = vary.axis();
    let runs = schema::in_leg(&vary.parameter.path).1 == "runs";
    let shown = Unit {
        shown: unit.into(),
        ..NONE
    };
    let first = Column::number(if runs { "runs" } else { "" }, shown).at(Place::People);
    let mut t = Table::of(&sweep_name(s), &all).column(&all, first, |i| Cell::given(values[*i]));
    let mut legends: Vec<String> = Vec::new();
    type Of<'a> = &'a dyn Fn(&Outcome) -> Cell;
    let mut add = |there: bool, column: Column, legend: &str, cell: Of| {
        if there {
            let own = |i: &usize| outcome(i).map_or(Cell::Missing("no experiment"), cell);
            t.add(&all, column.at(Place::People), own);
            legends.extend(Some(legend.to_owned()).filter(|l| !l.is_empty()));
        }
    };
    let percent = |head: &str| Column::number(head, PERCENT);
    add(true, percent("spread"), "", &|o| {
        by_error(o.relative(o.errors.spread))
    });
    add(
        true,
        percent("bias"),
        "bias: below zero the magnitude is too small.",
        &|o| by_error(o.relative_bias()),
    );
    add(
        true,
        percent("RMS"),
        "RMS: bias and spread together.",
        &|o| by_error(o.relative(o.errors.rms)),
    );
    add(
        true,
        percent("within"),
        "within: distance from the true value that 95 % of the results stay within.",
        &|o| by_error(o.relative(o.errors.within)),
    );
    let half = decimal(100.0 * s.scenario.target.band.unwrap_or(f64::NAN));
    add(
        any(&|o| o.in_band.is_some()),
        percent("band"),
        &format!("band: share of the results within {half} % of the true value."),
        &|o| o.in_band.map_or(Cell::Missing("no band"), of_runs),
    );
    let scattered = vary.parameter.is_count() && any(&|o| o.student.is_some());
    add(
        scattered,
        percent("claimed"),
        "claimed: half-width of the 95 % interval that a student calculates from the scatter of the determinations, in the \
         median group; it does not contain errors that all runs share.",
        &|o| {
            o.student.map_or(Cell::Missing("one determination"), |e| {
                by_error(o.relative(e))
            })
        },
    );
    // Which leg's change of temperature it can be about; a further one's is not among the columns.
    let delta_t = match vary.parameter.leg() {
        "calibration" if s.scenario.calibration.runs == 0 => None,
        "calibration" => Some((0, "calibration runs")),
        "determination" | "" => Some((1, "determinations")),
        _ => None,
    };
    let (of, whose) = delta_t.unwrap_or((0, ""));
    add(
        delta_t.is_some() && !scattered,
        Column::number("ΔT", KELVIN),
        &format!("ΔT: its mean in the {whose}."),
        &|o| Cell::figures(o.changes[of], 3),
    );
    add(
        any(&|o| o.repeats.value > REPEATED),
        percent("repeated"),
        "repeated: runs done again, relative to the planned ones.",
        &|o| of_runs(o.repeats),
    );
    add(
        any(&|o| o.cost.time.is_some()),
        Column::number("time", HOUR),
        "",
        &|o| {
            o.cost
                .time
                .map_or(Cell::Missing("no times are stated"), |t| {
                    Cell::figures(t, 3)
                })
        },
    );
    let marked = [now(s), choice(s).map(|c| c.at)];
    let head = if s.goal.is_some() { "target" } else { "" };
    let t = t.column(&all, Column::words(head).at(Place::People), |i| {
        Cell::text(standing(s, *i, marked))
    });
    if any(&|o| s.goal.is_some_and(|g| g.is_open(g.measure(o)))) {
        legends.push("too close: to the target, for these trials to tell.".to_owned());
    }
    (t, legends)
}

/// All points with all that is known of them, for files only.
fn points(s: &Sweep) -> Table {
    let all = &s.points;
    let mut t = Table::of(&sweep_name(s), all);
    for (n, v) in s.vary.iter().enumerate() {
        let unit = v.parameter.dimension().map_or("1", Dimension::base_unit);
        let key = format!("{} [{unit}]", v.parameter.path);
        let column = Column::number("", NONE).key(&key).at(Place::File);
        t = t.column(all, column, |p| Cell::given(p.at[n]));
    }
    type Of<'a> = &'a dyn Fn(&Outcome) -> Option<Estimate>;
    let mut add = |kind: Kind, key: &str, unit: Unit, of: Of| {
        let column = Column::new("", kind, unit).key(key).at(Place::File);
        t.add(all, column, |p: &SweepPoint| {
            let found = p.outcome.as_ref().and_then(of);
            found.map_or(Cell::Missing("nothing simulated"), Cell::all_of)
        });
    };
    let exact = |x: f64| Some(Estimate::new(x, f64::NAN));
    let pair = Kind::Estimate;
    add(pair, "spread", J_PER_MOL, &|o| Some(o.errors.spread));
    add(pair, "bias", J_PER_MOL, &|o| Some(o.errors.bias));
    add(pair, "rms", J_PER_MOL, &|o| Some(o.errors.rms));
    add(pair, "within_95", J_PER_MOL, &|o| Some(o.errors.within));
    add(pair, "in_band", NONE, &|o| o.in_band);
    add(pair, "student_half_width", J_PER_MOL, &|o| o.student);
    let one = Kind::Number;
    add(one, "result", J_PER_MOL, &|o| exact(o.target));
    add(one, "calibration_change_of_temperature", KELVIN, &|o| {
        exact(o.changes[0])
    });
    add(one, "determination_change_of_temperature", KELVIN, &|o| {
        exact(o.changes[1])
    });
    add(one, "repeats_per_run", NONE, &|o| exact(o.repeats.value));
    add(pair, "excess_ran_out", NONE, &|o| Some(o.ran_out));
    add(one, "time", HOUR, &|o| o.cost.time.and_then(exact));
    add(one, "money", NONE, &|o| o.cost.money.and_then(exact));
    let bounds = Column::words("").key("out_of_bounds").at(Place::File);
    t.column(all, bounds, |p| Cell::text(labels(p).replace(", ", "; ")))
}
