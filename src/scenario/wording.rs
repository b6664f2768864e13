//! How problems are put into words: what was found, what is due, what may have been meant.

use super::schema::{self, Shape};
use super::source::{Source, Statement, Written};
use crate::quantity::{
    Dimension, MOST_CANDIDATES, QuantityError, StatementError, edits, parse_quantity_as,
    parse_window, write_quantity,
};
use crate::random::elementary::log10;

/// The nearest of the candidates, if one is near enough to be meant: one that the word is a part
/// of, else one that is spelt like it.
pub(crate) fn nearest<'c>(
    word: &str,
    candidates: impl Iterator<Item = &'c str>,
) -> Option<&'c str> {
    let small = word.to_lowercase();
    candidates
        .take(MOST_CANDIDATES)
        .map(|c| (c, c.to_lowercase()))
        .map(|(c, own)| (!is_part(&own, &small), edits(&small, &own), c))
        .filter(|(apart, d, c)| !apart || *d <= 3.max(c.len() / 3) && *d < c.len())
        .min()
        .map(|(_, _, c)| c)
}

/// Whether `word` is a fair part of `candidate`.
fn is_part(candidate: &str, word: &str) -> bool {
    word.len() >= 3 && candidate.contains(word)
}

/// The key that an unknown path may have meant: a like name in the same table, else the same name
/// in another table, else a like path.
pub(super) fn suggest_key(path: &str) -> Option<String> {
    // Further legs have the keys of a determination.
    if let (leg, rest) = schema::in_leg(path)
        && leg.starts_with("leg.")
    {
        let meant = suggest_key(&format!("determination.{rest}"))?;
        return Some(match meant.strip_prefix("determination") {
            Some(rest) => format!("{leg}{rest}"),
            None => meant,
        });
    }
    let paths = schema::all_paths();
    let (table, name) = split(path);
    let by = |text: &str, of: &str, most: usize| {
        let d = edits(text, of);
        (d <= most).then_some(d)
    };
    let few = |text: &str| text.chars().count().div_ceil(3).min(4);
    let in_table = paths.iter().filter(|p| split(p).0 == table);
    let like = in_table.filter_map(|p| Some((by(split(p).1, name, few(name))?, p)));
    let same = paths.iter().filter(|p| split(p).1 == name);
    // Quantities are looked for more often than choices that have their names.
    let is_choice = |p: &str| {
        let shape = schema::find(p).map(|k| k.shape);
        matches!(shape, Some(Shape::Choice(_)))
    };
    // What is weighed in, or put in, is meant rather than what stands beside it; in the determinations, where legs differ.
    let usual = |p: &str| {
        let (leg, site) = schema::in_leg(split(p).0);
        let of_charge = ["charge", "liquid", "record"].contains(&site);
        (
            !of_charge,
            of_charge && leg != "determination" && table.is_empty(),
        )
    };
    let elsewhere = same.filter_map(|p| {
        let far = by(p, path, usize::MAX)?;
        Some(((is_choice(p), usual(p), far), p))
    });
    let whole = paths.iter().filter_map(|p| {
        let (its_table, its_name) = split(p);
        let far = by(its_table, table, table.len() / 4)? + by(its_name, name, few(name))?;
        Some((far, p))
    });
    let found = like.min().map(|(_, p)| p);
    let found = found.or(elsewhere.min().map(|(_, p)| p));
    found.or(whole.min().map(|(_, p)| p)).cloned()
}

/// The table that an unknown table may have meant.
pub(super) fn suggest_table(path: &str) -> Option<String> {
    let paths = schema::all_paths();
    // A table of the whole file that stands in a leg.
    let (leg, site) = schema::in_leg(path);
    let at_top = |p: &String| !leg.is_empty() && !site.is_empty() && split(p).0 == site;
    if paths.iter().any(at_top) {
        return Some(site.to_owned());
    }
    let tables = paths.iter().map(|p| split(p).0).filter(|t| !t.is_empty());
    tables
        .chain([schema::COLUMNS, schema::SLIPS])
        .map(|t| (edits(t, path), t))
        // Half a word in common is chance.
        .filter(|(d, t)| *d <= 2.max(t.len() / 4) && 2 * d < t.len().min(path.len()))
        .min()
        .map(|(_, t)| t.to_owned())
}

