//! From a table of measured runs to the notebook that the lab evaluates.
//!
//! A mass is the indication, net or gross less tare, times the correction for buoyancy if the lab makes it; a volume times
//! the density of the liquid at the room's temperature of that run. `Delta T` is what is written, or final less initial, or
//! what the lab's reduction makes of the run's record. What is missing and is stated by the procedure stands in, and is told.

use super::record::{ReducedRecord, reduce};
use crate::experiment::{LIQUID, buoyancy_correction, reagent_density};
use crate::lab::{LegSeen, LegTables, Reduction, RunSeen, Seen};
use crate::measured::{Counts, FileProblem, MeasuredRecord, RunColumn, RunRow, RunSheet};
use crate::quantity::{Celsius, Gram, GramPerMillilitre, Joule, Kelvin};
use crate::scenario::{Charge, Heat, Leg, LiquidBy, MassUsed, Scenario};

/// A measured run that counts.
#[derive(Debug, Clone)]
pub struct NotedRun {
    /// What the table calls it.
    pub label: String,
    /// Its leg: 0 for the calibration.
    pub leg: usize,
    /// What is remarked of it.
    pub remark: Option<String>,
    /// What the lab computes with.
    pub seen: RunSeen,
    /// As it stands in the table, for the arithmetic.
    pub row: RunRow,
    /// Its record, if it has one.
    pub record: Option<ReducedRecord>,
}

/// A run that is in the table and not in the result.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    /// What the table calls it.
    pub label: String,
    /// Its leg.
    pub leg: usize,
    /// Why.
    pub why: Counts,
    /// What is remarked of it.
    pub remark: Option<String>,
}

/// Measured runs, ready to be evaluated.
#[derive(Debug, Clone)]
pub struct Measured {
    /// What the lab evaluates.
    pub seen: Seen,
    /// How the records are reduced, leg by leg and run by run.
    pub reductions: Vec<Vec<Reduction>>,
    /// Runs that count, leg by leg.
    pub runs: Vec<NotedRun>,
    /// Runs that do not.
    pub left_out: Vec<LeftOut>,
    /// What stood in for what is missing, and whatever else was assumed.
    pub notes: Vec<String>,
}

