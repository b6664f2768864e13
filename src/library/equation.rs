//! Reaction equations: `MnO4-(aq) + 5 Fe2+(aq) + 8 H+(aq) -> Mn2+(aq) + 5 Fe3+(aq) + 4 H2O(l)`.
//!
//! Terms stand between ` + `, with their blanks, for a `+` is a charge too. A coefficient is a whole
//! number, a decimal or a fraction (`1/2 O2(g)`).

use super::formula::{Formula, FormulaError};
use std::collections::BTreeMap;
use thiserror::Error;

/// Why a text is not an equation, or not a balanced one.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum EquationError {
    /// No arrow, or more than one.
    #[error("an equation has one arrow, `->`, between its two sides")]
    Arrow,
    /// Nothing on a side, or between two `+`.
    #[error("a term of the equation is empty")]
    Empty,
    /// A coefficient that is not a positive number.
    #[error("`{0}` is not a coefficient; write 2, 0.5 or 1/2")]
    Coefficient(String),
    /// A species whose charge cannot be read.
    #[error("`{0}` has a charge that cannot be read; write Fe2+, MnO4-, SO4 2-")]
    Charge(String),
    /// A species whose formula cannot be read.
    #[error("`{species}`: {error}")]
    Formula {
        /// As written.
        species: String,
        /// Why.
        error: FormulaError,
    },
    /// An element that is not conserved.
    #[error("`{element}` does not balance: {left} atoms on the left, {right} on the right")]
    Atoms {
        /// Symbol.
        element: String,
        /// Atoms on the left.
        left: f64,
        /// Atoms on the right.
        right: f64,
    },
    /// Charge that is not conserved.
    #[error("the charge does not balance: {left} on the left, {right} on the right")]
    Charges {
        /// Charge on the left.
        left: f64,
        /// Charge on the right.
        right: f64,
    },
    /// An equation not written for one mole of the substance.
    #[error(
        "the first species, the substance, has the coefficient {0}; write the equation for one mole of it"
    )]
    NotPerMole(f64),
}

/// One species with its coefficient.
#[derive(Debug, Clone, PartialEq)]
pub struct Term {
    /// Coefficient, positive.
    pub nu: f64,
    /// Species with its charge and its state, runs of blanks made one.
    pub species: String,
}

/// An equation, read but not checked: see [`Equation::check`].
#[derive(Debug, Clone, PartialEq)]
pub struct Equation {
    /// What reacts.
    pub left: Vec<Term>,
    /// What comes out.
    pub right: Vec<Term>,
}

/// What a species is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct Particle {
    /// Atoms by element symbol.
    pub counts: BTreeMap<String, f64>,
    /// Charge number.
    pub charge: f64,
    /// `aq`, `cr`, `l`, `g`; empty if not written.
    pub state: String,
}

impl Equation {
    /// Reads an equation.
    ///
    /// # Errors
    /// If the text is not an equation. Whether it balances is another question.
    pub fn parse(text: &str) -> Result<Self, EquationError> {
        let text = text.replace('→', "->");
        let sides: Vec<&str> = text.split("->").collect();
        let [left, right] = sides[..] else {
            return Err(EquationError::Arrow);
        };
        Ok(Self {
            left: side(left)?,
            right: side(right)?,
        })
    }

    /// Checks that atoms and charge balance.
    ///
    /// # Errors
    /// If they do not, or if a species cannot be read.
    pub fn check(&self) -> Result<(), EquationError> {
        let (atoms, left) = sum(&self.left)?;
        let (others, right) = sum(&self.right)?;
        for element in atoms.keys().chain(others.keys()) {
            let on = |side: &BTreeMap<String, f64>| side.get(element).copied().unwrap_or(0.0);
            if !same(on(&atoms), on(&others)) {
                return Err(EquationError::Atoms {
                    element: element.clone(),
                    left: on(&atoms),
                    right: on(&others),
                });
            }
        }
        if same(left, right) {
            Ok(())
        } else {
            Err(EquationError::Charges { left, right })
        }
    }
}

/// Counts differ by rounding only: 1/3 three times.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * (1.0 + a.abs())
}

fn side(text: &str) -> Result<Vec<Term>, EquationError> {
    // Blanks at the ends, so that a `+` with nothing beside it is seen.
    format!(" {} ", text.trim())
        .split(" + ")
        .map(term)
        .collect()
}

