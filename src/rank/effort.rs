//! How many trials a ranking takes.
//!
//! Shares and biases come with intervals of their own, whatever the number of trials. What can be asked for
//! in digits is the spread of the result's error: it is good to n digits if twice its standard error is at
//! most half a unit of the last of its n digits, the numerical tolerance of JCGM 101:2008, 7.9.2, applied as
//! in 7.9.4. A standard error falls as the root of the number of trials, so that M trials with the error s
//! tell how many will do for a tolerance d:
//!
//! M (2 s / d)^2
//!
//! The spread needs only the model as it is, one run of the many that a ranking makes. So it is looked at
//! alone, at the usual number of trials and then at what that one asks for, until it is good; the ranking runs
//! once, at that number, and finds the very same spread.

use super::group::{FEWEST_BATCHES, ShareOptions};
use super::meter::Meter;
use super::study::RankOptions;
use super::what_if::what_if;
use crate::engine::EngineError;
use crate::experiment::{Experiment, ResultColumn};
use crate::random::BLOCK;
use crate::scenario::Scenario;
use crate::stats::{Estimate, numerical_tolerance};

/// Batches of a ranking, at least, if its trials allow.
const BATCHES: u64 = 32;

/// Trials of each run of the model unless asked otherwise.
pub const USUAL_TRIALS: u64 = BATCHES * BLOCK as u64;

/// The fewest: a block for each of the fewest batches.
pub const FEWEST_TRIALS: u64 = FEWEST_BATCHES as u64 * BLOCK as u64;

/// Where digits are given up: 32 times the usual, half an hour or so for a procedure of several legs.
pub const MOST_TRIALS: u64 = 32 * USUAL_TRIALS;

/// What was asked of a ranking.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(untagged)]
pub enum Effort {
    /// Nothing.
    #[serde(skip)]
    Usual,
    /// A number of trials.
    Trials {
        /// How many.
        trials: u64,
    },
    /// A spread good to a number of digits.
    Digits {
        /// 1 or 2.
        digits: u32,
        /// Trials that it takes.
        #[serde(skip)]
        trials: u64,
        /// Whether they reach it.
        #[serde(rename = "digits_reached")]
        reached: bool,
    },
}

impl Effort {
    /// Trials to ask a ranking for.
    pub fn trials(&self) -> u64 {
        match *self {
            Self::Usual => USUAL_TRIALS,
            Self::Trials { trials } | Self::Digits { trials, .. } => trials,
        }
    }
}

/// Batches of a number of trials: from 32 to 63, of a power of two of blocks each, so that rounding up to whole
/// batches costs 3 % at most and rounded numbers stay as they are; fewer where there are fewer blocks, down to
/// [`FEWEST_BATCHES`].
pub(super) fn share_options<'a>(options: &RankOptions<'a>) -> ShareOptions<'a> {
    let size = |blocks: u64| 1 << (blocks / BATCHES).max(1).ilog2();
    let asked = options.trials.div_ceil(BLOCK as u64);
    let fewest = FEWEST_BATCHES as u64;
    let blocks = asked.next_multiple_of(size(asked)).max(fewest);
    ShareOptions {
        seed: options.seed,
        trials: blocks * BLOCK as u64,
        batches: (blocks / size(blocks)) as usize,
        interrupt: options.interrupt,
        progress: None,
    }
}

/// Looks for the number of trials that makes the spread now good to this many digits. `options.trials` does
/// not count; progress has no end that is known beforehand.
///
/// # Errors
/// If interrupted.
pub fn to_digits(
    scenario: &Scenario,
    digits: u32,
    options: &RankOptions,
) -> Result<Effort, EngineError> {
    let model = Experiment::without_claims(scenario.clone()).rounding_apart();
    let meter = Meter::new(options.progress);
    let spread = |trials: u64| -> Result<Estimate, EngineError> {
        let own = share_options(&RankOptions { trials, ..*options });
        let seen = what_if(
            &meter.on(&model),
            ResultColumn::Error as usize,
            &[],
            &[],
            &own,
        )?;
        Ok(seen.now.sd)
    };
    search(digits, spread)
}

fn search(
    digits: u32,
    mut spread: impl FnMut(u64) -> Result<Estimate, EngineError>,
) -> Result<Effort, EngineError> {
    let mut trials = USUAL_TRIALS;
    loop {
        let needed = needed(spread(trials)?, digits, trials);
        let reached = needed.is_some_and(|n| n <= trials);
        // A spread that is no number is none with more trials either.
        if reached || needed.is_none() || trials == MOST_TRIALS {
            return Ok(Effort::Digits {
                digits,
                trials,
                reached,
            });
        }
        trials = needed.map_or(MOST_TRIALS, whole).min(MOST_TRIALS);
    }
}

