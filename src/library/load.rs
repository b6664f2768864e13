//! Reading library files; the built-in ones go the same way as a user's own.

use super::Library;
use super::atoms::RawAtoms;
use super::balance::RawBalance;
use super::error::{LibraryError, Problem, closest};
use super::fact::Reader;
use super::glassware_raw::RawGlassware;
use super::kind::Kind;
use super::layout;
use super::liquid::RawLiquid;
use super::reaction_raw::RawReaction;
use super::species::RawSpecies;
use super::substance::RawSubstance;
use super::thermometer::RawThermometer;
use super::vessel::RawVessel;
use crate::quantity::MOST_GUESSES;
use serde::Deserialize;
use serde::de::IntoDeserializer;
use std::collections::BTreeMap;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The sections of a library file. What an entry refers to stands in an earlier one.
const SECTIONS: [&str; 10] = [
    "citations",
    "atoms",
    "species",
    "substances",
    "liquids",
    "balances",
    "thermometers",
    "vessels",
    "glassware",
    "reactions",
];

/// An entry that was refused.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Why.
    pub error: LibraryError,
    /// Bytes of the text that it points at.
    pub span: Range<usize>,
}

/// What came of laying a text over a library.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Overlay {
    /// Entries that were refused; all others are in.
    pub refused: Vec<Refused>,
    /// Entries that stand in place of one that was there: section and key, and where.
    pub replaced: Vec<(String, Range<usize>)>,
}

/// The compiled-in files. What an entry refers to stands in an earlier file; a reaction may refer to
/// another one of its own file.
pub(super) const BUILTIN: [(&str, &str); 10] = [
    ("citations.toml", include_str!("data/citations.toml")),
    ("atoms.toml", include_str!("data/atoms.toml")),
    ("species.toml", include_str!("data/species.toml")),
    ("substances.toml", include_str!("data/substances.toml")),
    ("liquids.toml", include_str!("data/liquids.toml")),
    ("reactions.toml", include_str!("data/reactions.toml")),
    ("balances.toml", include_str!("data/balances.toml")),
    ("thermometers.toml", include_str!("data/thermometers.toml")),
    ("vessels.toml", include_str!("data/vessels.toml")),
    ("glassware.toml", include_str!("data/glassware.toml")),
];

impl Library {
    /// Adds the entries of a library file to this library. They may cite, and refer to, what is in
    /// the library already. `file` is how messages name it. A key that is taken is refused: a file
    /// that silently replaced a published value would change results behind the reader's back.
    ///
    /// # Errors
    /// If anything in the file is wrong; the library is unchanged then.
    pub fn extend(&mut self, file: &str, text: &str) -> Result<(), LibraryError> {
        let mut next = self.clone();
        let overlay = next.overlay(file, text);
        if let Some(first) = overlay.refused.into_iter().next() {
            return Err(first.error);
        }
        if let Some((entry, _)) = overlay.replaced.into_iter().next() {
            let file = file.to_owned();
            return Err(LibraryError::Duplicate { file, entry });
        }
        *self = next;
        Ok(())
    }

    /// Whether a library file may have a section of this name.
    pub fn has_section(name: &str) -> bool {
        SECTIONS.contains(&name)
    }

    /// Adds the entries of a library file to this library, in place of those that have their keys.
    /// `file` is how messages name it.
    pub fn overlay(&mut self, file: &str, text: &str) -> Overlay {
        self.added.push_str(text);
        match DeTable::parse(text) {
            Ok(table) => self.overlay_table(file, table.get_ref()),
            Err(e) => Overlay {
                refused: vec![Refused {
                    error: LibraryError::Toml {
                        file: file.to_owned(),
                        message: e.to_string().trim_end().to_owned(),
                    },
                    span: e.span().unwrap_or(0..0),
                }],
                ..Overlay::default()
            },
        }
    }

    /// The same for sections that have been read as TOML.
    pub(crate) fn overlay_table(&mut self, file: &str, sections: &DeTable<'_>) -> Overlay {
        let mut overlay = Overlay::default();
        let before = self.reactions.clone();
        let mut read = Vec::new();
        // To say well what is wrong takes its time: beyond so many entries nobody reads it.
        let mut unread = 0;
        for section in sections.keys() {
            let name = section.get_ref().as_ref();
            if overlay.refused.len() >= MOST_GUESSES {
                unread += 1;
            } else if !Self::has_section(name) {
                let known = SECTIONS.map(str::to_owned);
                let error = LibraryError::Section {
                    file: file.to_owned(),
                    section: name.to_owned(),
                    nearest: closest(name, known.iter()),
                };
                let span = section.span();
                overlay.refused.push(Refused { error, span });
            }
        }
        for name in SECTIONS {
            let found = sections.iter().find(|(k, _)| k.get_ref() == name);
            let Some((section, content)) = found else {
                continue;
            };
            let mut add =
                |library: &mut Self, entry: String, key: &str, value, span: Range<usize>| {
                    if overlay.refused.len() >= MOST_GUESSES {
                        unread += 1;
                        return;
                    }
                    match library.add(file, name, key, value) {
                        Ok(replaced) => {
                            if name == "reactions" {
                                read.push((key.to_owned(), value, span.clone()));
                            }
                            if replaced {
                                overlay.replaced.push((entry, span));
                            }
                        }
                        Err(error) => {
                            let span = place(&error, value).unwrap_or(span);
                            overlay.refused.push(Refused { error, span });
                        }
                    }
                };
            match content.get_ref() {
                DeValue::Table(entries) if name != "atoms" => {
                    for (key, value) in entries {
                        let entry = format!("{name}.{}", key.get_ref());
                        add(self, entry, key.get_ref(), value, key.span());
                    }
                }
                _ => add(self, name.to_owned(), "", content, section.span()),
            }
        }
        self.settle(file, &before, read, &mut overlay);
        if unread > 0 {
            let error = LibraryError::Unread(unread);
            let span = overlay.refused.last().map_or(0..0, |r| r.span.clone());
            overlay.refused.push(Refused { error, span });
        }
        overlay
    }

