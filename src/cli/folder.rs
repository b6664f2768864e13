//! The folder that results go to: made before the work, and gone again if nothing came of it.

use super::args::Common;
use super::progress::interruption;
use super::{Exit, output};
use crate::engine::EngineError;
use crate::report::{OutFile, Picture, list_of, prepare, write_all};
use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;
use std::sync::{Mutex, PoisonError};

/// Folders made for results, the innermost first: here, where a second Ctrl-C finds them too.
static MADE: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Takes folders away again that were made for results and are still empty.
pub(super) fn abandon() {
    let mut made = MADE.lock().unwrap_or_else(PoisonError::into_inner);
    for folder in made.drain(..) {
        let _ = std::fs::remove_dir(folder);
    }
}

/// A folder that can be written to. However the work ends, nothing stays of it if nothing is in it.
pub(super) struct Folder {
    pub(super) path: PathBuf,
}

impl Drop for Folder {
    fn drop(&mut self) {
        abandon();
    }
}

impl Folder {
    /// The one asked for; else `joulecast-out`, where files are wanted and the answer is a text. A folder
    /// that cannot be written to is better known before the work than after it.
    pub(super) fn ready(common: &Common, wanted: bool) -> Result<Option<Self>, Exit> {
        let path = match (&common.out, common.json || !wanted) {
            (Some(folder), _) => folder.clone(),
            (None, false) => PathBuf::from("joulecast-out"),
            (None, true) => return Ok(None),
        };
        // From here on Ctrl-C ends in order.
        interruption();
        MADE.lock()
            .unwrap_or_else(PoisonError::into_inner)
            .extend(missing(&path));
        let folder = Self { path };
        prepare(&folder.path).map_err(|e| failed(&e))?;
        Ok(Some(folder))
    }

    /// Writes all files of a command, or none, and names them in a sentence.
    pub(super) fn keep(&self, name: &str, files: &[OutFile]) -> Result<String, Exit> {
        if interruption().load(Ordering::Relaxed) {
            output::complain(&EngineError::Interrupted.to_string());
            return Err(Exit::Interrupted);
        }
        write_all(&self.path, name, files).map_err(|e| failed(&e))?;
        Ok(summary(&self.path, name, files))
    }
}

/// What was written where, in a paragraph: tables and pictures by their number.
fn summary(path: &Path, name: &str, files: &[OutFile]) -> String {
    let number = |end: &str, one: &str| {
        let n = files.iter().filter(|f| f.name.ends_with(end)).count();
        let s = if n == 1 { "" } else { "s" };
        (n > 0).then(|| format!("{n} {one}{s}"))
    };
    let texts = files.iter().map(|f| &f.name);
    let mut all: Vec<String> = texts
        .filter(|n| [".csv", ".svg", ".png"].iter().all(|end| !n.ends_with(end)))
        .cloned()
        .collect();
    all.push(list_of(name));
    all.extend(number(".csv", "table"));
    all.extend(number(".svg", "picture"));
    format!("Files in {}: {}", path.display(), all.join(", "))
}

/// The folder and those around it that are not there, the innermost first.
fn missing(path: &Path) -> Vec<PathBuf> {
    path.ancestors()
        .take_while(|p| !p.as_os_str().is_empty() && !p.exists())
        .map(Path::to_owned)
        .collect()
}

/// Says that something could not be read or written.
pub(super) fn failed(e: &dyn Display) -> Exit {
    output::complain(&e.to_string());
    Exit::ReadWrite
}

/// Pictures as files, each in both forms.
pub(super) fn drawn<N: Display, E: Display>(
    pictures: Result<Vec<(N, Picture)>, E>,
) -> Vec<OutFile> {
    // What cannot be drawn takes nothing from the answer.
    let without = |e: &dyn Display| output::complain(&format!("without a picture: {e}"));
    let pictures = pictures.unwrap_or_else(|e| {
        without(&e);
        Vec::new()
    });
    let mut files = Vec::new();
    for (name, picture) in pictures {
        match picture.png() {
            Ok(bytes) => files.push(OutFile {
                name: format!("{name}.png"),
                bytes,
            }),
            Err(e) => without(&e),
        }
        files.push(OutFile::text(&format!("{name}.svg"), picture.svg));
    }
    files
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_that_cannot_be_drawn_takes_nothing_from_the_answer() {
        let none: Result<Vec<(&str, Picture)>, &str> = Err("cannot draw: 3 is not a finite number");
        assert!(drawn(none).is_empty());
    }
}
