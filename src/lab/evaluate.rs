//! The lab's evaluation, from what it saw to a molar enthalpy.
//!
//! Heat of calibration run i, by its kind:
//!
//! reference reaction  `Q_i = -n_i Delta h(T_i)`, n = m w / M, with the tabulated enthalpy at the
//!                     temperature of mixing and at the run's molality
//! heater              `Q = U I t`
//! hot water           `Q_i = m'_i c' (T_hot,i - T_i)`
//!
//! Stated side heats are added to Q if the lab subtracts them. `C_sys,i = Q_i / Delta T_i`; the constant
//! is the mean of `C_sys,i` (contents taken as alike), or of `C_sys,i - (sum m c_p)_i` (contents
//! exchanged). Without a calibration it is what the lab assumes of the vessel.
//! Determination j of leg k: `Delta H_j = -(C_j Delta T_j - Q_side) / n_j` with C_j the constant, plus
//! the contents `(sum m c_p)_j` if they are exchanged, and n_j moles of the reagent that the result is
//! stated for; then to the quoted temperature and the tabulated state, nu moles of that reagent going
//! with a mole of the charge: `Delta H_j - [Delta C_p (T_j - T_quoted) + L(molality)] / nu`. The leg's
//! value is the mean over j; the result is the sum of legs that the procedure states, each with its
//! coefficient, and the enthalpy that it takes from a table. The same constant enters every leg.

use super::tables::LegTables;
use crate::quantity::{Celsius, Gram, Joule, JoulePerKelvin, JoulePerMole, Kelvin};
use crate::scenario::{Contents, Scenario};

/// One run as the lab has it in its notebook.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RunSeen {
    /// Mass of solid it computes with.
    pub solid: Gram,
    /// Mass of liquid it computes with.
    pub liquid: Gram,
    /// Mass of the liquid that enters with the charge, or of the hot water.
    pub portion: Gram,
    /// Mass of the solid of another reagent, if the result is stated per mole of it.
    pub reagent: Gram,
    /// Change of temperature, from the record.
    pub rise: Kelvin,
    /// Temperature of mixing, from the record.
    pub mixing: Celsius,
    /// Temperature of the hot water.
    pub hot: Celsius,
    /// Moment that the weights of the record's readings go by, s.
    pub weighed_at: f64,
    /// Water in the vessel beyond what is counted; always 0 in the notebook, and there so that the evaluation can be
    /// differentiated with respect to it.
    pub rinse: Gram,
    /// Heat capacity of this run beyond what is counted; always 0 in the notebook, as above.
    pub extra: JoulePerKelvin,
    /// Heat of this run beyond what is counted; always 0 in the notebook, as above.
    pub heat: Joule,
}

/// The determinations of one leg.
#[derive(Debug, Clone)]
pub struct LegSeen {
    /// Its runs.
    pub runs: Vec<RunSeen>,
    /// Its tables.
    pub tables: LegTables,
}

/// Everything the evaluation uses.
#[derive(Debug, Clone)]
pub struct Seen {
    /// Calibration runs and their tables.
    pub calibration: LegSeen,
    /// Determinations, leg by leg.
    pub legs: Vec<LegSeen>,
}

/// Choices of the evaluation.
#[derive(Debug, Clone)]
pub struct Method {
    /// Contents.
    pub contents: Contents,
    /// Reference enthalpy at the mixing temperature.
    pub reference_slope: bool,
    /// Result brought to the quoted temperature.
    pub result_slope: bool,
    /// Quoted temperature.
    pub quote_at: Celsius,
    /// What the vessel is taken for where nothing calibrates it.
    pub assumed_vessel: Option<JoulePerKelvin>,
    /// Coefficient of each leg.
    pub coefficients: Vec<f64>,
    /// Coefficient of an enthalpy that is known from elsewhere, and that enthalpy.
    pub known: (f64, JoulePerMole),
}