    /// Adds one entry; whether it stands in place of another.
    fn add(
        &mut self,
        file: &str,
        section: &str,
        key: &str,
        value: &Spanned<DeValue<'_>>,
    ) -> Result<bool, LibraryError> {
        let reader = Reader {
            file,
            entry: [section, key].join(".").trim_end_matches('.').to_owned(),
            citations: &self.citations,
        };
        let key = key.to_owned();
        macro_rules! simple {
            ($raw:ty, $map:ident) => {{
                let entry = raw::<$raw>(&reader, value)?.read(&key, &reader)?;
                self.$map.insert(key, entry).is_some()
            }};
        }
        Ok(match section {
            "citations" => {
                let text = raw::<String>(&reader, value)?;
                self.citations.insert(key, text).is_some()
            }
            "atoms" => {
                let atoms = raw::<RawAtoms>(&reader, value)?.read(&reader)?;
                !std::mem::replace(&mut self.atoms, atoms).weights.is_empty()
            }
            "substances" => {
                let entry =
                    raw::<RawSubstance>(&reader, value)?.read(&key, &reader, &self.atoms)?;
                self.substances.insert(key, entry).is_some()
            }
            "species" => simple!(RawSpecies, species),
            "liquids" => simple!(RawLiquid, liquids),
            "balances" => simple!(RawBalance, balances),
            "thermometers" => simple!(RawThermometer, thermometers),
            "vessels" => simple!(RawVessel, vessels),
            "glassware" => {
                let devices = raw::<RawGlassware>(&reader, value)?.read(&key, &reader)?;
                let mut replaced = false;
                for device in devices {
                    replaced |= self.glassware.insert(device.key.clone(), device).is_some();
                }
                replaced
            }
            _ => {
                let entry = raw::<RawReaction>(&reader, value)?;
                let substance = self.substances.get(&entry.substance).ok_or_else(|| {
                    let all = &self.substances;
                    missing(&reader, "substance", &entry.substance, Kind::Substance, all)
                })?;
                if !self.liquids.contains_key(&entry.medium) {
                    let (medium, all) = (&entry.medium, &self.liquids);
                    return Err(missing(&reader, "medium", medium, Kind::Liquid, all));
                }
                let entry = entry.read(&key, &reader, substance, &self.atoms, &self.species)?;
                self.reactions.insert(key, entry).is_some()
            }
        })
    }
}

/// An entry as written, if it has the fields that it must have and no others.
fn raw<'t, T: Deserialize<'t>>(
    reader: &Reader,
    value: &Spanned<DeValue<'t>>,
) -> Result<T, LibraryError> {
    T::deserialize(value.clone().into_deserializer()).map_err(|e| LibraryError::Layout {
        file: reader.file.to_owned(),
        entry: reader.entry.clone(),
        message: layout::in_words(e.message(), &layout::missing::<T>(value)),
    })
}

/// The value of a field.
fn inside<'v, 't>(value: &'v Spanned<DeValue<'t>>, name: &str) -> Option<&'v Spanned<DeValue<'t>>> {
    let DeValue::Table(table) = value.get_ref() else {
        return None;
    };
    let mut fields = table.iter();
    fields.find(|(k, _)| k.get_ref() == name).map(|(_, v)| v)
}

/// Where in an entry the field stands that an error is about; none if the whole entry is meant.
pub(super) fn place(error: &LibraryError, entry: &Spanned<DeValue<'_>>) -> Option<Range<usize>> {
    match error {
        LibraryError::Field { field, problem, .. } => {
            // `dilution 2` is a row of the field `dilution`.
            let field = inside(entry, field.split(' ').next()?)?;
            let parts: &[&str] = match **problem {
                Problem::Source { .. } => &["source"],
                Problem::Status(_) => &["status"],
                _ => &["value", "error"],
            };
            let part = parts.iter().find_map(|p| inside(field, p));
            Some(part.map_or(field.span(), |p| p.span()))
        }
        LibraryError::Layout { message, .. } => {
            let name = message.strip_prefix("unknown field `")?.split('`').next()?;
            let DeValue::Table(table) = entry.get_ref() else {
                return None;
            };
            let mut keys = table.keys();
            keys.find(|k| k.get_ref() == name).map(Spanned::span)
        }
        _ => None,
    }
}

fn missing<T>(
    reader: &Reader,
    field: &str,
    key: &str,
    kind: Kind,
    map: &BTreeMap<String, T>,
) -> LibraryError {
    let nearest = closest(key, map.keys());
    let key = key.to_owned();
    reader.wrong(field, Problem::Reference { kind, key, nearest })
}
