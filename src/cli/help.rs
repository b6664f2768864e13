//! `joulecast help`

use super::args::{Cli, Common, Help};
use super::{Exit, output};
use crate::help::{TOPICS, Topic, find, meanings, mentioning, render};
use crate::report::help_json;
use clap::{CommandFactory, Parser, ValueEnum};
use clap_complete::{Shell, generate};

/// The word that lists the topics.
const ALL: &str = "topics";

/// Widest page, in columns.
const WIDTH: usize = 80;

pub(super) fn run(a: &Help, common: &Common) -> Exit {
    let asked = a.topic.join(" ");
    let commands: Vec<String> = Cli::command()
        .get_subcommands()
        .map(|c| c.get_name().to_owned())
        .collect();
    if asked.is_empty() || commands.contains(&asked) {
        return of_command(&asked);
    }
    if let Some(shell) = asked.strip_prefix("completions") {
        return completions(shell.trim());
    }
    let pages: Vec<&Topic> = match find(&asked) {
        Some(topic) => vec![topic],
        None if asked == ALL => TOPICS.iter().collect(),
        None => return unknown(&asked, &commands),
    };
    if common.json {
        return output::say(&output::pretty(&help_json(&pages)), Exit::Done);
    }
    let text = match pages[..] {
        [page] => page.text.to_owned(),
        _ => list(),
    };
    output::say(&render(&text, output::width().min(WIDTH)), Exit::Done)
}

/// What the parser says of a command, or of the program.
fn of_command(name: &str) -> Exit {
    let words = ["joulecast", name, "--help"];
    let words = words.into_iter().filter(|w| !w.is_empty());
    match Cli::try_parse_from(words) {
        Err(help) => output::parser_says(&help),
        Ok(_) => Exit::Done,
    }
}

/// What a shell needs to complete commands and options.
fn completions(name: &str) -> Exit {
    let shells = Shell::value_variants();
    let Some(shell) = shells.iter().find(|s| s.to_string() == name) else {
        let all: Vec<String> = shells.iter().map(Shell::to_string).collect();
        let all = all.join(", ");
        output::complain(&format!("completions of which shell? {all}"));
        return Exit::BadInput;
    };
    let mut script = Vec::new();
    generate(*shell, &mut Cli::command(), "joulecast", &mut script);
    output::say(&String::from_utf8_lossy(&script), Exit::Done)
}

/// The topics, one line each, in Markdown.
fn list() -> String {
    let lines = TOPICS
        .iter()
        .map(|t| format!("| {} | {} |\n", t.name, t.summary));
    let lines: String = lines.collect();
    format!("`joulecast help TOPIC` explains one of:\n\n| | |\n|---|---|\n{lines}")
}

/// Says that there is no such topic, what may have been meant, and where the word stands.
fn unknown(asked: &str, commands: &[String]) -> Exit {
    let names = TOPICS.iter().map(|t| t.name);
    let names = names
        .chain(commands.iter().map(String::as_str))
        .chain([ALL]);
    let near = names
        .map(|n| (crate::quantity::edits(n, asked), n))
        // Half a word in common is chance.
        .filter(|(d, n)| 2 * d < n.len().min(asked.len()))
        .min()
        .map_or(String::new(), |(_, n)| format!(" Did you mean `{n}`?"));
    let meant: String = meanings(asked)
        .map(|m| format!(" Glossary: {m}."))
        .collect();
    let found: Vec<&str> = mentioning(asked).map(|t| t.name).collect();
    let found = match found[..] {
        [] => String::new(),
        _ => format!(" The word stands in: {}.", found.join(", ")),
    };
    output::complain(&format!(
        "no topic is called `{asked}`.{near}{meant}{found} `joulecast help {ALL}` lists all."
    ));
    Exit::BadInput
}
