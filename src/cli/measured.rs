//! Files of measured data: read, as far as they are no larger than anything that people write.

use super::{Exit, output};
use crate::measured::{FileProblem, MOST_RECORD_BYTES, MeasuredRecord, read_record};
use crate::report::data_problems_json;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// What a file holds; of standard input for `-`.
///
/// # Errors
/// Why it cannot be read.
fn held(path: &Path, most: usize) -> Result<Vec<u8>, String> {
    let mut all = Vec::new();
    let limit = most as u64 + 1;
    let read = if path == Path::new("-") {
        std::io::stdin().lock().take(limit).read_to_end(&mut all)
    } else {
        match std::fs::metadata(path) {
            Ok(m) if !m.is_file() => return Err("it is no regular file".to_owned()),
            _ => File::open(path).and_then(|f| f.take(limit).read_to_end(&mut all)),
        }
    };
    read.map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => "there is no such file".to_owned(),
        _ => e.to_string(),
    })?;
    if all.len() > most {
        return Err(format!("larger than {} MB", most / 1_000_000));
    }
    Ok(all)
}

/// The same; why it cannot be read ends the command.
pub(super) fn bytes(path: &Path, most: usize) -> Result<Vec<u8>, Exit> {
    held(path, most).map_err(|why| {
        output::complain(&format!("cannot read {}: {why}", path.display()));
        Exit::ReadWrite
    })
}

/// Reads a record that stands alone.
pub(super) fn record(path: &Path) -> Result<Result<MeasuredRecord, Vec<FileProblem>>, Exit> {
    let bytes = bytes(path, MOST_RECORD_BYTES)?;
    Ok(read_record(&path.display().to_string(), &bytes))
}

/// Reads a record that a row of a table names; what is wrong with it is one more problem of that table.
pub(super) fn record_of(
    path: &Path,
    table: &str,
    line: usize,
) -> Result<MeasuredRecord, Vec<FileProblem>> {
    match held(path, MOST_RECORD_BYTES) {
        Ok(bytes) => read_record(&path.display().to_string(), &bytes),
        Err(why) => Err(vec![FileProblem {
            file: table.to_owned(),
            line: Some(line),
            column: Some("record".to_owned()),
            message: format!("cannot read {}: {why}", path.display()),
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

/// Whether a name is that of a table and not of a scenario.
pub(super) fn is_table(name: &str) -> bool {
    let extension = Path::new(name).extension().and_then(|e| e.to_str());
    extension.is_some_and(|e| ["csv", "tsv", "txt"].contains(&e.to_ascii_lowercase().as_str()))
}
