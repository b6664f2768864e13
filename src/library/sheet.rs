//! Entries as neutral rows of text, for whoever shows them.

use super::fact::{ErrorFact, Fact};
use super::table::TempTable;

/// One entry of the library as text.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Sheet {
    /// Key.
    pub key: String,
    /// Title.
    pub title: String,
    /// Kind of entry, such as `reaction`.
    pub kind: &'static str,
    /// Its values.
    #[serde(rename = "values")]
    pub rows: Vec<SheetRow>,
    /// What can hurt people or the environment.
    pub cautions: Vec<String>,
    /// How to handle it so that the numbers are good.
    pub advice: Vec<String>,
}

/// One value of an entry. Plain properties (a formula, a class) have no source and no status.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct SheetRow {
    /// What it is.
    #[serde(rename = "quantity")]
    pub name: String,
    /// Value as written, with its unit.
    #[serde(rename = "value")]
    pub text: String,
    /// Full citation; empty for a plain property.
    pub source: String,
    /// How it came here; empty for a plain property.
    pub status: String,
    /// What a reader should know about it.
    pub note: Option<String>,
}

impl Sheet {
    pub(super) fn new(key: &str, title: &str, kind: super::Kind) -> Self {
        Self {
            key: key.to_owned(),
            title: title.to_owned(),
            kind: kind.text(),
            rows: Vec::new(),
            cautions: Vec::new(),
            advice: Vec::new(),
        }
    }

    pub(super) fn plain(mut self, name: &str, text: impl Into<String>) -> Self {
        self.rows.push(SheetRow {
            name: name.to_owned(),
            text: text.into(),
            source: String::new(),
            status: String::new(),
            note: None,
        });
        self
    }

    pub(super) fn fact(self, name: &str, fact: &Fact) -> Self {
        self.fact_as(name, fact, fact.text.clone())
    }

    /// A fact with more to say than the published text (a conversion, for example).
    pub(super) fn fact_as(mut self, name: &str, fact: &Fact, text: String) -> Self {
        self.rows.push(SheetRow {
            name: name.to_owned(),
            text,
            source: fact.source.clone(),
            status: fact.status.text().to_owned(),
            note: fact.note.clone(),
        });
        self
    }

    pub(super) fn error(mut self, name: &str, error: &ErrorFact) -> Self {
        self.rows.push(SheetRow {
            name: name.to_owned(),
            text: error.text.clone(),
            source: error.source.clone(),
            status: error.status.text().to_owned(),
            note: error.note.clone(),
        });
        self
    }

    /// A table: its value at 25 °C and its range, for nobody reads ten numbers in a row.
    pub(super) fn table(mut self, name: &str, table: &TempTable, unit: &str) -> Self {
        let (low, high) = table.range();
        self.rows.push(SheetRow {
            name: name.to_owned(),
            text: format!(
                "{:.5} {unit} at 25 °C, {} (table {low} °C to {high} °C)",
                table.at(25.0),
                table.error.text
            ),
            source: table.source.clone(),
            status: table.status.text().to_owned(),
            note: table.note.clone(),
        });
        self
    }

    pub(super) fn cautions(mut self, cautions: &[String], advice: &[String]) -> Self {
        self.cautions = cautions.to_vec();
        self.advice = advice.to_vec();
        self
    }
}
