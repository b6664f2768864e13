//! Every file that is read, and standard input: regular files only, up to a stated size.

use super::{Exit, output};
use crate::measured::{MOST_RECORD_BYTES, MOST_RUNS_BYTES};
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

/// The name that means standard input.
pub(super) const STANDARD_INPUT: &str = "-";

/// What is read, which decides how much of it.
#[derive(Debug, Clone, Copy)]
pub(super) enum Content {
    Scenario,
    Library,
    /// Measured runs, or the answer of an evaluation.
    Runs,
    Record,
}

impl Content {
    /// Bytes of the largest file of its kind.
    fn most(self) -> usize {
        match self {
            Self::Scenario => 1_000_000,
            Self::Library => 4_000_000,
            Self::Runs => MOST_RUNS_BYTES,
            Self::Record => MOST_RECORD_BYTES,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Scenario => "a scenario",
            Self::Library => "a library file",
            Self::Runs => "a file of runs",
            Self::Record => "a record",
        }
    }
}

/// Why a file was not read.
pub(super) struct Unread {
    /// Whether there is no such file.
    pub absent: bool,
    /// In words.
    pub why: String,
}

fn unread(why: &str) -> Unread {
    Unread {
        absent: false,
        why: why.to_owned(),
    }
}

/// What a file holds.
///
/// # Errors
/// Why it cannot be read.
pub(super) fn held(path: &Path, content: Content) -> Result<Vec<u8>, Unread> {
    // Asked before it is opened: to open a pipe waits for its writer.
    match std::fs::metadata(path) {
        Ok(m) if m.is_dir() => Err(unread("it is a folder")),
        Ok(m) if !m.is_file() => Err(unread("it is no regular file; - reads standard input")),
        Ok(_) => File::open(path)
            .map_err(|e| unread(&e.to_string()))
            .and_then(|file| all_of(file, content)),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Err(Unread {
            absent: true,
            why: "there is no such file".to_owned(),
        }),
        Err(e) => Err(unread(&e.to_string())),
    }
}

/// The same for a file that the command line names; of standard input for `-`.
///
/// # Errors
/// Why it cannot be read.
pub(super) fn given(path: &Path, content: Content) -> Result<Vec<u8>, Unread> {
    // What was read once is gone: a second reader would find nothing.
    static TAKEN: AtomicBool = AtomicBool::new(false);
    if path != Path::new(STANDARD_INPUT) {
        return held(path, content);
    }
    if TAKEN.swap(true, Ordering::Relaxed) {
        return Err(unread("standard input can be only one of the files"));
    }
    all_of(io::stdin().lock(), content)
}

/// All of it, unless it is too much.
fn all_of(from: impl Read, content: Content) -> Result<Vec<u8>, Unread> {
    let most = content.most();
    let mut all = Vec::new();
    from.take(most as u64 + 1)
        .read_to_end(&mut all)
        .map_err(|e| unread(&e.to_string()))?;
    if all.len() > most {
        let (mb, what) = (most / 1_000_000, content.name());
        return Err(unread(&format!(
            "larger than {mb} MB, the most that is read as {what}"
        )));
    }
    Ok(all)
}

/// The same as [`given`]; why it cannot be read ends the command.
pub(super) fn bytes(path: &Path, content: Content) -> Result<Vec<u8>, Exit> {
    given(path, content).map_err(|e| {
        output::complain(&format!("cannot read {}: {}", path.display(), e.why));
        Exit::ReadWrite
    })
}
