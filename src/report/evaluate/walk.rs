//! One run, formula by formula.

use super::steps::{n, signed};
use crate::evaluate::{Evaluated, NotedRun};
use crate::lab::{AmountBy, LegSeen, LegTables, Method};
use crate::measured::RunColumn;
use crate::quantity::JoulePerKelvin;
use crate::report::words::wrapped;
use crate::scenario::{Contents, LiquidBy};

/// Characters of a line: text to be copied is set in by four.
const ROOM: usize = 76;

/// A run and all that its arithmetic needs.
pub(super) struct Walk<'w> {
    pub(super) e: &'w Evaluated,
    pub(super) method: &'w Method,
    pub(super) seen: &'w LegSeen,
    pub(super) run: &'w NotedRun,
    pub(super) at: usize,
}

impl Walk<'_> {
    pub(super) fn tables(&self) -> &LegTables {
        &self.seen.tables
    }

    pub(super) fn lines(&self, result: f64) -> Vec<String> {
        let mut all = vec![format!("run {}", self.run.label)];
        all.extend(self.mass());
        all.extend(self.liquid());
        all.extend(self.change());
        if self.at == 0 {
            self.calibration(result, &mut all);
        } else {
            self.determination(result, &mut all);
        }
        let set_in = all.iter().skip(1).map(|l| wrapped(l, ROOM, "  ", "      "));
        all.iter().take(1).cloned().chain(set_in).collect()
    }

    fn mass(&self) -> Option<String> {
        let m = self.run.seen.solid.0;
        if m <= 0.0 {
            return None;
        }
        let cells = [RunColumn::SolidGross, RunColumn::SolidTare].map(|c| self.run.row.value(c));
        let net = match (cells, self.run.row.value(RunColumn::Solid)) {
            ([Some(gross), Some(tare)], _) => format!("{} − {}", n(gross), n(tare)),
            (_, Some(net)) if self.e.scenario.lab.corrects_buoyancy => n(net),
            _ => return Some(format!("m = {} g", n(m))),
        };
        Some(match self.e.scenario.lab.corrects_buoyancy {
            true => format!("m = ({net}) × buoyancy correction = {} g", n(m)),
            false => format!("m = {net} = {} g", n(m)),
        })
    }

    fn liquid(&self) -> Option<String> {
        let m = self.run.seen.liquid.0;
        let legs = self.e.scenario.legs();
        let stated = match legs[self.at].liquid_by {
            LiquidBy::Volume { nominal, .. } => Some(nominal.0),
            LiquidBy::Weighed { .. } => None,
        };
        let volume = self.run.row.value(RunColumn::LiquidVolume).or(stated);
        let weighed = [RunColumn::Liquid, RunColumn::LiquidGross];
        let weighed = weighed.iter().any(|c| self.run.row.value(*c).is_some());
        Some(match volume.filter(|_| !weighed) {
            Some(v) => format!("m_l = V ρ = {} mL × {} g/mL = {} g", n(v), n(m / v), n(m)),
            None => format!("m_l = {} g", n(m)),
        })
    }

    fn change(&self) -> Vec<String> {
        let dt = self.run.seen.change.0;
        let row = |c| self.run.row.value(c);
        let how = match (
            &self.run.record,
            row(RunColumn::Initial),
            row(RunColumn::Final),
        ) {
            (Some(r), ..) => {
                let lines = r.lines();
                let mut all: Vec<String> = lines
                    .iter()
                    .zip(["before", "after"])
                    .map(|(l, name)| {
                        format!(
                            "line {name}: T = {} °C + ({} K/s) t",
                            n(l.at_mixing.0),
                            n(l.slope)
                        )
                    })
                    .collect();
                let moment = match r.moment.is_finite() && r.moment != 0.0 {
                    true => format!(" at t = {} s", n(r.moment)),
                    false => String::new(),
                };
                all.push(format!(
                    "ΔT ({}{moment}) = {} K",
                    r.reduction.way().title(),
                    n(dt)
                ));
                return all;
            }
            (None, Some(a), Some(b)) if row(RunColumn::Change).is_none() => {
                format!("ΔT = {} − {} = {} K", n(b), n(a), n(dt))
            }
            _ => format!("ΔT = {} K", n(dt)),
        };
        vec![how]
    }

    /// `n` of what an amount is taken from.
    pub(super) fn amount(&self, by: AmountBy, symbol: &str, value: f64) -> String {
        let (t, r) = (self.tables(), &self.run.seen);
        match by {
            AmountBy::Solid => format!(
                "{symbol} = m w / M = {} × {} / {} = {} mol",
                n(r.solid.0),
                n(t.purity),
                n(t.molar_mass.0),
                n(value)
            ),
            AmountBy::Portion {
                concentration,
                density,
            } => format!(
                "{symbol} = c m_p / ρ = {} mol/L × {} g / {} g/mL / 1000 = {} mol",
                n(concentration.0),
                n(r.portion.0),
                n(density.0),
                n(value)
            ),
            AmountBy::Liquid {
                concentration,
                density,
            } => format!(
                "{symbol} = c m_l / ρ = {} mol/L × {} g / {} g/mL / 1000 = {} mol",
                n(concentration.0),
                n(r.liquid.0),
                n(density.0),
                n(value)
            ),
            AmountBy::Stock {
                molar_mass,
                purity,
                flask,
                density,
            } => format!(
                "{symbol} = m w / M × V / V_flask = {} × {} / {} × ({} / {}) / {} = {} mol",
                n(r.reagent.0),
                n(purity),
                n(molar_mass.0),
                n(r.liquid.0),
                n(density.0),
                n(flask.0),
                n(value)
            ),
            AmountBy::Weighed { molar_mass, purity } => format!(
                "{symbol} = m w / M = {} × {} / {} = {} mol",
                n(r.reagent.0),
                n(purity),
                n(molar_mass.0),
                n(value)
            ),
        }
    }

    /// Heat capacity of the contents.
    pub(super) fn contents(&self) -> String {
        let (t, r) = (self.tables(), &self.run.seen);
        let plain =
            t.reckoning.solid_in_mass && !t.reckoning.water_heat && t.charge == AmountBy::Solid;
        let value = n(t.contents(r).0);
        if !plain {
            return format!("C_contents = {value} J/K");
        }
        let portion = match r.portion.0 {
            0.0 => String::new(),
            m => format!(" + {} × {}", n(m), n(t.portion_heat.0)),
        };
        format!(
            "C_contents = m_l c_l{} + m c_s = {} × {}{portion} + {} × {} = {value} J/K",
            if portion.is_empty() { "" } else { " + m_p c_p" },
            n(r.liquid.0),
            n(t.liquid_heat.0),
            n(r.solid.0),
            signed(t.solute_heat.0)
        )
    }

    fn determination(&self, result: f64, all: &mut Vec<String>) {
        let (t, r, m) = (self.tables(), &self.run.seen, self.method);
        let constant = self.e.evaluation.constant;
        let counts = m.contents == Contents::Swapped || m.assumed_vessel.is_some();
        let mut capacity = constant;
        if counts {
            all.push(self.contents());
            capacity += t.contents(r).0;
            all.push(format!(
                "C_sys = C + C_contents = {} + {} = {} J/K",
                n(constant),
                n(t.contents(r).0),
                n(capacity)
            ));
        }
        let symbol = if counts { "C_sys" } else { "C" };
        let heat = capacity * r.change.0;
        all.push(format!(
            "q = {symbol} ΔT = {} × {} = {} J",
            n(capacity),
            signed(r.change.0),
            n(heat)
        ));
        let amount = t.named(r).0;
        all.push(self.amount(t.named_by(), "n", amount));
        let side = t.side_heat.0 + r.heat.0;
        let first = -(heat - side) / amount;
        let heat = match side == 0.0 {
            true => n(heat),
            false => format!("{} − {}", n(heat), signed(side)),
        };
        all.push(format!(
            "ΔH = −q / n = −({heat}) / {} = {} J/mol at {} °C and this dilution",
            n(amount),
            n(first),
            n(t.table_temperature(r).0)
        ));
        let direct = m.enthalpy(t, JoulePerKelvin(constant), r).0;
        if (direct - first).abs() > 1e-9 * first.abs() {
            self.to_the_tabulated_state((first, result), all);
        }
    }
}
