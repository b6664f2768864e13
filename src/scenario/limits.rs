//! Whether what a source is said to be is usual, and whether it is possible at all, by the ranges of its entry.

use super::bind_sets::{AS_LARGE, is_as_large};
use super::build::Builder;
use super::defaults::Default;
use super::document::Raw;
use super::problem::Problem;
use super::schema::{Key, Shape};
use super::source::{Part, Source, Statement, Usual, Written};
use super::wording::{expected, expected_of};
use crate::quantity::{Dimension, parse_measured, parse_window, write_quantity};
use crate::random::Dist;

/// Draws below the one and above the other are too rare to judge a statement by. The lower one must not be left by any
/// trial of a long study; the upper one leaves an exponential law its tail.
const RARE: [f64; 2] = [1e-9, 1e-3];

/// The same of shares of what is there: one draw in ten may be all of it.
const SHARES: [f64; 2] = [1e-9, 0.1];

/// The same, where a rare draw says that the statement is rough.
const ROUGH: f64 = 0.01;

/// Share of what there is from which a loss is asked about.
const ASKED: f64 = 0.1;

/// Refuses what is not possible, and warns of what no laboratory has. `whole` is what the source takes part of.
pub(super) fn check(
    b: &mut Builder,
    leg: &str,
    source: &Source,
    found: &Default,
    whole: Option<f64>,
) {
    let stated = b
        .find(leg, source.site(), source.name())
        .or_else(|| match source.written {
            Written::TimeOrRate => b.find(leg, source.site(), "rate"),
            _ => None,
        });
    // What nobody states and no instrument has does not err.
    if found.dist.exactly() == Some(0.0)
        && (stated.is_none() || source.statement != Statement::Value)
    {
        return;
    }
    let verdict = impossible(source, &found.dist, whole)
        .map(|message| Problem::error("", message).hint(expected_of(source)))
        .or_else(|| unusual(source, &found.dist, whole));
    let Some(problem) = verdict else { return };
    // An entry of the user's own has it: then the key that names the entry is the place.
    let named = match source.library {
        Usual::Device(_) => b.find(leg, source.site(), "device"),
        _ => b.find(leg, source.site(), "use"),
    };
    let (path, span) = stated.or(named).map_or_else(
        || (format!("{leg}.{}", source.key), None),
        |f| (f.path, f.entry.span),
    );
    b.problem(Problem { path, ..problem }.at(span));
}

/// Ends of a range of the table, in the base unit.
pub(super) fn ends(source: &Source, range: &str) -> [f64; 2] {
    let (low, high) = parse_window(range, source.dimension).expect("the table of sources is right");
    [low, high]
}

/// What a statement makes of its quantity at the ends: magnitudes of an error that may go both ways, else values.
fn reach(source: &Source, dist: &Dist, [low, high]: [f64; 2]) -> [f64; 2] {
    let [low, high] = [low, 1.0 - high].map(|p| dist.quantile(p));
    if source.statement == Statement::Error && !source.one_sided {
        return [0.0, low.abs().max(high.abs())];
    }
    [low, high]
}

/// A value in the unit that people would choose, to three figures.
fn brief(x: f64, source: &Source) -> String {
    let rounded = if x.is_finite() {
        format!("{x:.2e}").parse().unwrap_or(x)
    } else {
        x
    };
    write_quantity(rounded, source.dimension)
}

/// The same of a key that is no source, at no place yet.
pub(super) fn of_key(key: Key, raw: &Raw) -> Option<Problem> {
    if key.possible.is_empty() {
        return None;
    }
    match (key.shape, raw) {
        (Shape::Size(d) | Shape::Sizes(d) | Shape::Measured(d), Raw::Text(text)) => {
            of_text(key, d, text)
        }
        (Shape::Sizes(d), Raw::Texts(all)) => all.iter().find_map(|text| of_text(key, d, text)),
        _ => None,
    }
}

fn of_text(key: Key, d: Dimension, text: &str) -> Option<Problem> {
    let value = parse_measured(text, d).ok()?.value;
    let within = |range: &str| {
        let (low, high) = parse_window(range, d).expect("the table of keys is right");
        (low..=high).contains(&value)
    };
    let text = text.trim();
    if !within(key.possible) {
        let message = format!("{text} is not possible: only {} is", key.possible);
        return Some(Problem::error("", message).hint(expected(key.shape)));
    }
    let message = format!("{text} is unusual: laboratories have {}", key.usual);
    (!within(key.usual)).then(|| Problem::warning("", message).hint(CHECK))
}

