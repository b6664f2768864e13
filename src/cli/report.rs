//! `joulecast report`: everything that the other commands answer about one scenario, on one page.

use super::answer::Answer;
use super::args::{Common, Report as Arguments};
use super::folder::Folder;
use super::progress::{Progress, interruption, stopped};
use super::{Exit, forecast, input, loosen, rank, slip, sweep};
use crate::design::{DesignOptions, Goal, Sweep, Vary, cap};
use crate::engine::EngineError;
use crate::forecast::Extras;
use crate::grade::{GROUPS, GradeOptions, grade};
use crate::library::{Library, Sheet};
use crate::report::document::{Cautions, Document, Section};
use crate::report::page::{Chapter, Page, Study};
use crate::report::{
    OutFile, SlipQuestion, forecast_document, forecast_json, grade_document, grade_json,
    loosen_document, loosen_json, rank_document, rank_json, report_json, show_sheet, slip_document,
    slip_json, sweep_json,
};
use crate::scenario::{Record, Scenario};
use crate::slip::slips;

/// Trials of each point of the study of runs and mass: it is there to look things up, not to decide on the last digit.
const FEW: u64 = 4_096;

/// Most runs of that study.
const MOST_RUNS: u32 = 8;

/// Masses of that study, in parts of the one that the scenario states.
const MASSES: (f64, f64, u32) = (0.5, 2.0, 7);

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    page(a.scenario.as_deref(), common, "report")
}

/// What the program does without a command: the forecast of the built-in scenario, with the page beside its files. A
/// program that asks for JSON gets the forecast's.
pub(super) fn without_a_command(common: &Common) -> Result<Exit, Exit> {
    match common.json {
        true => forecast::run(&forecast::Arguments::default(), common),
        false => page(None, common, "forecast"),
    }
}

fn page(named: Option<&str>, common: &Common, name: &'static str) -> Result<Exit, Exit> {
    let scenario = input::with_spread(named, common.json)?;
    let folder = Folder::ready(common, true)?;
    let bar = Progress::steps(6, "parts of the page");
    let usual = forecast::Arguments {
        reductions: matches!(scenario.determination.record, Record::Trace { .. }),
        ..forecast::Arguments::default()
    };
    let (f, extras) = forecast::simulated(scenario.clone(), &usual, common)?;
    bar.set(1);
    let (effort, ranking) = rank::ranked(&scenario, common).map_err(stopped)?;
    bar.set(2);
    let design = sweep::usual_answer(scenario.clone(), common)?;
    bar.set(3);
    let study = study(&scenario, common).map_err(stopped)?;
    bar.set(4);
    let known = slip::known(&scenario, named, common)?;
    let options = slip::options(common);
    let mistakes = slips(&scenario, &slip::of_usual_size(known), &options).map_err(stopped)?;
    let bands = GradeOptions {
        slips: options,
        band: None,
        groups: GROUPS,
    };
    let fair = grade(mistakes.clone(), &bands).map_err(stopped)?;
    bar.set(5);
    let loose = match Goal::of(&scenario) {
        Some(goal) => Some(loosen::study(&scenario, goal, cap(&scenario), common)?),
        None => None,
    };
    bar.clear();

    let digits = common.digits.unwrap_or(2);
    let result = forecast_document(&f, &extras, digits);
    let provenance = result.provenance.clone();
    let ranked = rank_document(&ranking, &effort);
    let own = study.as_ref().map(|Study(sweep)| {
        let one = std::slice::from_ref(sweep);
        sweep_json(&scenario, common.seed, sweep.trials, one, None)
    });
    let mut json = report_json(
        forecast_json(&f, &extras),
        rank_json(&ranking, &effort),
        design.json,
        loose.as_ref().map(loosen_json),
        [slip_json(&mistakes, None), grade_json(&fair, None)],
        own,
    );
    let mut chapters = vec![
        chapter("result", "What a group will get", result),
        chapter("causes", "Which inputs dominate", ranked),
        Chapter {
            study,
            ..chapter(
                "design",
                "Number of runs and mass of the sample",
                design.document,
            )
        },
    ];
    if let Some(l) = &loose {
        chapters.push(chapter(
            "tolerances",
            "How loose each tolerance may be",
            loosen_document(l),
        ));
    }
    let question = SlipQuestion {
        slips: &mistakes,
        explained: None,
        word: false,
    };
    chapters.push(chapter(
        "mistakes",
        "What a mistake does",
        slip_document(&question),
    ));
    chapters.push(chapter(
        "bands",
        "What band is fair",
        grade_document(&fair, None),
    ));
    let short = in_short(&mut chapters);
    chapters.insert(0, short);
    chapters.push(Chapter {
        id: "scenario",
        heading: "The scenario as run".to_owned(),
        code: scenario.text.clone(),
        ..Chapter::default()
    });
    chapters.push(Chapter {
        id: "entries",
        heading: "Values from the library, with their sources".to_owned(),
        documents: entries(&scenario)
            .iter()
            .map(show_sheet)
            .map(titled)
            .collect(),
        ..Chapter::default()
    });
    for (id, heading) in [("model", "Equations"), ("words", "Words")] {
        if let Some(topic) = crate::help::find(id) {
            chapters.push(Chapter {
                id,
                heading: heading.to_owned(),
                html: crate::help::html(topic.text),
                ..Chapter::default()
            });
        }
    }
    let page = Page {
        title: scenario.title.clone(),
        summary: scenario.summary.clone(),
        cautions: Cautions(scenario.cautions.clone()),
        provenance,
        chapters,
    };
    let answer = Answer {
        name,
        // On the screen the answer itself; the reductions beside it are on the page.
        document: forecast_document(&f, &Extras::default(), digits),
        json: match name {
            "forecast" => json["forecast"].take(),
            _ => json,
        },
        extra: folder
            .iter()
            .map(|_| OutFile::text("report.html", page.html()))
            .collect(),
        exit: if f.misses_target() {
            Exit::Missed
        } else {
            Exit::Done
        },
    };
    answer.give(common, folder.as_ref())
}

