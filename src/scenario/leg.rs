//! One kind of run: a calibration or a determination, with each source bound to its distribution.

use super::checks_tables::same_reaction;
use super::chemistry::{Charge, Heat, LeftoverState, Per, Portion, Reagent, Supply};
use super::facts::{LiquidFacts, ReactionFacts};
use super::model::{Inspection, Room};
use super::record::{Record, ReductionMethod};
use super::source::{Scope, SourceId};
use super::wording::short;
use crate::quantity::{Gram, Millilitre, PerKelvin};
use crate::random::Dist;
use crate::random::{Column, Draws, Input, Name, Tag};

/// One source as a leg has it.
#[derive(Debug, Clone)]
pub struct Binding {
    /// Distribution and perfect value, in base units.
    pub input: Input,
    /// Whose draws they are: equal identities share.
    pub identity: Tag,
    /// Whose estimate its uncertainty is: what shares it has the degrees of freedom of one estimate together, however often
    /// it is drawn.
    pub estimate: Tag,
    /// What was stated, for budgets and for people.
    pub stated: String,
}

impl Binding {
    /// Whether what it errs by can only go one way from the perfect value: nearly all of its distribution lies on one side.
    pub fn is_one_sided(&self) -> bool {
        let below = self.input.dist.cdf(self.input.ideal);
        !self.input.is_exact() && !(ONE_SIDE..=1.0 - ONE_SIDE).contains(&below)
    }
}

/// A share of a distribution that counts as none of it.
const ONE_SIDE: f64 = 1e-6;

/// Which draw of a source.
#[derive(Debug, Clone, Copy, Default)]
pub struct At {
    /// Replicate, from 0.
    pub run: u32,
    /// Repeat of that replicate, from 0.
    pub attempt: u32,
    /// Reading within the run, from 0.
    pub reading: u32,
}

/// One kind of run: the calibration, or the determination.
#[derive(Debug, Clone)]
pub struct Leg {
    /// The table it stands in: `calibration`, `determination`, or `leg.` with a name.
    pub name: String,
    /// Its place: 0 for the calibration, 1 for the determination, then the further ones.
    pub place: u32,
    /// Where its heat comes from.
    pub heat: Heat,
    /// Number of runs.
    pub runs: u32,
    /// What reacts, as tabulated.
    pub reaction: ReactionFacts,
    /// What the result is stated per mole of.
    pub per: Per,
    /// How the reagent enters the vessel.
    pub charge: Charge,
    /// Liquid that enters with it.
    pub portion: Option<Portion>,
    /// Reagents that must not run out, as far as it is known how much of them there is.
    pub reagents: Vec<Reagent>,
    /// What has become of solid that is left over.
    pub leftover: LeftoverState,
    /// Chance that the charge is not released whole.
    pub incomplete_release: f64,
    /// Target mass of solid, their mean where each run has its own; 0 if the reagent comes as a liquid.
    pub mass: Gram,
    /// That of each run, where they differ; else empty.
    pub masses: Vec<Gram>,
    /// Mass of the weighing boat.
    pub boat: Gram,
    /// Purity the lab computes with, as a fraction.
    pub label_purity: f64,
    /// The liquid, as tabulated.
    pub liquid: LiquidFacts,
    /// How it gets into the vessel.
    pub liquid_by: LiquidBy,
    /// Law of dissolving.
    pub law: LawOfDissolving,
    /// What is recorded.
    pub record: Record,
    /// How it becomes one change of temperature.
    pub way: ReductionMethod,
    /// How solid that is left over is looked for.
    pub inspection: Inspection,
    /// Sources by [`SourceId`].
    pub bindings: Vec<Binding>,
    /// Balance sources of the balance that weighs the liquid, by [`SourceId`], if it is weighed.
    pub liquid_balance: Option<Vec<Binding>>,
}

impl Leg {
    /// For people.
    pub fn title(&self) -> &str {
        self.name.strip_prefix("leg.").unwrap_or(&self.name)
    }

    /// Whether it calibrates.
    pub fn calibrates(&self) -> bool {
        self.place == 0
    }

    /// What an error of the tabulated heat of dilution is unless stated: that of the table at the molality of a run as planned.
    pub(super) fn take_dilution_error(&mut self, room: &Room) {
        let u = self
            .reaction
            .dilution
            .u_from_state(self.nominal_molality(room));
        let binding = &mut self.bindings[SourceId::DilutionError as usize];
        if let (true, Ok(normal)) = (u.0 > 0.0, Dist::normal(0.0, u.0)) {
            binding.input = Input::error(normal);
            binding.stated = format!("u = {} J/mol at this molality", short(u.0));
        }
    }

    /// Nature has one true value of one reaction: a determination of the reaction that calibrates draws what the calibration
    /// draws, unless the scenario gives the two different values.
    pub(super) fn take_true_value(&mut self, reference: &Self) {
        let id = SourceId::ReactionEnthalpy;
        let (one, other) = (self.binding(id), reference.binding(id));
        if same_reaction(reference, self) && one.input.ideal == other.input.ideal {
            self.bindings[id as usize] = other.clone();
        }
    }

