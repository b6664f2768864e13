//! Standard output and standard error.

use super::Exit;
use super::args::Colour;
use crate::report::document::{Document, Extent};
use crate::report::render::{Screen, document_text};
use crate::report::{hanging, plain, plain_json};
use serde_json::Value;
use std::io::{ErrorKind, IsTerminal, Write};
use std::sync::OnceLock;

/// What the options say of all output.
static MANNER: OnceLock<(Colour, bool)> = OnceLock::new();

/// Sets whether there are colours, and whether there is anything but errors.
pub(super) fn set(colour: Colour, quiet: bool) {
    let _ = MANNER.set((colour, quiet));
}

/// Whether nothing but errors is printed.
pub(super) fn is_quiet() -> bool {
    MANNER.get().is_some_and(|(_, quiet)| *quiet)
}

/// Whether there are colours where messages go to.
pub(super) fn coloured(on: &impl IsTerminal) -> bool {
    // https://no-color.org: set, and not empty.
    let unwanted = || std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
    match MANNER.get().map(|(colour, _)| *colour) {
        Some(Colour::Always) => true,
        Some(Colour::Never) => false,
        _ => on.is_terminal() && !unwanted(),
    }
}

/// Writes to standard output and ends as told; a closed pipe ends quietly.
pub(super) fn say(text: &str, then: Exit) -> Exit {
    say_coloured(&plain(text), then)
}

/// The same for a text that may have colours, in which nothing of others is left that could do anything.
pub(super) fn say_coloured(text: &str, then: Exit) -> Exit {
    if is_quiet() {
        return then;
    }
    let mut out = std::io::stdout().lock();
    let written = out.write_all(text.as_bytes()).and_then(|()| out.flush());
    ended(written, then)
}

fn ended(written: std::io::Result<()>, then: Exit) -> Exit {
    match written {
        Err(e) if e.kind() != ErrorKind::BrokenPipe => {
            complain(&format!("cannot write to standard output: {e}"));
            Exit::ReadWrite
        }
        _ => then,
    }
}

/// What the reader of the command line says: help and version are answers, all else is wrong with it.
pub(super) fn parser_says(e: &clap::Error) -> Exit {
    if !e.use_stderr() {
        return ended(e.print(), Exit::Done);
    }
    // Names of files may have in them what is not for a terminal.
    let text = e.render().to_string();
    if plain(&text) == text {
        let _ = e.print();
    } else {
        complain(&text);
    }
    Exit::BadInput
}

/// Characters of a line in a file, and where nothing else is said.
pub(super) const PAGE: usize = 80;

/// Characters of a line on standard output: as `COLUMNS` says, else as wide as the terminal, if it is one, within what can
/// be read.
pub(super) fn width() -> usize {
    let stated = std::env::var("COLUMNS").ok().and_then(|w| w.parse().ok());
    let stated = stated.filter(|w| *w > 0);
    if !std::io::stdout().is_terminal() {
        return stated.map_or(PAGE, |w: usize| w.clamp(40, 200));
    }
    let own = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    stated.or_else(own).unwrap_or(PAGE).clamp(60, 120)
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
    let text = plain(text);
    if text.contains('\n') {
        complain_coloured(&text);
    } else {
        complain_coloured(&hanging(&text, PAGE));
    }
}

/// The same for a text that may have colours, line by line as it is.
pub(super) fn complain_coloured(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

/// A JSON document with a closing newline.
pub(super) fn pretty(document: &Value) -> String {
    plain_json(&format!("{document:#}\n"))
}
