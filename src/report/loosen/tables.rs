//! The tables of `loosen`.

use super::words::{alike, biased, class, factor, instrument, whose, worse_without};
use crate::design::{ALL_RUNS, Answer, Bound, Instrument, Looseness, Loosest, Step, Upgrade};
use crate::quantity::{Dimension, write_quantity};
use crate::report::words::{heading, leg_of, paragraph, share, table};
use crate::scenario::{SourceId, schema};
use crate::stats::quote;

fn all(l: &Looseness) -> impl Iterator<Item = &Loosest> {
    std::iter::once(&l.together).chain(&l.tolerances)
}

pub(in crate::report) fn tolerances(l: &Looseness) -> String {
    let mut out = heading("each tolerance alone");
    // In the order in which the table comes to them.
    let mut bounds: Vec<Bound> = Vec::new();
    for bound in all(l).flat_map(|x| [x.bound, x.doubled_beyond]).flatten() {
        if !bounds.contains(&bound) {
            bounds.push(bound);
        }
    }
    let letter = |bound: Bound| {
        let at = bounds.iter().position(|b| *b == bound).unwrap_or(0);
        char::from(b'a' + at as u8)
    };
    let mut rows: Vec<Vec<String>> = Vec::new();
    for x in all(l) {
        let may = match x.answer {
            Answer::Factor(f) => match x.bound {
                Some(bound) => format!("{} ({})", factor(f), letter(bound)),
                None => factor(f),
            },
            Answer::Any(f) => format!("over {}", quote(f, f, 2).value),
            Answer::Never(e) => format!("never ({} %)", share(e)),
        };
        let name = x.source.map_or("all together", |s| s.key).to_owned();
        let (alike, legs) = match alike(x) {
            Some(text) => (text.to_owned(), [].as_slice()),
            None => (String::new(), x.now.as_slice()),
        };
        let doubled = match x.doubled_beyond {
            _ if x.doubled.value.is_nan() => "-".to_owned(),
            Some(bound) => format!("{} ({})", share(x.doubled), letter(bound)),
            None => share(x.doubled),
        };
        rows.push(vec![name, alike, may, doubled]);
        // Where legs differ each has a line.
        for (key, text) in legs {
            rows.push(vec![
                format!("  {}", whose(key)),
                text.clone(),
                String::new(),
                String::new(),
            ]);
        }
    }
    out.push_str(&table(
        &["tolerance", "now", "times as large", "doubled, %"],
        rows,
        &[2, 3],
    ));
    out.push_str(&paragraph(
        "times as large: the loosest that still meets the target, with its standard error; \"never (x %)\": not even \
         perfect, which would leave x %; \"over x\": it meets it at x times as well, the most that was looked at or that \
         makes sense. doubled: what is reached if it is twice as large, the largest first; \"-\": twice as large cannot be.",
        2,
    ));
    if !bounds.is_empty() {
        let each = bounds
            .iter()
            .map(|b| format!("({}) {}", letter(*b), b.words(&l.scenario)));
        out.push_str(&paragraph(
            &format!(
                "A letter beside a factor: larger, and a bound is crossed before the target is missed; beside a doubled \
                 error: that bound is crossed. {}.",
                each.collect::<Vec<_>>().join(", ")
            ),
            2,
        ));
    }
    let beyond = |x: &&Loosest| match x.answer {
        Answer::Never(e) => l.goal.worse_by(e.value - l.now.value) > 3.0 * e.se,
        _ => false,
    };
    let helpful = l.tolerances.iter().filter(beyond);
    let helpful: Vec<&str> = helpful.filter_map(|x| Some(x.source?.key)).collect();
    out.push_str(&worse_without(&helpful));
    out.push_str(&biased(l));
    out
}

/// A window that may be more than so many times as wide costs little.
const WIDE: f64 = 3.0;

