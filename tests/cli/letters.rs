//! What others wrote does nothing on a terminal, in a spreadsheet or on a page; and files of others are not shown.

use super::{joulecast, run, text};
use joulecast::report::problems_text;
use joulecast::scenario::{Problem, read, shipped};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Whether anything would move the cursor, set a colour or turn letters round.
fn is_plain(text: &str) -> bool {
    let turns = ['\u{202e}', '\u{2066}', '\u{2028}'];
    text.chars()
        .all(|c| (!c.is_control() || "\n\t".contains(c)) && !turns.contains(&c))
}

fn own() -> &'static str {
    shipped("ammonium-chloride-dewar").expect("it is shipped")
}

fn output(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let output = joulecast(folder).args(arguments).output().expect("it runs");
    let code = output.status.code().expect("an exit code");
    (code, text(&output.stdout), text(&output.stderr))
}

#[test]
fn no_text_of_a_scenario_reaches_a_terminal_raw() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let title = |title: &str| {
        own().replacen(
            "title = \"Ammonium",
            &format!("title = \"{title}Ammonium"),
            1,
        )
    };
    let cases = [
        title("\\u001b[2J"),
        title("\\u009b2J"),
        title("\\u202e"),
        title("\u{1b}[2J"),
        title("\u{202e}"),
        title("\u{9b}2J"),
        format!("\"\\u001b[2J\" = 1\n{}", own()),
        format!("{}\n[columns]\n\"\\u001b[2J\" = \"x\"\n", own()),
        format!("{}\n[slips]\n\"\\u001b[2J\" = \"x = 1\"\n", own()),
        format!("{}\n[library.citations]\nx = \"\\u001b[2J\"\n", own()),
        own().replacen("3 %", "3 \\u001b[2J%", 1),
    ];
    for (i, text) in cases.iter().enumerate() {
        fs::write(at.join("my.toml"), text).expect("written");
        for command in ["check", "forecast"] {
            let (code, said, complaint) = output(at, &[command, "my.toml", "--trials", "300"]);
            assert_eq!((code, said.as_str()), (2, ""), "{i}: {complaint}");
            assert!(is_plain(&complaint), "{i}: {complaint:?}");
        }
        let (_, said, _) = output(at, &["check", "my.toml", "--json"]);
        assert!(is_plain(&said), "{i}: {said:?}");
        // With colours all escape sequences are the program's own: colours and nothing else.
        let problems = read(text).expect_err("it is refused").0;
        let coloured = problems_text("my\u{1b}[2J.toml", text, &problems, true);
        let sequences = coloured.split('\u{1b}').skip(1);
        let is_colour = |s: &str| {
            let end = s.find(|c: char| c.is_ascii_alphabetic());
            s.starts_with('[') && end.is_some_and(|end| s[end..].starts_with('m'))
        };
        assert!(sequences.clone().count() > 2, "{i}");
        assert!(sequences.clone().all(is_colour), "{i}: {coloured:?}");
        assert!(
            is_plain(&coloured.replace('\u{1b}', "")),
            "{i}: {coloured:?}"
        );
    }
    let forged = Problem::error("a\nerror", "b\nerror: c").hint("d\u{1b}[2J\ne");
    let told = problems_text("x", "", &[forged], false);
    assert!(is_plain(&told) && !told.contains("\nerror"), "{told:?}");
}

