//! The tables of a comparison: contenders as columns while they are few, as rows when they are many.

use super::cells::{bias, both, spread, zones};
use crate::design::{Comparison, Delivered};
use crate::report::words::{heading_of, paragraph, table, three};
use crate::stats::{Estimate, quote};

/// More contenders than this stand in rows.
pub(in crate::report) const MOST_COLUMNS: usize = 3;

/// One number or word about each contender.
struct Line {
    /// Before a row.
    name: String,
    /// Above a column.
    head: String,
    /// Its texts, in the order of the contenders.
    cells: Vec<String>,
}

/// A table.
struct Section {
    title: String,
    /// Behind the title.
    rest: &'static str,
    /// What the short heads of columns mean.
    said: &'static str,
    lines: Vec<Line>,
    /// Whether it holds words, which stand to the left.
    words: bool,
}

/// The tables of what the contenders deliver and take.
pub(in crate::report) fn tables(c: &Comparison) -> String {
    let mut out = String::new();
    for section in sections(c) {
        out.push_str(&heading_of(&section.title, section.rest));
        if !section.said.is_empty() && c.delivered().count() > MOST_COLUMNS {
            out.push_str(&paragraph(section.said, 2));
        }
        out.push_str(&set(c, section));
    }
    out
}

/// The contenders that have numbers, and how the numbers are set.
struct Setting<'c> {
    all: Vec<&'c Delivered>,
}

impl Setting<'_> {
    fn line(&self, name: &str, head: &str, of: &dyn Fn(&Delivered) -> String) -> Line {
        Line {
            name: name.to_owned(),
            head: head.to_owned(),
            cells: self.all.iter().map(|d| of(d)).collect(),
        }
    }

    /// An estimate in percent, with its error where there is room.
    fn number(&self, e: Estimate) -> String {
        let digits = if self.all.len() < MOST_COLUMNS { 2 } else { 1 };
        let q = quote(100.0 * e.value, 100.0 * e.se, digits);
        if self.all.len() <= MOST_COLUMNS && e.se > 0.0 {
            format!("{}\u{a0}±\u{a0}{}", q.value, q.u)
        } else {
            q.value
        }
    }

    fn any(&self, f: &dyn Fn(&Delivered) -> bool) -> bool {
        self.all.iter().any(|d| f(d))
    }

    fn delivered(&self) -> Vec<Line> {
        let of = |name: &str, head: &str, e: &dyn Fn(&Delivered) -> Estimate| {
            self.line(name, head, &|d| self.number(e(d)))
        };
        vec![
            of("bias (minus: too small)", "bias", &|d| {
                d.in_size(d.outcome.errors.bias)
            }),
            of("spread (standard deviation)", "spread", &|d| {
                d.relative(d.outcome.errors.spread)
            }),
            of("95 % of groups within: U", "U", &Delivered::within),
            of("RMS error", "RMS", &|d| d.relative(d.outcome.errors.rms)),
            of("spread, infinitely many runs", "floor", &|d| {
                d.relative(d.causes.floor)
            }),
            self.line("u of the literature value", "lit. u", &|d| {
                three(100.0 * d.literature())
            }),
        ]
    }

    fn temperature(&self) -> Vec<Line> {
        let runs = |d: &Delivered, i: usize| {
            [d.scenario.calibration.runs, d.scenario.determination.runs][i]
        };
        let rise = |d: &Delivered, i: usize| match runs(d, i) {
            0 => "none".to_owned(),
            _ => format!("{:+.3}", d.outcome.rises[i]),
        };
        let steps = |d: &Delivered, i: usize| match runs(d, i) {
            0 => String::new(),
            _ => three(d.outcome.steps[i]),
        };
        let in_steps = "  in steps of the thermometer";
        vec![
            self.line("ΔT calibration, K", "calibration, K", &|d| rise(d, 0)),
            self.line(in_steps, "steps", &|d| steps(d, 0)),
            self.line("ΔT determination, K", "determination, K", &|d| rise(d, 1)),
            self.line(in_steps, "steps", &|d| steps(d, 1)),
        ]
    }

    fn makes(&self) -> Vec<Line> {
        // Letters of a key before its column breaks it.
        let room = if self.all.len() == 3 { 17 } else { 26 };
        let mut lines = vec![
            self.line("most of the spread", "most of the spread", &|d| {
                spread(d, room)
            }),
            self.line("largest bias", "largest bias", &|d| bias(d, room)),
        ];
        if self.any(&|d| d.outcome.ran_out.value > 0.0) {
            lines.push(self.line("excess runs out, %", "runs out, %", &|d| {
                self.number(d.outcome.ran_out)
            }));
        }
        if self.any(&|d| d.outcome.repeats.value > 0.0) {
            lines.push(self.line("repeats in 100 runs", "repeats, %", &|d| {
                self.number(d.outcome.repeats)
            }));
        }
        if self.any(&|d| !d.zones.is_empty()) {
            lines.push(self.line("beyond bounds", "beyond bounds", &zones));
        }
        lines
    }

    /// What so many groups use up.
    fn amounts(&self, n: f64) -> Vec<Line> {
        let stated = |x: Option<f64>, digits: u32| {
            x.map_or("not stated".to_owned(), |x| {
                quote(n * x, n * x, digits).value
            })
        };
        let mut lines = vec![
            self.line("solids, g", "solids, g", &|d| {
                three(n * both(d.outcome.cost.solid))
            }),
            self.line("liquids, mL", "liquids, mL", &|d| {
                three(n * both(d.outcome.cost.liquid))
            }),
        ];
        if self.any(&|d| d.outcome.cost.time.is_some()) {
            lines.push(self.line("time at the bench, h", "time, h", &|d| {
                stated(d.outcome.cost.time.map(|t| t / 3600.0), 2)
            }));
        }
        if self.any(&|d| d.outcome.cost.money.is_some()) {
            let named = self.all.iter().find_map(|d| d.outcome.cost.currency);
            let unit = named.map_or_else(|| "money".to_owned(), |c| c.to_string());
            lines.push(self.line("money", &unit, &|d| stated(d.outcome.cost.money, 3)));
        }
        lines
    }
}

