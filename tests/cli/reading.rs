//! What is read: regular files up to a stated size, and standard input.

use super::{flowing, joulecast, run, text};
use joulecast::scenario::shipped;
use std::fs;
use std::time::{Duration, Instant};
use tempfile::tempdir;

/// Far more than refusing takes, and far less than reading without end.
const AT_ONCE: Duration = Duration::from_secs(10);

#[test]
#[cfg(unix)]
fn what_has_no_end_is_refused_at_once() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let pipe = std::process::Command::new("mkfifo")
        .arg(at.join("pipe"))
        .status();
    assert!(pipe.expect("mkfifo is there").success());
    fs::write(
        at.join("my.toml"),
        "format = 1\nlibrary_file = \"/dev/zero\"\n",
    )
    .expect("written");
    for (arguments, due) in [
        (
            &["check", "/dev/zero"][..],
            "cannot read /dev/zero: it is no regular file",
        ),
        (
            &["check", "pipe"],
            "cannot read pipe: it is no regular file",
        ),
        (&["check", "."], "cannot read .: it is a folder"),
        (
            &["forecast", "my.toml"],
            "cannot read /dev/zero: it is no regular file",
        ),
        (
            &["evaluate", "ammonium-chloride-dewar", "pipe"],
            "cannot read pipe: it is no regular file",
        ),
        (
            &["trace", "ammonium-chloride-dewar", "/dev/zero"],
            "cannot read /dev/zero: it is no regular file",
        ),
    ] {
        let begun = Instant::now();
        let (code, said, complaint) = run(at, arguments);
        assert_eq!((code, said.as_str()), (3, ""), "{arguments:?}");
        assert!(complaint.contains(due), "{arguments:?}: {complaint}");
        assert!(begun.elapsed() < AT_ONCE, "{arguments:?}");
    }
}

#[test]
fn a_file_beyond_its_size_is_refused() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let own = shipped("ammonium-chloride-dewar").expect("it is shipped");
    let filled = |most: usize, text: &str| format!("{text}{}", "\n".repeat(most - text.len()));
    let whole = filled(1_000_000, own);
    fs::write(at.join("whole.toml"), &whole).expect("written");
    assert_eq!(run(at, &["check", "whole.toml"]).0, 0);
    let larger = whole + "\n";
    fs::write(at.join("larger.toml"), &larger).expect("written");
    let named = own.replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    fs::write(at.join("my.toml"), named).expect("written");
    fs::write(at.join("ours.toml"), filled(4_000_000, "")).expect("written");
    assert_eq!(run(at, &["check", "my.toml"]).0, 0);
    fs::write(at.join("ours.toml"), filled(4_000_001, "")).expect("written");
    for (arguments, due) in [
        (["check", "larger.toml"], "larger than 1 MB"),
        (["check", "my.toml"], "larger than 4 MB"),
    ] {
        let (code, _, complaint) = run(at, &arguments);
        assert_eq!(code, 3, "{complaint}");
        assert!(complaint.contains(due), "{complaint}");
    }
    // Standard input has no size to ask for beforehand.
    let output = joulecast(at)
        .args(["check", "-"])
        .write_stdin(larger)
        .output()
        .expect("it ends");
    assert_eq!(output.status.code(), Some(3));
    assert!(flowing(&text(&output.stderr)).contains("standard input: larger than 1 MB"));
}

#[test]
fn a_scenario_comes_from_standard_input_for_every_command() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let own = shipped("ammonium-chloride-dewar").expect("it is shipped");
    for arguments in [
        &["check", "-"][..],
        &["forecast", "-", "--trials", "300"],
        &["rank", "-", "--trials", "4096"],
        &["compare", "-", "urea-foam-cups", "--trials", "300"],
        &["evaluate", "-", "--template"],
        &["trace", "-"],
        &["show", "reaction", "--scenario", "-"],
    ] {
        let given = |name: &str| {
            let named = arguments.iter().map(|a| if *a == "-" { name } else { a });
            let output = joulecast(at)
                .args(named)
                .write_stdin(own)
                .output()
                .expect("it ends");
            let complaint = text(&output.stderr);
            assert!(matches!(output.status.code(), Some(0 | 1)), "{complaint}");
            text(&output.stdout)
        };
        let piped = given("-").replace("standard input:", "ammonium-chloride-dewar:");
        if arguments[0] != "compare" {
            assert_eq!(piped, given("ammonium-chloride-dewar"), "{arguments:?}");
        }
    }
    let output = joulecast(at)
        .args(["evaluate", "-", "-"])
        .write_stdin(own)
        .output()
        .expect("it ends");
    assert_eq!(output.status.code(), Some(3));
    assert!(flowing(&text(&output.stderr)).contains("standard input can be only one"));
}
