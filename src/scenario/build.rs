//! From keys to a scenario: library look-ups, defaults, and all problems at once.

use super::build_leg;
use super::checks;
use super::document::{Document, Entry, Raw, expected, nearest};
use super::model::{Contents, Lab, MassUsed, Room, RunEffects, Scenario, Target};
use super::problem::{Problem, Problems, Severity};
use super::schema;
use crate::library::Library;
use crate::quantity::{Celsius, Dimension, parse_measured, parse_quantity_as};

/// Scenarios that are compiled in, by name; the first is the built-in one.
const SHIPPED: &[(&str, &str)] = &[
    (
        "ammonium-chloride-dewar",
        include_str!("../../scenarios/ammonium-chloride-dewar.toml"),
    ),
    (
        "urea-foam-cups",
        include_str!("../../scenarios/urea-foam-cups.toml"),
    ),
];

/// Names of the scenarios that are compiled in.
pub fn shipped_names() -> impl Iterator<Item = &'static str> {
    SHIPPED.iter().map(|(name, _)| *name)
}

/// The text of a compiled-in scenario.
pub fn shipped(name: &str) -> Option<&'static str> {
    SHIPPED.iter().find(|(n, _)| *n == name).map(|(_, t)| *t)
}

/// The text of the built-in scenario.
pub fn builtin_text() -> &'static str {
    SHIPPED[0].1
}

/// The built-in scenario.
///
/// # Panics
/// Never: the compiled-in text is part of the tests.
pub fn builtin() -> Scenario {
    read(builtin_text()).expect("the built-in scenario is valid")
}

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
    for (path, raw) in changes {
        doc.set(path, raw.clone());
    }
    let mut builder = Builder {
        doc,
        library: Library::builtin(),
    };
    let scenario = builder.scenario(digest(text, changes));
    let problems = builder.doc.problems;
    match scenario {
        Some(mut s) if !problems.iter().any(|p| p.severity == Severity::Error) => {
            s.warnings = problems;
            Ok(s)
        }
        _ => Err(Problems(in_file_order(problems))),
    }
}

fn in_file_order(mut problems: Vec<Problem>) -> Vec<Problem> {
    problems.sort_by_key(|p| p.span.as_ref().map_or(usize::MAX, |s| s.start));
    problems
}

/// 64-bit hash of what was read, in hexadecimal: two results with the same digest come from the
/// same procedure.
fn digest(text: &str, changes: &[(String, Raw)]) -> String {
    let mut all = text.replace("\r\n", "\n");
    for (path, raw) in changes {
        all.push_str(&format!("\u{0}{path}={raw:?}"));
    }
    let mut hash = 0xCBF2_9CE4_8422_2325u64;
    for b in all.bytes() {
        hash = (hash ^ u64::from(b)).wrapping_mul(0x0000_0100_0000_01B3);
    }
    format!("{hash:016x}")
}

/// A document being turned into a scenario.
pub(super) struct Builder {
    pub(super) doc: Document,
    pub(super) library: &'static Library,
}

/// A key as found: its path, and its entry.
pub(super) struct Found {
    pub(super) path: String,
    pub(super) entry: Entry,
}

impl Builder {
    fn scenario(&mut self, digest: String) -> Option<Scenario> {
        if !self.doc.entries.contains_key("format") && !self.reported("format") {
            self.problem(
                Problem::error("format", "missing").hint("begin the file with `format = 1`"),
            );
        }
        let room = Room {
            temperature: Celsius(self.room_temperature()),
        };
        let target = Target {
            band: self.size("", "target", "band", Dimension::Fraction),
            uncertainty: self.size("", "target", "uncertainty", Dimension::Fraction),
            quote_at: Celsius(
                self.size("", "target", "quote_at", Dimension::Temperature)
                    .unwrap_or(25.0),
            ),
        };
        let lab = self.lab();
        let calibration = build_leg::leg(self, "calibration", &room, &lab);
        let determination = build_leg::leg(self, "determination", &room, &lab);
        let (calibration, determination) = (calibration?, determination?);
        let cautions = self.cautions([&calibration.reaction.key, &determination.reaction.key]);
        let scenario = Scenario {
            title: self.text("title").unwrap_or_else(|| {
                format!(
                    "{} against {}",
                    determination.reaction.title, calibration.reaction.title
                )
            }),
            summary: self.text("summary").unwrap_or_default(),
            digest,
            target,
            room,
            calibration,
            determination,
            lab,
            cautions,
            warnings: Vec::new(),
        };
        checks::check(self, &scenario);
        Some(scenario)
    }

