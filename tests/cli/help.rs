//! The reference as it is asked for: topics, commands, unknown words; as text of any width and as JSON.

use super::run;
use joulecast::help::{TOPICS, find, render};
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;
use tempfile::tempdir;

/// The commands, as the program lists them.
pub(super) fn commands() -> Vec<String> {
    let folder = tempdir().expect("a folder");
    let (_, list, _) = run(folder.path(), &["--help"]);
    let list = list.split("Commands:").nth(1).expect("commands");
    let list = list.split("Options:").next().expect("commands");
    let own = list.lines().filter_map(|l| l.strip_prefix("  "));
    let own = own.filter(|l| l.starts_with(|c: char| c.is_ascii_lowercase()));
    let names = own.filter_map(|l| l.split_whitespace().next());
    names.map(str::to_owned).collect()
}

pub(super) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

pub(super) fn topic(name: &str) -> &'static str {
    find(name).expect("a topic").text
}

#[test]
fn the_help_of_commands_is_that_of_the_parser() {
    let folder = tempdir().expect("a folder");
    let said = |arguments: &[&str]| {
        let (code, said, why) = run(folder.path(), arguments);
        assert_eq!((code, why.as_str()), (0, ""), "{arguments:?}");
        said
    };
    assert_eq!(said(&["help"]), said(&["--help"]));
    let commands = commands();
    assert!(commands.len() >= 10, "{commands:?}");
    for command in &commands {
        assert_eq!(said(&["help", command]), said(&[command, "--help"]));
    }
}

#[test]
fn every_topic_is_listed_in_a_line_and_shown_within_a_page() {
    let folder = tempdir().expect("a folder");
    let (code, list, _) = run(folder.path(), &["help", "topics"]);
    assert_eq!(code, 0);
    for t in TOPICS {
        let line = |l: &&str| l.trim_start().starts_with(t.name) && l.ends_with(t.summary);
        assert_eq!(list.lines().filter(line).count(), 1, "{list}");
        let (code, shown, why) = run(folder.path(), &["help", t.name]);
        assert_eq!((code, why.as_str()), (0, ""));
        super::fits_80_columns(&shown);
        let title = t.text.lines().next().expect("a title");
        assert_eq!(
            shown.lines().next(),
            Some(title.trim_start_matches("# ").to_uppercase().as_str())
        );
        for markup in ["**", "##", "|--", "```", "\u{a0}"] {
            assert!(!shown.contains(markup), "{}: {markup}", t.name);
        }
        let lines = t.text.lines().count();
        assert!(lines <= 160, "{} has {lines} lines", t.name);
    }
    // A page of its own for every file, and no other.
    let files = fs::read_dir(root().join("src/help")).expect("the folder");
    let names = files.map(|f| f.expect("a file").file_name().into_string().expect("UTF-8"));
    let files: BTreeSet<String> = names
        .filter_map(|n| n.strip_suffix(".md").map(str::to_owned))
        .collect();
    let listed: BTreeSet<String> = TOPICS.iter().map(|t| t.name.to_owned()).collect();
    assert_eq!(files, listed);
    assert!(commands().iter().all(|c| !listed.contains(c)));
}

#[test]
fn a_narrow_terminal_gets_narrow_lines_and_whole_words() {
    let words = |s: &str| -> BTreeSet<String> {
        let all = s.split(|c: char| !c.is_alphanumeric());
        all.map(str::to_lowercase).collect()
    };
    for t in TOPICS {
        let blocks = t.text.split("```").skip(1).step_by(2);
        let code: BTreeSet<String> = blocks
            .flat_map(str::lines)
            .map(|l| format!("    {l}"))
            .collect();
        let languages = BTreeSet::from(["text", "toml", "sh"].map(str::to_owned));
        for width in [80, 60, 50] {
            let shown = render(t.text, width);
            for line in shown.lines().filter(|l| !code.contains(*l)) {
                let wide = line.chars().count();
                assert!(wide <= width, "{} at {width}: {line}", t.name);
            }
            let seen = &words(&shown) | &languages;
            let lost: Vec<String> = words(t.text).difference(&seen).cloned().collect();
            assert!(lost.is_empty(), "{} at {width}: {lost:?}", t.name);
        }
    }
}