/// What to write into the scenario.
pub(in crate::report) fn keys(l: &Looseness) -> String {
    let changes = |x: &&Loosest| matches!(x.answer, Answer::Factor(_)) && !x.set.is_empty();
    let lines = |x: &Loosest, first: &str| -> String {
        let each = x.set.iter().enumerate();
        each.map(|(i, (key, text))| {
            let further = if i == 0 { first } else { "  " };
            format!("  {further}{key} = \"{text}\"\n")
        })
        .collect()
    };
    let alone: String = l
        .tolerances
        .iter()
        .filter(changes)
        .map(|x| lines(x, ""))
        .collect();
    if alone.is_empty() {
        return String::new();
    }
    let mut out = heading("the loosest, as the scenario would state it");
    out.push_str(&paragraph(
        "One at a time, sizes cut to three figures and simulated once more; lines set in belong to the one above. A size beyond all \
         reason says that this error hardly matters.",
        2,
    ));
    out.push_str(&alone);
    if changes(&&l.together) {
        out.push_str(&paragraph("Or all together:", 2));
        out.push_str(&lines(&l.together, "  "));
    }
    let free: Vec<String> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Any(f) => Some(format!("{} ({})", x.source?.key, quote(f, f, 2).value)),
            _ => None,
        })
        .collect();
    if !free.is_empty() {
        out.push_str(&paragraph(
            &format!("Met even at so many times what it is: {}.", free.join(", ")),
            2,
        ));
    }
    let window = l.tolerances.iter().any(|x| {
        x.source.is_some_and(|s| s.id == SourceId::Window)
            && match x.answer {
                Answer::Any(_) => true,
                Answer::Factor(f) => f.value > WIDE,
                Answer::Never(_) => false,
            }
    });
    if window {
        out.push_str(&paragraph(
            "A window of the mass costs little here; `joulecast sweep` shows what the target mass itself does.",
            2,
        ));
    }
    out
}

/// Runs of each leg, as far as they are not alike.
fn runs_now(l: &Looseness) -> String {
    let legs = l.scenario.legs().into_iter().filter(|leg| leg.runs > 0);
    let mut runs: Vec<String> = legs.map(|leg| leg.runs.to_string()).collect();
    if runs.windows(2).all(|pair| pair[0] == pair[1]) {
        runs.truncate(1);
    }
    runs.join(" + ")
}

pub(in crate::report) fn numbers(l: &Looseness) -> String {
    if l.numbers.is_empty() {
        return String::new();
    }
    let mut out = heading("the smallest numbers");
    let rows: Vec<Vec<String>> = l
        .numbers
        .iter()
        .map(|n| {
            let [now, least] = &n.words;
            let now = match n.path.as_str() {
                ALL_RUNS => runs_now(l),
                _ => now.clone(),
            };
            let name = match n.path.as_str() {
                ALL_RUNS if l.scenario.legs().iter().filter(|leg| leg.runs > 0).count() < 2 => {
                    "runs".to_owned()
                }
                ALL_RUNS => "runs of each kind, alike".to_owned(),
                path => {
                    let what = match schema::in_leg(path).1 {
                        "runs" => "runs",
                        _ => "waiting time",
                    };
                    format!("{what}, {}", leg_of(path))
                }
            };
            let found = match n.least {
                Some(_) if n.se > 0.0 && n.se.is_finite() => {
                    let se = quote(n.se, n.se, 1).value;
                    format!("{least} ± {se} s")
                }
                Some(_) => least.clone(),
                None => "none reaches it".to_owned(),
            };
            let found = match n.bound {
                Some(bound) => format!("{found} (else {})", bound.label()),
                None if n.close => format!("{found} *"),
                None => found,
            };
            vec![name, now, found, share(n.there)]
        })
        .collect();
    out.push_str(&table(
        &["number", "now", "smallest", "there, %"],
        rows,
        &[1, 2, 3],
    ));
    if l.numbers.iter().any(|n| n.close) {
        out.push_str(&paragraph(
            "* so close to the target that these trials cannot tell: one less might do, or one more be needed.",
            2,
        ));
    }
    out
}