fn split(path: &str) -> (&str, &str) {
    path.rsplit_once('.').unwrap_or(("", path))
}

/// What a shape takes.
pub(super) fn expected(shape: Shape) -> String {
    match shape {
        Shape::Text => "a text in quotes".to_owned(),
        Shape::Texts => "a list of texts".to_owned(),
        Shape::Flag => "true or false".to_owned(),
        Shape::Count(low, high) if low == high => format!("the number {low}"),
        Shape::Count(low, high) => format!("a whole number from {low} to {high}, without quotes"),
        Shape::Choice(words) => format!("one of: \"{}\"", words.join("\", \"")),
        Shape::Library(kind) => format!("the key of a {kind}; `joulecast show {kind}` lists them"),
        Shape::Size(d) | Shape::Sizes(d) => {
            format!("{}, for example \"{}\"", d.name(), d.example())
        }
        Shape::List(d) => format!(
            "a list of texts in quotes, each {}, in rising order, such as [\"-60 s\", \"-30 s\", \"30 s\"]",
            d.name()
        ),
        Shape::Measured(d) => format!(
            "{} with or without its error, for example \"{}\" or \"{}, u = {}\"",
            d.name(),
            d.example(),
            d.example(),
            error_example(d)
        ),
        Shape::Window(Dimension::Mass) => "a window, for example \"0.38 g to 0.42 g\"".to_owned(),
        Shape::Window(d) => format!("a window from {} to another, \"low to high\"", d.name()),
        Shape::Error(d) => format!(
            "an error, for example \"{} rectangular\" or \"u = {}\"",
            error_example(d),
            error_example(d)
        ),
        Shape::Open => "a table".to_owned(),
    }
}

/// What the key of a source takes: errors that can only go one way have examples of their own.
pub(super) fn expected_of(source: &Source) -> String {
    if is_loss(source) {
        let e = error_example(source.dimension);
        return format!(
            "an error that goes one way, for example \"{e} exponential\" or \"0 to {e}\""
        );
    }
    if source.statement == Statement::Error {
        return expected(schema::shape_of(source));
    }
    // A value that laboratories have: that of its kind, if they do, else the middle.
    let d = source.dimension;
    let (low, high) = parse_window(source.usual, d).expect("the table is right");
    let kind = parse_quantity_as(d.example(), d).ok();
    let value = kind
        .filter(|x| *x > 0.0 && (low..=high).contains(x))
        .unwrap_or(0.5 * (low + high));
    let u = match value.abs() {
        0.0 => 0.02 * (high - low),
        _ if d == Dimension::Temperature => 0.02 * (high - low),
        size => 0.02 * size,
    };
    let [value, u] = [write_quantity(value, d), write_quantity(u, d.difference())];
    format!(
        "{} with or without its error, for example \"{value}\" or \"{value}, u = {u}\"",
        d.name()
    )
}

/// The key of a source in its table, with a statement such as laboratories have; for a window, or where no key states it,
/// a remark that says so.
pub fn example(source: &Source) -> String {
    let (low, high) = parse_window(source.usual, source.dimension).expect("the table is right");
    let middle = write_quantity(0.5 * (low + high), source.dimension);
    // Of errors a hundredth of what is the most that anybody has.
    let size = write_quantity(0.01 * high, source.dimension);
    let statement = match (source.written, source.statement) {
        (Written::Window, _) => format!(
            "{} to {}",
            write_quantity(0.01 * high, source.dimension),
            write_quantity(0.0102 * high, source.dimension)
        ),
        (Written::Chance | Written::Nowhere, _) => {
            return format!("# no key states `{}`: {}\n", source.key, source.doc);
        }
        _ if is_loss(source) => format!("{size} exponential"),
        (_, Statement::Error) => format!("{size} rectangular"),
        _ => middle,
    };
    format!(
        "# {}\n[{}]\n{} = \"{statement}\"\n",
        source.doc,
        source.site(),
        source.name()
    )
}

