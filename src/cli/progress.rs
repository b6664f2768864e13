//! Progress on standard error, and the interruption by the user.

use super::folder::abandon;
use super::{Exit, output};
use crate::engine::EngineError;
use crate::report::stop_writing;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

static INTERRUPTED: AtomicBool = AtomicBool::new(false);

/// The flag that Ctrl-C sets. A second Ctrl-C ends the program at once.
pub(super) fn interruption() -> &'static AtomicBool {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let _ = ctrlc::set_handler(|| {
            if INTERRUPTED.swap(true, Ordering::Relaxed) {
                // Nothing is written between here and the end.
                let _stopped = stop_writing();
                abandon();
                std::process::exit(130);
            }
        });
    });
    &INTERRUPTED
}

/// Says that a study was interrupted.
pub(super) fn stopped(e: EngineError) -> Exit {
    output::complain(&e.to_string());
    Exit::Interrupted
}

/// On a terminal a bar, which appears after a second; elsewhere a line every ten seconds.
pub(super) struct Progress {
    bar: ProgressBar,
    begun: Instant,
    shown: AtomicBool,
    _lines: Option<Lines>,
}

/// How often there is a line.
const EVERY: Duration = Duration::from_secs(10);

/// Whether somebody prints lines: what is done on the way has none of its own.
static LINES: AtomicBool = AtomicBool::new(false);

impl Progress {
    /// For this many trials at most; more than that is shown without an end.
    pub(super) fn new(trials: Option<u64>) -> Self {
        let form = if trials.is_some() {
            "simulating {bar:30} {human_pos} of {human_len} trials, {eta} left"
        } else {
            "simulating {spinner} {human_pos} trials"
        };
        Self::begin(trials, "trials", form)
    }

    /// For so many steps of another kind than trials.
    pub(super) fn steps(n: u64, what: &'static str) -> Self {
        let form =
            format!("simulating {{bar:30}} {{human_pos}} of {{human_len}} {what}, {{eta}} left");
        Self::begin(Some(n), what, &form)
    }

    fn begin(all: Option<u64>, what: &'static str, form: &str) -> Self {
        let bar = ProgressBar::with_draw_target(all, ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template(form) {
            bar.set_style(style);
        }
        let begun = Instant::now();
        let quiet = output::is_quiet();
        let on_terminal = std::io::stderr().is_terminal() && !quiet;
        let lines = !on_terminal && !quiet && !LINES.swap(true, Ordering::Relaxed);
        Self {
            _lines: lines.then(|| Lines::begin(bar.clone(), what)),
            bar,
            begun,
            shown: AtomicBool::new(!on_terminal),
        }
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

/// Lines that are printed until it is dropped.
struct Lines {
    _end: Sender<()>,
}

impl Lines {
    fn begin(bar: ProgressBar, what: &'static str) -> Self {
        let (end, ended) = channel();
        std::thread::spawn(move || {
            for n in 1.. {
                if ended.recv_timeout(EVERY) != Err(RecvTimeoutError::Timeout) {
                    break;
                }
                output::complain(&line(&bar, what, n * EVERY));
            }
        });
        Self { _end: end }
    }
}

impl Drop for Lines {
    fn drop(&mut self) {
        LINES.store(false, Ordering::Relaxed);
    }
}

/// `simulating for 20 s: 3 of 12 points`.
fn line(bar: &ProgressBar, what: &str, since: Duration) -> String {
    let done = match (bar.position(), bar.length()) {
        (0, None) => String::new(),
        (done, None) => format!(": {done} {what}"),
        (done, Some(all)) => format!(": {done} of {all} {what}"),
    };
    format!("simulating for {} s{done}", since.as_secs())
}
