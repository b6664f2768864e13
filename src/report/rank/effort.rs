//! The number of trials of a ranking, where it needs a word.

use crate::rank::{Effort, FEWEST_TRIALS, MOST_TRIALS, Ranking, USUAL_TRIALS};
use crate::report::words::count;

/// A sentence about the trials, if they are not what was asked for or what a rule ended.
pub(super) fn effort_words(r: &Ranking, effort: &Effort) -> Option<String> {
    let used = count(r.trials);
    Some(match *effort {
        Effort::Usual => return None,
        Effort::Trials { trials: asked } if asked == r.trials => return None,
        Effort::Trials { trials: asked } if asked < FEWEST_TRIALS => format!(
            "{used} trials instead of {}: the intervals of the shares need 16 batches of 256.",
            count(asked)
        ),
        Effort::Trials { trials: asked } => {
            format!(
                "{used} trials instead of {}: all batches are equally large.",
                count(asked)
            )
        }
        Effort::Digits {
            digits,
            reached: true,
            ..
        } => {
            let usual = if r.trials == USUAL_TRIALS {
                ", the usual number"
            } else {
                ""
            };
            format!(
                "The spread is known to {} with {used} trials{usual}: twice its standard error is at most half a unit of \
                 its last digit.",
                words(digits)
            )
        }
        Effort::Digits { digits, .. } => {
            let limit = if r.trials == MOST_TRIALS {
                "the most that are run, "
            } else {
                "since there is no spread, "
            };
            format!(
                "The trials ended at {used}, {limit}before the spread was known to {}.",
                words(digits)
            )
        }
    })
}

fn words(digits: u32) -> &'static str {
    if digits == 1 {
        "one digit"
    } else {
        "two digits"
    }
}