/// What exchanges bring along: bounds, and what a lab assumes of a vessel.
fn along(l: &Looseness) -> String {
    let all = || l.instruments.iter().flat_map(|i| &i.upgrades);
    let entry = |u: &Upgrade| match &u.step {
        Step::Better(key) | Step::Worse(key) => key.clone(),
        Step::Perfect => String::new(),
    };
    let beyond: Vec<String> = all()
        .filter_map(|u| Some(format!("{} ({})", entry(u), u.crossed?.label())))
        .collect();
    let assumed: Vec<String> = all()
        .filter_map(|u| {
            let size = write_quantity(u.assumed?.0, Dimension::HeatCapacity);
            Some(format!("{size} for {}", entry(u)))
        })
        .collect();
    let mut out = String::new();
    if !beyond.is_empty() {
        let text = format!("A bound would be crossed with {}.", beyond.join(", "));
        out.push_str(&paragraph(&text, 2));
    }
    if !assumed.is_empty() {
        let text = format!(
            "Nothing calibrates here: what the lab assumes of the vessel moves along in proportion ({}).",
            assumed.join(", ")
        );
        out.push_str(&paragraph(&text, 2));
    }
    out
}

pub(in crate::report) fn instruments(l: &Looseness) -> String {
    if l.instruments.is_empty() {
        return String::new();
    }
    let mut out = heading("instruments, one class up or down");
    let mut rows = Vec::new();
    for i in &l.instruments {
        rows.push(vec![instrument(i), share(l.now), String::new()]);
        for u in &i.upgrades {
            let what = match &u.step {
                Step::Better(key) | Step::Worse(key) => format!("  {}: {key}", class(i, &u.step)),
                Step::Perfect => "  perfect".to_owned(),
            };
            let seen = u.change.value.abs() > 3.0 * u.change.se;
            rows.push(vec![
                what,
                // A figure that chance moved must not look better or worse than the one now.
                if seen {
                    share(u.there)
                } else {
                    "as now".to_owned()
                },
                if seen {
                    let [change, se] = [u.change.value, u.change.se].map(|x| 100.0 * x);
                    let sign = if change > 0.0 { "+" } else { "" };
                    format!("{sign}{}", quote(change, se, 1).value)
                } else {
                    "none seen".to_owned()
                },
            ]);
        }
    }
    out.push_str(&table(&["instrument", "there, %", "change"], rows, &[1, 2]));
    out.push_str(&paragraph(
        "An exchange changes all errors of an instrument at once; the table above loosens one of them alone.",
        2,
    ));
    if l.instruments.iter().any(Instrument::is_vessel) {
        out.push_str(&paragraph(
            "Vessels stand in the order of their leaks; another heat capacity, and how much of it takes part from run to run, \
             come along.",
            2,
        ));
    }
    out.push_str(&along(l));
    let worsened = |i: &&Instrument| {
        let seen = |u: &Upgrade| l.goal.worse_by(u.change.value) > 3.0 * u.change.se;
        i.upgrades
            .iter()
            .any(|u| u.step == Step::Perfect && seen(u))
    };
    let helpful = l.instruments.iter().filter(worsened);
    // A thermometer is known by its place, not by its key.
    let helpful: Vec<&str> = helpful
        .filter_map(|i| i.paths.first())
        .map(|path| schema::in_leg(path).1)
        .collect();
    out.push_str(&worse_without(&helpful));
    let own: Vec<&str> = l
        .instruments
        .iter()
        .flat_map(|i: &Instrument| i.own.iter().map(String::as_str))
        .collect();
    if !own.is_empty() {
        out.push_str(&paragraph(
            &format!(
                "What the scenario states itself stays as it is in an exchange: {}.",
                own.join(", ")
            ),
            2,
        ));
    }
    out
}