/// Whether it is an error that can only go one way.
pub(super) fn is_loss(source: &Source) -> bool {
    source.one_sided && source.statement == Statement::Error
}

/// An error of a size that occurs.
fn error_example(d: Dimension) -> &'static str {
    match d {
        Dimension::Mass => "0.2 mg",
        Dimension::Volume => "0.05 mL",
        Dimension::Temperature => "0.5 K",
        Dimension::Time => "10 s",
        Dimension::HeatCapacity => "4 J/K",
        Dimension::MolarEnthalpy => "0.1 kJ/mol",
        Dimension::SpecificHeat => "0.02 J/(g K)",
        Dimension::MolarHeatCapacity => "5 J/(mol K)",
        Dimension::Rate => "0.005 /s",
        Dimension::Density => "0.02 kg/m3",
        Dimension::Voltage => "0.02 V",
        Dimension::Current => "5 mA",
        Dimension::Concentration => "0.001 mol/L",
        Dimension::Energy => "2 J",
        d => d.example(),
    }
}

/// What is wrong with a quantity; how it should look is said by the hint below it.
pub(super) fn quantity_error(text: &str, e: &QuantityError) -> String {
    if has_decimal_comma(text) {
        return format!(
            "`{}` has a decimal comma; write a decimal point",
            text.trim()
        );
    }
    match e {
        QuantityError::NoUnit { text, .. } => format!("`{text}` has no unit"),
        QuantityError::WrongDimension {
            text,
            found,
            expected,
            ..
        } => format!("`{text}` is {found}, but {expected} is due here"),
        QuantityError::NotWindow { text, .. } => {
            format!("`{text}` is not a window from one value to another")
        }
        e => e.to_string(),
    }
}

/// What is wrong with an error statement; `loss` is one that can only go one way.
pub(super) fn spread_error(text: &str, e: &StatementError, loss: bool) -> String {
    if has_decimal_comma(text) {
        return quantity_error(text, &QuantityError::DecimalComma(text.to_owned()));
    }
    match e {
        StatementError::Quantity(q) => quantity_error(text, q),
        StatementError::NoShape(size) if loss => {
            format!(
                "say what `{size}` is: `{size} exponential` (a mean), `0 to {size}`, `exactly {size}`"
            )
        }
        e => e.to_string(),
    }
}

/// Whether a comma stands between two digits, outside brackets.
fn has_decimal_comma(text: &str) -> bool {
    let bytes = text.as_bytes();
    let mut depth = 0;
    bytes.iter().enumerate().any(|(i, b)| {
        depth += i32::from(*b == b'(') - i32::from(*b == b')');
        *b == b','
            && depth == 0
            && i > 0
            && bytes[i - 1].is_ascii_digit()
            && bytes.get(i + 1).is_some_and(u8::is_ascii_digit)
    })
}

/// A number as people write it: four figures, and a power of ten where many zeros would stand.
pub(super) fn short(x: f64) -> String {
    let size = x.abs();
    if size == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    if !(1e-4..1e6).contains(&size) {
        return format!("{x:.1e}").replace(".0e", "e");
    }
    let places = (3 - log10(size).floor() as i32).clamp(0, 8) as usize;
    let text = format!("{x:.places$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_whatever_their_size() {
        let cases = [
            (0.01, "0.01"),
            (179.639, "179.6"),
            (200.0, "200"),
            (0.003_000_000_000_000_000_5, "0.003"),
            (1e308, "1e308"),
            (-0.704_41, "-0.7044"),
        ];
        for (x, text) in cases {
            assert_eq!(short(x), text);
        }
    }

    #[test]
    fn the_key_that_was_meant_is_found() {
        let near = |p| suggest_key(p);
        assert_eq!(near("titel").as_deref(), Some("title"));
        assert_eq!(near("temperature").as_deref(), Some("room.temperature"));
        assert_eq!(
            near("calibration.reaction.runs").as_deref(),
            Some("calibration.runs")
        );
        assert_eq!(near("calibration.charge.colour"), None);
        assert_eq!(suggest_table("thermometre").as_deref(), Some("thermometer"));
        assert_eq!(suggest_table("weather"), None);
    }
}
