//! What `sweep` answers.

mod bounds;
mod choice;
pub(in crate::report) mod figures;
mod figures_map;
mod figures_marks;
pub(in crate::report) mod json;
mod map;
mod notes;
mod runs;
mod sentences;
mod split;
mod table;
mod window;
pub(in crate::report) mod words;

use super::document::{Block, Document, Section};
use super::words::{percent, provenance_of_points};
use crate::design::{Made, NoSplit, Split, Sweep};
use crate::scenario::Scenario;
use choice::counts;

/// Rows of a table in brief: of one alone, of two, and of two with sentences about a target.
const ROWS: [usize; 3] = [10, 4, 3];

/// A design study as its reader meets it; `made` says where most of the spread is made, if nobody said what to vary.
pub fn sweep_document(
    s: &Scenario,
    (seed, trials): (u64, u64),
    made: Option<&Made>,
    sweeps: &[Sweep],
    split: Option<&Result<Split, NoSplit>>,
) -> Document {
    let mut d = Document::of(s, provenance_of_points(seed, trials, &s.digest));
    let number = sweeps.iter().position(|s| !counts(s));
    let runs = sweeps.iter().position(counts);
    let main: Vec<usize> = number.into_iter().chain(runs).collect();
    let [number, runs] = [number, runs].map(|i| i.map(|i| &sweeps[i]));
    let short = short(made, number, runs, split);
    let of_split = split.and_then(|s| s.as_ref().ok()?.held).map(|h| h.0);
    let goal = sweeps.iter().find_map(|s| s.goal).or(of_split);
    let mut first = Section::new("in short");
    if let Some(goal) = goal {
        first = first.with(Block::text(format!("Target: {}.", goal.words())));
    }
    d.add(first.with(Block::Sentences(short)));
    let rows = match main.len() {
        0 | 1 => ROWS[0],
        _ => ROWS[1 + usize::from(goal.is_some())],
    };
    for i in &main {
        d.add(table::section(&sweeps[*i], rows));
    }
    let others = (0..sweeps.len()).filter(|i| !main.contains(i));
    for s in others.map(|i| &sweeps[i]) {
        d.add(said(s, table::section(s, rows)).in_full());
    }
    if let Some(Ok(split)) = split {
        let section = split::section(split);
        d.add(match sweeps.is_empty() {
            true => section,
            false => section.in_full(),
        });
    }
    d.add(reading(sweeps, trials));
    d.figures = figures::sweep_figures(sweeps);
    d
}

/// What to choose, where the target is reached, and what limits: three sentences.
fn short(
    made: Option<&Made>,
    number: Option<&Sweep>,
    runs: Option<&Sweep>,
    split: Option<&Result<Split, NoSplit>>,
) -> Vec<String> {
    let own = |s: Option<&Sweep>| {
        let choose = s.and_then(|s| sentences::choose(s, made));
        [choose, s.and_then(sentences::target)]
    };
    let of_split = match split {
        None => None,
        Some(Ok(split)) => Some(split::choose(split)),
        // Not worth a word unless somebody asked.
        Some(Err(NoSplit::NothingCalibrates)) if number.or(runs).is_some() => None,
        Some(Err(why)) => Some(split::none(*why)),
    };
    let [of_number, of_runs] = [own(number), own(runs)];
    let limit = match (runs, split) {
        (Some(s), _) => runs::limit(s),
        (None, Some(Ok(split))) => split::limit(split),
        (None, _) => None,
    };
    let of_runs = of_runs.into_iter().chain([of_split]).flatten();
    let of_runs: Vec<String> = of_runs.collect();
    let of_number: Vec<String> = of_number.into_iter().flatten().collect();
    let mut all: Vec<String> = match of_number.is_empty() || of_runs.is_empty() {
        true => [of_number, of_runs].concat(),
        false => vec![of_number.join(" "), of_runs.join(" ")],
    };
    all.extend(limit);
    all
}

/// A section with its own sentences, which those in short leave out.
fn said(s: &Sweep, mut section: Section) -> Section {
    let all = [
        sentences::choose(s, None),
        sentences::target(s),
        runs::limit(s),
    ];
    let all: Vec<String> = all.into_iter().flatten().collect();
    if !all.is_empty() {
        let list = (Default::default(), Block::List(all));
        section.blocks.insert(0, list);
    }
    section
}

/// What columns mean, how well the numbers are known, how the ends of a window were found, and what is not proposed.
fn reading(sweeps: &[Sweep], trials: u64) -> Section {
    let mut all: Vec<String> = Vec::new();
    for s in sweeps {
        let legends = table::legends(s).into_iter();
        let new: Vec<String> = legends.filter(|l| !all.contains(l)).collect();
        all.extend(new);
        if let (Some(goal), Some(window), [vary]) = (s.goal, &s.window, s.vary.as_slice()) {
            all.extend(window::details(s, vary, window, goal));
        }
    }
    if let Some(s) = sweeps.first() {
        all.push(format!(
            "Nothing is chosen that changes the temperature by more than {} K, with the heaviest mass of a window; more \
             substance or a stronger solution needs a new look at its hazards.",
            s.cap
        ));
        if sweeps.iter().all(|s| s.goal.is_none()) {
            all.push(
                "With a target (--spread, --within or --pass) the smallest number and the window that reach it are named."
                    .to_owned(),
            );
        }
    }
    all.push(format!(
        "A spread has a standard error of about {} of itself; differences between points are known better, since all use \
         the same random numbers.",
        percent(1.0 / (2.0 * trials as f64).sqrt())
    ));
    Section::new("how to read this").detail(Block::List(all))
}
