//! Standard atomic weights and the molar masses that follow from them.

use super::error::LibraryError;
use super::fact::{Fact, Reader, Status};
use super::formula::{Formula, FormulaError};
use crate::quantity::Dimension;
use crate::random::Dist;
use crate::random::elementary::log10;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A standard atomic weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// Weight, g/mol.
    pub value: f64,
    /// Printed ±, g/mol: half-width of a rectangular distribution.
    pub half_width: f64,
}

/// The table of atomic weights.
#[derive(Debug, Clone, Default)]
pub struct Atoms {
    /// Weights by element symbol.
    pub weights: BTreeMap<String, Weight>,
    /// Full citation.
    pub source: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawAtoms {
    source: String,
    weights: BTreeMap<String, (f64, f64)>,
}

impl RawAtoms {
    pub fn read(&self, reader: &Reader) -> Result<Atoms, LibraryError> {
        let mut weights = BTreeMap::new();
        for (symbol, &(value, half_width)) in &self.weights {
            for size in [value, half_width] {
                if !(size.is_finite() && size > 0.0) {
                    let problem = super::error::Problem::NotPositive(size);
                    return Err(reader.wrong(&format!("weights.{symbol}"), problem));
                }
            }
            weights.insert(symbol.clone(), Weight { value, half_width });
        }
        Ok(Atoms {
            weights,
            source: reader.source("source", &self.source)?,
        })
    }
}

impl Atoms {
    /// Molar mass in g/mol with its standard uncertainty. The uncertainty is propagated linearly,
    /// each printed ± taken as a rectangular half-width; a sum of several such terms is close to
    /// normal, and the whole is far too small to matter for its shape.
    ///
    /// # Errors
    /// If an element is not in the table.
    pub fn molar_mass(&self, formula: &Formula) -> Result<Fact, FormulaError> {
        let (mut value, mut variance) = (0.0, 0.0);
        for (symbol, count) in &formula.counts {
            let weight = self
                .weights
                .get(symbol)
                .ok_or_else(|| FormulaError::Element(symbol.clone()))?;
            value += count * weight.value;
            let half_width = count * weight.half_width;
            variance += half_width * half_width / 3.0;
        }
        let u = variance.sqrt();
        // Two significant digits of u, and the value to the same decimal place.
        let decimals = (1.0 - log10(u).floor()).clamp(0.0, 9.0) as usize;
        let dist = Dist::normal(value, u).map_or(Dist::constant(value), Dist::from);
        Ok(Fact {
            value,
            dist,
            text: format!("{value:.decimals$} g/mol, u = {u:.decimals$} g/mol"),
            source: self.source.clone(),
            status: Status::Derived,
            note: Some(format!("sum of the atomic weights of {}", formula.text)),
            dimension: Dimension::MolarMass,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;
    use super::*;

    fn mass(formula: &str) -> Fact {
        let formula = Formula::parse(formula).unwrap();
        Library::builtin().atoms.molar_mass(&formula).unwrap()
    }

    #[test]
    fn molar_masses_agree_with_the_collected_ones() {
        // Value and standard uncertainty from periodictable 2.1.0, rectangular ±.
        let cases = [
            ("C4H11NO3", 121.136, 0.0051),
            ("KCl", 74.548, 0.0058),
            ("KNO3", 101.102, 0.0018),
            ("NH4NO3", 80.043, 0.0021),
            ("NH4Cl", 53.489, 0.0058),
            ("NaCl", 58.440, 0.0058),
            ("CO(NH2)2", 60.056, 0.0018),
            ("CaCl2", 110.978, 0.0118),
            ("NaOH", 39.997, 0.0006),
            ("Na2CO3", 105.988, 0.0021),
            ("MgSO4", 120.361, 0.0118),
            ("MgSO4.7H2O", 246.466, 0.0133),
            ("CuSO4", 159.602, 0.0119),
            ("CuSO4.5H2O", 249.677, 0.0128),
            ("Na2S2O3.5H2O", 248.172, 0.0236),
            ("CH3COONa", 82.034, 0.0026),
            ("CH3COONa.3H2O", 136.079, 0.0038),
            ("C6H8O7", 192.123, 0.0081),
            ("C6H8O7.H2O", 210.138, 0.0084),
            ("KMnO4", 158.032, 0.0023),
            ("FeSO4.7H2O", 278.006, 0.0133),
            ("(NH4)2Fe(SO4)2.6H2O", 392.125, 0.0246),
            ("H2SO4", 98.072, 0.0118),
            ("HCl", 36.458, 0.0058),
            ("H2O2", 34.014, 0.0012),
            ("Zn", 65.38, 0.0115),
            ("Mg", 24.305, 0.0012),
            ("MgO", 40.304, 0.0013),
            ("C12H22O11", 342.297, 0.0155),
        ];
        for (formula, value, u) in cases {
            let fact = mass(formula);
            assert!(
                (fact.value - value).abs() < 0.001,
                "{formula}: {}",
                fact.value
            );
            assert!(
                (fact.dist.sd() - u).abs() < 6e-5,
                "{formula}: {}",
                fact.dist.sd()
            );
        }
    }

    #[test]
    fn molar_masses_agree_with_other_collections() {
        // chemicals 1.5.2 `MW("77-86-1")`, molmass 2026.1.8 and periodictable 2.1.0: they differ
        // from each other by the age of their atomic weights, hence the tolerance.
        assert!((mass("C4H11NO3").value - 121.13504).abs() < 0.002);
        assert!((mass("KMnO4").value - 158.033964).abs() < 0.002);
        assert!((mass("KMnO4").value - 158.0323).abs() < 0.0001);
    }

    #[test]
    fn the_text_carries_two_digits_of_the_uncertainty() {
        assert_eq!(mass("KCl").text, "74.5483 g/mol, u = 0.0058 g/mol");
        assert!(matches!(
            Library::builtin().atoms.molar_mass(&Formula::parse("Qq2").unwrap()),
            Err(FormulaError::Element(e)) if e == "Qq"
        ));
    }
}
