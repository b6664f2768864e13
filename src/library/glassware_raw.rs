//! Expanding a table of a standard into single devices.

use super::error::{LibraryError, Problem};
use super::fact::{ErrorFact, RawError, RawFact, Reader};
use super::glassware::{GlassClass, GlassKind, Glassware};
use crate::quantity::Dimension;
use serde::Deserialize;

/// A table of one standard in a data file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawGlassware {
    title: String,
    kind: String,
    standard: String,
    source: String,
    status: String,
    /// Of the limits of class B, where the standard was read for class A only.
    status_b: Option<String>,
    note: Option<String>,
    repeatability: RawOrigin,
    expansion: RawFact,
    rows: Vec<RawRow>,
}

/// Where the numbers `s` of the rows come from.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawOrigin {
    source: String,
    status: String,
    note: Option<String>,
}

/// One size, in mL: limits of class A and B (or one limit without class) and the standard
/// deviation of a filling. `division` tells apart two scales of the same size.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawRow {
    nominal: f64,
    a: Option<f64>,
    b: Option<f64>,
    limit: Option<f64>,
    s: f64,
    division: Option<f64>,
    source: Option<String>,
    status: Option<String>,
    note: Option<String>,
}

impl RawGlassware {
    pub fn read(&self, family: &str, reader: &Reader) -> Result<Vec<Glassware>, LibraryError> {
        let kind = GlassKind::ALL
            .into_iter()
            .find(|k| k.text() == self.kind)
            .ok_or_else(|| {
                let known = GlassKind::ALL.map(GlassKind::text).join(", ");
                let word = self.kind.clone();
                reader.wrong("kind", Problem::Word { word, known })
            })?;
        let mut devices = Vec::new();
        for (i, row) in self.rows.iter().enumerate() {
            let classes: Vec<(Option<GlassClass>, f64)> = match (row.a, row.b, row.limit) {
                (None, None, Some(limit)) => vec![(None, limit)],
                (None, None, None) | (_, _, Some(_)) => {
                    return Err(reader.wrong("rows", Problem::Limits(i + 1)));
                }
                (a, b, None) => [(GlassClass::A, a), (GlassClass::B, b)]
                    .into_iter()
                    .filter_map(|(class, limit)| Some((Some(class), limit?)))
                    .collect(),
            };
            for (class, limit) in classes {
                devices.push(self.device(family, reader, kind, row, class, limit)?);
            }
        }
        Ok(devices)
    }

    fn device(
        &self,
        family: &str,
        reader: &Reader,
        kind: GlassKind,
        row: &RawRow,
        class: Option<GlassClass>,
        limit: f64,
    ) -> Result<Glassware, LibraryError> {
        let nominal = row.nominal;
        for size in [nominal, limit, row.s] {
            if !(size.is_finite() && size > 0.0) {
                return Err(reader.wrong("rows", Problem::NotPositive(size)));
            }
        }
        let mut key = format!("{family}-{nominal}mL");
        let mut title = format!("{}, {nominal} mL", self.title);
        if let Some(division) = row.division {
            key += &format!("-d{division}");
            title += &format!(", divisions of {division} mL");
        }
        if let Some(class) = class {
            key += &format!("-{}", class.text());
            title += &format!(", class {}", class.text());
        }
        Ok(Glassware {
            key,
            title,
            kind,
            standard: self.standard.clone(),
            class,
            nominal,
            tolerance: self.tolerance(reader, kind, row, class, limit)?,
            repeatability: reader.error(
                "repeatability",
                &RawError {
                    error: format!("s = {} mL", row.s),
                    source: self.repeatability.source.clone(),
                    status: self.repeatability.status.clone(),
                    note: self.repeatability.note.clone(),
                },
                Dimension::Volume,
            )?,
            expansion: reader.positive("expansion", &self.expansion, Dimension::Expansion)?,
        })
    }

    fn tolerance(
        &self,
        reader: &Reader,
        kind: GlassKind,
        row: &RawRow,
        class: Option<GlassClass>,
        limit: f64,
    ) -> Result<ErrorFact, LibraryError> {
        let of_class = match class {
            Some(GlassClass::B) => self.status_b.as_ref().unwrap_or(&self.status),
            _ => &self.status,
        };
        let raw = RawError {
            error: format!("{limit} mL {}", kind.shape()),
            // A single row may have been read where the rest of the table is remembered.
            source: row.source.clone().unwrap_or_else(|| self.source.clone()),
            status: row.status.as_ref().unwrap_or(of_class).clone(),
            note: row.note.clone().or_else(|| self.note.clone()),
        };
        reader.error("rows", &raw, Dimension::Volume)
    }
}
