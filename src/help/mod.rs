//! Floor 7: the reference, topic by topic: Markdown that is compiled in, for `joulecast help TOPIC`.
//!
//! A new topic is one file here and one line of [`TOPICS`].

mod terminal;

pub use terminal::render;

/// One page of the reference.
#[derive(Debug, serde::Serialize, schemars::JsonSchema)]
pub struct Topic {
    /// The word that asks for it.
    pub name: &'static str,
    /// What it is about, in a few words.
    pub summary: &'static str,
    /// The page itself, in Markdown.
    #[serde(rename = "markdown")]
    pub text: &'static str,
}

macro_rules! topics {
    ($($name:literal: $summary:literal),* $(,)?) => {
        /// All topics, in the order in which they are best read.
        pub const TOPICS: &[Topic] = &[$(Topic {
            name: $name,
            summary: $summary,
            text: include_str!(concat!($name, ".md")),
        }),*];
    };
}

topics! {
    "quantities": "how values, units and errors are written, and how each is read",
    "scenario": "the scenario file: tables, keys, defaults, what must be stated",
    "charges": "keys of charges, liquids, reagents, calibrations, cycles",
    "errors": "the error sources: what each one is, its scope, what it does",
    "data": "files of measured runs and records: columns, units, problems",
    "library": "instruments, substances and reactions; adding your own",
    "model": "what happens in a run: the equations of the simulation",
    "evaluation": "what the group makes of its readings: reductions, result, claims",
    "studies": "what each command computes, from forecast to trace",
    "mistakes": "what mistakes do, fair bands, the results of a class",
    "output": "files, columns, JSON fields and their units, exit codes",
    "numbers": "random numbers, trials, standard errors, ranks, speed, accuracy",
    "words": "glossary",
}

/// A page of Markdown as HTML below a heading of the second level.
pub fn html(markdown: &str) -> String {
    use pulldown_cmark::{Event, HeadingLevel as Level, Options, Parser, Tag, TagEnd};
    let lower = |level: Level| match level {
        Level::H1 | Level::H2 => Level::H3,
        _ => Level::H4,
    };
    let events = Parser::new_ext(markdown, Options::ENABLE_TABLES).map(|event| match event {
        Event::Start(Tag::Heading {
            level,
            id,
            classes,
            attrs,
        }) => {
            let level = lower(level);
            Event::Start(Tag::Heading {
                level,
                id,
                classes,
                attrs,
            })
        }
        Event::End(TagEnd::Heading(level)) => Event::End(TagEnd::Heading(lower(level))),
        other => other,
    });
    let mut out = String::new();
    pulldown_cmark::html::push_html(&mut out, events);
    // What scrolls must be reached by the keyboard.
    out.replace("<pre>", "<pre tabindex=\"0\">")
}

/// The topic of this name.
pub fn find(name: &str) -> Option<&'static Topic> {
    TOPICS.iter().find(|t| t.name == name)
}

/// The topics in which a word or phrase stands, whatever its case.
pub fn mentioning(phrase: &str) -> impl Iterator<Item = &'static Topic> {
    TOPICS.iter().filter(move |t| stands_in(phrase, t.text))
}

/// What the glossary says of a word: its entries, each with the meaning behind a colon.
pub fn meanings(word: &str) -> impl Iterator<Item = String> {
    let lines = find("words").map_or("", |t| t.text).lines();
    lines.filter_map(move |line| {
        let (entry, meaning) = line.strip_prefix("| ")?.split_once(" | ")?;
        let meaning = meaning.trim_end_matches('|').trim_end();
        stands_in(word, entry).then(|| format!("{entry}: {meaning}"))
    })
}

fn stands_in(phrase: &str, text: &str) -> bool {
    let (phrase, text) = (phrase.to_lowercase(), text.to_lowercase());
    let letter = |c: char| c.is_alphanumeric() || c == '_';
    let whole = |(at, found): (usize, &str)| {
        let before = text[..at].chars().next_back();
        let after = text[at + found.len()..].chars().next();
        !before.is_some_and(letter) && !after.is_some_and(letter)
    };
    !phrase.is_empty() && text.match_indices(&phrase).any(whole)
}
