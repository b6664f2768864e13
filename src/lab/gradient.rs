//! The evaluation differentiated with respect to what the lab puts into it.
//!
//! Central differences of the evaluation's two steps (constant, enthalpy) and the chain rule
//! between them: d result / d x = (1 / n_cal) dC_i/dx * d result/dC for what enters a calibration
//! run, (coefficient / n_det) d Delta H_j/dx for what enters a determination. The steps are smooth
//! rational functions, so a relative step of 1e-4 leaves an error of about 1e-8.

use super::evaluate::{Evaluation, LegSeen, Method, RunSeen, Seen};
use super::tables::{AmountBy, HeatKind, LegTables};
use crate::quantity::JoulePerKelvin;

/// What a run's page holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Entry {
    /// g of solid.
    Solid,
    /// g of liquid.
    Liquid,
    /// g of the portion.
    Portion,
    /// g of another reagent's solid.
    Reagent,
    /// K of the change of temperature.
    Rise,
    /// K of the temperature of mixing.
    Mixing,
    /// K of the hot water.
    Hot,
    /// g of uncounted water.
    Rinse,
    /// J/K of uncounted heat capacity.
    Extra,
    /// J of uncounted heat.
    Heat,
}

/// What a leg's tables hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TableEntry {
    /// J/mol of the tabulated enthalpy.
    Enthalpy,
    /// J/(mol K) of its slope.
    Slope,
    /// g/mol of the charge.
    MolarMass,
    /// Purity of the charge.
    Purity,
    /// J/(g K) of the liquid.
    LiquidHeat,
    /// J/(g K) of the portion.
    PortionHeat,
    /// J/(g K) of water, for a lab that uses it for everything.
    WaterHeat,
    /// J/(g K) of the dissolved solid.
    SoluteHeat,
    /// Concentration of the portion, mol/L.
    PortionConcentration,
    /// Concentration of the vessel's liquid, mol/L.
    LiquidConcentration,
    /// g/mol of the other reagent's solid.
    ReagentMolarMass,
    /// Its purity.
    ReagentPurity,
    /// mL of the stock's flask.
    Flask,
    /// V of the heater.
    Voltage,
    /// A of the heater.
    Current,
    /// s of the heater.
    HeatingTime,
    /// J of side heats.
    SideHeat,
    /// J/mol of the heat of dilution.
    Dilution,
}

impl Entry {
    /// All of them, in the order of their numbers.
    pub const ALL: [Self; 10] = [
        Self::Solid,
        Self::Liquid,
        Self::Portion,
        Self::Reagent,
        Self::Rise,
        Self::Mixing,
        Self::Hot,
        Self::Rinse,
        Self::Extra,
        Self::Heat,
    ];

    fn of(self, run: &mut RunSeen) -> &mut f64 {
        match self {
            Self::Solid => &mut run.solid.0,
            Self::Liquid => &mut run.liquid.0,
            Self::Portion => &mut run.portion.0,
            Self::Reagent => &mut run.reagent.0,
            Self::Rise => &mut run.rise.0,
            Self::Mixing => &mut run.mixing.0,
            Self::Hot => &mut run.hot.0,
            Self::Rinse => &mut run.rinse.0,
            Self::Extra => &mut run.extra.0,
            Self::Heat => &mut run.heat.0,
        }
    }

    /// Its value on a page.
    pub fn value(self, run: &RunSeen) -> f64 {
        *self.of(&mut { *run })
    }

    /// Step of a difference: relative, or absolute where zero is an ordinary value.
    fn step(self, at: f64) -> f64 {
        match self {
            Self::Mixing | Self::Hot | Self::Rinse | Self::Extra | Self::Heat => 1e-2,
            _ => 1e-4 * at.abs().max(1e-9),
        }
    }
}

impl TableEntry {
    /// The number that it stands for; `None` if the leg has no such thing.
    fn of(self, t: &mut LegTables) -> Option<&mut f64> {
        Some(match self {
            Self::Enthalpy => &mut t.enthalpy.0,
            Self::Slope => &mut t.slope.0,
            Self::MolarMass => &mut t.molar_mass.0,
            Self::Purity => &mut t.purity,
            Self::LiquidHeat => &mut t.liquid_heat.0,
            Self::PortionHeat => &mut t.portion_heat.0,
            Self::WaterHeat => &mut t.water_heat.0,
            Self::SoluteHeat => &mut t.solute_heat.0,
            Self::SideHeat => &mut t.side_heat.0,
            Self::Dilution => &mut t.dilution_error.0,
            Self::PortionConcentration => match &mut t.charge {
                AmountBy::Portion { concentration, .. } => &mut concentration.0,
                _ => return None,
            },
            Self::LiquidConcentration => match &mut t.named {
                Some(AmountBy::Liquid { concentration, .. }) => &mut concentration.0,
                _ => return None,
            },
            Self::ReagentMolarMass => match &mut t.named {
                Some(AmountBy::Stock { molar_mass, .. } | AmountBy::Weighed { molar_mass, .. }) => {
                    &mut molar_mass.0
                }
                _ => return None,
            },
            Self::ReagentPurity => match &mut t.named {
                Some(AmountBy::Stock { purity, .. } | AmountBy::Weighed { purity, .. }) => purity,
                _ => return None,
            },
            Self::Flask => match &mut t.named {
                Some(AmountBy::Stock { flask, .. }) => &mut flask.0,
                _ => return None,
            },
            Self::Voltage | Self::Current | Self::HeatingTime => {
                let HeatKind::Electrical(h) = &mut t.kind else {
                    return None;
                };
                match self {
                    Self::Voltage => &mut h.voltage.0,
                    Self::Current => &mut h.current.0,
                    _ => &mut h.time.0,
                }
            }
        })
    }

