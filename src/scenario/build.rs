//! From keys to a scenario: library look-ups, defaults, and all problems at once.

use super::build_inspection::repeat_rule;
use super::build_leg;
use super::document::{Document, Entry, Raw};
use super::model::{Contents, Lab, MassUsed, Room, RunEffects, Scenario, Target};
use super::problem::{Problem, Problems, Severity};
use super::schema;
use super::wording::{expected, nearest, short};
use crate::library::Library;
use crate::quantity::{Celsius, Dimension, JoulePerGramKelvin, parse_measured, parse_quantity_as};
use crate::random::dist::Distribution;
use std::ops::RangeInclusive;

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
            s.warnings = in_file_order(problems);
            text.clone_into(&mut s.text);
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
        let calibration = build_leg::leg(self, "calibration", &room, &lab);
        let determination = build_leg::leg(self, "determination", &room, &lab);
        let (calibration, determination) = (calibration?, determination?);
        let cautions = self.cautions([&calibration.reaction.key, &determination.reaction.key]);
        let repeat = repeat_rule(self);
        Some(Scenario {
            title: self.text("title").unwrap_or_else(|| {
                format!(
                    "{} against {}",
                    determination.reaction.title, calibration.reaction.title
                )
            }),
            summary: self.text("summary").unwrap_or_default(),
            digest,
            text: String::new(),
            repeat,
            water_heat: self.water_heat(&room),
            target,
            room,
            calibration,
            determination,
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
        Target {
            band: self.positive("", "target", "band", d),
            uncertainty: self.positive("", "target", "uncertainty", d),
            quote_at: Celsius(quote_at.unwrap_or(25.0)),
        }
    }

    fn water_heat(&self, room: &Room) -> JoulePerGramKelvin {
        let water = self.library.liquids.get("water");
        JoulePerGramKelvin(water.map_or(4.18, |w| w.cp.at(room.temperature.0)))
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
        }
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

    fn cautions(&self, reactions: [&String; 2]) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        let mut add = |of: &str, cautions: &[String]| {
            for caution in cautions {
                let named = format!("{of}: {caution}");
                if !all.contains(&named) {
                    all.push(named);
                }
            }
        };
        for key in reactions {
            if let Some(r) = self.library.reactions.get(key) {
                if let Some(s) = self.library.substances.get(&r.substance) {
                    add(&s.title, &s.cautions);
                    add(&s.title, &r.cautions);
                }
                if let Some(l) = self.library.liquids.get(&r.medium) {
                    add(&l.title, &l.cautions);
                }
            }
        }
        for leg in schema::LEGS {
            let vessel = match self.find(leg, "vessel", "use").map(|f| f.entry.raw) {
                Some(Raw::Text(key)) => self.library.vessels.get(&key),
                _ => None,
            };
            if let Some(v) = vessel {
                add(&v.title, &v.cautions);
            }
        }
        all
    }

    /// Adds a problem, unless an error is already known at the same key, or the same has been said.
    pub(super) fn problem(&mut self, problem: Problem) {
        let known = match problem.severity {
            Severity::Warning => self.doc.problems.contains(&problem),
            Severity::Error => self.reported(&problem.path),
        };
        if !known {
            self.doc.problems.push(problem);
        }
    }

    /// Whether an error at this key, or at a table above it, has been reported.
    pub(super) fn reported(&self, path: &str) -> bool {
        self.doc
            .problems
            .iter()
            .any(|p| p.severity == Severity::Error && !p.path.is_empty() && is_under(path, &p.path))
    }

    /// Reports something that must be there and is not, at `span` or at the end of the file;
    /// unless it is absent for a reason that is reported itself.
    pub(super) fn absent(
        &mut self,
        path: &str,
        hint: impl Into<String>,
        span: Option<std::ops::Range<usize>>,
    ) {
        let excused = self.doc.excused.iter().any(|e| is_under(path, e));
        if self.doc.broken || excused {
            return;
        }
        let end = self.doc.end..self.doc.end;
        let (message, span) = match span {
            Some(span) => ("missing", span),
            None => ("missing: the file ends without it", end),
        };
        self.problem(Problem::error(path, message).hint(hint).at(Some(span)));
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

    /// A quantity that must be positive, if stated; anything else is reported. So is a number so
    /// large or so small that a power of ten must have slipped.
    pub(super) fn positive(
        &mut self,
        leg: &str,
        site: &str,
        name: &str,
        d: Dimension,
    ) -> Option<f64> {
        let value = self.size(leg, site, name, d)?;
        if value > 0.0 {
            return self.bounded((leg, site, name), d, 1e-9..=1e6);
        }
        let found = self.find(leg, site, name)?;
        self.problem(
            Problem::error(&found.path, format!("{} must be positive", d.name()))
                .hint(format!("for example \"{}\"", d.example()))
                .at(found.entry.span),
        );
        None
    }

    /// A quantity within limits, if stated; anything else is reported.
    pub(super) fn bounded(
        &mut self,
        (leg, site, name): (&str, &str, &str),
        d: Dimension,
        limits: RangeInclusive<f64>,
    ) -> Option<f64> {
        let value = self.size(leg, site, name, d)?;
        if limits.contains(&value) {
            return Some(value);
        }
        let found = self.find(leg, site, name)?;
        let [x, low, high] = [value, *limits.start(), *limits.end()].map(short);
        let unit = d.base_unit();
        self.problem(
            Problem::error(
                &found.path,
                format!("{x} {unit} lies outside {low} to {high} {unit}"),
            )
            .hint(format!("{}, for example \"{}\"", d.name(), d.example()))
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

    /// Reports a key that must be there and is not, in its table or the nearest one above.
    pub(super) fn missing(&mut self, path: &str) {
        let mut span = None;
        let mut table = path;
        while let (None, Some((above, _))) = (&span, table.rsplit_once('.')) {
            span = self.doc.tables.get(above).cloned();
            table = above;
        }
        let hint = schema::find(path).map_or(String::new(), |k| expected(k.shape));
        self.absent(path, hint, span);
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

/// Whether a path is this one, or stands in this table.
fn is_under(path: &str, table: &str) -> bool {
    path.strip_prefix(table)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}