fn term(text: &str) -> Result<Term, EquationError> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let text = words.join(" ");
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '/'))
        .unwrap_or(text.len());
    let (number, species) = text.split_at(end);
    let species = species.trim_start();
    if species.is_empty() {
        return Err(EquationError::Empty);
    }
    Ok(Term {
        nu: coefficient(number)?,
        species: species.to_owned(),
    })
}

fn coefficient(text: &str) -> Result<f64, EquationError> {
    if text.is_empty() {
        return Ok(1.0);
    }
    let (above, below) = text.split_once('/').unwrap_or((text, "1"));
    let quotient = match (above.parse::<f64>(), below.parse::<f64>()) {
        (Ok(a), Ok(b)) => a / b,
        _ => f64::NAN,
    };
    if quotient > 0.0 && quotient < 1e6 {
        Ok(quotient)
    } else {
        Err(EquationError::Coefficient(text.to_owned()))
    }
}

/// Atoms and charge of a side.
fn sum(terms: &[Term]) -> Result<(BTreeMap<String, f64>, f64), EquationError> {
    let mut atoms = BTreeMap::new();
    let mut charge = 0.0;
    for term in terms {
        let particle = Particle::parse(&term.species)?;
        for (element, count) in particle.counts {
            *atoms.entry(element).or_insert(0.0) += term.nu * count;
        }
        charge += term.nu * particle.charge;
    }
    Ok((atoms, charge))
}

impl Particle {
    /// Reads a species: formula, charge, state. The digits before the sign are the charge behind a
    /// bare element (`Fe2+`) and behind a blank (`SO4 2-`); else they belong to the formula (`NO3-`).
    ///
    /// # Errors
    /// If the text is not a species.
    pub fn parse(text: &str) -> Result<Self, EquationError> {
        let text = text.trim();
        let (body, state) = state(text);
        let (formula, charge) = charge(body).ok_or(EquationError::Charge(text.to_owned()))?;
        let formula = Formula::parse(formula).map_err(|error| EquationError::Formula {
            species: text.to_owned(),
            error,
        })?;
        Ok(Self {
            counts: formula.counts,
            charge,
            state: state.to_owned(),
        })
    }
}

/// Takes a state off the end. Brackets of a formula begin with an element, in upper case.
fn state(text: &str) -> (&str, &str) {
    let inner = text
        .strip_suffix(')')
        .and_then(|rest| rest.rsplit_once('('));
    match inner {
        Some((body, state)) if state.starts_with(|c: char| c.is_ascii_lowercase()) => {
            (body.trim_end(), state)
        }
        _ => (text, ""),
    }
}

/// Takes a charge off the end: formula and charge number.
fn charge(body: &str) -> Option<(&str, f64)> {
    let (rest, sign) = match (body.strip_suffix('+'), body.strip_suffix('-')) {
        (Some(rest), _) => (rest, 1.0),
        (_, Some(rest)) => (rest, -1.0),
        _ => return Some((body, 0.0)),
    };
    let (formula, digits) = match rest.rsplit_once(' ') {
        Some(parts) => parts,
        None => {
            let element = rest.trim_end_matches(|c: char| c.is_ascii_digit());
            let bare = element.chars().filter(char::is_ascii_uppercase).count() == 1
                && element.chars().all(|c| c.is_ascii_alphabetic());
            rest.split_at(if bare { element.len() } else { rest.len() })
        }
    };
    if digits.is_empty() {
        return Some((formula, sign));
    }
    let number = digits.parse::<u8>().ok().filter(|n| (1..=9).contains(n))?;
    Some((formula, sign * f64::from(number)))
}

#[cfg(test)]
mod tests {
    use super::*;

    const IRON: &str = "MnO4-(aq) + 5 Fe2+(aq) + 8 H+(aq) -> Mn2+(aq) + 5 Fe3+(aq) + 4 H2O(l)";

    fn check(text: &str) -> Result<(), EquationError> {
        Equation::parse(text)?.check()
    }

