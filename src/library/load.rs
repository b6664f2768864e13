//! Reading library files; the built-in ones go the same way as a user's own.

use super::Library;
use super::atoms::RawAtoms;
use super::balance::RawBalance;
use super::error::{LibraryError, Problem, closest};
use super::fact::Reader;
use super::glassware_raw::RawGlassware;
use super::kind::Kind;
use super::liquid::RawLiquid;
use super::reaction_raw::RawReaction;
use super::substance::RawSubstance;
use super::thermometer::RawThermometer;
use super::vessel::RawVessel;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A library file: any of these sections, each a table of entries by key.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Document {
    citations: BTreeMap<String, String>,
    atoms: Option<RawAtoms>,
    substances: BTreeMap<String, RawSubstance>,
    reactions: BTreeMap<String, RawReaction>,
    liquids: BTreeMap<String, RawLiquid>,
    balances: BTreeMap<String, RawBalance>,
    thermometers: BTreeMap<String, RawThermometer>,
    vessels: BTreeMap<String, RawVessel>,
    glassware: BTreeMap<String, RawGlassware>,
}

/// The compiled-in files. What an entry refers to stands in an earlier file.
pub(super) const BUILTIN: [(&str, &str); 9] = [
    ("citations.toml", include_str!("data/citations.toml")),
    ("atoms.toml", include_str!("data/atoms.toml")),
    ("substances.toml", include_str!("data/substances.toml")),
    ("liquids.toml", include_str!("data/liquids.toml")),
    ("reactions.toml", include_str!("data/reactions.toml")),
    ("balances.toml", include_str!("data/balances.toml")),
    ("thermometers.toml", include_str!("data/thermometers.toml")),
    ("vessels.toml", include_str!("data/vessels.toml")),
    ("glassware.toml", include_str!("data/glassware.toml")),
];

/// Adds an entry unless its key is taken: a file that silently replaced a published value would
/// change results behind the reader's back.
fn insert<T>(
    map: &mut BTreeMap<String, T>,
    file: &str,
    section: &str,
    key: String,
    value: T,
) -> Result<(), LibraryError> {
    if map.contains_key(&key) {
        return Err(LibraryError::Duplicate {
            file: file.to_owned(),
            entry: format!("{section}.{key}"),
        });
    }
    map.insert(key, value);
    Ok(())
}

impl Library {
    /// Adds the entries of a library file to this library. They may cite, and refer to, what is in
    /// the library already. `file` is how messages name it.
    ///
    /// # Errors
    /// If anything in the file is wrong; the library is unchanged then.
    pub fn extend(&mut self, file: &str, text: &str) -> Result<(), LibraryError> {
        let document: Document = toml::from_str(text).map_err(|e| LibraryError::Toml {
            file: file.to_owned(),
            message: e.to_string().trim_end().to_owned(),
        })?;
        let mut next = self.clone();
        next.add(file, document)?;
        *self = next;
        Ok(())
    }

    fn add(&mut self, file: &str, document: Document) -> Result<(), LibraryError> {
        for (key, text) in document.citations {
            insert(&mut self.citations, file, "citations", key, text)?;
        }
        let citations = self.citations.clone();
        let reader = |section: &str, key: &str| Reader {
            file,
            entry: format!("{section}.{key}"),
            citations: &citations,
        };
        if let Some(raw) = document.atoms {
            if !self.atoms.weights.is_empty() {
                let (file, entry) = (file.to_owned(), "atoms".to_owned());
                return Err(LibraryError::Duplicate { file, entry });
            }
            self.atoms = raw.read(&Reader {
                file,
                entry: "atoms".to_owned(),
                citations: &citations,
            })?;
        }
        for (key, raw) in document.substances {
            let section = Kind::Substance.section();
            let value = raw.read(&key, &reader(section, &key), &self.atoms)?;
            insert(&mut self.substances, file, section, key, value)?;
        }
        macro_rules! simple {
            ($($field:ident: $kind:ident),*) => {$(
                for (key, raw) in document.$field {
                    let section = Kind::$kind.section();
                    let value = raw.read(&key, &reader(section, &key))?;
                    insert(&mut self.$field, file, section, key, value)?;
                }
            )*};
        }
        simple!(liquids: Liquid, balances: Balance, thermometers: Thermometer, vessels: Vessel);
        for (family, raw) in document.glassware {
            let section = Kind::Glassware.section();
            for device in raw.read(&family, &reader(section, &family))? {
                insert(
                    &mut self.glassware,
                    file,
                    section,
                    device.key.clone(),
                    device,
                )?;
            }
        }
        for (key, raw) in document.reactions {
            let section = Kind::Reaction.section();
            let reader = reader(section, &key);
            let substance = self.substances.get(&raw.substance).ok_or_else(|| {
                missing(
                    &reader,
                    "substance",
                    &raw.substance,
                    Kind::Substance,
                    &self.substances,
                )
            })?;
            if !self.liquids.contains_key(&raw.medium) {
                return Err(missing(
                    &reader,
                    "medium",
                    &raw.medium,
                    Kind::Liquid,
                    &self.liquids,
                ));
            }
            let value = raw.read(&key, &reader, substance)?;
            insert(&mut self.reactions, file, section, key, value)?;
        }
        Ok(())
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
