//! Floor 1: published values with their sources, uncertainties and cautions.
//!
//! The data stand in `data/*.toml` and are compiled in. Every value is a [`Fact`] that carries the
//! full citation, how it came here ([`Status`]) and the uncertainty as published; a value without
//! an uncertainty is refused. A user's own entries go through the same reader, by
//! [`Library::extend`], or by [`Library::overlay`] where they may replace others.
//!
//! ```
//! use joulecast::library::Library;
//!
//! let tris = Library::builtin().reaction("tris-hcl").unwrap();
//! assert_eq!(tris.enthalpy.text, "-245.76 J/g, U = 0.26 J/g, k = 2");
//! assert_eq!(tris.enthalpy.status.text(), "read");
//! ```

mod atoms;
mod balance;
mod equation;
mod error;
mod fact;
mod formula;
mod glassware;
mod glassware_raw;
mod kind;
mod layout;
mod links;
mod liquid;
mod load;
mod reaction;
mod reaction_raw;
mod sheet;
mod species;
mod substance;
mod table;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_formation;
#[cfg(test)]
mod tests_salts;
#[cfg(test)]
mod tests_second;
mod thermometer;
mod vessel;
mod written;

use std::collections::BTreeMap;
use std::sync::OnceLock;

pub use atoms::{Atoms, Weight};
pub use balance::Balance;
pub use equation::{Equation, EquationError, Particle, Term};
pub use error::{LibraryError, Problem};
pub use fact::{ErrorFact, Fact, Status};
pub use formula::{Formula, FormulaError};
pub use glassware::{GlassClass, GlassKind, Glassware};
pub use kind::Kind;
pub use liquid::Liquid;
pub use load::{Overlay, Refused};
pub use reaction::{DilutionPoint, OtherReactant, Reaction, State};
pub use sheet::{Sheet, SheetRow};
pub use species::Species;
pub use substance::Substance;
pub use table::TempTable;
pub use thermometer::Thermometer;
pub use vessel::Vessel;
pub use written::written;

/// All entries, by key.
#[derive(Debug, Clone, Default)]
pub struct Library {
    /// Full citations by short key.
    pub citations: BTreeMap<String, String>,
    /// Standard atomic weights.
    pub atoms: Atoms,
    /// Solids.
    pub substances: BTreeMap<String, Substance>,
    /// Enthalpies of formation, by species.
    pub species: BTreeMap<String, Species>,
    /// Dissolutions and reactions.
    pub reactions: BTreeMap<String, Reaction>,
    /// Liquids.
    pub liquids: BTreeMap<String, Liquid>,
    /// Balances.
    pub balances: BTreeMap<String, Balance>,
    /// Thermometers.
    pub thermometers: BTreeMap<String, Thermometer>,
    /// Vessels.
    pub vessels: BTreeMap<String, Vessel>,
    /// Volumetric devices.
    pub glassware: BTreeMap<String, Glassware>,
    /// Texts of what was added to the built-in entries, for the digest of a result.
    pub(crate) added: String,
}

macro_rules! lookups {
    ($($name:ident in $map:ident: $kind:ident -> $type:ty;)*) => {$(
        #[doc = concat!("The ", stringify!($name), " with this key.")]
        ///
        /// # Errors
        /// If there is none; the error names the nearest key.
        pub fn $name(&self, key: &str) -> Result<&$type, LibraryError> {
            self.$map.get(key).ok_or_else(|| LibraryError::UnknownKey {
                kind: Kind::$kind,
                key: key.to_owned(),
                nearest: self.nearest(Kind::$kind, key),
            })
        }
    )*};
}

impl Library {
    /// The built-in library.
    ///
    /// # Panics
    /// Never in a released crate: a test reads every built-in file.
    pub fn builtin() -> &'static Self {
        static BUILTIN: OnceLock<Library> = OnceLock::new();
        BUILTIN.get_or_init(|| {
            let mut library = Self::default();
            for (file, text) in load::BUILTIN {
                if let Err(e) = library.extend(file, text) {
                    panic!("built-in library: {e}");
                }
            }
            library.added.clear();
            library
        })
    }

    lookups! {
        substance in substances: Substance -> Substance;
        reaction in reactions: Reaction -> Reaction;
        liquid in liquids: Liquid -> Liquid;
        species in species: Species -> Species;
        balance in balances: Balance -> Balance;
        thermometer in thermometers: Thermometer -> Thermometer;
        vessel in vessels: Vessel -> Vessel;
        glassware in glassware: Glassware -> Glassware;
    }

    /// All keys of a kind, in order.
    pub fn keys(&self, kind: Kind) -> Vec<&String> {
        match kind {
            Kind::Substance => self.substances.keys().collect(),
            Kind::Reaction => self.reactions.keys().collect(),
            Kind::Liquid => self.liquids.keys().collect(),
            Kind::Species => self.species.keys().collect(),
            Kind::Balance => self.balances.keys().collect(),
            Kind::Thermometer => self.thermometers.keys().collect(),
            Kind::Vessel => self.vessels.keys().collect(),
            Kind::Glassware => self.glassware.keys().collect(),
        }
    }

    /// The key of that kind which looks most like `key`, if one does.
    pub fn nearest(&self, kind: Kind, key: &str) -> Option<String> {
        error::closest(key, self.keys(kind).into_iter())
    }

    /// Every entry as text, kind by kind in the order of [`Kind::ALL`], keys in order.
    pub fn sheets(&self) -> Vec<Sheet> {
        let of = |kind| -> Vec<Sheet> {
            match kind {
                Kind::Substance => self.substances.values().map(Substance::sheet).collect(),
                Kind::Reaction => self.reactions.values().map(Reaction::sheet).collect(),
                Kind::Liquid => self.liquids.values().map(Liquid::sheet).collect(),
                Kind::Species => self.species.values().map(Species::sheet).collect(),
                Kind::Balance => self.balances.values().map(Balance::sheet).collect(),
                Kind::Thermometer => self.thermometers.values().map(Thermometer::sheet).collect(),
                Kind::Vessel => self.vessels.values().map(Vessel::sheet).collect(),
                Kind::Glassware => self.glassware.values().map(Glassware::sheet).collect(),
            }
        };
        Kind::ALL.into_iter().flat_map(of).collect()
    }
}
