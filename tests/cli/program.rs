//! What the program does with what it is told, and how it ends.

use super::run;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Writes the template with some of its text replaced.
fn changed(folder: &Path, from: &str, to: &str) {
    let path = folder.join("my.toml");
    if !path.exists() {
        assert_eq!(run(folder, &["new", "my.toml"]).0, 0);
    }
    let old = fs::read_to_string(&path).expect("the template");
    assert!(old.contains(from), "{from}");
    fs::write(path, old.replacen(from, to, 1)).expect("written");
}

#[test]
fn a_new_scenario_is_broken_pointed_at_mended_and_answered() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let (code, said, _) = run(at, &["new", "my.toml", "--title", "Urea on \"Mondays\""]);
    assert_eq!(code, 0);
    assert!(said.contains("joulecast check my.toml"), "{said}");
    for good in ["my.toml", "ammonium-chloride-dewar", "urea-foam-cups"] {
        let (code, said, complaint) = run(at, &["check", good]);
        assert_eq!((code, complaint.as_str()), (0, ""));
        // Foam cups show what contents "same" is worth, and are warned of it.
        let warned = said.contains("warning: lab.contents");
        assert_eq!(warned, good == "urea-foam-cups", "{said}");
        let verdict = if warned {
            "good to run, with one warning."
        } else {
            "good to run."
        };
        assert!(said.contains(&format!("{good}: {verdict}\n")), "{said}");
    }

    changed(at, "mass = \"1.25 g\"", "mass = \"1.25 mL\"");
    let line = fs::read_to_string(at.join("my.toml"))
        .expect("the scenario")
        .lines()
        .position(|l| l.contains("1.25 mL"))
        .expect("the broken line")
        + 1;
    let (code, said, complaint) = run(at, &["check", "my.toml"]);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(
        complaint.contains(&format!("my.toml:{line}:8")),
        "{complaint}"
    );
    assert!(complaint.contains("a mass is due here"), "{complaint}");
    let (code, _, complaint) = run(at, &["forecast", "my.toml"]);
    assert_eq!(code, 2);
    assert!(complaint.contains(&format!("my.toml:{line}:8")));

    changed(at, "1.25 mL", "1.25 g");
    let (code, said, complaint) = run(at, &["forecast", "my.toml", "--trials", "1000"]);
    assert_eq!((code, complaint.as_str()), (0, ""));
    assert!(said.starts_with("Urea on 'Mondays'\n"), "{said}");
    assert!(said.contains("kJ/mol"));
}

#[test]
fn new_never_overwrites() {
    let folder = tempdir().expect("a folder");
    fs::write(folder.path().join("mine.toml"), "precious").expect("written");
    let (code, _, complaint) = run(folder.path(), &["new", "mine.toml"]);
    assert_eq!(code, 3);
    assert!(complaint.contains("exists already"), "{complaint}");
    let left = fs::read_to_string(folder.path().join("mine.toml")).expect("still there");
    assert_eq!(left, "precious");
    assert_eq!(run(folder.path(), &["new", "no/such/folder.toml"]).0, 3);
}

#[test]
fn a_missed_target_is_exit_code_1_and_a_met_one_0() {
    let folder = tempdir().expect("a folder");
    let arguments = ["forecast", "my.toml", "--trials", "1000"];
    changed(
        folder.path(),
        "[target]\n",
        "[target]\nuncertainty = \"0.01 %\"\n",
    );
    let (code, said, _) = run(folder.path(), &arguments);
    assert_eq!(code, 1);
    assert!(said.contains("The target is missed"), "{said}");
    changed(folder.path(), "0.01 %", "90 %");
    let (code, said, _) = run(folder.path(), &arguments);
    assert_eq!(code, 0);
    assert!(said.contains("The target is met"), "{said}");
}

#[test]
fn a_bad_command_line_is_exit_code_2() {
    let folder = tempdir().expect("a folder");
    for arguments in [
        &["forecats"][..],
        &["--trials", "ten"],
        &["--trials", "1"],
        &["--trials", "1e1"],
        &["--trials", "100.5"],
        &["--trials", "1000", "--digits", "1"],
        &["--threads", "0"],
        &["--seed", "-1"],
        &["check"],
        &["forecast", "--shortest", "--trials", "9000000000"],
        &["show", "no-such-thing"],
    ] {
        let (code, said, complaint) = run(folder.path(), arguments);
        assert_eq!((code, said.as_str()), (2, ""), "{arguments:?}");
        assert!(!complaint.is_empty(), "{arguments:?}");
    }
    let left = fs::read_dir(folder.path()).expect("the folder").count();
    assert_eq!(left, 0, "nothing may be written");
}

