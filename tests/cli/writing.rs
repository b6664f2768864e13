//! Files of one answer are of one run, whatever ends the program; and nothing temporary stays.

#![cfg(unix)]

use super::{joulecast, run, send, start, text};
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{BufRead, BufReader};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};
use tempfile::tempdir;

/// Times that a run is killed, at so many moments in turn.
const KILLS: u32 = 40;

/// Times at most, where a busy machine comes too late for most of them.
const MOST_KILLS: u32 = 200;

/// Between the first sign of writing and the end of it, by this much later each time.
const STEP: Duration = Duration::from_micros(700);

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let name = |e: fs::DirEntry| e.file_name().to_string_lossy().into_owned();
    entries.map(name).collect()
}

fn temporary(folder: &Path) -> BTreeSet<String> {
    let mut names = names(folder);
    names.retain(|n| n.starts_with(".joulecast-"));
    names
}

/// Files of a folder that are not temporary.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let names = names(folder);
    let lasting = names
        .difference(&temporary(folder))
        .cloned()
        .collect::<Vec<_>>();
    let read = |n: &String| fs::read(folder.join(n)).expect("a file");
    lasting.iter().map(|n| (n.clone(), read(n))).collect()
}

/// Whether the files are those of the list, as `sha256sum -c` says it.
fn is_whole(folder: &Path) -> bool {
    let list = fs::read_to_string(folder.join("trace.sha256")).expect("the list");
    list.lines().all(|line| {
        let (digest, name) = line.split_once("  ").expect("digest and name");
        let of_file = Sha256::digest(fs::read(folder.join(name)).expect("a file of the list"));
        let digits: String = of_file.iter().map(|b| format!("{b:02x}")).collect();
        digits == digest
    })
}

#[test]
fn killed_at_any_moment_old_and_new_files_are_told_apart() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let arguments = |seed: &'static str, out: &'static str| ["trace", "--seed", seed, "--out", out];
    let whole = ["1", "2"].map(|seed| {
        let (code, ..) = run(at, &arguments(seed, "alone"));
        assert_eq!(code, 0);
        contents(&at.join("alone"))
    });
    assert_ne!(whole[0], whole[1]);
    let out = at.join("out");
    run(at, &arguments("1", "out"));
    let (mut in_writing, mut states) = (0, BTreeSet::new());
    for k in 0..MOST_KILLS {
        if k >= KILLS && in_writing > KILLS / 6 && states.len() > 1 {
            break;
        }
        let before = temporary(&out);
        let mut child = start(at, &arguments(["2", "1"][k as usize % 2], "out"));
        // The first one tries the folder, long before anything is written.
        while temporary(&out).difference(&before).count() < 3 {
            if child.try_wait().expect("a state").is_some() {
                break;
            }
        }
        std::thread::sleep(STEP * (k % KILLS));
        child.kill().expect("it is killed");
        child.wait().expect("it ends");
        in_writing += u32::from(!temporary(&out).is_empty());
        let now = contents(&out);
        let one = whole.iter().position(|w| *w == now);
        // A mixture does not agree with its list; what agrees is of one run.
        assert_eq!(is_whole(&out), one.is_some(), "after {k} steps");
        states.insert(one);
    }
    assert!(in_writing > 0, "none was killed while it wrote");
    assert!(states.len() > 1, "no run came to its end: {states:?}");
    run(at, &arguments("2", "out"));
    assert_eq!(temporary(&out), BTreeSet::new());
    assert_eq!(contents(&out), whole[1]);
}

#[test]
fn two_runs_at_once_follow_each_other() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let arguments = |seed| ["trace", "--seed", seed, "--out", "out"];
    let both = ["1", "2"].map(|seed| start(at, &arguments(seed)));
    for child in both {
        let output = child.wait_with_output().expect("it ends");
        assert!(output.status.success(), "{}", text(&output.stderr));
    }
    assert!(is_whole(&at.join("out")));
    assert_eq!(temporary(&at.join("out")), BTreeSet::new());
}

#[test]
fn a_second_interrupt_ends_at_once_and_leaves_nothing() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let mut child = start(at, &["--trials", "5e7", "--out", "made/too"]);
    std::thread::sleep(Duration::from_millis(1500));
    let begun = Instant::now();
    while child.try_wait().expect("a state").is_none() {
        send(&child, "-INT");
        std::thread::sleep(Duration::from_millis(1));
        assert!(begun.elapsed() < Duration::from_secs(10), "slow to end");
    }
    assert_eq!(child.wait().expect("it ended").code(), Some(130));
    assert_eq!(names(at), BTreeSet::new());
}

