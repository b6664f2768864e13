//! From keys to a scenario: library look-ups, defaults, and all problems at once.

use super::build_cycle;
use super::build_inspection::repeat_rule;
use super::build_leg::{self, LegKind};
use super::checks_freedom;
use super::checks_hazards;
use super::checks_sense;
use super::checks_tables;
use super::document::{Document, Entry, Raw};
use super::facts::LiquidFacts;
use super::leg::Leg;
use super::model::{
    Contents, Inspection, Lab, MassUsed, Room, RunEffects, Scenario, Target, Times, USUAL_STEPS,
};
use super::own;
use super::problem::{Problem, Problems, Severity};
use super::told::Told;
use super::wording::short;
use crate::library::Library;
use crate::quantity::{Celsius, Currency, Dimension, JoulePerKelvin, Second, parse_measured};
use std::borrow::Cow;
use std::cell::RefCell;
use std::sync::Arc;

/// Reads a scenario.
///
/// # Errors
/// All problems of the text, if any of them is an error.
pub fn read(text: &str) -> Result<Scenario, Problems> {
    read_with(text, &[])
}

/// Reads a scenario with some of its keys replaced: the way that mistakes, sweeps and upgrades
/// change it.
///
/// # Errors
/// All problems of the text and of the changes, if any of them is an error.
pub fn read_with(text: &str, changes: &[(String, Raw)]) -> Result<Scenario, Problems> {
    let mut doc = Document::read(text);
    // Without its file the entries that it names would be missing, or others stand for them.
    if let Some((_, span)) = own::library_file(text) {
        let hint = "the caller reads it and passes its entries to `read_in`";
        let message = "a text alone names no file to read";
        let problem = Problem::error(own::FILE_KEY, message).hint(hint);
        doc.problems.push(problem.at(Some(span)));
    }
    built(text, doc, changes, Library::builtin())
}

/// Reads a scenario in a library: the built-in one with the entries of the file that the scenario
/// names, if it does (see [`super::library_file`] and [`super::with_file`]). The scenario's own
/// entries are laid over it.
///
/// # Errors
/// All problems of the text and of the changes, if any of them is an error.
pub fn read_in(
    text: &str,
    changes: &[(String, Raw)],
    library: &Library,
) -> Result<Scenario, Problems> {
    built(text, Document::read(text), changes, library)
}

fn built(
    text: &str,
    mut doc: Document,
    changes: &[(String, Raw)],
    library: &Library,
) -> Result<Scenario, Problems> {
    for (path, raw) in changes {
        doc.set(path, raw.clone());
    }
    let mut all = Cow::Borrowed(library);
    if doc.tables.contains_key("library") {
        let said = own::lay_over(&doc, text, all.to_mut());
        doc.problems.extend(said);
    }
    let mut builder = Builder {
        doc,
        library: &all,
        told: RefCell::default(),
    };
    let scenario = builder.scenario(digest(text, changes, &library.added));
    if let Some(s) = &scenario {
        checks_freedom::check(&mut builder, s);
        checks_sense::session(&mut builder, s);
    }
    let problems = builder.doc.problems;
    match scenario {
        Some(mut s) if !problems.iter().any(|p| p.severity == Severity::Error) => {
            s.warnings = in_file_order(problems);
            text.clone_into(&mut s.text);
            changes.clone_into(&mut s.changes);
            s.library = Arc::new(library.clone());
            Ok(s)
        }
        _ => Err(Problems(in_file_order(problems))),
    }
}

/// Problems by the place that they point at.
pub(super) fn in_file_order(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|p| p.span.as_ref().map_or(usize::MAX, |s| s.start));
    problems
}

/// 64-bit hash of what was read, in hexadecimal: two results with the same digest come from the
/// same procedure.
fn digest(text: &str, changes: &[(String, Raw)], added: &str) -> String {
    let mut all = text.replace("\r\n", "\n");
    if !added.is_empty() {
        all.push_str(&format!("\u{0}library={}", added.replace("\r\n", "\n")));
    }
    for (path, raw) in changes {
        all.push_str(&format!("\u{0}{path}={raw:?}"));
    }
    let mut hash = 0xCBF2_9CE4_8422_2325u64;
    for b in all.bytes() {
        hash = (hash ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01B3);
    }
    format!("{hash:016x}")
}