impl Measured {
    /// Of a table and the records that it names, in the order of its rows.
    ///
    /// # Errors
    /// All that is missing or cannot be, each with its place.
    pub fn new(
        scenario: &Scenario,
        sheet: &RunSheet,
        records: &[Option<MeasuredRecord>],
    ) -> Result<Self, Vec<FileProblem>> {
        let legs = scenario.legs();
        let mut of_legs: Vec<Vec<NotedRun>> = vec![Vec::new(); legs.len()];
        let (mut problems, mut left_out, mut stood_in) = (Vec::new(), Vec::new(), Vec::new());
        for (row, record) in sheet.rows.iter().zip(records) {
            if row.counts != Counts::Yes {
                left_out.push(LeftOut {
                    label: row.label.clone(),
                    leg: row.leg,
                    why: row.counts,
                    remark: row.remark.clone(),
                });
                continue;
            }
            let mut writer = Writer {
                scenario,
                leg: legs[row.leg],
                row,
                file: &sheet.file,
                problems: &mut problems,
                stood_in: &mut stood_in,
            };
            if let Some((seen, record)) = writer.run(record.as_ref()) {
                of_legs[row.leg].push(NotedRun {
                    label: row.label.clone(),
                    leg: row.leg,
                    remark: row.remark.clone(),
                    seen,
                    row: row.clone(),
                    record,
                });
            }
        }
        for (leg, runs) in legs.iter().zip(&of_legs) {
            // A leg without runs stands for a calibration that nobody does.
            if runs.is_empty() && leg.runs > 0 && problems.is_empty() {
                problems.push(FileProblem {
                    file: sheet.file.clone(),
                    line: None,
                    column: None,
                    message: format!("no run of the {} counts", leg.title()),
                    hint: Some("the column `kind` says which run is what".to_owned()),
                });
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let leg_seen = |at: usize| LegSeen {
            runs: of_legs[at].iter().map(|r| r.seen).collect(),
            tables: LegTables::of(scenario, legs[at]),
        };
        let reduction = |(leg, runs): (&&Leg, &Vec<NotedRun>)| {
            let usual = Reduction::of(leg);
            let each = runs.iter().map(|r| match &r.record {
                Some(record) => record.reduction.clone(),
                None => usual.clone(),
            });
            let all: Vec<Reduction> = each.collect();
            if all.is_empty() { vec![usual] } else { all }
        };
        let mut notes = sheet.notes.clone();
        notes.extend(folded(&stood_in));
        notes.extend(doubts(scenario, &of_legs));
        Ok(Self {
            seen: Seen {
                calibration: leg_seen(0),
                legs: (1..legs.len()).map(leg_seen).collect(),
            },
            reductions: legs.iter().zip(&of_legs).map(reduction).collect(),
            runs: of_legs.into_iter().flatten().collect(),
            left_out,
            notes,
        })
    }

    /// The same without some of its runs.
    pub(super) fn without(&self, dropped: impl Fn(&NotedRun) -> bool) -> Self {
        let mut own = self.clone();
        for (at, reductions) in own.reductions.iter_mut().enumerate() {
            let keeps: Vec<bool> = of_leg(&self.runs, at).map(|r| !dropped(r)).collect();
            let leg = match at.checked_sub(1) {
                None => &mut own.seen.calibration,
                Some(own_leg) => &mut own.seen.legs[own_leg],
            };
            let mut keep = keeps.iter();
            leg.runs.retain(|_| *keep.next().unwrap_or(&true));
            if reductions.len() == keeps.len() && keeps.contains(&true) {
                let mut keep = keeps.iter();
                reductions.retain(|_| *keep.next().unwrap_or(&true));
            }
        }
        own.runs.retain(|r| !dropped(r));
        own
    }
}

/// Runs of one leg.
pub fn of_leg(runs: &[NotedRun], leg: usize) -> impl Iterator<Item = &NotedRun> {
    runs.iter().filter(move |r| r.leg == leg)
}

/// What stood in, said once for all runs in which it did.
fn folded(stood_in: &[(String, String)]) -> Vec<String> {
    let mut all: Vec<(&str, Vec<&str>)> = Vec::new();
    for (what, run) in stood_in {
        match all.iter_mut().find(|(own, _)| own == what) {
            Some((_, runs)) => runs.push(run),
            None => all.push((what, vec![run])),
        }
    }
    let said = |(what, runs): (&str, Vec<&str>)| {
        let runs = match runs.as_slice() {
            [one] => format!("run {one}"),
            [first, .., last] if runs.len() > 3 => {
                format!("runs {first} to {last}, {} in all", runs.len())
            }
            several => format!("runs {}", several.join(", ")),
        };
        format!("{what} ({runs})")
    };
    all.into_iter().map(said).collect()
}

/// Numbers that are far from what the procedure plans: a wrong unit or column is likelier than such a run.
fn doubts(scenario: &Scenario, of_legs: &[Vec<NotedRun>]) -> Vec<String> {
    let mut notes = Vec::new();
    for (leg, runs) in scenario.legs().into_iter().zip(of_legs) {
        let due = leg.nominal_change(&scenario.room).0;
        for run in runs {
            let mut doubt = |what: &str, seen: f64, planned: f64, unit: &str| {
                let ratio = seen / planned;
                if planned != 0.0 && !(1.0 / 3.0..=3.0).contains(&ratio) {
                    notes.push(format!(
                        "run {}: {what} of {seen:.4} {unit} where the procedure plans {planned:.4} {unit}; check its unit, sign and column",
                        run.label
                    ));
                }
            };
            doubt("a solid", run.seen.solid.0, leg.mass.0, "g");
            let liquid = leg.nominal_liquid(&scenario.room).0;
            doubt("a liquid", run.seen.liquid.0, liquid, "g");
            doubt("a change of temperature", run.seen.change.0, due, "K");
        }
    }
    notes
}

struct Writer<'w> {
    scenario: &'w Scenario,
    leg: &'w Leg,
    row: &'w RunRow,
    file: &'w str,
    problems: &'w mut Vec<FileProblem>,
    stood_in: &'w mut Vec<(String, String)>,
}

impl Writer<'_> {
    fn value(&self, column: RunColumn) -> Option<f64> {
        self.row.value(column)
    }