#[test]
#[cfg(unix)]
fn no_name_of_a_file_reaches_a_terminal_raw() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let name = "a\u{1b}[2J\u{9b}b.toml";
    fs::write(at.join(name), own()).expect("written");
    fs::write(at.join("bad\u{1b}[2J.toml"), "x = 1").expect("written");
    for arguments in [
        &["check", name][..],
        &["forecast", name, "--trials", "300", "--out", "out\u{1b}[2J"],
        &["compare", name, "urea-foam-cups", "--trials", "300"],
        &[
            "compare",
            name,
            "urea-foam-cups",
            "--trials",
            "300",
            "--json",
        ],
        &["check", "bad\u{1b}[2J.toml"],
        &["check", "bad\u{1b}[2J.toml", "--json"],
        &["check", "none\u{1b}[2J.toml"],
        &["check", name, name],
        &["\u{1b}[2J"],
        &["evaluate", name, "none\u{1b}[2J.csv"],
        &["help", "\u{1b}[2J"],
        &["show", "\u{1b}[2J"],
        &["new", name],
    ] {
        let (_, said, complaint) = output(at, arguments);
        assert!(!(said + &complaint).is_empty());
        let (_, said, complaint) = output(at, arguments);
        assert!(
            is_plain(&said) && is_plain(&complaint),
            "{arguments:?}: {said:?} {complaint:?}"
        );
    }
    let written = fs::read_to_string(at.join("joulecast-out/compare.txt")).expect("the answer");
    assert!(is_plain(&written) && written.contains("b"), "{written:?}");
}

#[test]
fn no_text_of_a_table_is_a_formula_in_a_spreadsheet() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    for name in ["=1+1.toml", "@SUM(A1).toml", "+A1.toml"] {
        fs::write(at.join(name), own()).expect("written");
    }
    let arguments = [
        "compare",
        "=1+1.toml",
        "@SUM(A1).toml",
        "+A1.toml",
        "--trials",
        "300",
    ];
    let (code, _, complaint) = output(at, &arguments);
    assert_eq!(code, 0, "{complaint}");
    let mut seen = 0;
    for file in fs::read_dir(at.join("joulecast-out")).expect("files") {
        let path = file.expect("a file").path();
        if path.extension().is_none_or(|e| e != "csv") {
            continue;
        }
        let bytes = fs::read(&path).expect("a table");
        let mut table = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .has_headers(false)
            .from_reader(bytes.as_slice());
        for record in table.records() {
            for cell in &record.expect("a row") {
                let formula =
                    cell.starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
                assert!(!formula, "{}: {cell}", path.display());
                seen += usize::from(cell.starts_with("'=1+1"));
            }
        }
    }
    assert!(seen > 0, "no table has the name");
}

#[test]
fn whatever_the_title_new_writes_a_good_scenario() {
    let folder = tempdir().expect("a folder");
    for (i, title) in [
        "",
        " ",
        "Two\nlines",
        "\"\"\"",
        "\\u001b[2J",
        "\u{1b}[2J",
        "\t\r\u{7f}\u{202e}",
        "'\\\"#",
        "@TITLE@",
        "<b>=1+1</b>",
    ]
    .into_iter()
    .enumerate()
    {
        let name = format!("{i}.toml");
        let (code, ..) = run(folder.path(), &["new", &name, "--title", title]);
        assert_eq!(code, 0, "{title:?}");
        let (code, _, complaint) = run(folder.path(), &["check", &name]);
        assert_eq!(code, 0, "{title:?}: {complaint}");
    }
}

#[test]
fn of_a_file_that_is_no_library_nothing_is_shown() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let named = own().replacen("format = 1", "format = 1\nlibrary_file = \"ours.toml\"", 1);
    fs::write(at.join("my.toml"), named).expect("written");
    for private in [
        "root:secret:0:0\nnobody:secret:1:1\n",
        "[default]\nsecret = \"word\"\n",
        "secret = \"word\"\n",
        "secret\n",
    ] {
        fs::write(at.join("ours.toml"), private).expect("written");
        for arguments in [&["check", "my.toml"][..], &["check", "my.toml", "--json"]] {
            let (code, said, complaint) = output(at, arguments);
            let told = said + &complaint;
            assert_eq!(code, 2, "{told}");
            assert!(told.contains("no library file"), "{told}");
            for word in ["secret", "word", "root", "default"] {
                assert!(!told.contains(word), "{told}");
            }
        }
    }
    // Of a library one line is.
    let broken = "[citations]\na = \"first\nb = \"second\"\n[reactions.x]\nequation = \"\"\"third\nfourth\n\"\"\"\n";
    fs::write(at.join("ours.toml"), broken).expect("written");
    let (_, _, complaint) = output(at, &["check", "my.toml"]);
    let quoted = ["first", "second", "third", "fourth"];
    let quoted = quoted.iter().filter(|word| complaint.contains(**word));
    assert_eq!(quoted.count(), 1, "{complaint}");
}

