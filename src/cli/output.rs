//! Standard output and standard error.

use super::Exit;
use crate::report::document::{Document, Extent};
use crate::report::hanging;
use crate::report::render::{Screen, document_text};
use serde_json::Value;
use std::io::{ErrorKind, Write};

/// Writes to standard output and ends as told; a closed pipe ends quietly.
pub(super) fn say(text: &str, then: Exit) -> Exit {
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    match written {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            complain(&format!("cannot write to standard output: {e}"));
            Exit::ReadWrite
        }
        _ => then,
    }
}

/// Characters of a line on the screen: as `COLUMNS` says, else as wide as the terminal, within what can be read.
pub(super) fn width() -> usize {
    let stated = std::env::var("COLUMNS").ok().and_then(|w| w.parse().ok());
    let own = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    stated.or_else(own).unwrap_or(80).clamp(60, 120)
}

/// All of a document, as wide as the screen.
pub(super) fn whole(d: &Document) -> String {
    let screen = Screen {
        width: width(),
        extent: Extent::Full,
    };
    document_text(d, screen)
}

/// Writes to standard error; a sentence that is too long for a screen is wrapped, what has lines of its own keeps them.
pub(super) fn complain(text: &str) {
    let wrapped = if text.contains('\n') {
        text.to_owned()
    } else {
        hanging(text)
    };
    let _ = writeln!(std::io::stderr().lock(), "{wrapped}");
}

/// A JSON document with a closing newline.
pub(super) fn pretty(document: &Value) -> String {
    format!("{document:#}\n")
}
