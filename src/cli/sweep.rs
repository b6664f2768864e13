//! `joulecast sweep`

use super::answer::Answer;
use super::args::{Common, Sweep as Arguments};
use super::folder::Folder;
use super::goal::{asked, positive, refused, with};
use super::progress::{Progress, interruption, stopped};
use super::{Exit, input};
use crate::design::{
    DesignOptions, Goal, MOST_POINTS, Made, NoSplit, Outcome, Parameter, Split, Sweep, TRIALS,
    Vary, grid, limit_of, made, pairs, split, sweep,
};
use crate::engine::EngineError;
use crate::quantity::Dimension;
use crate::report::{sweep_document, sweep_json};
use crate::scenario::Scenario;

/// Trials that know any spread to two digits: the worst is 99, whose half digit is 0.5 %, at two standard errors.
const TWO_DIGITS: u64 = 81_920;

/// Trials of each point of a study.
pub(super) fn trials(common: &Common) -> u64 {
    match (common.trials, common.digits) {
        (Some(n), _) => n,
        (None, Some(2)) => TWO_DIGITS,
        _ => TRIALS,
    }
}

struct Asked {
    scenario: Scenario,
    goal: Option<Goal>,
    cap: f64,
    /// Where most of the spread is made, if nobody said what to look at.
    made: Option<Made>,
    sweeps: Vec<Vec<Vary>>,
    total: Option<u32>,
    split: bool,
}

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::with_spread(a.scenario.as_deref(), common.json)?;
    let asked = read(a, scenario)?;
    let folder = Folder::ready(common, true)?;
    answer(&asked, common)?.give(common, folder.as_ref())
}

/// The studies and what they say.
fn answer(asked: &Asked, common: &Common) -> Result<Answer, Exit> {
    let outcome = work(asked, common);
    let (sweeps, split) = outcome.map_err(stopped)?;
    if let Some(words) = sweeps.iter().find_map(Sweep::nowhere) {
        return Err(refused(&format!(
            "--vary: no point makes an experiment: {words}"
        )));
    }
    let (s, n) = (&asked.scenario, trials(common));
    let missed = sweeps
        .iter()
        .any(|s| s.goal.is_some() && s.least().is_none());
    // A session that nothing fits into is missed as well.
    let none = matches!(
        split,
        Some(Err(NoSplit::TooShort { .. }
            | NoSplit::TooFew { .. }
            | NoSplit::Impossible))
    );
    let exit = if missed || none {
        Exit::Missed
    } else {
        Exit::Done
    };
    let (made, split) = (asked.made.as_ref(), split.as_ref());
    Ok(Answer {
        name: "sweep",
        document: sweep_document(s, (common.seed, n), made, &sweeps, split),
        json: sweep_json(s, common.seed, n, &sweeps, split),
        extra: Vec::new(),
        exit,
    })
}

/// What is answered where nobody says what to vary.
pub(super) fn usual_answer(scenario: Scenario, common: &Common) -> Result<Answer, Exit> {
    answer(&read(&Arguments::default(), scenario)?, common)
}

fn read(a: &Arguments, scenario: Scenario) -> Result<Asked, Exit> {
    let (scenario, goal, cap) = asked(&a.goal, scenario)?;
    let scenario = match &a.session {
        Some(text) => {
            positive("--session", text, Dimension::Time)?;
            with(&scenario, "times.session", text)?
        }
        None => scenario,
    };
    if a.session.is_some() && scenario.times.run.iter().any(Option::is_none) {
        return Err(refused(
            "--session: the scenario does not say what runs take: state `calibration_run` and `determination_run` under \
             [times], or use --total",
        ));
    }
    if a.vary.len() > 2 {
        return Err(refused(
            "--vary: one number or two; three would need a picture of three dimensions",
        ));
    }
    let made = if a.vary.is_empty() && !a.split {
        where_made(&scenario)?
    } else {
        None
    };
    let sweeps = if a.vary.is_empty() && !a.split {
        usual(&scenario, made.as_ref())?
    } else if a.vary.is_empty() {
        Vec::new()
    } else {
        let vary = a
            .vary
            .iter()
            .map(|text| Vary::parse(text, &scenario).map_err(|e| refused(&e.to_string())))
            .collect::<Result<Vec<_>, _>>()?;
        if let [first, second] = vary.as_slice()
            && first.overlaps(second)
        {
            return Err(refused(&format!(
                "--vary: {} and {} set the same key; name two different numbers",
                first.parameter.path, second.parameter.path
            )));
        }
        if grid(&vary).len() > MOST_POINTS {
            return Err(refused(&format!("more than {MOST_POINTS} points")));
        }
        vec![vary]
    };
    Ok(Asked {
        split: a.split || a.vary.is_empty(),
        scenario,
        made,
        goal,
        cap,
        sweeps,
        total: a.total,
    })
}