fn sections(c: &Comparison) -> Vec<Section> {
    let set = Setting {
        all: c.delivered().map(|(_, d)| d).collect(),
    };
    let section = |title: &str, rest, lines| Section {
        title: title.to_owned(),
        rest,
        said: "",
        lines,
        words: false,
    };
    let of_all = format!("what {} groups take", c.groups);
    let mut all = vec![
        Section {
            said: "U: 95 % of groups stay within this of the true value. Floor: the spread that infinitely many runs \
                   would leave. Lit. u: standard uncertainty of the literature value.",
            ..section(
                "what they deliver,",
                "% of each one's true value",
                set.delivered(),
            )
        },
        section("changes of temperature", "", set.temperature()),
        Section {
            words: true,
            ..section("what makes it", "", set.makes())
        },
        section("what a group takes,", "repeats counted", set.amounts(1.0)),
    ];
    if c.groups > 1 {
        all.push(section(&of_all, "", set.amounts(f64::from(c.groups))));
    }
    all
}

/// Sets lines as rows or as columns.
fn set(c: &Comparison, section: Section) -> String {
    let Section { lines, words, .. } = section;
    let who: Vec<(String, &str)> = c
        .delivered()
        .map(|(i, _)| {
            let letter = Comparison::letter(i).to_string();
            (letter, c.contenders[i].name.as_str())
        })
        .collect();
    if who.len() <= MOST_COLUMNS {
        let header: Vec<String> = std::iter::once(String::new())
            .chain(who.iter().map(|(letter, _)| letter.clone()))
            .collect();
        let header: Vec<&str> = header.iter().map(String::as_str).collect();
        let rows = lines.into_iter().map(|l| {
            let mut row = vec![l.name];
            row.extend(l.cells);
            row
        });
        let right: Vec<usize> = (1..=who.len()).filter(|_| !words).collect();
        return table(&header, rows.collect(), &right);
    }
    // Words need the room that names would take.
    let before = if words { 1 } else { 2 };
    let mut header = vec![""; before];
    header.extend(lines.iter().map(|l| l.head.as_str()));
    let rows = who.iter().enumerate().map(|(at, (letter, name))| {
        let mut row = vec![letter.clone(), (*name).to_owned()];
        row.truncate(before);
        row.extend(lines.iter().map(|l| l.cells[at].replace('\n', " ")));
        row
    });
    let right: Vec<usize> = (before..before + lines.len()).filter(|_| !words).collect();
    table(&header, rows.collect(), &right)
}