#[test]
fn numbers_out_of_range_are_told_with_their_range() {
    let folder = tempdir().expect("a folder");
    for (arguments, due) in [
        (
            &["forecast", "--class", "1e9"][..],
            "a whole number from 2 to 500 is due",
        ),
        (
            &["forecast", "--class", "three"],
            "a whole number from 2 to 500 is due",
        ),
        (
            &["sweep", "--total", "1"],
            "a whole number from 2 to 200 is due",
        ),
        (
            &["compare", "--groups", "0"],
            "a whole number from 1 to 10000 is due",
        ),
        (&["--digits", "7"], "a whole number from 1 to 2 is due"),
        (&["--threads=-1"], "a whole number from 1 to 1024 is due"),
        (
            &["--trials", "1e99"],
            "a whole number from 100 to 10000000000 is due",
        ),
        (
            &["--seed", "1.5"],
            "a whole number from 0 to 18446744073709551615 is due",
        ),
        (
            &["trace", "--mixed-at", "nan"],
            "a number of seconds is due",
        ),
    ] {
        let (code, said, complaint) = run(folder.path(), arguments);
        assert_eq!((code, said.as_str()), (2, ""), "{arguments:?}");
        assert!(complaint.contains(due), "{arguments:?}: {complaint}");
    }
}

#[test]
fn an_error_is_told_before_warnings_that_have_nothing_to_do_with_it() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let warned = format!("{}\n[library.citations]\npractice = \"ours\"\n", own());
    fs::write(at.join("my.toml"), warned).expect("written");
    let (_, said, _) = run(at, &["check", "my.toml"]);
    assert!(
        said.contains("warning: library.citations.practice"),
        "{said}"
    );
    for session in ["1e5 h", "-1 h"] {
        let (code, _, complaint) = run(at, &["sweep", "my.toml", "--session", session]);
        assert_eq!(code, 2);
        let first = complaint.starts_with("times.session") || complaint.starts_with("--session");
        assert!(first && !complaint.contains("practice"), "{complaint}");
    }
}

#[test]
fn colours_are_where_they_are_wanted() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    fs::write(at.join("bad.toml"), "x = 1\n").expect("written");
    for (arguments, variable, due) in [
        (&["check", "bad.toml"][..], "", false),
        (&["check", "bad.toml", "--color", "auto"], "", false),
        (&["check", "bad.toml", "--color", "always"], "", true),
        // What is asked for in so many words goes before a habit.
        (&["check", "bad.toml", "--color", "always"], "1", true),
        (&["check", "bad.toml", "--color", "never"], "", false),
    ] {
        let mut command = joulecast(at);
        let output = command.args(arguments).env("NO_COLOR", variable).output();
        let complaint = text(&output.expect("it runs").stderr);
        assert_eq!(
            complaint.contains('\u{1b}'),
            due,
            "{arguments:?}: {complaint:?}"
        );
    }
}

#[test]
fn quiet_is_nothing_but_errors() {
    let folder = tempdir().expect("a folder");
    let at = folder.path();
    let (code, said, complaint) = output(at, &["forecast", "--trials", "300", "--quiet"]);
    assert_eq!((code, said.as_str(), complaint.as_str()), (0, "", ""));
    assert!(at.join("joulecast-out/forecast.json").exists());
    fs::write(at.join("bad.toml"), "x = 1\n").expect("written");
    let (code, said, complaint) = output(at, &["check", "bad.toml", "--quiet"]);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(complaint.contains("x: unknown key"), "{complaint}");
    assert_eq!(output(at, &["check", "bad.toml", "--quiet", "--json"]).0, 2);
}