/// A chapter of one answer.
fn chapter(id: &'static str, heading: &str, document: Document) -> Chapter {
    Chapter {
        id,
        heading: heading.to_owned(),
        documents: vec![document],
        ..Chapter::default()
    }
}

/// The first section of every answer, taken from there, under the heading of its chapter.
fn in_short(chapters: &mut [Chapter]) -> Chapter {
    let mut document = Document::default();
    for chapter in chapters {
        let first = chapter
            .documents
            .iter_mut()
            .find(|d| !d.sections.is_empty());
        if let Some(first) = first {
            document.add(Section {
                heading: chapter.heading.clone(),
                ..first.sections.remove(0)
            });
        }
    }
    Chapter {
        id: "short",
        heading: "In short".to_owned(),
        documents: vec![document],
        ..Chapter::default()
    }
}

/// Runs of both kinds against the mass of the sample; nothing where no solid is weighed.
fn study(scenario: &Scenario, common: &Common) -> Result<Option<Study>, EngineError> {
    let mass = scenario.determination.mass.0;
    let (low, high, steps) = MASSES;
    let text = format!(
        "determination.charge.mass = {} g to {} g in {steps}",
        low * mass,
        high * mass
    );
    let (Ok(runs), Ok(masses)) = (
        Vary::counts(scenario, "runs", 1, MOST_RUNS),
        Vary::parse(&text, scenario),
    ) else {
        return Ok(None);
    };
    let options = DesignOptions {
        trials: common.trials.unwrap_or(FEW),
        interrupt: Some(interruption()),
        ..DesignOptions::new(common.seed)
    };
    let found: Sweep =
        crate::design::sweep(scenario, vec![runs, masses], None, cap(scenario), &options)?;
    Ok(Some(Study(found)))
}

/// Entries that a scenario names, and those that its reactions name.
fn entries(scenario: &Scenario) -> Vec<Sheet> {
    let library: &Library = &scenario.library;
    let mut named: Vec<String> = Vec::new();
    for leg in scenario.legs() {
        named.push(leg.reaction.key.clone());
        named.push(leg.liquid.key.clone());
        if let Some(reaction) = library.reactions.get(&leg.reaction.key) {
            named.push(reaction.substance.clone());
        }
    }
    let in_text = |key: &str| scenario.text.contains(&format!("\"{key}\""));
    let sheets = library.sheets().into_iter();
    sheets
        .filter(|s| named.contains(&s.key) || in_text(&s.key))
        .collect()
}

/// An entry under its title as a heading.
fn titled(mut d: Document) -> Document {
    let title = std::mem::take(&mut d.title);
    if let Some(first) = d.sections.first_mut() {
        first.heading = title;
    }
    d
}
