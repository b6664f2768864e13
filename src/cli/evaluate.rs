//! `joulecast evaluate`

use super::answer::Answer;
use super::args::{Common, Evaluate as Arguments, OneSided};
use super::folder::Folder;
use super::measured;
use super::progress::{Progress, interruption, stopped};
use super::read::{Content, bytes};
use super::{Exit, input, output};
use crate::evaluate::{EvaluateOptions, Measured, OneSidedErrors, TRIALS, by_scatter, evaluate};
use crate::measured::{FileProblem, Names, TemplateForm, read_runs, template};
use crate::report::{evaluate_document, evaluate_json};
use crate::scenario::Scenario;
use std::path::Path;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    if !a.template {
        let files = (a.scenario.as_deref(), a.runs.as_deref());
        measured::scenario_first("evaluate", files, "runs")?;
    }
    let mut scenario = input::advised(a.scenario.as_deref(), common.json)?;
    if a.observed {
        scenario = by_scatter(scenario);
    }
    if a.template {
        let form = TemplateForm {
            decimal_comma: a.decimal_comma,
            all_columns: a.all_columns,
        };
        return Ok(output::say(&template(&scenario, form), Exit::Done));
    }
    let Some(runs) = &a.runs else {
        output::complain(
            "which file has the runs? `joulecast evaluate SCENARIO RUNS.csv`; `--template` writes one to fill in",
        );
        return Err(Exit::BadInput);
    };
    let measured = read(&scenario, runs, a, common)?;
    let folder = Folder::ready(common, true)?;
    let options = EvaluateOptions {
        seed: common.seed,
        trials: common.trials.unwrap_or(TRIALS),
        one_sided: match a.one_sided {
            OneSided::Ignored => OneSidedErrors::Ignored,
            OneSided::Corrected => OneSidedErrors::Corrected,
            OneSided::Asymmetric => OneSidedErrors::Asymmetric,
        },
        interrupt: Some(interruption()),
    };
    let bar = Progress::new(None);
    let e = evaluate(&scenario, measured, &options).map_err(stopped)?;
    bar.clear();
    let answer = Answer {
        name: "evaluate",
        document: evaluate_document(&e, a.steps),
        json: evaluate_json(&e),
        extra: Vec::new(),
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

/// Reads the runs and the records that they name, which lie beside their file.
fn read(
    scenario: &Scenario,
    runs: &Path,
    a: &Arguments,
    common: &Common,
) -> Result<Measured, Exit> {
    let refuse = |problems: Vec<FileProblem>| measured::refuse(&problems, common.json);
    let bytes = bytes(runs, Content::Runs)?;
    let name = runs.display().to_string();
    let mut names = Names::of(scenario);
    if let Some(stated) = &a.columns {
        names = names.with(stated).map_err(refuse)?;
    }
    let sheet = read_runs(&name, &bytes, scenario, &names).map_err(refuse)?;
    let mut problems = Vec::new();
    let mut records = Vec::new();
    for row in &sheet.rows {
        let path = row.record.as_ref().map(|r| runs.with_file_name(r));
        let Some(path) = path else {
            records.push(None);
            continue;
        };
        match measured::record_of(&path, &name, row.line) {
            Ok(record) => records.push(Some(record)),
            Err(found) => problems.extend(found),
        }
    }
    if !problems.is_empty() {
        return Err(refuse(problems));
    }
    Measured::new(scenario, &sheet, &records).map_err(refuse)
}
