//! How loose tolerances may be, for people.

use super::words::{cautions, entry, heading, paragraph, table};
use crate::design::{Answer, Instrument, Looseness, Loosest, Step};
use crate::scenario::{SourceId, schema};
use crate::stats::{Estimate, quote};

/// The whole text, for 80 columns.
pub fn loosen_text(l: &Looseness) -> String {
    let mut out = paragraph(&l.scenario.title, 0);
    out.push_str(&cautions(&l.scenario.cautions));
    out.push_str(&heading("in short"));
    for (i, sentence) in [standing(l), together(l), room(l)].iter().enumerate() {
        out.push_str(&entry(&format!("{}.", i + 1), sentence));
    }
    out.push_str(&tolerances(l));
    out.push_str(&keys(l));
    out.push_str(&numbers(l));
    out.push_str(&instruments(l));
    out.push('\n');
    out.push_str(&paragraph(
        &format!(
            "All numbers in % are the {}, which the target is about. Each answer alone: with the others as they are.",
            l.goal.name()
        ),
        2,
    ));
    out
}

fn share(e: Estimate) -> String {
    if !e.value.is_finite() {
        return "-".to_owned();
    }
    let [value, se] = [e.value, e.se].map(|x| 100.0 * x);
    // Three figures, or what the trials know if that is less.
    let guide = (value.abs() * 1e-2).max(se);
    quote(value, guide, 1).value
}

/// A factor, and the standard error of its last figures.
fn factor(e: Estimate) -> String {
    let guide = e.se.max(e.value * 5e-3);
    let q = quote(e.value, guide, 1);
    format!("{} ± {}", q.value, q.u)
}

fn standing(l: &Looseness) -> String {
    let met = l.goal.met(l.now.value);
    let close = (l.now.value - l.goal.target()).abs() < 2.0 * l.now.se;
    let verdict = match (met, close) {
        (_, true) => "that is the target itself, as far as these trials can tell",
        (true, _) => "the target is met",
        (false, _) => "the target is missed",
    };
    format!(
        "The target is {}; now the {} is {} %: {verdict}.",
        l.goal.words(),
        l.goal.name(),
        share(l.now)
    )
}

fn together(l: &Looseness) -> String {
    match l.together.answer {
        Answer::Factor(f) if f.value >= 1.0 => format!(
            "All tolerances together may grow to {} times what they are.",
            factor(f)
        ),
        Answer::Factor(f) => format!(
            "All tolerances together would have to shrink to {} times what they are.",
            factor(f)
        ),
        Answer::Any(f) => format!(
            "All tolerances together may be {f} times what they are, and more: something else makes the spread."
        ),
        Answer::Never(e) => format!(
            "The target cannot be met even if everything here were perfect: {} % would be left, from tabulated values, what is \
             in the bottle and the vessel. More runs or another reference would be needed.",
            share(e)
        ),
    }
}

fn room(l: &Looseness) -> String {
    let name = |x: &&Loosest| x.source.map_or("", |s| s.key);
    if l.goal.met(l.now.value) {
        let free: Vec<String> = l
            .tolerances
            .iter()
            .filter(|x| matches!(x.answer, Answer::Any(_)))
            .map(|x| format!("`{}`", name(&x)))
            .collect();
        let first = tightest(l);
        let second = match free.as_slice() {
            [] => String::new(),
            some => format!(
                " As loose as anybody could wish: {}{}.",
                some[..some.len().min(4)].join(", "),
                if some.len() > 4 { " and others" } else { "" }
            ),
        };
        return first + &second;
    }
    let help: Vec<String> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Factor(f) => Some(format!("`{}` ({} times)", name(&x), factor(f))),
            _ => None,
        })
        .collect();
    if help.is_empty() {
        "No single tolerance can repair that, not even if it were perfect.".to_owned()
    } else {
        format!(
            "One of these alone, made tighter, would do: {}.",
            help.join(", ")
        )
    }
}

/// The tolerances with the least room; those that these trials cannot tell apart together.
fn tightest(l: &Looseness) -> String {
    let mut tight: Vec<(&Loosest, Estimate)> = l
        .tolerances
        .iter()
        .filter_map(|x| match x.answer {
            Answer::Factor(f) => Some((x, f)),
            _ => None,
        })
        .collect();
    tight.sort_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let Some((_, least)) = tight.first().copied() else {
        return "No single tolerance can spoil it.".to_owned();
    };
    tight.retain(|(_, f)| f.value - least.value <= 2.0 * f.se.hypot(least.se));
    let named: Vec<String> = tight
        .iter()
        .take(4)
        .map(|(x, _)| format!("`{}`", x.source.map_or("", |s| s.key)))
        .collect();
    let are = if named.len() > 1 { "are" } else { "is" };
    let each = if named.len() > 1 {
        ", one of them alone,"
    } else {
        ""
    };
    format!(
        "The tightest {are} {}: {} times as large{each} and the target is just met.",
        named.join(" and "),
        factor(least)
    )
}

