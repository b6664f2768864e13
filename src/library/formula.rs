//! Chemical formulas: `KNO3`, `MgSO4.7H2O`, `(NH4)2Fe(SO4)2.6H2O`.

use std::collections::BTreeMap;
use thiserror::Error;

/// Why a text is not a formula.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FormulaError {
    /// Nothing there, or nothing before or after the dot of a hydrate.
    #[error("a part of the formula is empty")]
    Empty,
    /// A character that has no place in a formula.
    #[error("`{0}` has no place in a formula")]
    Stray(char),
    /// A bracket without its partner, or brackets nested beyond reason.
    #[error("the brackets do not match")]
    Brackets,
    /// A count that is zero or no number.
    #[error("`{0}` is not a count of atoms")]
    Count(String),
    /// Water of crystallisation whose number has run into the count before it.
    #[error("`{0}`: a dot stands before the water, for example `{1}`")]
    Water(String, String),
    /// A symbol without an atomic weight in the table.
    #[error("no atomic weight is known for `{0}`")]
    Element(String),
}

/// Elements and how many atoms of each a formula unit holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// As written.
    pub text: String,
    /// Atoms by element symbol.
    pub counts: BTreeMap<String, f64>,
}

/// Deeper nesting than this is a typing error, and would only cost stack.
const DEEPEST: usize = 8;

impl Formula {
    /// Reads a formula. A dot, `·` or `*` joins parts (`MgSO4.7H2O`); brackets may be round or
    /// square.
    ///
    /// # Errors
    /// If the text is not a formula. Whether the elements exist shows when masses are added up.
    pub fn parse(text: &str) -> Result<Self, FormulaError> {
        if let Some(meant) = water_without_dot(text.trim()) {
            return Err(FormulaError::Water(text.trim().to_owned(), meant));
        }
        let chars: Vec<char> = text.trim().chars().collect();
        let mut counts = BTreeMap::new();
        let mut at = 0;
        loop {
            // A number right at the start of a part counts the whole part: 7H2O, 0.5H2O.
            let times = number(&chars, &mut at, true)?.unwrap_or(1.0);
            let part = group(&chars, &mut at, 0)?;
            if part.is_empty() {
                return Err(FormulaError::Empty);
            }
            add(&mut counts, &part, times);
            match chars.get(at) {
                None => break,
                Some('.' | '·' | '*' | '•') => at += 1,
                Some(')' | ']') => return Err(FormulaError::Brackets),
                Some(c) => return Err(FormulaError::Stray(*c)),
            }
        }
        Ok(Self {
            text: text.trim().to_owned(),
            counts,
        })
    }

    /// Molecules of water of crystallisation in a formula unit: those behind the dot.
    pub fn waters(&self) -> f64 {
        let behind = self.text.split_once(['.', '·', '*', '•']);
        match behind.and_then(|(_, water)| water.strip_suffix("H2O")) {
            Some("") => 1.0,
            Some(count) => count.parse().unwrap_or(0.0),
            None => 0.0,
        }
    }
}

/// What a formula such as `Na2S2O35H2O` means, whose count before the water has two digits or more: `Na2S2O3.5H2O`. No
/// salt that is weighed has an element ten times or more right before a `H2O` of its own.
fn water_without_dot(text: &str) -> Option<String> {
    let salt = text.strip_suffix("H2O")?;
    let body = salt.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = &salt[body.len()..];
    let element = body.ends_with(|c: char| c.is_ascii_alphabetic() || c == ')' || c == ']');
    let whole = body.rsplit(['.', '·', '*', '•']).next() == Some(body);
    (element && whole && digits.len() >= 2)
        .then(|| format!("{body}{}.{}H2O", &digits[..1], &digits[1..]))
}

fn add(into: &mut BTreeMap<String, f64>, part: &BTreeMap<String, f64>, times: f64) {
    for (element, count) in part {
        *into.entry(element.clone()).or_default() += count * times;
    }
}

/// Reads elements and bracketed groups up to a dot, a closing bracket or the end.
fn group(
    chars: &[char],
    at: &mut usize,
    depth: usize,
) -> Result<BTreeMap<String, f64>, FormulaError> {
    let mut counts = BTreeMap::new();
    while let Some(&c) = chars.get(*at) {
        let inner = match c {
            'A'..='Z' => {
                let mut symbol = String::from(c);
                *at += 1;
                while let Some(&l) = chars.get(*at).filter(|l| l.is_ascii_lowercase()) {
                    symbol.push(l);
                    *at += 1;
                }
                BTreeMap::from([(symbol, 1.0)])
            }
            '(' | '[' => {
                if depth == DEEPEST {
                    return Err(FormulaError::Brackets);
                }
                *at += 1;
                let inner = group(chars, at, depth + 1)?;
                let close = if c == '(' { ')' } else { ']' };
                if chars.get(*at) != Some(&close) {
                    return Err(FormulaError::Brackets);
                }
                if inner.is_empty() {
                    return Err(FormulaError::Empty);
                }
                *at += 1;
                inner
            }
            _ => break,
        };
        let times = number(chars, at, false)?.unwrap_or(1.0);
        add(&mut counts, &inner, times);
    }
    Ok(counts)
}

