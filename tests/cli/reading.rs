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

/// A text of at most this many bytes: a beginning, and lines that are counted.
fn lines(beginning: &str, most: usize, line: impl Fn(usize) -> String) -> String {
    let mut text = beginning.to_owned();
    for i in 0.. {
        let next = line(i);
        if text.len() + next.len() > most {
            break;
        }
        text += &next;
    }
    text
}

#[test]
fn a_large_file_is_checked_in_the_time_that_it_takes_to_read_it() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let own = shipped("ammonium-chloride-dewar").expect("it is shipped");
    let named = own.replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    let scenario = |line: fn(usize) -> String| lines(&format!("{own}\n"), 1_000_000, line);
    let library = |section: &str, line: fn(usize) -> String| {
        fs::write(at.join("ours.toml"), lines(section, 4_000_000, line)).expect("written");
        named.clone()
    };
    let entries = |section: &str| {
        lines(&format!("{own}\n{section}\n"), 1_000_000, |i| {
            format!("a{i} = \"x\"\n")
        })
    };
    type Case<'c> = (&'c str, i32, Box<dyn Fn() -> String + 'c>);
    let cases: [Case; 12] = [
        ("citations", 0, Box::new(|| entries("[library.citations]"))),
        ("columns", 2, Box::new(|| entries("[columns]"))),
        (
            "tables",
            2,
            Box::new(|| scenario(|i| format!("[unknown{i}]\n"))),
        ),
        (
            "tables in tables",
            2,
            Box::new(|| scenario(|i| format!("[t{i}.a]\n"))),
        ),
        (
            "legs",
            2,
            Box::new(|| scenario(|i| format!("[leg.a{i}]\n"))),
        ),
        (
            "broken lines",
            2,
            Box::new(|| scenario(|_| "= 3\n".to_owned())),
        ),
        (
            "keys twice",
            2,
            Box::new(|| scenario(|_| "runs = 3\n".to_owned())),
        ),
        (
            "keys",
            2,
            Box::new(|| lines("format = 1\n", 1_000_000, |i| format!("unknown{i} = 1\n"))),
        ),
        (
            "a unit",
            2,
            Box::new(|| {
                format!(
                    "format = 1\nroom.temperature = \"1 {}\"\n",
                    "g*".repeat(490_000)
                )
            }),
        ),
        (
            "citations of a file",
            0,
            Box::new(|| library("[citations]\n", |i| format!("a{i} = \"x\"\n"))),
        ),
        (
            "entries of a file",
            2,
            Box::new(|| library("[reactions]\n", |i| format!("a{i} = {{}}\n"))),
        ),
        (
            "sections of a file",
            2,
            Box::new(|| library("", |i| format!("[a{i}]\n"))),
        ),
    ];
    for (what, due, text) in cases {
        fs::write(at.join("my.toml"), text()).expect("written");
        let begun = Instant::now();
        let (code, said, complaint) = run(at, &["check", "my.toml"]);
        // A second on a machine that has nothing else to do; going through the file once for each line takes minutes.
        assert!(begun.elapsed() < AT_ONCE, "{what}: {:?}", begun.elapsed());
        assert_eq!(code, due, "{what}: {complaint}");
        let told = said.len() + complaint.len();
        assert!(told < 20_000, "{what}: {told} characters on the screen");
    }
}

#[test]
fn repeats_of_one_kind_of_problem_are_counted_on_the_screen_and_all_in_json() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let own = shipped("ammonium-chloride-dewar").expect("it is shipped");
    let unknown: String = (0..50).map(|i| format!("[unknown{i}]\n")).collect();
    let text = format!("{own}\n{unknown}[columns]\nnothing = \"x\"\n");
    fs::write(at.join("my.toml"), text).expect("written");
    let (_, _, complaint) = run(at, &["check", "my.toml"]);
    assert_eq!(
        complaint.matches("unknown table").count(),
        10,
        "{complaint}"
    );
    assert!(complaint.contains("and 40 more like it"), "{complaint}");
    assert!(
        complaint.contains("columns.nothing: unknown key"),
        "{complaint}"
    );
    assert!(complaint.ends_with("51 errors"), "{complaint}");
    let (_, said, _) = run(at, &["check", "my.toml", "--json"]);
    let document: serde_json::Value = serde_json::from_str(&said).expect("JSON");
    let problems = document["problems"].as_array().expect("a list");
    assert_eq!(problems.len(), 51);
    // Places are those of an editor, from the first to the last.
    let first = own.lines().count() as u64 + 2;
    let lines: Vec<u64> = problems.iter().filter_map(|p| p["line"].as_u64()).collect();
    let due: Vec<u64> = (first..first + 50).chain([first + 51]).collect();
    assert_eq!(lines, due);
}
