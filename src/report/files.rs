//! Files that are written whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};
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
}

/// Makes the folder if need be and tries it with a temporary file, which leaves no trace.
///
/// Tells whether it made the folder.
///
/// # Errors
/// If the folder cannot be made or nothing can be written to it.
pub fn prepare(folder: &Path) -> Result<bool, WriteError> {
    let made = !folder.exists();
    fs::create_dir_all(folder).map_err(|source| WriteError::Folder {
        path: folder.to_owned(),
        source,
    })?;
    let tried = tempfile::Builder::new()
        .prefix(".joulecast-")
        .tempfile_in(folder);
    tried.map(|_| made).map_err(|source| WriteError::File {
        path: folder.to_owned(),
        source,
    })
}

/// Writes all files into a folder, which is made if need be. Each is first written whole under a
/// temporary name in that folder; only when all are there do they take their names, so that an
/// error or an interruption leaves what was there before.
///
/// # Errors
/// If the folder or a file cannot be written.
pub fn write_all(folder: &Path, files: &[OutFile]) -> Result<(), WriteError> {
    fs::create_dir_all(folder).map_err(|source| WriteError::Folder {
        path: folder.to_owned(),
        source,
    })?;
    let fail = |name: &str| {
        let path = folder.join(name);
        move |source| WriteError::File { path, source }
    };
    let mut ready = Vec::new();
    for file in files {
        let mut temporary = tempfile::Builder::new()
            .prefix(".joulecast-")
            .suffix(".tmp")
            .tempfile_in(folder)
            .map_err(fail(&file.name))?;
        temporary.write_all(&file.bytes).map_err(fail(&file.name))?;
        temporary.as_file().sync_all().map_err(fail(&file.name))?;
        ready.push((temporary, &file.name));
    }
    // What cannot take its name is found out before any of them does.
    if let Some(file) = files.iter().find(|f| folder.join(&f.name).is_dir()) {
        return Err(fail(&file.name)(io::ErrorKind::IsADirectory.into()));
    }
    for (temporary, name) in ready {
        let target = folder.join(name);
        open_to_all(temporary.as_file());
        temporary.persist(target).map_err(|e| fail(name)(e.error))?;
    }
    Ok(())
}

/// Temporary files are private; results are for everyone the folder is for.
#[cfg(unix)]
fn open_to_all(file: &fs::File) {
    use std::os::unix::fs::PermissionsExt;
    let _ = file.set_permissions(fs::Permissions::from_mode(0o644));
}

#[cfg(not(unix))]
fn open_to_all(_: &fs::File) {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_changed_when_one_of_the_files_cannot_be_written() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.txt"), "before").unwrap();
        let files = [
            OutFile::text("a.txt", "after".into()),
            OutFile::text("missing/b.txt", "x".into()),
        ];
        let folder_of_b = folder.path().join("missing");
        assert!(!folder_of_b.exists());
        assert!(write_all(folder.path(), &files[1..]).is_err());
        let left: Vec<_> = fs::read_dir(folder.path()).unwrap().collect();
        assert_eq!(left.len(), 1, "no temporary file may stay behind");
        assert!(write_all(folder.path(), &files[..1]).is_ok());
        assert_eq!(
            fs::read_to_string(folder.path().join("a.txt")).unwrap(),
            "after"
        );
    }

    #[test]
    fn a_folder_that_is_a_file_is_an_error() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("taken");
        fs::write(&path, "").unwrap();
        assert!(matches!(
            write_all(&path, &[]),
            Err(WriteError::Folder { .. })
        ));
    }
}
