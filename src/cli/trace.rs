//! `joulecast trace`

use super::answer::Answer;
use super::args::{Common, Trace as Arguments};
use super::folder::Folder;
use super::measured;
use super::{Exit, input, output};
use crate::evaluate::{Settle, TraceOptions, trace, trace_simulated};
use crate::report::{OutFile, record_csv, trace_document, trace_json};
use crate::scenario::Scenario;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::advised(a.scenario.as_deref(), common.json)?;
    let options = TraceOptions {
        leg: leg(&scenario, a.leg.as_deref())?,
        mixed_at: a.mixed_at,
        settle: match a.settle.as_deref() {
            None => Settle::Stated,
            Some("found") => Settle::Found,
            Some(text) => Settle::At(seconds(text)?),
        },
    };
    let found = match &a.record {
        None => trace_simulated(&scenario, common.seed, &options),
        Some(path) => match measured::record(path)? {
            Ok(record) => trace(&scenario, record, &options),
            Err(problems) => Err(problems),
        },
    };
    let t = found.map_err(|problems| measured::refuse(&problems, common.json))?;
    let folder = Folder::ready(common, true)?;
    let mut extra = Vec::new();
    if t.simulated.is_some() {
        extra.push(OutFile::text("record.csv", record_csv(&t)));
    }
    let answer = Answer {
        name: "trace",
        document: trace_document(&t, common.seed),
        json: trace_json(&t, common.seed),
        extra,
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

/// The leg that is meant; the first determination unless another is named.
fn leg(scenario: &Scenario, named: Option<&str>) -> Result<usize, Exit> {
    let Some(named) = named else { return Ok(1) };
    let legs = scenario.legs();
    let found = legs.iter().position(|l| l.title() == named && l.runs > 0);
    found.ok_or_else(|| {
        let all: Vec<&str> = legs
            .iter()
            .filter(|l| l.runs > 0)
            .map(|l| l.title())
            .collect();
        output::complain(&format!(
            "no leg is called `{named}`; there is {}",
            all.join(", ")
        ));
        Exit::BadInput
    })
}

fn seconds(text: &str) -> Result<f64, Exit> {
    use crate::quantity::{Dimension, parse_quantity_as};
    parse_quantity_as(text, Dimension::Time).map_err(|e| {
        output::complain(&format!(
            "--settle: {e}; write a time such as \"60 s\", or found"
        ));
        Exit::BadInput
    })
}
