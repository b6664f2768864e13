//! The lab's evaluation, from what it saw to a molar enthalpy.
//!
//! Calibration run i: `C_sys,i = -n_i Delta h(T_i) / Delta T_i`, n = m w / M, with the tabulated
//! enthalpy at the temperature of mixing and at the run's molality. The constant is the mean of
//! `C_sys,i` (contents taken as alike), or of `C_sys,i - (sum m c_p)_i` (contents exchanged).
//! Determination j: `Delta H_j = -C_j Delta T_j / n_j` with C_j the constant, plus the contents
//! `(sum m c_p)_j` if they are exchanged; then to the quoted temperature and the tabulated state:
//! `Delta H_j - Delta C_p (T_j - T_quoted) - L(molality)`. The result is the mean over j.

use crate::quantity::{
    Celsius, Gram, GramPerMole, JoulePerGramKelvin, JoulePerKelvin, JoulePerMole,
    JoulePerMoleKelvin, Kelvin, Mole,
};
use crate::scenario::{Contents, DilutionHeat, Scenario};

/// One run as the lab has it in its notebook.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunSeen {
    /// Mass of solid it computes with.
    pub solid: Gram,
    /// Mass of liquid it computes with.
    pub liquid: Gram,
    /// Change of temperature, from the record.
    pub rise: Kelvin,
    /// Temperature of mixing, from the record.
    pub mixing: Celsius,
    /// Heat capacity of this run beyond what is counted; always 0 in the notebook, and there so
    /// that the evaluation can be differentiated with respect to it.
    pub extra: JoulePerKelvin,
}

/// Tabulated values and labels of one leg.
#[derive(Debug, Clone)]
pub struct LegTables {
    /// Enthalpy in the tabulated state (of the reference).
    pub enthalpy: JoulePerMole,
    /// Temperature of the table.
    pub at: Celsius,
    /// Slope.
    pub slope: JoulePerMoleKelvin,
    /// Molar mass of the solid.
    pub molar_mass: GramPerMole,
    /// Purity of the label.
    pub purity: f64,
    /// Specific heat capacity of the liquid.
    pub liquid_heat: JoulePerGramKelvin,
    /// Specific heat capacity of water, for a lab that uses it for everything.
    pub water_heat: JoulePerGramKelvin,
    /// What a gram of dissolved solid adds.
    pub solute_heat: JoulePerGramKelvin,
    /// Heat of dilution.
    pub dilution: DilutionHeat,
    /// How the heat capacity of the contents is reckoned.
    pub reckoning: Reckoning,
}

/// How a lab reckons the heat capacity of the contents from masses and a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reckoning {
    /// Mass of solution times its specific heat capacity; without the solid's mass if false.
    pub solid_in_mass: bool,
    /// Water's specific heat capacity instead of the solution's.
    pub water_heat: bool,
    /// Half-way through the change instead of the moment of mixing for tabulated values.
    pub mean_temperature: bool,
}

/// Everything the evaluation uses.
#[derive(Debug, Clone)]
pub struct Seen {
    /// Calibration runs.
    pub calibration: Vec<RunSeen>,
    /// Determinations.
    pub determination: Vec<RunSeen>,
    /// Tables of the calibration.
    pub reference: LegTables,
    /// Tables of the determination.
    pub unknown: LegTables,
}

/// Choices of the evaluation.
#[derive(Debug, Clone, Copy)]
pub struct Method {
    /// Contents.
    pub contents: Contents,
    /// Reference enthalpy at the mixing temperature.
    pub reference_slope: bool,
    /// Result brought to the quoted temperature.
    pub result_slope: bool,
    /// Quoted temperature.
    pub quote_at: Celsius,
}

/// What comes out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Evaluation {
    /// Constant of each calibration run, J/K.
    pub constants: Vec<f64>,
    /// Their mean.
    pub constant: f64,
    /// Molar enthalpy of each determination, J/mol.
    pub enthalpies: Vec<f64>,
    /// Their mean: the result.
    pub enthalpy: f64,
}

