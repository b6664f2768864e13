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

use super::page::{LegPages, Pages};
use super::tables::LegTables;
use crate::quantity::{Celsius, Gram, Joule, JoulePerKelvin, JoulePerMole, Kelvin};
use crate::random::{BLOCK, Column};
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
    pub change: Kelvin,
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

impl Seen {
    /// A leg: 0 for the calibration.
    pub fn leg(&self, at: usize) -> &LegSeen {
        match at.checked_sub(1) {
            None => &self.calibration,
            Some(own) => &self.legs[own],
        }
    }

    /// The same, to be changed.
    pub fn leg_mut(&mut self, at: usize) -> &mut LegSeen {
        match at.checked_sub(1) {
            None => &mut self.calibration,
            Some(own) => &mut self.legs[own],
        }
    }
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

/// What comes out, for a block of trials.
#[derive(Debug, Clone)]
pub struct Values {
    /// Constant of each calibration run, J/K.
    pub constants: Vec<Column<f64>>,
    /// Their mean, or what is assumed instead.
    pub constant: Column<f64>,
    /// Molar enthalpy of each determination, J/mol, leg by leg.
    pub enthalpies: Vec<Vec<Column<f64>>>,
    /// Mean of each leg.
    pub means: Vec<Column<f64>>,
    /// The result.
    pub enthalpy: Column<f64>,
}

/// The same of one trial; of the runs, those that count.
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

impl Values {
    /// One trial.
    pub fn of_trial(&self, pages: &Pages, i: usize) -> Evaluation {
        let counted = |leg: usize, values: &[Column<f64>]| {
            let runs = pages.legs[leg].runs.iter().zip(values);
            let used = runs.filter(|(page, _)| page.counts[i] > 0.0);
            used.map(|(_, value)| value[i]).collect()
        };
        let legs = (1..).zip(&self.enthalpies);
        Evaluation {
            constants: counted(0, &self.constants),
            constant: self.constant[i],
            enthalpies: legs.map(|(leg, values)| counted(leg, values)).collect(),
            means: self.means.iter().map(|m| m[i]).collect(),
            enthalpy: self.enthalpy[i],
        }
    }
}

impl Evaluation {
    /// What the runs of a leg say: constants in J/K of the calibration (0), else molar enthalpies in J/mol.
    pub fn of_leg(&self, at: usize) -> &[f64] {
        match at.checked_sub(1) {
            None => &self.constants,
            Some(own) => &self.enthalpies[own],
        }
    }

    /// Of one notebook.
    pub fn of(seen: &Seen, method: &Method) -> Self {
        let pages = Pages::of(seen);
        evaluate(&pages, method).of_trial(&pages, 0)
    }
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
        let system: JoulePerKelvin = (t.heat(run, self.reference_slope) + run.heat) / run.change;
        let own = system - run.extra - run.rinse * t.water_heat;
        match self.contents {
            Contents::Same => own,
            Contents::Swapped => own - t.contents(run),
        }
    }

    /// Whether the contents of a determination are reckoned from tables.
    pub(super) fn counts_contents(&self) -> bool {
        self.contents == Contents::Swapped || self.assumed_vessel.is_some()
    }

    /// The heat capacity that the change of temperature of a determination is multiplied by.
    #[inline]
    pub(super) fn capacity(
        &self,
        t: &LegTables,
        constant: JoulePerKelvin,
        run: &RunSeen,
    ) -> JoulePerKelvin {
        let own = constant + run.extra + run.rinse * t.water_heat;
        if self.counts_contents() {
            own + t.contents(run)
        } else {
            own
        }
    }

    /// The molar enthalpy that one determination gives with this constant.
    #[inline]
    pub fn enthalpy(&self, t: &LegTables, constant: JoulePerKelvin, run: &RunSeen) -> JoulePerMole {
        let capacity = self.capacity(t, constant, run);
        let beside = t.side_heat + run.heat;
        let mut enthalpy: JoulePerMole = -(capacity * run.change - beside) / t.named(run);
        if self.result_slope {
            enthalpy = enthalpy - t.slope * (t.table_temperature(run) - self.quote_at) / t.nu;
        }
        enthalpy - t.diluted(run) / t.nu
    }
}

/// Evaluates the pages of a block.
pub fn evaluate(pages: &Pages, method: &Method) -> Values {
    let (reference, legs) = pages.legs.split_first().expect("a calibration");
    let each = |leg: &LegPages, of: &dyn Fn(&RunSeen, usize) -> f64| -> Vec<Column<f64>> {
        let runs = leg.runs.iter();
        runs.map(|page| Column::from_fn(|i| of(&page.run(i), i)))
            .collect()
    };
    let constants = each(reference, &|run, _| {
        method.constant(&reference.tables, run).0
    });
    let constant = match method.assumed_vessel {
        Some(vessel) => Column::splat(vessel.0),
        None => reference.mean_of(|r| &constants[r]),
    };
    let enthalpies: Vec<Vec<Column<f64>>> = legs
        .iter()
        .map(|leg| {
            each(leg, &|run, i| {
                method
                    .enthalpy(&leg.tables, JoulePerKelvin(constant[i]), run)
                    .0
            })
        })
        .collect();
    let means: Vec<Column<f64>> = legs
        .iter()
        .zip(&enthalpies)
        .map(|(leg, own)| leg.mean_of(|r| &own[r]))
        .collect();
    let mut enthalpy = Column::splat(method.known.0 * method.known.1.0);
    for (mean, coefficient) in means.iter().zip(&method.coefficients) {
        for i in 0..BLOCK {
            enthalpy[i] += coefficient * mean[i];
        }
    }
    Values {
        constants,
        constant,
        enthalpies,
        means,
        enthalpy,
    }
}