/// Trials that would make a spread good, if these have made it so; `None` if none would.
fn needed(spread: Estimate, digits: u32, trials: u64) -> Option<u64> {
    let tolerance = numerical_tolerance(spread.value, digits);
    if 2.0 * spread.se <= tolerance {
        return Some(trials);
    }
    let ratio = 2.0 * spread.se / tolerance;
    // More than the present ones even where rounding makes the ratio one.
    let many = (trials as f64 * ratio * ratio).ceil().min(1e18);
    ratio
        .is_finite()
        .then_some((many as u64).max(trials.saturating_add(1)))
}

/// Trials that are run when these are asked for.
pub(super) fn whole(trials: u64) -> u64 {
    let options = RankOptions {
        seed: 0,
        trials,
        interrupt: None,
        progress: None,
    };
    share_options(&options).rounded()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trials_are_rounded_up_to_whole_batches_by_little() {
        for (asked, run) in [
            (100, FEWEST_TRIALS),
            (FEWEST_TRIALS, FEWEST_TRIALS),
            (5_000, 5_120),
            (USUAL_TRIALS, USUAL_TRIALS),
            (10_000, 10_240),
            (33_000, 33_792),
            (32_513, 32_768),
            (100_000, 100_352),
        ] {
            assert_eq!(whole(asked), run, "{asked}");
        }
        for asked in (FEWEST_TRIALS..200_000).step_by(613) {
            let run = whole(asked);
            assert!(run >= asked && run - asked <= 256 + asked / 32, "{asked}");
            let options = |trials| RankOptions {
                seed: 0,
                trials,
                interrupt: None,
                progress: None,
            };
            let [a, b] = [asked, run].map(|trials| share_options(&options(trials)));
            assert_eq!((a.rounded(), a.batches), (b.rounded(), b.batches));
        }
    }

    /// A spread of 1 J/mol whose relative error is this over the root of the trials.
    fn found(digits: u32, relative: f64) -> (u64, bool, Vec<u64>) {
        let mut seen = Vec::new();
        let effort = search(digits, |trials| {
            seen.push(trials);
            Ok(Estimate::new(1.5, 1.5 * relative / (trials as f64).sqrt()))
        });
        match effort {
            Ok(Effort::Digits {
                trials, reached, ..
            }) => (trials, reached, seen),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_second_run_is_as_large_as_the_first_asks_for() {
        // A normal error: 1/sqrt(2). Of 1.5 two digits end at 0.05: 2 x 1.5/sqrt(2 M) = 0.05 at M = 1800.
        let normal = 0.5_f64.sqrt();
        assert_eq!(found(2, normal), (USUAL_TRIALS, true, vec![USUAL_TRIALS]));
        // A relative error of 3/sqrt(M): 9 / 0.05 is 180, its square 32 400.
        let (trials, reached, seen) = found(2, 3.0);
        assert!(reached && seen == [USUAL_TRIALS, trials], "{seen:?}");
        assert!((32_400..=32_400 * 33 / 32).contains(&trials), "{trials}");
        assert!(whole(trials) == trials);
        // One digit ends at 0.5, which the usual run has.
        assert_eq!(found(1, 3.0).0, USUAL_TRIALS);
    }

    #[test]
    fn the_search_ends_at_the_most_and_at_what_is_no_number() {
        let (trials, reached, seen) = found(2, 1e3);
        assert!(!reached && trials == MOST_TRIALS && seen == [USUAL_TRIALS, MOST_TRIALS]);
        let (trials, reached, seen) = found(2, f64::NAN);
        assert!(!reached && trials == USUAL_TRIALS && seen.len() == 1);
        assert!(found(2, 0.0).1);
    }

    #[test]
    fn a_run_whose_error_fell_less_than_expected_asks_for_another() {
        let mut seen = Vec::new();
        let effort = search(2, |trials| {
            seen.push(trials);
            let relative = if seen.len() == 1 { 3.0 } else { 3.3 };
            Ok(Estimate::new(1.5, 1.5 * relative / (trials as f64).sqrt()))
        });
        assert_eq!(seen.len(), 3, "{seen:?}");
        assert!(
            2.0 * 1.5 * 3.3 / (seen[2] as f64).sqrt() <= 0.05,
            "{seen:?}"
        );
        let reached = Effort::Digits {
            digits: 2,
            trials: seen[2],
            reached: true,
        };
        assert_eq!(effort, Ok(reached));
    }

    #[test]
    fn a_spread_that_crosses_a_power_of_ten_has_another_last_digit() {
        // Two digits of 0.99 end at 0.01, of 1.01 at 0.1.
        let mut seen = Vec::new();
        let effort = search(2, |trials| {
            seen.push(trials);
            let value = if seen.len() == 1 { 0.99 } else { 1.01 };
            Ok(Estimate::new(value, 1.0 / (trials as f64).sqrt()))
        });
        assert!(matches!(effort, Ok(Effort::Digits { reached: true, .. })));
        assert_eq!(seen.len(), 2, "{seen:?}");
    }
}