    fn missing(&mut self, what: &str, hint: &str) {
        self.problems.push(FileProblem {
            file: self.file.to_owned(),
            line: Some(self.row.line),
            column: None,
            message: format!("run {}: {what} is missing", self.row.label),
            hint: Some(hint.to_owned()),
        });
    }

    fn stands_in(&mut self, what: String) {
        self.stood_in.push((what, self.row.label.clone()));
    }

    /// Net mass as indicated.
    fn net(&self, [gross, tare, net]: [RunColumn; 3]) -> Option<f64> {
        let difference = || Some(self.value(gross)? - self.value(tare)?);
        self.value(net).or_else(difference)
    }

    fn run(&mut self, record: Option<&MeasuredRecord>) -> Option<(RunSeen, Option<ReducedRecord>)> {
        use RunColumn as C;
        let problems = self.problems.len();
        let (scenario, leg) = (self.scenario, self.leg);
        let record = record.and_then(|r| {
            let at = self.value(C::MixedAt);
            match reduce(leg, r, at) {
                Ok(reduced) => Some(reduced),
                Err(mut found) => {
                    self.problems.append(&mut found);
                    None
                }
            }
        });
        let (change, mixing) = self.temperatures(record.as_ref());
        let seen = RunSeen {
            solid: self.solid(),
            liquid: self.liquid(),
            portion: self.portion(),
            reagent: self.reagent(),
            change: Kelvin(change),
            mixing: Celsius(mixing),
            hot: match leg.heat {
                Heat::HotWater { .. } => Celsius(self.value(C::Hot).unwrap_or_else(|| {
                    self.missing("the temperature of the hot water", "column `hot`, °C");
                    f64::NAN
                })),
                Heat::Reaction | Heat::Electrical(_) => Celsius(0.0),
            },
            weighed_at: record.as_ref().map_or(0.0, |r| r.weighed_at),
            heat: self.heat(),
            ..RunSeen::default()
        };
        let room = scenario.room.temperature.0;
        if !(mixing - room).abs().le(&60.0) && mixing.is_finite() {
            self.stands_in(format!(
                "a temperature of {mixing:.1} °C where the room is at {room:.1} °C: check its unit"
            ));
        }
        (self.problems.len() == problems).then_some((seen, record))
    }

    /// Change of temperature and temperature of mixing.
    fn temperatures(&mut self, record: Option<&ReducedRecord>) -> (f64, f64) {
        use RunColumn as C;
        let [initial, last] = [C::Initial, C::Final].map(|c| self.value(c));
        let written = self.value(C::Change).or(match (initial, last) {
            (Some(a), Some(b)) => Some(b - a),
            _ => None,
        });
        if let (Some(_), Some(_)) = (written, record) {
            self.stands_in(
                "both a record and a written change of temperature: the record counts".to_owned(),
            );
        }
        let change = record.map(|r| r.change).or(written).unwrap_or_else(|| {
            self.missing(
                "the change of temperature",
                "a column `change`, or `initial` and `final`, or the name of a `record`",
            );
            f64::NAN
        });
        if change == 0.0 {
            self.missing(
                "a change of temperature other than zero",
                "nothing can be divided by it",
            );
        }
        let mixing = self
            .value(C::Mixing)
            .or(record.map(|r| r.mixing))
            .or(initial);
        let mixing = mixing.or_else(|| self.value(C::Room)).unwrap_or_else(|| {
            let room = self.scenario.room.temperature.0;
            self.stands_in(format!(
                "no temperature of mixing: the procedure's {room:.1} °C is taken"
            ));
            room
        });
        (change, mixing)
    }

    fn solid(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        if leg.mass.0 <= 0.0 {
            return Gram(0.0);
        }
        if self.scenario.lab.mass == MassUsed::Nominal {
            self.stands_in(format!(
                "the lab computes with the nominal mass of {} g",
                leg.mass.0
            ));
            return leg.mass;
        }
        let factor = buoyancy_correction(self.scenario, leg.reaction.density);
        match self.net([C::SolidGross, C::SolidTare, C::Solid]) {
            Some(net) => Gram(net * factor),
            None => {
                self.missing(
                    &format!("the mass of {}", leg.reaction.substance),
                    "columns `solid_gross` and `solid_tare`, or `solid`",
                );
                Gram(f64::NAN)
            }
        }
    }

