//! The evaluation differentiated with respect to what the lab puts into it.
//!
//! With N the amount that the result is divided by, K the heat capacity of the contents, L the heat of dilution, T the
//! temperature of the tables, the two steps of the evaluation and the chain rule between them,
//!
//! C = (Q + q) / Delta T - x - m_r c_w - K,        dC = (dQ + dq - (C_sys) d Delta T) / Delta T - dx - c_w dm_r - dK
//! H = -(S Delta T - q) / N - [Delta C_p (T - T_q) + L] / nu,
//!                      dH = -(dS Delta T + S d Delta T - dq) / N - (H_0 / N) dN - [d(Delta C_p (T - T_q)) + dL] / nu
//!
//! with S the capacity that the change of temperature is multiplied by and H_0 the first term of H: d result / d x =
//! (1 / n_cal) dC_i/dx * d result/dC for what enters a calibration run, (coefficient / n_det) dH_j/dx for what enters a
//! determination. Tests hold them against differences of the evaluation.

use super::evaluate::{Method, RunSeen, Values};
use super::page::{ENTRIES, Entry, LegPages, Pages};
use super::table_entry::{TABLE_ENTRIES, TableEntry};
use super::tables::{AmountBy, HeatKind, LegTables};
use crate::quantity::{Gram, GramPerMole, JoulePerKelvin, MolePerLitre};
use crate::random::{BLOCK, Column};
use crate::scenario::Contents;

/// Which derivatives somebody asks for.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// Of the pages.
    pub entries: Vec<Entry>,
    /// Of the tables.
    pub tables: Vec<TableEntry>,
}

/// Derivatives of one step of the evaluation for one run.
#[derive(Debug, Clone, Default)]
struct Slopes {
    run: [f64; ENTRIES],
    tables: [f64; TABLE_ENTRIES],
}

impl Slopes {
    #[inline]
    fn run(&mut self, entry: Entry, d: f64) {
        self.run[entry as usize] += d;
    }

    #[inline]
    fn table(&mut self, entry: TableEntry, d: f64) {
        self.tables[entry as usize] += d;
    }

    /// `f` times the derivatives of an amount.
    #[inline]
    fn amount(&mut self, f: f64, t: &LegTables, by: AmountBy, run: &RunSeen) {
        use TableEntry as T;
        let all = f * t.amount(by, run).0;
        match by {
            AmountBy::Solid => {
                self.run(Entry::Solid, f * t.purity / t.molar_mass.0);
                self.table(T::Purity, f * (run.solid / t.molar_mass).0);
                self.table(T::MolarMass, -all / t.molar_mass.0);
            }
            AmountBy::Portion {
                concentration,
                density,
            } => {
                let volume = run.portion / density;
                let per = concentration * (Gram(1.0) / density);
                self.run(Entry::Portion, f * per.0);
                self.table(T::PortionConcentration, f * (MolePerLitre(1.0) * volume).0);
            }
            AmountBy::Liquid {
                concentration,
                density,
            } => {
                let volume = run.liquid / density;
                let per = concentration * (Gram(1.0) / density);
                self.run(Entry::Liquid, f * per.0);
                self.table(T::LiquidConcentration, f * (MolePerLitre(1.0) * volume).0);
            }
            AmountBy::Stock {
                molar_mass,
                purity,
                flask,
                ..
            } => {
                self.weighed(all, (molar_mass, purity), run);
                self.run(Entry::Liquid, all / run.liquid.0);
                self.table(T::Flask, -all / flask.0);
            }
            AmountBy::Weighed { molar_mass, purity } => {
                self.weighed(all, (molar_mass, purity), run);
            }
        }
    }

    fn weighed(&mut self, all: f64, (molar_mass, purity): (GramPerMole, f64), run: &RunSeen) {
        self.run(Entry::Reagent, all / run.reagent.0);
        self.table(TableEntry::ReagentPurity, all / purity);
        self.table(TableEntry::ReagentMolarMass, -all / molar_mass.0);
    }

