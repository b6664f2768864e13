//! Enthalpies of formation, and the enthalpies of reaction that follow from them.

use super::equation::{Equation, EquationError, Particle, Term};
use super::error::{LibraryError, Problem, closest};
use super::fact::{Fact, RawFact, Reader, Status};
use super::kind::Kind;
use super::sheet::Sheet;
use crate::quantity::Dimension;
use crate::random::Dist;
use crate::random::elementary::log10;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A species as it stands in an equation.
#[derive(Debug, Clone)]
pub struct Species {
    /// Key: formula, charge and state, for example `SO4 2-(aq)`.
    pub key: String,
    /// Name.
    pub title: String,
    /// Enthalpy of formation at 25 °C, J/mol.
    pub formation: Fact,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawSpecies {
    title: String,
    formation: RawFact,
}

impl RawSpecies {
    pub fn read(self, key: &str, reader: &Reader) -> Result<Species, LibraryError> {
        let particle =
            Particle::parse(key).map_err(|e| reader.wrong("key", Problem::Equation(e)))?;
        if particle.state.is_empty() {
            return Err(reader.wrong("key", Problem::NoState(key.to_owned())));
        }
        let (field, dimension) = ("formation", Dimension::MolarEnthalpy);
        let mut formation = reader.nominal(field, &self.formation, dimension)?;
        if formation.value != 0.0 || !zero_by_convention(&particle) {
            formation = reader.fact(field, &self.formation, dimension)?;
        }
        Ok(Species {
            key: key.to_owned(),
            title: self.title,
            formation,
        })
    }
}

/// An element, or the hydrogen ion in water. Which form of an element is the reference is up to
/// the entry.
fn zero_by_convention(particle: &Particle) -> bool {
    let hydrogen_ion = particle.counts == BTreeMap::from([("H".to_owned(), 1.0)])
        && particle.charge == 1.0
        && particle.state == "aq";
    let element = particle.counts.len() == 1 && particle.charge == 0.0;
    element || hydrogen_ion
}

impl Species {
    pub(super) fn sheet(&self) -> Sheet {
        Sheet::new(&self.key, &self.title, Kind::Species)
            .fact("enthalpy of formation at 25 °C", &self.formation)
    }
}

/// The enthalpy of a reaction, J/mol, from the enthalpies of formation of what its equation names:
/// products less reactants, each times its coefficient. The uncertainties of the species are taken
/// as independent, which overstates the result where two were determined against each other. The
/// equation must balance and be written for one mole of its first species.
pub(super) fn from_formation(
    equation: &str,
    species: &BTreeMap<String, Species>,
    source: &str,
) -> Result<Fact, Problem> {
    let equation = Equation::parse(equation)?;
    equation.check()?;
    let first = equation.left.first().map_or(0.0, |t| t.nu);
    if first != 1.0 {
        return Err(EquationError::NotPerMole(first).into());
    }
    // A species on both sides counts once, with what is left of it.
    let mut net: BTreeMap<&str, f64> = BTreeMap::new();
    for (terms, sign) in [(&equation.left, -1.0), (&equation.right, 1.0)] {
        for term in terms {
            *net.entry(&term.species).or_default() += sign * term.nu;
        }
    }
    let (mut value, mut variance) = (0.0, 0.0);
    for (key, nu) in net {
        let formation = &find(species, key)?.formation;
        value += nu * formation.value;
        let u = nu * formation.dist.sd();
        variance += u * u;
    }
    let u = variance.sqrt();
    let dist = Dist::normal(value, u)
        .ok()
        .filter(|_| u > 0.0)
        .ok_or_else(|| Problem::NoUncertainty(format!("{} kJ/mol", value / 1e3)))?;
    let (value_kilo, u_kilo) = (value / 1e3, u / 1e3);
    // Two significant digits of u, and the value to the same decimal place.
    let decimals = (1.0 - log10(u_kilo).floor()).clamp(0.0, 9.0) as usize;
    Ok(Fact {
        value,
        dist,
        text: format!("{value_kilo:.decimals$} kJ/mol, u = {u_kilo:.decimals$} kJ/mol"),
        source: source.to_owned(),
        status: Status::Derived,
        note: Some(format!(
            "from enthalpies of formation in kJ/mol, products {} less reactants {}; their \
             uncertainties taken as independent",
            list(&equation.right, species),
            list(&equation.left, species)
        )),
        dimension: Dimension::MolarEnthalpy,
    })
}

fn find<'s>(species: &'s BTreeMap<String, Species>, key: &str) -> Result<&'s Species, Problem> {
    species.get(key).ok_or_else(|| Problem::NoFormation {
        species: key.to_owned(),
        nearest: closest(key, species.keys()),
    })
}

/// `5 Fe3+(aq) (-49), 4 H2O(l) (-285.83)`.
fn list(terms: &[Term], species: &BTreeMap<String, Species>) -> String {
    let one = |t: &Term| {
        let value = species
            .get(&t.species)
            .map_or(f64::NAN, |s| s.formation.value);
        // Tables go to 1 J/mol at best.
        let kilo = value.round() / 1e3;
        let times = if t.nu == 1.0 {
            String::new()
        } else {
            format!("{} ", t.nu)
        };
        format!("{times}{} ({kilo})", t.species)
    };
    terms.iter().map(one).collect::<Vec<_>>().join(", ")
}
