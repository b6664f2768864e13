//! `joulecast loosen`

use super::answer::Answer;
use super::args::{Common, Loosen as Arguments};
use super::folder::Folder;
use super::goal::{asked, refused};
use super::progress::{Progress, interruption, stopped};
use super::sweep::trials;
use super::{Exit, input};
use crate::design::{DesignOptions, Goal, Looseness, all_steps, looseness};
use crate::report::{loosen_document, loosen_json};
use crate::scenario::Scenario;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let (scenario, goal, cap) = asked(&a.goal, scenario)?;
    let Some(goal) = goal else {
        return Err(refused(
            "no target: add --spread \"1.5 %\", --within \"3 %\" or --pass \"95 %\", or `uncertainty` under [target] of the \
             scenario",
        ));
    };
    let folder = Folder::ready(common, true)?;
    let l = study(&scenario, goal, cap, common)?;
    let answer = Answer {
        name: "loosen",
        document: loosen_document(&l),
        json: loosen_json(&l),
        extra: Vec::new(),
        exit: match goal.met(l.now.value) {
            true => Exit::Done,
            false => Exit::Missed,
        },
    };
    answer.give(common, folder.as_ref())
}

/// How loose tolerances may be.
pub(super) fn study(
    scenario: &Scenario,
    goal: Goal,
    cap: f64,
    common: &Common,
) -> Result<Looseness, Exit> {
    let bar = Progress::steps(all_steps(scenario), "questions");
    let tick = |done: u64| bar.set(done);
    let options = DesignOptions {
        trials: trials(common),
        interrupt: Some(interruption()),
        progress: Some(&tick),
        ..DesignOptions::new(common.seed)
    };
    let outcome = looseness(scenario, goal, cap, &options);
    bar.clear();
    outcome.map_err(stopped)
}
