//! `joulecast forecast`

use super::answer::Answer;
use super::args::Common;
pub(super) use super::args::Forecast as Arguments;
use super::folder::{Folder, failed};
use super::progress::{Progress, interruption, stopped};
use super::{Exit, input, output};
use crate::engine::EngineError;
use crate::forecast::{Extras, Forecast, Options, Trials, USUAL_RULE, class, forecast, ways};
use crate::report::{OutFile, forecast_document, forecast_json, provenance, samples_csv};
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
    let (f, extras) = simulated(scenario, a, common)?;
    input::states(&f.sound(), common.json)?;
    let extra = if a.samples {
        let origin = provenance(f.seed, f.trials, &f.scenario.digest);
        vec![OutFile {
            name: "samples.csv".to_owned(),
            bytes: samples_csv(&f, &origin).map_err(|e| failed(&e))?,
        }]
    } else {
        Vec::new()
    };
    let answer = Answer {
        name: "forecast",
        document: forecast_document(&f, &extras, common.digits.unwrap_or(2)),
        json: forecast_json(&f, &extras),
        extra,
        exit: if f.misses_target() {
            Exit::Missed
        } else {
            Exit::Done
        },
    };
    answer.give(common, folder.as_ref())
}

/// The forecast, and what was asked for beside.
pub(super) fn simulated(
    scenario: Scenario,
    a: &Arguments,
    common: &Common,
) -> Result<(Forecast, Extras), Exit> {
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
    let (extras, f) = outcome.map_err(stopped)?;
    Ok((f, extras))
}