#[test]
fn files_may_be_read_by_those_that_the_mask_allows() {
    let folder = tempdir().expect("a folder");
    for (mask, due) in [("077", 0o600), ("022", 0o644), ("002", 0o664)] {
        let command = format!("umask {mask}; exec \"$0\" --trials 300 --out {mask}");
        let status = Command::new("sh")
            .args(["-c", &command, env!("CARGO_BIN_EXE_joulecast")])
            .current_dir(folder.path())
            .stdout(Stdio::null())
            .status();
        assert!(status.expect("a shell").success());
        let out = folder.path().join(mask);
        for name in names(&out) {
            let mode = fs::metadata(out.join(&name))
                .expect("a file")
                .permissions()
                .mode();
            assert_eq!(mode & 0o777, due, "{name}: {mode:o}");
        }
    }
}

#[test]
fn a_write_protected_file_is_not_replaced() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    run(at, &["--trials", "300"]);
    let own = at.join("joulecast-out/forecast.txt");
    fs::write(&own, "mine").expect("written");
    fs::set_permissions(&own, fs::Permissions::from_mode(0o444)).expect("protected");
    let before = contents(&at.join("joulecast-out"));
    let (code, said, complaint) = run(at, &["--trials", "400"]);
    assert_eq!((code, said.as_str()), (3, ""));
    assert!(
        complaint.contains("forecast.txt: it is write-protected"),
        "{complaint}"
    );
    assert_eq!(contents(&at.join("joulecast-out")), before);
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_is_told_whatever_was_to_be_printed() {
    let folder = tempdir().expect("a folder");
    for arguments in [
        &["--help"][..],
        &["--version"],
        &["help"],
        &["show"],
        &["rank", "--help"],
    ] {
        let full = fs::OpenOptions::new().write(true).open("/dev/full");
        let status = Command::new(env!("CARGO_BIN_EXE_joulecast"))
            .args(arguments)
            .current_dir(folder.path())
            .stdout(full.expect("a full device"))
            .stderr(Stdio::null())
            .status();
        assert_eq!(status.expect("it runs").code(), Some(3), "{arguments:?}");
    }
}

#[test]
fn a_long_study_gives_a_sign_of_life_every_ten_seconds() {
    let folder = tempdir().expect("a folder");
    let begun = Instant::now();
    let mut child = start(
        folder.path(),
        &["forecast", "--trials", "1e9", "--threads", "1"],
    );
    let mut lines = BufReader::new(child.stderr.take().expect("a pipe")).lines();
    let first = lines.next().expect("a line").expect("text");
    assert!(begun.elapsed() >= Duration::from_secs(10), "{first}");
    assert!(begun.elapsed() < Duration::from_secs(15), "{first}");
    let done = first
        .strip_prefix("simulating for 10 s: ")
        .expect("a sign of life");
    let done = done
        .strip_suffix(" of 1000000000 trials")
        .expect("all of them");
    assert!(done.parse::<u64>().is_ok_and(|n| n > 0), "{first}");
    child.kill().expect("it is killed");
    child.wait().expect("it ends");
}

#[test]
fn a_pipe_is_as_wide_as_columns_say() {
    let folder = tempdir().expect("a folder");
    let widest = |columns: Option<&str>, more: &[&str]| {
        let mut command = joulecast(folder.path());
        command
            .args(["--trials", "300"])
            .args(more)
            .env_remove("COLUMNS");
        if let Some(columns) = columns {
            command.env("COLUMNS", columns);
        }
        let said = text(&command.output().expect("it runs").stdout);
        let sentences = said.split("\nRESULT").next().expect("a beginning");
        let widths = sentences.lines().map(|l| l.chars().count());
        widths.max().expect("lines")
    };
    for (columns, due) in [
        (None, 70..=80),
        (Some("80"), 70..=80),
        (Some("150"), 130..=150),
        (Some("1000"), 180..=200),
        (Some("60"), 50..=60),
        (Some("0"), 70..=80),
        (Some("wide"), 70..=80),
    ] {
        let found = widest(columns, &[]);
        assert!(due.contains(&found), "{columns:?}: {found}");
    }
}
