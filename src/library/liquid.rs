//! Liquids that fill the vessel.

use super::error::{LibraryError, Problem};
use super::fact::Reader;
use super::kind::Kind;
use super::sheet::Sheet;
use super::table::{RawTable, TempTable};
use crate::quantity::{Dimension, parse_quantity_as};
use serde::Deserialize;

/// A liquid.
#[derive(Debug, Clone)]
pub struct Liquid {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Specific heat capacity, J/(g K), over temperature.
    pub cp: TempTable,
    /// Density, g/mL, over temperature.
    pub density: TempTable,
    /// Nominal concentration of the solute it is named after, mol/L.
    pub concentration: Option<f64>,
    /// Names under which a substance may refuse it, see [`super::Substance::never_with`].
    pub is: Vec<String>,
    /// What can hurt people or the environment.
    pub cautions: Vec<String>,
    /// How to handle it so that the numbers are good.
    pub advice: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawLiquid {
    title: String,
    cp: RawTable,
    density: RawTable,
    concentration: Option<String>,
    #[serde(default)]
    is: Vec<String>,
    #[serde(default)]
    cautions: Vec<String>,
    #[serde(default)]
    advice: Vec<String>,
}

impl RawLiquid {
    pub fn read(self, key: &str, reader: &Reader) -> Result<Liquid, LibraryError> {
        let wrong = |problem| reader.wrong("concentration", problem);
        let concentration = match &self.concentration {
            None => None,
            Some(text) => match parse_quantity_as(text, Dimension::Concentration) {
                Ok(c) if c > 0.0 => Some(c),
                Ok(c) => return Err(wrong(Problem::NotPositive(c))),
                Err(e) => return Err(wrong(Problem::Quantity(e))),
            },
        };
        Ok(Liquid {
            key: key.to_owned(),
            title: self.title,
            cp: self
                .cp
                .read("cp", reader, (0.5, 10.0, "0.5 J/(g K) to 10 J/(g K)"))?,
            density: self
                .density
                .read("density", reader, (0.3, 5.0, "0.3 g/mL to 5 g/mL"))?,
            concentration,
            is: self.is,
            cautions: self.cautions,
            advice: self.advice,
        })
    }
}

impl Liquid {
    /// Volumetric expansion at a temperature, 1/K, from the slope of the density.
    pub fn expansion(&self, celsius: f64) -> f64 {
        -self.density.slope(celsius) / self.density.at(celsius)
    }

    pub(super) fn sheet(&self) -> Sheet {
        let mut sheet = Sheet::new(&self.key, &self.title, Kind::Liquid);
        if let Some(c) = self.concentration {
            sheet = sheet.plain("concentration", format!("{c} mol/L"));
        }
        for name in &self.is {
            sheet = sheet.plain("is", name);
        }
        sheet
            .table("cp", &self.cp, "J/(g K)")
            .table("density", &self.density, "g/mL")
            .cautions(&self.cautions, &self.advice)
    }
}

#[cfg(test)]
mod tests {
    use super::super::Library;
    use super::*;

    fn liquid(key: &str) -> &'static Liquid {
        Library::builtin().liquid(key).unwrap()
    }

    #[test]
    fn water_follows_iapws_95() {
        let water = liquid("water");
        let cases = [
            (15.0, 4.18846, 999.103),
            (20.0, 4.18405, 998.207),
            (25.0, 4.18132, 997.048),
            (30.0, 4.17982, 995.650),
            (35.0, 4.17926, 994.033),
        ];
        for (t, cp, density) in cases {
            assert!((water.cp.at(t) - cp).abs() < 1e-5, "{t}");
            assert!((water.density.at(t) * 1e3 - density).abs() < 1e-3, "{t}");
        }
    }

    #[test]
    fn water_between_the_points_follows_too() {
        // IAPWS95(T=273.15 + t, P=0.101325) of iapws 1.5.5, at temperatures not in the table.
        let water = liquid("water");
        let cases = [
            (7.5, 4.199630, 0.999879, 5.3268e-5),
            (12.5, 4.191476, 0.999442, 1.2037e-4),
            (22.5, 4.182504, 0.997659, 2.3266e-4),
            (27.5, 4.180434, 0.996377, 2.8083e-4),
            (37.5, 4.179257, 0.993149, 3.6602e-4),
        ];
        for (t, cp, density, expansion) in cases {
            let inner = if t < 10.0 { 5e-5 } else { 2e-5 };
            assert!(
                (water.cp.at(t) - cp).abs() < inner,
                "{t}: {}",
                water.cp.at(t)
            );
            assert!((water.density.at(t) - density).abs() < 2e-5, "{t}");
            assert!((water.expansion(t) / expansion - 1.0).abs() < 0.02, "{t}");
        }
    }

    #[test]
    fn media_are_denser_than_water_and_hold_less_heat_per_gram() {
        let water = liquid("water");
        for (key, cp, density) in [
            ("hcl-0.1", 4.1548, 0.9988),
            ("hcl-0.5", 4.0531, 1.0058),
            ("hcl-1.0", 3.930, 1.0144),
            ("naoh-0.05", 4.1689, 0.9992),
            ("h2so4-0.5", 4.0126, 1.0289),
            ("h2so4-1.0", 3.8625, 1.0598),
            ("naoh-0.5", 4.0636, 1.0185),
            ("naoh-1.0", 3.9640, 1.0392),
            ("cuso4-0.2", 4.0263, 1.0289),
            ("cuso4-0.5", 3.8271, 1.0760),
        ] {
            let l = liquid(key);
            assert!((l.cp.at(25.0) - cp).abs() < 2e-4, "{key}");
            assert!((l.density.at(25.0) - density).abs() < 1e-4, "{key}");
            for t in [15.0, 20.0, 30.0, 40.0] {
                assert!(l.cp.at(t) < water.cp.at(t), "{key} {t}");
                assert!(l.density.at(t) > water.density.at(t), "{key} {t}");
            }
        }
    }

    #[test]
    fn solutions_are_named_after_their_concentration() {
        for l in Library::builtin().liquids.values() {
            let named = l.key.rsplit_once('-').and_then(|(_, c)| c.parse().ok());
            assert!(named.is_none() || l.concentration == named, "{}", l.key);
        }
        assert_eq!(liquid("water").concentration, None);
        // 96 % of 1831 g/L over 98.07 g/mol.
        assert_eq!(liquid("h2so4-conc").concentration, Some(18.0));
    }

    #[test]
    fn permanganate_refuses_the_one_liquid_it_must_never_meet() {
        let enemies = &Library::builtin().substance("kmno4").unwrap().never_with;
        let meets = |l: &&Liquid| l.is.iter().any(|name| enemies.contains(name));
        let found: Vec<_> = Library::builtin().liquids.values().filter(meets).collect();
        assert_eq!(
            found.iter().map(|l| l.key.as_str()).collect::<Vec<_>>(),
            ["h2so4-conc"]
        );
    }
}
