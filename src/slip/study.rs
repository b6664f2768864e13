//! Erring groups beside competent ones, on the same draws.
//!
//! A mistake makes another notebook of the same session; what is made in some runs only takes the pages of those runs from it, and
//! the others from the competent group's. So the shift `x' - x` of the lab's value has no noise but what the mistake itself
//! lets in, and its standard error is the scatter of the paired differences over sqrt(trials).

use super::catalogue::Mistake;
use super::place::Place;
use super::sessions::{Prepared, Sessions, Split};
use super::shown::{Scatter, noticed, relative};
use super::size::Sized;
use crate::engine::{EngineError, Study};
use crate::experiment::Experiment;
use crate::lab::Method;
use crate::quantity::texts;
use crate::scenario::Scenario;
use crate::stats::{Estimate, Moments};
use std::sync::atomic::AtomicBool;

/// Trials unless asked otherwise; shifts that are not known to a tenth of themselves then take more.
pub const TRIALS: u64 = 2048;

/// Most trials that a study adds to by itself.
const MOST: u64 = 32_768;

/// A shift that is worth being known to a tenth of itself, as a fraction.
const WORTH: f64 = 1e-3;

/// How to study mistakes.
#[derive(Clone, Copy)]
pub struct SlipOptions<'a> {
    /// Seed of all streams.
    pub seed: u64,
    /// Trials; `None` for [`TRIALS`], and more where a shift is not known well enough.
    pub trials: Option<u64>,
    /// Ends the study early.
    pub interrupt: Option<&'a AtomicBool>,
    /// Called with the number of trials done.
    pub progress: Option<&'a (dyn Fn(u64) + Sync)>,
}

impl SlipOptions<'_> {
    /// With this seed.
    pub fn new(seed: u64) -> Self {
        Self {
            seed,
            trials: None,
            interrupt: None,
            progress: None,
        }
    }
}

/// What a mistake does in some runs.
#[derive(Debug, Clone)]
pub struct Effect {
    /// In which runs it is made.
    pub place: Place,
    /// Change of the result's magnitude, as a fraction of it; more than -1 of it is a changed sign.
    pub shift: Estimate,
    /// Share of groups whose runs scatter more than those of 95 % of competent groups do; `None` where no kind has two runs.
    pub scatter: Option<f64>,
    /// Share of groups in which the inspection notices solid that is left over; `None` where nobody looks.
    pub inspection: Option<f64>,
    /// Groups without a finite result.
    pub nonfinite: u64,
    /// Errors against nature's value, trial by trial, as fractions of it.
    pub errors: Vec<f64>,
}

texts! {
    /// What a mistake does to the magnitude of the result.
    Says::words:
    /// Smaller than a competent group's.
    TooSmall = "too small",
    /// Larger.
    TooLarge = "too large",
    /// What it does in the determinations and in the calibration cancels, but for a small rest.
    Cancels = "cancels",
    /// Nothing that these trials see.
    Nothing = "no effect",
    /// The result has the wrong sign.
    WrongSign = "wrong sign",
}

/// A rest is small below this part of what cancels.
const REST: f64 = 0.15;

/// A shift below this is nothing, however well it is known; a fraction.
const NOTHING: f64 = 1e-4;

impl Studied {
    /// What it does in these runs.
    pub fn says(&self, place: Place) -> Option<Says> {
        let shift = self.at(place)?.shift;
        let seen = |e: &Effect| e.shift.is_seen() && e.shift.value.abs() > NOTHING;
        let sides =
            [Place::Determinations, Place::Calibration].map(|p| self.at(p).filter(|e| seen(e)));
        let cancels = match sides.map(|e| e.map(|e| e.shift.value)) {
            [Some(d), Some(c)] if place == Place::Both => {
                shift.value.abs() < REST * d.abs().min(c.abs())
            }
            _ => false,
        };
        Some(match shift.value {
            _ if cancels => Says::Cancels,
            x if !shift.is_seen() || x.abs() < NOTHING => Says::Nothing,
            x if x < -1.0 => Says::WrongSign,
            x if x < 0.0 => Says::TooSmall,
            _ => Says::TooLarge,
        })
    }
}

impl Effect {
    /// Whether the shift is worth being known to a tenth of itself, and is not.
    fn is_rough(&self) -> bool {
        let Estimate { value, se } = self.shift;
        value.abs() > WORTH && se > 0.1 * value.abs()
    }
}

/// A mistake in a scenario.
#[derive(Debug, Clone)]
pub struct Studied {
    /// The mistake.
    pub mistake: Mistake,
    /// Its usual size and plausible range here.
    pub range: Sized,
    /// The size that was studied, in its unit.
    pub size: f64,
    /// What it does, by place.
    pub effects: Vec<Effect>,
}

impl Studied {
    /// Its effect in these runs.
    pub fn at(&self, place: Place) -> Option<&Effect> {
        self.effects.iter().find(|e| e.place == place)
    }

    /// The effect that is largest.
    pub fn largest(&self) -> f64 {
        let sizes = self.effects.iter().map(|e| e.shift.value.abs());
        sizes.fold(0.0, f64::max)
    }
}

/// Mistakes in a scenario.
#[derive(Debug, Clone)]
pub struct Slips {
    /// The scenario.
    pub scenario: Scenario,
    /// Seed.
    pub seed: u64,
    /// Trials.
    pub trials: u64,
    /// Nature's value, J/mol.
    pub target: f64,
    /// Bias of competent groups, as a fraction.
    pub bias: Estimate,
    /// Their spread, as a fraction.
    pub spread: Estimate,
    /// Errors of competent groups, trial by trial, as fractions.
    pub errors: Vec<f64>,
    /// Share of competent groups in which the inspection notices something; `None` where nobody looks.
    pub inspection: Option<f64>,
    /// The mistakes that make sense here.
    pub mistakes: Vec<Studied>,
    /// Those that cannot be as they are written, with the reason.
    pub impossible: Vec<(String, String)>,
}

