//! The evaluation differentiated with respect to everything the lab puts into it.
//!
//! Central differences of the evaluation's two steps (constant, enthalpy) and the chain rule
//! between them: d result / d x = (1 / n_cal) dC_i/dx * d result/dC for what enters a calibration
//! run, (1 / n_det) d Delta H_j/dx for what enters a determination. The steps are smooth rational
//! functions, so a relative step of 1e-4 leaves an error of about 1e-8.

use super::evaluate::{Evaluation, LegTables, Method, RunSeen, Seen};
use crate::quantity::JoulePerKelvin;

/// Derivatives of the result (J/mol) with respect to one run's entries, per unit of each.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct RunGradient {
    /// Per g of solid.
    pub solid: f64,
    /// Per g of liquid.
    pub liquid: f64,
    /// Per K of the change of temperature.
    pub rise: f64,
    /// Per K of the temperature of mixing.
    pub mixing: f64,
    /// Per J/K of uncounted heat capacity.
    pub extra: f64,
}

/// Derivatives with respect to one leg's runs and tables.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LegGradient {
    /// By run.
    pub runs: Vec<RunGradient>,
    /// Per J/mol of the tabulated enthalpy.
    pub enthalpy: f64,
    /// Per J/(mol K) of its slope.
    pub slope: f64,
    /// Per g/mol.
    pub molar_mass: f64,
    /// Per unit of purity.
    pub purity: f64,
    /// Per J/(g K) of the liquid.
    pub liquid_heat: f64,
    /// Per J/(g K) of the dissolved solid.
    pub solute_heat: f64,
}

/// Derivatives of the result.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Gradient {
    /// With respect to the calibration.
    pub calibration: LegGradient,
    /// With respect to the determination.
    pub determination: LegGradient,
    /// With respect to the mean constant, (J/mol) per (J/K).
    pub constant: f64,
}

/// Differentiates; `out` is overwritten.
pub fn gradient(seen: &Seen, method: &Method, value: &Evaluation, out: &mut Gradient) {
    let constant = value.constant;
    out.constant = seen
        .determination
        .iter()
        .map(|run| {
            let step = 1e-4 * constant.abs().max(1.0);
            let at = |c: f64| method.enthalpy(&seen.unknown, JoulePerKelvin(c), run).0;
            (at(constant + step) - at(constant - step)) / (2.0 * step)
        })
        .sum::<f64>()
        / seen.determination.len() as f64;
    leg(
        &seen.calibration,
        &seen.reference,
        out.constant,
        |t, run| method.constant(t, run).0,
        &mut out.calibration,
    );
    leg(
        &seen.determination,
        &seen.unknown,
        1.0,
        |t, run| method.enthalpy(t, JoulePerKelvin(constant), run).0,
        &mut out.determination,
    );
}

/// Derivatives of `outer` times the mean of `step` over the runs.
fn leg(
    runs: &[RunSeen],
    tables: &LegTables,
    outer: f64,
    step: impl Fn(&LegTables, &RunSeen) -> f64,
    out: &mut LegGradient,
) {
    let weight = outer / runs.len() as f64;
    out.runs.clear();
    for run in runs {
        let along = |h: f64, set: fn(&mut RunSeen, f64)| {
            let (mut up, mut down) = (*run, *run);
            set(&mut up, h);
            set(&mut down, -h);
            weight * (step(tables, &up) - step(tables, &down)) / (2.0 * h)
        };
        let small = |x: f64| 1e-4 * x.abs().max(1e-9);
        out.runs.push(RunGradient {
            solid: along(small(run.solid.0), |r, h| r.solid.0 += h),
            liquid: along(small(run.liquid.0), |r, h| r.liquid.0 += h),
            rise: along(small(run.rise.0), |r, h| r.rise.0 += h),
            mixing: along(1e-2, |r, h| r.mixing.0 += h),
            extra: along(1e-2, |r, h| r.extra.0 += h),
        });
    }
    let along = |h: f64, set: fn(&mut LegTables, f64)| {
        let (mut up, mut down) = (tables.clone(), tables.clone());
        set(&mut up, h);
        set(&mut down, -h);
        runs.iter()
            .map(|run| step(&up, run) - step(&down, run))
            .sum::<f64>()
            * weight
            / (2.0 * h)
    };
    out.enthalpy = along(1e-4 * tables.enthalpy.0.abs(), |t, h| t.enthalpy.0 += h);
    out.slope = along(1.0, |t, h| t.slope.0 += h);
    out.molar_mass = along(1e-4 * tables.molar_mass.0, |t, h| t.molar_mass.0 += h);
    out.purity = along(1e-4, |t, h| t.purity += h);
    out.liquid_heat = along(1e-3, |t, h| t.liquid_heat.0 += h);
    out.solute_heat = along(1e-2, |t, h| t.solute_heat.0 += h);
}
