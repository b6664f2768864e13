//! Small pieces of text that several reports share.

use super::document::{DEFERENCE, by_uncertainty, figures};
use crate::quantity::decimal;
use crate::scenario::schema;
use crate::stats::{Estimate, quote};

/// Width of all text.
pub(super) const WIDTH: usize = 80;

/// The line before all cautions, and the cautions, for programs.
pub(super) fn first_and_all(all: &[crate::scenario::Caution]) -> Vec<String> {
    let own = all.iter().map(ToString::to_string);
    std::iter::once(DEFERENCE.to_owned()).chain(own).collect()
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

/// Wraps one sentence, set in from the second line on.
pub fn hanging(text: &str, width: usize) -> String {
    wrapped(text, width, "", "  ")
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

/// A molar energy in J/mol with two figures, in kJ/mol.
pub(super) fn kj(x: f64) -> String {
    figures(x / 1e3, 2)
}

/// A number with the sign that print has for one below zero.
pub(super) fn minus(number: &str) -> String {
    number.replace('-', "\u{2212}")
}

/// A number down to the place of an error.
pub(super) fn digits(value: f64, error: f64) -> String {
    minus(&quote(value, error, 1).value)
}

/// A value with its standard error, which says how many digits it has.
pub(super) fn plus_minus(e: Estimate) -> String {
    format!(
        "{} ± {}",
        by_uncertainty(e.value, e.se, 1),
        figures(e.se, 1)
    )
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

/// What something is, without what stands behind its first bracket or comma, or the like.
pub(super) fn clause(doc: &str) -> &str {
    doc.split([',', '(', ';', ':']).next().unwrap_or(doc).trim()
}

/// `a, b and c`.
pub(super) fn in_a_row(all: &[String]) -> String {
    match all.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.concat(),
    }
}

/// Names of a list in a sentence at most.
const MOST_NAMES: usize = 4;

/// The first names of a list, and how many more there are.
pub(super) fn few(names: &[&str]) -> String {
    let first: Vec<String> = names
        .iter()
        .take(MOST_NAMES)
        .map(|n| (*n).to_owned())
        .collect();
    match names.len() {
        0 => "none".to_owned(),
        n if n > MOST_NAMES => format!("{} and {} more", first.join(", "), n - MOST_NAMES),
        _ => in_a_row(&first),
    }
}

/// A sentence with a capital letter at its beginning.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    first.map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
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
    origin(&format!("seed {seed} · {} trials", count(trials)), digest)
}

/// The same of a study that simulates many points.
pub fn provenance_of_points(seed: u64, trials: u64, digest: &str) -> String {
    origin(
        &format!("seed {seed} · {} trials a point", count(trials)),
        digest,
    )
}

pub(super) fn origin(made: &str, digest: &str) -> String {
    format!(
        "joulecast {} · {made} · scenario {digest}",
        env!("CARGO_PKG_VERSION")
    )
}
