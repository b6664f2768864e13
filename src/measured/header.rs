//! Headers: a name, and a unit in one of the ways in which people write one.

use super::unit::measures;

/// A header of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Header {
    /// As written.
    pub text: String,
    /// Without its unit.
    pub name: String,
    /// Its unit as written, if it has one.
    pub unit: Option<String>,
    /// Column, from 0.
    pub column: usize,
}

impl Header {
    pub(super) fn new(text: &str, column: usize) -> Self {
        let (name, unit) = split(text);
        Self {
            text: text.to_owned(),
            name: name.to_owned(),
            unit: unit.map(str::to_owned),
            column,
        }
    }
}

/// Name and unit of `m / g`, `m/g`, `m [g]`, `m (g)`, `m, g`, `m in g`, `m_g`, `T °C`, `°C`. What stands in square
/// brackets or behind a slash between blanks is a unit even if it is unknown; elsewhere only a known one is.
pub(super) fn split(text: &str) -> (&str, Option<&str>) {
    let text = text.trim();
    let known = |unit: &str| measures(unit).is_some();
    if let Some((name, unit)) = text.strip_suffix(']').and_then(|t| t.rsplit_once('[')) {
        return (name.trim(), Some(unit.trim()));
    }
    let brackets = text.strip_suffix(')').and_then(|t| t.rsplit_once('('));
    if let Some((name, unit)) = brackets.filter(|(_, unit)| known(unit)) {
        return (name.trim(), Some(unit.trim()));
    }
    // A unit may have a stroke of its own.
    if let Some((name, unit)) = text.split_once(" / ").filter(|(_, unit)| known(unit)) {
        return (name.trim(), Some(unit.trim()));
    }
    if let Some((name, unit)) = text.rsplit_once('/')
        && (known(unit) || name.ends_with(' ') && unit.starts_with(' '))
    {
        return (name.trim(), Some(unit.trim()));
    }
    let marks = [" in ", ",", "_"];
    let marked = marks.iter().filter_map(|mark| text.rsplit_once(mark));
    let blank = text.rsplit_once(' ').or(Some(("", text)));
    let blank = blank.filter(|(_, unit)| unit.contains(['°', 'º', '˚', '℃', '℉']));
    let mut all = marked.chain(blank);
    match all.find(|(_, unit)| known(unit)) {
        Some((name, unit)) => (name.trim(), Some(unit.trim())),
        None => (text, None),
    }
}

/// A name as names are compared: small letters; blanks, `_` and `-` as one blank.
pub(super) fn plain(name: &str) -> String {
    let words = name.split(|c: char| c.is_whitespace() || c == '_' || c == '-');
    let words: Vec<&str> = words.filter(|w| !w.is_empty()).collect();
    words.join(" ").to_lowercase()
}