    fn lab(&self) -> Lab {
        let is = |name: &str, word: &str| self.choice("", "lab", name).as_deref() == Some(word);
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
        }
    }

    fn room_temperature(&mut self) -> f64 {
        let Some(found) = self.find("", "room", "temperature") else {
            if !self.reported("room.temperature") {
                self.problem(
                    Problem::error("room.temperature", "missing")
                        .hint("for example `temperature = \"21 C, u = 0.5 K\"` under [room]"),
                );
            }
            return 25.0;
        };
        let Raw::Text(text) = &found.entry.raw else {
            return 25.0;
        };
        let t = parse_measured(text, Dimension::Temperature).map_or(25.0, |m| m.value);
        if !(5.0..=45.0).contains(&t) {
            self.problem(
                Problem::error(
                    "room.temperature",
                    format!("{t} °C lies outside 5 to 45 °C"),
                )
                .hint("the tables of the library end there")
                .at(found.entry.span),
            );
        }
        t
    }

    fn cautions(&self, reactions: [&String; 2]) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        for key in reactions {
            if let Some(r) = self.library.reactions.get(key) {
                let substance = self.library.substances.get(&r.substance);
                let medium = self.library.liquids.get(&r.medium);
                let parts = [
                    substance.map(|s| &s.cautions),
                    medium.map(|l| &l.cautions),
                    Some(&r.cautions),
                ];
                for caution in parts.into_iter().flatten().flatten() {
                    if !all.contains(caution) {
                        all.push(caution.clone());
                    }
                }
            }
        }
        all
    }

    /// Adds a problem, unless one is already known at the same key.
    pub(super) fn problem(&mut self, problem: Problem) {
        if problem.severity == Severity::Warning || !self.reported(&problem.path) {
            self.doc.problems.push(problem);
        }
    }

    /// Whether an error at this key, or at a table above it, has been reported.
    pub(super) fn reported(&self, path: &str) -> bool {
        self.doc.problems.iter().any(|p| {
            p.severity == Severity::Error
                && !p.path.is_empty()
                && (p.path == path || path.starts_with(&format!("{}.", p.path)))
        })
    }

    /// Looks a key up: in the leg's own table first, then at the top of the file.
    pub(super) fn find(&self, leg: &str, site: &str, name: &str) -> Option<Found> {
        let tail = if site.is_empty() {
            name.to_owned()
        } else {
            format!("{site}.{name}")
        };
        let own = format!("{leg}.{tail}");
        for path in [own, tail].into_iter().skip(usize::from(leg.is_empty())) {
            if let Some(entry) = self.doc.entries.get(&path) {
                return Some(Found {
                    path,
                    entry: entry.clone(),
                });
            }
        }
        None
    }

    /// A quantity without error, if stated.
    pub(super) fn size(&self, leg: &str, site: &str, name: &str, d: Dimension) -> Option<f64> {
        match &self.find(leg, site, name)?.entry.raw {
            Raw::Text(t) => parse_quantity_as(t, d).ok(),
            _ => None,
        }
    }

    /// A quantity that must be positive, if stated; anything else is reported.
    pub(super) fn positive(
        &mut self,
        leg: &str,
        site: &str,
        name: &str,
        d: Dimension,
    ) -> Option<f64> {
        let value = self.size(leg, site, name, d)?;
        if value > 0.0 {
            return Some(value);
        }
        let found = self.find(leg, site, name)?;
        self.problem(
            Problem::error(&found.path, format!("{} must be positive", d.name()))
                .hint(format!("for example \"{}\"", d.example()))
                .at(found.entry.span),
        );
        None
    }

    /// A word of a choice, if stated.
    pub(super) fn choice(&self, leg: &str, site: &str, name: &str) -> Option<String> {
        match self.find(leg, site, name)?.entry.raw {
            Raw::Text(t) => Some(t),
            _ => None,
        }
    }

    fn text(&self, name: &str) -> Option<String> {
        match &self.doc.entries.get(name)?.raw {
            Raw::Text(t) => Some(t.trim().to_owned()),
            _ => None,
        }
    }

    /// Reports a key that must be there and is not.
    pub(super) fn missing(&mut self, path: &str) {
        let table = path.rsplit_once('.').map_or("", |(t, _)| t);
        let span = self.doc.tables.get(table).cloned();
        if self.reported(path) {
            return;
        }
        let hint = schema::find(path).map(|k| expected(k.shape));
        let mut problem = Problem::error(path, "missing").at(span);
        problem.hint = hint;
        self.problem(problem);
    }

    /// An entry of the library named by a key of the scenario, if it is stated.
    pub(super) fn library_entry<T>(
        &mut self,
        (leg, site, name): (&str, &str, &str),
        kind: &str,
        entries: &'static std::collections::BTreeMap<String, T>,
    ) -> Option<&'static T> {
        let found = self.find(leg, site, name)?;
        let Raw::Text(key) = &found.entry.raw else {
            return None;
        };
        let entry = entries.get(key);
        if entry.is_none() {
            let near = nearest(key, entries.keys().map(String::as_str));
            let hint = match near {
                Some(near) => format!("did you mean `{near}`? `joulecast show {kind}` lists all"),
                None => format!("`joulecast show {kind}` lists them"),
            };
            self.problem(
                Problem::error(&found.path, format!("no {kind} `{key}` in the library"))
                    .hint(hint)
                    .at(found.entry.span),
            );
        }
        entry
    }
}
