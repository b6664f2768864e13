//! Files of one answer: written whole or not at all, and told apart from those of another one.
//!
//! Each file is first written under a temporary name in its folder. When all are there they take their names, and last of all
//! comes a list of their digests (SHA-256): whatever ends the program in between, files and list do not agree, and the list
//! says which files are of one run. Who writes holds a lock on the folder, so that two runs follow each other, and what is
//! temporary in a folder that nobody else holds was left by a run that is dead.

use sha2::{Digest, Sha256};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};
use tempfile::NamedTempFile;
use thiserror::Error;

/// A file to be written.
#[derive(Debug, Clone)]
pub struct OutFile {
    /// Name inside the folder.
    pub name: String,
    /// Contents.
    pub bytes: Vec<u8>,
}

impl OutFile {
    /// A text file.
    pub fn text(name: &str, text: String) -> Self {
        Self {
            name: name.to_owned(),
            bytes: text.into_bytes(),
        }
    }
}

/// Why files could not be written.
#[derive(Debug, Error)]
pub enum WriteError {
    /// The folder cannot be made.
    #[error("cannot make the folder {}: {source}", path.display())]
    Folder {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A file cannot be written.
    #[error("cannot write {}: {source}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A file that may not be written to.
    #[error("cannot write {}: it is write-protected", path.display())]
    Protected {
        /// Which.
        path: PathBuf,
    },
    /// Somebody else does not come to an end.
    #[error("cannot write to {}: another run is writing there", path.display())]
    Busy {
        /// Which folder.
        path: PathBuf,
    },
}

/// Beginning and end of a temporary name.
const TEMPORARY: [&str; 2] = [".joulecast-", ".tmp"];

/// How long another run may write.
const PATIENCE: Duration = Duration::from_secs(30);

/// Temporary files that are there now: here, where a second Ctrl-C finds them. Files are made and take their names only
/// while this is held.
static THERE: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn there() -> MutexGuard<'static, Vec<PathBuf>> {
    THERE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Removes the temporary files of this run. As long as what it gives back lives, nothing more is written.
pub fn stop_writing() -> impl Drop {
    let mut there = there();
    for path in there.drain(..) {
        let _ = fs::remove_file(path);
    }
    there
}

/// Makes the folder if need be, removes what dead runs left in it, and tries it with a temporary file, which leaves no
/// trace.
///
/// Tells whether it made the folder.
///
/// # Errors
/// If the folder cannot be made or nothing can be written to it.
pub fn prepare(folder: &Path) -> Result<bool, WriteError> {
    let made = !folder.exists();
    let _held = hold(folder)?;
    drop(temporary(folder).map_err(failed(folder))?);
    there().clear();
    Ok(made)
}

/// Writes all files into a folder, which is made if need be, and then their digests to `NAME.sha256`.
///
/// # Errors
/// If the folder or a file cannot be written; then all files are as before.
pub fn write_all(folder: &Path, name: &str, files: &[OutFile]) -> Result<(), WriteError> {
    let _held = hold(folder)?;
    let ready = ready(folder, name, files);
    let written = ready.and_then(|ready| named(folder, ready));
    there().clear();
    written
}

/// The name of the list of digests.
pub fn list_of(name: &str) -> String {
    format!("{name}.sha256")
}

/// All files under temporary names, the list last.
fn ready(
    folder: &Path,
    name: &str,
    files: &[OutFile],
) -> Result<Vec<(NamedTempFile, PathBuf)>, WriteError> {
    let digests = files.iter().map(|f| {
        let digest = Sha256::digest(&f.bytes);
        let digits: String = digest.iter().map(|b| format!("{b:02x}")).collect();
        format!("{digits}  {}\n", f.name)
    });
    let list = OutFile::text(&list_of(name), digests.collect());
    let mut ready = Vec::new();
    for file in files.iter().chain([&list]) {
        let target = folder.join(&file.name);
        // What cannot take its name is found out before any of them does.
        match fs::metadata(&target) {
            Ok(m) if m.is_dir() => {
                return Err(failed(&target)(io::ErrorKind::IsADirectory.into()));
            }
            Ok(m) if m.permissions().readonly() => {
                return Err(WriteError::Protected { path: target });
            }
            Err(e) if !target.parent().is_some_and(Path::is_dir) => {
                return Err(failed(&target)(e));
            }
            _ => {}
        }
        let mut made = temporary(folder).map_err(failed(&target))?;
        let written = made
            .write_all(&file.bytes)
            .and_then(|()| made.as_file().sync_all());
        written.map_err(failed(&target))?;
        ready.push((made, target));
    }
    Ok(ready)
}

/// All files take their names; whoever stops this waits until they have.
fn named(folder: &Path, ready: Vec<(NamedTempFile, PathBuf)>) -> Result<(), WriteError> {
    let _there = there();
    for (made, target) in ready {
        made.persist(&target)
            .map_err(|e| failed(&target)(e.error))?;
    }
    // The names as well are on the disk, where a folder can be opened.
    let _ = File::open(folder).and_then(|f| f.sync_all());
    Ok(())
}

/// A temporary file, which others may read as far as the user's mask allows.
fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    let mut there = there();
    let [prefix, suffix] = TEMPORARY;
    let mut builder = tempfile::Builder::new();
    builder.prefix(prefix).suffix(suffix);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let made = builder.tempfile_in(folder)?;
    there.push(made.path().to_owned());
    Ok(made)
}

/// Makes a folder and locks it; what is temporary in it then is nobody's. None where folders cannot be locked.
fn hold(folder: &Path) -> Result<Option<File>, WriteError> {
    fs::create_dir_all(folder).map_err(|source| WriteError::Folder {
        path: folder.to_owned(),
        source,
    })?;
    let Ok(held) = File::open(folder) else {
        return Ok(None);
    };
    let begun = Instant::now();
    loop {
        match held.try_lock() {
            Ok(()) => break,
            Err(fs::TryLockError::Error(_)) => return Ok(None),
            Err(fs::TryLockError::WouldBlock) if begun.elapsed() > PATIENCE => {
                let path = folder.to_owned();
                return Err(WriteError::Busy { path });
            }
            Err(fs::TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(20)),
        }
    }
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with(TEMPORARY[0]) && name.ends_with(TEMPORARY[1]) {
            let _ = fs::remove_file(entry.path());
        }
    }
    Ok(Some(held))
}

fn failed(path: &Path) -> impl Fn(io::Error) -> WriteError {
    let path = path.to_owned();
    move |source| WriteError::File {
        path: path.clone(),
        source,
    }
}

#[cfg(test)]
#[path = "files_tests.rs"]
mod tests;