    fn density(&self, of: impl Fn(Celsius) -> GramPerMillilitre) -> GramPerMillilitre {
        let room = self.scenario.room.temperature;
        of(self.value(RunColumn::Room).map_or(room, Celsius))
    }

    fn liquid(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        if let Some(net) = self.net([C::LiquidGross, C::LiquidTare, C::Liquid]) {
            return Gram(net * buoyancy_correction(self.scenario, LIQUID));
        }
        let volume = self.value(C::LiquidVolume);
        match (volume, leg.liquid_by) {
            (Some(volume), _) if self.scenario.lab.volume_as_mass => Gram(volume),
            (Some(volume), _) => Gram(volume * self.density(|t| leg.liquid.density_at(t)).0),
            (None, LiquidBy::Volume { nominal, .. }) => {
                self.stands_in(format!(
                    "no volume of liquid: the procedure's {} mL is taken",
                    nominal.0
                ));
                if self.scenario.lab.volume_as_mass {
                    Gram(nominal.0)
                } else {
                    leg.nominal_liquid(&self.scenario.room)
                }
            }
            (None, LiquidBy::Weighed { .. }) => {
                self.missing(
                    "the mass of the liquid",
                    "columns `liquid_gross` and `liquid_tare`, or `liquid`",
                );
                Gram(f64::NAN)
            }
        }
    }

    fn portion(&mut self) -> Gram {
        use RunColumn as C;
        let leg = self.leg;
        let Some(portion) = &leg.portion else {
            return Gram(0.0);
        };
        let as_mass = self.scenario.lab.volume_as_mass;
        match (self.value(C::Portion), self.value(C::PortionVolume)) {
            (Some(mass), _) => Gram(mass * buoyancy_correction(self.scenario, LIQUID)),
            (None, Some(volume)) if as_mass => Gram(volume),
            (None, Some(volume)) => Gram(volume * self.density(|t| portion.liquid.density_at(t)).0),
            (None, None) => {
                let volume = leg.portion_volume().0;
                self.stands_in(format!(
                    "no volume of the portion: the procedure's {volume} mL is taken"
                ));
                if as_mass {
                    Gram(volume)
                } else {
                    leg.nominal_portion(&self.scenario.room)
                }
            }
        }
    }

    fn reagent(&mut self) -> Gram {
        use RunColumn as C;
        let Some(density) = reagent_density(self.leg) else {
            return Gram(0.0);
        };
        match self.net([C::ReagentGross, C::ReagentTare, C::Reagent]) {
            Some(net) => Gram(net * buoyancy_correction(self.scenario, density)),
            None => {
                self.missing(
                    "the mass of the reagent that the result is stated for",
                    "columns `reagent_gross` and `reagent_tare`, or `reagent`",
                );
                Gram(f64::NAN)
            }
        }
    }

    /// Heat of a heater beyond that of the procedure's readings: `U I t - (U I t)_stated`.
    fn heat(&mut self) -> Joule {
        use RunColumn as C;
        let Heat::Electrical(h) = self.leg.heat else {
            return Joule(0.0);
        };
        let stated = [h.voltage.0, h.current.0, h.time.0];
        let names = [("voltage", "V"), ("current", "A"), ("time", "s")];
        let mut own = [0.0; 3];
        for (i, column) in [C::Voltage, C::Current, C::Time].into_iter().enumerate() {
            own[i] = self.value(column).unwrap_or_else(|| {
                let ((name, unit), value) = (names[i], stated[i]);
                self.stands_in(format!(
                    "no {name} of the heater: the procedure's {value} {unit} is taken"
                ));
                value
            });
        }
        if own == stated {
            return Joule(0.0);
        }
        Joule(own.iter().product::<f64>() - stated.iter().product::<f64>())
    }
}

/// Whether a leg's charge is a weighed solid.
pub(super) fn weighs_solid(leg: &Leg) -> bool {
    leg.mass.0 > 0.0 && !matches!(leg.charge, Charge::Liquid { .. })
}