/// Where most of the spread is made: a few trials tell.
fn where_made(scenario: &Scenario) -> Result<Option<Made>, Exit> {
    let options = DesignOptions {
        trials: FEW,
        interrupt: Some(interruption()),
        ..DesignOptions::new(1)
    };
    let own = Outcome::of(scenario, &options).map_err(stopped)?;
    Ok(made(scenario, &own))
}

/// Trials that tell half of a variance from less.
const FEW: u64 = 4_096;

/// What most people want to know: numbers of runs, together and each, and the mass of the sample. Where the calibration makes
/// most of the spread, what it takes comes first.
fn usual(scenario: &Scenario, made: Option<&Made>) -> Result<Vec<Vec<Vary>>, Exit> {
    let counts = |path: &str, most: u32| {
        Vary::counts(scenario, path, 1, most).map_err(|e| refused(&e.to_string()))
    };
    let mut all = Vec::new();
    let of_calibration = made.filter(|m| m.leg == scenario.calibration.name);
    if let Some(made) = of_calibration
        && let Some(now) = Parameter::of(scenario, &made.path)
            .ok()
            .filter(|k| k.now > 0.0)
        && made.path.ends_with("charge.mass")
    {
        let (low, high) = (0.4 * now.now, 2.8 * now.now);
        let text = format!("{} = {low} g to {high} g in 13", made.path);
        all.push(vec![
            Vary::parse(&text, scenario).map_err(|e| refused(&e.to_string()))?,
        ]);
    }
    all.push(vec![counts("runs", 10)?]);
    if scenario.calibration.runs > 0 {
        all.push(vec![
            counts("calibration.runs", 6)?,
            counts("determination.runs", 6)?,
        ]);
    }
    let mass = scenario.determination.mass.0;
    if mass > 0.0 {
        let text = format!(
            "determination.charge.mass = {} g to {} g in 13",
            0.4 * mass,
            2.8 * mass
        );
        all.push(vec![
            Vary::parse(&text, scenario).map_err(|e| refused(&e.to_string()))?,
        ]);
    }
    Ok(all)
}

type Found = (Vec<Sweep>, Option<Result<Split, NoSplit>>);

fn work(asked: &Asked, common: &Common) -> Result<Found, EngineError> {
    let points: usize = asked.sweeps.iter().map(|v| grid(v).len()).sum();
    let plain = DesignOptions {
        trials: trials(common),
        interrupt: Some(interruption()),
        ..DesignOptions::new(common.seed)
    };
    let limit = if asked.split {
        let own = Outcome::of(&asked.scenario, &plain)?;
        Some((limit_of(&asked.scenario, asked.total, &own), own))
    } else {
        None
    };
    let pairs = limit.as_ref().map_or(0, |(l, _)| pairs(*l));
    let bar = Progress::steps(points as u64 + pairs, "points");
    let mut before = 0;
    let mut sweeps = Vec::new();
    for vary in &asked.sweeps {
        let progress = |done: u64| bar.set(before + done);
        let options = DesignOptions {
            progress: Some(&progress),
            ..plain
        };
        sweeps.push(sweep(
            &asked.scenario,
            vary.clone(),
            asked.goal,
            asked.cap,
            &options,
        )?);
        before += grid(vary).len() as u64;
    }
    let progress = |done: u64| bar.set(before + done);
    let options = DesignOptions {
        progress: Some(&progress),
        ..plain
    };
    let split = match limit {
        Some((limit, own)) => Some(split(&asked.scenario, limit, &own, asked.goal, &options)?),
        None => None,
    };
    bar.clear();
    Ok((sweeps, split))
}
