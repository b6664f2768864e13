//! `joulecast compare`

use super::answer::Answer;
use super::args::{Common, Compare as Arguments};
use super::folder::Folder;
use super::goal::refused;
use super::progress::{Progress, interruption, stopped};
use super::sweep::trials;
use super::{Exit, input};
use crate::design::{
    CompareOptions, Contender, MOST_CONTENDERS, Side, compare, exchange, other_references, set,
    trials_in_all,
};
use crate::report::{compare_document, compare_json};
use crate::scenario::Scenario;
use std::path::Path;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let contenders = contenders(a, common)?;
    let folder = Folder::ready(common, true)?;
    let trials = trials(common);
    let bar = Progress::new(Some(trials_in_all(&contenders, trials)));
    let tick = |done: u64| bar.set(done);
    let options = CompareOptions {
        seed: common.seed,
        trials,
        groups: a.groups,
        interrupt: Some(interruption()),
        progress: Some(&tick),
    };
    let outcome = compare(contenders, &options);
    bar.clear();
    let Some(c) = outcome.map_err(stopped)? else {
        return Err(refused("there is nothing to compare with"));
    };
    let answer = Answer {
        name: "compare",
        document: compare_document(&c),
        json: compare_json(&c),
        extra: Vec::new(),
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

/// Everything that is compared, the first one first.
fn contenders(a: &Arguments, common: &Common) -> Result<Vec<Contender>, Exit> {
    let named: Vec<Option<&str>> = if a.scenarios.is_empty() {
        vec![None]
    } else {
        a.scenarios.iter().map(|s| Some(s.as_str())).collect()
    };
    let mut all: Vec<Contender> = Vec::new();
    let mut first: Option<Scenario> = None;
    for name in named {
        let source = input::source(name, common.json)?;
        let scenario = input::scenario(&source, common.json)?;
        input::has_spread(&source, &scenario, common.json)?;
        input::has_results(&scenario, common.json)?;
        first.get_or_insert_with(|| scenario.clone());
        all.push(Contender {
            name: unused(&all, name.map_or("built-in scenario", short)),
            what: scenario.title.clone(),
            derived: false,
            scenario: Ok(scenario),
        });
    }
    let Some(first) = first else {
        return Err(refused("there is nothing to compare"));
    };
    let asked = [
        (Side::Reference, "--reference", &a.reference),
        (Side::Unknown, "--reaction", &a.reaction),
    ];
    for (side, option, keys) in asked {
        for (i, key) in keys.iter().enumerate() {
            if keys[..i].contains(key) {
                return Err(refused(&format!("{option} {key}: named twice")));
            }
            let found = exchange(&first, side, key);
            all.push(found.map_err(|e| refused(&format!("{option} {key}: {e}")))?);
        }
    }
    for text in &a.set {
        let source = input::Source {
            name: "--set".to_owned(),
            text: text.clone(),
        };
        let found = set(&first, text);
        all.push(found.map_err(|problems| input::refuse(&source, &problems, common.json))?);
    }
    if all.len() == 1 {
        all.extend(others(&first));
    }
    let possible = all.iter().filter(|c| c.scenario.is_ok()).count();
    match all.len() {
        1 => Err(refused(
            "there is nothing to compare with: name another scenario, or use --reference, --reaction or --set",
        )),
        _ if possible == 1 => {
            let why = all.iter().filter_map(|c| {
                let zone = c.scenario.as_ref().err()?;
                Some(format!("{} is not possible: {}", c.name, zone.words))
            });
            let why: Vec<String> = why.collect();
            Err(refused(&format!(
                "there is nothing to compare with: {}",
                why.join("; ")
            )))
        }
        n if n > MOST_CONTENDERS => Err(refused(&format!(
            "{n} contenders; at most {MOST_CONTENDERS} can be set side by side"
        ))),
        _ => Ok(all),
    }
}

/// A scenario with every other reference reaction that it can have.
fn others(scenario: &Scenario) -> Vec<Contender> {
    let keys = other_references(scenario);
    let found = keys
        .iter()
        .filter_map(|key| exchange(scenario, Side::Reference, key).ok());
    found.filter(|c| c.scenario.is_ok()).collect()
}

/// A file by its name without folder and ending.
fn short(name: &str) -> &str {
    let stem = Path::new(name).file_stem().and_then(|s| s.to_str());
    stem.unwrap_or(name)
}

/// A name that nobody has yet.
fn unused(all: &[Contender], name: &str) -> String {
    let same = |n: &str| all.iter().any(|c| c.name == n);
    if !same(name) {
        return name.to_owned();
    }
    let numbered = (2..).map(|n: u32| format!("{name} ({n})"));
    numbered
        .into_iter()
        .find(|n| !same(n))
        .unwrap_or_else(|| name.to_owned())
}
