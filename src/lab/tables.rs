//! Tabulated values and labels of one leg, and what the lab reckons from them.

use super::evaluate::RunSeen;
use crate::quantity::{
    Celsius, Gram, GramPerMillilitre, GramPerMole, Joule, JoulePerGramKelvin, JoulePerKelvin,
    JoulePerMole, JoulePerMoleKelvin, Millilitre, Mole, MolePerLitre,
};
use crate::scenario::{Charge, DilutionHeat, Heat, Heater, Leg, Per, Scenario, SourceId, Supply};

/// Tabulated values and labels of one leg.
#[derive(Debug, Clone)]
pub struct LegTables {
    /// What makes the heat.
    pub kind: HeatKind,
    /// Enthalpy in the tabulated state (of the reference), of the charge as it enters.
    pub enthalpy: JoulePerMole,
    /// Temperature of the table.
    pub at: Celsius,
    /// Slope.
    pub slope: JoulePerMoleKelvin,
    /// Molar mass of the charge's substance.
    pub molar_mass: GramPerMole,
    /// Purity of the label.
    pub purity: f64,
    /// What the charge is weighed or measured as.
    pub charge: AmountBy,
    /// What the named reagent is weighed or measured as, if it is another one than the charge.
    pub named: Option<AmountBy>,
    /// Moles of the named reagent for a mole of the charge.
    pub nu: f64,
    /// Specific heat capacity of the liquid.
    pub liquid_heat: JoulePerGramKelvin,
    /// Specific heat capacity of the portion.
    pub portion_heat: JoulePerGramKelvin,
    /// Specific heat capacity of water, for a lab that uses it for everything.
    pub water_heat: JoulePerGramKelvin,
    /// What a gram of dissolved solid adds.
    pub solute_heat: JoulePerGramKelvin,
    /// Side heats that the lab takes into account.
    pub side_heat: Joule,
    /// Heat of dilution.
    pub dilution: DilutionHeat,
    /// What is added to it; always 0 in the tables, and there so that the evaluation can be differentiated with respect to
    /// it.
    pub dilution_error: JoulePerMole,
    /// How the heat capacity of the contents is reckoned.
    pub reckoning: Reckoning,
}

/// What makes the heat of a leg, as the lab reckons it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatKind {
    /// A reaction.
    Reaction,
    /// A heater with these readings of its meters.
    Electrical(Heater),
    /// Hot water.
    HotWater,
}

/// What the lab takes an amount of substance from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AmountBy {
    /// The weighed solid of the charge.
    Solid,
    /// The volume of the portion and the concentration on its label.
    Portion {
        /// Label.
        concentration: MolePerLitre,
        /// Density, to come from mass to volume.
        density: GramPerMillilitre,
    },
    /// The volume of the vessel's liquid and its concentration.
    Liquid {
        /// Label.
        concentration: MolePerLitre,
        /// Density.
        density: GramPerMillilitre,
    },
    /// An aliquot of a stock: weighed solid, flask, volume of the aliquot.
    Stock {
        /// Molar mass.
        molar_mass: GramPerMole,
        /// Label.
        purity: f64,
        /// Nominal volume of the flask.
        flask: Millilitre,
        /// Density.
        density: GramPerMillilitre,
    },
    /// Another weighed solid.
    Weighed {
        /// Molar mass.
        molar_mass: GramPerMole,
        /// Label.
        purity: f64,
    },
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

impl LegTables {
    /// The tables of a leg as the lab of a scenario has them.
    pub fn of(scenario: &Scenario, leg: &Leg) -> Self {
        let r = &leg.reaction;
        let t = scenario.room.temperature;
        let density = leg.liquid.density_at(t);
        let side = |id| Joule(leg.binding(id).input.ideal);
        let named = match leg.per {
            Per::Charge => None,
            Per::Reagent(at) => Some(match &leg.reagents[at].supply {
                Supply::InLiquid { concentration, .. } => AmountBy::Liquid {
                    concentration: *concentration,
                    density,
                },
                Supply::InStock(s) => AmountBy::Stock {
                    molar_mass: s.solid.molar_mass,
                    purity: s.solid.label_purity,
                    flask: s.volume,
                    density,
                },
                Supply::Weighed(w) => AmountBy::Weighed {
                    molar_mass: w.solid.molar_mass,
                    purity: w.solid.label_purity,
                },
            }),
        };
        Self {
            kind: match leg.heat {
                Heat::Reaction => HeatKind::Reaction,
                Heat::Electrical(h) => HeatKind::Electrical(h),
                Heat::HotWater { .. } => HeatKind::HotWater,
            },
            enthalpy: leg.charge_enthalpy(),
            at: r.at,
            slope: r.slope,
            molar_mass: r.molar_mass,
            purity: leg.label_purity,
            charge: match (leg.charge, &leg.portion) {
                (Charge::Liquid { concentration }, Some(p)) => AmountBy::Portion {
                    concentration,
                    density: p.liquid.density_at(t),
                },
                _ => AmountBy::Solid,
            },
            named,
            nu: leg.nu(),
            liquid_heat: leg.liquid.heat_capacity_at(t),
            portion_heat: match &leg.portion {
                Some(p) => p.liquid.heat_capacity_at(t),
                None => JoulePerGramKelvin(0.0),
            },
            water_heat: scenario.water.heat_capacity_at(t),
            solute_heat: r.solute_heat,
            side_heat: if scenario.lab.subtracts_side_heats {
                side(SourceId::SideDilution) + side(SourceId::SideWetting)
            } else {
                Joule(0.0)
            },
            dilution: r.dilution.clone(),
            dilution_error: JoulePerMole(0.0),
            reckoning: Reckoning {
                solid_in_mass: scenario.lab.solid_in_mass,
                water_heat: scenario.lab.water_heat,
                mean_temperature: scenario.lab.mean_temperature,
            },
        }
    }

