//! Progress on standard error, and the interruption by the user.

use super::folder::abandon;
use super::output;
use crate::report::stop_writing;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// The flag that Ctrl-C sets. A second Ctrl-C ends the program at once.
pub(super) fn interruption() -> &'static AtomicBool {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = ctrlc::set_handler(|| {
            if INTERRUPTED.swap(true, Ordering::Relaxed) {
                abandon();
                // Nothing is written between here and the end.
                let _stopped = stop_writing();
                std::process::exit(130);
            }
        });
    });
    &INTERRUPTED
}

/// A bar that appears after a second, on a terminal only.
pub(super) struct Progress {
    bar: ProgressBar,
    begun: Instant,
    shown: AtomicBool,
}

impl Progress {
    /// For this many trials at most; more than that is shown without an end.
    pub(super) fn new(trials: Option<u64>) -> Self {
        let bar = ProgressBar::with_draw_target(trials, ProgressDrawTarget::hidden());
        let form = if trials.is_some() {
            "simulating {bar:30} {human_pos} of {human_len} trials, {eta} left"
        } else {
            "simulating {spinner} {human_pos} trials"
        };
        if let Ok(style) = ProgressStyle::with_template(form) {
            bar.set_style(style);
        }
        Self {
            bar,
            begun: Instant::now(),
            shown: AtomicBool::new(!std::io::stderr().is_terminal()),
        }
    }

    /// For so many steps of another kind than trials.
    pub(super) fn steps(n: u64, what: &str) -> Self {
        let own = Self::new(Some(n));
        let form =
            format!("simulating {{bar:30}} {{human_pos}} of {{human_len}} {what}, {{eta}} left");
        if let Ok(style) = ProgressStyle::with_template(&form) {
            own.bar.set_style(style);
        }
        own
    }

    /// Trials done so far.
    pub(super) fn set(&self, done: u64) {
        if self.begun.elapsed() > Duration::from_secs(1)
            && !self.shown.swap(true, Ordering::Relaxed)
        {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.set_position(done);
    }

    /// Removes the bar.
    pub(super) fn clear(&self) {
        self.bar.finish_and_clear();
    }
}