/// Reads a count, if there is one. Only the count of a whole part may have decimals: behind an
/// element the dot belongs to the hydrate (`SO4.7H2O`).
fn number(chars: &[char], at: &mut usize, decimals: bool) -> Result<Option<f64>, FormulaError> {
    let mut text = String::new();
    while let Some(&c) = chars.get(*at) {
        let point = decimals
            && c == '.'
            && !text.is_empty()
            && !text.contains('.')
            && chars.get(*at + 1).is_some_and(char::is_ascii_digit);
        if !c.is_ascii_digit() && !point {
            break;
        }
        text.push(c);
        *at += 1;
    }
    if text.is_empty() {
        return Ok(None);
    }
    match text.parse::<f64>() {
        Ok(n) if n > 0.0 && n < 1e6 => Ok(Some(n)),
        _ => Err(FormulaError::Count(text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn water_that_ran_into_the_count_before_it_is_refused_with_what_is_meant() {
        let meant = |text: &str| match Formula::parse(text) {
            Err(FormulaError::Water(_, meant)) => meant,
            other => panic!("{text}: {other:?}"),
        };
        assert_eq!(meant("Na2S2O35H2O"), "Na2S2O3.5H2O");
        assert_eq!(meant("Fe(NO3)39H2O"), "Fe(NO3)3.9H2O");
        assert_eq!(meant("Na2SO410H2O"), "Na2SO4.10H2O");
        for right in ["Na2S2O3.5H2O", "Na2SO4.10H2O", "NH3.H2O", "C12H22O11"] {
            Formula::parse(right).unwrap();
        }
    }

    #[test]
    fn water_of_crystallisation_is_what_stands_behind_the_dot() {
        let waters = |text: &str| Formula::parse(text).unwrap().waters();
        assert_eq!(waters("MgSO4.7H2O"), 7.0);
        assert_eq!(waters("C6H8O7·H2O"), 1.0);
        assert_eq!(waters("CaSO4.0.5H2O"), 0.5);
        assert_eq!(waters("(NH4)2Fe(SO4)2.6H2O"), 6.0);
        assert_eq!(
            (waters("KNO3"), waters("H2O2"), waters("H2O")),
            (0.0, 0.0, 0.0)
        );
    }

    fn counts(text: &str) -> Vec<(String, f64)> {
        Formula::parse(text).unwrap().counts.into_iter().collect()
    }

    fn expect(text: &str, pairs: &[(&str, f64)]) {
        let pairs: Vec<_> = pairs.iter().map(|(e, n)| ((*e).to_owned(), *n)).collect();
        assert_eq!(counts(text), pairs, "{text}");
    }

    #[test]
    fn elements_brackets_and_hydrates_are_counted() {
        expect("KNO3", &[("K", 1.0), ("N", 1.0), ("O", 3.0)]);
        expect(
            "C4H11NO3",
            &[("C", 4.0), ("H", 11.0), ("N", 1.0), ("O", 3.0)],
        );
        let hydrate = [("H", 14.0), ("Mg", 1.0), ("O", 11.0), ("S", 1.0)];
        for text in ["MgSO4.7H2O", "MgSO4·7H2O", "MgSO4*7H2O", "Mg[SO4](H2O)7"] {
            expect(text, &hydrate);
        }
        expect(
            "CaSO4.0.5H2O",
            &[("Ca", 1.0), ("H", 1.0), ("O", 4.5), ("S", 1.0)],
        );
        let mohr = [
            ("Fe", 1.0),
            ("H", 20.0),
            ("N", 2.0),
            ("O", 14.0),
            ("S", 2.0),
        ];
        expect("(NH4)2Fe(SO4)2.6H2O", &mohr);
    }

    #[test]
    fn what_is_no_formula_is_refused() {
        use FormulaError as E;
        let refused = |text: &str| Formula::parse(text).unwrap_err();
        assert_eq!(refused(""), E::Empty);
        assert_eq!(refused("MgSO4."), E::Empty);
        assert_eq!(refused("Mg()2"), E::Empty);
        assert_eq!(refused("kno3"), E::Empty);
        assert_eq!(refused("Mg(OH2"), E::Brackets);
        assert_eq!(refused("Mg(OH]2"), E::Brackets);
        assert_eq!(refused("MgOH)2"), E::Brackets);
        assert_eq!(refused("K N"), E::Stray(' '));
        assert_eq!(refused("H0"), E::Count("0".into()));
        assert_eq!(refused(&"(".repeat(10_000)), E::Brackets);
    }
}
