//! Tabulated values as a leg uses them.

use crate::library::{Liquid, TempTable};
use crate::quantity::{
    Celsius, GramPerMillilitre, GramPerMole, JoulePerGramKelvin, JoulePerMole, JoulePerMoleKelvin,
};

/// A reaction as tabulated.
#[derive(Debug, Clone)]
pub struct ReactionFacts {
    /// Library key.
    pub key: String,
    /// What happens, in words.
    pub title: String,
    /// What is weighed.
    pub substance: String,
    /// Its equation.
    pub equation: String,
    /// Enthalpy per mole of solid at 25 °C, in the tabulated state.
    pub enthalpy: JoulePerMole,
    /// Standard uncertainty of it.
    pub enthalpy_u: JoulePerMole,
    /// State that the value belongs to, in words.
    pub state: String,
    /// Temperature of the table.
    pub at: Celsius,
    /// Slope with temperature.
    pub slope: JoulePerMoleKelvin,
    /// Heat of dilution from the tabulated state.
    pub dilution: DilutionHeat,
    /// Molar mass of the solid.
    pub molar_mass: GramPerMole,
    /// Density of the solid, for buoyancy.
    pub density: GramPerMillilitre,
    /// Molecules of water of crystallisation in its formula.
    pub waters: f64,
    /// What a gram of it adds to the heat capacity once dissolved; of a reaction in solution, what
    /// its products add to the heat capacity of the liquids that meet.
    pub solute_heat: JoulePerGramKelvin,
    /// Specific heat capacity of the solid itself: what its dissolving changes, taken off what it adds once dissolved.
    pub solid_heat: JoulePerGramKelvin,
    /// Whether the enthalpy is that of the substance in solution.
    pub in_solution: bool,
    /// Then: enthalpy of dissolving the solid; else 0.
    pub dissolving: JoulePerMole,
    /// The hydrate that an anhydrous salt turns into.
    pub hydrate: Option<Hydrate>,
    /// The anhydrous form of a hydrate.
    pub anhydrous: Option<Anhydrous>,
}

/// The hydrate of an anhydrous salt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hydrate {
    /// Enthalpy of forming it from the salt and water at the tables' temperature: that of dissolving the salt less that of
    /// dissolving the hydrate.
    pub forming: JoulePerMole,
    /// Its slope with temperature.
    pub slope: JoulePerMoleKelvin,
    /// Its molar mass over that of the salt.
    pub mass_ratio: f64,
    /// Its specific heat capacity.
    pub heat: JoulePerGramKelvin,
}

/// The anhydrous form of a hydrate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anhydrous {
    /// Enthalpy of its dissolving less that of the hydrate, at the tables' temperature.
    pub more: JoulePerMole,
    /// Its slope with temperature.
    pub slope: JoulePerMoleKelvin,
    /// Water that is lost on the way, moles per mole.
    pub waters: f64,
}

/// How the molar enthalpy changes with molality: apparent relative molar enthalpies, piecewise
/// linear in the square root of molality, from which the tabulated state's value is subtracted.
///
/// The points of one table err together: they come from one fit, and neighbours even from the same measurements. So the
/// standard uncertainty of a difference between two molalities is the difference of their uncertainties, and
/// that of the distance to infinite dilution the uncertainty of the point itself.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DilutionHeat {
    /// Points (square root of molality; J/mol with its standard uncertainty), rising; (0; 0, 0) is implied.
    points: Vec<(f64, [f64; 2])>,
    /// Value and uncertainty at the tabulated state.
    at_state: [f64; 2],
    /// Error, by the standard draw of the table, of an enthalpy that the table carried to that state, J/mol.
    carried: f64,
}

impl DilutionHeat {
    /// From points (mol/kg, J/mol, its standard uncertainty) and the molality of the tabulated state (0: infinite
    /// dilution), and that at which the enthalpy was measured if this table carried it to its state.
    pub fn new(points: &[(f64, f64, f64)], state: f64, carried_from: Option<f64>) -> Self {
        let mut own = Self {
            points: points.iter().map(|&(m, l, u)| (m.sqrt(), [l, u])).collect(),
            at_state: [0.0; 2],
            carried: 0.0,
        };
        own.points.sort_by(|a, b| a.0.total_cmp(&b.0));
        own.at_state = own.apparent(state);
        own.carried = carried_from.map_or(0.0, |m| own.by_draw(m));
        own
    }

    /// Whether nothing is tabulated.
    pub fn is_empty(&self) -> bool {
        self.points.is_empty()
    }

    /// Enthalpy at this molality minus that of the tabulated state, J/mol. Beyond the last point
    /// it stays at that point's value.
    #[inline]
    pub fn from_state(&self, molality: f64) -> JoulePerMole {
        JoulePerMole(self.apparent(molality)[0] - self.at_state[0])
    }

