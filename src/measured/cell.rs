//! Cells: a number with or without a unit, or nothing.

/// A number as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number<'t> {
    /// Its value.
    pub value: f64,
    /// One unit of its last digit.
    pub step: f64,
    /// The unit behind it; empty if there is none.
    pub unit: &'t str,
}

/// Why a cell is no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wrong {
    /// Nothing of a number at its beginning.
    NotNumber,
    /// A limit: `<0.1`.
    Limit,
    /// An error of the spreadsheet: `#REF!`.
    Formula,
    /// Too large, or none: `1e999`, `inf`, `nan`.
    NotFinite,
    /// Digits in groups, or two marks: `1 234`, `1.234,5`.
    Grouped,
}

impl Wrong {
    /// For people: what is wrong, and what to do.
    pub(super) fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::NotNumber => (
                "is not a number",
                "leave the cell empty if there is no value",
            ),
            Self::Limit => (
                "is a limit, not a value",
                "leave the cell empty, and say so in the remark",
            ),
            Self::Formula => (
                "is an error of the spreadsheet",
                "correct its formula and save the file again",
            ),
            Self::NotFinite => (
                "is not a finite number",
                "leave the cell empty if there is no value",
            ),
            Self::Grouped => (
                "has its digits in groups, or more than one decimal mark",
                "write the digits without groups",
            ),
        }
    }
}

/// Whether a cell says that there is no value.
pub(super) fn is_missing(cell: &str) -> bool {
    matches!(cell, "" | "-" | "–" | "—" | "−")
        || cell.eq_ignore_ascii_case("na")
        || cell.eq_ignore_ascii_case("n/a")
}

/// Length of `sign? digits (mark digits)? exponent?` at the beginning of a text; and its decimals.
fn extent(text: &str, mark: u8) -> Option<(usize, i32)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        bytes[from..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let sign = match text.chars().next()? {
        c @ ('+' | '-' | '−') => c.len_utf8(),
        _ => 0,
    };
    let whole = digits(sign);
    let mut end = sign + whole;
    let mut places = 0;
    if bytes.get(end) == Some(&mark) {
        places = digits(end + 1);
        end += 1 + places;
    }
    if whole + places == 0 {
        return None;
    }
    // A letter e belongs to the number only when digits follow.
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let from = (end + 1 + sign).min(bytes.len());
        if digits(from) > 0 {
            end = from + digits(from);
        }
    }
    Some((end, places as i32))
}

/// Reads a number with this decimal mark; what follows it is its unit.
pub(super) fn number(cell: &str, mark: char) -> Result<Number<'_>, Wrong> {
    if cell.starts_with(['<', '>', '≤', '≥']) {
        return Err(Wrong::Limit);
    }
    if cell.starts_with('#') {
        return Err(Wrong::Formula);
    }
    let Some((end, places)) = extent(cell, mark as u8) else {
        let word = cell.trim_start_matches(['+', '-', '−']);
        let endless = ["inf", "infinity", "nan", "∞"];
        return Err(match endless.iter().any(|w| word.eq_ignore_ascii_case(w)) {
            true => Wrong::NotFinite,
            false => Wrong::NotNumber,
        });
    };
    let (written, rest) = cell.split_at(end);
    let next =
        rest.trim_start_matches([' ', '\u{a0}', '\u{202f}', '\u{2009}', '\'', '’', '.', ',']);
    if next.starts_with(|c: char| c.is_ascii_digit()) || rest.starts_with([',', '.']) {
        return Err(Wrong::Grouped);
    }
    let unit = rest.trim();
    if unit.starts_with(|c: char| c.is_ascii_punctuation() && c != '%') {
        return Err(Wrong::NotNumber);
    }
    let usual = |c: char| match c {
        '−' => '-',
        ',' => '.',
        c => c,
    };
    let parsed = if written.contains(['−', ',']) {
        written.chars().map(usual).collect::<String>().parse()
    } else {
        written.parse()
    };
    let value: f64 = parsed.map_err(|_| Wrong::NotNumber)?;
    if !value.is_finite() {
        return Err(Wrong::NotFinite);
    }
    let power = written.split_once(['e', 'E']).map_or("0", |(_, p)| p);
    let power: i32 = power.parse().map_err(|_| Wrong::NotFinite)?;
    Ok(Number {
        value,
        step: ten_to(power.saturating_sub(places)),
        unit,
    })
}

/// A power of ten, as its decimal is read.
fn ten_to(power: i32) -> f64 {
    const SMALL: [f64; 7] = [1.0, 1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6];
    match usize::try_from(-i64::from(power))
        .ok()
        .and_then(|n| SMALL.get(n))
    {
        Some(step) => *step,
        None => format!("1e{power}").parse().unwrap_or(f64::MAX),
    }
}

/// What a cell says about the decimal mark of its file: a comma or a point with digits behind it, and no second mark.
pub(super) fn mark_of(cell: &str) -> Option<char> {
    for (mark, other) in [(',', '.'), ('.', ',')] {
        let Some((end, places)) = extent(cell, mark as u8) else {
            continue;
        };
        if places > 0 && cell[..end].contains(mark) && !cell[end..].starts_with([mark, other]) {
            return Some(mark);
        }
    }
    None
}
