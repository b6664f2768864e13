//! The scenario grammar and the command line, as their users meet them.

mod agree;
mod browser;
mod comparing;
mod designs;
mod designs_windows;
mod ending;
mod gallery;
mod help;
mod letters;
mod mutated;
mod nonsense;
mod own_library;
mod pages;
mod program;
mod published;
mod ranking;
mod ranking_effort;
mod reading;
mod reference;
mod results;
mod scenarios_bad;
mod schemas;
mod sentences;
mod steps;
mod words;
mod writing;

use assert_cmd::Command;
use std::path::Path;
#[cfg(unix)]
use std::process::{self, Child, Stdio};

/// The program, run in this folder.
fn joulecast(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_joulecast"));
    command.current_dir(folder);
    command
}

/// The program, started in this folder and not waited for.
#[cfg(unix)]
fn start(folder: &Path, arguments: &[&str]) -> Child {
    process::Command::new(env!("CARGO_BIN_EXE_joulecast"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

/// Sends a signal, as the shell names it.
#[cfg(unix)]
fn send(child: &Child, signal: &str) {
    let sent = process::Command::new("kill")
        .args([signal, &child.id().to_string()])
        .status();
    assert!(sent.expect("kill is there").success());
}

/// Output as text.
fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("output is UTF-8")
}

/// Runs the program; gives back its exit code, standard output and standard error.
fn run(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = joulecast(folder)
        .args(arguments)
        .output()
        .expect("the program starts");
    let code = output.status.code().expect("an exit code");
    // Messages are wrapped; tests look for what they say.
    let complaint = flowing(&complaint(&output.stderr));
    (code, text(&output.stdout), complaint)
}

/// What a program complained about: all but signs of life, which come from whatever takes ten seconds.
fn complaint(bytes: &[u8]) -> String {
    let all = text(bytes);
    let lines = all.split_inclusive('\n');
    lines
        .filter(|l| !l.starts_with("simulating for "))
        .collect()
}

/// Whether nothing has been written.
fn is_empty(folder: &Path) -> bool {
    let mut entries = std::fs::read_dir(folder).expect("a folder");
    entries.next().is_none()
}

/// All words with single spaces, to look for a sentence that the width of the page has broken.
fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether files are there and not empty.
fn are_written(folder: &Path, names: &[&str]) {
    for name in names {
        let there = folder.join(name).metadata().is_ok_and(|m| m.len() > 0);
        assert!(there, "{name}");
    }
}

/// Nothing that is printed is wider than a terminal.
fn fits_80_columns(text: &str) {
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}
