//! What is weighed and dissolved, mostly solids.

use super::atoms::Atoms;
use super::error::LibraryError;
use super::fact::{Fact, RawFact, Reader};
use super::formula::Formula;
use super::kind::Kind;
use super::sheet::Sheet;
use crate::quantity::Dimension;
use serde::Deserialize;

/// A substance.
#[derive(Debug, Clone)]
pub struct Substance {
    /// Key.
    pub key: String,
    /// Name.
    pub title: String,
    /// Formula of what is weighed, water of crystallisation included.
    pub formula: Formula,
    /// Molar mass, g/mol.
    pub molar_mass: Fact,
    /// Assay: mass fraction of the substance in what the bottle holds, fraction.
    pub assay: Fact,
    /// Density of the solid, g/mL (for the buoyancy of air).
    pub density: Fact,
    /// What dissolves in water at 25 °C, g per g of water, fraction.
    pub solubility: Option<Fact>,
    /// What it must never meet: names that a liquid may bear, see [`super::Liquid::is`].
    pub never_with: Vec<String>,
    /// What can hurt people or the environment.
    pub cautions: Vec<String>,
    /// How to handle it so that the numbers are good.
    pub advice: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawSubstance {
    title: String,
    formula: String,
    assay: RawFact,
    density: RawFact,
    solubility: Option<RawFact>,
    #[serde(default)]
    never_with: Vec<String>,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    advice: Vec<String>,
}

impl RawSubstance {
    pub fn read(
        self,
        key: &str,
        reader: &Reader,
        atoms: &Atoms,
    ) -> Result<Substance, LibraryError> {
        let wrong = |e| reader.wrong("formula", super::error::Problem::Formula(e));
        let formula = Formula::parse(&self.formula).map_err(wrong)?;
        Ok(Substance {
            key: key.to_owned(),
            title: self.title,
            molar_mass: atoms.molar_mass(&formula).map_err(wrong)?,
            formula,
            assay: reader.positive("assay", &self.assay, Dimension::Fraction)?,
            density: reader.positive("density", &self.density, Dimension::Density)?,
            solubility: self
                .solubility
                .map(|raw| reader.positive("solubility", &raw, Dimension::Fraction))
                .transpose()?,
            never_with: self.never_with,
            cautions: self.cautions,
            advice: self.advice,
        })
    }
}

impl Substance {
    pub(super) fn sheet(&self) -> Sheet {
        let mut sheet = Sheet::new(&self.key, &self.title, Kind::Substance)
            .plain("formula", &self.formula.text)
            .fact("molar mass", &self.molar_mass)
            .fact("assay", &self.assay)
            .fact("density", &self.density);
        if let Some(s) = &self.solubility {
            sheet = sheet.fact("solubility", s);
        }
        for enemy in &self.never_with {
            sheet = sheet.plain("never_with", enemy);
        }
        sheet.cautions(&self.cautions, &self.advice)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;

    #[test]
    fn an_assay_is_a_range_about_its_middle() {
        let kno3 = Library::builtin().substance("kno3").unwrap();
        assert!((kno3.assay.value - 0.995).abs() < 1e-12);
        assert!((kno3.assay.dist.sd() - 0.005 / 3f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn solids_are_denser_than_any_solution_of_theirs() {
        for s in Library::builtin().substances.values() {
            // Salts lie closer to water than oxides, and those than metals.
            let metal = s.formula.counts.len() == 1;
            let most = if metal { 8.0 } else { 3.7 };
            assert!((1.2..most).contains(&s.density.value), "{}", s.key);
            assert!((0.9..=1.01).contains(&s.assay.value), "{}", s.key);
        }
    }
}