/// Mean shifts of mistakes of these sizes (in their units), each in these runs alone, and whether the scatter of the runs shows
/// it as in [`Effect::scatter`]; NaN for one that cannot be.
///
/// # Errors
/// If interrupted.
pub(super) fn of_sizes(
    scenario: &Scenario,
    sized: &[(Mistake, f64, Place)],
    options: &SlipOptions,
) -> Result<Vec<(f64, Option<f64>)>, EngineError> {
    let mut shifts = vec![(f64::NAN, None); sized.len()];
    let mut erring = Vec::new();
    let mut at = Vec::new();
    for (i, (mistake, size, place)) in sized.iter().enumerate() {
        if let Ok(Some(mut own)) = Prepared::of(scenario, mistake, *size) {
            own.places = vec![*place];
            erring.push(own);
            at.push(i);
        }
    }
    let sessions = Sessions {
        competent: Experiment::without_claims(scenario.clone()),
        method: Method::of(scenario),
        erring,
    };
    let study = Study {
        interrupt: options.interrupt,
        ..Study::new(options.seed)
    };
    let columns = study
        .run(&sessions, options.trials.unwrap_or(TRIALS))?
        .columns;
    let split = sessions.split(&columns);
    let shows = Scatter::of(&split.competent);
    for ((_, found), i) in split.erring.iter().zip(at) {
        let there = &found[0];
        let moved = relative(there.value, split.competent.value, split.target);
        let shift = Moments::of(&moved).mean().value;
        shifts[i] = (shift, shows.as_ref().map(|s| s.power(there)));
    }
    Ok(shifts)
}

/// Studies mistakes at these sizes (in their units), each at its usual one where none is given.
///
/// # Errors
/// If interrupted.
pub fn slips(
    scenario: &Scenario,
    mistakes: &[(Mistake, Option<f64>)],
    options: &SlipOptions,
) -> Result<Slips, EngineError> {
    let mut impossible = Vec::new();
    let mut known: Vec<(Mistake, Sized, f64)> = Vec::new();
    let mut erring = Vec::new();
    for (mistake, size) in mistakes {
        let range = mistake.size.in_scenario(scenario);
        let size = size.unwrap_or(range.usual);
        match Prepared::of(scenario, mistake, size) {
            Ok(Some(own)) => {
                erring.push(own);
                known.push((mistake.clone(), range, size));
            }
            Ok(None) => {}
            Err(why) => impossible.push((mistake.key.to_string(), why)),
        }
    }
    let mut sessions = Sessions {
        competent: Experiment::without_claims(scenario.clone()),
        method: Method::of(scenario),
        erring,
    };
    let mut trials = options.trials.unwrap_or(TRIALS);
    let mut found = of_table(&sessions, &known, options, trials)?;
    found.impossible = impossible;
    // Those that are not known well enough take more, the others not.
    while options.trials.is_none() && trials < MOST {
        trials *= 4;
        let (rough, at): (Vec<_>, Vec<usize>) = known
            .iter()
            .zip(&found.mistakes)
            .enumerate()
            .filter(|(_, (_, s))| s.effects.iter().any(Effect::is_rough))
            .map(|(i, (known, _))| (known.clone(), i))
            .unzip();
        if rough.is_empty() {
            break;
        }
        let of_size = |(mistake, _, size): &(Mistake, Sized, f64)| {
            Prepared::of(scenario, mistake, *size).ok().flatten()
        };
        sessions.erring = rough.iter().filter_map(of_size).collect();
        let more = of_table(&sessions, &rough, options, trials)?;
        for (i, studied) in at.into_iter().zip(more.mistakes) {
            found.mistakes[i] = studied;
        }
    }
    Ok(found)
}

fn of_table(
    sessions: &Sessions,
    known: &[(Mistake, Sized, f64)],
    options: &SlipOptions,
    trials: u64,
) -> Result<Slips, EngineError> {
    let study = Study {
        interrupt: options.interrupt,
        progress: options.progress,
        ..Study::new(options.seed)
    };
    let columns = study.run(sessions, trials)?.columns;
    let scenario = sessions.scenario();
    let Split {
        target,
        competent,
        repeats,
        erring,
    } = sessions.split(&columns);
    let shows = Scatter::of(&competent);
    let looked = |again: &[Vec<f64>], place: Place| noticed(scenario, again, place);
    let errors: Vec<f64> = relative(competent.value, target, target);
    let own = Moments::of(&errors);
    let mut mistakes = Vec::new();
    let all = known.iter().zip(&sessions.erring).zip(erring);
    for (((mistake, range, size), prepared), (again, found)) in all {
        let effects = prepared.places.iter().zip(found).map(|(&place, there)| {
            let shifts = Moments::of(&relative(there.value, competent.value, target));
            Effect {
                place,
                shift: shifts.mean(),
                scatter: shows.as_ref().map(|s| s.power(&there)),
                inspection: looked(again, place),
                nonfinite: shifts.nonfinite(),
                errors: relative(there.value, target, target),
            }
        });
        mistakes.push(Studied {
            effects: effects.collect(),
            mistake: mistake.clone(),
            range: *range,
            size: *size,
        });
    }
    Ok(Slips {
        scenario: scenario.clone(),
        seed: options.seed,
        trials,
        target: Moments::of(target).mean().value,
        bias: own.mean(),
        spread: own.sd(),
        errors,
        inspection: looked(repeats, Place::Both),
        mistakes,
        impossible: Vec::new(),
    })
}
