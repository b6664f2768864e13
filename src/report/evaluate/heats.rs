//! Heats of one run, formula by formula: what calibrates, and what tables add.

use super::steps::{n, signed};
use super::walk::Walk;
use crate::lab::HeatKind;
use crate::measured::RunColumn;
use crate::scenario::Contents;

impl Walk<'_> {
    pub(super) fn calibration(&self, result: f64, all: &mut Vec<String>) {
        let (t, r) = (self.tables(), &self.run.seen);
        let heat = (t.heat(r, self.method.reference_slope) + r.heat).0;
        match t.kind {
            HeatKind::Reaction => {
                let amount = t.named(r).0;
                all.push(self.amount(t.named_by(), "n", amount));
                let h = -(heat - t.side_heat.0) / amount;
                self.reference(h, all);
                all.push(format!(
                    "Q = −n Δh{} = −{} × ({}){} = {} J",
                    if t.side_heat.0 == 0.0 {
                        ""
                    } else {
                        " + Q_side"
                    },
                    n(amount),
                    n(h),
                    if t.side_heat.0 == 0.0 {
                        String::new()
                    } else {
                        format!(" + {}", n(t.side_heat.0))
                    },
                    n(heat)
                ));
            }
            HeatKind::Electrical(h) => {
                let row = |c, stated: f64| n(self.run.row.value(c).unwrap_or(stated));
                all.push(format!(
                    "Q = U I t = {} V × {} A × {} s = {} J",
                    row(RunColumn::Voltage, h.voltage.0),
                    row(RunColumn::Current, h.current.0),
                    row(RunColumn::Time, h.time.0),
                    n(heat)
                ));
            }
            HeatKind::HotWater => all.push(format!(
                "Q = m' c' (T_hot − T_mix) = {} × {} × ({} − {}) = {} J",
                n(r.portion.0),
                n(t.portion_heat.0),
                n(r.hot.0),
                n(r.mixing.0),
                n(heat)
            )),
        }
        let system = heat / r.change.0;
        match self.method.contents {
            Contents::Same => all.push(format!(
                "C = Q / ΔT = {} / {} = {} J/K",
                n(heat),
                signed(r.change.0),
                n(result)
            )),
            Contents::Swapped => {
                all.push(format!(
                    "C_sys = Q / ΔT = {} / {} = {} J/K",
                    n(heat),
                    signed(r.change.0),
                    n(system)
                ));
                all.push(self.contents());
                all.push(format!(
                    "C = C_sys − C_contents = {} − {} = {} J/K",
                    n(system),
                    n(t.contents(r).0),
                    n(result)
                ));
            }
        }
    }

    /// The heat of dilution between this run and the tabulated state, per mole of the charge, if there is a table of it.
    fn dilution(&self, all: &mut Vec<String>) -> Option<f64> {
        let (t, r) = (self.tables(), &self.run.seen);
        if t.dilution.is_empty() {
            return None;
        }
        let (b, of_state) = (t.molality(r), t.dilution.at_state().0);
        let diluted = t.diluted(r).0;
        let [below, above] = t.dilution.around(b);
        all.push(format!(
            "b = n / m(liquid) = {} mol/kg; L, the heat of dilution from infinite dilution, goes linearly in √b from {} J/mol at {} \
             mol/kg to {} J/mol at {} mol/kg",
            n(b),
            n(below.1),
            n(below.0),
            n(above.1),
            n(above.0)
        ));
        all.push(format!(
            "Δh_dil = L(b) − L(tabulated state) = {} − {} = {} J/mol",
            n(diluted + of_state),
            signed(of_state),
            n(diluted)
        ));
        Some(diluted)
    }

    /// The enthalpy of the reference at the temperature and the dilution of this run, for a mole of what its amount counts.
    fn reference(&self, per_mole: f64, all: &mut Vec<String>) {
        let (t, r) = (self.tables(), &self.run.seen);
        let mut formula = format!("Δh = Δh({} °C)", n(t.at.0));
        let mut numbers = n(t.enthalpy.0);
        if self.method.reference_slope {
            formula += &format!(" + Δc_p (T − {} °C)", n(t.at.0));
            numbers += &format!(
                " + {} × ({} − {})",
                signed(t.slope.0),
                n(t.table_temperature(r).0),
                n(t.at.0)
            );
        }
        if let Some(diluted) = self.dilution(all) {
            formula += " + Δh_dil";
            numbers += &format!(" + {}", signed(diluted));
        }
        // Where it is looked up as it stands there is nothing to reckon.
        let equals = match formula.contains('+') {
            true => format!(" = {} J/mol", n(per_mole * t.nu)),
            false => " J/mol".to_owned(),
        };
        all.push(format!("{formula} = {numbers}{equals}"));
        if t.nu != 1.0 {
            all.push(format!(
                "for a mole of what n counts: Δh = {} / {} = {} J/mol",
                n(per_mole * t.nu),
                n(t.nu),
                n(per_mole)
            ));
        }
    }

    /// A molar enthalpy of this run, and the same at the quoted temperature and the tabulated dilution.
    pub(super) fn to_the_tabulated_state(
        &self,
        (first, result): (f64, f64),
        all: &mut Vec<String>,
    ) {
        let (t, r, m) = (self.tables(), &self.run.seen, self.method);
        let per = if t.nu == 1.0 { "" } else { "/ν" };
        let (mut formula, mut numbers) = ("ΔH".to_owned(), n(first));
        if m.result_slope {
            formula += &format!(" − Δc_p{per} (T − {} °C)", n(m.quote_at.0));
            numbers += &format!(
                " − {} × ({} − {})",
                signed(t.slope.0 / t.nu),
                n(t.table_temperature(r).0),
                n(m.quote_at.0)
            );
        }
        let dilution = self.dilution(all);
        if let Some(diluted) = dilution {
            formula += &format!(" − Δh_dil{per}");
            numbers += &format!(" − {}", signed(diluted / t.nu));
        }
        let state = match dilution {
            Some(_) => ", tabulated dilution",
            None => "",
        };
        all.push(format!(
            "ΔH({} °C{state}) = {formula} = {numbers} = {} J/mol",
            n(m.quote_at.0),
            n(result)
        ));
    }
}
