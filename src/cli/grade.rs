//! `joulecast grade`

use super::answer::Answer;
use super::args::{Common, Grade as Arguments};
use super::folder::Folder;
use super::goal::refused;
use super::progress::{Progress, stopped};
use super::read::{Content, bytes};
use super::{Exit, input, measured, slip};
use crate::grade::{GROUPS, GradeOptions, Points, grade, judge};
use crate::measured::{ClassSheet, read_class};
use crate::quantity::{Dimension, parse_quantity_as};
use crate::report::{grade_document, grade_json};
use crate::slip::{SlipOptions, slips};

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let files = (a.scenario.as_deref(), a.class.as_deref());
    measured::scenario_first("grade", files, "results")?;
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let known = slip::known(&scenario, a.scenario.as_deref(), common)?;
    let band = a.band.as_deref().map(band).transpose()?;
    let points = a.points.as_deref().map(points).transpose()?;
    let class = class(a, common)?;
    let folder = Folder::ready(common, true)?;
    let bar = Progress::new(None);
    let tick = |done: u64| bar.set(done);
    let options = SlipOptions {
        progress: Some(&tick),
        ..slip::options(common)
    };
    let asked = GradeOptions {
        slips: options,
        band,
        groups: class
            .as_ref()
            .map_or(a.groups.unwrap_or(GROUPS), |c| c.groups.len()),
    };
    let found = slips(&scenario, &slip::of_usual_size(known), &options)
        .and_then(|found| grade(found, &asked));
    bar.clear();
    let g = found.map_err(stopped)?;
    let judged = class.map(|c| judge(&g, c, points.as_ref(), &options));
    let judged = judged.transpose().map_err(stopped)?;
    let answer = Answer {
        name: "grade",
        document: grade_document(&g, judged.as_ref()),
        json: grade_json(&g, judged.as_ref()),
        extra: Vec::new(),
        exit: Exit::Done,
    };
    answer.give(common, folder.as_ref())
}

fn class(a: &Arguments, common: &Common) -> Result<Option<ClassSheet>, Exit> {
    let Some(path) = &a.class else {
        let alone = [
            ("--columns", a.columns.is_some()),
            ("--points", a.points.is_some()),
        ];
        return match alone.into_iter().find(|(_, given)| *given) {
            Some((option, _)) => Err(refused(&format!(
                "{option}: name the file of the class behind the scenario"
            ))),
            None => Ok(None),
        };
    };
    let bytes = bytes(path, Content::Runs)?;
    let name = path.display().to_string();
    let read = read_class(&name, &bytes, a.columns.as_deref());
    read.map(Some)
        .map_err(|p| measured::refuse(&p, common.json))
}

fn band(text: &str) -> Result<f64, Exit> {
    match parse_quantity_as(text, Dimension::Fraction) {
        Ok(x) if x > 0.0 && x <= 10.0 => Ok(x),
        Ok(_) => Err(refused("--band: must lie between 0 % and 1000 %")),
        Err(e) => Err(refused(&format!("--band: {e}; for example \"3 %\""))),
    }
}

/// `3 %: 10, 5 %: 7, 10 %: 3`.
fn points(text: &str) -> Result<Points, Exit> {
    let wrong = |part: &str| {
        refused(&format!(
            "--points: `{}` is no band with its points; write for example \"3 %: 10, 5 %: 7, 10 %: 3\"",
            part.trim()
        ))
    };
    let mut all: Vec<(f64, f64)> = Vec::new();
    for part in text.split(',') {
        let (within, number) = part.split_once(':').ok_or_else(|| wrong(part))?;
        let width = parse_quantity_as(within, Dimension::Fraction).map_err(|_| wrong(part))?;
        let number: f64 = number.trim().parse().map_err(|_| wrong(part))?;
        let fits = width > 0.0 && width.is_finite() && number.is_finite() && number >= 0.0;
        if !fits || all.iter().any(|(other, _)| *other == width) {
            return Err(wrong(part));
        }
        all.push((width, number));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    if all.windows(2).any(|pair| pair[0].1 < pair[1].1) {
        return Err(refused(
            "--points: a wider band gives more points than a narrower one",
        ));
    }
    Ok(Points(all))
}