fn tolerances(l: &Looseness) -> String {
    let mut out = heading("each tolerance alone");
    let rows: Vec<Vec<String>> = std::iter::once(&l.together)
        .chain(&l.tolerances)
        .map(|x| {
            let may = match x.answer {
                Answer::Factor(f) => factor(f),
                Answer::Any(f) => format!("over {}", quote(f, f, 2).value),
                Answer::Never(e) => format!("never ({} %)", share(e)),
            };
            vec![
                x.source.map_or("all together", |s| s.key).to_owned(),
                x.now
                    .first()
                    .map_or(String::new(), |(_, text)| text.clone()),
                may,
                share(x.doubled),
            ]
        })
        .collect();
    out.push_str(&table(
        &["tolerance", "now", "times as large", "doubled, %"],
        rows,
        &[2, 3],
    ));
    out.push_str(&paragraph(
        "times as large: the loosest that still meets the target, with its standard error; \"never (x %)\": not even \
         perfect, which would leave x %. doubled: what is reached if it is twice as large, the dearest step first.",
        2,
    ));
    out
}

/// What to write into the scenario.
fn keys(l: &Looseness) -> String {
    let mut lines = Vec::new();
    for x in &l.tolerances {
        let changes = matches!(x.answer, Answer::Factor(_));
        for (key, text) in x.set.iter().filter(|_| changes) {
            lines.push((key.clone(), text.clone()));
        }
    }
    if lines.is_empty() {
        return String::new();
    }
    let mut out = heading("the loosest, as the scenario would state it");
    out.push_str(&paragraph("One at a time, sizes cut to three figures:", 2));
    for (key, text) in lines {
        out.push_str(&format!("  {key} = \"{text}\"\n"));
    }
    let window = l.tolerances.iter().any(|x| {
        x.source.is_some_and(|s| s.id == SourceId::Window) && matches!(x.answer, Answer::Any(_))
    });
    if window {
        out.push_str(&paragraph(
            "The window of the mass costs next to nothing, since the mass is recorded; how far it may go is a question of the \
             excess, the solubility and the change of temperature: `joulecast sweep` draws them.",
            2,
        ));
    }
    out
}

fn numbers(l: &Looseness) -> String {
    if l.numbers.is_empty() {
        return String::new();
    }
    let mut out = heading("the smallest numbers");
    let rows: Vec<Vec<String>> = l
        .numbers
        .iter()
        .map(|n| {
            let [now, least] = &n.words;
            let name = match n.path.as_str() {
                "runs" => "runs of each kind, alike".to_owned(),
                path => {
                    let (leg, tail) = schema::in_leg(path);
                    let leg = leg.strip_prefix("leg.").unwrap_or(leg);
                    match tail {
                        "runs" => format!("runs, {leg}"),
                        _ => format!("waiting time, {leg}"),
                    }
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
            let found = if n.close { format!("{found} *") } else { found };
            vec![name, now.clone(), found, share(n.there)]
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

/// An instrument's key, and what it is for where the same kind serves twice.
pub(super) fn instrument(i: &Instrument) -> String {
    let tail = i.paths.first().map_or("", |path| schema::in_leg(path).1);
    match tail {
        "charge.portion_device" => format!("{} (portion)", i.key),
        "stock.flask" => format!("{} (stock)", i.key),
        _ => i.key.clone(),
    }
}

fn instruments(l: &Looseness) -> String {
    if l.instruments.is_empty() {
        return String::new();
    }
    let mut out = heading("instruments, one class up or down");
    let mut rows = Vec::new();
    for i in &l.instruments {
        rows.push(vec![
            instrument(i),
            "as it is".to_owned(),
            share(l.now),
            String::new(),
        ]);
        for u in &i.upgrades {
            let what = match &u.step {
                Step::Better(key) => format!("better: {key}"),
                Step::Worse(key) => format!("worse: {key}"),
                Step::Perfect => "perfect".to_owned(),
            };
            let seen = u.change.value.abs() > 3.0 * u.change.se;
            rows.push(vec![
                String::new(),
                what,
                share(u.there),
                if seen {
                    format!("{:+.3}", 100.0 * u.change.value)
                } else {
                    "none seen".to_owned()
                },
            ]);
        }
    }
    out.push_str(&table(
        &["instrument", "", "there, %", "change"],
        rows,
        &[2, 3],
    ));
    if l.instruments.iter().any(Instrument::is_vessel) {
        out.push_str(&paragraph(
            "Vessels stand in the order of their leaks; another heat capacity, and how much of it takes part from run to run, \
             come along.",
            2,
        ));
    }
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
