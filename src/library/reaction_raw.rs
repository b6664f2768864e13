//! Reading a reaction: its enthalpy and slope may be per gram or per mole.

use super::error::{LibraryError, Problem};
use super::fact::{Fact, RawFact, Reader};
use super::reaction::{DilutionPoint, Reaction, State};
use super::substance::Substance;
use crate::quantity::{Dimension, parse_measured, parse_quantity_as, parse_window};
use serde::Deserialize;

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
    enthalpy: RawFact,
    at: String,
    state: String,
    slope: RawFact,
    range: String,
    #[serde(default)]
    dilution: Vec<RawDilution>,
    solute_cp: RawFact,
    solute_volume: Option<RawFact>,
    #[serde(default)]
    cautions: Vec<String>,
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

const INFINITE: &str = "infinite dilution";

impl RawReaction {
    /// The caller has looked up the substance, whose molar mass converts what is per gram.
    pub fn read(
        self,
        key: &str,
        reader: &Reader,
        substance: &Substance,
    ) -> Result<Reaction, LibraryError> {
        let molar_mass = substance.molar_mass.value;
        let wrong = |field: &'static str| move |e| reader.wrong(field, Problem::Quantity(e));
        let (enthalpy, per_gram) = molar(
            reader,
            "enthalpy",
            &self.enthalpy,
            [Dimension::MassEnthalpy, Dimension::MolarEnthalpy],
            molar_mass,
        )?;
        let (slope, _) = molar(
            reader,
            "slope",
            &self.slope,
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
            at: parse_quantity_as(&self.at, Dimension::Temperature).map_err(wrong("at"))?,
            state: if self.state.trim() == INFINITE {
                State::InfiniteDilution
            } else {
                State::Molality(positive_molality(reader, "state", &self.state)?)
            },
            slope,
            range: parse_window(&self.range, Dimension::Temperature).map_err(wrong("range"))?,
            dilution: dilution(reader, &self.dilution)?,
            solute_cp: reader.fact("solute_cp", &self.solute_cp, Dimension::SpecificHeat)?,
            solute_volume: self
                .solute_volume
                .map(|raw| reader.fact("solute_volume", &raw, Dimension::SpecificVolume))
                .transpose()?,
            cautions: self.cautions,
        })
    }
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