const CHECK: &str = "check the number and its unit; it is simulated as stated";

fn impossible(source: &Source, dist: &Dist, whole: Option<f64>) -> Option<String> {
    let write = |x: f64| brief(x, source);
    let [least, most] = ends(source, source.possible);
    let both = source.statement == Statement::Error && !source.one_sided;
    let rare = match (source.rough, both) {
        (true, _) => [ROUGH; 2],
        (false, true) => [RARE[1]; 2],
        // Nothing changes its sign at an end of such a range.
        _ if source.dimension == Dimension::Temperature => [RARE[1]; 2],
        // Shares are never more than there is, whatever a far draw says.
        (false, false) if source.one_sided && source.dimension == Dimension::Fraction => SHARES,
        (false, false) => RARE,
    };
    let [low, high] = reach(source, dist, rare);
    let possible = source.possible;
    match (source.part, whole) {
        (Part::Error, Some(whole)) if is_as_large(dist, whole) => return Some(AS_LARGE.to_owned()),
        (Part::Loss, Some(whole)) if whole > 0.0 && dist.mean() >= whole => {
            let [part, whole] = [dist.mean(), whole].map(write);
            return Some(format!("{part} of the {whole} that there are"));
        }
        _ => {}
    }
    // Of an error that may go both ways the size counts.
    let size = |x: &f64| if both { x.abs() } else { *x };
    let value = dist
        .exactly()
        .filter(|x| !(least..=most).contains(&size(x)));
    if let Some(value) = value {
        let value = write(value);
        return Some(format!("{value} is not possible: only {possible} is"));
    }
    // A range that ends where it begins to be nonsense is left by as much as a rounding only.
    let beyond = if low < least {
        format!("down to {}", write(low))
    } else if high > most || !high.is_finite() {
        format!("up to {}", write(high))
    } else {
        return None;
    };
    Some(format!(
        "some trials would have {beyond}; only {possible} is possible"
    ))
}

fn unusual(source: &Source, dist: &Dist, whole: Option<f64>) -> Option<Problem> {
    let write = |x: f64| brief(x, source);
    if let (Part::Loss, Some(whole)) = (source.part, whole)
        && whole > 0.0
        && dist.mean() > ASKED * whole
    {
        let [part, whole] = [dist.mean(), whole].map(write);
        let message = format!("{part} of {whole}, typically: is that meant?");
        let hint = "more than a tenth; it is simulated as stated, and never as more than there is";
        return Some(Problem::warning("", message).hint(hint));
    }
    let [least, most] = ends(source, source.usual);
    let mean = dist.mean();
    let typical = match source.statement {
        Statement::Error => mean.hypot(dist.standard_uncertainty()),
        _ => dist.quantile(0.5),
    };
    let far = Some(typical)
        .filter(|x| *x > most || (source.statement != Statement::Error && *x < least))?;
    let message = format!(
        "{} is unusual: laboratories have {}",
        write(far),
        source.usual
    );
    Some(Problem::warning("", message).hint(CHECK))
}

#[cfg(test)]
mod tests {
    use super::super::schema::KEYS;
    use super::super::source::SOURCES;
    use super::*;

    #[test]
    fn what_is_usual_for_a_key_is_possible() {
        let ranged = KEYS.iter().filter(|k| !k.possible.is_empty());
        assert!(ranged.clone().count() > 30);
        for k in ranged {
            let (Shape::Size(d) | Shape::Sizes(d) | Shape::Measured(d)) = k.shape else {
                panic!("{}", k.name);
            };
            let [usual, possible] = [k.usual, k.possible].map(|r| parse_window(r, d).unwrap());
            assert!(possible.0 <= usual.0 && usual.1 <= possible.1, "{}", k.name);
        }
    }

    #[test]
    fn every_source_has_ranges_and_what_is_usual_is_possible() {
        for s in SOURCES {
            let [usual, possible] = [s.usual, s.possible].map(|r| ends(s, r));
            assert!(
                usual[0] < usual[1] && possible[0] < possible[1],
                "{}",
                s.key
            );
            assert!(
                possible[0] <= usual[0] && usual[1] <= possible[1],
                "{}",
                s.key
            );
            // The size of an error counts.
            let from_zero = s.statement != Statement::Error || usual[0] == 0.0;
            assert!(from_zero, "{}", s.key);
        }
    }
}