    fn step(self, at: f64) -> f64 {
        match self {
            Self::Slope | Self::Dilution => 1.0,
            Self::LiquidHeat | Self::PortionHeat | Self::WaterHeat => 1e-3,
            Self::SoluteHeat | Self::SideHeat => 1e-2,
            _ => 1e-4 * at.abs().max(1e-9),
        }
    }

    /// Its value in a leg's tables; 0 if the leg has no such thing.
    pub fn value(self, tables: &LegTables) -> f64 {
        self.of(&mut tables.clone()).map_or(0.0, |v| *v)
    }
}

/// Which derivatives somebody asks for.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// Of the pages.
    pub entries: Vec<Entry>,
    /// Of the tables.
    pub tables: Vec<TableEntry>,
}

/// Derivatives of the result (J/mol) with respect to one run's entries, per unit of each; those that
/// nobody asked for are 0.
pub type RunGradient = [f64; Entry::ALL.len()];

/// Derivatives with respect to one leg's runs and tables.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LegGradient {
    /// By run.
    pub runs: Vec<RunGradient>,
    /// Of the tables, those asked for.
    pub tables: Vec<(TableEntry, f64)>,
}

impl LegGradient {
    /// The derivative with respect to a table's entry; 0 if nobody asked for it.
    pub fn table(&self, entry: TableEntry) -> f64 {
        let found = self.tables.iter().find(|(e, _)| *e == entry);
        found.map_or(0.0, |(_, d)| *d)
    }
}

/// Derivatives of the result.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Gradient {
    /// By leg, the calibration first.
    pub legs: Vec<LegGradient>,
    /// With respect to the mean constant, (J/mol) per (J/K).
    pub constant: f64,
}

/// Differentiates by what is wanted, leg by leg; `out` is overwritten.
pub fn gradient(
    seen: &Seen,
    method: &Method,
    value: &Evaluation,
    wanted: &[Wanted],
    out: &mut Gradient,
) {
    let constant = value.constant;
    let step = 1e-4 * constant.abs().max(1.0);
    out.constant = 0.0;
    for (leg, coefficient) in seen.legs.iter().zip(&method.coefficients) {
        let slopes = leg.runs.iter().map(|run| {
            let at = |c: f64| method.enthalpy(&leg.tables, JoulePerKelvin(c), run).0;
            (at(constant + step) - at(constant - step)) / (2.0 * step)
        });
        out.constant += coefficient * slopes.sum::<f64>() / leg.runs.len() as f64;
    }
    out.legs
        .resize_with(seen.legs.len() + 1, LegGradient::default);
    let none = Wanted::default();
    let of = |at: usize| wanted.get(at).unwrap_or(&none);
    differentiate(
        &seen.calibration,
        of(0),
        out.constant,
        |t, run| method.constant(t, run).0,
        &mut out.legs[0],
    );
    for (at, (leg, coefficient)) in seen.legs.iter().zip(&method.coefficients).enumerate() {
        differentiate(
            leg,
            of(at + 1),
            *coefficient,
            |t, run| method.enthalpy(t, JoulePerKelvin(constant), run).0,
            &mut out.legs[at + 1],
        );
    }
}

/// Derivatives of `outer` times the mean of `step` over the runs.
fn differentiate(
    leg: &LegSeen,
    wanted: &Wanted,
    outer: f64,
    step: impl Fn(&LegTables, &RunSeen) -> f64,
    out: &mut LegGradient,
) {
    let weight = outer / leg.runs.len() as f64;
    out.runs.clear();
    out.tables.clear();
    for run in &leg.runs {
        let mut of_run = RunGradient::default();
        let hot = matches!(leg.tables.kind, HeatKind::HotWater);
        for entry in wanted.entries.iter().filter(|e| hot || **e != Entry::Hot) {
            let (mut up, mut down) = (*run, *run);
            let h = entry.step(*entry.of(&mut up));
            *entry.of(&mut up) += h;
            *entry.of(&mut down) -= h;
            let apart = step(&leg.tables, &up) - step(&leg.tables, &down);
            of_run[*entry as usize] = weight * apart / (2.0 * h);
        }
        out.runs.push(of_run);
    }
    if leg.runs.is_empty() {
        return;
    }
    for entry in &wanted.tables {
        let (mut up, mut down) = (leg.tables.clone(), leg.tables.clone());
        let Some(at) = entry.of(&mut up) else {
            continue;
        };
        let h = entry.step(*at);
        *at += h;
        if let Some(at) = entry.of(&mut down) {
            *at -= h;
        }
        let apart = leg.runs.iter().map(|run| step(&up, run) - step(&down, run));
        out.tables
            .push((*entry, apart.sum::<f64>() * weight / (2.0 * h)));
    }
}