    /// `f` times the derivatives of the heat capacity of the contents.
    #[inline]
    fn contents(&mut self, f: f64, t: &LegTables, run: &RunSeen) {
        use TableEntry as T;
        let liquids = (run.liquid + run.portion).0;
        let by_solid = t.charge == AmountBy::Solid;
        let solid = if by_solid { run.solid.0 } else { 0.0 };
        let mass = liquids + solid;
        let mut share = 1.0;
        if !t.reckoning.solid_in_mass {
            // K = full liquids / mass.
            share = liquids / mass;
            let full = t.contents(run).0 / share;
            let per_liquid = f * full * solid / (mass * mass);
            self.run(Entry::Liquid, per_liquid);
            self.run(Entry::Portion, per_liquid);
            if by_solid {
                self.run(Entry::Solid, -f * full * liquids / (mass * mass));
            }
        }
        let f = f * share;
        if t.reckoning.water_heat {
            let heat = f * t.water_heat.0;
            self.run(Entry::Liquid, heat);
            self.run(Entry::Portion, heat);
            if by_solid {
                self.run(Entry::Solid, heat);
            }
            self.table(T::WaterHeat, f * mass);
            return;
        }
        self.run(Entry::Liquid, f * t.liquid_heat.0);
        self.run(Entry::Portion, f * t.portion_heat.0);
        self.table(T::LiquidHeat, f * run.liquid.0);
        self.table(T::PortionHeat, f * run.portion.0);
        let heat = f * t.solute_heat.0;
        if by_solid {
            self.run(Entry::Solid, heat);
            self.table(T::SoluteHeat, f * run.solid.0);
        } else {
            let amount = t.charged(run).0;
            self.amount(heat * t.molar_mass.0, t, t.charge, run);
            self.table(T::MolarMass, heat * amount);
            self.table(T::SoluteHeat, f * amount * t.molar_mass.0);
        }
    }

    /// `f` times the derivatives of the heat of dilution.
    #[inline]
    fn diluted(&mut self, f: f64, t: &LegTables, run: &RunSeen) {
        self.table(TableEntry::Dilution, f);
        if t.dilution.is_empty() {
            return;
        }
        let kilograms = (run.liquid + run.portion + run.rinse).0 * 1e-3;
        let molality = t.charged(run).0 / kilograms;
        let slope = f * t.dilution.slope(molality);
        self.amount(slope / kilograms, t, t.charge, run);
        let per_gram = -slope * molality / (kilograms * 1e3);
        for entry in [Entry::Liquid, Entry::Portion, Entry::Rinse] {
            self.run(entry, per_gram);
        }
    }

    /// `f` times the derivatives of the temperature of the tables.
    #[inline]
    fn table_temperature(&mut self, f: f64, t: &LegTables) {
        self.run(Entry::Mixing, f);
        if t.reckoning.mean_temperature {
            self.run(Entry::Change, 0.5 * f);
        }
    }

    /// `f` times the derivatives of the heat of a calibration run.
    #[inline]
    fn heat(&mut self, f: f64, t: &LegTables, run: &RunSeen, with_slope: bool) {
        use TableEntry as T;
        self.table(T::SideHeat, f);
        match t.kind {
            HeatKind::Electrical(h) => {
                let (v, i, s) = (h.voltage.0, h.current.0, h.time.0);
                self.table(T::Voltage, f * i * s);
                self.table(T::Current, f * v * s);
                self.table(T::HeatingTime, f * v * i);
            }
            HeatKind::HotWater => {
                let heat = t.specific(t.portion_heat).0;
                let warmer = (run.hot - run.mixing).0;
                self.run(Entry::Portion, f * heat * warmer);
                self.run(Entry::Hot, f * heat * run.portion.0);
                self.run(Entry::Mixing, -f * heat * run.portion.0);
                let entry = if t.reckoning.water_heat {
                    T::WaterHeat
                } else {
                    T::PortionHeat
                };
                self.table(entry, f * run.portion.0 * warmer);
            }
            HeatKind::Reaction => {
                let warmer = (t.table_temperature(run) - t.at).0;
                let mut enthalpy = t.enthalpy.0 + t.diluted(run).0;
                let by = -f * t.named(run).0 / t.nu;
                if with_slope {
                    enthalpy += t.slope.0 * warmer;
                    self.table(T::Slope, by * warmer);
                    self.table_temperature(by * t.slope.0, t);
                }
                self.table(T::Enthalpy, by);
                self.diluted(by, t, run);
                self.amount(-f * enthalpy / t.nu, t, t.named_by(), run);
            }
        }
    }
}

impl Method {
    /// Derivatives of the constant of one calibration run.
    #[inline]
    fn constant_slopes(&self, t: &LegTables, run: &RunSeen) -> Slopes {
        let mut s = Slopes::default();
        let per = 1.0 / run.change.0;
        let system = (t.heat(run, self.reference_slope) + run.heat).0 * per;
        s.heat(per, t, run, self.reference_slope);
        s.run(Entry::Heat, per);
        s.run(Entry::Change, -system * per);
        s.run(Entry::Extra, -1.0);
        s.run(Entry::Rinse, -t.water_heat.0);
        s.table(TableEntry::WaterHeat, -run.rinse.0);
        if self.contents == Contents::Swapped {
            s.contents(-1.0, t, run);
        }
        s
    }