#[test]
fn numbers_keep_their_units_and_tables_their_columns() {
    let many = "word ".repeat(14);
    for (end, due) in [
        ("of 0.5 mL more", "0.5 mL"),
        ("of -129 J/(mol K) more", "-129 J/(mol K)"),
        ("of 1 ± 2 more", "1 ± 2"),
        ("of `u = 0.1 mg` more", "`u = 0.1 mg`"),
        ("of 20 °C, more", "20 °C,"),
    ] {
        for shift in 0..12 {
            let shown = render(&format!("{}{many}{end}", "x".repeat(shift)), 80);
            assert!(shown.contains(due), "{shown}");
        }
    }
    let table = "| key | says | u |\n|---|---|---:|\n| `a` | one two three four five six seven eight | 1 |\n\
        | `b` | short | 22 |\n";
    let shown = render(table, 40);
    let due = "  key  says                          u\n  `a`  one two three four five six   1\n       seven eight\n  \
        `b`  short                        22\n";
    assert_eq!(shown, due);
}

#[test]
fn an_unknown_word_names_near_ones_and_where_it_stands() {
    let folder = tempdir().expect("a folder");
    for (words, due) in [
        (&["quantites"][..], "Did you mean `quantities`?"),
        (&["quantity"], "Did you mean `quantities`?"),
        (&["ranks"], "Did you mean `rank`?"),
        (&["lag"], "Glossary: lag τ: time constant with which"),
        (&["lag"], "The word stands in: errors, library, model"),
        (
            &["pass", "rate"],
            "share of groups whose result lies in the band",
        ),
        (&["zzzz"], "`joulecast help topics` lists all"),
    ] {
        let (code, said, why) = run(folder.path(), &[&["help"], words].concat());
        assert_eq!((code, said.as_str()), (2, ""), "{words:?}");
        assert!(why.contains(due), "{words:?}: {why}");
    }
    let (_, _, why) = run(folder.path(), &["help", "zzzz"]);
    assert!(!why.contains("mean") && !why.contains("stands"), "{why}");
}

#[test]
fn topics_are_handed_over_as_json() {
    let folder = tempdir().expect("a folder");
    let document = |word: &str| -> Value {
        let (code, said, _) = run(folder.path(), &["help", word, "--json"]);
        assert_eq!(code, 0);
        serde_json::from_str(&said).expect("JSON")
    };
    assert_eq!(document("words")["topics"][0]["markdown"], topic("words"));
    let all = document("topics");
    assert_eq!(all["schema"], "joulecast.help/1");
    assert_eq!(all["topics"].as_array().map(Vec::len), Some(TOPICS.len()));
}

#[test]
fn the_help_of_each_command_has_two_examples_that_the_parser_takes() {
    let folder = tempdir().expect("a folder");
    for command in commands() {
        let (_, said, _) = run(folder.path(), &[&command, "--help"]);
        let examples = said.split("Examples:\n").nth(1).unwrap_or_default();
        let own = format!("joulecast {command} ");
        let lines: Vec<&str> = examples
            .lines()
            .map_while(|l| l.strip_prefix("  "))
            .collect();
        assert_eq!(lines.len(), 2, "{command}: {said}");
        for line in lines {
            assert!(line.starts_with(&own), "{line}");
            let words = line.split(['<', '>']).next().expect("a command");
            let mut arguments: Vec<String> = Vec::new();
            for (i, part) in words.split('"').enumerate() {
                match i % 2 {
                    0 => arguments.extend(part.split_whitespace().map(str::to_owned)),
                    _ => arguments.push(part.to_owned()),
                }
            }
            // The parser looks at all that stands before.
            arguments.push("--help".to_owned());
            let arguments: Vec<&str> = arguments[1..].iter().map(String::as_str).collect();
            let (code, _, why) = run(folder.path(), &arguments);
            assert_eq!((code, why.as_str()), (0, ""), "{line}");
        }
    }
}

#[test]
fn shells_get_what_they_need_to_complete_every_command_and_option() {
    let folder = tempdir().expect("a folder");
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let (code, said, why) = run(folder.path(), &["help", "completions", shell]);
        assert_eq!((code, why.as_str()), (0, ""), "{shell}");
        for command in commands() {
            assert!(said.contains(&command), "{shell}: {command}");
        }
        assert!(
            said.contains("decimal-comma") && said.contains("quiet"),
            "{shell}"
        );
    }
    let (code, said, why) = run(folder.path(), &["help", "completions", "sh"]);
    assert_eq!((code, said.as_str()), (2, ""));
    assert!(why.contains("bash, elvish, fish, powershell, zsh"), "{why}");
}
