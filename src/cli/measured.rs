//! Files of measured data.

use super::goal::refused;
use super::read::{Content, bytes, held};
use super::{Exit, output};
use crate::measured::{FileProblem, MeasuredRecord, read_record};
use crate::report::data_problems_json;
use std::path::Path;

/// Reads a record that stands alone.
pub(super) fn record(path: &Path) -> Result<Result<MeasuredRecord, Vec<FileProblem>>, Exit> {
    let bytes = bytes(path, Content::Record)?;
    Ok(read_record(&path.display().to_string(), &bytes))
}

/// Reads a record that a row of a table names; what is wrong with it is one more problem of that table.
pub(super) fn record_of(
    path: &Path,
    table: &str,
    line: usize,
) -> Result<MeasuredRecord, Vec<FileProblem>> {
    match held(path, Content::Record) {
        Ok(bytes) => read_record(&path.display().to_string(), &bytes),
        Err(e) => Err(vec![FileProblem {
            file: table.to_owned(),
            line: Some(line),
            column: Some("record".to_owned()),
            message: format!("cannot read {}: {}", path.display(), e.why),
            hint: Some(
                "records lie beside the table; without one leave the cell empty and give `change`, or `initial` and `final`"
                    .to_owned(),
            ),
        }]),
    }
}

/// Says what is wrong, all at once.
pub(super) fn refuse(problems: &[FileProblem], as_json: bool) -> Exit {
    if as_json {
        let document = data_problems_json(problems);
        return output::say(&output::pretty(&document), Exit::BadInput);
    }
    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
    output::complain(&told.join("\n"));
    Exit::BadInput
}

/// Refuses a file of data where a scenario is due, and none of data behind it.
pub(super) fn scenario_first(
    command: &str,
    (first, data): (Option<&str>, Option<&Path>),
    what: &str,
) -> Result<(), Exit> {
    match first {
        Some(name) if data.is_none() && is_table(name) => Err(refused(&format!(
            "{name} is a file of {what}: name the scenario before it, `joulecast {command} SCENARIO {name}`"
        ))),
        _ => Ok(()),
    }
}

/// Whether a name is that of a table and not of a scenario.
fn is_table(name: &str) -> bool {
    let extension = Path::new(name).extension().and_then(|e| e.to_str());
    extension.is_some_and(|e| ["csv", "tsv", "txt"].contains(&e.to_ascii_lowercase().as_str()))
}
