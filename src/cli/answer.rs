//! How an answer reaches its reader: on the screen in brief or in full, as one JSON document, and as files.

use super::args::Common;
use super::folder::{Folder, drawn, failed};
use super::{Exit, output};
use crate::report::document::{Document, Extent};
use crate::report::render::{Screen, document_markdown, document_text, table_csv};
use crate::report::{OutFile, hanging, pictures, plain};
use serde_json::Value;

/// What a command answers.
pub(super) struct Answer {
    /// Name of the command, and of its files.
    pub name: &'static str,
    /// For people.
    pub document: Document,
    /// For programs.
    pub json: Value,
    /// Further files.
    pub extra: Vec<OutFile>,
    /// How it ends.
    pub exit: Exit,
}

impl Answer {
    /// Writes the files, if there is a folder for them, and prints.
    pub(super) fn give(self, common: &Common, folder: Option<&Folder>) -> Result<Exit, Exit> {
        let json = output::pretty(&self.json);
        let d = &self.document;
        let origin = format!("{}\n", d.provenance);
        let mut last = Vec::new();
        if let Some(folder) = folder {
            let full = Screen {
                width: output::PAGE,
                extent: Extent::Full,
            };
            let text = format!("{}\n{origin}", document_text(d, full));
            let named = |end: &str, text: String| {
                OutFile::text(&format!("{}.{end}", self.name), plain(&text).into_owned())
            };
            let mut files = vec![
                named("txt", text),
                named("md", document_markdown(d)),
                named("json", json.clone()),
            ];
            for table in d.tables() {
                files.push(OutFile {
                    name: format!("{}.csv", table.name),
                    bytes: table_csv(table, &d.provenance).map_err(|e| failed(&e))?,
                });
            }
            files.extend(self.extra);
            files.extend(drawn(pictures(&d.figures)));
            last.push(folder.keep(self.name, &files)?);
        }
        if common.json {
            return Ok(output::say(&json, self.exit));
        }
        let screen = Screen {
            width: output::width(),
            extent: if common.full {
                Extent::Full
            } else {
                Extent::Brief
            },
        };
        if !common.full {
            last.push("everything on the screen: --full".to_owned());
        }
        let text = document_text(d, screen);
        let last = match last.is_empty() {
            true => String::new(),
            false => hanging(&last.join("; "), output::width()) + "\n",
        };
        Ok(output::say(&format!("{text}\n{last}{origin}"), self.exit))
    }
}
