//! A design study for people: cautions, sentences, then tables.

use super::bounds::letters;
use super::map::map;
use super::split::split_text;
use super::words::{name, sentences};
use crate::design::{Goal, Made, NoSplit, Outcome, Split, Sweep, SweepPoint};
use crate::quantity::decimal;
use crate::report::words::{cautions, entry, heading_of, paragraph, percent, table, three};
use crate::scenario::{Scenario, schema};
use crate::stats::quote;

/// The whole text, for 80 columns.
pub fn sweep_text(
    (scenario, trials): (&Scenario, u64),
    made: Option<&Made>,
    sweeps: &[Sweep],
    split: Option<&Result<Split, NoSplit>>,
) -> String {
    let mut out = paragraph(&scenario.title, 0);
    out.push_str(&cautions(&scenario.cautions));
    if let Some(s) = sweeps.first() {
        out.push_str(&entry(
            "!",
            &format!(
                "Nothing is proposed here that changes the temperature by more than {} K; more substance or a \
                 stronger solution needs a new look at its hazards.",
                s.cap
            ),
        ));
    }
    if let Some(made) = made {
        out.push('\n');
        out.push_str(&paragraph(&made.words(), 0));
    }
    for s in sweeps {
        // Keys must keep their letters.
        let names: Vec<String> = s
            .vary
            .iter()
            .map(|v| {
                let name = name(v);
                if name == v.knob.path {
                    name
                } else {
                    name.to_uppercase()
                }
            })
            .collect();
        out.push_str(&heading_of("", &names.join(" AND ")));
        for sentence in sentences(s) {
            out.push_str(&entry("-", &sentence));
        }
        out.push('\n');
        out.push_str(&match s.vary.len() {
            1 => line(s),
            _ => map(s),
        });
    }
    if let Some(split) = split {
        out.push_str(&split_text(split));
    }
    out.push('\n');
    if !sweeps.is_empty() && sweeps.iter().all(|s| s.goal.is_none()) {
        out.push_str(&paragraph(
            "With a target (--spread, --within or --pass) the smallest number and the window that reach it are named as well.",
            2,
        ));
    }
    out.push_str(&paragraph(
        &format!(
            "All in % of the result unless a unit is given. A spread has a standard error of about {} of itself; \
             differences between points are known better, since all use the same random numbers.",
            percent(1.0 / (2.0 * trials as f64).sqrt())
        ),
        2,
    ));
    out
}

fn of(o: &Outcome, x: f64) -> String {
    three(100.0 * x / o.target.abs())
}

