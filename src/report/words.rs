//! Small pieces of text that several reports share.

use crate::quantity::decimal;
use crate::scenario::schema;
use crate::stats::{Estimate, quote};
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table, presets};

/// Width of all text.
pub(super) const WIDTH: usize = 80;

/// The line before every list of cautions.
pub const FIRST_CAUTION: &str = "General information only: follow local rules, the current safety \
data sheets and a qualified supervisor.";

/// The heading of the cautions, the line before them, and the cautions themselves.
pub(super) fn cautions(all: &[crate::scenario::Caution]) -> String {
    let mut out = heading("cautions");
    out.push_str(&paragraph(FIRST_CAUTION, 2));
    for caution in all {
        out.push_str(&entry("-", &caution.to_string()));
    }
    out
}

/// Units that must not be parted from their number by the end of a line.
const UNITS: [&str; 24] = [
    "%", "g", "mg", "kg", "mL", "L", "s", "min", "h", "K", "mK", "C", "°C", "J/K", "kJ/mol",
    "mol/L", "mol/kg", "V", "A", "W", "mW", "J", "points", "±",
];

/// Whether a word belongs to the number before it.
fn follows(before: &str, word: &str) -> bool {
    let bare = word.trim_end_matches([',', '.', ';', ':', ')', '`', '"']);
    let number = |w: &str| w.ends_with(|c: char| c.is_ascii_digit());
    (number(before) && UNITS.contains(&bare)) || before == "±"
}

/// Wraps text at its spaces: keys and names with hyphens stay whole, and numbers keep their units.
pub(super) fn wrapped(text: &str, width: usize, first: &str, rest: &str) -> String {
    const GLUE: &str = "\u{a0}";
    let mut glued = String::new();
    let mut before = "";
    for (i, word) in text.split(' ').enumerate() {
        if i > 0 {
            glued.push_str(if follows(before, word) { GLUE } else { " " });
        }
        glued.push_str(word);
        before = word;
    }
    let options = textwrap::Options::new(width)
        .word_splitter(textwrap::WordSplitter::NoHyphenation)
        .initial_indent(first)
        .subsequent_indent(rest);
    textwrap::fill(&glued, options).replace(GLUE, " ")
}

/// Wraps one sentence of an error, set in from the second line on.
pub fn hanging(text: &str) -> String {
    wrapped(text, WIDTH, "", "  ")
}

/// Wraps a paragraph, indented.
pub(super) fn paragraph(text: &str, indent: usize) -> String {
    let pad = " ".repeat(indent);
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    wrapped(&joined, WIDTH, &pad, &pad) + "\n"
}

/// Wraps a list entry behind a mark.
pub(super) fn entry(mark: &str, text: &str) -> String {
    let first = format!("  {mark} ");
    let rest = " ".repeat(first.chars().count());
    wrapped(text, WIDTH, &first, &rest) + "\n"
}

/// A heading.
pub(super) fn heading(text: &str) -> String {
    heading_of(text, "")
}

/// A heading with something behind it that must keep its letters, such as a unit.
pub(super) fn heading_of(text: &str, rest: &str) -> String {
    let all = format!("{} {rest}", text.to_uppercase());
    format!("\n{}\n", wrapped(all.trim(), WIDTH, "", ""))
}

/// A table without rules; columns named in `right` are aligned to the right.
pub(super) fn table(header: &[&str], rows: Vec<Vec<String>>, right: &[usize]) -> String {
    lines(arranged(header, rows, right))
}

fn lines(t: Table) -> String {
    t.lines().map(|l| l.trim_end().to_owned() + "\n").collect()
}

fn arranged(header: &[&str], rows: Vec<Vec<String>>, right: &[usize]) -> Table {
    let mut t = Table::new();
    t.load_style(presets::NOTHING)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(WIDTH as u16);
    if !header.is_empty() {
        t.set_header(header.to_vec());
    }
    for row in rows {
        t.add_row(row);
    }
    for &i in right {
        if let Some(column) = t.column_mut(i) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    if let Some(first) = t.column_mut(0) {
        // Keys and names must not be broken.
        first
            .set_padding((2, 1))
            .set_constraint(ColumnConstraint::ContentWidth);
    }
    t
}

/// A number of trials with thin groups: `102 400`.
pub(super) fn count(n: u64) -> String {
    let digits = n.to_string();
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(c);
    }
    out
}

/// A number with three figures; a dash for what is none.
pub(super) fn three(x: f64) -> String {
    if !x.is_finite() {
        return "-".to_owned();
    }
    quote(x, x.abs(), 3).value
}

/// Most digits that a given value keeps: more of them were reckoned.
const GIVEN: i32 = 6;

/// Whether a molar enthalpy in J/mol has so few digits that it was given with them.
pub(super) fn is_given(value: f64) -> bool {
    let value = decimal(value / 1e3);
    format!("{value:.*e}", GIVEN as usize - 1).parse() == Ok(value)
}

/// A given value of a molar enthalpy with its standard uncertainty, both in J/mol, in kJ/mol: with the digits that it was given
/// with, however few the result has; a reckoned one is rounded by its own uncertainty.
pub(super) fn accepted(value: f64, u: f64) -> String {
    let given = is_given(value);
    let value = decimal(value / 1e3);
    let own = quote(value, 0.0, 2).value;
    let digits = if u > 0.0 && !given {
        quote(value, u / 1e3, 2).value
    } else {
        own
    };
    if digits.contains('.') {
        digits
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned()
    } else {
        digits
    }
}

/// `a, b and c`.
pub(super) fn in_a_row(all: &[String]) -> String {
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

/// An estimate in percent without its sign: three figures, or what its standard error leaves if that is less.
pub(super) fn share(e: Estimate) -> String {
    if !e.value.is_finite() {
        return "-".to_owned();
    }
    let [value, se] = [e.value, e.se].map(|x| 100.0 * x);
    let [three, known] = [quote(value, value.abs(), 3), quote(value, se, 1)].map(|q| q.value);
    if se > 0.0 && known.len() < three.len() {
        known
    } else {
        three
    }
}

/// The leg that a key belongs to, as people call it; empty for a key at the top.
pub(super) fn leg_of(key: &str) -> &str {
    let leg = schema::in_leg(key).0;
    leg.strip_prefix("leg.").unwrap_or(leg)
}

/// A fraction in %, with about three figures.
pub(super) fn percent(fraction: f64) -> String {
    let p = 100.0 * fraction;
    let size = p.abs();
    if size == 0.0 {
        "0 %".to_owned()
    } else if size >= 10.0 {
        format!("{p:.1} %")
    } else if size >= 1.0 {
        format!("{p:.2} %")
    } else {
        format!("{p:.3} %")
    }
}

/// Where a result comes from: enough to get it again.
pub fn provenance(seed: u64, trials: u64, digest: &str) -> String {
    origin(seed, &format!("{} trials", count(trials)), digest)
}

/// The same of a study that simulates many points.
pub fn provenance_of_points(seed: u64, trials: u64, digest: &str) -> String {
    origin(seed, &format!("{} trials a point", count(trials)), digest)
}

fn origin(seed: u64, trials: &str, digest: &str) -> String {
    format!(
        "joulecast {} · seed {seed} · {trials} · scenario {digest}",
        env!("CARGO_PKG_VERSION")
    )
}