    /// Enthalpy of the tabulated state minus that of infinite dilution, J/mol.
    pub fn at_state(&self) -> JoulePerMole {
        JoulePerMole(self.at_state[0])
    }

    /// The tabulated points about a molality, (mol/kg, J/mol): the last one twice beyond it.
    pub fn around(&self, molality: f64) -> [(f64, f64); 2] {
        let root = molality.max(0.0).sqrt();
        let origin = std::iter::once((0.0, [0.0; 2]));
        let all: Vec<_> = origin.chain(self.points.iter().copied()).collect();
        let above = all.iter().position(|p| p.0 >= root);
        let below = all.iter().rposition(|p| p.0 < root);
        let above = above.unwrap_or(all.len() - 1);
        [below.unwrap_or(above), above].map(|i| (all[i].0 * all[i].0, all[i].1[0]))
    }

    /// Derivative of [`Self::from_state`] with respect to molality, J/mol per mol/kg; 0 beyond the last point.
    pub fn slope(&self, molality: f64) -> f64 {
        let root = molality.max(0.0).sqrt();
        let mut before = (0.0, 0.0);
        for &(r, [l, _]) in &self.points {
            if root <= r && root > 0.0 {
                return (l - before.1) / (r - before.0) / (2.0 * root);
            }
            before = (r, l);
        }
        0.0
    }

    /// Standard uncertainty of that difference, J/mol.
    pub fn u_from_state(&self, molality: f64) -> JoulePerMole {
        JoulePerMole(self.by_draw(molality).abs())
    }

    /// Covariance of the tabulated enthalpy, if this table carried it to its state, with a result that the table carries
    /// there from a molality: the errors `z u_0` and `z u` have the same standard draw `z`. In (J/mol)².
    pub fn covariance(&self, result: &Self, molality: f64) -> f64 {
        self.carried * result.by_draw(molality)
    }

    fn by_draw(&self, molality: f64) -> f64 {
        self.apparent(molality)[1] - self.at_state[1]
    }

    /// A name that two tables share only if they are the same one: both forms of a salt end in the same solution.
    pub(super) fn name(&self) -> String {
        format!("{:?}", self.points)
    }

    fn apparent(&self, molality: f64) -> [f64; 2] {
        let root = molality.max(0.0).sqrt();
        let mut before = (0.0, [0.0; 2]);
        for &(r, l) in &self.points {
            if root <= r {
                let share = (root - before.0) / (r - before.0);
                return [0, 1].map(|i| before.1[i] + (l[i] - before.1[i]) * share);
            }
            before = (r, l);
        }
        before.1
    }
}

/// A liquid as tabulated.
#[derive(Debug, Clone)]
pub struct LiquidFacts {
    /// Library key.
    pub key: String,
    /// What it is.
    pub title: String,
    /// Specific heat capacity, J/(g K), against temperature.
    pub heat_capacity: TempTable,
    /// Density, g/mL, against temperature.
    pub density: TempTable,
}

impl LiquidFacts {
    /// Those of a liquid of the library.
    pub fn of(liquid: &Liquid) -> Self {
        Self {
            key: liquid.key.clone(),
            title: liquid.title.clone(),
            heat_capacity: liquid.cp.clone(),
            density: liquid.density.clone(),
        }
    }

    /// Specific heat capacity at a temperature.
    pub fn heat_capacity_at(&self, t: Celsius) -> JoulePerGramKelvin {
        JoulePerGramKelvin(self.heat_capacity.at(t.0))
    }

    /// Density at a temperature.
    pub fn density_at(&self, t: Celsius) -> GramPerMillilitre {
        GramPerMillilitre(self.density.at(t.0))
    }
}

#[cfg(test)]
mod tests {
    use super::DilutionHeat;

    #[test]
    fn a_heat_of_dilution_lies_between_the_points_about_its_molality() {
        let table = DilutionHeat::new(&[(0.1, 300.0, 0.0), (0.4, 500.0, 0.0)], 0.1, None);
        assert_eq!(table.at_state().0, 300.0);
        for (b, due) in [(0.0, 0), (0.05, 0), (0.1, 0), (0.2, 1), (0.4, 1), (0.9, 2)] {
            let [below, above] = table.around(b);
            let points = [(0.0, 0.0), (0.1, 300.0), (0.4, 500.0)];
            let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() < 1e-12 && a.1 == b.1;
            let last = points[points.len().min(due + 2) - 1];
            assert!(
                near(below, points[if b == 0.0 { 0 } else { due }]),
                "{b}: {below:?}"
            );
            assert!(b == 0.0 || near(above, last), "{b}: {above:?}");
            if above.0 > below.0 {
                let share = (b.sqrt() - below.0.sqrt()) / (above.0.sqrt() - below.0.sqrt());
                let between = below.1 + share * (above.1 - below.1);
                assert!(
                    (table.from_state(b).0 + 300.0 - between).abs() < 1e-9,
                    "{b}"
                );
            }
        }
    }
}
