//! A validated scenario: the numbers of the procedure, and each source bound to its distribution.

use super::build::read_in;
use super::cautions::Caution;
use super::document::{Document, Raw};
use super::facts::LiquidFacts;
use super::leg::{Binding, Leg};
use super::problem::{Problem, Problems};
use super::source::{SOURCES, Source, SourceId};
use crate::library::Library;
use crate::quantity::{Celsius, Currency, Gram, JoulePerKelvin, JoulePerMole, Second};
use std::ops::Range;
use std::sync::Arc;

/// A whole experiment as its procedure states it.
#[derive(Debug, Clone)]
pub struct Scenario {
    /// One line.
    pub title: String,
    /// A few sentences.
    pub summary: String,
    /// Hash of the text and of what was changed in it, for the record.
    pub digest: String,
    /// What is asked of the result.
    pub target: Target,
    /// The room.
    pub room: Room,
    /// Water, as tabulated: rinse water, and what a lab may use for everything.
    pub water: LiquidFacts,
    /// Calibration runs.
    pub calibration: Leg,
    /// Determinations.
    pub determination: Leg,
    /// Further determinations by name, which a cycle combines with it.
    pub further: Vec<Leg>,
    /// How the determinations make one result.
    pub cycle: Cycle,
    /// How the lab evaluates.
    pub lab: Lab,
    /// When a run is repeated.
    pub repeat: RepeatRule,
    /// What runs take, as far as it is stated.
    pub times: Times,
    /// What files of measured runs call columns (by their keys) and legs (by their names), in the order of the keys.
    pub columns: Vec<(String, String)>,
    /// Mistakes of its own: name, changes of its keys, and where those stand in the text.
    pub slips: Vec<(String, String, Option<Range<usize>>)>,
    /// What was read.
    pub text: String,
    /// What was changed in it, in this order.
    pub changes: Vec<(String, Raw)>,
    /// The library that it was read in, without the scenario's own tables.
    pub library: Arc<Library>,
    /// What can hurt in this procedure.
    pub cautions: Vec<Caution>,
    /// What its author should know.
    pub warnings: Vec<Problem>,
}

impl Scenario {
    /// All legs, calibration first.
    pub fn legs(&self) -> Vec<&Leg> {
        let mut legs = vec![&self.calibration, &self.determination];
        legs.extend(&self.further);
        legs
    }

    /// All legs to be changed, calibration first.
    pub fn legs_mut(&mut self) -> Vec<&mut Leg> {
        let mut legs = vec![&mut self.calibration, &mut self.determination];
        legs.extend(&mut self.further);
        legs
    }

    /// All bindings that err, each with its leg and its source: those of all legs that are run, and an
    /// enthalpy that is known from elsewhere.
    pub(super) fn erring(&self) -> Vec<(&str, &'static Source, &Binding)> {
        let mut all = Vec::new();
        for leg in self.legs() {
            for source in SOURCES.iter().filter(|s| leg.errs(s.id)) {
                let own = leg.all_bindings(source.id).into_iter();
                all.extend(own.map(|b| (leg.name.as_str(), source, b)));
            }
        }
        let known = self.cycle.known.iter();
        all.extend(known.map(|(_, b)| ("cycle", SourceId::Known.source(), b)));
        all
    }

    /// The fewest degrees of freedom of all errors that are bound to a source and act. With two or fewer a
    /// result has no standard deviation, only intervals; with four or fewer its standard deviation has no
    /// standard error. Infinite where no error is a Student t.
    pub fn fewest_dof(&self) -> f64 {
        let all = self.erring().into_iter().map(|(.., b)| b.input.dist.dof());
        all.fold(f64::INFINITY, f64::min)
    }

    /// The determinations, leg by leg.
    pub fn determinations(&self) -> impl Iterator<Item = &Leg> {
        std::iter::once(&self.determination).chain(&self.further)
    }