/// What comes out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Evaluation {
    /// Constant of each calibration run, J/K.
    pub constants: Vec<f64>,
    /// Their mean, or what is assumed instead.
    pub constant: f64,
    /// Molar enthalpy of each determination, J/mol, leg by leg.
    pub enthalpies: Vec<Vec<f64>>,
    /// Mean of each leg.
    pub means: Vec<f64>,
    /// The result.
    pub enthalpy: f64,
}

impl Method {
    /// The method of a scenario.
    pub fn of(scenario: &Scenario) -> Self {
        let cycle = &scenario.cycle;
        Self {
            contents: scenario.lab.contents,
            reference_slope: scenario.lab.reference_slope,
            result_slope: scenario.lab.result_slope,
            quote_at: scenario.target.quote_at,
            assumed_vessel: scenario.lab.assumed_vessel,
            coefficients: cycle.coefficients.clone(),
            known: match &cycle.known {
                Some((coefficient, binding)) => (*coefficient, JoulePerMole(binding.input.ideal)),
                None => (0.0, JoulePerMole(0.0)),
            },
        }
    }

    /// What the lab has found of the vessel with this constant: the constant itself where contents are exchanged, else what
    /// is left of it without the contents.
    pub fn vessel(&self, t: &LegTables, constant: f64, run: &RunSeen) -> JoulePerKelvin {
        let found = JoulePerKelvin(constant);
        match self.contents {
            _ if self.assumed_vessel.is_some() => found,
            Contents::Swapped => found,
            Contents::Same => found - t.contents(run),
        }
    }

    /// The constant that one calibration run gives.
    #[inline]
    pub fn constant(&self, t: &LegTables, run: &RunSeen) -> JoulePerKelvin {
        let system: JoulePerKelvin = (t.heat(run, self.reference_slope) + run.heat) / run.rise;
        let own = system - run.extra - run.rinse * t.water_heat;
        match self.contents {
            Contents::Same => own,
            Contents::Swapped => own - t.contents(run),
        }
    }

    /// The molar enthalpy that one determination gives with this constant.
    #[inline]
    pub fn enthalpy(&self, t: &LegTables, constant: JoulePerKelvin, run: &RunSeen) -> JoulePerMole {
        let mut capacity = constant + run.extra + run.rinse * t.water_heat;
        if self.contents == Contents::Swapped || self.assumed_vessel.is_some() {
            capacity = capacity + t.contents(run);
        }
        let beside = t.side_heat + run.heat;
        let mut enthalpy: JoulePerMole = -(capacity * run.rise - beside) / t.named(run);
        if self.result_slope {
            enthalpy = enthalpy - t.slope * (t.table_temperature(run) - self.quote_at) / t.nu;
        }
        enthalpy - t.diluted(run) / t.nu
    }
}

/// Evaluates what was seen; `out` is overwritten (its memory is reused from trial to trial).
pub fn evaluate(seen: &Seen, method: &Method, out: &mut Evaluation) {
    let reference = &seen.calibration.tables;
    let constants = seen.calibration.runs.iter();
    let constants = constants.map(|r| method.constant(reference, r).0);
    out.constants.clear();
    out.constants.extend(constants);
    out.constant = match method.assumed_vessel {
        Some(vessel) => vessel.0,
        None => mean(&out.constants),
    };
    let constant = JoulePerKelvin(out.constant);
    out.enthalpies.resize_with(seen.legs.len(), Vec::new);
    out.means.clear();
    out.enthalpy = method.known.0 * method.known.1.0;
    for ((leg, own), coefficient) in seen
        .legs
        .iter()
        .zip(&mut out.enthalpies)
        .zip(&method.coefficients)
    {
        own.clear();
        own.extend(
            leg.runs
                .iter()
                .map(|r| method.enthalpy(&leg.tables, constant, r).0),
        );
        let value = mean(own);
        out.means.push(value);
        out.enthalpy += coefficient * value;
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