    /// Derivatives of the molar enthalpy of one determination.
    #[inline]
    fn enthalpy_slopes(&self, t: &LegTables, constant: JoulePerKelvin, run: &RunSeen) -> Slopes {
        let mut s = Slopes::default();
        let capacity = self.capacity(t, constant, run);
        let beside = t.side_heat + run.heat;
        let amount = t.named(run).0;
        let per = 1.0 / amount;
        let by_capacity = -run.change.0 * per;
        s.run(Entry::Extra, by_capacity);
        s.run(Entry::Rinse, by_capacity * t.water_heat.0);
        s.table(TableEntry::WaterHeat, by_capacity * run.rinse.0);
        if self.counts_contents() {
            s.contents(by_capacity, t, run);
        }
        s.run(Entry::Change, -capacity.0 * per);
        s.run(Entry::Heat, per);
        s.table(TableEntry::SideHeat, per);
        let first = -(capacity * run.change - beside).0 * per;
        s.amount(-first * per, t, t.named_by(), run);
        if self.result_slope {
            let warmer = (t.table_temperature(run) - self.quote_at).0;
            s.table(TableEntry::Slope, -warmer / t.nu);
            s.table_temperature(-t.slope.0 / t.nu, t);
        }
        s.diluted(-1.0 / t.nu, t, run);
        s
    }
}

/// Derivatives of the result (J/mol) with respect to one leg's runs and tables, per unit of each; those that nobody
/// asked for are 0.
#[derive(Debug, Clone)]
pub struct LegGradient {
    /// By run and entry; a run that does not count has none.
    pub runs: Vec<Vec<Column<f64>>>,
    /// Of the tables.
    pub tables: Vec<Column<f64>>,
}

/// Derivatives of the result.
#[derive(Debug, Clone)]
pub struct Gradient {
    /// By leg, the calibration first.
    pub legs: Vec<LegGradient>,
    /// With respect to the mean constant, (J/mol) per (J/K).
    pub constant: Column<f64>,
}

/// Differentiates by what is wanted, leg by leg.
pub fn gradient(pages: &Pages, method: &Method, values: &Values, wanted: &[Wanted]) -> Gradient {
    let mut constant = Column::splat(0.0);
    for (leg, coefficient) in pages.legs[1..].iter().zip(&method.coefficients) {
        let per_run: Vec<Column<f64>> = leg
            .runs
            .iter()
            .map(|page| {
                Column::from_fn(|i| {
                    let run = page.run(i);
                    -(run.change.0 / leg.tables.named(&run).0)
                })
            })
            .collect();
        let mean = leg.mean_of(|r| &per_run[r]);
        for i in 0..BLOCK {
            constant[i] += coefficient * mean[i];
        }
    }
    let legs = pages.legs.iter().zip(wanted).enumerate();
    let legs = legs.map(|(at, (leg, wanted))| match at.checked_sub(1) {
        None => differentiate(leg, wanted, &constant, |t, run, _| {
            method.constant_slopes(t, run)
        }),
        Some(own) => {
            let outer = Column::splat(method.coefficients[own]);
            differentiate(leg, wanted, &outer, |t, run, i| {
                method.enthalpy_slopes(t, JoulePerKelvin(values.constant[i]), run)
            })
        }
    });
    Gradient {
        legs: legs.collect(),
        constant,
    }
}

/// Derivatives of `outer` times the mean of a step over the runs.
fn differentiate(
    leg: &LegPages,
    wanted: &Wanted,
    outer: &Column<f64>,
    step: impl Fn(&LegTables, &RunSeen, usize) -> Slopes,
) -> LegGradient {
    let zero = Column::splat(0.0);
    let mut tables = vec![zero.clone(); TABLE_ENTRIES];
    let n = leg.number();
    let mut runs = Vec::with_capacity(leg.runs.len());
    for page in &leg.runs {
        let mut own = vec![zero.clone(); ENTRIES];
        for i in 0..BLOCK {
            if page.counts[i] == 0.0 {
                continue;
            }
            let weight = outer[i] / n[i];
            let slopes = step(&leg.tables, &page.run(i), i);
            for entry in &wanted.entries {
                own[*entry as usize][i] = weight * slopes.run[*entry as usize];
            }
            for entry in &wanted.tables {
                tables[*entry as usize][i] += weight * slopes.tables[*entry as usize];
            }
        }
        runs.push(own);
    }
    LegGradient { runs, tables }
}

#[cfg(test)]
#[path = "gradient_tests.rs"]
mod tests;
