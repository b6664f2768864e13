//! `joulecast rank`

use super::answer::Answer;
use super::args::{Common, Rank as Arguments};
use super::folder::Folder;
use super::progress::{Progress, interruption, stopped};
use super::{Exit, input, output};
use crate::engine::EngineError;
use crate::rank::{Effort, RankOptions, Ranking, USUAL_TRIALS, rank, runs, to_digits};
use crate::report::{rank_document, rank_explain, rank_json};
use crate::scenario::{SOURCES, Scenario, Source, meant};

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let explain = a.explain.as_deref().map(known).transpose()?;
    // An explanation is a text; files only where they are asked for.
    let folder = Folder::ready(common, a.explain.is_none())?;
    let (effort, r) = ranked(&scenario, common).map_err(stopped)?;
    let answer = Answer {
        name: "rank",
        document: match explain {
            Some(source) => rank_explain(&r, source),
            None => rank_document(&r, &effort),
        },
        json: rank_json(&r, &effort),
        extra: Vec::new(),
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

/// Looks for the number of trials if it is not known, and ranks.
pub(super) fn ranked(
    scenario: &Scenario,
    common: &Common,
) -> Result<(Effort, Ranking), EngineError> {
    let options = RankOptions {
        seed: common.seed,
        trials: USUAL_TRIALS,
        interrupt: Some(interruption()),
        progress: None,
    };
    let effort = match (common.trials, common.digits) {
        (Some(trials), _) => Effort::Trials { trials },
        (None, None) => Effort::Usual,
        (None, Some(digits)) => watched(&Progress::new(None), |tick| {
            let progress = Some(tick);
            to_digits(
                scenario,
                digits,
                &RankOptions {
                    progress,
                    ..options
                },
            )
        })?,
    };
    let trials = effort.trials();
    let bar = Progress::steps(runs(scenario, trials), "simulated groups");
    let ranking = watched(&bar, |tick| {
        let progress = Some(tick);
        rank(
            scenario,
            &RankOptions {
                trials,
                progress,
                ..options
            },
        )
    })?;
    Ok((effort, ranking))
}

/// Work under a bar, which is gone when it ends.
fn watched<T>(bar: &Progress, work: impl FnOnce(&(dyn Fn(u64) + Sync)) -> T) -> T {
    let outcome = work(&|done| bar.set(done));
    bar.clear();
    outcome
}

/// Complains about a source that there is not.
fn known(key: &str) -> Result<&'static Source, Exit> {
    let found = meant(key);
    if let [one] = found[..] {
        return Ok(one);
    }
    if !found.is_empty() {
        let may: Vec<String> = found.iter().map(|s| format!("`{}`", s.key)).collect();
        output::complain(&format!(
            "`{key}` may be {}: name one of them",
            may.join(", ")
        ));
        return Err(Exit::BadInput);
    }
    let near = SOURCES
        .iter()
        .map(|s| (crate::quantity::edits(s.key, key), s.key))
        .min();
    let near = near.map_or(String::new(), |(_, key)| format!("; did you mean `{key}`?"));
    output::complain(&format!(
        "no error source is called `{key}`{near} `joulecast show source` lists them"
    ));
    Err(Exit::BadInput)
}