/// Most determinations beside the first.
const MOST_LEGS: usize = 20;

/// A document being turned into a scenario.
pub(super) struct Builder<'l> {
    pub(super) doc: Document,
    pub(super) library: &'l Library,
    pub(super) told: RefCell<Told>,
}

/// A key as found: its path, and its entry.
pub(super) struct Found {
    pub(super) path: String,
    pub(super) entry: Entry,
}

impl Builder<'_> {
    fn scenario(&mut self, digest: String) -> Option<Scenario> {
        if self.doc.tables.is_empty() && self.doc.entries.is_empty() && !self.doc.failed() {
            self.problem(
                Problem::error("", "there is nothing in the file")
                    .hint("`joulecast new my.toml` writes a scenario to start from"),
            );
            return None;
        }
        if !self.doc.entries.contains_key("format") {
            self.absent("format", "begin the file with `format = 1`", Some(0..0));
        }
        let room = Room {
            temperature: Celsius(self.room_temperature()),
        };
        let target = self.target();
        let lab = self.lab();
        let kind = LegKind::of(self, "calibration");
        let calibration = match kind {
            LegKind::None => None,
            kind => Some(build_leg::leg(
                self,
                "calibration",
                (0, kind),
                &room,
                (&lab, &target),
            )),
        };
        let mut det = |name: &str, place: u32| {
            let kind = LegKind::of(self, name);
            build_leg::leg(self, name, (place, kind), &room, (&lab, &target))
        };
        let determination = det("determination", 1);
        let names = self.further_legs();
        let mut det = |name: &str, place: u32| {
            let kind = LegKind::of(self, name);
            build_leg::leg(self, name, (place, kind), &room, (&lab, &target))
        };
        let further: Vec<Option<Leg>> = (2u32..)
            .zip(&names)
            .map(|(place, name)| det(name, place))
            .collect();
        let cycle = build_cycle::cycle(self, &names);
        let mut further: Vec<Leg> = further.into_iter().collect::<Option<_>>()?;
        let mut determination = determination?;
        let calibration = match calibration {
            Some(leg) => leg?,
            None => uncalibrated(&determination),
        };
        for leg in std::iter::once(&mut determination).chain(&mut further) {
            leg.take_true_value(&calibration);
        }
        let legs: Vec<&Leg> = [&calibration, &determination]
            .into_iter()
            .chain(&further)
            .collect();
        checks_tables::circular(self, &legs);
        checks_tables::contents(self, &room, &lab, &legs);
        checks_hazards::check(self, &legs);
        let cautions = self.cautions(&legs);
        let columns = self.columns(&legs);
        let repeat = repeat_rule(self);
        let times = self.times();
        Some(Scenario {
            title: self.text("title").unwrap_or_else(|| {
                format!(
                    "{} against {}",
                    determination.reaction.title, calibration.reaction.title
                )
            }),
            summary: self.text("summary").unwrap_or_default(),
            digest,
            columns,
            slips: self.slips(),
            text: String::new(),
            changes: Vec::new(),
            repeat,
            library: Arc::default(),
            water: LiquidFacts::of(self.library.liquids.get("water")?),
            target,
            room,
            calibration,
            determination,
            further,
            cycle,
            times,
            lab,
            cautions,
            warnings: Vec::new(),
        })
    }

    fn target(&mut self) -> Target {
        let d = Dimension::Fraction;
        let quote_at = self.bounded(
            ("", "target", "quote_at"),
            Dimension::Temperature,
            0.0..=100.0,
        );
        let steps = match self.doc.entries.get("target.display_steps").map(|e| &e.raw) {
            Some(Raw::Whole(n)) => *n as f64,
            _ => USUAL_STEPS,
        };
        Target {
            display_steps: steps,
            band: self.positive("", "target", "band", d),
            uncertainty: self.positive("", "target", "uncertainty", d),
            quote_at: Celsius(quote_at.unwrap_or(25.0)),
        }
    }

    fn lab(&self) -> Lab {
        let is = |name: &str, word: &str| self.choice("", "lab", name).as_deref() == Some(word);
        let flag = |name: &str| match self.find("", "lab", name)?.entry.raw {
            Raw::Flag(f) => Some(f),
            _ => None,
        };
        Lab {
            contents: if is("contents", "same") {
                Contents::Same
            } else {
                Contents::Swapped
            },
            mass: if is("mass", "nominal") {
                MassUsed::Nominal
            } else {
                MassUsed::Recorded
            },
            corrects_buoyancy: is("buoyancy", "corrected"),
            reference_slope: !is("reference_slope", "ignored"),
            result_slope: !is("result_slope", "ignored"),
            run_effects: if is("run_effects", "scatter") {
                RunEffects::Scatter
            } else {
                RunEffects::Stated
            },
            mean_temperature: is("tables_at", "mean"),
            solid_in_mass: flag("solid_in_mass").unwrap_or(true),
            water_heat: is("heat_capacity", "water"),
            volume_as_mass: flag("volume_as_mass").unwrap_or(false),
            subtracts_side_heats: is("side_heats", "subtracted"),
            assumed_vessel: self.assumed_vessel(),
        }
    }

    /// What a lab that does not calibrate takes the vessel for.
    fn assumed_vessel(&self) -> Option<JoulePerKelvin> {
        let kind = self.choice("", "calibration", "kind");
        if kind.as_deref() != Some("none") {
            return None;
        }
        let stated = self.size("", "calibration", "assumed_vessel", Dimension::HeatCapacity);
        Some(JoulePerKelvin(stated.unwrap_or(0.0)))
    }

    fn room_temperature(&mut self) -> f64 {
        let Some(found) = self.find("", "room", "temperature") else {
            let hint = "for example `temperature = \"21 C, u = 0.5 K\"` under [room]";
            let table = self.doc.tables.get("room").cloned();
            self.absent("room.temperature", hint, table);
            return 25.0;
        };
        let Raw::Text(text) = &found.entry.raw else {
            return 25.0;
        };
        let Ok(m) = parse_measured(text, Dimension::Temperature) else {
            return 25.0;
        };
        let tables = 5.0..=45.0;
        let wrong = if !tables.contains(&m.value) {
            format!("{} °C lies outside 5 to 45 °C", short(m.value))
        } else if [0.001, 0.999]
            .iter()
            .any(|u| !tables.contains(&m.dist.quantile(*u)))
        {
            "in some trials the room would lie outside 5 to 45 °C".to_owned()
        } else {
            return m.value;
        };
        self.problem(
            Problem::error("room.temperature", wrong)
                .hint("the tables of the library end there")
                .at(found.entry.span),
        );
        25.0
    }

    /// Tables of further determinations.
    fn further_legs(&mut self) -> Vec<String> {
        let of = |t: &&String| t.strip_prefix("leg.").is_some_and(|n| !n.contains('.'));
        let mut all: Vec<String> = self.doc.tables.keys().filter(of).cloned().collect();
        if let Some(first) = all.get(MOST_LEGS) {
            let span = self.doc.tables.get(first).cloned();
            let message = format!("more than {MOST_LEGS} further determinations");
            self.problem(Problem::error(first, message).at(span));
            all.truncate(MOST_LEGS);
        }
        all
    }

    /// The currency of all prices: there are no rates to exchange them by.
    fn currency(&mut self, keys: [&str; 2]) -> Option<Currency> {
        let stated = |name| {
            let found = self.find("", "prices", name)?;
            match &found.entry.raw {
                Raw::Text(text) => Some((Currency::of(text), found)),
                _ => None,
            }
        };
        match keys.map(stated) {
            [Some((one, _)), Some((other, at))] if one != other => {
                let message = "the prices are in different currencies".to_owned();
                self.refuse(at, message, "state both in the same one");
                None
            }
            [one, other] => one.or(other)?.0,
        }
    }

    fn times(&mut self) -> Times {
        let mut time = |name| {
            self.positive("", "times", name, Dimension::Time)
                .map(Second)
        };
        let [session, set_up] = ["session", "set_up"].map(&mut time);
        let runs = ["calibration_run", "determination_run"];
        let run = runs.map(&mut time);
        let price = runs.map(|name| self.positive("", "prices", name, Dimension::Price));
        Times {
            currency: self.currency(runs),
            session,
            set_up,
            run,
            price,
        }
    }
}

/// What stands for the calibration where there is none: no runs, in the vessel of the
/// determination.
fn uncalibrated(determination: &Leg) -> Leg {
    Leg {
        name: "calibration".to_owned(),
        place: 0,
        runs: 0,
        inspection: Inspection::None,
        ..determination.clone()
    }
}
