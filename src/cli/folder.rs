//! The folder that results go to: made before the work, and gone again if nothing came of it.

use super::args::Common;
use super::{Exit, output};
use crate::report::{OutFile, Picture, prepare, write_all};
use std::fmt::Display;
use std::path::PathBuf;

/// A folder that can be written to.
pub(super) struct Folder {
    pub(super) path: PathBuf,
    made: bool,
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
        let made = prepare(&path).map_err(|e| failed(&e))?;
        Ok(Some(Self { path, made }))
    }

    /// Takes it away again if it was made for this and is still empty.
    pub(super) fn give_up(&self) {
        if self.made {
            let _ = std::fs::remove_dir(&self.path);
        }
    }

    /// Writes all files, or none, and names them in a paragraph.
    pub(super) fn write(&self, files: &[OutFile]) -> Result<String, Exit> {
        write_all(&self.path, files).map_err(|e| failed(&e))?;
        let mut said = format!("\nFiles in {}:\n", self.path.display());
        for three in files.chunks(3) {
            let names: Vec<&str> = three.iter().map(|f| f.name.as_str()).collect();
            said.push_str(&format!("  {}\n", names.join(", ")));
        }
        Ok(said)
    }
}

/// Says that something could not be read or written.
pub(super) fn failed(e: &dyn Display) -> Exit {
    output::complain(&e.to_string());
    Exit::ReadWrite
}

/// Pictures as files, each in both forms.
pub(super) fn drawn<N: std::fmt::Display>(
    pictures: Vec<(N, Picture)>,
) -> Result<Vec<OutFile>, Exit> {
    let mut files = Vec::new();
    for (name, picture) in pictures {
        files.push(OutFile {
            name: format!("{name}.png"),
            bytes: picture.png().map_err(|e| failed(&e))?,
        });
        files.push(OutFile::text(&format!("{name}.svg"), picture.svg));
    }
    Ok(files)
}