    /// The tabulated value of the result, without any shift of the medium.
    pub fn tabulated(&self) -> JoulePerMole {
        let legs = self.determinations().zip(&self.cycle.coefficients);
        let own = legs.map(|(leg, c)| leg.accepted_at(self.target.quote_at).0 * c);
        let known = self
            .cycle
            .known
            .as_ref()
            .map_or(0.0, |(c, b)| c * b.input.ideal);
        JoulePerMole(own.sum::<f64>() + known)
    }

    /// Its standard uncertainty: that of the tabulated enthalpies, taken as independent.
    pub fn tabulated_u(&self) -> JoulePerMole {
        let legs = self.determinations().zip(&self.cycle.coefficients);
        let own = legs.map(|(leg, c)| {
            let u = c * leg.reaction.enthalpy_u.0 / leg.nu();
            u * u
        });
        let known = self.cycle.known.as_ref().map_or(0.0, |(c, b)| {
            let u = c * b.input.dist.standard_uncertainty();
            u * u
        });
        JoulePerMole((own.sum::<f64>() + known).sqrt())
    }

    /// Standard uncertainty of the difference of what a group reports, with this spread, from the tabulated value:
    /// `u² = s² + u_acc² - 2 cov`, where a table of heats of dilution that carried both to one state makes
    /// `cov = Σ c_i c_j u_0i u_j / (ν_i ν_j)` over the legs that it serves; all else is independent.
    pub fn compared_u(&self, spread: JoulePerMole) -> JoulePerMole {
        let legs: Vec<_> = self
            .determinations()
            .zip(&self.cycle.coefficients)
            .collect();
        let mut shared = 0.0;
        for &(one, c) in &legs {
            let table = &one.reaction.dilution;
            let same = |other: &Leg| other.reaction.dilution.name() == table.name();
            for &(other, d) in legs.iter().filter(|(other, _)| same(other)) {
                let m = other.nominal_molality(&self.room);
                let planned = other.reaction.dilution.u_from_state(m).0;
                let drawn = other
                    .binding(SourceId::DilutionError)
                    .input
                    .dist
                    .standard_uncertainty();
                if planned > 0.0 {
                    shared +=
                        c * d * table.covariance(&other.reaction.dilution, m) * (drawn / planned)
                            / (one.nu() * other.nu());
                }
            }
        }
        let u = self.tabulated_u().0;
        let variance = spread.0 * spread.0 + u * u - 2.0 * shared;
        JoulePerMole(if variance < 0.0 { 0.0 } else { variance.sqrt() })
    }

    /// Whether a source, as this scenario has it, can only go one way in each leg in which it errs.
    pub fn is_one_sided(&self, id: SourceId) -> bool {
        let legs = self.legs().into_iter().filter(|leg| leg.errs(id));
        let all = legs.flat_map(|leg| leg.all_bindings(id));
        let mut erring = all.filter(|b| !b.input.is_exact()).peekable();
        erring.peek().is_some() && erring.all(Binding::is_one_sided)
    }

    /// Whether several determinations make the result.
    pub fn is_cycle(&self) -> bool {
        !self.further.is_empty() || self.cycle.known.is_some()
    }

    /// The same scenario with some of its keys replaced, read in the same library; what was changed in it
    /// before stays changed.
    ///
    /// # Errors
    /// All problems of the changed scenario, if any of them is an error.
    pub fn changed(&self, changes: &[(String, Raw)]) -> Result<Self, Problems> {
        let all = [self.changes.as_slice(), changes].concat();
        read_in(&self.text, &all, &self.library)
    }

    /// Its keys by path, as written and as changed.
    pub fn document(&self) -> Document {
        let mut doc = Document::read(&self.text);
        for (path, raw) in &self.changes {
            doc.set(path, raw.clone());
        }
        doc
    }
}

/// A combination of determinations: `sum of coefficient x leg + coefficient x known`.
#[derive(Debug, Clone)]
pub struct Cycle {
    /// As written; empty if the determination is the result.
    pub text: String,
    /// Coefficients of the determination and of the further legs, in their order.
    pub coefficients: Vec<f64>,
    /// Coefficient of an enthalpy that is known from elsewhere, and that enthalpy.
    pub known: Option<(f64, Binding)>,
}