    /// The binding of a source.
    pub fn binding(&self, id: SourceId) -> &Binding {
        &self.bindings[id as usize]
    }

    /// All bindings of a source: the leg's own, and those of its portion, its further solids and the
    /// balance that weighs its liquid.
    pub fn all_bindings(&self, id: SourceId) -> Vec<&Binding> {
        let at = id as usize;
        let mut all = vec![&self.bindings[at]];
        all.extend(self.liquid_balance.as_ref().map(|b| &b[at]));
        all.extend(self.portion.as_ref().map(|p| &p.bindings[at]));
        for reagent in &self.reagents {
            match &reagent.supply {
                Supply::InLiquid {
                    source, binding, ..
                } if *source == id => all.push(binding),
                Supply::InLiquid { .. } => {}
                Supply::InStock(s) => all.push(&s.bindings[at]),
                Supply::Weighed(w) => all.push(&w.bindings[at]),
            }
        }
        all
    }

    /// Makes a source perfect in this leg alone.
    pub fn make_perfect(&mut self, id: SourceId) {
        let at = id as usize;
        let perfect = |b: &mut Binding| b.input = Input::exact(b.input.ideal);
        perfect(&mut self.bindings[at]);
        if let Some(b) = &mut self.liquid_balance {
            perfect(&mut b[at]);
        }
        if let Some(p) = &mut self.portion {
            perfect(&mut p.bindings[at]);
        }
        for reagent in &mut self.reagents {
            match &mut reagent.supply {
                Supply::InLiquid {
                    source, binding, ..
                } if *source == id => perfect(binding),
                Supply::InLiquid { .. } => {}
                Supply::InStock(s) => perfect(&mut s.bindings[at]),
                Supply::Weighed(w) => perfect(&mut w.bindings[at]),
            }
        }
    }

    /// Lets a source of the leg itself have this very value, without the knowledge of the lab.
    pub fn let_be(&mut self, id: SourceId, value: f64) {
        self.bindings[id as usize].input.dist = Dist::constant(value);
    }

    /// Whether a source errs in this leg.
    pub fn errs(&self, id: SourceId) -> bool {
        self.asks_for(id) && self.all_bindings(id).iter().any(|b| !b.input.is_exact())
    }

    /// Whether a source has anything to do in it at all, with an error or without.
    pub fn asks_for(&self, id: SourceId) -> bool {
        self.runs > 0
            && match id {
                SourceId::Release | SourceId::HeldBack => self.incomplete_release > 0.0,
                SourceId::Noticing => self.inspection != Inspection::None,
                SourceId::Disequilibrium => !matches!(self.heat, Heat::HotWater { .. }),
                _ if id.source().site() == "balance" => self.weighs(),
                _ => true,
            }
    }

    /// The draws of a source, taken as often as its scope says.
    pub fn draw<T: Copy + From<f64>>(&self, draws: &Draws, id: SourceId, at: At) -> Column<T> {
        draw_bound(self.binding(id), draws, id, at)
    }
}

/// Draws of a source of the scope of readings, in the unit of its binding, into a column that is there already.
pub fn draw_reading(binding: &Binding, draws: &Draws, id: SourceId, at: At, out: &mut Column<f64>) {
    let name = Name::run(id.source().tag(), binding.identity, at.run, at.attempt);
    draws.reading(name, at.reading, &binding.input, out);
}

/// The draws of a bound source; what its scope does not tell apart is shared.
pub fn draw_bound<T: Copy + From<f64>>(
    binding: &Binding,
    draws: &Draws,
    id: SourceId,
    at: At,
) -> Column<T> {
    let source = id.source();
    let once = Name::once(source.tag(), binding.identity);
    let run = Name::run(source.tag(), binding.identity, at.run, at.attempt);
    match source.scope {
        Scope::Course => draws.course(once, &binding.input),
        Scope::Group => draws.column(once, at.reading, &binding.input),
        Scope::Run | Scope::Reading => draws.column(run, at.reading, &binding.input),
    }
}

/// How the liquid gets into the vessel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LiquidBy {
    /// By a device of this total nominal volume, in this many fillings.
    Volume {
        /// Total nominal volume.
        nominal: Millilitre,
        /// Fillings of the device.
        fillings: u32,
        /// Cubic expansion of its glass.
        expansion: PerKelvin,
    },
    /// Weighed in, to about this mass.
    Weighed {
        /// Target mass.
        nominal: Gram,
    },
}

impl LiquidBy {
    /// Fillings of its device; none if it is weighed.
    pub fn fillings(self) -> u32 {
        match self {
            Self::Volume { fillings, .. } => fillings,
            Self::Weighed { .. } => 0,
        }
    }
}

/// Law of dissolving; its time is a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LawOfDissolving {
    /// At once.
    Instant,
    /// `s = 1 - exp(-t / time)`.
    FirstOrder,
    /// `s = 1 - (1 - t / time)^3`, complete at `time`.
    CubeRoot,
    /// `s = t / time`, complete at `time`: a heater of constant power.
    Steady,
}
