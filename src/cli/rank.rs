//! `joulecast rank`

use super::args::{Common, Rank as Arguments};
use super::folder::{Folder, drawn, failed};
use super::progress::{Progress, interruption};
use super::{Exit, input, output};
use crate::experiment::advise;
use crate::rank::{RankOptions, Ranking, rank, runs};
use crate::report::{
    OutFile, provenance, rank_csv, rank_explain, rank_json, rank_pictures, rank_text,
};
use crate::scenario::SOURCES;
use std::sync::atomic::{AtomicU64, Ordering};

/// Trials of each run of the model unless asked otherwise.
const TRIALS: u64 = 8_192;

pub(super) fn run(a: &Arguments, common: &Common) -> Exit {
    match attempt(a, common) {
        Ok(exit) | Err(exit) => exit,
    }
}

fn attempt(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let source = input::source(a.scenario.as_deref(), common.json)?;
    let mut scenario = input::scenario(&source, common.json)?;
    advise(&mut scenario);
    if let Some(key) = &a.explain {
        known(key)?;
    }
    // An explanation is a text; files only where they are asked for.
    let folder = Folder::ready(common, a.explain.is_none())?;
    let trials = common.trials.unwrap_or(TRIALS);
    let bar = Progress::new(Some(runs(trials)));
    // Each part counts from zero; the bar goes on from where the last one ended.
    let (before, last) = (AtomicU64::new(0), AtomicU64::new(0));
    let tick = |done: u64| {
        let ended = last.swap(done, Ordering::Relaxed);
        if done < ended {
            before.fetch_add(ended, Ordering::Relaxed);
        }
        bar.set(before.load(Ordering::Relaxed) + done);
    };
    let options = RankOptions {
        seed: common.seed,
        trials,
        interrupt: Some(interruption()),
        progress: Some(&tick),
    };
    let outcome = rank(&scenario, &options);
    bar.clear();
    let r = outcome.map_err(|e| {
        if let Some(folder) = &folder {
            folder.give_up();
        }
        output::complain(&e.to_string());
        Exit::Interrupted
    })?;
    let origin = provenance(r.seed, r.trials, &r.scenario.digest);
    let mut text = match &a.explain {
        Some(key) => rank_explain(&r, key),
        None => rank_text(&r),
    };
    if let Some(folder) = folder {
        text.push_str(&folder.write(&files(&r, &text)?)?);
    }
    text.push_str(&format!("{origin}\n"));
    Ok(if common.json {
        output::say(&output::pretty(&rank_json(&r)), Exit::Done)
    } else {
        output::say(&text, Exit::Done)
    })
}

/// Complains about a source that there is not.
fn known(key: &str) -> Result<(), Exit> {
    if SOURCES.iter().any(|s| s.key == key) {
        return Ok(());
    }
    let near = SOURCES
        .iter()
        .map(|s| (strsim::damerau_levenshtein(s.key, key), s.key))
        .min();
    let near = near.map_or(String::new(), |(_, key)| format!("; did you mean `{key}`?"));
    output::complain(&format!(
        "no error source is called `{key}`{near} `joulecast show source` lists them"
    ));
    Err(Exit::BadInput)
}

fn files(r: &Ranking, text: &str) -> Result<Vec<OutFile>, Exit> {
    let origin = provenance(r.seed, r.trials, &r.scenario.digest);
    let mut files = vec![
        OutFile::text("rank.txt", format!("{text}{origin}\n")),
        OutFile::text("rank.json", output::pretty(&rank_json(r))),
    ];
    for (name, bytes) in rank_csv(r, &origin).map_err(|e| failed(&e))? {
        files.push(OutFile {
            name: name.to_owned(),
            bytes,
        });
    }
    files.extend(drawn(rank_pictures(r).map_err(|e| failed(&e))?)?);
    Ok(files)
}
