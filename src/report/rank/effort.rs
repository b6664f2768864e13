//! The number of trials of a ranking, where it needs a word.

use crate::rank::{Effort, FEWEST_TRIALS, MOST_TRIALS, Ranking, USUAL_TRIALS};
use crate::report::words::{count, paragraph};
use serde_json::{Value, json};

/// A paragraph about the trials; empty if they are what was asked for.
pub fn rank_effort(r: &Ranking, effort: &Effort) -> String {
    let used = count(r.trials);
    let said = match *effort {
        Effort::Trials(asked) if asked < FEWEST_TRIALS => format!(
            "{used} trials instead of {}: fewer than 16 batches of 256 do not tell how good a share is.",
            count(asked)
        ),
        Effort::Trials(asked) if asked != r.trials => format!(
            "{used} trials instead of {}: all batches are made equally large.",
            count(asked)
        ),
        Effort::Usual | Effort::Trials(_) => return String::new(),
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
                "The spread now is good to {} with {used} trials{usual}: twice its standard error is at most half a \
                 unit of its last digit.",
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
                "The trials ended at {used}, {limit}before the spread now was good to {}.",
                words(digits)
            )
        }
    };
    format!("\n{}", paragraph(&said, 0))
}

fn words(digits: u32) -> &'static str {
    if digits == 1 {
        "one digit"
    } else {
        "two digits"
    }
}

/// What was asked for, for the document; `None` if nothing was.
pub fn rank_effort_json(effort: &Effort) -> Option<Value> {
    match *effort {
        Effort::Usual => None,
        Effort::Trials(asked) => Some(json!({ "trials": asked })),
        Effort::Digits {
            digits, reached, ..
        } => Some(json!({ "digits": digits, "digits_reached": reached })),
    }
}