#[test]
fn trials_may_be_written_as_a_power_of_ten() {
    let folder = tempdir().expect("a folder");
    let plain = run(folder.path(), &["--json", "--trials", "300"]);
    assert_eq!(plain.0, 0);
    assert_eq!(run(folder.path(), &["--json", "--trials", "3e2"]), plain);
}

#[test]
fn what_cannot_be_read_is_exit_code_3_and_says_why() {
    let folder = tempdir().expect("a folder");
    for command in ["check", "forecast"] {
        let (code, _, complaint) = run(folder.path(), &[command, "nonesuch.toml"]);
        assert_eq!(code, 3);
        assert!(complaint.contains("there is no such file"), "{complaint}");
        for near in ["urea-foam-cup", "urea-foam"] {
            let (code, _, complaint) = run(folder.path(), &[command, near]);
            assert_eq!(code, 3);
            assert!(complaint.contains("`urea-foam-cups`"), "{complaint}");
            for name in joulecast::scenario::shipped_names() {
                assert!(complaint.contains(name), "{complaint}");
            }
        }
        let (code, _, complaint) = run(folder.path(), &[command, "."]);
        assert_eq!(code, 3);
        assert!(complaint.contains("cannot read ."), "{complaint}");
    }
}

#[test]
fn what_cannot_be_written_is_exit_code_3_and_leaves_nothing() {
    let folder = tempdir().expect("a folder");
    fs::write(folder.path().join("taken"), "a file").expect("written");
    for out in ["taken", "taken/inside"] {
        let (code, said, complaint) = run(folder.path(), &["--trials", "500", "--out", out]);
        assert_eq!((code, said.as_str()), (3, ""), "{out}");
        assert!(complaint.contains("cannot"), "{complaint}");
    }
    let left: Vec<_> = fs::read_dir(folder.path()).expect("the folder").collect();
    assert_eq!(left.len(), 1);
    let kept = fs::read_to_string(folder.path().join("taken")).expect("still there");
    assert_eq!(kept, "a file");
}

#[test]
fn files_that_are_there_stay_when_one_of_them_cannot_be_replaced() {
    let folder = tempdir().expect("a folder");
    let out = folder.path().join("joulecast-out");
    fs::create_dir_all(out.join("record.svg")).expect("a folder in the way");
    fs::write(out.join("forecast.txt"), "before").expect("written");
    let (code, said, complaint) = run(folder.path(), &["--trials", "500"]);
    assert_eq!((code, said.as_str()), (3, ""));
    assert!(complaint.contains("record.svg"), "{complaint}");
    let kept = fs::read_to_string(out.join("forecast.txt")).expect("still there");
    assert_eq!(kept, "before");
    assert_eq!(fs::read_dir(out).expect("the folder").count(), 2);
}

#[test]
fn a_byte_order_mark_and_windows_line_ends_are_read() {
    let folder = tempdir().expect("a folder");
    changed(folder.path(), "[target]", "[target]");
    let path = folder.path().join("my.toml");
    let plain = fs::read_to_string(&path).expect("the template");
    let windows = format!("\u{feff}{}", plain.replace('\n', "\r\n"));
    let arguments = ["--json", "--trials", "300", "forecast", "my.toml"];
    let before = run(folder.path(), &arguments);
    fs::write(&path, &windows).expect("written");
    assert_eq!(run(folder.path(), &arguments), before);
    fs::write(&path, windows.replace("\"1.25 g\"", "\"1.25 mL\"")).expect("written");
    let (code, _, complaint) = run(folder.path(), &["check", "my.toml"]);
    let line = plain
        .lines()
        .position(|l| l.contains("1.25 g"))
        .expect("the line")
        + 1;
    assert_eq!(code, 2);
    assert!(
        complaint.contains(&format!("my.toml:{line}:8")),
        "{complaint}"
    );
}
