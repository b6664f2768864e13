//! A design study for people: cautions, sentences, then tables.

use super::sweep_words::{letters, name, sentences};
use super::words::{cautions, entry, heading_of, paragraph, percent, table};
use crate::design::{Limit, Outcome, Split, Sweep};
use crate::scenario::Scenario;
use crate::stats::quote;

/// Rows of a table of two numbers before the rest is left to the files.
const ROWS: usize = 40;

/// The whole text, for 80 columns.
pub fn sweep_text(scenario: &Scenario, sweeps: &[Sweep], split: Option<&Split>) -> String {
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
    if let Some(s) = sweeps.first() {
        let se = 1.0 / (2.0 * s.trials as f64).sqrt();
        out.push('\n');
        if sweeps.iter().all(|s| s.goal.is_none()) {
            out.push_str(&paragraph(
                "With a target (--spread, --within or --pass) the smallest number and the window that reach it are \
                 named as well.",
                2,
            ));
        }
        out.push_str(&paragraph(
            &format!(
                "All in % of the result unless a unit is given. A spread has a standard error of about {} of itself; \
                 differences between points are known better, since all use the same random numbers.",
                percent(se)
            ),
            2,
        ));
    }
    out
}

fn short(x: f64) -> String {
    if !x.is_finite() {
        return "-".to_owned();
    }
    quote(x, x.abs(), 3).value
}

fn of(o: &Outcome, x: f64) -> String {
    short(100.0 * x / o.target.abs())
}

/// The bias with its sign in magnitude: below zero is too small.
fn bias(o: &Outcome) -> String {
    let size = 100.0 * o.errors.bias.value * o.target.signum() / o.target.abs();
    let se = 100.0 * o.errors.bias.se / o.target.abs();
    // Digits that the trials do not know would only look like a trend.
    if size.abs() < se {
        return "0".to_owned();
    }
    quote(size, se.max(size.abs() * 1e-3), 1).value
}

/// A table of one number.
fn line(s: &Sweep) -> String {
    let vary = &s.vary[0];
    let outcomes = || s.points.iter().filter_map(|p| p.outcome.as_ref());
    let any = |f: &dyn Fn(&Outcome) -> bool| outcomes().any(f);
    let (banded, repeated) = (
        any(&|o| o.in_band.is_some()),
        any(&|o| o.repeats.value > 0.0),
    );
    let timed = any(&|o| o.cost.time.is_some());
    let scattered = vary.knob.is_count() && any(&|o| o.student.is_some());
    let zoned = s.points.iter().any(|p| !p.zones.is_empty());
    let unit = vary.axis().1;
    let mut header: Vec<String> = vec![if unit.is_empty() { String::new() } else { unit }];
    header.extend(["spread", "bias", "RMS", "95 % in"].map(str::to_owned));
    let mut optional = |shown: bool, text: &str| {
        if shown {
            header.push(text.to_owned());
        }
    };
    optional(banded, "P(band)");
    optional(scattered, "student's");
    optional(!scattered, "ΔT, K");
    optional(repeated, "repeats");
    optional(timed, "time, h");
    optional(zoned, "out");
    let (values, _) = vary.axis();
    let rows: Vec<Vec<String>> = s
        .points
        .iter()
        .zip(values)
        .map(|(p, at)| {
            let mut row = vec![format!("{at}")];
            match &p.outcome {
                Some(o) => {
                    row.extend([
                        of(o, o.errors.spread.value),
                        bias(o),
                        of(o, o.errors.rms.value),
                        of(o, o.errors.within.value),
                    ]);
                    if banded {
                        row.push(
                            o.in_band
                                .map_or("-".to_owned(), |e| format!("{:.1}", 100.0 * e.value)),
                        );
                    }
                    row.push(if scattered {
                        o.student.map_or("-".to_owned(), |x| of(o, x))
                    } else {
                        short(o.rises[1])
                    });
                    if repeated {
                        row.push(format!("{:.1}", 100.0 * o.repeats.value));
                    }
                    if timed {
                        row.push(
                            o.cost
                                .time
                                .map_or("-".to_owned(), |t| format!("{:.2}", t / 3600.0)),
                        );
                    }
                }
                None => row.resize(header.len() - 1, "-".to_owned()),
            }
            if zoned {
                row.push(letters(s, p));
            }
            row
        })
        .collect();
    let columns: Vec<&str> = header.iter().map(String::as_str).collect();
    let numbers = columns.len() - usize::from(zoned);
    let right: Vec<usize> = (0..numbers).collect();
    let mut out = table(&columns, rows, &right);
    if scattered {
        out.push_str(&paragraph(
            "student's: half-width of the 95 % interval that a student computes from the scatter of the determinations alone, \
             in the median group. It knows nothing of what all runs share.",
            2,
        ));
    }
    if repeated {
        out.push_str(&paragraph("repeats: for 100 planned runs.", 2));
    }
    out
}