/// What is asked of the result.
#[derive(Debug, Clone, Copy)]
pub struct Target {
    /// Half-width of the fair band, relative to the accepted value.
    pub band: Option<f64>,
    /// Relative spread that the procedure should reach.
    pub uncertainty: Option<f64>,
    /// Temperature that the result is quoted at.
    pub quote_at: Celsius,
    /// Fewest steps of the display, or widths of its noise, that a change of temperature should have.
    pub display_steps: f64,
}

/// Steps of the display, unless a scenario says otherwise: then the last digit alone makes 2 % at most.
pub(super) const USUAL_STEPS: f64 = 20.0;

/// The room as the procedure states it.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// Temperature that the lab looks tables up at.
    pub temperature: Celsius,
}

/// How solid that is left over is looked for at the end of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Inspection {
    /// Nobody looks.
    None,
    /// Noticed in 5 % of cases at the first mass, in 95 % at the second.
    Logistic {
        /// 5 %.
        just_visible: Gram,
        /// 95 %.
        surely_visible: Gram,
    },
    /// `1 - exp(-m / scale)`.
    Exponential {
        /// Scale.
        scale: Gram,
    },
    /// From this mass on.
    Step {
        /// Threshold.
        from: Gram,
    },
}

/// What is done about a run whose residue is noticed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RepeatRule {
    /// How often a run may be repeated.
    pub most: u32,
    /// Whether a last run with noticed residue is dropped instead of accepted.
    pub drop: bool,
}

/// What a session and its runs take, as far as it is stated.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Times {
    /// Length of the session.
    pub session: Option<Second>,
    /// Before the first run.
    pub set_up: Option<Second>,
    /// One run with cleaning: calibration, determination.
    pub run: [Option<Second>; 2],
    /// Material of one run, in the scenario's currency: calibration, determination.
    pub price: [Option<f64>; 2],
    /// That currency, if it is named.
    pub currency: Option<Currency>,
}

impl Times {
    /// What prices are stated in.
    pub fn money(&self) -> String {
        self.currency
            .map_or_else(|| "money".to_owned(), |c| c.to_string())
    }
}

/// How the lab treats the contents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contents {
    /// Alike in both kinds of run.
    Same,
    /// Exchanged by tabulated heat capacities.
    Swapped,
}

/// Which mass of solid the lab computes with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MassUsed {
    /// The difference of its weighings.
    Recorded,
    /// The target of the procedure.
    Nominal,
}

/// Where run and reading effects of the linear budget come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RunEffects {
    /// The instruments' statements.
    Stated,
    /// The observed scatter.
    Scatter,
}

/// How the lab evaluates.
#[derive(Debug, Clone, Copy)]
pub struct Lab {
    /// Contents.
    pub contents: Contents,
    /// Mass.
    pub mass: MassUsed,
    /// Whether masses are corrected for buoyancy.
    pub corrects_buoyancy: bool,
    /// Whether the reference enthalpy is taken at the mixing temperature.
    pub reference_slope: bool,
    /// Whether the result is brought to the quoted temperature.
    pub result_slope: bool,
    /// Run effects of the linear budget.
    pub run_effects: RunEffects,
    /// Whether tabulated values are taken half-way through the change instead of at mixing.
    pub mean_temperature: bool,
    /// Whether the solid counts in the mass of the contents.
    pub solid_in_mass: bool,
    /// Whether water's specific heat capacity serves for all contents.
    pub water_heat: bool,
    /// Whether millilitres are taken as grams.
    pub volume_as_mass: bool,
    /// Whether stated side heats are subtracted.
    pub subtracts_side_heats: bool,
    /// Heat capacity of the vessel that is assumed where nothing calibrates it; `None` where a
    /// calibration finds it.
    pub assumed_vessel: Option<JoulePerKelvin>,
}