/// The bias with its sign in magnitude: below zero is too small.
fn bias(o: &Outcome) -> String {
    let bias = o.relative_bias();
    let [size, se] = [100.0 * bias.value, 100.0 * bias.se];
    // Digits that the trials do not know would only look like a trend.
    let text = quote(size, se.max(size.abs() * 1e-2), 1).value;
    let nothing = text.parse() == Ok(0.0);
    if nothing {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// Whether an outcome reaches the goal; `~` where these trials do not know on which side it lies.
fn verdict(goal: Goal, o: &Outcome) -> String {
    let e = goal.measure(o);
    let met = if goal.met(e.value) { "met" } else { "missed" };
    format!("{met}{}", if goal.is_open(e) { "~" } else { "" })
}

/// A column of a table of one number: its head, what it says of an outcome, and the line that explains it.
struct Shown<'a> {
    head: &'a str,
    cell: Box<dyn Fn(&Outcome) -> String + 'a>,
    legend: String,
}

fn columns(s: &Sweep) -> Vec<Shown<'_>> {
    let any =
        |f: &dyn Fn(&Outcome) -> bool| s.points.iter().filter_map(|p| p.outcome.as_ref()).any(f);
    let hundred = |x: f64| format!("{:.1}", 100.0 * x);
    let mut all: Vec<Shown> = Vec::new();
    let mut add = |shown: bool, head, legend: &str, cell: Box<dyn Fn(&Outcome) -> String>| {
        if shown {
            let legend = legend.to_owned();
            all.push(Shown { head, cell, legend });
        }
    };
    add(
        true,
        "spread",
        "",
        Box::new(|o| of(o, o.errors.spread.value)),
    );
    add(true, "bias", "", Box::new(bias));
    add(true, "RMS", "", Box::new(|o| of(o, o.errors.rms.value)));
    add(
        true,
        "95 %",
        "95 %: distance from the true value that 95 % of the results stay within.",
        Box::new(|o| of(o, o.errors.within.value)),
    );
    if let Some(band) = s.scenario.target.band {
        let half = decimal(100.0 * band);
        add(
            any(&|o| o.in_band.is_some()),
            "band",
            &format!("band: of 100 results, within {half} % of the true value."),
            Box::new(move |o| o.in_band.map_or("-".to_owned(), |e| hundred(e.value))),
        );
    }
    let scattered = s.vary[0].knob.is_count() && any(&|o| o.student.is_some());
    add(
        scattered,
        "student's",
        "student's: half-width of the 95 % interval that a student computes from the scatter of the determinations alone, in \
         the median group; it knows nothing of what all runs share.",
        Box::new(|o| o.student.map_or("-".to_owned(), |e| of(o, e.value))),
    );
    // Which leg's change of temperature it can be about; a further one's is not among the columns.
    let own = s.vary[0].knob.leg();
    let rise = match own {
        "calibration" if s.scenario.calibration.runs == 0 => None,
        "calibration" => Some((0, "calibration runs")),
        "determination" | "" => Some((1, "determinations")),
        _ => None,
    };
    if let Some((i, whose)) = rise.filter(|_| !scattered) {
        add(
            true,
            "ΔT, K",
            &format!(
                "ΔT: its mean in the {whose}; the cap goes by the plan, with the heaviest mass of a window."
            ),
            Box::new(move |o| three(o.rises[i])),
        );
    }
    add(
        any(&|o| o.ran_out.value > 0.0),
        "short",
        "short: of 100 determinations, those in which what should be in excess runs out.",
        Box::new(move |o| hundred(o.ran_out.value)),
    );
    add(
        any(&|o| o.repeats.value > 0.0),
        "again",
        "again: runs repeated, of 100 planned of all kinds.",
        Box::new(move |o| hundred(o.repeats.value)),
    );
    add(
        any(&|o| o.cost.time.is_some()),
        "hours",
        "",
        Box::new(|o| {
            o.cost
                .time
                .map_or("-".to_owned(), |t| format!("{:.2}", t / 3600.0))
        }),
    );
    all
}

/// What becomes of a point: whether it reaches the target, and the bounds that it is beyond.
fn standing(s: &Sweep, p: &SweepPoint) -> String {
    match (&p.outcome, s.goal) {
        _ if !p.zones.is_empty() => format!("out ({})", letters(s, p)),
        (Some(o), Some(goal)) => verdict(goal, o),
        _ => String::new(),
    }
}

/// A table of one number.
fn line(s: &Sweep) -> String {
    let vary = &s.vary[0];
    let (values, unit) = vary.axis();
    let runs = schema::in_leg(&vary.knob.path).1 == "runs";
    let shown = columns(s);
    let first = match unit.as_str() {
        "" if runs => "runs",
        unit => unit,
    };
    let ends: Vec<String> = s.points.iter().map(|p| standing(s, p)).collect();
    let last = match s.goal {
        Some(_) => Some("target"),
        None => ends.iter().any(|e| !e.is_empty()).then_some(""),
    };
    let heads = shown.iter().map(|c| c.head);
    let header: Vec<&str> = std::iter::once(first).chain(heads).chain(last).collect();
    let row = |((p, at), end): ((&SweepPoint, f64), &String)| {
        let cell = |c: &Shown| {
            let found = p.outcome.as_ref();
            found.map_or("-".to_owned(), |o| (c.cell)(o))
        };
        std::iter::once(at.to_string())
            .chain(shown.iter().map(cell))
            .chain(last.map(|_| end.clone()))
            .collect()
    };
    let rows: Vec<Vec<String>> = s.points.iter().zip(values).zip(&ends).map(row).collect();
    let right: Vec<usize> = (0..=shown.len()).collect();
    let mut out = table(&header, rows, &right);
    let open = ends.iter().any(|e| e.ends_with('~'));
    let open = open.then_some("~: too close to the target for these trials to tell.");
    let said = shown.iter().map(|c| c.legend.as_str());
    let legends: Vec<&str> = said.filter(|l| !l.is_empty()).chain(open).collect();
    out.push_str(&paragraph(&legends.join(" "), 2));
    out
}