impl LegTables {
    /// The tables of a leg as the lab of a scenario has them.
    pub fn of(scenario: &Scenario, leg: &crate::scenario::Leg) -> Self {
        let r = &leg.reaction;
        Self {
            enthalpy: r.enthalpy,
            at: r.at,
            slope: r.slope,
            molar_mass: r.molar_mass,
            purity: leg.label_purity,
            liquid_heat: leg.liquid.heat_capacity_at(scenario.room.temperature),
            water_heat: scenario.water_heat,
            solute_heat: r.solute_heat,
            dilution: r.dilution.clone(),
            reckoning: Reckoning {
                solid_in_mass: scenario.lab.solid_in_mass,
                water_heat: scenario.lab.water_heat,
                mean_temperature: scenario.lab.mean_temperature,
            },
        }
    }

    fn amount(&self, solid: Gram) -> Mole {
        solid * self.purity / self.molar_mass
    }

    /// Heat capacity of the contents: `m_l c_l + m_s c_s`, which is the mass of solution times its
    /// specific heat capacity; or water's specific heat capacity times that mass; without the mass
    /// of the solid, if the lab leaves it out.
    fn contents(&self, run: &RunSeen) -> JoulePerKelvin {
        let liquid_share = run.liquid / (run.liquid + run.solid);
        let full = if self.reckoning.water_heat {
            (run.liquid + run.solid) * self.water_heat
        } else {
            run.liquid * self.liquid_heat + run.solid * self.solute_heat
        };
        if self.reckoning.solid_in_mass {
            full
        } else {
            full * liquid_share
        }
    }

    /// Temperature at which tabulated values are taken.
    fn table_temperature(&self, run: &RunSeen) -> Celsius {
        if self.reckoning.mean_temperature {
            run.mixing + run.rise * 0.5
        } else {
            run.mixing
        }
    }

    fn diluted(&self, amount: Mole, run: &RunSeen) -> JoulePerMole {
        if self.dilution.is_empty() {
            return JoulePerMole(0.0);
        }
        self.dilution.from_state(amount.0 / (run.liquid.0 * 1e-3))
    }
}

impl Method {
    /// The method of a scenario.
    pub fn of(scenario: &Scenario) -> Self {
        Self {
            contents: scenario.lab.contents,
            reference_slope: scenario.lab.reference_slope,
            result_slope: scenario.lab.result_slope,
            quote_at: scenario.target.quote_at,
        }
    }

    /// The constant that one calibration run gives.
    #[inline]
    pub fn constant(&self, t: &LegTables, run: &RunSeen) -> JoulePerKelvin {
        let amount = t.amount(run.solid);
        let mut enthalpy = t.enthalpy + t.diluted(amount, run);
        if self.reference_slope {
            enthalpy = enthalpy + t.slope * (t.table_temperature(run) - t.at);
        }
        let system: JoulePerKelvin = -(amount * enthalpy) / run.rise;
        let own = system - run.extra;
        match self.contents {
            Contents::Same => own,
            Contents::Swapped => own - t.contents(run),
        }
    }

    /// The molar enthalpy that one determination gives with this constant.
    #[inline]
    pub fn enthalpy(&self, t: &LegTables, constant: JoulePerKelvin, run: &RunSeen) -> JoulePerMole {
        let mut capacity = constant + run.extra;
        if self.contents == Contents::Swapped {
            capacity = capacity + t.contents(run);
        }
        let amount = t.amount(run.solid);
        let mut enthalpy: JoulePerMole = -(capacity * run.rise) / amount;
        if self.result_slope {
            enthalpy = enthalpy - t.slope * (t.table_temperature(run) - self.quote_at);
        }
        enthalpy - t.diluted(amount, run)
    }
}

/// Evaluates what was seen; `out` is overwritten (its memory is reused from trial to trial).
pub fn evaluate(seen: &Seen, method: &Method, out: &mut Evaluation) {
    let constants = seen
        .calibration
        .iter()
        .map(|r| method.constant(&seen.reference, r).0);
    out.constants.clear();
    out.constants.extend(constants);
    out.constant = mean(&out.constants);
    let constant = JoulePerKelvin(out.constant);
    let enthalpies = seen
        .determination
        .iter()
        .map(|r| method.enthalpy(&seen.unknown, constant, r).0);
    out.enthalpies.clear();
    out.enthalpies.extend(enthalpies);
    out.enthalpy = mean(&out.enthalpies);
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}