    #[inline]
    pub(super) fn amount(&self, by: AmountBy, run: &RunSeen) -> Mole {
        match by {
            AmountBy::Solid => run.solid * self.purity / self.molar_mass,
            AmountBy::Portion {
                concentration,
                density,
            } => concentration * (run.portion / density),
            AmountBy::Liquid {
                concentration,
                density,
            } => concentration * (run.liquid / density),
            AmountBy::Stock {
                molar_mass,
                purity,
                flask,
                density,
            } => run.reagent * purity / molar_mass * (run.liquid / density / flask),
            AmountBy::Weighed { molar_mass, purity } => run.reagent * purity / molar_mass,
        }
    }

    /// Amount of the charge's substance.
    #[inline]
    pub(super) fn charged(&self, run: &RunSeen) -> Mole {
        self.amount(self.charge, run)
    }

    /// What that amount is taken from which the result is divided by.
    #[inline]
    pub fn named_by(&self) -> AmountBy {
        self.named.unwrap_or(self.charge)
    }

    /// Amount that the result is divided by.
    #[inline]
    pub fn named(&self, run: &RunSeen) -> Mole {
        self.amount(self.named_by(), run)
    }

    /// Heat of a calibration run, side heats included.
    #[inline]
    pub fn heat(&self, run: &RunSeen, with_slope: bool) -> Joule {
        match self.kind {
            HeatKind::Electrical(h) => h.voltage * h.current * h.time + self.side_heat,
            HeatKind::HotWater => {
                run.portion * self.specific(self.portion_heat) * (run.hot - run.mixing)
                    + self.side_heat
            }
            HeatKind::Reaction => {
                let mut enthalpy = self.enthalpy + self.diluted(run);
                if with_slope {
                    enthalpy = enthalpy + self.slope * (self.table_temperature(run) - self.at);
                }
                -(self.named(run) * (enthalpy / self.nu)) + self.side_heat
            }
        }
    }

    /// A specific heat capacity, or water's for a lab that uses it for everything.
    pub(super) fn specific(&self, own: JoulePerGramKelvin) -> JoulePerGramKelvin {
        if self.reckoning.water_heat {
            self.water_heat
        } else {
            own
        }
    }

    /// Heat capacity of the contents: `m_l c_l + m_p c_p + m_s c_s`, which is the mass of solution
    /// times its specific heat capacity; or water's specific heat capacity times that mass; without the
    /// mass of the solid, if the lab leaves it out. What comes as a liquid counts with its solution, and
    /// what its reaction changes, m_s c_s, with it.
    #[inline]
    pub fn contents(&self, run: &RunSeen) -> JoulePerKelvin {
        let liquids = run.liquid + run.portion;
        let (solid, substance) = match self.charge {
            AmountBy::Solid => (run.solid, run.solid),
            _ => (Gram(0.0), self.charged(run) * self.molar_mass),
        };
        let full = if self.reckoning.water_heat {
            (liquids + solid) * self.water_heat
        } else {
            run.liquid * self.liquid_heat
                + run.portion * self.portion_heat
                + substance * self.solute_heat
        };
        if self.reckoning.solid_in_mass {
            full
        } else {
            full * (liquids / (liquids + solid))
        }
    }

    /// Temperature at which tabulated values are taken.
    #[inline]
    pub fn table_temperature(&self, run: &RunSeen) -> Celsius {
        if self.reckoning.mean_temperature {
            run.mixing + run.change * 0.5
        } else {
            run.mixing
        }
    }

    /// Enthalpy of dilution from the tabulated state, per mole of the charge.
    #[inline]
    pub fn diluted(&self, run: &RunSeen) -> JoulePerMole {
        if self.dilution.is_empty() {
            return self.dilution_error;
        }
        self.dilution.from_state(self.molality(run)) + self.dilution_error
    }

    /// Molality of the charge's substance in the liquid, mol/kg.
    #[inline]
    pub fn molality(&self, run: &RunSeen) -> f64 {
        let liquid = run.liquid + run.portion + run.rinse;
        self.charged(run).0 / (liquid.0 * 1e-3)
    }
}
