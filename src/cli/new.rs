//! `joulecast new`

use super::args::New;
use super::{Exit, output};
use crate::scenario::template;
use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};

pub(super) fn run(a: &New) -> Exit {
    let text = template(&a.title);
    // `create_new` never overwrites: somebody's scenario may be there.
    let opened = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(&a.file);
    let written = opened.and_then(|mut file| {
        // Whole or not at all: what a full disk left of it goes.
        let written = file.write_all(text.as_bytes());
        if written.is_err() {
            let _ = std::fs::remove_file(&a.file);
        }
        written
    });
    let name = a.file.display();
    match written {
        Ok(()) => output::say(
            &format!(
                "{name} written. Change it, then:\n  joulecast check {name}\n  joulecast forecast {name}\n"
            ),
            Exit::Done,
        ),
        Err(e) if e.kind() == ErrorKind::AlreadyExists => {
            output::complain(&format!("{name} exists already; nothing was changed"));
            Exit::ReadWrite
        }
        Err(e) => {
            output::complain(&format!("cannot write {name}: {e}"));
            Exit::ReadWrite
        }
    }
}
