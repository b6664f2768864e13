//! Closed pipes, Ctrl-C and a request to end are followed quietly.

#![cfg(unix)]

use super::{send, start, text};
use std::fs;
use std::io::{BufRead, BufReader, Read};

use std::time::{Duration, Instant};
use tempfile::tempdir;

#[test]
fn a_closed_pipe_ends_quietly() {
    let folder = tempdir().expect("a folder");
    for arguments in [
        &["show"][..],
        &["show", "--json"],
        &["show", "source"],
        &["--help"],
        &["check", "urea-foam-cups"],
        &["--trials", "300"],
        &["--trials", "300", "--json"],
    ] {
        let mut child = start(folder.path(), arguments);
        drop(child.stdout.take());
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(text(&output.stderr), "", "{arguments:?}");
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    }
}

#[test]
fn a_pipe_closed_after_one_line_ends_quietly() {
    let folder = tempdir().expect("a folder");
    let mut child = start(folder.path(), &["show", "--json"]);
    let mut line = String::new();
    let mut reader = BufReader::with_capacity(16, child.stdout.take().expect("a pipe"));
    reader.read_line(&mut line).expect("a line");
    drop(reader);
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(line, "{\n");
    assert_eq!(text(&output.stderr), "");
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn an_interrupted_run_writes_nothing_and_says_so_in_a_word() {
    let folder = tempdir().expect("a folder");
    for (i, more) in [
        &["--trials", "50000000"][..],
        &["--trials", "50000000", "--json"],
        &["compare", "--trials", "50000000"],
        &[
            "compare",
            "--reaction",
            "urea-water",
            "--reaction",
            "kcl-water",
            "--trials",
            "1e7",
        ],
        &["rank", "magnesium-oxide-cycle", "--trials", "1e7"],
        &["sweep", "--trials", "1e7"],
        &["loosen", "--spread", "1.5 %", "--trials", "1e7"],
        &[
            "rank",
            "--digits",
            "2",
            "permanganate-iron-dewar",
            "--out",
            "made/too",
        ],
    ]
    .into_iter()
    .enumerate()
    {
        let mut child = start(folder.path(), more);
        std::thread::sleep(Duration::from_millis(1500));
        assert!(
            child.try_wait().expect("a state").is_none(),
            "it ended by itself"
        );
        let begun = Instant::now();
        // Whoever shuts a machine down sends the other one.
        send(&child, if i % 2 == 0 { "-INT" } else { "-TERM" });
        let (mut said, mut complaint) = (String::new(), String::new());
        let mut out = child.stdout.take().expect("a pipe");
        out.read_to_string(&mut said).expect("text");
        let mut err = child.stderr.take().expect("a pipe");
        err.read_to_string(&mut complaint).expect("text");
        let complaint = super::complaint(complaint.as_bytes());
        let status = child.wait().expect("it ends");
        assert_eq!(status.code(), Some(130));
        assert_eq!((said.as_str(), complaint.as_str()), ("", "interrupted\n"));
        assert!(begun.elapsed() < Duration::from_secs(20), "slow to end");
        let left = fs::read_dir(folder.path()).expect("the folder").count();
        assert_eq!(left, 0);
    }
}
