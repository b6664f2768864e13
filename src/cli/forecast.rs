//! `joulecast forecast`

use super::args::{Common, Forecast as Arguments};
use super::folder::{Folder, drawn, failed};
use super::progress::{Progress, interruption};
use super::{Exit, input, output};
use crate::engine::EngineError;
use crate::forecast::{Extras, Forecast, Options, Trials, USUAL_RULE, class, forecast, ways};
use crate::report::{
    OutFile, forecast_json, forecast_pictures, forecast_text, provenance, samples_csv,
};
use crate::scenario::Scenario;
use crate::stats::{IntervalKind, StopRule, passes};

/// Most trials of the usual rule: where it asks for more, a result with a long tail would cost many times what its last
/// digits are worth.
const MOST_USUAL: u64 = 102_400;

/// Most trials where digits were asked for.
const MOST_FOR_DIGITS: u64 = passes::MOST_KEPT;

pub(super) fn run(a: &Arguments, common: &Common) -> Result<Exit, Exit> {
    let scenario = input::advised(a.scenario.as_deref(), common.json)?;
    if a.shortest && common.trials.is_some_and(|n| n > passes::MOST_KEPT) {
        output::complain(&format!(
            "--shortest needs all results at once: at most {} trials",
            passes::MOST_KEPT
        ));
        return Err(Exit::BadInput);
    }
    if a.samples && common.json && common.out.is_none() {
        output::complain("--samples writes a file: with --json it needs --out DIR");
        return Err(Exit::BadInput);
    }
    let folder = Folder::ready(common, true)?;
    let digits = common.digits.unwrap_or(2);
    let trials = match common.trials {
        Some(n) => Trials::Fixed(n),
        None => match common.digits {
            Some(digits) => Trials::Until {
                rule: StopRule::Digits(digits),
                most: MOST_FOR_DIGITS,
            },
            None => Trials::Until {
                rule: USUAL_RULE,
                most: MOST_USUAL,
            },
        },
    };
    let bar = Progress::new(common.trials);
    let tick = |done: u64| bar.set(done);
    let options = Options {
        seed: common.seed,
        trials,
        interval: if a.shortest {
            IntervalKind::Shortest
        } else {
            IntervalKind::Symmetric
        },
        interrupt: Some(interruption()),
        progress: Some(&tick),
    };
    let extras = |s: &Scenario| -> Result<Extras, EngineError> {
        let stop = Some(interruption());
        let side_by_side = a.reductions.then(|| ways(s, common.seed, stop));
        let of_class = a.class.map(|n| class(s, common.seed, n, stop));
        Ok(Extras {
            ways: side_by_side.transpose()?.unwrap_or_default(),
            class: of_class.transpose()?,
        })
    };
    let outcome = forecast(scenario, &options).and_then(|f| Ok((extras(&f.scenario)?, f)));
    bar.clear();
    let (extras, f) = outcome.map_err(|e| {
        output::complain(&e.to_string());
        Exit::Interrupted
    })?;
    input::states(&f.sound(), common.json)?;
    let origin = provenance(f.seed, f.trials, &f.scenario.digest);
    let mut text = forecast_text(&f, &extras, digits);
    let missed = missed_target(&f);
    if let Some(missed) = &missed {
        text.push_str(&format!("\nTARGET MISSED: {missed}\n"));
    }
    if let Some(folder) = folder {
        text.push_str(&folder.write(&files(&f, &extras, a, &text)?)?);
    }
    text.push_str(&format!("{origin}\n"));
    let exit = if missed.is_some() {
        Exit::Missed
    } else {
        Exit::Done
    };
    Ok(if common.json {
        output::say(&output::pretty(&forecast_json(&f, &extras)), exit)
    } else {
        output::say(&text, exit)
    })
}

/// The spread against the target of the scenario.
fn missed_target(f: &Forecast) -> Option<String> {
    let target = f.scenario.target.uncertainty?;
    let spread = f.spread.value / f.target.abs();
    // A spread that is no number meets no target.
    (spread.is_nan() || spread > target).then(|| {
        format!(
            "a spread of {:.3} % where {:.3} % is asked for",
            100.0 * spread,
            100.0 * target
        )
    })
}

fn files(f: &Forecast, extras: &Extras, a: &Arguments, text: &str) -> Result<Vec<OutFile>, Exit> {
    let origin = provenance(f.seed, f.trials, &f.scenario.digest);
    let mut files = vec![
        OutFile::text("forecast.txt", format!("{text}{origin}\n")),
        OutFile::text("forecast.json", output::pretty(&forecast_json(f, extras))),
    ];
    files.extend(drawn(forecast_pictures(f, a.reductions)));
    if a.samples {
        files.push(OutFile {
            name: "samples.csv".to_owned(),
            bytes: samples_csv(f, &origin).map_err(|e| failed(&e))?,
        });
    }
    Ok(files)
}