    #[test]
    fn terms_are_coefficient_and_species() {
        let e = Equation::parse(IRON).unwrap();
        let pairs = |side: &[Term]| -> Vec<(f64, String)> {
            side.iter().map(|t| (t.nu, t.species.clone())).collect()
        };
        let expected = [(1.0, "MnO4-(aq)"), (5.0, "Fe2+(aq)"), (8.0, "H+(aq)")];
        assert_eq!(pairs(&e.left), expected.map(|(n, s)| (n, s.to_owned())));
        assert_eq!(e.right[2].species, "H2O(l)");
        for (text, nu) in [("1/2 O2(g)", 0.5), ("0.5 O2(g)", 0.5), ("1/2O2(g)", 0.5)] {
            let e = Equation::parse(&format!("H2O2(aq) → H2O(l) + {text}")).unwrap();
            assert_eq!((e.right[1].nu, e.right[1].species.as_str()), (nu, "O2(g)"));
            e.check().unwrap();
        }
    }

    #[test]
    fn charges_are_read_as_chemists_write_them() {
        for (text, charge, atoms, state) in [
            ("Fe2+(aq)", 2.0, 1.0, "aq"),
            ("MnO4-(aq)", -1.0, 5.0, "aq"),
            ("SO4 2-(aq)", -2.0, 5.0, "aq"),
            ("SO4  2- (aq)", -2.0, 5.0, "aq"),
            ("S2O3 2-", -2.0, 5.0, ""),
            ("Hg2 2+(aq)", 2.0, 2.0, "aq"),
            ("NH4+(aq)", 1.0, 5.0, "aq"),
            ("Cl-(aq)", -1.0, 1.0, "aq"),
            ("H3NC(CH2OH)3+(aq)", 1.0, 20.0, "aq"),
            ("Mg(OH)2(cr)", 0.0, 5.0, "cr"),
            ("MgSO4.7H2O(cr)", 0.0, 27.0, "cr"),
            ("H2NC(CH2OH)3", 0.0, 19.0, ""),
        ] {
            let p = Particle::parse(text).unwrap();
            let sum: f64 = p.counts.values().sum();
            assert_eq!(
                (p.charge, sum, p.state.as_str()),
                (charge, atoms, state),
                "{text}"
            );
        }
    }

    #[test]
    fn what_does_not_balance_is_refused() {
        check(IRON).unwrap();
        check("Zn(cr) + Cu2+(aq) -> Zn2+(aq) + Cu(cr)").unwrap();
        let atoms = |element: &str, left, right| {
            let element = element.to_owned();
            Err(EquationError::Atoms {
                element,
                left,
                right,
            })
        };
        assert_eq!(check(&IRON.replace("4 H2O", "3 H2O")), atoms("H", 8.0, 6.0));
        assert_eq!(
            check(&IRON.replace("5 Fe2+", "4 Fe2+")),
            atoms("Fe", 4.0, 5.0)
        );
        assert_eq!(check("H2(g) -> H2(g) + O2(g)"), atoms("O", 0.0, 2.0));
        let charges = |left, right| Err(EquationError::Charges { left, right });
        assert_eq!(check(&IRON.replace("Mn2+", "Mn3+")), charges(17.0, 18.0));
        assert_eq!(check("Ag+(aq) -> Ag(cr)"), charges(1.0, 0.0));
    }

    #[test]
    fn what_is_no_equation_is_refused() {
        use EquationError as E;
        let refused = |text: &str| check(text).unwrap_err();
        for text in ["", "H2O(l)", "A -> B -> C", "H2 + O2 = H2O2"] {
            assert_eq!(refused(text), E::Arrow, "{text}");
        }
        for text in ["-> H2", "H2 -> ", "H2 + -> H2", "2 -> 2"] {
            assert_eq!(refused(text), E::Empty, "{text}");
        }
        for number in ["0", "1/0", "1.2.3", "1/2/3", "/"] {
            let text = format!("{number} H2(g) -> H2(g)");
            assert_eq!(refused(&text), E::Coefficient(number.to_owned()));
        }
        for species in ["SO4 x-(aq)", "Fe0+(aq)", "Fe12345+(aq)"] {
            let text = format!("{species} -> H2(g)");
            assert_eq!(refused(&text), E::Charge(species.to_owned()));
        }
        let stray = refused("salt -> H2(g)");
        assert!(matches!(stray, E::Formula { species, .. } if species == "salt"));
    }
}