/// A table of two numbers: spreads, one row for each value of the second.
fn map(s: &Sweep) -> String {
    let [x, y] = s.vary.as_slice() else {
        return String::new();
    };
    let (across, unit) = x.axis();
    let (down, down_unit) = y.axis();
    let with = |name: String, unit: &str| {
        if unit.is_empty() {
            name
        } else {
            format!("{name}, {unit}")
        }
    };
    let mut out = paragraph(
        &format!(
            "Spread, %; across: {}; down: {}. Beyond a bound in brackets.",
            with(name(x), &unit),
            with(name(y), &down_unit)
        ),
        2,
    );
    // What does not fit into 80 columns is in the files.
    let step = across.len().div_ceil(8);
    let shown: Vec<usize> = (0..across.len()).step_by(step).collect();
    let skip = down.len().div_ceil(ROWS);
    let header: Vec<String> = std::iter::once(String::new())
        .chain(shown.iter().map(|i| format!("{}", across[*i])))
        .collect();
    let rows: Vec<Vec<String>> = (0..down.len())
        .step_by(skip)
        .map(|j| {
            let cell = |i: &usize| {
                let p = &s.points[j * across.len() + i];
                match &p.outcome {
                    None => "(-)".to_owned(),
                    Some(o) if p.zones.is_empty() => of(o, o.errors.spread.value),
                    Some(o) => format!("({})", of(o, o.errors.spread.value)),
                }
            };
            std::iter::once(format!("{}", down[j]))
                .chain(shown.iter().map(cell))
                .collect()
        })
        .collect();
    let columns: Vec<&str> = header.iter().map(String::as_str).collect();
    let right: Vec<usize> = (0..columns.len()).collect();
    out.push_str(&table(&columns, rows, &right));
    if step > 1 || skip > 1 {
        out.push_str(&paragraph("Every point is in the files.", 2));
    }
    out
}

/// The best split.
fn split_text(split: &Split) -> String {
    let within = match split.limit {
        Limit::Total(n) => format!("{n} runs in all"),
        Limit::Session { length, .. } => format!("a session of {} h", short(length / 3600.0)),
    };
    let mut out = heading_of("best split of runs:", &within);
    let best = &split.points[split.best];
    let tied: Vec<String> = split
        .points
        .iter()
        .enumerate()
        .filter(|(i, p)| *i != split.best && p.more.value <= 3.0 * p.more.se)
        .map(|(_, p)| format!("{} + {}", p.runs[0], p.runs[1]))
        .collect();
    let tied = if tied.is_empty() {
        String::new()
    } else {
        format!("; these trials cannot tell {} from it", tied.join(" and "))
    };
    out.push_str(&entry(
        "-",
        &format!(
            "{} calibration run{} and {} determination{} give the smallest spread{tied}.",
            best.runs[0],
            if best.runs[0] == 1 { "" } else { "s" },
            best.runs[1],
            if best.runs[1] == 1 { "" } else { "s" },
        ),
    ));
    if let Some(equal) = &split.equal {
        let more = equal.more.value / best.spread.value;
        out.push_str(&entry(
            "-",
            &if equal.runs == best.runs {
                "That is the equal split.".to_owned()
            } else {
                format!(
                    "The equal split, {} + {}, gives a spread larger by {} of it.",
                    equal.runs[0],
                    equal.runs[1],
                    percent(more)
                )
            },
        ));
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
    out.push('\n');
    let rows: Vec<Vec<String>> = split
        .points
        .iter()
        .enumerate()
        .map(|(i, p)| {
            vec![
                p.runs[0].to_string(),
                p.runs[1].to_string(),
                short(p.spread.value / 1e3),
                if i == split.best {
                    "best".to_owned()
                } else {
                    format!("+{}", percent(p.more.value / best.spread.value))
                },
            ]
        })
        .collect();
    out.push_str(&table(
        &[
            "calibrations",
            "determinations",
            "spread, kJ/mol",
            "more than the best",
        ],
        rows,
        &[0, 1, 2, 3],
    ));
    out
}
