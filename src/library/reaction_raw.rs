//! Reading a reaction: its enthalpy and slope may be per gram or per mole, and its enthalpy may be
//! left to the enthalpies of formation.

use super::atoms::Atoms;
use super::equation::{Equation, Particle};
use super::error::{LibraryError, Problem};
use super::fact::{Fact, RawFact, Reader};
use super::reaction::{DilutionPoint, OtherReactant, Reaction, State};
use super::species::{Species, from_formation};
use super::substance::Substance;
use crate::quantity::{Dimension, parse_measured, parse_quantity_as, parse_window};
use serde::Deserialize;
use std::collections::BTreeMap;

/// A reaction in a data file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawReaction {
    title: String,
    equation: String,
    pub substance: String,
    pub medium: String,
    #[serde(default)]
    reference: bool,
    enthalpy: Option<RawFact>,
    #[serde(default)]
    reactants: Vec<RawReactant>,
    #[serde(default)]
    in_solution: bool,
    #[serde(default)]
    shifted_by_medium: bool,
    dissolving: Option<String>,
    anhydrous: Option<String>,
    waters: Option<f64>,
    hydrate: Option<String>,
    at: String,
    state: String,
    slope: Option<RawFact>,
    range: String,
    #[serde(default)]
    dilution: Vec<RawDilution>,
    carried_from: Option<String>,
    solute_cp: Option<RawFact>,
    solute_volume: Option<RawFact>,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    advice: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawDilution {
    molality: String,
    value: String,
    source: String,
    status: String,
    note: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawReactant {
    name: String,
    nu: f64,
    #[serde(default)]
    in_medium: bool,
    #[serde(default)]
    plenty: bool,
}

/// Defaults of a slope and of the heat capacity of a solute that are not known: zero, with an uncertainty as large as what the
/// reactions of the library have (of 26 slopes 22 lie within it, of 26 heat capacities 18).
const UNKNOWN_SLOPE: &str = "0 J/(mol K), u = 200 J/(mol K)";
const UNKNOWN_CP: &str = "0 J/(g K), u = 1.5 J/(g K)";

/// Citation of an enthalpy that was computed.
pub(super) const FORMATION: &str = "formation";

const INFINITE: &str = "infinite dilution";

impl RawReaction {
    /// The caller has looked up the substance, whose molar mass converts what is per gram. The other
    /// reactions named here are looked up when all are read.
    pub fn read(
        self,
        key: &str,
        reader: &Reader,
        substance: &Substance,
        atoms: &Atoms,
        species: &BTreeMap<String, Species>,
    ) -> Result<Reaction, LibraryError> {
        let of_equation = |e: Problem| reader.wrong("equation", e);
        balances(&self.equation).map_err(of_equation)?;
        let molar_mass = substance.molar_mass.value;
        let wrong = |field: &'static str| move |e| reader.wrong(field, Problem::Quantity(e));
        let (enthalpy, per_gram) = match &self.enthalpy {
            Some(raw) => molar(
                reader,
                "enthalpy",
                raw,
                [Dimension::MassEnthalpy, Dimension::MolarEnthalpy],
                molar_mass,
            )?,
            None => {
                let source = reader.source("enthalpy", FORMATION)?;
                let fact = from_formation(&self.equation, species, &source)
                    .map_err(|e| reader.wrong("equation", e))?;
                (fact, false)
            }
        };
        starts_from(&self.equation, substance, atoms).map_err(of_equation)?;
        let assumed = [
            ("slope", self.slope.is_none()),
            ("solute_cp", self.solute_cp.is_none()),
        ];
        let [slope, solute_cp] = [(self.slope, UNKNOWN_SLOPE), (self.solute_cp, UNKNOWN_CP)]
            .map(|(raw, unknown)| raw.unwrap_or_else(|| RawFact::unknown(unknown)));
        let (slope, _) = molar(
            reader,
            "slope",
            &slope,
            [Dimension::SpecificHeat, Dimension::MolarHeatCapacity],
            molar_mass,
        )?;
        Ok(Reaction {
            key: key.to_owned(),
            title: self.title,
            equation: self.equation,
            substance: self.substance,
            medium: self.medium,
            reference: self.reference,
            enthalpy,
            per_gram,
            from_formation: self.enthalpy.is_none(),
            others: others(reader, &self.reactants)?,
            in_solution: self.in_solution,
            shifted_by_medium: self.shifted_by_medium,
            dissolving: match (self.dissolving, self.in_solution) {
                (Some(_), false) => {
                    return Err(reader.wrong("dissolving", Problem::Needs("in_solution = true")));
                }
                (key, _) => key,
            },
            anhydrous: match (self.anhydrous, self.waters) {
                (Some(key), Some(waters)) => Some((key, positive(reader, "waters", waters)?)),
                (None, None) => None,
                (Some(_), None) => return Err(reader.wrong("anhydrous", Problem::Needs("waters"))),
                (None, Some(_)) => return Err(reader.wrong("waters", Problem::Needs("anhydrous"))),
            },
            hydrate: self.hydrate,
            at: temperature(reader, &self.at)?,
            state: if self.state.trim() == INFINITE {
                State::InfiniteDilution
            } else {
                State::Molality(positive_molality(reader, "state", &self.state)?)
            },
            slope,
            range: parse_window(&self.range, Dimension::Temperature).map_err(wrong("range"))?,
            dilution: dilution(reader, &self.dilution)?,
            carried_from: match &self.carried_from {
                Some(_) if self.dilution.is_empty() => {
                    return Err(reader.wrong("carried_from", Problem::Needs("dilution")));
                }
                Some(text) => Some(positive_molality(reader, "carried_from", text)?),
                None => None,
            },
            solute_cp: reader.fact("solute_cp", &solute_cp, Dimension::SpecificHeat)?,
            solute_volume: self
                .solute_volume
                .map(|raw| reader.fact("solute_volume", &raw, Dimension::SpecificVolume))
                .transpose()?,
            assumed: assumed
                .into_iter()
                .filter_map(|(field, absent)| absent.then_some(field))
                .collect(),
            cautions: self.cautions,
            advice: self.advice,
        })
    }
}

/// The temperature of a tabulated value.
fn temperature(reader: &Reader, text: &str) -> Result<f64, LibraryError> {
    match parse_quantity_as(text, Dimension::Temperature) {
        Ok(t) if (-20.0..=120.0).contains(&t) => Ok(t),
        Ok(_) => Err(reader.wrong("at", Problem::Outside(text.to_owned(), "-20 C to 120 C"))),
        Err(e) => Err(reader.wrong("at", e)),
    }
}

fn balances(equation: &str) -> Result<(), Problem> {
    Ok(Equation::parse(equation)?.check()?)
}

/// Whether an equation starts from the substance: from its formula, or from ions that it is made of. What is written with
/// letters that are no elements stands for something.
fn starts_from(text: &str, substance: &Substance, atoms: &Atoms) -> Result<(), Problem> {
    let equation = Equation::parse(text)?;
    let Some(first) = equation.left.first() else {
        return Ok(());
    };
    let particle = Particle::parse(&first.species)?;
    if particle
        .counts
        .keys()
        .any(|e| !atoms.weights.contains_key(e))
    {
        return Ok(());
    }
    let of = &substance.formula.counts;
    let same = |element: &String| {
        let whole = of.get(element).copied().unwrap_or(0.0);
        (whole - particle.counts[element]).abs() < 1e-9 * (1.0 + whole)
    };
    let part =
        |element: &String| particle.counts[element] <= of.get(element).copied().unwrap_or(0.0);
    let fits = match particle.state.as_str() {
        // In solution it may be ions of it.
        "aq" => particle.counts.keys().all(part),
        _ => particle.counts.len() == of.len() && particle.counts.keys().all(same),
    };
    if fits {
        return Ok(());
    }
    Err(Problem::OtherSubstance {
        species: first.species.clone(),
        formula: substance.formula.text.clone(),
    })
}

/// Reads a fact that may be per gram (first dimension) or per mole (second), as per mole.
fn molar(
    reader: &Reader,
    field: &str,
    raw: &RawFact,
    [per_gram, per_mole]: [Dimension; 2],
    molar_mass: f64,
) -> Result<(Fact, bool), LibraryError> {
    if parse_measured(&raw.value, per_gram).is_ok() {
        let fact = reader.fact(field, raw, per_gram)?;
        // The molar mass is exact to 1e-4 at worst, far below any enthalpy; its uncertainty is not
        // added here, because the chain meets the same molar mass once more and would count it twice.
        return Ok((fact.converted(molar_mass, per_mole), true));
    }
    Ok((reader.fact(field, raw, per_mole)?, false))
}

fn positive(reader: &Reader, field: &str, number: f64) -> Result<f64, LibraryError> {
    if number.is_finite() && number > 0.0 {
        Ok(number)
    } else {
        Err(reader.wrong(field, Problem::NotPositive(number)))
    }
}

fn others(reader: &Reader, raw: &[RawReactant]) -> Result<Vec<OtherReactant>, LibraryError> {
    let one = |(i, other): (usize, &RawReactant)| {
        Ok(OtherReactant {
            name: other.name.clone(),
            in_medium: other.in_medium,
            plenty: other.plenty,
            nu: positive(reader, &format!("reactants {}", i + 1), other.nu)?,
        })
    };
    raw.iter().enumerate().map(one).collect()
}

fn positive_molality(reader: &Reader, field: &str, text: &str) -> Result<f64, LibraryError> {
    match parse_quantity_as(text, Dimension::Molality) {
        Ok(m) if m > 0.0 => Ok(m),
        Ok(m) => Err(reader.wrong(field, Problem::NotPositive(m))),
        Err(e) => Err(reader.wrong(field, e)),
    }
}

fn dilution(reader: &Reader, raw: &[RawDilution]) -> Result<Vec<DilutionPoint>, LibraryError> {
    let mut points: Vec<DilutionPoint> = Vec::with_capacity(raw.len());
    for (i, point) in raw.iter().enumerate() {
        let field = format!("dilution {}", i + 1);
        let fact = RawFact {
            value: point.value.clone(),
            source: point.source.clone(),
            status: point.status.clone(),
            note: point.note.clone(),
        };
        let molality = positive_molality(reader, &field, &point.molality)?;
        if points.last().is_some_and(|last| molality <= last.molality) {
            return Err(reader.wrong(&field, Problem::Point(i + 1)));
        }
        points.push(DilutionPoint {
            molality,
            heat: reader.fact(&field, &fact, Dimension::MolarEnthalpy)?,
        });
    }
    Ok(points)
}
